"""Reading a file that came back: `read_incoming(name, data)` answers its sheets of cells.

    incoming = read_file(path)            # off the disk, under the size limit
    incoming = read_incoming(name, data)  # from bytes

`stop` is asked again and again while a file is read; when it answers True the reading ends with
`Stopped`. Nothing is written anywhere, and nothing outside the file is opened.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from pathlib import Path

from .cells import LARGEST_FILE, Incoming, refused
from .csv_text import read_csv
from .pdf_fields import read_pdf
from .telling import kind_of
from .xlsx import read_xlsx

ENDINGS = (".xlsx", ".xlsm", ".csv", ".tsv", ".txt", ".pdf")


class Stopped(Exception):  # noqa: N818 - nothing went wrong: a person stopped it
    """Somebody stopped the reading."""


def read_file(
    path: Path, stop: Callable[[], bool] = lambda: False, *, separator: str = ""
) -> Incoming:
    """What a file on the disk holds.

    Raises
    ------
    HardstandError
        When it cannot be read, with the reason and what to do.
    Stopped
        When `stop` answered True.
    """
    return read_incoming(path.name, bytes_of(path), stop, separator=separator)


def bytes_of(path: Path) -> bytes:
    """The bytes of a plain file under the size limit.

    Raises
    ------
    HardstandError
        When it is no plain file, too large, or cannot be read.
    """
    try:
        with open(path, "rb", opener=_opened_without_waiting) as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                raise refused(path.name, "It is no file.", "Choose a file.")
            data = file.read(LARGEST_FILE + 1)
    except OSError as error:
        words = (error.strerror or "it cannot be opened").rstrip(".").lower()
        raise refused(path.name, f"It was not read: {words}.", "Look at its place.") from error
    if len(data) > LARGEST_FILE:
        raise refused(
            path.name,
            f"It is larger than {LARGEST_FILE // 1024 // 1024} MiB.",
            "Keep only the sheet that is to come in.",
        )
    return data


def _opened_without_waiting(path: str, flags: int) -> int:
    """Open a file without waiting for a writer, should it be a pipe."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def read_incoming(
    name: str, data: bytes, stop: Callable[[], bool] = lambda: False, *, separator: str = ""
) -> Incoming:
    """What the bytes of a file hold; its name is only for messages.

    Raises
    ------
    HardstandError
        When it cannot be read, with the reason and what to do.
    Stopped
        When `stop` answered True.
    """

    def stop_if_asked() -> None:
        if stop():
            raise Stopped

    stop_if_asked()
    kind = kind_of(name, data)
    if kind == "xlsx":
        return read_xlsx(name, data, stop_if_asked)
    if kind == "pdf":
        return read_pdf(name, data, stop_if_asked)
    return read_csv(name, data, stop_if_asked, separator)
