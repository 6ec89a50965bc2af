"""A few answers side by side as one joined control: 'quiet | knocks'.

The keys 1 to 9 choose by place, the arrows move to the neighbour, Delete takes the choice back,
Return goes on.
One Tab reaches the whole control. Where the width ends the answers go on in the next line.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPainterPath, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QSizePolicy, QWidget

from workbench.window.fonts import TypeRole
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.painting import paint_focus_ring, text_width
from workbench.window.widgets.surroundings import (
    RADIUS,
    font_of,
    palette_of,
    qcolor,
    row_height,
)

_STEPS = {Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1, Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1}


class Segment(QAbstractButton):
    """One answer of a choice row."""

    def __init__(self, key: object, text: str, tip: str = "", *, large: bool = False) -> None:
        super().__init__()
        self.key = key
        self._large = large
        self.rounded_left = self.rounded_right = True
        self.setText(text)
        self.setToolTip(tip)
        self.setCheckable(True)
        self.setAccessibleName(text)
        self.setAccessibleDescription(tip)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """Room for the words and twelve pixels on either side."""
        width = text_width(self.text(), font_of(self, TypeRole.BODY))
        return QSize(round(width + 0.5) + 24, row_height(self) + (8 if self._large else 0))

    def minimumSizeHint(self) -> QSize:
        """The same: an answer is never cut."""
        return self.sizeHint()

    def _outline(self) -> QPainterPath:
        rect = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        path = QPainterPath()
        path.setFillRule(Qt.FillRule.WindingFill)
        path.addRoundedRect(rect, RADIUS, RADIUS)
        if not self.rounded_left:
            path.addRect(QRectF(rect.left(), rect.top(), RADIUS * 2, rect.height()))
        if not self.rounded_right:
            path.addRect(QRectF(rect.right() - RADIUS * 2, rect.top(), RADIUS * 2, rect.height()))
        return path.simplified()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint ground, outline, words, and the accent line below the chosen answer."""
        palette = palette_of(self)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            outline = self._outline()
            chosen = self.isChecked()
            ground = palette.field
            if chosen:
                ground = palette.selection
            elif self.underMouse() and self.isEnabled():
                ground = palette.hover
            painter.fillPath(outline, qcolor(ground))
            if chosen:
                painter.save()
                painter.setClipPath(outline)
                painter.fillRect(
                    QRectF(0, self.height() - 3, self.width(), 3), qcolor(palette.accent)
                )
                painter.restore()
            painter.setPen(QPen(qcolor(palette.control_line), 1.0))
            painter.drawPath(outline)
            ink = palette.text if chosen else palette.quiet
            painter.setPen(qcolor(ink if self.isEnabled() else palette.tint(palette.quiet, 0.62)))
            painter.setFont(font_of(self, TypeRole.BODY, strong=False))
            painter.drawText(self.rect(), int(Qt.AlignmentFlag.AlignCenter), self.text())
            if self.hasFocus():
                paint_focus_ring(painter, QRectF(self.rect()), palette)


class ChoiceRow(QWidget):
    """One of a few answers.

    Parameters
    ----------
    choices
        (key, words) or (key, words, tooltip) in their order.
    name
        Accessible name of the question.
    large
        As high as a large field beside it.

    Signals
    -------
    chosen(key)
        The user chose an answer; None when the choice was taken back.
    answered(), left()
        A digit chose an answer; Return was pressed. A form moves on with them.
    """

    chosen = Signal(object)
    answered = Signal()
    left = Signal()

    def __init__(
        self,
        choices: Sequence[tuple[object, str] | tuple[object, str, str]] = (),
        *,
        name: str = "",
        large: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._segments: list[Segment] = []
        self._large = large
        self._group = QButtonGroup(self)
        self._flow = FlowLayout(self, spacing=-1)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        self.set_choices(choices)

    def set_choices(self, choices: Sequence[tuple[object, str] | tuple[object, str, str]]) -> None:
        """Offer other answers; none is chosen."""
        for segment in self._segments:
            self._group.removeButton(segment)
            self._flow.removeWidget(segment)
            segment.deleteLater()
        self._segments = []
        for choice in choices:
            segment = Segment(*choice, large=self._large)
            segment.clicked.connect(self._on_clicked)
            segment.installEventFilter(self)
            self._group.addButton(segment)
            self._flow.addWidget(segment)
            self._segments.append(segment)
        self._mind_focus()
        self.updateGeometry()

    def segments(self) -> tuple[Segment, ...]:
        """Return the answers in their order."""
        return tuple(self._segments)

    def choice(self) -> object:
        """Key of the chosen answer, or None."""
        return next((one.key for one in self._segments if one.isChecked()), None)

    def set_choice(self, key: object) -> None:
        """Choose an answer without announcing it; None chooses none."""
        self._group.setExclusive(False)
        for segment in self._segments:
            segment.setChecked(key is not None and segment.key == key)
        self._group.setExclusive(True)
        self._mind_focus()

    def _on_clicked(self) -> None:
        self._mind_focus()
        self.chosen.emit(self.choice())

    def _mind_focus(self) -> None:
        """Let Tab stop once: at the chosen answer, or at the first."""
        chosen = next((one for one in self._segments if one.isChecked()), None)
        stop = chosen or next(iter(self._segments), None)
        for segment in self._segments:
            policy = Qt.FocusPolicy.StrongFocus if segment is stop else Qt.FocusPolicy.ClickFocus
            segment.setFocusPolicy(policy)
        if stop is not None:
            self.setFocusProxy(stop)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Choose by digits, move by arrows, take back by Delete."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and isinstance(watched, Segment)
            and self._on_key(watched, event)
        ):
            return True
        return super().eventFilter(watched, event)

    def _on_key(self, segment: Segment, event: QKeyEvent) -> bool:
        place = event.key() - Qt.Key.Key_1
        if 0 <= place < min(9, len(self._segments)):
            self._choose(self._segments[place])
            self.answered.emit()
        elif event.key() in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self.left.emit()
        elif event.key() in {Qt.Key.Key_Delete, Qt.Key.Key_Backspace}:
            self.set_choice(None)
            self.chosen.emit(None)
        elif Qt.Key(event.key()) in _STEPS:
            step = _STEPS[Qt.Key(event.key())]
            at = self._segments.index(segment) + step
            self._choose(self._segments[at % len(self._segments)])
        else:
            return False
        return True

    def _choose(self, segment: Segment) -> None:
        segment.setFocus(Qt.FocusReason.TabFocusReason)
        if not segment.isChecked():
            segment.click()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Round only the ends of each line."""
        super().resizeEvent(event)
        self._flow.activate()
        lines: dict[int, list[Segment]] = {}
        for segment in self._segments:
            lines.setdefault(segment.y(), []).append(segment)
        for line in lines.values():
            for segment in line:
                segment.rounded_left = segment is line[0]
                segment.rounded_right = segment is line[-1]
                segment.update()
