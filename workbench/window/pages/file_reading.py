"""Reading a file beside the window and saying what it would change, with a way to stop it."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from workbench.domain.problem import HardstandError, Problem, Severity
from workbench.domain.project import Project
from workbench.window.session import Session
from workbench.window.texts import tr

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.reports.incoming.cells import Incoming
    from workbench.reports.incoming.preview import Preview

TOPIC = "bring-in"


class FileReader(QObject):
    """Reads one file at a time and makes previews of it.

    Signals
    -------
    previewed(Preview)
        What the file would change; its `edit` fits the project as it is in the session.
    refused(problems)
        The file cannot be read; a tuple of problems.
    stopped()
        The reading was stopped by the user.
    busy_changed(busy)
        Reading began or ended.
    """

    previewed = Signal(object)
    refused = Signal(object)
    stopped = Signal()
    busy_changed = Signal(bool)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stop = threading.Event()
        self._incoming: Incoming | None = None
        self._made_for: Project | None = None
        self._busy = False

    @property
    def is_current(self) -> bool:
        """Whether the last preview was made for the project as it is now."""
        return self._made_for is self._session.project

    @property
    def busy(self) -> bool:
        """Whether a file is being read."""
        return self._busy

    def read(self, path: Path, answers: Mapping[str, str]) -> None:
        """Begin to read a file off the disk."""
        self._incoming = None
        self._run(path, answers)

    def look_again(self, answers: Mapping[str, str]) -> None:
        """Make another preview of the file that was read."""
        if self._incoming is not None:
            self._run(None, answers)

    def forget(self) -> None:
        """Let the file go."""
        self._incoming = None
        self._made_for = None

    def stop(self) -> None:
        """End the reading soon."""
        self._stop.set()

    def _run(self, path: Path | None, answers: Mapping[str, str]) -> None:
        self._stop.set()  # an older reading is of no use any more
        stop = self._stop = threading.Event()
        project, catalogue = self._session.project, self._session.catalogue
        today, held = self._session.today(), self._incoming
        given = dict(answers)

        def job() -> tuple[Incoming, Preview, Project]:
            from workbench.reports.incoming.importing import preview_of  # noqa: PLC0415 - when used
            from workbench.reports.incoming.preview import Request  # noqa: PLC0415 - when used
            from workbench.reports.incoming.reading import read_file  # noqa: PLC0415 - when used

            incoming = read_file(path, stop.is_set) if path is not None else held
            assert incoming is not None  # noqa: S101 - a file without a path was read before
            request = Request(incoming, project, catalogue, today, given)
            return incoming, preview_of(request), project

        self._set_busy(busy=True)
        self._session.background.run(TOPIC, job, self._on_done, self._on_failed)

    def _set_busy(self, *, busy: bool) -> None:
        if busy != self._busy:
            self._busy = busy
            self.busy_changed.emit(busy)

    def _on_done(self, made: tuple[Incoming, Preview, Project]) -> None:
        self._incoming, preview, self._made_for = made
        self._set_busy(busy=False)
        self.previewed.emit(preview)

    def _on_failed(self, error: Exception) -> None:
        from workbench.reports.incoming.reading import Stopped  # noqa: PLC0415 - when used

        self._set_busy(busy=False)
        if isinstance(error, Stopped):
            self.stopped.emit()
        elif isinstance(error, HardstandError):
            self.refused.emit(error.problems)
        else:
            why = str(error) or type(error).__name__
            message = tr("The file could not be read: {why}.").format(why=why)
            remedy = tr("Nothing was changed. Save it again in a spreadsheet program.")
            self.refused.emit((Problem(tr("File"), message, remedy, Severity.REFUSED),))
