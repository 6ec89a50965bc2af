"""Rows of trees and lists as they stand in the notebook: mark, title, quieter words, bar, figure.

A model answers `ROW_ROLE` with a `RowParts`; everything else about the row is the delegate's. One
line (28 high) carries the quiet words at the right; a `sub_line` makes the row two lines high.
Columns of figures stand right-aligned under each other because the bar keeps its width.
"""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QHelpEvent, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QToolTip,
    QWidget,
)

from workbench.domain.record import dataclass
from workbench.window.fonts import TypeRole
from workbench.window.palette import Palette
from workbench.window.plank import UNITS_HIGH, UNITS_WIDE, paint_grade
from workbench.window.widgets.painting import RIGHT, paint_focus_ring, paint_hairline, paint_text
from workbench.window.widgets.range_bar import Range, paint_range_bar
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_RELATED,
    font_of,
    palette_of,
    qcolor,
    row_height,
)

ROW_ROLE = int(Qt.ItemDataRole.UserRole) + 40
"""Role under which a model answers with the `RowParts` of an index."""

BAR_WIDTH = 72.0
"""Width of the range bar [device-independent pixels at scale 1]."""


@dataclass(frozen=True, slots=True)
class RowParts:
    """What a row shows.

    Attributes
    ----------
    title
        The row's own words.
    grade
        Mark before the title; '' leaves its place out.
    sub_line
        Quieter words below the title; '' makes a row of one line.
    beside
        Quiet words at the right of a row without a figure.
    figure
        Figure at the right, bold.
    span, axis
        Range drawn before the figure, and the axis all rows share.
    colour
        Role of the palette for the range: 'due', 'worn', 'quiet', 'unseen', 'accent'.
    strong
        Title written bold, as for a group.
    quiet
        The whole row written quietly, as for shared or overruled work.
    lit
        The row belongs to the figure chosen elsewhere.
    """

    title: str
    grade: str = ""
    sub_line: str = ""
    beside: str = ""
    figure: str = ""
    span: Range | None = None
    axis: tuple[float, float] = (0.0, 1.0)
    colour: str = "quiet"
    strong: bool = False
    quiet: bool = False
    lit: bool = False

    def spoken(self) -> str:
        """Say the row in one line."""
        parts = (self.title, self.grade, self.beside, self.figure, self.sub_line)
        return ", ".join(part for part in parts if part)


class _Fonts:
    """Fonts and heights of one view, made once per window and text scale."""

    def __init__(self, widget: QWidget) -> None:
        self.window = widget.window()
        self.made_for = self.window.font()
        self.body = font_of(widget, TypeRole.BODY)
        self.strong = font_of(widget, TypeRole.BODY, strong=True)
        self.small = font_of(widget, TypeRole.SMALL)
        self.scale = self.body.pixelSize() / 13.0
        self.title_height = QFontMetricsF(self.body).height()
        self.small_height = QFontMetricsF(self.small).height()
        self.one_line = row_height(widget)
        self.two_lines = max(self.one_line, round(self.title_height + self.small_height + 9))


