"""The price book as a table: item, what it says, and the buyer's own figures beside it.

Roles: display and tooltip by column; `ITEM_ROLE` answers the item's id, `MINE_ROLE` whether it has
figures of the buyer's own. The figures are those of the catalogue and the project; nothing is kept.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSortFilterProxyModel,
    Qt,
)

from workbench.catalogue.model import Catalogue, PriceItem
from workbench.catalogue.names import trade_words
from workbench.domain.project import PriceOverride
from workbench.domain.span import Span
from workbench.window import formatting
from workbench.window.entries import plain
from workbench.window.session import Session
from workbench.window.texts import tr

ITEM_ROLE = int(Qt.ItemDataRole.UserRole) + 1
MINE_ROLE = ITEM_ROLE + 1
ITEM, HOURS, MATERIALS, OWN_HOURS, OWN_MATERIALS = range(5)

Index = QModelIndex | QPersistentModelIndex


def headings() -> tuple[str, ...]:
    """The headings of the columns."""
    return (
        tr("Item"),
        tr("Hours, book"),
        tr("Materials, book"),
        tr("Hours, yours"),
        tr("Materials, yours"),
    )


def hours_words(item: PriceItem, catalogue: Catalogue, own: PriceOverride | None = None) -> str:
    """The hours of an item in a few words: those of the book, or those of the buyer."""
    spans = (
        {one.trade: one.hours for one in item.labour} if own is None else dict(own.hours.items())
    )
    return "; ".join(
        f"{_likely(span)} {trade_words(catalogue, trade)}" for trade, span in spans.items()
    )


def money_words(span: Span | None) -> str:
    """A range of money in a few words."""
    if span is None:
        return ""
    if span.certain:
        return formatting.whole(span.likely)
    return f"{formatting.whole(span.low)} – {formatting.whole(span.high)}"


def _likely(span: Span) -> str:
    return f"{plain(span.likely)} h"


class PriceItemsModel(QAbstractTableModel):
    """Every item of the price book of a session's catalogue."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._items: tuple[PriceItem, ...] = ()
        self._own = session.project.overrides.prices
        self._take_items()
        session.changed.connect(self._on_changed)
        session.assessed.connect(self._on_assessed)

    def _take_items(self) -> None:
        items = self._session.catalogue.prices.items.values()
        self._items = tuple(sorted(items, key=lambda one: (one.book, one.title.casefold())))

    def _on_assessed(self) -> None:
        known = self._session.catalogue.prices.items
        if len(known) != len(self._items) or any(
            known.get(one.id) is not one for one in self._items
        ):
            self.beginResetModel()
            self._take_items()
            self.endResetModel()

    def _on_changed(self) -> None:
        own = self._session.project.overrides.prices
        if own is self._own:
            return
        self._own = own
        if self._items:
            last = self.index(len(self._items) - 1, OWN_MATERIALS)
            self.dataChanged.emit(self.index(0, 0), last)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Answer one row for each item."""
        return 0 if parent.isValid() else len(self._items)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - Qt's own default
        """Answer the number of columns."""
        return 0 if parent.isValid() else len(headings())

    def item(self, row: int) -> PriceItem:
        """The item in a row."""
        return self._items[row]

    def row_of(self, item_id: str) -> int:
        """The row of an item; -1 for none."""
        return next((row for row, one in enumerate(self._items) if one.id == item_id), -1)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What a cell shows."""
        if not index.isValid():
            return None
        item = self._items[index.row()]
        own = self._own.get(item.id)
        right = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        answers: dict[int, Callable[[], object]] = {
            ITEM_ROLE: lambda: item.id,
            MINE_ROLE: lambda: own is not None,
            Qt.ItemDataRole.DisplayRole: lambda: self._text(index.column(), item, own),
            Qt.ItemDataRole.ToolTipRole: lambda: item.note or f"{item.title}, {item.unit}",
            Qt.ItemDataRole.TextAlignmentRole: lambda: None if index.column() == ITEM else right,
        }
        answer = answers.get(role)
        return answer() if answer is not None else None

    def _text(self, column: int, item: PriceItem, own: PriceOverride | None) -> str:
        if column == ITEM:
            return item.title
        if column == HOURS:
            return hours_words(item, self._session.catalogue)
        if column == MATERIALS:
            return money_words(item.materials)
        if own is None:
            return ""
        if column == OWN_HOURS:
            return hours_words(item, self._session.catalogue, own)
        return money_words(own.materials)

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """What a heading shows."""
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return headings()[section]
        if role == Qt.ItemDataRole.TextAlignmentRole and section != ITEM:
            return int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        return None


class PriceFilter(QSortFilterProxyModel):
    """The items whose words hold every word sought, and only one's own where asked."""

    def __init__(self, model: PriceItemsModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._model = model
        self._words: tuple[str, ...] = ()
        self._only_mine = False
        self.setSourceModel(model)
        self.setSortCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)

    def seek(self, text: str) -> None:
        """Show the items with all these words."""
        self.beginFilterChange()
        self._words = tuple(text.casefold().split())
        self.endFilterChange()

    def show_only_mine(self, only: bool) -> None:
        """Show the items with own figures alone, or all."""
        self.beginFilterChange()
        self._only_mine = only
        self.endFilterChange()

    def filterAcceptsRow(self, row: int, parent: Index) -> bool:
        """Whether an item is shown."""
        del parent
        item = self._model.item(row)
        if self._only_mine and not self._model.index(row, 0).data(MINE_ROLE):
            return False
        text = f"{item.title} {item.id} {item.book} {item.note}".casefold()
        return all(word in text for word in self._words)
