"""Cells of the looks: a bar beside each worth, and quiet ink for looks that do not pay."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPalette, QResizeEvent
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QTableView

from workbench.window.models.looks import BOAT, CHANCE, LOOK_ROLE, WHO, WORTH, LookRow, LooksModel
from workbench.window.widgets.surroundings import SPACE_RELATED, palette_of, qcolor, scale_of

_BAR = 64.0
"""Width of the longest bar [device-independent pixels at scale 1]."""

_WORDS = 132.0
"""Most width of a name; what is looked at gets the rest."""


_ROOM_FOR_WHO, _ROOM_FOR_CHANCE = 760, 640
"""Widths of the table with room for these columns [device-independent pixels at scale 1]."""


class LookCells(QStyledItemDelegate):
    """Writes as the style does, with the ink and the bar of its own."""

    def __init__(self, view: QTableView, model: LooksModel) -> None:
        super().__init__(view)
        self._view = view
        self._model = model

    def initStyleOption(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Write what does not pay in quiet ink."""
        super().initStyleOption(option, index)
        row = index.data(LOOK_ROLE)
        if isinstance(row, LookRow) and row.net <= 0:
            quiet = qcolor(palette_of(self._view).quiet)
            for role in (QPalette.ColorRole.Text, QPalette.ColorRole.HighlightedText):
                option.palette.setColor(role, quiet)

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Room for the bar beside a worth; names take no more than their share."""
        hint = super().sizeHint(option, index)
        if index.column() == WORTH:
            hint.setWidth(hint.width() + round(_BAR * scale_of(self._view)) + SPACE_RELATED)
        elif index.column() in (BOAT, WHO):
            hint.setWidth(min(hint.width(), round(_WORDS * scale_of(self._view))))
        return hint

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint the cell, and the bar of a worth at its left."""
        super().paint(painter, option, index)
        row, greatest = index.data(LOOK_ROLE), float(self._model.greatest)
        if index.column() != WORTH or not isinstance(row, LookRow) or greatest <= 0:
            return
        palette, room = palette_of(self._view), QRectF(option.rect)
        longest = _BAR * scale_of(self._view)
        long = longest * float(row.worth) / greatest
        bar = QRectF(room.left() + SPACE_RELATED, room.center().y() - 3, long, 6)
        if long < 1:
            return
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(qcolor(palette.accent if row.net > 0 else palette.control_line))
        painter.drawRoundedRect(bar, 2, 2)
        painter.restore()


class LooksView(QTableView):
    """The looks; columns that tell least give way where there is little room."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep room for what is looked at."""
        super().resizeEvent(event)
        room = self.width() / scale_of(self)
        self.setColumnHidden(WHO, room < _ROOM_FOR_WHO)
        self.setColumnHidden(CHANCE, room < _ROOM_FOR_CHANCE)
