"""A figure whose changed digits fade from accent to ink, so that the eye sees what an edit did."""

from __future__ import annotations

from PySide6.QtCore import QEasingCurve, QSize, QVariantAnimation
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.window.fonts import TypeRole
from workbench.window.palette import mix
from workbench.window.widgets.surroundings import font_of, motion_is_reduced, palette_of

FADE_MS = 400
"""How long changed digits take from accent to ink [ms]."""


def changed_places(old: str, new: str) -> tuple[bool, ...]:
    """Say for each character of the new text whether it changed, digits aligned from the right.

    >>> changed_places("5,340", "5,390")
    (False, False, False, True, False)
    """
    aligned = old.rjust(len(new))[-len(new) :] if new else ""
    return tuple(before != after for before, after in zip(aligned, new, strict=True))


class FadingFigure(QWidget):
    """One figure, right-aligned.

    Parameters
    ----------
    role
        Size of the type.
    strong
        Written bold.
    to_the_left
        Written from the left, under a label, instead of in a column of figures.
    least_characters
        Room kept for this many digits, so that nothing beside it jumps.
    """

    def __init__(
        self,
        text: str = "",
        *,
        role: TypeRole = TypeRole.BODY,
        strong: bool = True,
        to_the_left: bool = False,
        least_characters: int = 0,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._text = text
        self._role, self._strong = role, strong
        self._least = least_characters
        self._to_the_left = to_the_left
        self._changed: tuple[bool, ...] = (False,) * len(text)
        self._freshness = 0.0
        self._fade = QVariantAnimation(self)
        self._fade.setDuration(FADE_MS)
        self._fade.setStartValue(1.0)
        self._fade.setEndValue(0.0)
        self._fade.setEasingCurve(QEasingCurve.Type.InQuad)
        self._fade.valueChanged.connect(self._on_fade)
        self.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(text)

    def text(self) -> str:
        """Return the figure as written."""
        return self._text

    @property
    def freshness(self) -> float:
        """How much of the accent the changed digits still carry, 1 to 0."""
        return self._freshness

    def set_text(self, text: str) -> None:
        """Write another figure; its changed digits fade unless motion is reduced."""
        if text == self._text:
            return
        first = not self._text
        self._changed = changed_places(self._text, text)
        self._text = text
        self.setAccessibleName(text)
        self._fade.stop()
        self._freshness = 0.0
        if not first and self.isVisible() and not motion_is_reduced(self):
            self._freshness = 1.0
            self._fade.start()
        self.updateGeometry()
        self.update()

    def _on_fade(self, value: object) -> None:
        if isinstance(value, float):
            self._freshness = value
            self.update()

    def _font(self) -> QFont:
        return font_of(self, self._role, strong=self._strong)

    def sizeHint(self) -> QSize:
        """Room for the figure, and for as many digits as are kept."""
        metrics = QFontMetricsF(self._font())
        kept = metrics.horizontalAdvance("0" * self._least)
        width = max(metrics.horizontalAdvance(self._text), kept)
        return QSize(round(width + 1.5), round(metrics.height() + 2))

    def minimumSizeHint(self) -> QSize:
        """The same: a figure is never cut."""
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Write the figure in its place, character by character while it fades."""
        palette = palette_of(self)
        font = self._font()
        metrics = QFontMetricsF(font)
        with QPainter(self) as painter:
            painter.setFont(font)
            baseline = (self.height() + metrics.ascent() - metrics.descent()) / 2
            width = metrics.horizontalAdvance(self._text)
            left = 0.0 if self._to_the_left else self.width() - width
            ink = QColor(palette.text)
            fresh = QColor(mix(palette.accent, palette.text, self._freshness))
            if self._freshness <= 0.0:
                painter.setPen(ink)
                painter.drawText(round(left), round(baseline), self._text)
            else:
                for place, (character, changed) in enumerate(
                    zip(self._text, self._changed, strict=True)
                ):
                    painter.setPen(fresh if changed else ink)
                    before = metrics.horizontalAdvance(self._text[:place])
                    painter.drawText(round(left + before), round(baseline), character)
