"""A grade as its mark and its word side by side, read out as the word."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.window.fonts import TypeRole
from workbench.window.plank import UNITS_HIGH, UNITS_WIDE, grade_word, paint_grade
from workbench.window.texts import tr
from workbench.window.widgets.painting import paint_text
from workbench.window.widgets.surroundings import SPACE_RELATED, font_of, palette_of


class GradeLabel(QWidget):
    """The mark of a grade with its word, and a count before the word where one is given.

    Parameters
    ----------
    grade
        One of `palette.GRADES`; '' shows nothing but keeps its place.
    count
        How many things have this grade; None writes the word alone.
    large
        Written as the answer of a page rather than as one of many.
    overruled
        The grade was given by the user against the rule, and is said to be so.
    """

    def __init__(
        self,
        grade: str = "",
        *,
        count: int | None = None,
        large: bool = False,
        overruled: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._grade = grade
        self._count = count
        self._large = large
        self._overruled = overruled
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._describe()

    @property
    def grade(self) -> str:
        """The grade shown."""
        return self._grade

    def set_grade(self, grade: str, *, count: int | None = None, overruled: bool = False) -> None:
        """Show another grade."""
        self._grade, self._count, self._overruled = grade, count, overruled
        self._describe()
        self.updateGeometry()
        self.update()

    def text(self) -> str:
        """Return the words beside the mark."""
        if not self._grade:
            return ""
        word = grade_word(self._grade)
        counted = word if self._count is None else f"{self._count} {word}"
        return f"{counted}, {tr('overruled')}" if self._overruled else counted

    def _describe(self) -> None:
        self.setAccessibleName(self.text())

    def _mark(self) -> tuple[float, float]:
        """Width and height of the mark [device-independent pixels]."""
        letters = QFontMetricsF(self._font()).capHeight()
        height = letters * (1.15 if self._large else 1.0)
        return height * UNITS_WIDE / UNITS_HIGH, height

    def _font(self) -> QFont:
        role = TypeRole.HEADING if self._large else TypeRole.BODY
        return font_of(self, role, strong=self._large)

    def sizeHint(self) -> QSize:
        """Room for mark, gap and words."""
        metrics = QFontMetricsF(self._font())
        width = self._mark()[0] + SPACE_RELATED + metrics.horizontalAdvance(self.text()) + 2
        return QSize(round(width + 0.5), round(max(metrics.height() + 4, self._mark()[1] * 2.1)))

    def minimumSizeHint(self) -> QSize:
        """The same: a grade is never cut."""
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint mark and words."""
        if not self._grade:
            return
        palette = palette_of(self)
        with QPainter(self) as painter:
            width, height = self._mark()
            middle = self.height() / 2
            paint_grade(
                painter, QRectF(0, middle - height / 2, width, height), self._grade, palette
            )
            left = width + SPACE_RELATED
            place = QRectF(left, 0, self.width() - left, self.height())
            paint_text(painter, place, self.text(), self._font(), palette.text)
