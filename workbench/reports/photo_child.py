"""The process that decodes photos: `python -m workbench.reports.photo_child`, started by no user.

It answers one question after another over its standard input and output until the input ends, so
it ends with the program that started it. Before the first question it puts itself under limits:
memory, nothing written to any file, no dump of its memory; before each, so much time of a
processor. A photo that is made to harm can end this process and nothing else.

Where the system knows no such limits (Windows knows none of these), pixels are still counted
before anything is decoded, and the program ends a process that takes too long.
"""

from __future__ import annotations

import contextlib
import os
import signal
import struct
import sys
import time
from collections.abc import Callable
from typing import IO

from workbench.reports.photo_decoding import (
    DAMAGED,
    NO_PREVIEW,
    TOO_LARGE,
    ExportCopy,
    bare_copy,
    camera_time,
)

COPY, TIME = 1, 2
"""What is asked for: the bare copy of a photo, or when the camera says it was taken."""
QUESTION = struct.Struct(">BIQ")
"""What is asked for, the longest side wanted [pixels], the length of the photo that follows."""
ANSWER = struct.Struct(">BIIQ")
"""Index into `OUTCOMES`, width and height [pixels], the length of what follows."""
OUTCOMES = ("", DAMAGED, TOO_LARGE, NO_PREVIEW)
"""The words in place of a picture; numbers cross, so that the other side shows only these."""
MEMORY = 2**30
"""All the memory it may ask the system for [bytes]."""
PROCESSOR_SECONDS = 20
"""For one photo."""

Decode = Callable[[bytes, int], ExportCopy]


def _nothing() -> None:
    """What is done before each photo when nothing is."""


def serve(
    source: IO[bytes],
    target: IO[bytes],
    decode: Decode = bare_copy,
    before_each: Callable[[], None] = _nothing,
) -> None:
    """Answer questions until there are no more."""
    while len(head := source.read(QUESTION.size)) == QUESTION.size:
        wanted, side, length = QUESTION.unpack(head)
        data = source.read(length)
        if len(data) < length:
            return  # who asked has gone
        before_each()
        copy = ExportCopy(camera_time(data).encode()) if wanted == TIME else decode(data, side)
        del data
        outcome = OUTCOMES.index(copy.words)
        target.write(ANSWER.pack(outcome, copy.width, copy.height, len(copy.jpeg)))
        target.write(copy.jpeg)
        target.flush()


def limit_memory() -> None:
    """Put this process under the limits that its system knows."""
    if sys.platform == "win32":
        return
    import resource  # noqa: PLC0415 - not on Windows

    limits = ((resource.RLIMIT_AS, MEMORY), (resource.RLIMIT_FSIZE, 0), (resource.RLIMIT_CORE, 0))
    for kind, most in limits:
        # Some systems know a limit by name and refuse to set it; the others still hold.
        with contextlib.suppress(OSError, ValueError):
            resource.setrlimit(kind, (most, most))


def limit_time() -> None:
    """Allow so much time of a processor from now on; the system ends this process after that."""
    if sys.platform == "win32":
        return
    import resource  # noqa: PLC0415 - not on Windows

    until = int(time.process_time()) + PROCESSOR_SECONDS
    with contextlib.suppress(OSError, ValueError):
        resource.setrlimit(resource.RLIMIT_CPU, (until, resource.getrlimit(resource.RLIMIT_CPU)[1]))


def main(decode: Decode = bare_copy) -> int:
    """Serve on standard input and output; the exit code is answered."""
    # A stop at the keyboard is for the program; this process ends when its input does.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # What a library prints must not come between the answers.
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    from PIL import Image  # noqa: PLC0415 - loaded before the limits, so that it has its files

    Image.preinit()
    Image.MAX_IMAGE_PIXELS = None  # every head is held to our own limits instead
    limit_memory()
    with contextlib.suppress(BrokenPipeError), answers:
        serve(sys.stdin.buffer, answers, decode, limit_time)
    return 0


if __name__ == "__main__":
    sys.exit(main())
