"""A helper process that does, for a few photos that are none, what a harmful photo may lead to.

    python -m tests.reports.harmful_photos

Everything else it decodes like the real one, under the same limits and with the same answers.
"""

from __future__ import annotations

import os
import sys
import time

from workbench.reports import photo_child
from workbench.reports.photo_decoding import ExportCopy, bare_copy

CRASHES = b"crashes"
SLEEPS = b"sleeps"
TAKES_ALL_MEMORY = b"takes all memory"
WRITES_A_FILE = b"writes a file "
NEVER_ENDS = b"never ends"
LIES = b"lies"


def decode(data: bytes, longest_side: int) -> ExportCopy:
    """What the real one answers, but for the marked photos."""
    if data == CRASHES:
        os.abort()
    if data == SLEEPS:
        time.sleep(600)
    if data == TAKES_ALL_MEMORY:
        return ExportCopy(bytes(2 * photo_child.MEMORY))
    if data == NEVER_ENDS:
        photo_child.PROCESSOR_SECONDS = 0
        photo_child.limit_time()
        while True:
            pass
    if data.startswith(WRITES_A_FILE):
        with open(data.removeprefix(WRITES_A_FILE), "wb") as file:
            file.write(b"something")
    if data == LIES:
        return ExportCopy(b"\xff\xd8\xff", 10**6, 10**6)
    return bare_copy(data, longest_side)


if __name__ == "__main__":
    sys.exit(photo_child.main(decode))
