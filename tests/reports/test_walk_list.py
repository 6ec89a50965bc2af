"""The walk list holds what nobody has seen, each check once, with its cautions and fields."""

from __future__ import annotations

from datetime import date

from tests.figures.small_yard import mm, search, seen, small_catalogue
from workbench.domain.inspection import Reading
from workbench.figures.assess import assess
from workbench.reports.document import Cautions, Document, Table, Together
from workbench.reports.walk_list import walk_document


def made(**readings: Reading) -> Document:
    """The list of a boat with the readings given."""
    project = search(readings)
    boat = assess(project, small_catalogue()).boats["ann"]
    return walk_document(boat, small_catalogue(), date(2026, 5, 1), imperial=False)


def rows(document: Document) -> dict[str, str]:
    """What is to be written, by the check's title."""
    flat = [
        block
        for outer in document.blocks
        for block in (outer.blocks if isinstance(outer, Together) else (outer,))
    ]
    tables = [block for block in flat if isinstance(block, Table)]
    return {row.cells[1].text: row.cells[2].text for table in tables for row in table.rows}


def test_only_what_nobody_has_seen_is_on_the_list() -> None:
    assert set(rows(made(bearing=seen(play=mm("0.1"))))) == {"seacocks", "rigging", "seal"}


def test_a_number_names_its_unit_and_a_choice_its_words() -> None:
    wanted = rows(made())["bearing"]

    assert "Play [mm]" in wanted
    assert "quiet / knocks" in wanted


def test_the_cautions_of_a_place_stand_before_its_rows() -> None:
    (place,) = [block for block in made().blocks if isinstance(block, Together)]
    cautions = [block for block in place.blocks if isinstance(block, Cautions)]

    assert "Never lean on a prop." in cautions[0].items[0].text
