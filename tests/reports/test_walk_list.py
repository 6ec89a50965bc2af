"""The walk list holds what nobody has seen, each check once, with its cautions and fields."""

from __future__ import annotations

import io
from datetime import date

from pypdf import PdfReader

from tests.figures.small_yard import mm, search, seen, small_catalogue
from tests.reports.conftest import SetAs
from workbench.domain.inspection import Reading
from workbench.figures.assess import assess
from workbench.reports.document import Cautions, Document, Heading, Prose, Table
from workbench.reports.field_form import duration
from workbench.reports.walk_list import walk_document


def made(**readings: Reading) -> Document:
    """The list of a boat with the readings given."""
    project = search(readings)
    boat = assess(project, small_catalogue()).boats["ann"]
    return walk_document(boat, small_catalogue(), date(2026, 5, 1), imperial=False)


def rows(document: Document) -> dict[str, str]:
    """What is to be written, by the check's title."""
    tables = [block for block in document.blocks if isinstance(block, Table)]
    return {row.cells[1].text: row.cells[2].text for table in tables for row in table.rows}


def test_only_what_nobody_has_seen_is_on_the_list() -> None:
    assert set(rows(made(bearing=seen(play=mm("0.1"))))) == {"seacocks", "rigging", "seal"}


def test_a_number_names_its_unit_and_a_choice_its_words() -> None:
    wanted = rows(made())["bearing"]

    assert "Play [mm]" in wanted
    assert "quiet / knocks" in wanted


def test_the_cautions_of_a_place_stand_before_its_rows() -> None:
    blocks = made().blocks
    (place,) = [number for number, block in enumerate(blocks) if isinstance(block, Cautions)]
    cautions, rows = blocks[place : place + 2]

    assert isinstance(cautions, Cautions)
    assert isinstance(rows, Table)
    assert "Never lean on a prop." in cautions.items[0].text


def test_a_heading_and_its_cautions_never_stand_without_a_row(as_pdf: SetAs) -> None:
    """Wherever on a page the place begins: its first row is on the page of its heading."""
    blocks = made().blocks
    head = next(block for block in blocks if isinstance(block, Heading))
    cautions = next(block for block in blocks if isinstance(block, Cautions))
    table = next(block for block in blocks if isinstance(block, Table))
    for lines in range(30, 56):
        above = tuple(Prose("A line.") for _ in range(lines))
        reader = PdfReader(io.BytesIO(as_pdf(*above, head, cautions, table)))
        (page,) = [text for one in reader.pages if head.text in (text := one.extract_text())]
        assert "Never lean" in page
        assert table.rows[0].cells[1].text in page


def test_less_than_an_hour_is_said_in_minutes() -> None:
    assert (duration(9), duration(60), duration(125)) == ("9 min", "1 h 0 min", "2 h 5 min")
