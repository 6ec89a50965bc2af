"""The reading ease agrees with sentences whose figure others have published."""

import pytest

from tests.catalogue.reading_ease import reading_ease, syllables

TAKEN_AS_A_PASSAGE = (
    "This sentence, taken as a reading passage unto itself, is being used to prove a point."
)


@pytest.mark.parametrize(
    ("text", "published"),
    [
        # Three examples of the encyclopaedia article on Flesch's tests, from memory.
        ("The cat sat on the mat.", 116),
        (TAKEN_AS_A_PASSAGE, 69),
        (
            "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.",
            37.5,
        ),
    ],
)
def test_known_sentences_get_their_published_figure(text: str, published: float) -> None:
    # One syllable more or less moves a sentence of fifteen words by 5.6.
    assert reading_ease(text) == pytest.approx(published, abs=6)


@pytest.mark.parametrize(
    ("word", "count"),
    [
        *(("keel", 1), ("bolt", 1), ("rope", 1), ("hatches", 2), ("tapped", 1), ("bilge", 1)),
        *(("rudder", 2), ("cabin", 2), ("handle", 2), ("little", 2), ("seacock", 2), ("loaded", 2)),
        *(("surveyor", 3), ("battery", 3), ("radio", 3), ("area", 3), ("material", 4)),
        *(("edges", 2), ("ventilation", 4), ("corrosion", 3), ("being", 2), ("wires", 1)),
    ],
)
def test_syllables_of_words_of_the_trade_are_counted_as_spoken(word: str, count: int) -> None:
    assert syllables(word) == count


def test_a_long_sentence_of_long_words_reads_harder_than_a_short_one_of_short_words() -> None:
    hard = "Delamination necessitates comprehensive investigation by accredited professionals."

    assert reading_ease(hard) < 0
    assert reading_ease("Tap the deck. It should ring.") > 90


def test_a_text_without_a_word_has_no_reading_ease() -> None:
    with pytest.raises(ValueError, match="no word"):
        reading_ease("12 - 13.")
