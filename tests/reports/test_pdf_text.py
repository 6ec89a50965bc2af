"""Text on paper. The marks B67 to B78 are those of the project's reliability goals."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.reports.conftest import SetAs
from tests.reports.invented import read_text, read_text_again
from workbench.domain.vocabulary import Grade
from workbench.reports import pdf_text
from workbench.reports.document import (
    Cell,
    Column,
    Document,
    Fact,
    Finding,
    Heading,
    Photo,
    Photos,
    Prose,
    Row,
    Table,
    TitleBlock,
)

REPORTS = Path(pdf_text.__file__).parent
MARKUP = (
    "<script>alert(1)</script>",
    '<img src=x onerror="y">',
    "<b>unclosed",
    '<a href="javascript:go()">here</a>',
    '<img src="file:///etc/hostname" width="10"/>',
    "<para>text</para>",
    "5 < 6 & <x> y &nope; &amp; done",
    "=1+1 -2 @sum",
    "<font name='Courier'>x</font>",
    "a ]]> b <!-- c -->",
)


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("text", MARKUP)
def test_markup_prints_as_it_stands(text: str, as_pdf: SetAs) -> None:
    # B67, B68: in every place that takes a user's text.
    made = as_pdf(
        TitleBlock(text, "Title", text),
        Heading(text),
        Prose(text, lead=text),
        Table((Column(text), Column("b")), (Row((Cell(text, text), Cell("x"))),)),
        Finding(text, Grade.DUE, (Fact(text, text),), text),
        Photos((Photo("boat", "missing", text),)),
    )

    wanted = squeezed(text)
    for read in (read_text(made), read_text_again(made)):
        assert squeezed(read).count(wanted) >= 10


def test_markup_opens_no_file(tmp_path: Path, as_pdf: SetAs) -> None:
    # B68: an image tag would have its file embedded, or stop the export when it is missing.
    from tests.reports.invented import jpeg  # noqa: PLC0415 - only here

    there = tmp_path / "there.jpg"
    there.write_bytes(jpeg())

    made = as_pdf(Prose(f'<img src="{there}" width="50" height="50"/>'))

    assert b"/DCTDecode" not in made
    assert str(there) in squeezed(read_text(made))


def test_only_one_function_makes_paragraphs() -> None:
    # B68: escaping is the only defence, so there is one place for it.
    makers = {
        path.name: re.findall(r"\b(?:Paragraph|Printed|XPreformatted|Preformatted)\(", text)
        for path in sorted(REPORTS.glob("*.py"))
        if (text := path.read_text(encoding="utf-8"))
    }
    found = {name: sorted(calls) for name, calls in makers.items() if calls}

    assert found == {"pdf_text.py": ["Printed(", "Printed("]}  # the class and its one use


def test_only_the_pdf_modules_know_the_library() -> None:
    using = {
        path.name
        for path in REPORTS.glob("*.py")
        if re.search(
            r"^\s*(?:from|import) reportlab", path.read_text(encoding="utf-8"), re.MULTILINE
        )
    }

    assert using
    assert all(name.startswith("pdf_") for name in using)


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("a\x00b\x01c\x1bd\x7fe", "abcde"),  # B71
        ("half \ud83d here", "half \ufffd here"),  # B72
        ("up\ud83d\ude00", "up\ufffd\ufffd"),
        ("one\r\ntwo\u2028three\x0cfour", "one\ntwo\nthree\nfour"),  # B78
        ("tab\there", "tab    here"),
        ("abc\u202egpj.exe", "abc‹U+202E›gpj.exe"),  # B66
        ("\ufeffstart", "start"),
    ],
)
def test_signs_that_cannot_be_printed_are_made_plain(text: str, printed: str) -> None:
    assert pdf_text.plain(text) == printed


@given(st.text(max_size=3_000))
def test_pieces_keep_every_visible_sign(text: str) -> None:
    pieces = pdf_text.pieces(text)

    assert squeezed("".join(pieces)) == squeezed(pdf_text.plain(text))
    assert all(len(piece) <= pdf_text.LONGEST_PARAGRAPH for piece in pieces)
    assert all(len(word) <= pdf_text.LONGEST_WORD for piece in pieces for word in piece.split())


@given(st.text(max_size=400))
def test_any_text_can_be_set(text: str) -> None:
    for paragraph in pdf_text.prose(text, "body", text[:40]):
        paragraph.wrap(300, 1e6)


@pytest.mark.parametrize(
    "text",
    [
        "עברית abc עוד",  # B69
        "مرحبا 123 abc",
        "\U0001f468\u200d\U0001f469\u200d\U0001f467 \U0001f6a4",  # B70
        "e" + "\u0301" * 60,
        "船体と竜骨",
        "देवनागरी",
    ],
)
def test_scripts_the_font_lacks_print_as_boxes_and_are_listed(text: str, as_pdf: SetAs) -> None:
    made = as_pdf(Prose(text))

    lacking = pdf_text.lacking(text)
    assert read_text(made)
    for sign in lacking[:40]:
        assert f"U+{ord(sign):04X}" in read_text(made)


def test_accents_and_signs_of_the_trade_are_in_the_font() -> None:
    assert pdf_text.lacking("łźčőñß éàü ½ ≤ ± ″ ′ € £ ✓ ☐ → – … Ωμ Ж Ελ") == ()


def test_a_note_of_a_megabyte_is_set_whole(as_pdf: SetAs) -> None:
    # B73: how long it takes is measured with the ratios; here, that every word arrives.
    words = " ".join(f"word{number}" for number in range(110_000))
    assert len(words) > 2**20
    finding = Finding("Long", Grade.DUE, (Fact("Found", "x"), Fact("Note", words)), "1")

    text = read_text(as_pdf(finding, Prose("The end.")))

    without_feet = re.sub(r"Afootpage\d+of\d{3}", "", squeezed(text))
    assert squeezed(words) in without_feet


def test_a_word_of_two_hundred_thousand_signs_is_broken(as_pdf: SetAs) -> None:
    # B74
    made = as_pdf(Prose("x" * 200_000), Table((Column("a"),), (Row((Cell("y" * 200_000),)),)))

    assert squeezed(read_text(made)).count("x") >= 200_000


def test_ten_thousand_lines_are_set(as_pdf: SetAs) -> None:
    # B78
    made = as_pdf(Prose("\n".join(f"line {number}" for number in range(10_000))))

    assert "line 9999" in read_text(made)


def test_metadata_is_plain_too(as_pdf: SetAs) -> None:
    document = Document("T \ud83d\x00<b>", "S\x01", "F\x02<i>", (Prose("x"),))

    made = as_pdf(document)

    assert "F<i>" in read_text(made)


def test_a_line_that_is_too_wide_ends_with_an_ellipsis() -> None:
    short = pdf_text.fitted("word " * 200, pdf_text.FONT, 8, 120)

    assert short.endswith("…")
    assert pdf_text.width_of(short, pdf_text.FONT, 8) <= 120
