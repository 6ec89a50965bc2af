"""Boats: list, inspection tree, one check, and the cost ledger together on one screen."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QModelIndex, Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QScrollArea,
    QSplitter,
    QTreeView,
    QVBoxLayout,
    QWidget,
)

from workbench.window.models.copying import let_copy_tree
from workbench.window.models.inspection_tree import (
    Filter,
    InspectionTreeModel,
    filter_words,
)
from workbench.window.models.totals import progress_words
from workbench.window.models.two_levels import KEY_ROLE
from workbench.window.pages.boat_cards import BoatCards
from workbench.window.pages.chosen_checks import ChosenChecks
from workbench.window.pages.ledger_pane import LedgerPane
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.row_delegate import RowDelegate
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_RELATED,
    SPACE_TIGHT,
    scale_of,
)
from workbench.window.widgets.tables import set_up_tree

LEAST_WIDTHS = (212, 220, 300, 320)
"""How narrow list, tree, check and ledger may become [device-independent pixels at scale 1]."""
LEAST_HEIGHT = 520
"""How low the page may become [the same]."""

if TYPE_CHECKING:
    from workbench.window.pages.check_panel import CheckPanel
    from workbench.window.pages.photo_view import PhotoView


class InspectionPane(QWidget):
    """The inspection tree with its progress and filter."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = InspectionTreeModel(session, self)
        self.view = QTreeView()
        self.view.setModel(self.model)
        self.view.setItemDelegate(RowDelegate(self.view))
        set_up_tree(self.view, name=tr("Inspection"))
        self.view.setSelectionMode(QTreeView.SelectionMode.ExtendedSelection)
        self.view.setToolTip(tr("Shift and the arrows choose several checks; Ctrl+C copies them."))
        heads = (tr("System"), tr("Check"), tr("Grade"), tr("Reading"), "")
        let_copy_tree(self.view, heads)
        self.chosen = ChosenChecks(session)
        self.view.setFrameShape(QTreeView.Shape.NoFrame)
        self.progress = label("", "small", wrap=True)
        self.filter = QComboBox()
        self.filter.setAccessibleName(tr("Show checks"))
        for kind in Filter:
            self.filter.addItem(filter_words(kind), kind)
        head = QHBoxLayout()
        head.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_RELATED, 0)
        head.addWidget(self.progress, 1)
        head.addWidget(self.filter)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addLayout(head)
        column.addWidget(self.view, 1)
        column.addWidget(self.chosen)
        self.filter.activated.connect(self._on_filter)
        self.view.selectionModel().currentChanged.connect(self._on_current)
        self.view.selectionModel().selectionChanged.connect(lambda *_: self._on_chosen())
        self.model.modelReset.connect(self._after_reset)
        self.model.modelReset.connect(self._on_chosen)
        session.assessed.connect(self._refresh)
        session.boat_selected.connect(self._refresh)
        session.check_selected.connect(self.follow)
        self._refresh()

    def _on_filter(self) -> None:
        kind = self.filter.currentData()
        self.model.set_filter(kind)
        if kind is not Filter.ALL:
            self.view.expandAll()

    def _on_current(self, current: QModelIndex) -> None:
        check_id = current.data(KEY_ROLE)
        if check_id:
            self._session.select_check(str(check_id))

    def _on_chosen(self) -> None:
        keys = (
            str(index.data(KEY_ROLE) or "")
            for index in self.view.selectionModel().selectedIndexes()
        )
        self.chosen.show_keys(tuple(key for key in keys if key))

    def _after_reset(self) -> None:
        if self.filter.currentData() is not Filter.ALL:
            self.view.expandAll()
        self.follow(self._session.check_id)

    def follow(self, check_id: str) -> None:
        """Show where a check stands in the tree."""
        index = self.model.index_of(check_id)
        if index.isValid() and self.view.currentIndex() != index:
            self.view.expand(index.parent())
            self.view.setCurrentIndex(index)
            self.view.scrollTo(index)

    def step(self, by: int) -> None:
        """Go to the next or the previous check shown."""
        shown = self.model.shown_keys()
        if not shown:
            return
        here = shown.index(self._session.check_id) if self._session.check_id in shown else -by
        self._session.select_check(shown[(here + by) % len(shown)])

    def _refresh(self) -> None:
        figures = self._session.boat
        last = self._session.remembered
        if figures is not None:
            self.progress.setText(progress_words(figures.coverage))
        else:
            self.progress.setText(last.progress if last is not None else "")


