"""A catalogue in another language is the same catalogue in other words, and says so in them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

from tests.catalogue.shelf import catalogue, in_german
from tests.catalogue.test_loading import CHECK, texts
from workbench.catalogue.assembling import build
from workbench.catalogue.basics import Source
from workbench.catalogue.loading import with_overrides
from workbench.catalogue.names import dimension_words, fact_words, trade_words
from workbench.catalogue.wording import Wording, labels_in, parts_of, texts_in, wording_in
from workbench.domain.frozen import FrozenMap
from workbench.domain.packing import pack
from workbench.domain.project import Overrides
from workbench.paths import resources_root

GERMAN = Wording(
    "de",
    FrozenMap(
        {
            "{n} checks": "{n} Prüfpunkte",
            "one check": "ein Prüfpunkt",
            "{share:.0%} of {amount:,.2f}": "{share:.0%} von {amount:,.2f}",
            "{source} (from memory)": "{source} (aus dem Gedächtnis)",
            "common practice, no source": "übliche Praxis, ohne Quelle",
        }
    ),
)


def test_english_needs_no_table() -> None:
    assert Wording().say("{n} checks", n=7) == "7 checks"
    assert Wording().say("{share:.0%} of {amount:,.2f}", share=0.25, amount=1234.5) == (
        "25% of 1,234.50"
    )


def test_figures_are_put_in_after_translation_and_written_as_is_usual() -> None:
    said = GERMAN.say("{share:.0%} of {amount:,.2f}", share=0.25, amount=Decimal("1234.5"))

    assert said == "25\N{NO-BREAK SPACE}% von 1.234,50"


def test_a_name_that_is_put_in_keeps_its_signs() -> None:
    assert GERMAN.say("{n} checks", n="1,234.5 %") == "1,234.5 % Prüfpunkte"


def test_one_and_many_are_two_texts() -> None:
    assert GERMAN.one_or_many(1, "one check", "{n} checks") == "ein Prüfpunkt"
    assert GERMAN.one_or_many(2, "one check", "{n} checks") == "2 Prüfpunkte"
    assert GERMAN.one_or_many(0, "one check", "{n} checks") == "0 Prüfpunkte"


def test_a_text_nobody_translated_is_said_in_english() -> None:
    assert GERMAN.say("Nothing is left to look at.") == "Nothing is left to look at."


def test_a_title_within_a_sentence_begins_small_in_english_alone() -> None:
    assert Wording().within("Mast height") == "mast height"
    assert Wording().within("GRP, cored") == "GRP, cored"
    assert GERMAN.within("Masthöhe") == "Masthöhe"


def test_a_source_keeps_its_title_in_every_language() -> None:
    published = Source("published", "ISO 9093:2020", "", "5.2")
    remembered = Source("memory", "a rigger's handbook")

    assert GERMAN.source(published) == Wording().source(published) == published.sentence()
    assert GERMAN.source(remembered) == "a rigger's handbook (aus dem Gedächtnis)"
    assert GERMAN.source(Source("common-practice")) == "übliche Praxis, ohne Quelle"
    for source in (published, remembered, Source("common-practice"), Source("memory")):
        assert Wording().source(source) == source.sentence()


def test_what_people_read_is_translated_and_what_is_matched_on_is_not() -> None:
    plain = build(texts()).catalogue
    shouted = build(texts(), _Shouted(), GERMAN).catalogue
    check, loud = plain.checks["example-play"], shouted.checks["example-play"]

    assert loud.title == check.title.upper()
    assert loud.steps == tuple(step.upper() for step in check.steps)
    assert [one.label for one in loud.entries] == [one.label.upper() for one in check.entries]
    assert (loud.id, loud.station, loud.cautions) == (check.id, check.station, check.cautions)
    assert [one.unit for one in loud.entries] == [one.unit for one in check.entries]
    assert [one.source.title for one in loud.rules] == [one.source.title for one in check.rules]
    assert [one.work[0].item for one in loud.remedies] == ["example-part"]
    assert shouted.wording == GERMAN


def test_the_shipped_german_catalogue_differs_from_the_english_in_words_alone() -> None:
    english, german = catalogue(), in_german()
    table = texts_in(resources_root(), "de")

    assert german.wording.language == "de"
    assert _differences(pack(english)[:-1], pack(german)[:-1], table) == []
    for check, same in zip(english.checks.values(), german.checks.values(), strict=True):
        assert (same.id, same.system, same.station, same.looks, same.cautions) == (
            *(check.id, check.system, check.station, check.looks, check.cautions),
        )
        assert [one.source.sentence() for one in check.rules] == [
            one.source.sentence() for one in same.rules
        ]


def _differences(one: object, other: object, table: Mapping[str, str]) -> list[object]:
    """What is another value, or another text than the translation of the English one."""
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        pairs = zip(one, other, strict=True)
        return [found for pair in pairs for found in _differences(*pair, table)]
    if isinstance(one, dict) and isinstance(other, dict) and list(one) == list(other):
        return [found for key in one for found in _differences(one[key], other[key], table)]
    translated = isinstance(one, str) and other == table.get(one)
    return [] if one == other or translated else [(one, other)]


def test_choices_of_one_entry_stay_apart_in_german() -> None:
    """A form is read back by the words of the choice, so no two may become the same word."""
    german = in_german()
    listed = [entry.choices for check in german.checks.values() for entry in check.entries]
    listed += [fact.choices for fact in german.facts.values()]

    for choices in listed:
        labels = [one.label.casefold() for one in choices]
        assert len(set(labels)) == len(labels), labels


def test_an_answer_in_german_fits_where_the_english_one_does() -> None:
    """A choice is a button in a narrow column: 44 letters at the smallest size of the window."""
    labels = [
        choice.label
        for check in in_german().checks.values()
        for entry in check.entries
        for choice in entry.choices
    ]

    assert [label for label in labels if len(label) > 44] == []


def test_a_check_of_ones_own_stays_in_its_words() -> None:
    shouted = build(texts(), _Shouted(), GERMAN).catalogue
    own = CHECK.replace("example-play", "own-play")

    loaded = with_overrides(shouted, Overrides(checks=FrozenMap({"own.toml": own})))

    assert loaded.problems == ()
    assert loaded.catalogue.wording == GERMAN
    assert loaded.catalogue.checks["own-play"].title == "Play of the part"
    assert loaded.catalogue.checks["example-play"].title == "PLAY OF THE PART"


def test_trades_dimensions_and_facts_have_words() -> None:
    english = catalogue()

    assert trade_words(english, "gas-fitter") == "licensed gas fitter"
    assert trade_words(english, "sign-writer") == "sign writer"
    assert dimension_words(english, "mast-height") == "mast height"
    assert dimension_words(english, "number-of-cats") == "number of cats"
    assert fact_words(english, "steering", "tiller") == "steering tiller"


def test_parts_are_merged_and_an_empty_text_is_none(tmp_path: Path) -> None:
    folder = tmp_path / "translations" / "xx"
    folder.mkdir(parents=True)
    (folder / "keel.json").write_text(json.dumps({"Keel": "Leek", "Bolt\n": "Tlob\n"}))
    (folder / "deck.json").write_text(json.dumps({"Deck": "", "Hatch": "Hctah"}))
    (folder / "figures.json").write_text(json.dumps({"sound": "dnuos"}))
    (folder / "drawings.json").write_text(json.dumps({"Keel": "K", "nut": "tun", "rust?": ""}))

    assert texts_in(tmp_path, "xx") == {"Keel": "Leek", "Bolt": "Tlob", "Hatch": "Hctah"}
    assert wording_in(tmp_path, "xx") == Wording("xx", FrozenMap({"sound": "dnuos"}))
    assert labels_in(tmp_path, "xx") == FrozenMap({"Keel": "K", "nut": "tun"})
    assert labels_in(tmp_path, "en") == FrozenMap()
    assert parts_of(tmp_path, "en") == ()
    assert wording_in(tmp_path, "en") == Wording()


class _Shouted(dict[str, str]):
    """A language in which every text is shouted."""

    def get(self, text: str, _default: object = None) -> str:
        """The text, shouted."""
        return text.upper()
