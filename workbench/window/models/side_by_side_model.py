"""The matrix of the comparison as a table: a row for each thing that matters, a column for a boat.

Roles: DisplayRole the text, `CELL_ROLE` a `Cell`, ToolTipRole what the cell rests on,
AccessibleTextRole the cell with its boat and its row. Vertical heads answer `ROW_ROLE` with a
`Row`, horizontal heads `COLUMN_ROLE` with a `Column`.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from workbench.window.models.side_by_side_cells import Cell, Column, Lit, Matrix, Row
from workbench.window.texts import tr

CELL_ROLE = int(Qt.ItemDataRole.UserRole) + 1
ROW_ROLE = int(Qt.ItemDataRole.UserRole) + 2
COLUMN_ROLE = int(Qt.ItemDataRole.UserRole) + 3
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
_NO_CELL = Cell("")


def lit_word(lit: Lit) -> str:
    """The word that marks a cell; empty for one that is not marked."""
    return {Lit.BEST: tr("best"), Lit.WORST: tr("worst"), Lit.NOT: ""}[lit]


class SideBySideModel(QAbstractTableModel):
    """Shows a `Matrix`; another one is taken over with the smallest change."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._matrix = Matrix()
        self._readers: dict[int, Callable[[Index, Cell], object]] = {
            int(Qt.ItemDataRole.DisplayRole): lambda _, cell: cell.text,
            int(Qt.ItemDataRole.ToolTipRole): lambda _, cell: _tip(cell),
            int(Qt.ItemDataRole.TextAlignmentRole): lambda _, cell: _side(cell),
            int(Qt.ItemDataRole.AccessibleTextRole): self._spoken,
            CELL_ROLE: lambda _, cell: cell,
        }

    @property
    def matrix(self) -> Matrix:
        """What is shown."""
        return self._matrix

    def take(self, matrix: Matrix) -> None:
        """Show another matrix."""
        before, same = self._matrix, _shape(self._matrix) == _shape(matrix)
        if not same:
            self.beginResetModel()
            self._matrix = matrix
            self.endResetModel()
            return
        self._matrix = matrix
        for number, (old, new) in enumerate(zip(before.rows, matrix.rows, strict=True)):
            for place, (was, now) in enumerate(zip(old.cells, new.cells, strict=True)):
                if was != now:
                    changed = self.index(number, place)
                    self.dataChanged.emit(changed, changed)
        if before.columns != matrix.columns and matrix.columns:
            last = len(matrix.columns) - 1
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, last)

    def row(self, number: int) -> Row:
        """One row."""
        return self._matrix.rows[number]

    def column_of(self, boat_id: str) -> int:
        """The column of a boat; -1 when she is not shown."""
        columns = self._matrix.columns
        return next((place for place, one in enumerate(columns) if one.boat == boat_id), -1)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many rows there are, headings included."""
        return 0 if parent.isValid() else len(self._matrix.rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """How many boats there are."""
        return 0 if parent.isValid() else len(self._matrix.columns)

    def cell(self, index: Index) -> Cell:
        """One cell; an empty one in a heading."""
        row = self._matrix.rows[index.row()]
        return row.cells[index.column()] if row.cells else _NO_CELL

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one cell shows."""
        if not index.isValid():
            return None
        read = self._readers.get(int(role))
        return read(index, self.cell(index)) if read is not None else None

    def _spoken(self, index: Index, cell: Cell) -> str:
        row, column = self._matrix.rows[index.row()], self._matrix.columns[index.column()]
        if row.heading:
            return row.title
        parts = (column.name, row.title, cell.text, lit_word(cell.lit), cell.note)
        return ", ".join(part for part in parts if part)

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Names of boats above, of rows at the left."""
        if orientation == Qt.Orientation.Horizontal:
            return _column_head(self._matrix.columns, section, role)
        return _row_head(self._matrix.rows, section, role)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Cells can be chosen to be copied; headings cannot."""
        if not index.isValid() or self._matrix.rows[index.row()].heading:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable


def _shape(matrix: Matrix) -> tuple[object, ...]:
    rows = tuple((row.key, row.title, row.tip, row.heading) for row in matrix.rows)
    return rows, tuple(column.boat for column in matrix.columns)


def _side(cell: Cell) -> int:
    side = Qt.AlignmentFlag.AlignLeft if cell.words else Qt.AlignmentFlag.AlignRight
    return int(side | Qt.AlignmentFlag.AlignVCenter)


def _tip(cell: Cell) -> str:
    lines = [cell.text] if cell.words and cell.text else []
    if cell.lit is not Lit.NOT:
        lines.append(lit_word(cell.lit))
    return "\n".join([*lines, cell.tip] if cell.tip else lines)


def _column_head(columns: tuple[Column, ...], section: int, role: int) -> object:
    if not 0 <= section < len(columns):
        return None
    column = columns[section]
    if role == Qt.ItemDataRole.DisplayRole:
        return column.name
    if role == COLUMN_ROLE:
        return column
    if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
        return ", ".join(part for part in (column.name, column.about) if part)
    return None


def _row_head(rows: tuple[Row, ...], section: int, role: int) -> object:
    if not 0 <= section < len(rows):
        return None
    row = rows[section]
    if role == Qt.ItemDataRole.DisplayRole:
        return row.title
    if role == ROW_ROLE:
        return row
    if role == Qt.ItemDataRole.ToolTipRole:
        return row.tip or None
    return None