class BoatsPage(QWidget):
    """The main page.

    Signals
    -------
    add_boat_requested()
        The user wants to enter a boat.
    particulars_requested(boat_id)
        The user wants to see or change what is known of a boat.
    """

    add_boat_requested = Signal()
    particulars_requested = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.boats = BoatCards(session)
        self.inspection = InspectionPane(session)
        self._check_ground = QWidget()
        self.ledger = LedgerPane(session)
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        panes = (
            (self.boats, "page"),
            (self.inspection, "panel"),
            (self._check_ground, "panel"),
            (self.ledger, "page"),
        )
        self._panes: list[QWidget] = []
        for pane, kind in panes:
            ground = surface(kind)
            inner = QVBoxLayout(ground)
            inner.setContentsMargins(0, 0, 0, 0)
            inner.addWidget(pane)
            self.splitter.addWidget(ground)
            self._panes.append(ground)
        self.splitter.setSizes([238, 270, 420, 400])
        for position, stretch in enumerate((0, 1, 3, 2)):
            self.splitter.setStretchFactor(position, stretch)
        self.splitter.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self._room = QScrollArea()
        self._room.setWidgetResizable(True)
        self._room.setFrameShape(QScrollArea.Shape.NoFrame)
        self._room.setWidget(self.splitter)
        column.addWidget(self._room)
        self._fit()
        self._connect()

    def _connect(self) -> None:
        self.boats.add_requested.connect(self.add_boat_requested)
        self.boats.particulars_requested.connect(self.particulars_requested)
        self.ledger.check_requested.connect(self._session.select_check)
        # In the next turn: trees and lists have their own to do in this one.
        self._session.assessed.connect(lambda: QTimer.singleShot(0, self, self._choose_a_check))
        self._session.check_selected.connect(lambda check_id: self.check if check_id else None)

    def changeEvent(self, event: QEvent) -> None:
        """Keep room for larger text."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self._fit()

    def _fit(self) -> None:
        """No pane narrower than its words need; a window too small for all is scrolled."""
        scale = scale_of(self)
        for pane, width in zip(self._panes, LEAST_WIDTHS, strict=True):
            pane.setMinimumWidth(round(width * scale))
        self.splitter.setMinimumHeight(round(LEAST_HEIGHT * scale))

    @functools.cached_property
    def check(self) -> CheckPanel:
        """The check that is looked at; its many parts are made when the first one is chosen."""
        from workbench.window.pages.check_panel import CheckPanel  # noqa: PLC0415 - made when shown

        made = CheckPanel(self._session)
        made.next_requested.connect(self.next_check)
        made.form.finished.connect(self.next_check)
        made.photos.photo_opened.connect(self._open_photo)
        whole = QVBoxLayout(self._check_ground)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(made)
        return made

    @functools.cached_property
    def photo_view(self) -> PhotoView:
        """The photo that is looked at, over the whole page; made with the first one."""
        from workbench.window.pages.photo_view import PhotoView  # noqa: PLC0415 - made when shown

        return PhotoView(self._session, self.check.photos.loader, self)

    def _open_photo(self, photo_id: str) -> None:
        self.photo_view.open_photo(photo_id)

    def _choose_a_check(self) -> None:
        """Show the first check that nobody has looked at, so that the page is never empty."""
        figures = self._session.boat
        if figures is None or self._session.check is not None:
            return
        unseen = (one.check.id for one in figures.findings if not one.looked)
        first = next(unseen, figures.findings[0].check.id if figures.findings else "")
        self._session.select_check(first)

    def next_check(self) -> None:
        """Go to the next check and put the keyboard into its first field."""
        self.inspection.step(1)
        self.check.form.focus_first()

    def previous_check(self) -> None:
        """Go to the check before and put the keyboard into its first field."""
        self.inspection.step(-1)
        self.check.form.focus_first()
