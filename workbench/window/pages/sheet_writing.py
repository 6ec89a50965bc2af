"""Writing sheets beside the window: what was asked for, how far it is, and a way to stop it."""

from __future__ import annotations

import threading
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from workbench.domain.problem import EntryError
from workbench.domain.record import dataclass
from workbench.figures.assessment import Assessment
from workbench.reports.export import Progress, Stopped, export_sheets
from workbench.store.errors import system_words
from workbench.window.session import Session
from workbench.window.texts import tr

TOPIC = "sheets"


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """What is to be written.

    Attributes
    ----------
    sheets, boats
        By name and by id, in their order.
    out
        The folder they go to.
    """

    sheets: tuple[str, ...]
    boats: tuple[str, ...]
    paper: str
    out: Path


class SheetWriter(QObject):
    """Writes the sheets of one order at a time.

    Signals
    -------
    moved(Progress)
        A sheet is begun.
    written(paths)
        Sheets are finished, all of them or those before a stop; a tuple of paths.
    ended(sentence)
        The order is done; the sentence says what went wrong, empty when nothing did.
    """

    moved = Signal(object)
    written = Signal(object)
    ended = Signal(str)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stop = threading.Event()
        self._busy = False

    @property
    def busy(self) -> bool:
        """Whether sheets are being written."""
        return self._busy

    def write(self, order: SheetOrder, assessment: Assessment) -> None:
        """Begin to write, beside the window."""
        stop = self._stop = threading.Event()
        folder, day = self._session.place, self._session.today()
        self._busy = True

        def job() -> list[Path]:
            return export_sheets(
                assessment,
                folder,
                order.out,
                order.sheets,
                order.boats,
                order.paper,
                on=day,
                progress=self._tell,
                stop=stop.is_set,
            )

        self._session.background.run(
            TOPIC, job, self._on_written, self._on_not_written, latest_only=False
        )

    def _tell(self, progress: Progress) -> None:
        """Called beside the window: the signal carries it over."""
        self.moved.emit(progress)

    def stop(self) -> None:
        """End within a photo or a page; what is finished stays."""
        self._stop.set()

    def _on_written(self, made: list[Path]) -> None:
        self._busy = False
        self.written.emit(tuple(made))
        self.ended.emit("")

    def _on_not_written(self, error: Exception) -> None:
        self._busy = False
        if isinstance(error, Stopped):
            self.written.emit(tuple(error.made))
            self.ended.emit("")
        elif isinstance(error, EntryError):
            self.ended.emit(str(error))
        elif isinstance(error, OSError):
            words = tr("The folder cannot be written: {why}. Choose another one.")
            self.ended.emit(words.format(why=system_words(error)))
        else:
            words = tr("A sheet could not be made: {why}. Undo the last change and try again.")
            self.ended.emit(words.format(why=str(error) or type(error).__name__))
