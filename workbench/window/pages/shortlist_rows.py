"""The rows of the shortlist, painted: her picture or sketch, two lines of words, her cost bar."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QImage, QPainter, QPainterPath
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QTableView

from workbench.window.fonts import TypeRole
from workbench.window.models.shortlist_table import ROW_ROLE, SUB_ROLE, Column, ShortlistRow
from workbench.window.palette import Palette
from workbench.window.widgets.boat_silhouette import paint_boat
from workbench.window.widgets.cost_bar import paint_cost_bar
from workbench.window.widgets.painting import paint_text
from workbench.window.widgets.surroundings import (
    SPACE_RELATED,
    font_of,
    palette_of,
    qcolor,
    scale_of,
)

_PICTURE = (72.0, 46.0)
_BAR = 150
Index = QModelIndex | QPersistentModelIndex
Pictures = Callable[[ShortlistRow], QImage | None]


class ShortlistDelegate(QStyledItemDelegate):
    """Paints the cells of the shortlist.

    Parameters
    ----------
    pictures
        The picture that stands for a boat, None while there is none.
    maximum
        The farthest value that any bar reaches [money].
    """

    def __init__(self, view: QTableView, pictures: Pictures, maximum: Callable[[], float]) -> None:
        super().__init__(view)
        self._view = view
        self._pictures = pictures
        self._maximum = maximum

    def row_height(self) -> int:
        """Room for the picture and for two lines of words."""
        body = QFontMetricsF(font_of(self._view)).height()
        small = QFontMetricsF(font_of(self._view, TypeRole.SMALL)).height()
        return round(max(_PICTURE[1] * scale_of(self._view), body + small) + 12)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As wide as the longer line, or the bar."""
        del option
        strong = QFontMetricsF(font_of(self._view, strong=True))
        small = QFontMetricsF(font_of(self._view, TypeRole.SMALL))
        width = max(
            strong.horizontalAdvance(str(index.data() or "")),
            small.horizontalAdvance(str(index.data(SUB_ROLE) or "")),
        )
        if index.column() == Column.BOAT:
            width += _PICTURE[0] * scale_of(self._view) + SPACE_RELATED
        if index.column() == Column.DEFERRED:
            width = max(_BAR * scale_of(self._view), width)
        return QSize(round(width) + 2 * SPACE_RELATED, self.row_height())

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        row = index.data(ROW_ROLE)
        shown = QStyleOptionViewItem(option)
        style = self._view.style()
        style.drawPrimitive(
            QStyle.PrimitiveElement.PE_PanelItemViewItem, shown, painter, self._view
        )
        if not isinstance(row, ShortlistRow):
            return
        palette = palette_of(self._view)
        rect = QRectF(option.rect).adjusted(SPACE_RELATED, 0, -SPACE_RELATED, 0)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if index.column() == Column.BOAT:
            rect = self._paint_picture(painter, rect, row, palette)
        if index.column() == Column.DEFERRED and row.card.parts is not None:
            self._paint_bar(painter, rect, row, palette)
        else:
            self._paint_lines(painter, rect, index, row, palette)
        painter.restore()

    def _paint_picture(
        self, painter: QPainter, rect: QRectF, row: ShortlistRow, palette: Palette
    ) -> QRectF:
        scale = scale_of(self._view)
        place = QRectF(0, 0, _PICTURE[0] * scale, _PICTURE[1] * scale)
        place.moveCenter(rect.center())
        place.moveLeft(rect.left())
        image = self._pictures(row)
        if image is None:
            paint_boat(painter, place, row.card.sketch, palette)
        else:
            paint_picture(painter, place, image)
        return rect.adjusted(place.width() + SPACE_RELATED, 0, 0, 0)

    def _paint_bar(
        self, painter: QPainter, rect: QRectF, row: ShortlistRow, palette: Palette
    ) -> None:
        assert row.card.parts is not None  # noqa: S101 - asked before
        small = font_of(self._view, TypeRole.SMALL)
        high, bar_high = QFontMetricsF(small).height(), 20 * scale_of(self._view)
        top = rect.center().y() - (bar_high + high) / 2
        bar = QRectF(rect.left(), top, rect.width(), bar_high)
        paint_cost_bar(painter, bar, row.card.parts, self._maximum(), palette)
        line = QRectF(rect.left(), top + bar_high, rect.width(), high)
        paint_text(painter, line, row.card.deferred, small, palette.quiet)

    def _paint_lines(
        self, painter: QPainter, rect: QRectF, index: Index, row: ShortlistRow, palette: Palette
    ) -> None:
        strong = index.column() in (Column.BOAT, Column.ASKED, Column.READY)
        body = font_of(self._view, strong=strong)
        small = font_of(self._view, TypeRole.SMALL)
        words, sub = str(index.data() or ""), str(index.data(SUB_ROLE) or "")
        colour = palette.quiet if row.boat.archived else palette.text
        high = QFontMetricsF(body).height()
        low = QFontMetricsF(small).height() if sub else 0.0
        side = Qt.AlignmentFlag(int(index.data(Qt.ItemDataRole.TextAlignmentRole)))
        line = QRectF(rect.left(), rect.center().y() - (high + low) / 2, rect.width(), high)
        paint_text(painter, line, words, body, colour, alignment=side)
        if sub:
            below = QRectF(rect.left(), line.bottom(), rect.width(), low)
            paint_text(painter, below, sub, small, palette.quiet, alignment=side)


def paint_picture(painter: QPainter, place: QRectF, image: QImage, corner: float = 4.0) -> None:
    """Paint a picture so that it fills a place with round corners; what is too much is cut off."""
    wide, high = image.width(), image.height()
    scale = max(place.width() / max(wide, 1), place.height() / max(high, 1))
    part = QRectF(0, 0, place.width() / scale, place.height() / scale)
    part.moveCenter(QRectF(image.rect()).center())
    outline = QPainterPath()
    outline.addRoundedRect(place, corner, corner)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    painter.setClipPath(outline)
    painter.fillRect(place, qcolor("#000000", 0.04))
    painter.drawImage(place, image, part)
    painter.restore()
