"""Look next: every look on every boat ranked by what knowing is worth, and the step into it."""

from __future__ import annotations

from PySide6.QtCore import QLocale, QModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QSplitter,
    QStackedWidget,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from workbench.window.models.copying import let_copy
from workbench.window.models.looks import (
    LOOK_ROLE,
    Looking,
    LookRow,
    LooksModel,
    Surveys,
    Who,
    looking_of,
)
from workbench.window.pages.look_cells import LookCells, LooksView
from workbench.window.pages.look_panel import LookPanel
from workbench.window.pages.page_figures import Job, PageFigures
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.boat_silhouette import BoatSketch
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
)
from workbench.window.widgets.tables import set_up_table

_NOTHING = Looking((), stop=True, gains={}, names={}, minute_worth=0.0)


class LookNextPage(QWidget):
    """The ranked list with the look that is chosen beside it.

    Signals
    -------
    check_requested(check_id)
        The user goes to look at a check of the boat that is looked at.
    """

    check_requested = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._looking = _NOTHING
        self.model = LooksModel(self)
        self.view = LooksView()
        self.view.setModel(self.model)
        set_up_table(self.view, name=tr("Looks, best first"))
        self.view.setFrameShape(QTableView.Shape.NoFrame)
        self.view.setItemDelegate(LookCells(self.view, self.model))
        let_copy(self.view)
        self.sentence = label("", "title", wrap=True)
        self.survey = label("", "strong", wrap=True)
        self.explained = label("", "quiet", wrap=True)
        self.boats = QComboBox()
        self.boats.setAccessibleName(tr("Looks at which boat"))
        self.who = ChoiceRow(
            [
                (Who.ALL, tr("all")),
                (Who.ME, tr("me")),
                (Who.PROFESSIONALS, tr("professionals")),
            ],
            name=tr("Who looks"),
        )
        self.who.set_choice(Who.ALL)
        self.count = label("", "small")
        self.panel = LookPanel(session)
        self.empty = EmptyState(
            tr("Nothing to look at yet"),
            tr(
                "Here every look is ranked by what knowing is worth for your choice. It needs a "
                "boat with an asking price, or comparables that indicate one."
            ),
            tr("Go to the boats"),
            sketch=BoatSketch("sloop", "long", "keel"),
        )
        self._lay_out()
        self.figures = PageFigures(self, session, self._prepare, self._take)
        self._connect()

    def _lay_out(self) -> None:
        """Outer parts first: each is dressed once, when what is in it comes into its place."""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self.stack = QStackedWidget()
        column.addWidget(self.stack)
        self.stack.addWidget(self.empty)
        whole = QWidget()
        self.stack.addWidget(whole)
        inner = QVBoxLayout(whole)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(0)
        head = surface("page")
        inner.addWidget(head)
        words = QVBoxLayout(head)
        words.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_PAGE, SPACE_RELATED)
        words.setSpacing(SPACE_TIGHT)
        for said in (self.sentence, self.survey, self.explained):
            words.addWidget(said)
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        inner.addWidget(self.splitter, 1)
        ranked, chosen = surface("panel"), surface("page")
        self.splitter.addWidget(ranked)
        self.splitter.addWidget(chosen)
        self._fill_list(ranked)
        right = QVBoxLayout(chosen)
        right.setContentsMargins(0, 0, 0, 0)
        right.addWidget(self.panel)
        self.splitter.setSizes([870, 410])
        self.splitter.setStretchFactor(0, 3)
        self.splitter.setStretchFactor(1, 1)
        self.splitter.setChildrenCollapsible(False)
        self.view.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)

    def _fill_list(self, ranked: QWidget) -> None:
        left = QVBoxLayout(ranked)
        left.setContentsMargins(0, SPACE_RELATED, 0, 0)
        left.setSpacing(SPACE_TIGHT)
        sieve = QHBoxLayout()
        left.addLayout(sieve)
        sieve.setContentsMargins(SPACE_GROUPS, 0, SPACE_GROUPS, 0)
        sieve.setSpacing(SPACE_GROUPS)
        sieve.addWidget(self.boats)
        sieve.addWidget(self.who, 1)
        sieve.addWidget(self.count)
        left.addWidget(self.view, 1)

    def _connect(self) -> None:
        # what the user does
        self.boats.activated.connect(self._on_filter)
        self.who.chosen.connect(self._on_filter)
        self.view.selectionModel().currentRowChanged.connect(self._on_current)
        self.view.activated.connect(self._on_activated)
        self.panel.look_requested.connect(self._go)
        self.empty.next_step_requested.connect(
            lambda: self.check_requested.emit(self._session.check_id)
        )
        # the search
        self._session.assessed.connect(self.figures.refresh)
        self.model.modelReset.connect(self._after_reset)

    # --- What the user does ---

    def _on_filter(self) -> None:
        who = self.who.choice()
        if not isinstance(who, Who):
            who = Who.ALL
            self.who.set_choice(who)
        self.model.set_filter(str(self.boats.currentData() or ""), who)
        self._say_count()

    def _on_current(self, current: QModelIndex) -> None:
        row = current.data(LOOK_ROLE)
        self.panel.show_look(row if isinstance(row, LookRow) else None, self._looking)

    def _on_activated(self, index: QModelIndex) -> None:
        row = index.data(LOOK_ROLE)
        if isinstance(row, LookRow):
            self._go(row)

    def _go(self, row: object) -> None:
        if isinstance(row, LookRow) and row.check:
            self._session.select_boat(row.boat)
            self._session.select_check(row.check)
            self.check_requested.emit(row.check)

    def _after_reset(self) -> None:
        """Keep the look that was chosen; the best one where it is gone."""
        key = self.panel.row.key if self.panel.row is not None else ""
        number = max(self.model.number_of(key), 0)
        if self.model.rowCount():
            self.view.setCurrentIndex(self.model.index(number, 0))
        else:
            self.panel.show_look(None, self._looking)

    # --- Figures ---

    def _prepare(self) -> Job | None:
        assessment = self._session.assessment
        if assessment is None or not assessment.boats:
            return None
        return lambda: looking_of(assessment)

    def _take(self, looking: Looking | None) -> None:
        self._looking = looking or _NOTHING
        self.stack.setCurrentIndex(1 if self._looking.gains else 0)
        self._fill_boats()
        self.model.take(self._looking.rows)
        self._say()
        chosen = self.model.look_at(self.view.currentIndex().row())
        self.panel.show_look(chosen, self._looking)

    def _fill_boats(self) -> None:
        names = [("", tr("all boats")), *self._looking.names.items()]
        shown = [self.boats.itemData(place) for place in range(self.boats.count())]
        if shown == [key for key, _ in names]:
            return
        kept = self.boats.currentData()
        self.boats.clear()
        for key, name in names:
            self.boats.addItem(name, key)
        self.boats.setCurrentIndex(max(self.boats.findData(kept), 0))
        self._on_filter()

    def _say(self) -> None:
        rows = self._looking.rows
        if not rows:
            self.sentence.setText(tr("There is nothing left to look at. Decide now."))
        elif self._looking.stop:
            self.sentence.setText(
                tr("Stop here and decide: no further look is worth what it costs.")
            )
        else:
            self.sentence.setText(
                tr("Look next: {title}, {boat}.").format(
                    title=rows[0].title, boat=rows[0].boat_name
                )
            )
        self.survey.setText(_survey_words(self._looking.surveys))
        self.survey.setVisible(bool(self.survey.text()))
        minute = QLocale().toString(self._looking.minute_worth, "f", 2)
        self.explained.setText(
            tr(
                "Worth is what knowing is expected to save in choosing among your boats and none. "
                "Assumed: the chances, how surely a look sees, the fees, and {minute} for a "
                "minute of your own. It counts money only: gas, seacocks, steering and rigging "
                "are looked at before anybody sails her, whatever they are worth here."
            ).format(minute=f"{minute} {self._session.project.settings.currency}")
        )
        self._say_count()

    def _say_count(self) -> None:
        self.count.setText(
            tr("{n} looks, {m} pay").format(n=self.model.rowCount(), m=self.model.paying)
        )


def _survey_words(surveys: Surveys) -> str:
    """Which boat to have surveyed first; nothing where no survey would answer anything."""
    if not surveys.first:
        return ""
    if not surveys.only:
        return tr(
            "No survey pays by changing the choice alone. What it finds may also lower the price, "
            "and lenders and insurers ask for one: if you want it, begin with {boat}."
        ).format(boat=surveys.first)
    if surveys.only == surveys.first:
        return tr("Have {boat} surveyed first.").format(boat=surveys.first)
    return tr(
        "If several are to be surveyed begin with {first}; if only one, {only} gains most by it."
    ).format(first=surveys.first, only=surveys.only)
