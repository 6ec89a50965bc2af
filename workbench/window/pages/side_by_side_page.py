"""Side by side: the matrix of what matters, costs and chances drawn, and what would change it."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from workbench.window import formatting
from workbench.window.models.boat_list import cost_parts
from workbench.window.models.copying import copy_table
from workbench.window.models.ranking import GapSwing, gap_swings
from workbench.window.models.side_by_side_cells import Cell, Matrix
from workbench.window.models.side_by_side_model import CELL_ROLE, SideBySideModel
from workbench.window.models.side_by_side_rows import matrix_of
from workbench.window.pages.matrix_view import MatrixView
from workbench.window.pages.page_figures import Job, PageFigures
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.boat_silhouette import BoatSketch
from workbench.window.widgets.buttons import button
from workbench.window.widgets.charts import (
    CostChart,
    CostRow,
    Curve,
    CurvesChart,
    TornadoChart,
    TornadoRow,
)
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.comparison import Comparison, Standing

MOST_CURVES = 6
"""So many lines can still be told apart by their colour and their dash."""


class SideBySidePage(QWidget):
    """All boats that are not put away, held against each other.

    Signals
    -------
    check_requested(check_id)
        The user wants to see a check of the boat that is looked at.
    """

    check_requested = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = SideBySideModel(self)
        self.view = MatrixView(self.model)
        self.about = label("", "quiet", wrap=True)
        self.copy_button = button(
            tr("Copy table"), "quiet", tip=tr("Copy for a spreadsheet (Ctrl+C in the table)")
        )
        self.costs = CostChart(formatting.estimate)
        self.curves = CurvesChart(formatting.estimate)
        self.tornado = TornadoChart(_signed, name=tr("What would change the ranking"))
        self.ranking = label("", "quiet", wrap=True)
        self.choice = ChoiceRow(
            [
                ("chances", tr("Chance to stay under a sum")),
                ("ranking", tr("What would change the ranking")),
            ],
            name=tr("Drawing at the right"),
        )
        self.choice.set_choice("chances")
        self.empty = EmptyState(
            tr("Nothing to hold side by side yet"),
            tr(
                "Here your boats stand beside each other: price, work, chances, findings, sizes. "
                "Enter them on the Boats page; two or more can be compared."
            ),
            tr("Go to the boats"),
            sketch=BoatSketch("sloop", "fin", "skeg"),
        )
        self._swings: tuple[GapSwing, ...] = ()
        self._lay_out()
        self.figures = PageFigures(self, session, self._prepare, self._take)
        self._connect()

    # --- Parts ---

    def _lay_out(self) -> None:
        matrix = surface("panel")
        above = QVBoxLayout(matrix)
        above.setContentsMargins(0, 0, 0, 0)
        above.setSpacing(0)
        head = QHBoxLayout()
        head.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_TIGHT)
        head.addWidget(self.about, 1)
        head.addWidget(self.copy_button)
        above.addLayout(head)
        above.addWidget(self.view, 1)
        charts = surface("page")
        below = QHBoxLayout(charts)
        below.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        below.setSpacing(SPACE_GROUPS * 2)
        below.addLayout(self._costs_part(), 1)
        below.addLayout(self._choice_part(), 1)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(matrix)
        self.splitter.addWidget(charts)
        self.splitter.setSizes([430, 300])
        self.splitter.setStretchFactor(0, 3)
        self.splitter.setStretchFactor(1, 2)
        self.splitter.setChildrenCollapsible(False)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.empty)
        self.stack.addWidget(self.splitter)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.stack)

    def _costs_part(self) -> QVBoxLayout:
        part = QVBoxLayout()
        part.setSpacing(SPACE_TIGHT)
        head = label(tr("Cost to ready, boat by boat"), "strong")
        legend = label(
            tr(
                "Price, work before launching, first season, allowance dashed; "
                "whisker from 1 in 2 to 4 in 5; dotted, the budget."
            ),
            "small",
            wrap=True,
        )
        part.addWidget(head)
        part.addWidget(legend)
        part.addWidget(_scrolled(self.costs, tr("Costs")), 1)
        return part

    def _choice_part(self) -> QVBoxLayout:
        part = QVBoxLayout()
        part.setSpacing(SPACE_TIGHT)
        part.addWidget(self.choice)
        ranking = QWidget()
        inner = QVBoxLayout(ranking)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(SPACE_TIGHT)
        inner.addWidget(self.ranking)
        inner.addWidget(_scrolled(self.tornado, tr("What would change the ranking")), 1)
        self.drawings = QStackedWidget()
        self.drawings.addWidget(self.curves)
        self.drawings.addWidget(ranking)
        part.addWidget(self.drawings, 1)
        return part

    def _connect(self) -> None:
        # what the user does
        self.copy_button.clicked.connect(lambda _=False: copy_table(self.view))
        self.choice.chosen.connect(self._on_choice)
        self.view.boat_names.sectionClicked.connect(self._on_boat_clicked)
        self.view.activated.connect(self._on_activated)
        self.costs.mark_chosen.connect(lambda key: self._session.select_boat(str(key)))
        self.curves.mark_chosen.connect(lambda key: self._session.select_boat(str(key)))
        self.tornado.mark_chosen.connect(self._on_swing)
        self.empty.next_step_requested.connect(
            lambda: self.check_requested.emit(self._session.check_id)
        )
        # the search
        self._session.assessed.connect(self.figures.refresh)
        self._session.boat_selected.connect(self.view.mark_boat)

    def _on_choice(self, key: object) -> None:
        self.drawings.setCurrentIndex(1 if key == "ranking" else 0)

    def _on_boat_clicked(self, column: int) -> None:
        self._session.select_boat(self.model.matrix.columns[column].boat)

    def _on_activated(self, index: QModelIndex) -> None:
        cell = index.data(CELL_ROLE)
        self._session.select_boat(self.model.matrix.columns[index.column()].boat)
        if isinstance(cell, Cell) and cell.check:
            self.check_requested.emit(cell.check)

    def _on_swing(self, key: object) -> None:
        swing = next((one for one in self._swings if _swing_key(one) == key), None)
        if swing is not None and swing.line.finding is not None:
            self._session.select_boat(swing.boat)
            self.check_requested.emit(swing.line.finding.check.id)

    # --- Figures ---

    def _prepare(self) -> Job | None:
        assessment = self._session.assessment
        if assessment is None or not assessment.boats:
            return None
        project = assessment.project

        def figure() -> tuple[Comparison, Matrix, tuple[GapSwing, ...]]:
            from workbench.figures.comparison import compare  # noqa: PLC0415 - numpy waits

            made = compare(assessment)
            return made, matrix_of(made, assessment.catalogue, project), gap_swings(made, 8)

        return figure

    def _take(self, figures: tuple[Comparison, Matrix, tuple[GapSwing, ...]] | None) -> None:
        matrix = figures[1] if figures is not None else Matrix()
        self.stack.setCurrentIndex(1 if matrix.columns else 0)
        self.model.take(matrix)
        self.view.mark_boat(self._session.boat_id)
        if figures is None:
            return
        comparison, _, self._swings = figures
        self._say_about(comparison.standings)
        self._draw_costs(comparison.standings)
        self._draw_curves(comparison.standings)
        self._draw_ranking(comparison.standings)

    def _say_about(self, standings: Sequence[Standing]) -> None:
        settings = self._session.project.settings
        count = len(standings)
        words = tr("1 boat") if count == 1 else tr("{n} boats").format(n=count)
        order = tr("least expected cost first")
        if any(one.boat.worth_to_me for one in standings):
            order = tr("least expected cost first, worth to you taken off")
        parts = [words, order, settings.currency]
        if settings.budget is not None:
            parts.append(tr("budget {amount}").format(amount=formatting.whole(settings.budget)))
        self.about.setText(", ".join(parts))

    def _budget(self) -> float | None:
        budget = self._session.project.settings.budget
        return float(budget) if budget is not None else None

    def _draw_costs(self, standings: Sequence[Standing]) -> None:
        budget = self._budget()
        rows = []
        for one in standings:
            parts = cost_parts(one.boat)
            if parts is not None:
                placed = dataclasses.replace(parts, budget=budget)
                rows.append(CostRow(one.boat.id, one.boat.candidate.boat.name, placed))
        self.costs.set_rows(rows)

    def _draw_curves(self, standings: Sequence[Standing]) -> None:
        budget = self._budget()
        priced = [one for one in standings if one.boat.purchase is not None]
        curves = [
            Curve(
                one.boat.id,
                one.boat.candidate.boat.name,
                _drawn(one, budget),
            )
            for one in priced[:MOST_CURVES]
        ]
        self.curves.set_curves(curves, budget)

    def _draw_ranking(self, standings: Sequence[Standing]) -> None:
        self.tornado.set_rows([_tornado_row(one) for one in self._swings], 0.0)
        priced = [one for one in standings if one.boat.purchase is not None]
        self.ranking.setText(_ranking_words(priced, self._swings))


def _drawn(standing: Standing, budget: float | None) -> tuple[tuple[float, float], ...]:
    """The curve without its very ends, which would stretch the axis for one draw in thousands.

    An end beyond which the budget lies is kept, so that the chance read off there stays right.
    """
    points = [(point.cost, point.chance) for point in standing.s_curve]
    if len(points) > 4:
        if budget is None or budget > points[1][0]:
            points = points[1:]
        if budget is None or budget < points[-2][0]:
            points = points[:-1]
    return tuple(points)


def _ranking_words(priced: Sequence[Standing], swings: tuple[GapSwing, ...]) -> str:
    if len(priced) < 2:
        return tr("A ranking needs two boats with an asking price.")
    first = priced[0].boat.candidate.boat.name
    deciding = sum(1 for one in swings if one.decides)
    if not deciding:
        return tr("{boat} comes first, and no single job would change that.").format(boat=first)
    lead = tr("{boat} comes first.").format(boat=first)
    line = tr("The line is where a boat draws level with the best of the others.")
    many = tr("Each of {n} jobs alone (⇄) could change that.").format(n=deciding)
    one = tr("One job alone (⇄) could change that.")
    return f"{lead} {one if deciding == 1 else many} {line}"


def _tornado_row(swing: GapSwing) -> TornadoRow:
    if swing.line.part.allowed_for:
        low, high = tr("not needed"), tr("needed")
    else:
        low, high = tr("cheap"), tr("dear")
    title = tr("{boat}: {job}").format(boat=swing.name, job=swing.line.title)
    if swing.decides:
        title = f"⇄ {title}"
    return TornadoRow(_swing_key(swing), title, swing.low, swing.high, low, high)


def _swing_key(swing: GapSwing) -> str:
    """Boats share the keys of their lines, so the boat belongs to it."""
    return f"{swing.boat} {swing.line.key}"


def _signed(amount: float) -> str:
    """How far a boat lies behind (above nothing) or before the best of the others."""
    text = formatting.estimate(amount)
    return f"+{text}" if amount > 0 else text


def _scrolled(inner: QWidget, name: str) -> QScrollArea:
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setAccessibleName(name)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inner)
    return area
