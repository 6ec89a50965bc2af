"""Ways to put something right, as joined rows to choose from: title, a quieter line, a figure.

Arrows move and choose, as in any group of radio buttons. The figures stand right-aligned under
each other, so the ways can be compared at a glance.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QButtonGroup, QRadioButton, QSizePolicy, QVBoxLayout, QWidget

from workbench.domain.record import dataclass
from workbench.window.fonts import TypeRole
from workbench.window.widgets.painting import (
    RIGHT,
    paint_focus_ring,
    paint_hairline,
    paint_text,
    paint_wrapped,
    text_width,
    wrapped_height,
)
from workbench.window.widgets.surroundings import (
    RADIUS,
    SPACE_RELATED,
    font_of,
    palette_of,
    qcolor,
    row_height,
)


@dataclass(frozen=True, slots=True)
class RemedyRow:
    """One row: what it is, a quieter line below, and its figure as text."""

    key: object
    title: str
    sub_line: str = ""
    figure: str = ""


class _Row(QRadioButton):
    """One row of the list; painted whole, read out as a radio button with its figure."""

    def __init__(self, row: RemedyRow) -> None:
        super().__init__(row.title)
        self.row = row
        self.first = self.last = False
        self.setAccessibleName(f"{row.title}, {row.figure}" if row.figure else row.title)
        self.setAccessibleDescription(row.sub_line)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def _left(self) -> float:
        return 16.0 + 2 * self._radius() + SPACE_RELATED

    def _radius(self) -> float:
        return font_of(self, TypeRole.BODY).pixelSize() * 0.5

    def _figure_width(self) -> float:
        return text_width(self.row.figure, font_of(self, TypeRole.BODY, strong=True))

    def _words_width(self, width: float) -> float:
        figure = self._figure_width()
        gap = SPACE_RELATED * 2 if figure else 0
        return width - self._left() - 14 - figure - gap

    def _heights(self, width: float) -> tuple[float, float]:
        room = self._words_width(width)
        title = wrapped_height(self.row.title, font_of(self, TypeRole.BODY), room)
        return title, wrapped_height(self.row.sub_line, font_of(self, TypeRole.SMALL), room)

    def heightForWidth(self, width: int) -> int:
        """Height of the wrapped words, and at least one row."""
        return max(round(sum(self._heights(width)) + 14), row_height(self) + 6)

    def sizeHint(self) -> QSize:
        """Room for the words in one line."""
        title = text_width(self.row.title, font_of(self, TypeRole.BODY))
        width = round(self._left() + title + self._figure_width() + 40)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        """Room for the figure and about a dozen characters, wrapped."""
        least = self._left() + self._figure_width() + 40
        width = round(least + 7 * font_of(self, TypeRole.BODY).pixelSize())
        return QSize(width, row_height(self))

    def hitButton(self, position: object) -> bool:
        """The whole row is the button."""
        del position
        return True

    def event(self, event: QEvent) -> bool:
        """Repaint when the pointer comes and goes."""
        if event.type() in {QEvent.Type.HoverEnter, QEvent.Type.HoverLeave}:
            self.update()
        return super().event(event)

    def _paint_ring(self, painter: QPainter, centre: QPointF) -> None:
        palette = palette_of(self)
        radius = self._radius()
        chosen = self.isChecked()
        painter.setPen(QPen(qcolor(palette.accent if chosen else palette.control_line), 1.2))
        painter.setBrush(qcolor(palette.accent if chosen else palette.field))
        painter.drawEllipse(centre, radius, radius)
        if chosen:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(qcolor(palette.on_accent))
            painter.drawEllipse(centre, radius * 0.4, radius * 0.4)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the row: ring, words, figure, and a line to the next row."""
        palette = palette_of(self)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            rect = QRectF(self.rect())
            if self.isChecked() or self.underMouse():
                ground = palette.selection if self.isChecked() else palette.hover
                painter.fillRect(rect.adjusted(1, 1, -1, 0), qcolor(ground))
            title_height, sub_height = self._heights(self.width())
            top = (rect.height() - title_height - sub_height) / 2
            room = self._words_width(self.width())
            self._paint_ring(painter, QPointF(14 + self._radius(), top + title_height / 2))
            body = font_of(self, TypeRole.BODY)
            ink = palette.text if self.isEnabled() else palette.quiet
            title = QRectF(self._left(), top, room, title_height)
            paint_wrapped(painter, title, self.row.title, body, ink)
            sub = QRectF(self._left(), top + title_height, room, sub_height)
            small = font_of(self, TypeRole.SMALL)
            paint_wrapped(painter, sub, self.row.sub_line, small, palette.quiet)
            strong = font_of(self, TypeRole.BODY, strong=True)
            beside = QRectF(0, top, rect.width() - 14, title_height)
            paint_text(painter, beside, self.row.figure, strong, ink, alignment=RIGHT)
            if not self.last:
                paint_hairline(
                    painter,
                    QPointF(1, rect.height() - 1),
                    QPointF(rect.width() - 2, rect.height() - 1),
                    palette.line,
                )
            if self.hasFocus():
                paint_focus_ring(painter, rect.adjusted(1, 1, -1, -1), palette, RADIUS - 1)


class RemedyList(QWidget):
    """Rows of which one is chosen.

    Parameters
    ----------
    rows
        The rows in their order.
    name
        Accessible name of the question, such as 'Put right by'.

    Signals
    -------
    chosen(key)
        The user chose a row.
    """

    chosen = Signal(object)

    def __init__(
        self, rows: Sequence[RemedyRow] = (), *, name: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._rows: list[_Row] = []
        self._group = QButtonGroup(self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(1, 1, 1, 1)
        self._column.setSpacing(0)
        self.setAccessibleName(name)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.set_rows(rows)

    def set_rows(self, rows: Sequence[RemedyRow]) -> None:
        """Offer other rows; the choice stays where its key still exists."""
        if [one.row for one in self._rows] == list(rows):
            return
        key = self.choice()
        for old in self._rows:
            self._group.removeButton(old)
            self._column.removeWidget(old)
            old.deleteLater()
        self._rows = [_Row(row) for row in rows]
        for place, made in enumerate(self._rows):
            made.first, made.last = place == 0, place == len(rows) - 1
            made.clicked.connect(self._on_clicked)
            self._group.addButton(made)
            self._column.addWidget(made)
        self.set_choice(key)
        self.updateGeometry()

    def buttons(self) -> tuple[QRadioButton, ...]:
        """Return the rows as the radio buttons they are."""
        return tuple(self._rows)

    def choice(self) -> object:
        """Key of the chosen row, or None."""
        return next((one.row.key for one in self._rows if one.isChecked()), None)

    def set_choice(self, key: object) -> None:
        """Choose a row without announcing it; None chooses none."""
        self._group.setExclusive(False)
        for one in self._rows:
            one.setChecked(key is not None and one.row.key == key)
        self._group.setExclusive(True)

    def _on_clicked(self) -> None:
        self.chosen.emit(self.choice())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the frame round all rows."""
        if not self._rows:
            return
        palette = palette_of(self)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setBrush(qcolor(palette.field))
            painter.setPen(QPen(qcolor(palette.control_line), 1.0))
            bottom = self._rows[-1].geometry().bottom() + 2
            frame = QRectF(0.5, 0.5, self.width() - 1, bottom - 1)
            painter.drawRoundedRect(frame, RADIUS, RADIUS)
