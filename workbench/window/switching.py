"""Going from one search to another: opening, beginning, the sample, a copy elsewhere, archives.

Whatever is opened is read beside the window. Unsaved work of the search that is open is saved
first; where that fails, the search stays open.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from PySide6.QtCore import QSettings, Signal
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QFileDialog, QWidget

from workbench.domain.problem import HardstandError, Problem
from workbench.store.folder import Opened
from workbench.window.recent import forget_place, remember_place
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr

if TYPE_CHECKING:
    from workbench.window.pages.start_page import StartPage

Way: TypeAlias = tuple[str, str | QKeySequence.StandardKey, Callable[[], object]]
"""Words, keys, and what is done."""


class Switching(QWidget):
    """Opens searches for one window; it shows nothing itself but file choosers.

    Signals
    -------
    switched()
        Another search is open.
    """

    switched = Signal()

    def __init__(self, session: Session, preferences: QSettings, window: QWidget) -> None:
        super().__init__(window)
        self._session = session
        self._preferences = preferences
        self._window = window
        self.hide()

    def ways_in(self) -> tuple[Way, ...]:
        """The commands that lead to another search, for the menu."""
        return (
            (tr("New search …"), "Ctrl+N", self.new_search),
            (tr("Open …"), QKeySequence.StandardKey.Open, self.choose_folder),
            (tr("Open an archive …"), "Ctrl+Shift+O", self.open_archive),
        )

    def ways_out(self) -> tuple[Way, ...]:
        """The commands that make something of the whole search, for the menu."""
        return (
            (tr("Save a copy …"), QKeySequence.StandardKey.SaveAs, self.save_copy),
            (tr("Pack the whole search …"), "Ctrl+Shift+P", self.pack),
        )

    def follow(self, page: StartPage) -> None:
        """Do what is asked for on the start page."""
        page.new_requested.connect(self.new_search)
        page.open_requested.connect(self.choose_folder)
        page.archive_requested.connect(self.open_archive)
        page.sample_requested.connect(self.open_sample)
        page.place_chosen.connect(self.open_folder)
        page.forget_requested.connect(self.forget)
        page.forget_requested.connect(lambda _: page.refresh())

    def choose_folder(self) -> None:
        """Ask for a project folder and open it."""
        chosen = QFileDialog.getExistingDirectory(
            self._window, tr("Open a search"), str(self._session.place.parent)
        )
        if chosen:
            self.open_folder(Path(chosen))

    def new_search(self) -> None:
        """Ask for an empty folder and begin a search in it, with the settings of this one."""
        from workbench.store.folder import create_project  # noqa: PLC0415 - when asked for

        chosen, _ = QFileDialog.getSaveFileName(
            self._window,
            tr("A folder for the new search"),
            str(self._session.place.parent / tr("my search")),
        )
        if chosen:
            place, settings = Path(chosen), self._session.project.settings
            self._switch(lambda: create_project(place, place.name, settings))

    def open_folder(self, place: Path) -> None:
        """Open another search."""
        from workbench.store.folder import open_project  # noqa: PLC0415 - when asked for

        if place != self._session.place:
            self._switch(lambda: open_project(place))
        else:
            self.switched.emit()

    def open_archive(self, archive: object = None) -> None:
        """Ask for an archive, unless one is given, unpack it into a new folder and open that."""
        from workbench.window.pages.unpack_dialog import UnpackDialog  # noqa: PLC0415 - when asked

        session = self._session
        asked = UnpackDialog.choose(
            session.background,
            session.place.parent,
            self._window,
            archive if isinstance(archive, Path) else None,
        )
        if asked is not None:
            asked.unpacked.connect(self.open_folder)
            asked.unpack()

    def open_sample(self) -> None:
        """Open the user's own copy of the sample."""
        from workbench.window.samples import open_sample  # noqa: PLC0415 - when asked for

        self._switch(open_sample)

    def save_copy(self) -> None:
        """Ask for an empty folder, save a copy of the search there, and go on with the copy."""
        from workbench.store.mending import save_copy  # noqa: PLC0415 - when asked for

        session = self._session
        name = tr("{name} (copy)").format(name=session.place.name)
        chosen, _ = QFileDialog.getSaveFileName(
            self._window, tr("A folder for the copy"), str(session.place.parent / name)
        )
        if chosen:
            project, source, place = session.project, session.folder, Path(chosen)
            self._go(lambda: save_copy(project, place, source=source))

    def pack(self) -> None:
        """Ask what goes along, and pack the whole search into one archive."""
        from workbench.window.pages.pack_dialog import PackDialog  # noqa: PLC0415 - when asked for

        PackDialog.ask(self._session, self._window)

    def forget(self, place: Path) -> None:
        """Take a search off the list of those open before."""
        forget_place(self._preferences, place)

    def _switch(self, opening: Callable[[], Opened]) -> None:
        if self._session.is_changed and not self._session.read_only:
            self._session.save(lambda: self._go(opening))
        else:
            self._go(opening)

    def _go(self, opening: Callable[[], Opened]) -> None:
        self._session.background.run(
            FOLDER_WORK, opening, self._on_opened, self._on_not_opened, latest_only=False
        )

    def _on_opened(self, opened: Opened) -> None:
        session = self._session
        session.switch_to(opened)
        remember_place(self._preferences, session.place)
        self.switched.emit()
        for problem in opened.problems[:1]:
            session.problem_found.emit(problem)

    def _on_not_opened(self, error: Exception) -> None:
        if isinstance(error, HardstandError):
            self._session.problem_found.emit(error.problems[0])
            return
        words = tr("It cannot be opened: {why}.").format(why=error)
        self._session.problem_found.emit(Problem(tr("Opening a search"), words))
