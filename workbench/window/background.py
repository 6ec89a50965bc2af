"""The one doorway to slow work: jobs run beside the window, and late answers are dropped.

    doorway.run("figures", job, done, failed)

Jobs of one topic run one after another in the order asked for; a job whose topic was asked for
again before it began is skipped, and one that finishes after that is not delivered. `done` and
`failed` are called in the window's thread.

The threads are Python's own: a thread pool of Qt waits for its jobs where it is destroyed, and
there a job that needs the interpreter would wait for it in turn, for ever.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from typing import Any

from PySide6.QtCore import QObject, Signal

Job = Callable[[], Any]
Done = Callable[[Any], None]
Failed = Callable[[Exception], None]


class _Answer(QObject):
    """Carries one answer back into the window's thread."""

    arrived = Signal(object, object)


def _do(job: Job, is_wanted: Callable[[], bool], answer: _Answer) -> None:
    """Do a job in its thread; a failure is an answer too, and so is a job that is skipped."""
    try:
        result, error = job() if is_wanted() else None, None
    except Exception as caught:  # noqa: BLE001 - delivered to `failed`, which shows it
        result, error = None, caught
    answer.arrived.emit(result, error)


def _let_go(threads: dict[str, ThreadPoolExecutor], *_: object) -> None:
    """Let idle threads end, and others when their job is done."""
    for thread in threads.values():
        thread.shutdown(wait=False)
    threads.clear()


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
        self._threads: dict[str, ThreadPoolExecutor] = {}
        self._running: set[Future[None]] = set()
        self._latest: dict[str, int] = {}
        self._open: dict[int, _Answer] = {}
        self.destroyed.connect(self._open.clear)  # nobody is there to hear what still arrives
        self.destroyed.connect(functools.partial(_let_go, self._threads))
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
                return  # dropped by `finish`, or nobody is there any more
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
        future = self._thread(topic).submit(_do, job, is_wanted, answer)
        self._running.add(future)
        future.add_done_callback(self._running.discard)

    def _thread(self, topic: str) -> ThreadPoolExecutor:
        if topic not in self._threads:
            self._threads[topic] = ThreadPoolExecutor(1, thread_name_prefix=topic)
        return self._threads[topic]

    @property
    def is_busy(self) -> bool:
        """Whether any answer is still to come."""
        return bool(self._open)

    def finish(self) -> None:
        """Wait until no job is running; answers not delivered yet are dropped."""
        wait(tuple(self._running))
        _let_go(self._threads)
        self._open.clear()
