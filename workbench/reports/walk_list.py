"""The walk list of one boat: the field form on a few sheets, for who knows how to look.

One row a check, in walking order: a tick, what it is, what to write with its unit or the words to
ring, minutes, and room to write. Only checks that nobody has seen are on it, those ashore first.
The cautions of each place stand before its rows, as on the long form.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from workbench.catalogue.model import Catalogue, Check, Entry
from workbench.domain.vocabulary import Grade
from workbench.figures.assessment import BoatAssessment
from workbench.figures.findings import Finding

from .document import (
    Block,
    Caution,
    Cautions,
    Cell,
    Column,
    Document,
    Heading,
    Kind,
    Prose,
    Row,
    Table,
    TitleBlock,
)
from .field_form import duration, stations_of
from .views import boat_words
from .words import counted, day

_COLUMNS = (
    Column("", Kind.TICK, 0.5),
    Column("Check", Kind.TEXT, 3.4),
    Column("Write the number, ring the word", Kind.TEXT, 4.6),
    Column("Min", Kind.FIGURE, 0.6),
    Column("Found, or why not seen", Kind.BLANK, 3.2),
)
_ROW_MM = 9.5
_INTRO = (
    "Only what nobody has seen yet. How to look, step by step, is on the long field form. "
    "Ask the owner first; never lean on, climb on or move a prop."
)


def walk_document(
    boat: BoatAssessment, catalogue: Catalogue, on: date, *, imperial: bool
) -> Document:
    """The walk list of one boat."""
    record = boat.candidate.boat
    left = [one for one in boat.findings if one.grade is Grade.UNSEEN]
    ashore = [one for one in left if one.check.looks != "afloat"]
    afloat = [one for one in left if one.check.looks == "afloat"]
    minutes = sum(one.check.minutes for one in left)
    what = f"{counted(len(left), 'check')}, about {duration(minutes)}. {_INTRO}"
    blocks: list[Block] = [
        TitleBlock("Walk list", record.name, boat_words(record, catalogue)),
        Prose(what if left else "Everything has been seen. There is nothing left to look at."),
    ]
    for findings in (ashore, afloat):
        for label, here in stations_of(findings, catalogue):
            blocks += _station(label, here, catalogue, imperial=imperial)
    return Document(
        title=f"{record.name}: walk list",
        subject="Walk list",
        foot=f"{record.name}, walk list, printed {day(on)}",
        blocks=tuple(blocks),
    )


def _station(
    label: str, findings: Sequence[Finding], catalogue: Catalogue, *, imperial: bool
) -> list[Block]:
    wanted = dict.fromkeys(name for one in findings for name in one.check.cautions)
    known = [catalogue.cautions[name] for name in wanted if name in catalogue.cautions]
    head: list[Block] = [Heading(label)]
    if known:
        head.append(Cautions(tuple(Caution(f"{one.title}.", one.text) for one in known)))
    rows = tuple(_row(one.check, imperial=imperial) for one in findings)
    return [*head, Table(_COLUMNS, rows, dense=True, row_height_mm=_ROW_MM)]


def _row(check: Check, *, imperial: bool) -> Row:
    wanted = "; ".join(_entry_words(entry, imperial=imperial) for entry in check.entries)
    return Row(
        (Cell(), Cell(check.title, bold=True), Cell(wanted), Cell(str(check.minutes)), Cell())
    )


def _entry_words(entry: Entry, *, imperial: bool) -> str:
    """What to write for one entry: its label with a unit, or the words to choose from."""
    if entry.kind == "choice":
        return f"{entry.label}: {' / '.join(choice.label for choice in entry.choices)}"
    unit = (entry.imperial_unit if imperial else entry.unit) if entry.kind == "number" else ""
    return f"{entry.label} [{unit}]" if unit and unit != "count" else entry.label
