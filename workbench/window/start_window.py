"""The window before any search is open: the start page alone, until one is chosen."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from PySide6.QtCore import QSettings, Signal
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QFileDialog, QMainWindow

from workbench.domain.problem import HardstandError
from workbench.paths import documents_folder
from workbench.store.folder import Opened
from workbench.window.background import Background
from workbench.window.pages.start_page import StartPage
from workbench.window.recent import forget_place, recent_places
from workbench.window.texts import tr

TOPIC = "opening"


class StartWindow(QMainWindow):
    """Asks for a search, and is done once one is open.

    Signals
    -------
    search_opened(Opened)
        A search is open; the window on it is the caller's to make.
    """

    search_opened = Signal(object)

    def __init__(self, preferences: QSettings) -> None:
        super().__init__()
        self._preferences = preferences
        self._background = Background(self)
        self.setWindowTitle(tr("Hardstand"))
        self.setMinimumSize(960, 600)
        self.resize(1120, 680)
        self.page = StartPage(lambda: recent_places(preferences))
        self.setCentralWidget(self.page)
        self.page.new_requested.connect(self.new_search)
        self.page.open_requested.connect(self.choose_folder)
        self.page.archive_requested.connect(self.open_archive)
        self.page.sample_requested.connect(self.look_at_sample)
        self.page.place_chosen.connect(self.open_folder)
        self.page.forget_requested.connect(self._forget)

    def new_search(self) -> None:
        """Ask for an empty folder and begin a search in it."""
        start = documents_folder() / tr("my search")
        chosen, _ = QFileDialog.getSaveFileName(self, tr("A folder for the new search"), str(start))
        if chosen:
            self._open(lambda: _created(Path(chosen)))

    def choose_folder(self) -> None:
        """Ask for a project folder and open it."""
        chosen = QFileDialog.getExistingDirectory(
            self, tr("Open a search"), str(documents_folder())
        )
        if chosen:
            self.open_folder(Path(chosen))

    def open_folder(self, place: object) -> None:
        """Open a search."""
        if isinstance(place, Path):
            self._open(lambda: _opened(place))

    def open_archive(self, archive: object = None) -> None:
        """Ask for an archive, unless one is given, unpack it into a new folder and open that."""
        from workbench.window.pages.unpack_dialog import UnpackDialog  # noqa: PLC0415 - when asked

        given = archive if isinstance(archive, Path) else None
        asked = UnpackDialog.choose(self._background, documents_folder(), self, given)
        if asked is not None:
            asked.unpacked.connect(self.open_folder)
            asked.unpack()

    def look_at_sample(self) -> None:
        """Open the user's own copy of the sample."""
        self._open(_sample)

    def _forget(self, place: object) -> None:
        if isinstance(place, Path):
            forget_place(self._preferences, place)
            self.page.refresh()

    def _open(self, opening: Callable[[], Opened]) -> None:
        self.page.say("")
        self.page.set_busy(busy=True)
        self._background.run(TOPIC, opening, self._on_opened, self._on_not_opened)

    def _on_opened(self, opened: Opened) -> None:
        self.page.set_busy(busy=False)
        self.search_opened.emit(opened)

    def _on_not_opened(self, error: Exception) -> None:
        self.page.set_busy(busy=False)
        if isinstance(error, HardstandError):
            self.page.say(error.problems[0].sentence())
        else:
            self.page.say(tr("It cannot be opened: {why}.").format(why=error))

    def closeEvent(self, event: QCloseEvent) -> None:
        """Wait for what is being opened, then go."""
        self._background.finish()
        event.accept()


def _created(place: Path) -> Opened:
    from workbench.domain.settings import Settings  # noqa: PLC0415 - when asked for
    from workbench.store.folder import create_project  # noqa: PLC0415 - when asked for

    place.parent.mkdir(parents=True, exist_ok=True)
    return create_project(place, place.name, Settings(as_of=date.today()))


def _opened(place: Path) -> Opened:
    from workbench.store.folder import open_project  # noqa: PLC0415 - when asked for

    return open_project(place)


def _sample() -> Opened:
    from workbench.window.samples import open_sample  # noqa: PLC0415 - when asked for

    return open_sample()
