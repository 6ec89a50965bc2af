"""The table of the comparison: names of rows stay while boats are scrolled, best and worst are lit.

A lit cell has a ground of its own, heavier figures and a word beside them, so that colour alone
says nothing. Columns share the width evenly as long as they stay readable; then they scroll.
"""

from __future__ import annotations

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QFontMetricsF, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from workbench.window.fonts import TypeRole
from workbench.window.models.copying import let_copy
from workbench.window.models.side_by_side_cells import Cell, Column, Lit, Row
from workbench.window.models.side_by_side_model import (
    CELL_ROLE,
    COLUMN_ROLE,
    ROW_ROLE,
    SideBySideModel,
    lit_word,
)
from workbench.window.palette import Palette
from workbench.window.plank import UNITS_HIGH, UNITS_WIDE, paint_grade
from workbench.window.texts import tr
from workbench.window.widgets.painting import (
    RIGHT,
    paint_focus_ring,
    paint_hairline,
    paint_text,
    text_width,
)
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_RELATED,
    font_of,
    palette_of,
    qcolor,
    row_height,
    scale_of,
)
from workbench.window.widgets.tables import set_up_table

NAMES_WIDE = 206
COLUMN_LEAST = 102
COLUMN_MOST = 330
"""Widths [device-independent pixels at scale 1]."""

_WRAPPED = int(
    Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom | Qt.TextFlag.TextWordWrap
)


class _RowNames(QHeaderView):
    """Names of the rows; a heading is written heavier and has no rule above its first row."""

    def __init__(self, view: QTableView) -> None:
        super().__init__(Qt.Orientation.Vertical, view)
        self._view = view
        self.setAccessibleName(tr("Rows"))
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setHighlightSections(False)
        self.setSectionsClickable(False)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def sizeHint(self) -> QSize:
        """Wide enough for the names."""
        return QSize(round(NAMES_WIDE * scale_of(self._view)), super().sizeHint().height())

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Write one name."""
        row = self.model().headerData(section, Qt.Orientation.Vertical, ROW_ROLE)
        if not isinstance(row, Row):
            return
        palette = palette_of(self._view)
        room = QRectF(rect)
        painter.save()
        painter.fillRect(room, qcolor(palette.panel))
        words = room.adjusted(SPACE_GROUPS, 0, -SPACE_RELATED, 0)
        if row.heading:
            words.setTop(words.top() + words.height() * 0.24)
        font = font_of(self._view, TypeRole.BODY, strong=row.heading)
        paint_text(painter, words, row.title, font, palette.text)
        _paint_rule(painter, room, palette, heavy=row.heading)
        painter.restore()


class _BoatNames(QHeaderView):
    """Names of the boats over what they are; the one that is looked at has the accent line."""

    def __init__(self, view: QTableView) -> None:
        super().__init__(Qt.Orientation.Horizontal, view)
        self._view = view
        self.chosen = -1
        self.setAccessibleName(tr("Boats"))
        self.setHighlightSections(False)
        self.setSectionsClickable(True)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    def _name_lines(self) -> int:
        """Two where a name does not fit into its column, else one."""
        font, room = font_of(self._view, strong=True), self.defaultSectionSize() - 2 * SPACE_RELATED
        model = self._view.model()
        names = (
            str(model.headerData(place, Qt.Orientation.Horizontal) or "")
            for place in range(model.columnCount())
        )
        return 2 if any(text_width(name, font) > room for name in names) else 1

    def sizeHint(self) -> QSize:
        """The names over what the boats are."""
        body = QFontMetricsF(font_of(self._view, strong=True)).height() * self._name_lines()
        small = QFontMetricsF(font_of(self._view, TypeRole.SMALL)).height()
        return QSize(super().sizeHint().width(), round(body + small + 2 * SPACE_RELATED))

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """Write one boat's name and what she is."""
        column = self.model().headerData(section, Qt.Orientation.Horizontal, COLUMN_ROLE)
        if not isinstance(column, Column):
            return
        palette = palette_of(self._view)
        room = QRectF(rect)
        painter.save()
        painter.fillRect(room, qcolor(palette.panel))
        strong, small = font_of(self._view, strong=True), font_of(self._view, TypeRole.SMALL)
        lines = self._name_lines()
        name_high = QFontMetricsF(strong).height() * lines
        words = room.adjusted(SPACE_RELATED, SPACE_RELATED, -SPACE_RELATED, 0)
        words.setHeight(name_high)
        if lines == 1:
            paint_text(painter, words, column.name, strong, palette.text, alignment=RIGHT)
        else:
            painter.setFont(strong)
            painter.setPen(qcolor(palette.text))
            painter.drawText(words, _WRAPPED, column.name)
        about = words.translated(0, name_high)
        about.setHeight(QFontMetricsF(small).height())
        paint_text(painter, about, column.about, small, palette.quiet, alignment=RIGHT)
        _paint_rule(painter, room, palette, heavy=True)
        if section == self.chosen:
            line = QRectF(room.left() + SPACE_RELATED, room.bottom() - 3, room.width(), 3)
            painter.fillRect(line.adjusted(0, 0, -2 * SPACE_RELATED, 0), qcolor(palette.accent))
        painter.restore()


