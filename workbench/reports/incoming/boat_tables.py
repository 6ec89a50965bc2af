"""A table of boats becomes boats on the shortlist: a row for each, known by her id or her name.

A boat that is there gets what the table says of her; an empty cell says nothing. A new price is
added to the history of her asking price. Nothing is ever taken away.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from datetime import date

from workbench.catalogue.labels import in_every_language
from workbench.catalogue.model import Catalogue, Fact
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Status
from workbench.edits.boats import add_boat
from workbench.edits.edit import Edit, Put
from workbench.reports.words import measured, price

from .asking import Scales
from .cells import Cell, Row, Sheet
from .entry_values import chosen
from .headings import Head, Table, say_merged, table_of
from .preview import Change, Draft, Preview, Request
from .prices import Prices
from .table_rows import Sizes, TableReader, is_too_long
from .text_values import folded

TEXTS = {
    "design": Head("design", "the design", ("design", "type", "model", "class", "make and model")),
    "builder": Head("builder", "the builder", ("builder", "built by", "boatbuilder", "make")),
    "hull_number": Head("hull_number", "the hull number", ("hull number", "hin", "hull no", "cin")),
    "lies_at": Head(
        "lies_at", "where she lies", ("lies at", "lying", "location", "place", "where", "marina")
    ),
    "seller": Head("seller", "the seller", ("seller", "owner", "broker", "vendor")),
    "contact": Head("contact", "the contact", ("contact", "phone", "telephone", "email", "e-mail")),
    "listing_address": Head(
        "listing_address",
        "the address of the listing",
        ("listing", "listing address", "link", "url", "web", "advertisement"),
    ),
    "equipment_note": Head("equipment_note", "the equipment", ("equipment", "inventory")),
    "private_note": Head(
        "private_note", "your notes", ("notes", "note", "private note", "remarks", "comment")
    ),
}
_TEXT_WORDS = {key: head.names[0] for key, head in TEXTS.items()}
_SIZE_NAMES: Mapping[str, Sequence[str]] = {
    "loa": ("loa", "length", "overall length", "length over all"),
    "lwl": ("lwl", "waterline", "dwl"),
    "beam": ("width", "breadth", "boa"),
    "draft": ("draught", "depth"),
    "displacement": ("weight", "displ", "displ.", "disp"),
    "ballast": ("keel weight",),
    "sail-area": ("sails",),
    "engine-hours": ("hours", "motor hours"),
    "engine-power": ("power", "horsepower"),
}
OTHERS = (
    Head("id", "the boat's id", ("boat id", "id")),
    Head("year", "the year she was built", ("year", "built", "year built", "build year")),
    Head("price", "the price", ("price", "asking", "asking price", "asked", "list price")),
    Head("currency", "the currency", ("currency", "cur")),
    Head("asked_on", "the day of the price", ("asked on", "price date", "priced on", "seen on")),
    Head("status", "where she stands", ("status",)),
)
NAME = Head("name", "the boat's name", ("name", "boat", "boat name", "vessel", "yacht"), True)
_NAME_BESIDE_ID = Head("name", "the boat's name", ("name", "boat name"), True)
_ID_BESIDE_NAME = Head("id", "the boat's id", ("boat", "boat id", "id"))


def boat_heads(catalogue: Catalogue, sheet: Sheet) -> tuple[Head, ...]:
    """The headings of a table of boats; beside a name, “Boat” is her id."""
    both = {"boat", "name"}
    beside = any(
        both <= {folded(cell.text) for cell in row.cells.values()} for row in sheet.rows[:60]
    )
    sizes = (
        Head(f"size/{key}", one.label, (*_named(key, one.label), *_SIZE_NAMES.get(key, ())))
        for key, one in catalogue.dimensions.items()
    )
    facts = (
        Head(f"fact/{key}", one.label, _named(key, one.label))
        for key, one in catalogue.facts.items()
    )
    others = (*TEXTS.values(), *OTHERS[1:], *sizes, *facts)
    first = (_NAME_BESIDE_ID, _ID_BESIDE_NAME) if beside else (NAME, OTHERS[0])
    return (*first, *_each_name_once(others))


def _named(key: str, label: str) -> tuple[str, ...]:
    """Headings that mean a fact or a dimension: its id, and its label in any language."""
    return (key, *in_every_language(label)[1:])


def _each_name_once(heads: Sequence[Head]) -> tuple[Head, ...]:
    """Headings that mean one thing only: the first that claims a name keeps it."""
    taken: set[str] = set()
    made: list[Head] = []
    for head in heads:
        free = tuple(name for name in head.names if folded(name) not in taken)
        made.append(dataclasses.replace(head, names=free))
        taken |= head.known_by()
    return tuple(made)


def preview_of_boats(request: Request, sheet: Sheet) -> Preview:
    """What a table of boats would change."""
    draft = Draft(request, "Table of boats")
    table = table_of(draft, sheet, boat_heads(request.catalogue, sheet))
    if table is not None and not is_too_long(draft, table):
        say_merged(draft, table, table.columns)
        _say_columns(draft, table, request.catalogue)
        _Boats(draft, table).take_in()
    return draft.preview(f"Bring in boats from {request.incoming.name}")


def _say_columns(draft: Draft, table: Table, catalogue: Catalogue) -> None:
    del catalogue
    if table.unknown:
        listed = ", ".join(f"“{one[:30]}”" for one in table.unknown[:8])
        draft.read_as(f"Columns that were passed over: {listed}.")


class _Boats:
    """Turns rows into boats."""

    def __init__(self, draft: Draft, table: Table) -> None:
        self._draft = draft
        self._reader = TableReader(draft, table)
        catalogue = draft.request.catalogue
        self._facts = {f"fact/{key}": fact for key, fact in catalogue.facts.items()}
        sizes = {f"size/{key}": one for key, one in catalogue.dimensions.items()}
        numbers = self._reader.cells("price", *sizes)
        self._scales = Scales(draft, numbers, self._reader.cells("asked_on"))
        self._sizes = Sizes(self._reader, self._scales, sizes)
        self._prices = Prices(draft, self._scales, table.units.get("price", ""))
        if not table.has("currency"):
            self._prices.settle(self._reader.cells("price"))
        self._named: dict[str, Cell] = {}
        self._by_name: dict[str, list[Boat]] = {}
        for one in draft.project.boats.values():
            self._by_name.setdefault(folded(one.boat.name), []).append(one.boat)

    def take_in(self) -> None:
        """Go through the rows."""
        is_open = self._scales.is_open or self._sizes.is_open or self._prices.is_open
        for row in self._reader.table.rows:
            self._draft.rows += 1
            if not is_open and not self._reader.is_ragged(row):
                self._row(row)
        self._scales.say_stored_as_text(self._reader.where(""))

    def _row(self, row: Row) -> None:
        name = self._reader.words(row, "name")
        if not name:
            first = next(iter(row.cells.values()))
            self._reader.fault(
                first, "The row names no boat. Give her a name, or what you call her."
            )
            return
        key = folded(self._reader.words(row, "id") or name)
        if key in self._named:
            place = self._named[key].at
            self._reader.fault(
                next(iter(row.cells.values())),
                f"“{name}” stands there twice, first at {place}. Keep one, or give each an id.",
            )
            return
        self._named[key] = next(iter(row.cells.values()))
        before = self._known(row, name)
        after = self._filled(row, before or Boat("", name))
        if before is None:
            edit = add_boat(self._draft.project, after)
            self._draft.change(edit, _new_boat(after, self._named[key].at))
        else:
            self._update(before, after, self._named[key].at)

    def _known(self, row: Row, name: str) -> Boat | None:
        boats = self._draft.project.boats
        boat_id = self._reader.words(row, "id")
        if boat_id in boats:
            return boats[boat_id].boat
        if boat_id:
            return None
        same = self._by_name.get(folded(name), [])
        return same[0] if len(same) == 1 else None

    def _update(self, before: Boat, after: Boat, at: str) -> None:
        names = [field.name for field in dataclasses.fields(Boat)]
        changed = [name for name in names if getattr(before, name) != getattr(after, name)]
        if not changed:
            self._draft.unchanged += 1
            return
        path = ("boats", before.id, "boat")
        puts = tuple(Put((*path, name), getattr(after, name)) for name in changed)
        changes = _differences(before, after, at)
        self._draft.change(Edit(f"Change {before.name}", puts), changes)

    def _filled(self, row: Row, boat: Boat) -> Boat:
        """The boat with all that the row says put over it."""
        changes: dict[str, object] = {}
        boat_id = self._reader.words(row, "id")
        if not boat.id and boat_id:
            self._draft.notice(
                self._reader.where(f"row {row.number}"), f"No boat has the id “{boat_id}”."
            )
        name = self._reader.words(row, "name")
        if name and name != boat.name:
            changes["name"] = name
        for key in TEXTS:
            text = self._reader.words(row, key)
            if text:
                changes[key] = text
        boat = dataclasses.replace(boat, **changes)  # type: ignore[arg-type]
        boat = self._with_year_and_status(row, boat)
        boat = self._with_price(row, boat)
        return self._with_particulars(row, boat)

    def _with_year_and_status(self, row: Row, boat: Boat) -> Boat:
        year = self._reader.cell(row, "year")
        if year is not None and not self._reader.has_fault(year):
            try:
                boat = dataclasses.replace(boat, year=self._reader.year(year, self._scales))
            except EntryError as error:
                self._reader.fault(year, error)
        status = folded(self._reader.words(row, "status")).replace(" ", "-")
        known = {one.value: one for one in Status}
        if status in known:
            return dataclasses.replace(boat, status=known[status])
        if status:
            cell = self._reader.cell(row, "status")
            listed = ", ".join(known)
            self._reader.fault(cell or "", f"“{status}” is no status. There are: {listed}.")
        return boat

    def _with_price(self, row: Row, boat: Boat) -> Boat:
        cell = self._reader.cell(row, "price")
        if cell is None or self._reader.has_fault(cell):
            return boat
        try:
            asked = self._prices.money(cell, self._reader.words(row, "currency"))
            on = self._asked_on(row)
        except EntryError as error:
            self._reader.fault(cell, error)
            return boat
        return dataclasses.replace(boat, asking=_asked(boat.asking, asked, on, self._today()))

    def _today(self) -> date:
        return self._draft.request.today

    def _asked_on(self, row: Row) -> date | None:
        cell = self._reader.cell(row, "asked_on")
        return None if cell is None else self._scales.day(cell)

    def _with_particulars(self, row: Row, boat: Boat) -> Boat:
        dimensions, facts = boat.dimensions, boat.facts
        for key in self._reader.table.columns:
            cell = self._reader.cell(row, key)
            kind, _, name = key.partition("/")
            if cell is None or not name or self._reader.has_fault(cell):
                continue
            try:
                if kind == "size":
                    size = self._sizes.size(cell, key)
                    if not _is_same(dimensions.get(name), size):
                        dimensions = dimensions.set(name, size)
                else:
                    facts = facts.set(name, _fact(self._facts[key], cell))
            except EntryError as error:
                self._reader.fault(cell, error)
        return dataclasses.replace(boat, dimensions=dimensions, facts=facts)


def _is_same(known: Quantity | None, size: Quantity) -> bool:
    """Whether a size is there already, in whatever unit: equal to a millionth part."""
    if known is None:
        return False
    number = known.exact(size.unit)
    return abs(number - size.exact(size.unit)) <= abs(number) / 1_000_000


def _fact(fact: Fact, cell: Cell) -> str:
    known = chosen(fact.choices, cell)
    if known is not None:
        return known
    listed = "; ".join(one.label for one in fact.choices)
    raise EntryError(
        f"“{cell.text.strip()}” is no {fact.label.lower()} I know. There are: {listed}."
    )


def _asked(
    history: tuple[AskingPrice, ...], asked: Money, on: date | None, today: date
) -> tuple[AskingPrice, ...]:
    """The history with a price added, unless it is there already."""
    if any(one.price == asked and (on is None or one.on == on) for one in history[-1:]):
        return history
    if on is not None and any(one.price == asked and one.on == on for one in history):
        return history
    added = AskingPrice(asked, on or today)
    same_day = tuple(one for one in history if one.on != added.on)
    return tuple(sorted((*same_day, added), key=lambda one: one.on or date.min))


def _new_boat(boat: Boat, at: str) -> list[Change]:
    about = [boat.design, str(boat.year or ""), _price_words(boat)]
    shown = ", ".join(part for part in about if part)
    return [Change("Shortlist", "new boat", "", f"{boat.name} {shown}".strip(), at)]


def _price_words(boat: Boat) -> str:
    asked = boat.asking_price
    return f"{price(asked.amount, asked.currency)} {asked.currency}" if asked else ""


def _differences(before: Boat, after: Boat, at: str) -> list[Change]:
    """What is other about a boat, value by value."""
    pairs: list[tuple[str, str, str]] = [
        (words, getattr(before, key), getattr(after, key)) for key, words in _TEXT_WORDS.items()
    ]
    pairs += [
        ("name", before.name, after.name),
        ("year built", str(before.year or ""), str(after.year or "")),
        ("asking price", _price_words(before), _price_words(after)),
        ("status", before.status.value, after.status.value),
    ]
    for key in dict.fromkeys((*before.dimensions, *after.dimensions)):
        sizes = (before.dimensions.get(key), after.dimensions.get(key))
        pairs.append((key, *(measured(one) if one else "" for one in sizes)))  # type: ignore[arg-type]
    pairs += [
        (key, before.facts.get(key, ""), after.facts.get(key, ""))
        for key in dict.fromkeys((*before.facts, *after.facts))
    ]
    return [Change(before.name, what, old, new, at) for what, old, new in pairs if old != new]
