"""Packing and unpacking beside the window: how far it is, a way to stop it, and what became of it.

One piece of work at a time. Nothing half done is left by a stop or by a fault.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from workbench.domain.problem import HardstandError
from workbench.store.errors import system_words
from workbench.window.background import Background
from workbench.window.said import said
from workbench.window.texts import tr

if TYPE_CHECKING:
    from workbench.reports.export import Progress

TOPIC = "archive"

Job = Callable[["Callable[[Progress], None]", Callable[[], bool]], Any]
"""The work: is given what to tell of its progress, and what to ask whether to stop."""


class ArchiveWork(QObject):
    """Does one job beside the window.

    Signals
    -------
    moved(Progress)
        It goes on with the next file.
    done(result)
        It is done; the job's answer.
    ended(sentence)
        It is over without an answer: what went wrong, empty where it was stopped.
    """

    moved = Signal(object)
    done = Signal(object)
    ended = Signal(str)

    def __init__(self, background: Background, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._background = background
        self._stop = threading.Event()
        self._busy = False

    @property
    def busy(self) -> bool:
        """Whether something is being packed or unpacked."""
        return self._busy

    def run(self, job: Job) -> None:
        """Begin a job."""
        stop = self._stop = threading.Event()
        self._busy = True
        self._background.run(
            TOPIC,
            lambda: job(self._tell, stop.is_set),
            self._on_done,
            self._on_failed,
            latest_only=False,
        )

    def stop(self) -> None:
        """End within a file; nothing of it is left."""
        self._stop.set()

    def _tell(self, progress: Progress) -> None:
        """Called beside the window: the signal carries it over."""
        self.moved.emit(progress)

    def _on_done(self, result: object) -> None:
        self._busy = False
        self.done.emit(result)

    def _on_failed(self, error: Exception) -> None:
        from workbench.reports.export import Stopped  # noqa: PLC0415 - loaded by the job already

        self._busy = False
        if isinstance(error, Stopped):
            self.ended.emit("")
        elif isinstance(error, HardstandError):
            problem = error.problems[0]
            words = f"{problem.where}: {said(problem.message)} {said(problem.remedy)}"
            self.ended.emit(words.strip())
        elif isinstance(error, OSError):
            words = tr("The folder cannot be written: {why}. Choose another one.")
            self.ended.emit(words.format(why=system_words(error)))
        else:
            words = tr("It could not be done: {why}. Nothing was changed.")
            self.ended.emit(words.format(why=str(error) or type(error).__name__))
