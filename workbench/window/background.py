"""The one doorway to slow work: jobs run beside the window, and late answers are dropped.

    doorway.run("figures", job, done, failed)

Jobs of one topic run one after another in the order asked for; a job whose topic was asked for
again before it began is skipped, and one that finishes after that is not delivered. `done` and
`failed` are called in the window's thread.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

Job = Callable[[], Any]
Done = Callable[[Any], None]
Failed = Callable[[Exception], None]


class _Answer(QObject):
    """Carries one answer back into the window's thread."""

    arrived = Signal(object, object)


class _Task(QRunnable):
    def __init__(self, job: Job, is_wanted: Callable[[], bool], answer: _Answer) -> None:
        super().__init__()
        self._job, self._is_wanted, self._answer = job, is_wanted, answer

    def run(self) -> None:
        """Do the job; a failure is an answer too."""
        if not self._is_wanted():
            return
        try:
            result, error = self._job(), None
        except Exception as caught:  # noqa: BLE001 - delivered to `failed`, which shows it
            result, error = None, caught
        self._answer.arrived.emit(result, error)


class Background(QObject):
    """Runs jobs beside the window.

    Signals
    -------
    busy_changed(topic, busy)
        Work on a topic began or ended.
    """

    busy_changed = Signal(str, bool)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pools: dict[str, QThreadPool] = {}
        self._latest: dict[str, int] = {}
        self._open: dict[int, _Answer] = {}
        self._numbers = itertools.count(1)

    def run(
        self, topic: str, job: Job, done: Done, failed: Failed, *, latest_only: bool = True
    ) -> None:
        """Do `job` beside the window; with `latest_only` an older job of the topic is dropped."""
        number = next(self._numbers)
        if latest_only:
            self._latest[topic] = number

        def is_wanted() -> bool:
            return not latest_only or self._latest.get(topic) == number

        def deliver(result: object, error: Exception | None) -> None:
            if self._open.pop(number, None) is None:
                return  # dropped by `finish`
            if not self._open:
                self.busy_changed.emit(topic, False)
            if not is_wanted():
                return
            if error is not None:
                failed(error)
            else:
                done(result)

        answer = _Answer()
        answer.arrived.connect(deliver)
        self._open[number] = answer
        self.busy_changed.emit(topic, True)
        self._pool(topic).start(_Task(job, is_wanted, answer))

    def _pool(self, topic: str) -> QThreadPool:
        if topic not in self._pools:
            pool = QThreadPool(self)
            pool.setMaxThreadCount(1)
            self._pools[topic] = pool
        return self._pools[topic]

    def finish(self) -> None:
        """Wait until no job is running; answers not delivered yet are dropped."""
        for pool in self._pools.values():
            pool.waitForDone()
        self._open.clear()
