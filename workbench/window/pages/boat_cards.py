"""The boat list of the Boats page: a card for each boat, painted by a delegate."""

from __future__ import annotations

import dataclasses

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.vocabulary import Grade
from workbench.window import formatting
from workbench.window.fonts import TypeRole
from workbench.window.models.boat_list import CARD_ROLE, ID_ROLE, BoatCard, BoatListModel
from workbench.window.palette import Palette
from workbench.window.plank import UNITS_HIGH, UNITS_WIDE, paint_grade
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.boat_silhouette import paint_boat
from workbench.window.widgets.buttons import button
from workbench.window.widgets.cost_bar import paint_cost_bar
from workbench.window.widgets.labels import label
from workbench.window.widgets.painting import (
    RIGHT,
    paint_focus_ring,
    paint_text,
    paint_wrapped,
    text_width,
)
from workbench.window.widgets.surroundings import (
    RADIUS,
    SPACE_GROUPS,
    SPACE_RELATED,
    SPACE_TIGHT,
    font_of,
    palette_of,
    qcolor,
    scale_of,
)

_INSET = 12
_SKETCH = (64.0, 40.0)


class BoatCardDelegate(QStyledItemDelegate):
    """Paints a `BoatCard`: name, what she is, price and cost to ready, bar, grades, coverage."""

    def __init__(self, view: QListView, model: BoatListModel) -> None:
        super().__init__(view)
        self._view = view
        self._model = model

    def sizeHint(
        self, _option: QStyleOptionViewItem, _index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Seven lines of words and a bar."""
        body = QFontMetricsF(font_of(self._view)).height()
        small = QFontMetricsF(font_of(self._view, TypeRole.SMALL)).height()
        heading = QFontMetricsF(font_of(self._view, TypeRole.BODY, strong=True)).height()
        high = heading + 2 * small + body + 3 * small + 24 * scale_of(self._view) + 2 * _INSET + 14
        return QSize(200, round(high))

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint one card."""
        card = index.data(CARD_ROLE)
        if not isinstance(card, BoatCard):
            return
        palette = palette_of(self._view)
        rect = QRectF(option.rect).adjusted(SPACE_RELATED, 3, -SPACE_RELATED, -3)
        state: QStyle.StateFlag = option.state
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_ground(painter, rect, state, palette)
        self._paint_card(
            painter, rect.adjusted(_INSET, _INSET - 2, -_INSET, -_INSET), card, palette
        )
        painter.restore()

    def _paint_ground(
        self, painter: QPainter, rect: QRectF, state: QStyle.StateFlag, palette: Palette
    ) -> None:
        if state & QStyle.StateFlag.State_Selected:
            painter.setPen(QPen(qcolor(palette.accent), 1.4))
            painter.setBrush(qcolor(palette.panel))
            painter.drawRoundedRect(rect, RADIUS + 2, RADIUS + 2)
        elif state & QStyle.StateFlag.State_MouseOver:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(qcolor(palette.hover))
            painter.drawRoundedRect(rect, RADIUS + 2, RADIUS + 2)
        keyboard = QStyle.StateFlag.State_HasFocus | QStyle.StateFlag.State_KeyboardFocusChange
        if state & keyboard == keyboard:
            paint_focus_ring(painter, rect, palette, RADIUS + 2)

    def _paint_card(
        self, painter: QPainter, rect: QRectF, card: BoatCard, palette: Palette
    ) -> None:
        scale = scale_of(self._view)
        strong = font_of(self._view, TypeRole.BODY, strong=True)
        body, small = font_of(self._view), font_of(self._view, TypeRole.SMALL)
        body_high, small_high = QFontMetricsF(body).height(), QFontMetricsF(small).height()
        sketch = QRectF(0, 0, _SKETCH[0] * scale, _SKETCH[1] * scale)
        sketch.moveTopRight(rect.topRight())
        paint_boat(painter, sketch, card.sketch, palette)
        words = rect.width() - sketch.width() - SPACE_RELATED
        y = rect.top()
        paint_text(
            painter, QRectF(rect.left(), y, words, body_high), card.name, strong, palette.text
        )
        y += body_high + 1
        place = QRectF(rect.left(), y, words, 2 * small_high)
        paint_wrapped(painter, place, card.about, small, palette.quiet)
        y += 2 * small_high + SPACE_TIGHT
        self._paint_money(painter, QRectF(rect.left(), y, rect.width(), body_high), card, palette)
        y += body_high + 2
        if card.parts is not None:
            bar = QRectF(rect.left(), y, rect.width(), 24 * scale)
            parts = dataclasses.replace(card.parts, budget=self._model.budget)
            paint_cost_bar(painter, bar, parts, self._model.maximum, palette)
        y += 24 * scale + 2
        self._paint_grades(painter, QRectF(rect.left(), y, rect.width(), small_high), card, palette)
        y += small_high + 2
        line = QRectF(rect.left(), y, rect.width(), small_high)
        paint_text(painter, line, card.coverage, small, palette.quiet)
        paint_text(painter, line, card.status, small, palette.quiet, alignment=RIGHT)
        y += small_high + 1
        due = tr("due and worn {deferred}").format(deferred=card.deferred) if card.deferred else ""
        line = QRectF(rect.left(), y, rect.width(), small_high)
        paint_text(painter, line, due, small, palette.quiet)

    def _paint_money(
        self, painter: QPainter, line: QRectF, card: BoatCard, palette: Palette
    ) -> None:
        small, strong = font_of(self._view, TypeRole.SMALL), font_of(self._view, strong=True)
        asked = tr("asked") + " "
        paint_text(painter, line, asked, small, palette.quiet)
        rest = line.adjusted(text_width(asked, small) + 2, 0, 0, 0)
        paint_text(painter, rest, card.asked, strong, palette.text)
        if card.ready:
            words = tr("to ready {amount}").format(amount=card.ready)
            paint_text(painter, line, words, small, palette.text, alignment=RIGHT)

    def _paint_grades(
        self, painter: QPainter, line: QRectF, card: BoatCard, palette: Palette
    ) -> None:
        small = font_of(self._view, TypeRole.SMALL)
        high = QFontMetricsF(small).capHeight()
        wide = high * UNITS_WIDE / UNITS_HIGH
        x = line.left()
        for grade, count in card.grades:
            words = f"{count} {formatting.grade_word(Grade(grade))}"
            room = text_width(words, small)
            if x + wide + 5 + room > line.right():
                break
            mark = QRectF(x, line.center().y() - high / 2, wide, high)
            paint_grade(painter, mark, grade, palette)
            place = QRectF(mark.right() + 5, line.top(), room + 1, line.height())
            paint_text(painter, place, words, small, palette.text)
            x = place.right() + 10


class BoatCards(QWidget):
    """The boats of the search, one above another.

    Signals
    -------
    add_requested()
        The user wants to enter a boat.
    particulars_requested(boat_id)
        The user wants to see or change what is known of a boat.
    """

    add_requested = Signal()
    particulars_requested = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = BoatListModel(session, self)
        self.view = QListView()
        self.view.setModel(self.model)
        self.view.setItemDelegate(BoatCardDelegate(self.view, self.model))
        self.view.setAccessibleName(tr("Boats"))
        self.view.setUniformItemSizes(True)
        self.view.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.view.setFrameShape(QListView.Shape.NoFrame)
        self.view.setMouseTracking(True)
        self._about = label("", "small", wrap=True)
        self.add_button = button(
            tr("Add a boat"), "link", tip=tr("Enter a boat and her particulars (Ctrl+B)")
        )
        self._lay_out()
        self.view.selectionModel().currentChanged.connect(self._on_current)
        self.view.doubleClicked.connect(self._on_opened)
        self.view.activated.connect(self._on_opened)
        self.add_button.clicked.connect(self.add_requested)
        session.boat_selected.connect(self._follow)
        session.changed.connect(self._say_about)
        self.model.modelReset.connect(lambda: self._follow(session.boat_id))
        self._follow(session.boat_id)
        self._say_about()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(SPACE_GROUPS + 4, SPACE_RELATED + 4, SPACE_GROUPS, 0)
        head.addWidget(self._about, 1)
        head.addWidget(self.add_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addLayout(head)
        column.addWidget(self.view, 1)

    def _say_about(self) -> None:
        settings = self._session.project.settings
        count = self.model.rowCount()
        boats = tr("1 boat") if count == 1 else tr("{n} boats").format(n=count)
        budget = ""
        if settings.budget is not None:
            budget = tr(", budget {amount}").format(amount=formatting.whole(settings.budget))
        self._about.setText(boats + budget)

    def _on_current(self, current: QModelIndex) -> None:
        boat_id = current.data(ID_ROLE)
        if boat_id:
            self._session.select_boat(str(boat_id))

    def _on_opened(self, index: QModelIndex) -> None:
        boat_id = index.data(ID_ROLE)
        if boat_id:
            self.particulars_requested.emit(str(boat_id))

    def _follow(self, boat_id: str) -> None:
        row = self.model.row_of(boat_id)
        if row >= 0 and self.view.currentIndex().row() != row:
            self.view.setCurrentIndex(self.model.index(row))