class RowDelegate(QStyledItemDelegate):
    """Paints rows of `RowParts` in a view with one column.

    Parameters
    ----------
    view
        The view it paints for; it is the delegate's parent too.
    ruled
        Draw a hairline below each row.
    """

    def __init__(self, view: QWidget, *, ruled: bool = False) -> None:
        super().__init__(view)
        self._view = view
        self._ruled = ruled
        self._fonts: _Fonts | None = None

    def _fonts_now(self) -> _Fonts:
        window, fonts = self._view.window(), self._fonts
        if fonts is None or fonts.window is not window or fonts.made_for != window.font():
            fonts = self._fonts = _Fonts(self._view)
        return fonts

    def forget_sizes(self) -> None:
        """Measure again: rows are to be larger or smaller than they were."""
        self._fonts = None

    @staticmethod
    def _parts(index: QModelIndex | QPersistentModelIndex) -> RowParts:
        parts = index.data(ROW_ROLE)
        if isinstance(parts, RowParts):
            return parts
        return RowParts(title=str(index.data(Qt.ItemDataRole.DisplayRole) or ""))

    def sizeHint(
        self, _option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """One row, or as high as its two lines."""
        fonts = self._fonts_now()
        return QSize(120, fonts.two_lines if self._parts(index).sub_line else fonts.one_line)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint ground, mark, words, bar and figure."""
        palette = palette_of(self._view)
        parts = self._parts(index)
        rect = QRectF(option.rect)
        state: QStyle.StateFlag = option.state
        painter.save()
        self._paint_ground(painter, rect, state, parts, palette)
        inner = rect.adjusted(SPACE_RELATED, 0, -SPACE_RELATED - 2, 0)
        self._paint_words(painter, inner, parts, palette)
        painter.restore()

    def _paint_ground(
        self,
        painter: QPainter,
        rect: QRectF,
        state: QStyle.StateFlag,
        parts: RowParts,
        palette: Palette,
    ) -> None:
        selected = bool(state & QStyle.StateFlag.State_Selected)
        if selected or parts.lit:
            painter.fillRect(rect, qcolor(palette.selection))
        elif state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(rect, qcolor(palette.hover))
        if selected:
            painter.fillRect(
                QRectF(rect.left(), rect.top(), 3, rect.height()), qcolor(palette.accent)
            )
        if self._ruled:
            below = rect.bottom() - 0.5
            paint_hairline(
                painter, QPointF(rect.left(), below), QPointF(rect.right(), below), palette.line
            )
        focused = state & QStyle.StateFlag.State_HasFocus
        keyboard = state & QStyle.StateFlag.State_KeyboardFocusChange
        if focused and keyboard:
            paint_focus_ring(painter, rect, palette, 2.0)

    def _paint_words(
        self, painter: QPainter, rect: QRectF, parts: RowParts, palette: Palette
    ) -> None:
        fonts = self._fonts_now()
        ink = palette.quiet if parts.quiet else palette.text
        title_font = fonts.strong if parts.strong else fonts.body
        line = QRectF(rect)
        if parts.sub_line:
            block = fonts.title_height + fonts.small_height
            top = rect.top() + (rect.height() - block) / 2
            line = QRectF(rect.left(), top, rect.width(), fonts.title_height)
        left = self._paint_mark(painter, line, parts, palette, fonts)
        right = self._paint_right(painter, line, parts, palette, ink)
        words = QRectF(left, line.top(), max(right - left, 0.0), line.height())
        paint_text(painter, words, parts.title, title_font, ink)
        if parts.sub_line:
            below = QRectF(left, line.bottom(), max(right - left, 0.0), fonts.small_height)
            paint_text(painter, below, parts.sub_line, fonts.small, palette.quiet)

    @staticmethod
    def _paint_mark(
        painter: QPainter, line: QRectF, parts: RowParts, palette: Palette, fonts: _Fonts
    ) -> float:
        """Paint the mark and return where the words begin."""
        if not parts.grade:
            return line.left()
        height = UNITS_HIGH * fonts.scale
        width = UNITS_WIDE * fonts.scale
        place = QRectF(line.left(), line.center().y() - height / 2, width, height)
        paint_grade(painter, place, parts.grade, palette)
        return place.right() + SPACE_RELATED

    def _paint_right(
        self, painter: QPainter, line: QRectF, parts: RowParts, palette: Palette, ink: str
    ) -> float:
        """Paint figure, bar or quiet words at the right; return where the title must end."""
        fonts = self._fonts_now()
        if parts.figure:
            return self._paint_figure(painter, line, parts, palette, ink)
        if not parts.beside:
            return line.right()
        width = self._beside_width(line, parts)
        if width == 0:
            return line.right()
        place = QRectF(line.right() - width, line.top(), width, line.height())
        paint_text(painter, place, parts.beside, fonts.small, palette.quiet, alignment=RIGHT)
        return place.left() - SPACE_RELATED

    def _beside_width(self, line: QRectF, parts: RowParts) -> float:
        """Room of the quiet words: short ones stand whole, longer ones take what the title leaves.

        A row is found by its title, so longer words give way to it; the tip says the whole row.
        """
        fonts = self._fonts_now()
        wanted = _width(parts.beside, fonts.small)
        short, least = line.width() * 0.25, line.width() * 0.15
        if wanted <= short:
            return wanted
        title = _width(parts.title, fonts.strong if parts.strong else fonts.body)
        mark = UNITS_WIDE * fonts.scale + SPACE_RELATED if parts.grade else 0.0
        left = line.width() - mark - title - SPACE_RELATED
        return min(wanted, left) if left >= least else 0.0

    def helpEvent(
        self,
        event: QHelpEvent,
        view: QAbstractItemView,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> bool:
        """Say the whole row where the model has no tip of its own, since words may be cut."""
        if event.type() == QEvent.Type.ToolTip and not index.data(Qt.ItemDataRole.ToolTipRole):
            QToolTip.showText(event.globalPos(), self._parts(index).spoken(), view)
            return True
        return super().helpEvent(event, view, option, index)

    def _paint_figure(
        self, painter: QPainter, line: QRectF, parts: RowParts, palette: Palette, ink: str
    ) -> float:
        fonts = self._fonts_now()
        room = max(_width(parts.figure, fonts.strong), _width("00,000", fonts.strong))
        place = QRectF(line.right() - room, line.top(), room, line.height())
        paint_text(painter, place, parts.figure, fonts.strong, ink, alignment=RIGHT)
        if parts.span is None:
            return place.left() - SPACE_GROUPS
        width = BAR_WIDTH * fonts.scale
        bar = QRectF(place.left() - SPACE_RELATED - width, line.top(), width, line.height())
        colour = palette.quiet if parts.quiet else str(getattr(palette, parts.colour))
        paint_range_bar(painter, bar, parts.span, parts.axis, colour=colour, palette=palette)
        return bar.left() - SPACE_RELATED


def _width(text: str, font: QFont) -> float:
    return QFontMetricsF(font).horizontalAdvance(text) + 1
