"""The sums of a boat, always in the same place: label, figure, and its range in quieter figures."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from workbench.domain.record import dataclass
from workbench.window.fonts import TypeRole
from workbench.window.widgets.buttons import button
from workbench.window.widgets.fading_figure import FadingFigure
from workbench.window.widgets.labels import figure as figure_label
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_PAGE, SPACE_RELATED, SPACE_TIGHT


@dataclass(frozen=True, slots=True)
class TotalsFigure:
    """One sum.

    Attributes
    ----------
    key
        By which the sum is found again when it changes.
    label, amount, detail
        What it is, the figure as text, and its range or remark.
    leading
        Written larger: the answer of the page. At most one is.
    question
        Words of a link below it, such as 'why?'; '' for none.
    tip
        Tooltip of the figure.
    """

    key: str
    label: str
    amount: str
    detail: str = ""
    leading: bool = False
    question: str = ""
    tip: str = ""


class _Cell:
    """The parts of one sum."""

    def __init__(self, figure: TotalsFigure, *, beside: bool) -> None:
        self.key = figure.key
        leading = figure.leading
        self.label: QLabel = label(figure.label, "heading" if leading else "")
        role = TypeRole.HEADING if leading else TypeRole.BODY
        self.amount = FadingFigure(figure.amount, role=role, least_characters=6, to_the_left=beside)
        self.detail: QLabel = figure_label(figure.detail, "small")
        self.question = button(figure.question, "link")
        self.show(figure)

    def show(self, figure: TotalsFigure) -> None:
        """Write other words and figures into the same place."""
        self.label.setText(figure.label)
        self.amount.set_text(figure.amount)
        self.detail.setText(figure.detail)
        self.amount.setToolTip(figure.tip)
        self.question.setText(figure.question)
        self.question.setVisible(bool(figure.question))
        spoken = f"{figure.label} {figure.amount} {figure.detail}".strip()
        self.amount.setAccessibleName(spoken)
        self.question.setAccessibleName(f"{figure.question} {figure.label}")


class TotalsBar(QWidget):
    """Sums under each other, or side by side across the foot of a page.

    Parameters
    ----------
    figures
        The sums in their order.
    orientation
        Vertical: label at the left, figure at the right. Horizontal: label above the figure.

    Signals
    -------
    question_asked(key)
        The link of a sum was followed.
    """

    question_asked = Signal(object)

    def __init__(
        self,
        figures: Sequence[TotalsFigure] = (),
        *,
        orientation: Qt.Orientation = Qt.Orientation.Vertical,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._orientation = orientation
        self._cells: list[_Cell] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(SPACE_RELATED)
        self._grid.setVerticalSpacing(SPACE_TIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.set_figures(figures)

    def set_figures(self, figures: Sequence[TotalsFigure]) -> None:
        """Show sums; those that were there keep their place and fade where they changed."""
        if [cell.key for cell in self._cells] == [figure.key for figure in figures]:
            for cell, figure in zip(self._cells, figures, strict=True):
                cell.show(figure)
            return
        self._clear()
        for place, figure in enumerate(figures):
            beside = self._orientation == Qt.Orientation.Horizontal
            cell = _Cell(figure, beside=beside)
            cell.question.clicked.connect(
                lambda _checked=False, key=figure.key: self.question_asked.emit(key)
            )
            self._cells.append(cell)
            if self._orientation == Qt.Orientation.Vertical:
                self._place_below(cell, place, leading=figure.leading)
            else:
                self._place_beside(cell, place)

    def amount_of(self, key: str) -> FadingFigure:
        """Return the figure of a sum.

        Raises
        ------
        KeyError
            Where no sum has this key.
        """
        for cell in self._cells:
            if cell.key == key:
                return cell.amount
        raise KeyError(key)

    def _clear(self) -> None:
        while self._grid.count():
            item = self._grid.takeAt(0)
            part = item.widget() if item is not None else None
            if part is not None:
                part.deleteLater()
        self._cells = []

    def _place_below(self, cell: _Cell, place: int, *, leading: bool) -> None:
        row = place * 2
        right = Qt.AlignmentFlag.AlignRight
        self._grid.setColumnStretch(0, 1)
        if leading:
            # Its larger words take the room of the smaller figures above.
            self._grid.addWidget(cell.label, row, 0, 1, 2)
            cell.detail.setAlignment(Qt.AlignmentFlag.AlignLeft)
            self._grid.addWidget(cell.amount, row, 2, right)
            self._grid.addWidget(cell.detail, row + 1, 0, 1, 2)
            self._grid.addWidget(cell.question, row + 1, 2, right)
        else:
            self._grid.addWidget(cell.label, row, 0)
            self._grid.addWidget(cell.amount, row, 1, right)
            self._grid.addWidget(cell.detail, row, 2, right)
            self._grid.addWidget(cell.question, row + 1, 1, 1, 2, right)

    def _place_beside(self, cell: _Cell, place: int) -> None:
        left = Qt.AlignmentFlag.AlignLeft
        cell.label.setProperty("role", "small")
        column = QWidget()
        lines = QVBoxLayout(column)
        lines.setContentsMargins(0, 0, SPACE_PAGE, 0)
        lines.setSpacing(0)
        for part in (cell.label, cell.amount, cell.detail, cell.question):
            lines.addWidget(part, 0, left)
        cell.detail.setAlignment(left)
        lines.addStretch(1)
        self._grid.addWidget(column, 0, place)
        self._grid.setColumnStretch(place, 0)
        self._grid.setColumnStretch(place + 1, 1)
