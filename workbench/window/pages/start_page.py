"""Start: what the tool is and is not, and the ways into a search."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from workbench.window.texts import tr
from workbench.window.widgets.boat_silhouette import BoatSilhouette, BoatSketch
from workbench.window.widgets.buttons import button
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.row_delegate import ROW_ROLE, RowDelegate, RowParts
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
)
from workbench.window.widgets.tables import set_up_list

PATH_ROLE = int(Qt.ItemDataRole.UserRole)
WIDEST = 980

Recent = Callable[[], tuple[Path, ...]]


def sentences() -> tuple[str, ...]:
    """What the tool is, and what it is not."""
    return (
        tr(
            "Hardstand goes with you to older sailing boats ashore: it says what to look at and "
            "how, what a finding means, and what it costs to put right."
        ),
        tr(
            "From what you saw, and from what you could not see, it makes a repair budget with "
            "its ranges and a price that you can defend line by line."
        ),
        tr(
            "It is not a survey: it replaces neither a qualified surveyor nor licensed trades, "
            "and local codes and the contract of sale come first."
        ),
        tr(
            "Everything stays in a folder of yours that you can read, copy and keep; nothing is "
            "sent anywhere."
        ),
    )


class _RecentList(QListWidget):
    """Searches open before; Delete takes one off the list."""

    forget_requested = Signal(object)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a search off the list with Delete."""
        item = self.currentItem()
        if event.key() == Qt.Key.Key_Delete and self.currentRow() >= 0:
            self.forget_requested.emit(Path(str(item.data(PATH_ROLE))))
        else:
            super().keyPressEvent(event)


