"""A table of boats sold or advertised becomes comparables, the anchors of a price.

A row with an id that is known changes that comparable. Any other row is a new one, unless one with
the same facts is there already: two sisters of one year may well have fetched different prices.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal

from workbench.catalogue.model import Dimension
from workbench.domain.frozen import FrozenMap
from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable
from workbench.domain.vocabulary import Asked
from workbench.edits.searching import put_comparable
from workbench.reports.words import measured, price

from .asking import Scales
from .cells import Cell, Row, Sheet
from .headings import Head, Table, say_merged, table_of
from .preview import Change, Draft, Preview, Request
from .prices import Prices
from .table_rows import Sizes, TableReader, is_too_long
from .text_values import folded

COMPARABLE_HEADS = (
    Head("id", "the comparable's id", ("id", "comparable id")),
    Head(
        "title",
        "which boat it is",
        ("comparable", "title", "boat", "model", "design", "type", "class"),
        True,
    ),
    Head(
        "price",
        "the price",
        ("price", "sold price", "sold for", "price paid", "asking price", "asking", "paid"),
        True,
    ),
    Head("currency", "the currency", ("currency", "cur")),
    Head("asked", "whether it was asked or paid", ("asked or sold", "kind of price", "price kind")),
    Head("year", "the year she was built", ("year", "built", "year built")),
    Head("length", "the length", ("length", "loa", "length overall", "overall length")),
    Head("unit", "the unit of the length", ("unit", "length unit")),
    Head("on", "the day", ("on", "date", "day", "sold on", "seen on", "sale date")),
    Head("condition", "the condition", ("condition",)),
    Head("equipment", "the worth of equipment", ("equipment", "equipment worth")),
    Head("used", "whether it counts", ("used", "counts")),
    Head("source", "the source", ("source", "where seen", "link", "url", "listing")),
    Head("note", "the note", ("note", "notes", "remarks", "comment")),
)
_LENGTH = Dimension("length", "Length", "", "m", "ft", Decimal(3), Decimal(60))
_SOLD = ("sold", "paid", "realised", "realized", "sale")
_ASKED = ("asked", "asking", "advertised", "listed", "for sale")
_NO = ("0", "no", "n", "false")
_CONDITIONS = {"rough": -2, "poor": -1, "ordinary": 0, "average": 0, "good": 1, "very good": 2}


def preview_of_comparables(request: Request, sheet: Sheet) -> Preview:
    """What a table of comparables would change."""
    draft = Draft(request, "Table of comparables")
    table = table_of(draft, sheet, COMPARABLE_HEADS)
    if table is not None and not is_too_long(draft, table):
        say_merged(draft, table, table.columns)
        if table.unknown:
            listed = ", ".join(f"“{one[:30]}”" for one in table.unknown[:8])
            draft.read_as(f"Columns that were passed over: {listed}.")
        _Comparables(draft, table).take_in()
    return draft.preview(f"Bring in comparables from {request.incoming.name}")


class _Comparables:
    """Turns rows into comparables."""

    def __init__(self, draft: Draft, table: Table) -> None:
        self._draft = draft
        self._reader = TableReader(draft, table)
        numbers = self._reader.cells("price", "length", "equipment")
        self._scales = Scales(draft, numbers, self._reader.cells("on"))
        self._sizes = Sizes(self._reader, self._scales, {"length": _LENGTH})
        self._prices = Prices(draft, self._scales, table.units.get("price", ""))
        if not table.has("currency"):
            self._prices.settle(self._reader.cells("price"))
        self._usual = self._usual_kind(table)
        self._facts = {_facts(one) for one in draft.project.comparables}

    def _usual_kind(self, table: Table) -> Asked:
        """What prices are without a column that says so: paid where the heading says that."""
        column = table.columns["price"]
        heads = [folded(row.text(column)) for row in table.sheet.rows if row not in table.rows]
        sold = any(word in head for head in heads for word in _SOLD)
        if not table.has("asked"):
            words = "paid" if sold else "asked"
            self._draft.read_as(f"Prices are taken as {words}, as no column says.")
        return Asked.SOLD if sold else Asked.ASKED

    def take_in(self) -> None:
        """Go through the rows."""
        is_open = self._scales.is_open or self._sizes.is_open or self._prices.is_open
        for row in self._reader.table.rows:
            self._draft.rows += 1
            if not is_open and not self._reader.is_ragged(row):
                self._row(row)
        self._scales.say_stored_as_text(self._reader.where(""))

    def _row(self, row: Row) -> None:
        known = self._by_id(row)
        made = self._filled(row, known)
        if made is None:
            return
        at = next(iter(row.cells.values())).at
        if known == made or (known is None and _facts(made) in self._facts):
            self._draft.unchanged += 1
            return
        try:
            edit = put_comparable(self._draft.project, made)
        except EntryError as error:
            self._reader.fault(at, error)
            return
        self._facts.add(_facts(made))
        self._draft.change(edit, [_change(known, made, at)])

    def _by_id(self, row: Row) -> Comparable | None:
        wanted = self._reader.words(row, "id")
        comparables = self._draft.project.comparables
        return next((one for one in comparables if one.id == wanted), None)

    def _filled(self, row: Row, known: Comparable | None) -> Comparable | None:
        title, cell = self._reader.words(row, "title"), self._reader.cell(row, "price")
        first = next(iter(row.cells.values()))
        if not title:
            self._reader.fault(first, "The row names no boat. Say which boat it is.")
            return None
        if cell is None:
            self._reader.fault(first, "The row has no price. Give one, or delete the row.")
            return None
        if self._reader.has_fault(cell):
            return None
        try:
            worth = self._prices.money(cell, self._reader.words(row, "currency"))
        except EntryError as error:
            self._reader.fault(cell, error)
            return None
        start = known or Comparable("", title, worth, self._usual)
        made = dataclasses.replace(start, title=title, price=worth)
        for key, fill in self._FILLS.items():
            value = self._reader.cell(row, key)
            if value is None or self._reader.has_fault(value):
                continue
            try:
                made = fill(self, made, value, row)
            except EntryError as error:
                self._reader.fault(value, error)
        return made

    def _fill_asked(self, one: Comparable, cell: Cell, _row: Row) -> Comparable:
        said = folded(cell.text)
        if said in _SOLD:
            return dataclasses.replace(one, asked=Asked.SOLD)
        if said in _ASKED:
            return dataclasses.replace(one, asked=Asked.ASKED)
        raise EntryError(f"“{cell.text.strip()}” is neither asked nor sold. Write one of the two.")

    def _fill_year(self, one: Comparable, cell: Cell, _row: Row) -> Comparable:
        return dataclasses.replace(one, year=self._reader.year(cell, self._scales))

    def _fill_length(self, one: Comparable, cell: Cell, row: Row) -> Comparable:
        length = self._sizes.size(cell, "length", self._reader.words(row, "unit"))
        return dataclasses.replace(one, length=length)

    def _fill_on(self, one: Comparable, cell: Cell, _row: Row) -> Comparable:
        return dataclasses.replace(one, on=self._scales.day(cell))

    def _fill_condition(self, one: Comparable, cell: Cell, _row: Row) -> Comparable:
        said = folded(cell.text)
        step = _CONDITIONS.get(said)
        number = Decimal(step) if step is not None else self._scales.number(cell)
        if number != number.to_integral_value() or not -2 <= number <= 2:
            raise EntryError(f"“{cell.text.strip()}” is no condition. It goes from -2 to 2.")
        return dataclasses.replace(one, condition=int(number))

    def _fill_equipment(self, one: Comparable, cell: Cell, _row: Row) -> Comparable:
        return dataclasses.replace(one, equipment=self._scales.number(cell))

    def _fill_used(self, one: Comparable, cell: Cell, _row: Row) -> Comparable:
        return dataclasses.replace(one, used=folded(cell.text) not in _NO)

    def _fill_source(self, one: Comparable, cell: Cell, _row: Row) -> Comparable:
        return dataclasses.replace(one, source=cell.text.strip())

    def _fill_note(self, one: Comparable, cell: Cell, _row: Row) -> Comparable:
        return dataclasses.replace(one, note=cell.text.strip())

    _FILLS = {  # noqa: RUF012 - never changed
        "asked": _fill_asked,
        "year": _fill_year,
        "length": _fill_length,
        "on": _fill_on,
        "condition": _fill_condition,
        "equipment": _fill_equipment,
        "used": _fill_used,
        "source": _fill_source,
        "note": _fill_note,
    }


def _facts(one: Comparable) -> Comparable:
    """What is known of a comparable, whatever her id and whether she counts."""
    return dataclasses.replace(one, id="", used=True, extra=FrozenMap())


def _change(before: Comparable | None, after: Comparable, at: str) -> Change:
    what = "new comparable" if before is None else "comparable"
    return Change("Comparables", what, _words(before) if before else "", _words(after), at)


def _words(one: Comparable) -> str:
    parts: Sequence[str] = (
        one.title,
        str(one.year or ""),
        measured(one.length) if one.length else "",
        f"{price(one.price.amount, one.price.currency)} {one.price.currency} {one.asked.value}",
        one.on.isoformat() if one.on else "",
    )
    return ", ".join(part for part in parts if part)