class _Cells(QStyledItemDelegate):
    """Paints a `Cell`: figure at the right with its mark or its note, words at the left."""

    def __init__(self, view: QTableView) -> None:
        super().__init__(view)
        self._view = view

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint one cell."""
        model = self._view.model()
        row = model.headerData(index.row(), Qt.Orientation.Vertical, ROW_ROLE)
        cell = index.data(CELL_ROLE)
        if not isinstance(row, Row) or not isinstance(cell, Cell):
            return
        palette = palette_of(self._view)
        room = QRectF(option.rect)
        painter.save()
        state: QStyle.StateFlag = option.state
        if state & QStyle.StateFlag.State_Selected:
            painter.fillRect(room, qcolor(palette.selection))
        elif cell.lit is Lit.BEST:
            painter.fillRect(room, qcolor(palette.tint(palette.accent, 0.12)))
        elif cell.lit is Lit.WORST:
            painter.fillRect(room, qcolor(palette.tint(palette.due, 0.10)))
        _paint_rule(painter, room, palette, heavy=row.heading)
        inner = room.adjusted(SPACE_RELATED, 0, -SPACE_RELATED, 0)
        if cell.words:
            self._paint_words(painter, inner, cell, palette)
        else:
            self._paint_figure(painter, inner, cell, palette)
        if state & QStyle.StateFlag.State_HasFocus:
            paint_focus_ring(painter, room, palette, 2.0)
        painter.restore()

    def _paint_words(self, painter: QPainter, room: QRectF, cell: Cell, palette: Palette) -> None:
        if cell.grade:
            scale = scale_of(self._view)
            high, wide = UNITS_HIGH * scale, UNITS_WIDE * scale
            mark = QRectF(room.left(), room.center().y() - high / 2, wide, high)
            paint_grade(painter, mark, cell.grade, palette)
            room = room.adjusted(wide + 6, 0, 0, 0)
        ink = palette.text if cell.check else palette.quiet
        font = font_of(self._view, TypeRole.SMALL)
        paint_text(painter, room, cell.text, font, ink)

    def _paint_figure(self, painter: QPainter, room: QRectF, cell: Cell, palette: Palette) -> None:
        lit = cell.lit is not Lit.NOT
        font = font_of(self._view, strong=lit)
        ink = palette.text if cell.text != "–" else palette.quiet
        paint_text(painter, room, cell.text, font, ink, alignment=RIGHT)
        left = room.width() - text_width(cell.text, font) - SPACE_RELATED
        note = lit_word(cell.lit) or cell.note
        small = font_of(self._view, TypeRole.SMALL)
        if lit and text_width(note, small) > left:
            note = "▴" if cell.lit is Lit.BEST else "▾"
        if left < 8 or not note:
            return
        colour = {Lit.BEST: palette.accent, Lit.WORST: palette.due, Lit.NOT: palette.quiet}
        beside = QRectF(room.left(), room.top(), left, room.height())
        paint_text(painter, beside, note, small, colour[cell.lit], alignment=RIGHT)


def _paint_rule(painter: QPainter, room: QRectF, palette: Palette, *, heavy: bool) -> None:
    y = room.bottom() - 0.5
    colour = palette.control_line if heavy else palette.line
    paint_hairline(painter, QPointF(room.left(), y), QPointF(room.right(), y), colour)


class MatrixView(QTableView):
    """The matrix, with the copy key, and the boat that is looked at marked above her column."""

    _fitted = False

    def __init__(self, model: SideBySideModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = model
        self.setModel(model)
        self._boats = _BoatNames(self)
        self.setHorizontalHeader(self._boats)
        set_up_table(self, name=tr("Boats side by side"), stretch_column=-1)
        self.setVerticalHeader(_RowNames(self))
        self.setHorizontalHeader(self._boats)
        self._boats.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self._boats.setAccessibleName(tr("Boats"))
        self.setItemDelegate(_Cells(self))
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ContiguousSelection)
        self.setFrameShape(QTableView.Shape.NoFrame)
        self.setMouseTracking(True)
        let_copy(self)
        model.modelReset.connect(self.fit)
        self.fit()

    @property
    def boat_names(self) -> QHeaderView:
        """The head with the boats' names; a click on it chooses a boat."""
        return self._boats

    def mark_boat(self, boat_id: str) -> None:
        """Mark the boat that is looked at."""
        self._boats.chosen = self._model.column_of(boat_id)
        self._boats.viewport().update()

    def fit(self) -> None:
        """Share the width among the boats; heads of groups are a little higher."""
        self._fitted = True
        scale = scale_of(self)
        high = row_height(self)
        names = self.verticalHeader()
        names.setDefaultSectionSize(high)
        names.setFixedWidth(round(NAMES_WIDE * scale))
        for number in range(self._model.rowCount()):
            heading = self._model.row(number).heading
            names.resizeSection(number, round(high * 1.25) if heading else high)
        self._share_width(scale)

    def _share_width(self, scale: float) -> None:
        boats = self._model.columnCount()
        if not boats:
            return
        room = self.width() - round(NAMES_WIDE * scale) - 12
        least, most = round(COLUMN_LEAST * scale), round(COLUMN_MOST * scale)
        wide = min(max(room // boats, least), most)
        self._boats.setDefaultSectionSize(wide)
        for place in range(boats):
            self._boats.resizeSection(place, wide)
        self.updateGeometries()

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the text."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange} and self._fitted:
            self.fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the new width."""
        super().resizeEvent(event)
        self._share_width(scale_of(self))
