"""A request for a quote that came back with prices becomes quotes, one for each priced row.

A row is known by the key of the work it asks for. Rows may share one price (`Priced with` names the
row that carries it), or one price may stand for all the work. Tax that comes on top is added, so
that a quote is what is paid. A revised quote of the same yard takes the place of its earlier one.
The file itself is kept with the boat's documents, and each quote of it names it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from workbench.domain.ledger import Ledger, Quote
from workbench.domain.money import Money, cents, total
from workbench.domain.problem import EntryError
from workbench.edits.costing import put_quote, remove_quote
from workbench.reports.words import price

from . import row_names as names
from .asking import Scales
from .cells import Cell, Row, Sheet
from .headings import Head, Table, say_merged, table_of
from .preview import Change, Draft, Preview, Question, Request
from .prices import Prices
from .table_rows import TableReader
from .text_values import folded
from .work_keys import is_work, without_lay_up, work_title

_HEADS = (
    Head("row", names.ROW, ("row id", "row name", "id"), needed=True),
    Head("price", names.PRICE, ("price", "cost", "total", "amount"), needed=True),
    Head("number", "No.", ("no", "number")),
    Head("hours", names.HOURS, ("hour", "labour hours")),
    Head("parts", names.PARTS, ("materials",)),
    Head("with", names.PRICED_WITH, ("price with", "together with")),
    Head("note", names.NOTES, ("notes", "remark", "remarks")),
)


def preview_of_quote(request: Request, sheet: Sheet, boat_id: str) -> Preview:
    """What a filled request for a quote would change on one boat."""
    boat = request.project.boats[boat_id].boat
    draft = Draft(request, f"Quote for {boat.name}")
    table = table_of(draft, sheet, _HEADS)
    yard = ""
    if table is not None:
        say_merged(draft, table, table.columns)
        quote = _Reply(draft, table, boat_id)
        quote.take_in()
        yard = quote.yard
    return draft.preview(f"Bring in the quote of {yard or 'a yard'} for {boat.name}")


@dataclass(slots=True)
class _Priced:
    """A price and the work that it is for."""

    amount: Money
    cell: Cell
    keys: list[str]
    notes: list[str] = field(default_factory=list)


class _Reply:
    """Turns the rows of one reply into quotes."""

    def __init__(self, draft: Draft, table: Table, boat_id: str) -> None:
        self._draft, self._boat_id = draft, boat_id
        self._boat = draft.request.project.boats[boat_id].boat
        self._reader = TableReader(draft, table)
        self._heads = {name: row for name, row in self._named() if name in names.QUOTE_HEADS}
        self._rows = [(name, row) for name, row in self._named() if name not in names.QUOTE_HEADS]
        days = [self._head(name) for name in (names.QUOTED_ON, names.VALID_UNTIL)]
        self._scales = Scales(draft, self._number_cells(), days)
        self._prices = Prices(draft, self._scales)
        currency = self._head(names.CURRENCY)
        self._currency = currency.text if currency is not None else ""
        if not self._currency:
            self._prices.settle(self._reader.cells("price"))
        self.yard = draft.answer("yard") or self._head_text(names.YARD)

    def _named(self) -> Iterator[tuple[str, Row]]:
        for row in self._reader.table.rows:
            name = row.text(self._reader.table.columns["row"])
            if name and names.boat_of(name, names.QUOTE) is None:
                yield without_lay_up(name), row

    def _head(self, name: str) -> Cell | None:
        row = self._heads.get(name)
        return None if row is None else self._reader.cell(row, "price")

    def _head_text(self, name: str) -> str:
        cell = self._head(name)
        return "" if cell is None or cell.is_fault else " ".join(cell.text.split())

    def _number_cells(self) -> Iterator[Cell | None]:
        for _, row in self._rows:
            for key in ("price", "hours", "parts"):
                yield self._reader.cell(row, key)
        for name in (names.HOUR, names.TAX, names.ALL_WORK):
            yield self._head(name)

    # --- Heads ---

    def _day(self, name: str) -> date | None:
        cell = self._head(name)
        if cell is None or self._reader.has_fault(cell):
            return None
        try:
            return self._scales.day(cell)
        except EntryError as error:
            self._reader.fault(cell, error)
            return None

    def _figure(self, name: str) -> Decimal | None:
        """A number of the head: the price of an hour, the tax in per cent."""
        cell = self._head(name)
        if cell is None or self._reader.has_fault(cell):
            return None
        try:
            number = self._scales.number(cell)
            if number < 0 or (name == names.TAX and number > 100):
                raise EntryError(f"“{cell.text}” cannot be. Write 0 or more.")
        except EntryError as error:
            self._reader.fault(cell, error)
            return None
        return number

    # --- Rows ---

    def take_in(self) -> None:
        """Read the rows and put the quotes on record."""
        if not self.yard:
            self._draft.ask(Question("yard", "Which yard or trade is the quote from?"))
        for row in self._reader.table.rows:
            self._say_nameless(row)
        if self._scales.is_open or self._prices.is_open:
            self._draft.rows = len(self._rows)
            return
        hour = self._figure(names.HOUR)
        priced: dict[str, _Priced] = {}
        for key, row in self._rows:
            self._draft.rows += 1
            if self._is_known(key, row):
                self._price_row(key, row, hour, priced)
        self._join(priced)
        made = self._all_or_each(list(priced.values()))
        if self.yard:
            self._record(made)
        self._scales.say_stored_as_text(self._reader.where(""))

    def _say_nameless(self, row: Row) -> None:
        table = self._reader.table
        if not row.text(table.columns["row"]) and row.text(table.columns["price"]):
            if self._is_sum(row):
                return
            self._draft.notice(
                self._reader.where(f"row {row.number}"),
                "It is not one of the rows that were asked for, so it was passed over.",
                "Add it to the ledger as a job of your own, if it is wanted.",
            )

    def _is_sum(self, row: Row) -> bool:
        return any(folded(cell.text).startswith(("sum", "total")) for cell in row.cells.values())

    def _is_known(self, key: str, row: Row) -> bool:
        ledger = self._draft.request.project.boats[self._boat_id].ledger
        if is_work(key, self._draft.request.catalogue, ledger):
            return True
        if any(self._reader.cell(row, one) is not None for one in ("price", "hours", "parts")):
            cell = self._reader.cell(row, "row")
            self._reader.fault(
                cell or "", f"There is no work “{key}”. Leave the first column as it was."
            )
        return False

    def _price_row(
        self, key: str, row: Row, hour: Decimal | None, priced: dict[str, _Priced]
    ) -> None:
        found = self._price_of(row, hour)
        if found is None:
            return
        amount, cell = found
        if key in priced:
            if priced[key].amount != amount:
                self._reader.fault(
                    cell,
                    f"The same row stands there twice, also at {priced[key].cell.at}. Keep one.",
                )
            return
        note = self._reader.words(row, "note")
        priced[key] = _Priced(amount, cell, [key], [note] if note else [])

    def _price_of(self, row: Row, hour: Decimal | None) -> tuple[Money, Cell] | None:
        """The price of a row, or what its hours and parts come to; None where nothing is said."""
        cell = self._reader.cell(row, "price")
        if cell is not None:
            if self._reader.has_fault(cell):
                return None
            try:
                return self._prices.money(cell, self._currency), cell
            except EntryError as error:
                self._reader.fault(cell, error)
                return None
        return self._from_hours(row, hour)

    def _from_hours(self, row: Row, hour: Decimal | None) -> tuple[Money, Cell] | None:
        hours, parts = self._reader.cell(row, "hours"), self._reader.cell(row, "parts")
        at = hours or parts
        if at is None or any(
            one is not None and self._reader.has_fault(one) for one in (hours, parts)
        ):
            return None
        try:
            worked = self._scales.number(hours) if hours is not None else Decimal(0)
            bought = self._scales.number(parts) if parts is not None else Decimal(0)
            code = self._prices.code_of(self._currency)
            if worked < 0 or bought < 0:
                raise EntryError("Hours and parts cannot be less than nothing. Write 0 or more.")
        except EntryError as error:
            self._reader.fault(at, error)
            return None
        if worked and hour is None:
            self._reader.fault(
                at, "There are hours and no price. Give a price, or that of an hour."
            )
            return None
        amount = cents(worked * (hour or 0) + bought, code)
        self._draft.notice(
            self._reader.where(at),
            f"The price is reckoned from hours and parts: {price(amount, code)} {code}.",
        )
        return Money(amount, code), at

    def _join(self, priced: dict[str, _Priced]) -> None:
        """Let rows without a price share that of the row they name."""
        by_number = {self._reader.words(row, "number"): key for key, row in self._rows}
        for key, row in self._rows:
            cell = self._reader.cell(row, "with")
            if cell is None or key in priced:
                continue
            other = by_number.get(cell.text.strip(), without_lay_up(cell.text.strip()))
            if other not in priced:
                self._reader.fault(
                    cell, f"“{cell.text.strip()}” is no row with a price. Write the number of one."
                )
            elif key not in priced[other].keys:
                priced[other].keys.append(key)

    def _all_or_each(self, priced: list[_Priced]) -> list[_Priced]:
        """The prices of the rows, or the one price for all the work."""
        cell = self._head(names.ALL_WORK)
        if cell is None or self._reader.has_fault(cell):
            return priced
        try:
            whole = self._prices.money(cell, self._currency)
        except EntryError as error:
            self._reader.fault(cell, error)
            return priced
        if not priced:
            return [_Priced(whole, cell, [key for key, _ in self._rows])]
        summed = total((one.amount for one in priced), whole.currency)
        if summed != whole:
            shown, said = (price(one.amount, one.currency) for one in (summed, whole))
            self._reader.fault(
                cell,
                f"The rows come to {shown}, and {said} stands for all the work. "
                "Keep the one or the other.",
            )
        return priced

    # --- Quotes ---

    def _record(self, priced: list[_Priced]) -> None:
        on, until = self._day(names.QUOTED_ON), self._day(names.VALID_UNTIL)
        if on is None and priced:
            self._draft.notice(self._reader.where(""), "The quote has no date.")
        tax = self._figure(names.TAX) or Decimal(0)
        ours = [self._quote(one, on, until, tax) for one in priced]
        for made, one in zip(ours, priced, strict=True):
            self._put(made, one.cell)
        self._drop_superseded(ours)

    def _quote(self, one: _Priced, on: date | None, until: date | None, tax: Decimal) -> Quote:
        amount = one.amount
        notes = list(one.notes)
        if tax:
            amount = (amount * (1 + tax / 100)).rounded()
            before = price(one.amount.amount, one.amount.currency)
            notes.append(f"with {tax:f} % tax, which comes on top of {before}")
        return Quote("", self.yard, amount, tuple(one.keys), on, until, note="; ".join(notes))

    def _ledger(self) -> Ledger:
        return self._draft.project.boats[self._boat_id].ledger

    def _put(self, made: Quote, cell: Cell) -> None:
        before = next((one for one in self._ledger().quotes if _is_same_quote(one, made)), None)
        if before is not None:
            made = dataclasses.replace(
                made, id=before.id, document=before.document, extra=before.extra
            )
            if made == before and before.document:
                self._draft.unchanged += 1
                return
        made = dataclasses.replace(made, document=self._draft.keep_file(self._boat_id))
        if made == before:
            self._draft.unchanged += 1
            return
        self._say_taken_over(made, before)
        edit = put_quote(self._draft.project, self._boat_id, made)
        old = _words(before) if before is not None else ""
        new = _words(made)
        if old == new and before is not None and before.document != made.document:
            new = f"{new}, with the file it came in"
        where = f"{self._boat.name}, {self._titles(made.answers)}"
        self._draft.change(edit, [Change(where, f"quote of {made.yard}", old, new, cell.at)])

    def _say_taken_over(self, made: Quote, before: Quote | None) -> None:
        for other in self._ledger().quotes:
            shared = set(other.answers) & set(made.answers)
            if shared and other is not before and folded(other.yard) != folded(made.yard):
                self._draft.notice(
                    f"{self._boat.name}, {self._titles(sorted(shared))}",
                    f"The quote of {other.yard} ({_words(other)}) no longer counts for it.",
                    "Set it back in the ledger if it is the one you will take.",
                )

    def _drop_superseded(self, ours: list[Quote]) -> None:
        """Take away earlier quotes of this yard whose work it has priced anew."""
        asked = {key for one in ours for key in one.answers}
        earlier = self._draft.request.project.boats[self._boat_id].ledger.quotes
        for one in earlier:
            is_ours = any(_is_same_quote(one, made) for made in ours)
            if folded(one.yard) != folded(self.yard) or is_ours:
                continue
            if one.answers and set(one.answers) <= asked:
                edit = remove_quote(self._draft.project, self._boat_id, one.id)
                change = Change(self._boat.name, f"quote of {one.yard}", _words(one), "taken back")
                self._draft.change(edit, [change])

    def _titles(self, keys: Iterable[str]) -> str:
        catalogue = self._draft.request.catalogue
        known = [work_title(key, catalogue, self._ledger()) for key in keys]
        return known[0] if len(known) == 1 else f"{known[0]} and {len(known) - 1} more"


def _is_same_quote(one: Quote, other: Quote) -> bool:
    """Whether two quotes are one yard's answer to the same work."""
    return folded(one.yard) == folded(other.yard) and set(one.answers) == set(other.answers)


def _words(quote: Quote) -> str:
    on = f", {quote.on.isoformat()}" if quote.on else ""
    return f"{price(quote.amount.amount, quote.amount.currency)} {quote.amount.currency}{on}"
