"""Shortlist: every boat of the search in one list, and what is decided about the one looked at."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDropEvent,
    QGuiApplication,
)
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QSplitter,
    QStackedLayout,
    QVBoxLayout,
    QWidget,
)

from workbench.window.pages.shortlist_boat import ShortlistBoat
from workbench.window.pages.shortlist_list import ShortlistList
from workbench.window.photo_loading import PhotoLoader
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.labels import surface
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
)

if TYPE_CHECKING:
    from workbench.window.pages.listing_panel import ListingPanel


class ShortlistPage(QWidget):
    """The boats of the search and the ways in which more of them are entered.

    Signals
    -------
    add_boat_requested(), bring_in_requested(), boats_requested()
        The user wants to enter a boat, to bring in a table of them, to look one over.
    particulars_requested(boat_id)
        The user wants to see or change what is known of a boat.
    """

    add_boat_requested = Signal()
    bring_in_requested = Signal()
    boats_requested = Signal()
    particulars_requested = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        loader = PhotoLoader(session, self)
        self.list = ShortlistList(session, loader)
        self.boat = ShortlistBoat(session, loader)
        self.add_button = button(tr("Add a boat …"), "primary", tip=tr("By her name (Ctrl+B)"))
        self.listing_button = button(
            tr("From an advertisement …"),
            tip=tr("Paste its text, or drop it here: what is known is read from it (Ctrl+V)"),
        )
        self.table_button = button(
            tr("Bring in a table …"), tip=tr("A spreadsheet or a CSV file of boats (Ctrl+I)")
        )
        self.empty = EmptyState(
            tr("No boats yet"),
            tr("A name is enough to begin. The rest can wait until you stand before her."),
            tr("Add a boat …"),
        )
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        self.views = QStackedLayout(self)
        self._lay_out()
        self._connect()
        self._show_emptiness()

    def _lay_out(self) -> None:
        self.splitter.addWidget(_on_ground(self.list, "panel"))
        self.splitter.addWidget(_scrolled(self.boat))
        self.splitter.setSizes([900, 420])
        self.splitter.setStretchFactor(0, 2)
        self.splitter.setStretchFactor(1, 1)
        self.splitter.setChildrenCollapsible(False)
        ways = QHBoxLayout()
        ways.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        ways.setSpacing(SPACE_RELATED)
        for one in (self.add_button, self.listing_button, self.table_button):
            ways.addWidget(one)
        ways.addStretch(1)
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(ways)
        column.addWidget(self.splitter, 1)
        column.addWidget(self.empty, 1)
        self.views.addWidget(whole)

    def _connect(self) -> None:
        self.add_button.clicked.connect(lambda _=False: self.add_boat_requested.emit())
        self.empty.next_step_requested.connect(self.add_boat_requested)
        self.table_button.clicked.connect(lambda _=False: self.bring_in_requested.emit())
        self.listing_button.clicked.connect(lambda _=False: self.read_advertisement())
        self.list.pasted.connect(self.paste)
        self.list.boats_requested.connect(self.boats_requested)
        self.list.particulars_requested.connect(self.particulars_requested)
        self.boat.look_requested.connect(self.boats_requested)
        self.boat.particulars_requested.connect(self.particulars_requested)
        self.list.model.modelReset.connect(self._show_emptiness)
        self.setAcceptDrops(True)

    def _show_emptiness(self) -> None:
        some = self.list.model.rowCount() > 0
        self.splitter.setVisible(some)
        self.empty.setVisible(not some)

    # --- Advertisements ---

    @functools.cached_property
    def listing(self) -> ListingPanel:
        """Where an advertisement is read, over the whole page; made with the first one."""
        from workbench.window.pages.listing_panel import ListingPanel  # noqa: PLC0415 - when shown

        made = ListingPanel(self._session)
        made.done.connect(self._on_listing_taken)
        made.closed.connect(self._leave_listing)
        self.views.addWidget(made)
        return made

    def read_advertisement(self, text: str = "") -> None:
        """Show where an advertisement is pasted, with its text where it is known already."""
        self.views.setCurrentWidget(self.listing)
        if text:
            self.listing.set_text(text)
        self.listing.setFocus()

    def paste(self) -> None:
        """Read the advertisement on the clipboard."""
        text = QGuiApplication.clipboard().text()
        if text.strip():
            self.read_advertisement(text)
        else:
            self.list.say(tr("There is no text on the clipboard."))

    def _on_listing_taken(self, boat_id: object) -> None:
        self._leave_listing()
        self._session.select_boat(str(boat_id))

    def _leave_listing(self) -> None:
        self.views.setCurrentIndex(0)
        self.list.view.setFocus()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take the text of an advertisement, or a file with it."""
        if event.mimeData().hasText() or event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Read what was dropped."""
        data = event.mimeData()
        files = [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
        self.read_advertisement("" if files else data.text())
        if files:
            self.listing.open_file(files[0])
        event.acceptProposedAction()


def _on_ground(part: QWidget, kind: str) -> QWidget:
    ground = surface(kind)
    inner = QVBoxLayout(ground)
    inner.setContentsMargins(0, 0, 0, 0)
    inner.addWidget(part)
    return ground


def _scrolled(part: QWidget) -> QScrollArea:
    ground = surface("page")
    inner = QVBoxLayout(ground)
    inner.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_PAGE, SPACE_GROUPS)
    inner.addWidget(part)
    inner.addStretch(1)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(ground)
    return area
