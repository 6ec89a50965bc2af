"""The filled rows of a field form, each with all that stands on it, by the names of the rows.

A spreadsheet has a row for each answer with columns for the rest; a fillable PDF has a field for
each. Both become the same `Said`.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from workbench.domain.record import dataclass

from . import row_names as names
from .cells import Cell, Holds, Row, Sheet
from .headings import Head, Table, say_merged, table_of
from .preview import Draft
from .text_values import folded

HEADS = (
    Head("row", names.ROW, ("row id", "row name", "id"), needed=True),
    Head("value", names.VALUE, ("answer", "reading"), needed=True),
    Head("unit", names.UNIT, ("units",)),
    Head("why", names.WHY, ("could not see", "not seen", "why not")),
    Head("note", names.NOTES, ("notes", "remark", "remarks")),
    Head("unsure", names.UNSURE, ("unsure", "not sure (x)")),
    Head("by", names.BY_HEAD, ("who", "name")),
    Head("day", names.DAY_HEAD, ("day", "on")),
)


@dataclass(frozen=True, slots=True)
class Said:
    """What one row answers.

    Attributes
    ----------
    entry
        Empty for what belongs to the whole check.
    unit
        As printed on the row.
    sight
        `not seen`, `not fitted` or `not sure` where one field says so; else empty.
    """

    name: Cell
    check: str
    entry: str
    value: Cell | None = None
    unit: str = ""
    why: Cell | None = None
    note: Cell | None = None
    unsure: Cell | None = None
    by: Cell | None = None
    on: Cell | None = None
    sight: str = ""


@dataclass(frozen=True, slots=True)
class FormRows:
    """All that a form says: who, when, and the answers."""

    sheet: Sheet
    by: Cell | None
    on: Cell | None
    said: tuple[Said, ...]


def form_rows(draft: Draft, sheet: Sheet) -> FormRows | None:
    """The filled rows of a form; None while a column has to be asked for."""
    table = table_of(draft, sheet, HEADS)
    if table is None:
        return None
    say_merged(draft, table, ("value", "why", "note"))
    by = on = units = None
    said: list[Said] = []
    for row in table.rows:
        name = row.cells.get(table.columns["row"])
        value = row.cells.get(table.columns["value"])
        if name is None:
            _say_nameless(draft, table, row)
        elif name.text.strip() == names.BY:
            by = value
        elif name.text.strip() == names.DATE:
            on = value
        elif name.text.strip() == names.UNITS:
            units = value
        elif name.is_fault:
            where = draft.request.incoming.where(sheet, name.at)
            draft.problem(where, f"The row's name is {name.text}.", "Put its name back.")
        else:
            said += _said(table, row, name, boxes=draft.request.incoming.kind == "pdf")
    if units is not None and folded(units.text) == names.IMPERIAL:
        said = [_in_imperial_units(draft, one) for one in said]
    return FormRows(sheet, by, on, tuple(said))


def _in_imperial_units(draft: Draft, said: Said) -> Said:
    """A row whose bare number is in the unit that an imperial form asks for."""
    check = draft.request.catalogue.checks.get(said.check)
    entry = check.entry(said.entry) if check is not None else None
    if entry is None or said.unit or not entry.imperial_unit:
        return said
    return dataclasses.replace(said, unit=entry.imperial_unit)


def _said(table: Table, row: Row, name: Cell, *, boxes: bool) -> Iterator[Said]:
    """What a row says, if it says anything; with `boxes` a row may be one box of a choice."""
    key, value = name.text.strip(), row.cells.get(table.columns["value"])
    box = names.ticked_box(key) if boxes else None
    if box is not None:
        key = box[0]
        value = value and Cell(value.at, Holds.TEXT, box[1])
    pair = names.check_and_entry(key)
    if pair is None:
        return

    def cell(key: str) -> Cell | None:
        return row.cells.get(table.columns[key]) if key in table.columns else None

    check, entry = pair
    made = Said(
        name,
        check,
        entry,
        value,
        table.text(row, "unit"),
        cell("why"),
        cell("note"),
        cell("unsure"),
        cell("by"),
        cell("day"),
    )
    if any(one is not None for one in (made.value, made.why, made.note, made.unsure)):
        yield _of_the_check(made)


def _of_the_check(said: Said) -> Said:
    """A row for a whole check, as a PDF has it, with its value where a column would be."""
    if said.entry == names.SIGHT:
        sight = folded(said.value.text).replace("-", " ") if said.value is not None else ""
        return Said(said.name, said.check, "", by=said.by, on=said.on, sight=sight)
    if said.entry == names.NOT_SEEN:
        return dataclasses.replace(said, entry="", value=None, why=said.value or said.why)
    if said.entry == names.NOTE:
        return dataclasses.replace(said, entry="", value=None, note=said.value or said.note)
    if said.entry == names.NOT_SURE:
        return dataclasses.replace(said, entry="", value=None, unsure=said.value or said.unsure)
    return said


def _say_nameless(draft: Draft, table: Table, row: Row) -> None:
    keys = ("value", "why", "note")
    if any(table.text(row, key) for key in keys):
        draft.notice(
            draft.request.incoming.where(table.sheet, f"row {row.number}"),
            "It has no name in the first column, so it was passed over.",
            "Enter it by hand, if it is wanted.",
        )
