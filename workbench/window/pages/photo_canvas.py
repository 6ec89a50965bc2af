"""A photo large, with rings drawn on it by mouse or keyboard.

Press in the middle of what matters and draw outwards. By keys: R puts a ring in the middle, Tab
goes from ring to ring, arrows move the ring that is lit, plus and minus size it, Delete takes it
away. Places are shares of the picture, so a ring stays where it is at any size.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.domain.inspection import PhotoMark
from workbench.window.texts import tr
from workbench.window.widgets.painting import paint_focus_ring
from workbench.window.widgets.surroundings import palette_of, qcolor

STEP = 0.01
SMALLEST, LARGEST = 0.01, 0.5
FIRST_RADIUS = 0.08
_MOVES = {
    Qt.Key.Key_Left: (-STEP, 0.0),
    Qt.Key.Key_Right: (STEP, 0.0),
    Qt.Key.Key_Up: (0.0, -STEP),
    Qt.Key.Key_Down: (0.0, STEP),
}
_SIZES = {Qt.Key.Key_Plus: STEP, Qt.Key.Key_Equal: STEP, Qt.Key.Key_Minus: -STEP}


class PhotoCanvas(QWidget):
    """One photo and its rings.

    Signals
    -------
    marks_changed(marks)
        The user drew, moved, sized or took away a ring: all of them as they are now.
    lit(place)
        Another ring is lit; -1 for none.
    """

    marks_changed = Signal(object)
    lit = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._image: QImage | None = None
        self._words = ""
        self._marks: tuple[PhotoMark, ...] = ()
        self._lit = -1
        self._begun: PhotoMark | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(tr("Photo"))
        self.setToolTip(tr("Press in the middle of what matters and draw a ring around it."))

    # --- What is shown ---

    def set_picture(self, image: QImage | None, words: str = "") -> None:
        """Show a picture, or words in its place."""
        self._image, self._words = image, words
        self.update()

    def set_marks(self, marks: Sequence[PhotoMark]) -> None:
        """Show these rings without announcing them."""
        self._marks = tuple(marks)
        if self._lit >= len(self._marks):
            self._lit = -1
        self._describe()
        self.update()

    def marks(self) -> tuple[PhotoMark, ...]:
        """The rings as they are."""
        return self._marks

    @property
    def lit_place(self) -> int:
        """Which ring is lit; -1 for none."""
        return self._lit

    def light(self, place: int) -> None:
        """Light one ring; -1 for none."""
        wanted = place if 0 <= place < len(self._marks) else -1
        if wanted != self._lit:
            self._lit = wanted
            self._describe()
            self.lit.emit(wanted)
            self.update()

    def _describe(self) -> None:
        count = len(self._marks)
        said = tr("{n} rings").format(n=count)
        if self._lit >= 0:
            words = tr("{said}; ring {n} is lit: {label}")
            label = self._marks[self._lit].label or tr("no words yet")
            said = words.format(said=said, n=self._lit + 1, label=label)
        self.setAccessibleDescription(said)

    def picture_rect(self) -> QRectF:
        """Where the picture lies in the widget."""
        if self._image is None or self._image.isNull():
            return QRectF(self.rect())
        size = QSize(self._image.size()).scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        left = (self.width() - size.width()) / 2
        return QRectF(left, (self.height() - size.height()) / 2, size.width(), size.height())

    def sizeHint(self) -> QSize:
        """A picture that shows something."""
        return QSize(640, 480)

    # --- Painting ---

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the picture, the rings, and the focus."""
        palette = palette_of(self)
        place = self.picture_rect()
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            if self._image is not None:
                painter.drawImage(place, self._image)
            else:
                painter.setPen(qcolor(palette.quiet))
                painter.drawText(place, int(Qt.AlignmentFlag.AlignCenter), self._words)
            shown = (*self._marks, *([self._begun] if self._begun is not None else []))
            for number, mark in enumerate(shown):
                is_lit = number == self._lit or mark is self._begun
                self._paint_mark(painter, mark, str(number + 1), is_lit=is_lit)
            if self.hasFocus():
                paint_focus_ring(painter, QRectF(self.rect()), palette)

    def _paint_mark(self, painter: QPainter, mark: PhotoMark, number: str, *, is_lit: bool) -> None:
        """A ring that is seen on any ground: a light line on a dark one."""
        ring = self._ring(mark)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(qcolor("#10202B", 0.75), 6.0 if is_lit else 5.0))
        painter.drawEllipse(ring)
        painter.setPen(QPen(qcolor("#FFFFFF"), 3.0 if is_lit else 2.0))
        painter.drawEllipse(ring)
        badge = _badge(ring)
        painter.setBrush(qcolor("#10202B", 0.85))
        painter.setPen(QPen(qcolor("#FFFFFF"), 1.2))
        painter.drawEllipse(badge)
        painter.drawText(badge, int(Qt.AlignmentFlag.AlignCenter), number)

    def _ring(self, mark: PhotoMark) -> QRectF:
        place = self.picture_rect()
        centre = QPointF(
            place.left() + mark.x * place.width(), place.top() + mark.y * place.height()
        )
        radius = mark.radius * place.width()
        return QRectF(centre.x() - radius, centre.y() - radius, 2 * radius, 2 * radius)

    # --- The mouse ---

    def _shares(self, point: QPointF) -> tuple[float, float]:
        place = self.picture_rect()
        x = (point.x() - place.left()) / max(place.width(), 1.0)
        y = (point.y() - place.top()) / max(place.height(), 1.0)
        return _held(x, 0.0, 1.0), _held(y, 0.0, 1.0)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Light the ring that is pressed on its line, or begin one."""
        if event.button() != Qt.MouseButton.LeftButton or self._image is None:
            return
        point = event.position()
        hit = next((n for n, mark in enumerate(self._marks) if _is_on(self._ring(mark), point)), -1)
        if hit >= 0:
            self.light(hit)
            return
        if self.picture_rect().contains(point):
            x, y = self._shares(point)
            self._begun = PhotoMark(x, y, SMALLEST)
            self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Draw the ring outwards."""
        if self._begun is None:
            return
        place = self.picture_rect()
        centre = self._ring(self._begun).center()
        away = event.position() - centre
        reach = (away.x() ** 2 + away.y() ** 2) ** 0.5 / max(place.width(), 1.0)
        self._begun = dataclasses.replace(self._begun, radius=_held(reach, SMALLEST, LARGEST))
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Keep the ring; a mere click puts out the light."""
        del event
        begun, self._begun = self._begun, None
        if begun is None:
            return
        if begun.radius > SMALLEST:
            self._add(begun)
        else:
            self.light(-1)
            self.update()

    # --- The keyboard ---

    def event(self, event: QEvent) -> bool:
        """Go from ring to ring with Tab, and out of the photo after the last one."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            steps = {Qt.Key.Key_Tab: 1, Qt.Key.Key_Backtab: -1}
            step = steps.get(Qt.Key(event.key()))
            if step is not None and 0 <= self._first_or(step) < len(self._marks):
                self.light(self._first_or(step))
                return True
        return super().event(event)

    def _first_or(self, step: int) -> int:
        """The ring that Tab goes to; outside the rings it leaves the photo."""
        if self._lit < 0:
            return 0 if step > 0 else -1
        return self._lit + step

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Put, move, size and take away rings."""
        key = Qt.Key(event.key())
        if key == Qt.Key.Key_R and self._image is not None:
            self._add(PhotoMark(0.5, 0.5, FIRST_RADIUS))
        elif self._lit >= 0 and key in _MOVES:
            dx, dy = _MOVES[key]
            mark = self._marks[self._lit]
            self._change(x=_held(mark.x + dx, 0.0, 1.0), y=_held(mark.y + dy, 0.0, 1.0))
        elif self._lit >= 0 and key in _SIZES:
            radius = self._marks[self._lit].radius + _SIZES[key]
            self._change(radius=_held(radius, SMALLEST, LARGEST))
        elif self._lit >= 0 and key == Qt.Key.Key_Delete:
            self.remove_lit()
        else:
            super().keyPressEvent(event)

    def _add(self, mark: PhotoMark) -> None:
        self._marks = (*self._marks, mark)
        self.light(len(self._marks) - 1)
        self.update()
        self.marks_changed.emit(self._marks)

    def _change(
        self, x: float | None = None, y: float | None = None, radius: float | None = None
    ) -> None:
        mark = self._marks[self._lit]
        changed = dataclasses.replace(
            mark,
            x=mark.x if x is None else round(x, 4),
            y=mark.y if y is None else round(y, 4),
            radius=mark.radius if radius is None else round(radius, 4),
        )
        self._marks = (*self._marks[: self._lit], changed, *self._marks[self._lit + 1 :])
        self.update()
        self.marks_changed.emit(self._marks)

    def remove_lit(self) -> None:
        """Take the ring that is lit away."""
        if self._lit < 0:
            return
        place, self._lit = self._lit, -1
        self._marks = (*self._marks[:place], *self._marks[place + 1 :])
        self.lit.emit(-1)
        self._describe()
        self.update()
        self.marks_changed.emit(self._marks)


def _held(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def _badge(ring: QRectF) -> QRectF:
    """Where a ring's number stands: on its line, up to the right."""
    away = ring.width() / 2 * 0.7071
    centre = ring.center() + QPointF(away, -away)
    return QRectF(centre.x() - 9, centre.y() - 9, 18, 18)


def _is_on(ring: QRectF, point: QPointF) -> bool:
    """Whether a point lies on the line of a ring, or on its number."""
    if _badge(ring).contains(point):
        return True
    away = point - ring.center()
    distance = (away.x() ** 2 + away.y() ** 2) ** 0.5
    return bool(abs(distance - ring.width() / 2) <= 6)
