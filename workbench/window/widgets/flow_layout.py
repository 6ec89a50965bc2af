"""A layout that sets widgets side by side and goes on in the next line where the width ends."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowLayout(QLayout):
    """Items in reading order, wrapped at the width.

    Parameters
    ----------
    spacing
        Between items of a line; -1 lets borders of neighbours coincide.
    line_spacing
        Between lines.
    """

    def __init__(
        self, parent: QWidget | None = None, *, spacing: int = 8, line_spacing: int = 4
    ) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = spacing
        self._line_gap = line_spacing
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:
        """Take an item to the end."""
        self._items.append(item)

    def count(self) -> int:
        """How many items there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return an item by its place, or None."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Give an item back, or None."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Ask for no more room than the items need."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """The height follows from the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Height of all lines at a width [device-independent pixels]."""
        return self._arrange(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:
        """Put the items in their places."""
        super().setGeometry(rect)
        self._arrange(rect, move=True)

    def sizeHint(self) -> QSize:
        """All items in one line."""
        hints = [item.sizeHint() for item in self._items]
        width = sum(hint.width() for hint in hints) + self._gap * max(0, len(hints) - 1)
        return QSize(width, max((hint.height() for hint in hints), default=0))

    def minimumSize(self) -> QSize:
        """The largest single item."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _arrange(self, rect: QRect, *, move: bool) -> int:
        left, top, line_height = rect.x(), rect.y(), 0
        for item in self._items:
            hint = item.sizeHint()
            if left > rect.x() and left + hint.width() > rect.right() + 1:
                left, top, line_height = rect.x(), top + line_height + self._line_gap, 0
            if move:
                item.setGeometry(QRect(QPoint(left, top), hint))
            left += hint.width() + self._gap
            line_height = max(line_height, hint.height())
        return top + line_height - rect.y()
