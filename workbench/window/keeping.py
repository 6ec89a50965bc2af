"""What is not saved yet is kept all the same, and offered again after a crash.

Five seconds after an edit the unsaved work is kept in application data, beside the window. A
complete save settles what was kept and makes a backup of the text files. When a search is opened
whose unsaved work was kept and never saved, the window offers to bring it back: as one step that
can be undone, and nothing is deleted by it.
"""

from __future__ import annotations

from datetime import datetime

from PySide6.QtCore import QObject, QTimer, Signal

from workbench.domain.problem import HardstandError, Problem, Severity
from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.edits.edit import Edit, Put
from workbench.store.autosave import (
    Autosave,
    find_autosaves,
    keep_autosave,
    recovered,
    settle_autosaves,
)
from workbench.store.backups import make_backup
from workbench.store.errors import StoreError, system_words
from workbench.store.saving import ProjectFolder
from workbench.window.offers import Offer
from workbench.window.part_words import parts_in_words
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr

KEPT_AFTER_MS = 5_000
_WHOLE = ("name", "settings", "boats", "comparables", "overrides", "extra")


@dataclass(frozen=True, slots=True)
class Unsaved:
    """Work that was kept and never saved.

    Attributes
    ----------
    project
        The project as it was then.
    """

    autosave: Autosave
    project: Project


def unsaved_work(folder: ProjectFolder, now: Project) -> Unsaved | None:
    """The newest kept work that differs from the project as it is; None when there is none."""
    for autosave in find_autosaves(folder):
        try:
            project = recovered(folder, autosave)
        except StoreError:
            continue  # an older one may be whole
        if _differs(project, now):
            return Unsaved(autosave, project)
        return None
    return None


def _differs(one: Project, other: Project) -> bool:
    return any(getattr(one, name) != getattr(other, name) for name in _WHOLE)


def bring_back(unsaved: Unsaved) -> Edit:
    """The kept work as one step that can be undone."""
    puts = tuple(Put((name,), getattr(unsaved.project, name)) for name in _WHOLE)
    return Edit(tr("Bring back unsaved work"), puts)


class Keeper(QObject):
    """Keeps unsaved work of one session.

    Signals
    -------
    offered(Offer)
        Unsaved work of an earlier time was found, or something could not be kept.
    kept()
        The unsaved work as it was is in application data.
    settled()
        After a complete save nothing unsaved is kept any more, and the backup is made.
    """

    offered = Signal(object)
    kept = Signal()
    settled = Signal()

    def __init__(
        self, session: Session, parent: QObject | None = None, *, after_ms: int = KEPT_AFTER_MS
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._folder = session.folder
        self._saved_at = session.saved_at
        self._something_kept = False
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(after_ms)
        self._rest.timeout.connect(self.keep)
        session.changed.connect(self._on_changed)
        session.saved_state_changed.connect(self._on_saved_state)

    # --- Keeping ---

    def _on_changed(self) -> None:
        session = self._session
        if session.folder is not self._folder:  # another search, or this one read again
            self._folder, self._saved_at = session.folder, session.saved_at
            self._something_kept = False
            self._rest.stop()
            self.look_for_unsaved_work()
        elif session.is_changed and not session.read_only:
            if not self._rest.isActive():  # an edit a second must not put keeping off for ever
                self._rest.start()
        else:
            self._rest.stop()
            if self._something_kept and not session.read_only:
                self._settle(with_backup=False)

    def keep(self) -> None:
        """Keep what is unsaved, beside the window."""
        session = self._session
        if not session.is_changed or session.read_only:
            return
        folder, project, saved = session.folder, session.project, session.saved
        self._something_kept = True
        session.background.run(
            FOLDER_WORK,
            lambda: keep_autosave(folder, project, saved),
            lambda _: self.kept.emit(),
            self._on_not_kept,
            latest_only=False,
        )

    def _on_not_kept(self, error: Exception) -> None:
        said = system_words(error) if isinstance(error, OSError) else str(error)
        self._session.problem_found.emit(
            Problem(
                tr("Unsaved work"),
                tr("It could not be kept against a crash: {why}.").format(why=said),
                tr("Save, and make room on the disk."),
            )
        )

    def _on_saved_state(self) -> None:
        session = self._session
        if session.saved_at is not None and session.saved_at != self._saved_at:
            self._saved_at = session.saved_at
            self._settle(with_backup=True)

    def _settle(self, *, with_backup: bool) -> None:
        folder = self._session.folder
        self._something_kept = False

        def settle() -> None:
            settle_autosaves(folder)
            if with_backup:
                make_backup(folder)

        self._session.background.run(
            FOLDER_WORK, settle, lambda _: self._on_settled(), self._on_no_backup, latest_only=False
        )

    def _on_settled(self) -> None:
        self.settled.emit()
        if self._session.is_changed and not self._rest.isActive():
            self._rest.start()

    def _on_no_backup(self, error: Exception) -> None:
        problems = error.problems if isinstance(error, HardstandError) else ()
        why = problems[0].message if problems else str(error)
        self._session.problem_found.emit(
            Problem(
                tr("Backup"),
                tr("The search is saved, but its backup is not made. {why}").format(why=why),
                tr("Make room on the disk, then save again."),
                Severity.PROBLEM,
            )
        )

    # --- Bringing back ---

    def look_for_unsaved_work(self) -> None:
        """Look, beside the window, for work that was kept and never saved; offer it."""
        session = self._session
        folder, project = session.folder, session.project
        session.background.run(
            FOLDER_WORK,
            lambda: unsaved_work(folder, project),
            lambda found: self._on_found(folder, found),
            lambda _: None,  # a folder that cannot be read has been reported on opening
            latest_only=False,
        )

    def _on_found(self, folder: ProjectFolder, found: Unsaved | None) -> None:
        session = self._session
        if found is None or session.folder is not folder or session.is_changed:
            return
        parts = [path for path, _ in found.autosave.changed]
        when = found.autosave.made.astimezone()
        meaning = tr("Bringing it back can be undone; nothing is lost by looking.")
        if not found.autosave.fits:
            meaning = tr("The search was saved from elsewhere since; look closely before you save.")
        self.offered.emit(
            Offer(
                tr("Work of {when} was not saved.").format(when=_moment(when)),
                tr("It differs in: {parts}").format(parts=parts_in_words(parts, found.project)),
                meaning,
                tr("Bring it back"),
                lambda: self._bring_back(folder, found),
            )
        )

    def _bring_back(self, folder: ProjectFolder, found: Unsaved) -> None:
        if self._session.folder is folder:
            self._session.apply(bring_back(found))


def _moment(when: datetime) -> str:
    from PySide6.QtCore import QDateTime, QLocale  # noqa: PLC0415 - only for the sentence

    made = QDateTime.fromSecsSinceEpoch(int(when.timestamp()))
    return QLocale().toString(made, QLocale.FormatType.ShortFormat)
