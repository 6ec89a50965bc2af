"""Photos decoded in processes of their own, so that a photo made to harm ends one of those.

    helpers().ask(COPY, data, side) -> ExportCopy

At most two such processes live; each serves one photo after another, so sixty photos do not pay
sixty starts. One that crashes, is ended by the system, or takes too long becomes words at that
photo, and the next photo gets a new one. They are started like any other program and import
neither the toolkit nor the figures.
"""

from __future__ import annotations

import atexit
import contextlib
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path

from workbench.reports.photo_child import ANSWER, COPY, OUTCOMES, QUESTION
from workbench.reports.photo_decoding import DAMAGED, NO_HELPER, TOO_SLOW, ExportCopy

MOST_HELPERS = 2
MOST_SECONDS = 30.0
"""For one photo; a helper stops itself after 20 s of a processor where its system lets it."""
_MOST_BYTES = 32 * 2**20
"""A picture of 1,600 by 1,600 pixels takes less, however it is packed."""
_POLL_SECONDS = 0.2
_CODE = Path(__file__).resolve().parents[2]
COMMAND = (sys.executable, "-P", "-m", "workbench.reports.photo_child")


def _nothing() -> None:
    """What is done while waiting when nothing else is."""


class _LostError(Exception):
    """The helper ended before it answered."""


class _TooSlowError(Exception):
    """The helper did not answer in time."""


class Helper:
    """One process that decodes.

    Raises
    ------
    OSError
        When it cannot be started.
    """

    def __init__(self, command: Sequence[str] = COMMAND) -> None:
        self._process = subprocess.Popen(  # noqa: S603 - our own module, by its full path
            list(command),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            cwd=_CODE,  # not where the program stands: nobody's folder is held by this process
            env=_surroundings(),
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )

    @property
    def alive(self) -> bool:
        """Whether it still runs."""
        return self._process.poll() is None

    def ask(
        self, wanted: int, data: bytes, side: int, seconds: float, meanwhile: Callable[[], None]
    ) -> ExportCopy:
        """What it answers.

        Raises
        ------
        _LostError, _TooSlowError
            When it does not; it has ended then. `meanwhile` may raise what it likes, likewise.
        """
        answers: list[ExportCopy] = []
        done = threading.Event()

        def exchange() -> None:
            with contextlib.suppress(OSError, ValueError):  # ended, or not one of our answers
                answers.append(self._exchanged(wanted, data, side))
            done.set()

        thread = threading.Thread(target=exchange, name="photo", daemon=True)
        thread.start()
        until = time.monotonic() + seconds
        try:
            while not done.wait(_POLL_SECONDS):
                meanwhile()
                if time.monotonic() > until:
                    raise _TooSlowError
        except BaseException:
            self._process.kill()
            thread.join()
            raise
        thread.join()
        if not answers:
            raise _LostError
        return answers[0]

    def _exchanged(self, wanted: int, data: bytes, side: int) -> ExportCopy:
        source, target = self._process.stdout, self._process.stdin
        if source is None or target is None:
            raise ValueError("The process has no pipes.")
        target.write(QUESTION.pack(wanted, side, len(data)))
        target.write(data)
        target.flush()
        head = source.read(ANSWER.size)
        if len(head) < ANSWER.size:
            raise ValueError("The process ended.")
        outcome, width, height, length = ANSWER.unpack(head)
        if outcome >= len(OUTCOMES) or length > _MOST_BYTES or max(width, height) > side:
            raise ValueError("That is no answer.")
        held = source.read(length)
        if len(held) < length or (bool(held) == bool(outcome) and wanted == COPY):
            raise ValueError("The answer is cut off.")
        return ExportCopy(held, width, height, OUTCOMES[outcome])

    def end(self) -> None:
        """End it, and let its pipes go."""
        self._process.kill()
        self._process.wait()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                with contextlib.suppress(OSError):  # a question it never read
                    pipe.close()


def _surroundings() -> dict[str, str]:
    """The variables of this process, and where the program's own modules lie."""
    known = os.environ.get("PYTHONPATH")
    paths = os.pathsep.join((str(_CODE), known) if known else (str(_CODE),))
    # The memory that a system sets aside for every thread would count as used.
    return {**os.environ, "PYTHONPATH": paths, "MALLOC_ARENA_MAX": "1"}


class Helpers:
    """The processes that decode, started when there is something to decode.

    Parameters
    ----------
    command
        What starts one.
    seconds
        How long one may take for a photo.
    """

    def __init__(
        self,
        command: Sequence[str] = COMMAND,
        most: int = MOST_HELPERS,
        seconds: float = MOST_SECONDS,
    ) -> None:
        self._command = command
        self._seconds = seconds
        self._free = threading.Semaphore(most)
        self._lock = threading.Lock()
        self._idle: list[Helper] = []

    def ask(
        self, wanted: int, data: bytes, side: int, meanwhile: Callable[[], None] = _nothing
    ) -> ExportCopy:
        """What a helper makes of a photo, or the words in its place.

        `meanwhile` is called several times a second; when it raises, the helper is ended.
        """
        with self._free:
            try:
                helper = self._one()
            except OSError:
                return ExportCopy(b"", words=NO_HELPER)
            try:
                answer = helper.ask(wanted, data, side, self._seconds, meanwhile)
            except _LostError:
                helper.end()
                return ExportCopy(b"", words=DAMAGED)
            except _TooSlowError:
                helper.end()
                return ExportCopy(b"", words=TOO_SLOW)
            except BaseException:
                helper.end()
                raise
            with self._lock:
                self._idle.append(helper)
            return answer

    def _one(self) -> Helper:
        """A helper that waits, or a new one."""
        while True:
            with self._lock:
                helper = self._idle.pop() if self._idle else None
            if helper is None:
                return Helper(self._command)
            if helper.alive:
                return helper
            helper.end()  # the system ended it while it waited

    def close(self) -> None:
        """End those that wait; the next question starts another."""
        with self._lock:
            idle, self._idle = self._idle, []
        for helper in idle:
            helper.end()


@cache
def helpers() -> Helpers:
    """Those of this program; they end with it."""
    made = Helpers()
    atexit.register(made.close)
    return made
