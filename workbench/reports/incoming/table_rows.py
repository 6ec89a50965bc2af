"""What the recognisers of tables share: faults of cells, rows of the wrong length, bare numbers."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from workbench.catalogue.model import Dimension
from workbench.domain.problem import EntryError
from workbench.domain.quantity import UNITS, Quantity, parse_quantity, unit_named
from workbench.reports.words import measured

from .asking import Scales, not_a_number
from .cells import Cell, Holds, Row
from .headings import Table
from .preview import Choice, Draft, Question

MOST_TABLE_ROWS = 2_000
"""Rows of a table of boats or of sales: ten times what anybody looks through."""


def is_too_long(draft: Draft, table: Table) -> bool:
    """Whether a table has more rows than anybody's shortlist; it is told of."""
    if len(table.rows) <= MOST_TABLE_ROWS:
        return False
    draft.problem(
        draft.request.incoming.where(table.sheet),
        f"It has {len(table.rows):,} rows; {MOST_TABLE_ROWS:,} is the limit.",
        "Keep only the rows that are to come in.",
    )
    return True


class TableReader:
    """The cells of one table, and what is said about them."""

    def __init__(self, draft: Draft, table: Table) -> None:
        self.draft, self.table = draft, table

    def where(self, cell: Cell | str) -> str:
        """A place in words."""
        at = cell if isinstance(cell, str) else cell.at
        return self.draft.request.incoming.where(self.table.sheet, at)

    def fault(self, cell: Cell | str, error: EntryError | str) -> None:
        """Say what keeps a cell out; what follows its first sentence is the remedy."""
        message, _, remedy = str(error).partition(". ")
        self.draft.problem(self.where(cell), f"{message.rstrip('.')}.", remedy)

    def cell(self, row: Row, key: str) -> Cell | None:
        """The cell of a row that holds something; None where there is none."""
        return row.cells.get(self.table.columns[key]) if self.table.has(key) else None

    def cells(self, *keys: str) -> Iterator[Cell | None]:
        """The cells of some columns, row by row."""
        for row in self.table.rows:
            for key in keys:
                yield self.cell(row, key)

    def words(self, row: Row, key: str) -> str:
        """What a cell says; a cell with a fault is told of and says nothing."""
        cell = self.cell(row, key)
        if cell is None:
            return ""
        if cell.is_fault:
            self.fault(cell, f"It holds {cell.text}. Type the value itself over it.")
            return ""
        return cell.text.strip()

    def has_fault(self, cell: Cell) -> bool:
        """Whether a cell has no value; it is told of."""
        if cell.is_fault:
            self.fault(cell, f"It holds {cell.text}. Type the value itself over it.")
        return cell.is_fault

    def is_ragged(self, row: Row) -> bool:
        """Whether a row of a text table has another number of fields than its headings."""
        wide = self.table.width
        if not row.width or not wide or row.width == wide:
            return False
        more = (
            "A comma inside a number or a text may have divided it: put that into quotation marks."
            if row.width > wide
            else "Fill in the missing fields, even if with nothing."
        )
        where = self.where(f"line {row.number}")
        self.draft.problem(where, f"It has {row.width} fields and the headings {wide}.", more)
        return True

    def year(self, cell: Cell, scales: Scales) -> int:
        """A year in which a boat can have been built.

        Raises
        ------
        EntryError
            When it is none.
        """
        if cell.day is not None:
            return cell.day.year
        number = scales.number(cell)
        latest = self.draft.request.today.year + 1
        if number != number.to_integral_value() or not 1850 <= number <= latest:
            raise EntryError(
                f"“{cell.text.strip()}” is no year she can be of. Write one such as 1986."
            )
        return int(number)


class Sizes:
    """Reads the measured particulars of a table; a bare number needs the unit of its column."""

    def __init__(self, reader: TableReader, scales: Scales, dimensions: dict[str, Dimension]):
        self._reader, self._scales, self._dimensions = reader, scales, dimensions
        self._units: dict[str, str] = {}
        self.is_open = False
        for key, dimension in dimensions.items():
            if reader.table.has(key):
                self._units[key] = self._settled(key, dimension)

    def _settled(self, key: str, dimension: Dimension) -> str:
        """The unit of bare numbers: in the heading, answered, or the only one; else asked."""
        head = self._reader.table.units.get(key, "")
        named = unit_named(head) if head else ""
        if named and UNITS[named][0] == UNITS[dimension.unit][0]:
            return named
        units = dict.fromkeys((dimension.unit, dimension.imperial_unit))
        answered = self._reader.draft.answer(f"unit/{key}")
        if answered in units or len(units) == 1:
            return answered or dimension.unit
        if any(self._is_bare(row, key) for row in self._reader.table.rows):
            self.is_open = True
            self._reader.draft.ask(
                Question(
                    f"unit/{key}",
                    f"In which unit is the column {dimension.label}?",
                    tuple(Choice(unit, unit) for unit in units),
                )
            )
        return dimension.unit

    def _is_bare(self, row: Row, key: str) -> bool:
        cell = self._reader.cell(row, key)
        if cell is None or self._reader.table.text(row, "unit"):
            return False
        if cell.holds is Holds.NUMBER:
            return True
        return cell.holds is Holds.TEXT and not any(
            sign.isalpha() or sign in "'\"′″’”" for sign in cell.text
        )

    def size(self, cell: Cell, key: str, row_unit: str = "") -> Quantity:
        """The size in a cell.

        Raises
        ------
        EntryError
            With a sentence for the cell.
        """
        dimension = self._dimensions[key]
        printed = unit_named(row_unit) if row_unit else ""
        unit = printed or self._units.get(key, dimension.unit)
        if cell.holds is Holds.NUMBER and cell.number is not None:
            value = Quantity(_rounded(cell.number), unit)
        elif cell.holds is Holds.TEXT:
            value = parse_quantity(cell.text, unit, self._scales.mark)
            self._scales.note_stored_as_text(cell)
        else:
            raise EntryError(not_a_number(cell))
        number = value.exact(dimension.unit)
        if not dimension.low <= number <= dimension.high:
            raise EntryError(
                f"{dimension.label} of {measured(value)} lies outside {dimension.low} to "
                f"{dimension.high} {dimension.unit}. Look at the unit."
            )
        return value


def _rounded(number: Decimal) -> Decimal:
    """A size without the dust of a conversion made in a spreadsheet."""
    tidy = number.quantize(Decimal("1e-9")).normalize()
    return Decimal(int(tidy)) if tidy == tidy.to_integral_value() else tidy
