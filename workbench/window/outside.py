"""What others do to the folder while the window is open: a sync tool, an editor, another machine.

The folder is watched, and looked at whenever the window comes to the front. Where nothing here is
unsaved, what changed is read again at once. Where something is, nothing is touched: a banner says
what changed, saving keeps both versions, and the two can be compared and put together.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QFileSystemWatcher, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from workbench.domain.problem import HardstandError, Problem
from workbench.edits.edit import Path
from workbench.store.errors import system_words
from workbench.store.file_system import Kind
from workbench.store.folder import Opened, hand_back, reload_project
from workbench.store.saving import ProjectFolder
from workbench.store.watching import changed_outside
from workbench.window.offers import Offer
from workbench.window.part_words import parts_in_words
from workbench.window.session import FOLDER_WORK, SavedState, Session
from workbench.window.texts import tr
from workbench.window.two_versions import TwoVersions, read_theirs, seen_now, steps

if TYPE_CHECKING:
    from workbench.window.pages.two_versions_dialog import TwoVersionsDialog

REST_MS = 400
"""How long the folder rests before it is looked at [ms]; sync tools write several files."""
MOST_FILES = 400
"""Above this many files only the folders are watched; focus and saving see the rest."""


class OutsideWatch(QObject):
    """Follows the folder of one session.

    Signals
    -------
    offered(Offer)
        Something changed that the user should know of.
    looked()
        The folder was looked at.
    """

    offered = Signal(object)
    looked = Signal()

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._folder: ProjectFolder | None = None
        self._told: tuple[str, ...] = ()
        self._gone = False
        self.dialog: TwoVersionsDialog | None = None
        self._watcher = QFileSystemWatcher(self)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.look)
        self._watcher.directoryChanged.connect(lambda _: self._rest.start())
        self._watcher.fileChanged.connect(lambda _: self._rest.start())
        session.changed.connect(self._follow)
        session.saved_state_changed.connect(self._on_saved_state)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            application.applicationStateChanged.connect(self._on_state)
        self._follow()

    def _follow(self) -> None:
        if self._session.folder is not self._folder:
            self._folder = self._session.folder
            self._told, self._gone = (), False
            self.watch_again()

    def _on_saved_state(self) -> None:
        if self._session.saved_state is SavedState.NOT_SAVED:
            self._told = ()  # it may be because of a change outside: then both can be compared
            self._rest.start()
        if not self._session.is_changed:
            self._told = ()
            self.watch_again()

    def _on_state(self, state: Qt.ApplicationState) -> None:
        if state == Qt.ApplicationState.ApplicationActive:
            self._rest.start()

    def watch_again(self) -> None:
        """Watch what is there now: a file put in place of another is a new one to the system."""
        folder = self._session.folder
        root = folder.root
        files = [f"{root}/{path}" for path in folder.known]
        folders = {root, *(path.rpartition("/")[0] for path in files)}
        # The folders above too: a folder that is renamed tells only the one above it.
        folders.update(path.rpartition("/")[0] for path in tuple(folders))
        folders.discard("")
        wanted = {*folders, *(files if len(files) <= MOST_FILES else ())}
        watched = {*self._watcher.directories(), *self._watcher.files()}
        if watched - wanted:
            self._watcher.removePaths(sorted(watched - wanted))
        missing = [path for path in sorted(wanted - watched) if folder.files.facts(path)]
        if missing:
            self._watcher.addPaths(missing)

    def look(self) -> None:
        """Look, beside the window, whether anything changed outside."""
        folder = self._session.folder

        def changed() -> tuple[str, ...] | None:
            facts = folder.files.facts(folder.root)
            if facts is None or facts.kind is not Kind.FOLDER:
                return None
            return changed_outside(folder)

        self._session.background.run(
            FOLDER_WORK,
            changed,
            lambda paths: self._on_looked(folder, paths),
            lambda _: self._on_looked(folder, None),
            latest_only=False,
        )

    def _on_looked(self, folder: ProjectFolder, paths: tuple[str, ...] | None) -> None:
        if not isValid(self) or folder is not self._session.folder:
            return  # the window or its search is another by now
        if paths is None:
            self._say_gone()
        else:
            self._gone = False
            if not paths:
                self._told = ()
            elif self._session.is_changed:
                self._say_changed(paths)
            else:
                self._read_again(folder, paths)
        self.watch_again()
        self.looked.emit()

    def _say_gone(self) -> None:
        if self._gone:
            return
        self._gone = True
        self.offered.emit(
            Offer(
                tr("The folder of this search is not there any more."),
                self._session.place.name,
                tr("Your work is still here. Bring the folder or the disk back, or save a copy."),
                serious=True,
            )
        )

    def _say_changed(self, paths: tuple[str, ...]) -> None:
        if paths == self._told:
            return
        self._told = paths
        self.offered.emit(
            Offer(
                tr("Something changed outside while you have unsaved changes."),
                parts_in_words(paths, self._session.project),
                tr("Nothing is lost: saving keeps both versions. Compare them to go on with one."),
                tr("Compare the two"),
                self.compare,
                serious=True,
            )
        )

    def _read_again(self, folder: ProjectFolder, paths: tuple[str, ...]) -> None:
        self._session.background.run(
            FOLDER_WORK,
            lambda: reload_project(folder),
            lambda opened: self._on_read(folder, opened, paths),
            self._on_not_read,
            latest_only=False,
        )

    # --- Two versions ---

    def compare(self) -> None:
        """Show, field by field, where what lies there and what is here differ."""
        session = self._session
        folder, before, mine = session.folder, session.saved, session.project
        session.background.run(
            FOLDER_WORK,
            lambda: seen_now(folder, before, mine),
            lambda versions: self._show(folder, versions),
            self._on_not_read,
            latest_only=False,
        )

    def _show(self, folder: ProjectFolder, versions: TwoVersions) -> None:
        if self._session.folder is not folder or self._session.project is not versions.mine:
            self._rest.start()  # something was done meanwhile; look again
            return
        from workbench.window.pages.two_versions_dialog import (  # noqa: PLC0415 - when asked for
            TwoVersionsDialog,
        )

        above = self.parent()
        dialog = TwoVersionsDialog(
            self._session, versions, above if isinstance(above, QWidget) else None
        )
        dialog.decided.connect(lambda keep: self._put_together(versions, keep))
        dialog.theirs_wanted.connect(self.read_theirs)
        self.dialog = dialog
        dialog.destroyed.connect(self._on_closed)
        dialog.open()

    def _on_closed(self) -> None:
        self.dialog = None

    def _put_together(self, versions: TwoVersions, keep: tuple[Path, ...]) -> None:
        def then(opened: Opened) -> None:
            # Theirs as it is by now: what was changed there since the dialog opened is in it.
            found = TwoVersions(versions.before, opened.project, versions.mine)
            for step in steps(found, keep):
                self._session.apply(step)

        self.read_theirs(then)

    def read_theirs(self, then: Callable[[Opened], None] | None = None) -> None:
        """Take theirs in; ours is kept whole, and `then` goes on from there."""
        session = self._session
        folder, project, saved = session.folder, session.project, session.saved
        session.background.run(
            FOLDER_WORK,
            lambda: read_theirs(folder, saved, project),
            lambda opened: self._on_read(folder, opened, self._told, project, then),
            self._on_not_read,
            latest_only=False,
        )

    def _on_read(
        self,
        folder: ProjectFolder,
        opened: Opened,
        paths: tuple[str, ...],
        even_if: object = None,
        then: Callable[[Opened], None] | None = None,
    ) -> None:
        session = self._session
        edited = session.is_changed and session.project is not even_if
        if session.folder is not folder or edited:
            # Somebody was quicker than the reading: nothing of it is taken over.
            hand_back(folder, opened)
            self._rest.start()
            return
        session.follow_disk(opened)
        if then is not None:
            then(opened)
        self.offered.emit(
            Offer(
                tr("What changed outside was read again."),
                parts_in_words(paths, session.project),
            )
        )
        for problem in opened.problems[:1]:
            session.problem_found.emit(problem)

    def _on_not_read(self, error: Exception) -> None:
        if isinstance(error, HardstandError):
            for problem in error.problems[:1]:
                self._session.problem_found.emit(problem)
            return
        said = system_words(error) if isinstance(error, OSError) else type(error).__name__
        self._session.problem_found.emit(
            Problem(
                self._session.place.name,
                tr("What changed outside could not be read: {why}.").format(why=said),
                tr("Your work is still here. Free the folder or make room, then try again."),
            )
        )
