"""A table pasted from a spreadsheet, read into comparables: columns by their heads, row by row.

Every row gives either a comparable or the reasons why it gives none; nothing is dropped silently.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings
from workbench.window.models.comparable_fields import BY_FIELD, KINDS, Field, blank
from workbench.window.said import said
from workbench.window.texts import tr

TYPED = tuple(kind.field for kind in KINDS if kind.read is not None)
"""The fields a column can be for."""

_READ_FIRST = (Field.TITLE, Field.CURRENCY, Field.PRICE)
"""The currency stands before the price is read, so that a price without a sign is in it."""

_UNIT = re.compile(r"[(\[]\s*(?P<unit>[^)\]]+)\s*[)\]]")
_MOST_ROWS = 500


@dataclass(frozen=True, slots=True)
class Pasted:
    """The cells of a pasted table, and for what each column is taken.

    Attributes
    ----------
    heads
        What stands at the head of each column; empty where the table has no heads.
    fields
        The field of each column; None for one that is let pass.
    units
        Unit named in a head, such as 'ft' in 'length (ft)'.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    fields: tuple[Field | None, ...]
    units: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RowProblem:
    """Why one row of a pasted table gives no comparable."""

    number: int
    sentence: str


def cells_of(text: str) -> list[tuple[str, ...]]:
    """Rows and cells of a pasted text; tabs part cells, or semicolons where there is no tab."""
    lines = [line for line in text.replace("\r", "").split("\n") if line.strip()][:_MOST_ROWS]
    mark = "\t" if any("\t" in line for line in lines) else ";"
    rows = [tuple(cell.strip().strip('"') for cell in line.split(mark)) for line in lines]
    widest = max((len(row) for row in rows), default=0)
    return [row + ("",) * (widest - len(row)) for row in rows]


def field_named(head: str) -> Field | None:
    """The field a head means; None when it is none."""
    plain = " ".join(_UNIT.sub(" ", head).lower().replace("_", " ").split()).strip(" .:*")
    for kind in KINDS:
        if kind.read is not None and plain in {*kind.names, kind.title().lower()}:
            return kind.field
    return None


def read_pasted(text: str) -> Pasted:
    """Take a pasted text apart; without known heads its columns are taken in the table's order."""
    rows = cells_of(text)
    if not rows:
        return Pasted((), (), (), ())
    named = [field_named(head) for head in rows[0]]
    known = [field for field in named if field is not None]
    if len(known) < 2 and not (len(known) == 1 and len(rows[0]) == 1):
        order = [field for field in TYPED if field is not Field.USED]
        fields = tuple(order[place] if place < len(order) else None for place in range(len(named)))
        return Pasted((), tuple(rows), fields, ("",) * len(named))
    return Pasted(rows[0], tuple(rows[1:]), _once(named), tuple(_unit(head) for head in rows[0]))


def _once(fields: Sequence[Field | None]) -> tuple[Field | None, ...]:
    """Each field at its first column only."""
    return tuple(
        field if field not in fields[:place] else None for place, field in enumerate(fields)
    )


def _unit(head: str) -> str:
    match = _UNIT.search(head)
    return match["unit"].strip() if match else ""


def with_field(pasted: Pasted, column: int, field: Field | None) -> Pasted:
    """The table with one column taken for another field; it is taken from any other column."""
    fields = tuple(
        field if place == column else None if one is field else one
        for place, one in enumerate(pasted.fields)
    )
    return Pasted(pasted.heads, pasted.rows, fields, pasted.units)


def comparables_of(
    pasted: Pasted, settings: Settings
) -> tuple[tuple[Comparable, ...], tuple[RowProblem, ...]]:
    """The comparables of a pasted table, and the rows that give none with their reason."""
    made: list[Comparable] = []
    problems: list[RowProblem] = []
    first = 2 if pasted.heads else 1
    for number, row in enumerate(pasted.rows, first):
        try:
            made.append(_comparable(pasted, row, settings))
        except EntryError as error:
            problems.append(RowProblem(number, said(str(error))))
    return tuple(made), tuple(problems)


def _comparable(pasted: Pasted, row: tuple[str, ...], settings: Settings) -> Comparable:
    one = blank(settings)
    for place in sorted(range(len(pasted.fields)), key=lambda at: _turn(pasted.fields[at])):
        field, text = pasted.fields[place], row[place]
        read = BY_FIELD[field].read if field is not None else None
        if field is None or read is None or not text.strip():
            continue
        one = read(one, _with_unit(field, text, pasted.units[place]), settings)
    if not one.title:
        raise EntryError(tr("No boat is named."))
    if one.price.amount <= 0:
        raise EntryError(tr("There is no price."))
    return one


def _turn(field: Field | None) -> int:
    """When a field is read: the currency before the price, all others after them."""
    return _READ_FIRST.index(field) if field in _READ_FIRST else len(_READ_FIRST)


def _with_unit(field: Field, text: str, unit: str) -> str:
    """A bare number with the unit of its head."""
    if not unit or field not in (Field.LENGTH, Field.PRICE) or re.search(r"[^\d.,\s]", text):
        return text
    return f"{text} {unit}"