class StartPage(QWidget):
    """The first page, and the way back to other searches.

    Parameters
    ----------
    recent
        Answers the searches that were open before, the newest first.
    here
        The search that is open now, to be marked in the list; None for none.

    Signals
    -------
    new_requested(), open_requested(), sample_requested()
        The user wants a new search, to choose a folder, or the sample.
    archive_requested(path)
        The user wants to open an archive: the one that was dropped, None for one to be chosen.
    place_chosen(path)
        The user wants one of the searches that were open before.
    forget_requested(path)
        The user wants one off the list.
    """

    new_requested = Signal()
    open_requested = Signal()
    sample_requested = Signal()
    archive_requested = Signal(object)
    place_chosen = Signal(object)
    forget_requested = Signal(object)

    def __init__(
        self,
        recent: Recent,
        here: Callable[[], Path | None] = lambda: None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._recent, self._here = recent, here
        self.new_button = button(
            tr("New search …"), "primary", tip=tr("An empty folder for the boats you look at")
        )
        self.open_button = button(tr("Open …"), tip=tr("A folder that holds a search"))
        self.archive_button = button(
            tr("Open an archive …"), tip=tr("A whole search in one file; or drop it on this page")
        )
        self.sample_button = button(
            tr("Look at the sample"), tip=tr("Four invented boats; your own copy, to try things on")
        )
        self.list = _RecentList()
        set_up_list(self.list, name=tr("Open before"))
        self.list.setItemDelegate(RowDelegate(self.list, ruled=True))
        self.list.setUniformItemSizes(False)
        self.list.setFrameShape(QListWidget.Shape.NoFrame)
        self.list.setProperty("ground", "page")
        self.list.setToolTip(tr("Return opens a search, Delete takes it off this list."))
        self.nothing = label(
            tr("Nothing yet. Begin a new search, or look at the sample first."), "quiet", wrap=True
        )
        self.problem = label("", "problem", wrap=True)
        self.setAcceptDrops(True)
        self._lay_out()
        self._connect()
        self.say("")
        self.refresh()

    def _lay_out(self) -> None:
        ground = surface("page")
        outer = QHBoxLayout(ground)
        outer.setContentsMargins(SPACE_PAGE, SPACE_PAGE, SPACE_PAGE, SPACE_PAGE)
        middle = QWidget()
        middle.setMaximumWidth(WIDEST)
        row = QHBoxLayout(middle)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2 * SPACE_PAGE)
        row.addLayout(self._words(), 5)
        row.addLayout(self._ways(), 4)
        outer.addStretch(1)
        outer.addWidget(middle, 100)
        outer.addStretch(1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setAccessibleName(tr("Start"))
        area.setWidget(ground)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(area)

    def _words(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(SPACE_GROUPS)
        column.addStretch(2)
        sketches = QHBoxLayout()
        sketches.setSpacing(SPACE_GROUPS)
        for sketch in (
            BoatSketch("sloop", "fin", "skeg"),
            BoatSketch("ketch", "long", "keel"),
            BoatSketch("cutter", "wing", "spade"),
        ):
            sketches.addWidget(BoatSilhouette(sketch, height=92))
        sketches.addStretch(1)
        column.addLayout(sketches)
        column.addWidget(label(tr("Hardstand"), "title"))
        for sentence in sentences():
            column.addWidget(label(sentence, wrap=True))
        column.addStretch(3)
        return column

    def _ways(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(SPACE_RELATED)
        column.addStretch(2)
        column.addWidget(SectionHeader(tr("Begin")))
        ways = QWidget()
        row = FlowLayout(ways, spacing=SPACE_RELATED)
        for made in self._buttons():
            row.addWidget(made)
        column.addWidget(ways)
        column.addWidget(self.problem)
        column.addSpacing(SPACE_GROUPS)
        column.addWidget(SectionHeader(tr("Open before")))
        column.addWidget(self.nothing)
        self.list.setMinimumHeight(260)
        column.addWidget(self.list, 6)
        column.addStretch(1)
        return column

    def _buttons(self) -> tuple[QPushButton, ...]:
        """The ways into a search, in their order."""
        return (self.new_button, self.open_button, self.archive_button, self.sample_button)

    def _connect(self) -> None:
        self.new_button.clicked.connect(self.new_requested)
        self.open_button.clicked.connect(self.open_requested)
        self.sample_button.clicked.connect(self.sample_requested)
        self.archive_button.clicked.connect(lambda _=False: self.archive_requested.emit(None))
        self.list.itemActivated.connect(self._on_activated)
        self.list.itemClicked.connect(self._on_activated)
        self.list.forget_requested.connect(self.forget_requested)

    def _on_activated(self, item: QListWidgetItem) -> None:
        self.place_chosen.emit(Path(str(item.data(PATH_ROLE))))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Let a search be dropped: its folder, or an archive of one."""
        if _dropped(event) is not None and self.open_button.isEnabled():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the first thing that was dropped."""
        path = _dropped(event)
        if path is None:
            return
        event.acceptProposedAction()
        wanted = self.place_chosen if path.is_dir() else self.archive_requested
        wanted.emit(path)

    def showEvent(self, event: QShowEvent) -> None:
        """List what was open before as it is now."""
        super().showEvent(event)
        self.refresh()

    def refresh(self) -> None:
        """List the searches that were open before."""
        here = self._here()
        self.list.clear()
        for place in self._recent():
            item = QListWidgetItem(place.name)
            item.setData(PATH_ROLE, str(place))
            beside = ""
            if place == here:
                beside = tr("open now")
            elif not place.is_dir():
                beside = tr("not there")
            where = str(place.parent)
            item.setData(
                ROW_ROLE,
                RowParts(
                    place.name,
                    sub_line=f"{where}, {beside}" if beside else where,
                    quiet=beside == tr("not there"),
                ),
            )
            item.setToolTip(str(place))
            self.list.addItem(item)
        self.list.setVisible(self.list.count() > 0)
        self.nothing.setVisible(self.list.count() == 0)

    def set_busy(self, *, busy: bool) -> None:
        """Let nothing else be asked for while a search is being opened."""
        for made in (*self._buttons(), self.list):
            made.setEnabled(not busy)

    def say(self, sentence: str) -> None:
        """Say what is wrong below the buttons."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))


def _dropped(event: QDropEvent) -> Path | None:
    """The first folder or archive of this computer that is dragged; None where there is none."""
    local = (Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile())
    return next((one for one in local if one.is_dir() or one.suffix.lower() == ".zip"), None)
