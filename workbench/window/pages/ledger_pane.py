"""The cost ledger of the Boats page: lines in groups, one unfolded, totals always in sight."""

from __future__ import annotations

import functools
from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QTreeView,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.ledger import OwnLine
from workbench.domain.span import Span
from workbench.edits.costing import put_own_line
from workbench.window.models.copying import let_copy_tree
from workbench.window.models.ledger_tree import (
    Grouping,
    LedgerTreeModel,
    grouping_words,
)
from workbench.window.models.totals import totals_of
from workbench.window.models.two_levels import KEY_ROLE
from workbench.window.pages.chosen_lines import ChosenLines
from workbench.window.pages.shown_steps import ShownStep, shown_step
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.row_delegate import RowDelegate
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT
from workbench.window.widgets.tables import set_up_tree
from workbench.window.widgets.totals_bar import TotalsBar
from workbench.window.widgets.why_panel import WhyPanel

if TYPE_CHECKING:
    from workbench.window.pages.line_panel import LinePanel


class LedgerPane(QWidget):
    """The work lines of the boat that is looked at.

    Signals
    -------
    check_requested(check_id)
        The user wants to see the check behind a line.
    """

    check_requested = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._begun = ""
        self.model = LedgerTreeModel(session, self)
        self.view = QTreeView()
        self.view.setModel(self.model)
        self.view.setItemDelegate(RowDelegate(self.view, ruled=True))
        set_up_tree(self.view, name=tr("Cost ledger"), uniform=False)
        self.view.setSelectionMode(QTreeView.SelectionMode.ExtendedSelection)
        self.view.setToolTip(tr("Shift and the arrows choose several lines; Ctrl+C copies them."))
        let_copy_tree(self.view, _heads())
        self.chosen = ChosenLines(session)
        self.view.setRootIsDecorated(False)
        self.view.setIndentation(0)
        self.view.setFrameShape(QTreeView.Shape.NoFrame)
        self.about = label("", "small", wrap=True)
        self.grouping = QComboBox()
        self.grouping.setAccessibleName(tr("Put lines together"))
        for kind in Grouping:
            self.grouping.addItem(grouping_words(kind), kind)
        self.add_button = button(tr("Add a job"), "link", tip=tr("A job of your own (Ctrl+J)"))
        self.totals = TotalsBar()
        self.why = WhyPanel(self._trace)
        self._lay_out()
        self._connect()
        self._refresh()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, 0)
        head.addWidget(self.about, 1)
        head.addWidget(self.add_button)
        head.addWidget(self.grouping)
        self._line_area = QScrollArea()
        self._line_area.hide()
        foot = surface("foot")
        below = QVBoxLayout(foot)
        below.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        below.setSpacing(SPACE_TIGHT)
        below.addWidget(self.totals)
        below.addWidget(self.why)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addLayout(head)
        column.addWidget(self.view, 3)
        column.addWidget(self.chosen)
        column.addWidget(self._line_area, 2)
        column.addWidget(foot)

    def _connect(self) -> None:
        self.grouping.activated.connect(
            lambda _: self.model.set_grouping(self.grouping.currentData())
        )
        self.view.activated.connect(self._on_activated)
        self.view.clicked.connect(self._on_clicked)
        self.view.selectionModel().selectionChanged.connect(lambda *_: self._on_chosen())
        self.add_button.clicked.connect(self.add_job)
        self.why.step_chosen.connect(self._on_step)
        self.model.modelReset.connect(self.view.expandAll)
        self.model.modelReset.connect(self._on_chosen)
        self._session.totals_known.connect(self._show_totals)
        self._session.assessed.connect(self._refresh)
        self._session.assessed.connect(self._unfold_begun)
        self._session.boat_selected.connect(self._on_boat)

    @functools.cached_property
    def panel(self) -> LinePanel:
        """One line unfolded; its parts are made when the first line is."""
        from workbench.window.pages.line_panel import LinePanel  # noqa: PLC0415 - made when shown

        made = LinePanel(self._session)
        made.closed.connect(self._fold)
        holder = QWidget()
        inner = QVBoxLayout(holder)
        inner.setContentsMargins(SPACE_GROUPS, 0, SPACE_GROUPS, 0)
        inner.addWidget(made)
        inner.addStretch(1)
        area = self._line_area
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setWidget(holder)
        area.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        area.setMinimumHeight(230)
        return made

    def _on_boat(self) -> None:
        self._fold()
        self._refresh()

    def _fold(self) -> None:
        if self._line_area.isHidden():
            return
        self.panel.key = ""
        self._line_area.hide()
        self.view.setFocus()

    def _on_clicked(self, index: QModelIndex) -> None:
        """Unfold what was clicked, unless the click chose one more of several."""
        if len(self.view.selectionModel().selectedIndexes()) <= 1:
            self._on_activated(index)

    def _on_chosen(self) -> None:
        keys = [
            str(index.data(KEY_ROLE) or "")
            for index in self.view.selectionModel().selectedIndexes()
        ]
        # Shared work follows the lines that need it; only lines can be changed.
        lines = tuple(key for key in keys if key and not key.startswith("access/"))
        self.chosen.show_keys(lines)
        if len(lines) > 1 and not self._line_area.isHidden():
            self.panel.key = ""
            self._line_area.hide()

    def _on_activated(self, index: QModelIndex) -> None:
        key = str(index.data(KEY_ROLE) or "")
        if not key:
            self.view.setExpanded(index, not self.view.isExpanded(index))
            return
        self.open_line(key)

    def open_line(self, key: str) -> None:
        """Unfold one line below the list and light its check."""
        self.panel.show_line(key)
        line = self.panel.line()
        self._line_area.setVisible(line is not None)
        if line is not None and line.finding is not None:
            self.check_requested.emit(line.finding.check.id)
        index = self.model.index_of(key)
        if index.isValid():
            self.view.setCurrentIndex(index)
            self.view.scrollTo(index)

    def add_job(self) -> None:
        """Add a job of the buyer's own and unfold it."""
        boat_id = self._session.boat_id
        if not boat_id:
            return
        job = OwnLine("", tr("A job of my own"), Span.exactly(Decimal(0)))
        refused = self._session.attempt(lambda project: put_own_line(project, boat_id, job))
        candidate = self._session.candidate
        if not refused and candidate is not None:
            self._begun = f"own/{candidate.ledger.own_lines[-1].id}"

    def _unfold_begun(self) -> None:
        """Unfold the job that was just added, once its figures are there, to be named."""
        key, self._begun = self._begun, ""
        if key and self.model.index_of(key).isValid():
            self.open_line(key)
            self.panel.focus_job()

    def _on_step(self, step: object) -> None:
        key = getattr(step, "key", "")
        if "/" in key:
            self.open_line(key)
        elif key:
            self.check_requested.emit(key)

    # --- Totals ---

    def _refresh(self) -> None:
        candidate = self._session.candidate
        currency = self._session.project.settings.currency
        name = candidate.boat.name if candidate else ""
        self.about.setText(", ".join(part for part in (tr("Ledger"), name, currency) if part))
        if not self.view.isExpanded(self.model.index(0, 0)):
            self.view.expandAll()
        self._write_totals()

    def _show_totals(self) -> None:
        """Put the totals on the screen before trees and lists take their turn."""
        self._write_totals()
        self.totals.repaint()

    def _write_totals(self) -> None:
        figures, last = self._session.boat, self._session.remembered
        if figures is not None:
            self.totals.set_figures(totals_of(figures))
        else:
            self.totals.set_figures(last.totals if last is not None else ())

    def _trace(self) -> ShownStep | None:
        from workbench.figures.trace import (  # noqa: PLC0415 - numpy comes with it
            why_cost_to_ready,
            why_deferred,
            why_later,
        )

        figures = self._session.boat
        if figures is None:
            return None
        catalogue = self._session.catalogue
        shown = shown_step(why_cost_to_ready(figures, catalogue))
        beside = (why_deferred(figures, catalogue), why_later(figures, catalogue))
        return ShownStep(
            shown.label,
            shown.detail,
            shown.amount_text,
            (*shown.children, *(shown_step(one) for one in beside)),
        )


def _heads() -> tuple[str, ...]:
    return (tr("Group"), tr("Work"), tr("Grade"), tr("Rests on"), tr("Counts"))
