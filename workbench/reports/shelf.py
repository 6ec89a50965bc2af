"""Photos and sheets of a project folder: fetching the one, naming and placing the other.

A sheet is written under another name beside its place and put there whole, so a reader never sees
half of one and a stop leaves nothing. A sheet that is there already is never written over: the next
one of the day gets a number.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import IO

from workbench.domain.problem import HardstandError
from workbench.store import layout
from workbench.store.attachments import LARGEST, resolve
from workbench.store.exports import export_name
from workbench.store.file_system import plain_path
from workbench.store.saving import ProjectFolder
from workbench.store.workplace import here

_MOST_OF_A_NAME = 1_000


class FolderShelf:
    """The photos of a project folder; references that lead out of it open nothing."""

    def __init__(self, folder: Path) -> None:
        self._folder = ProjectFolder(plain_path(folder), here())

    def photo(self, boat: str, file: str) -> bytes | None:
        """The bytes of a boat's photo; None when it is missing or no plain file."""
        try:
            path = resolve(self._folder, boat, layout.PHOTOS, file)
            return self._folder.files.read(path, LARGEST)
        except (HardstandError, OSError):
            return None  # the sheet says so in its place


def place_sheet(
    out: Path, title: str, on: date, ending: str, write: Callable[[IO[bytes]], None]
) -> Path:
    """Write one sheet whole into `out` under a dated name of its own.

    Raises
    ------
    OSError
        When the folder cannot be written; nothing of the sheet is left.
    """
    out.mkdir(parents=True, exist_ok=True)
    number, staged = tempfile.mkstemp(prefix=".sheet-", suffix=".part", dir=out)
    try:
        with os.fdopen(number, "wb") as target:
            write(target)
            target.flush()
            os.fsync(target.fileno())
        os.chmod(staged, 0o644)  # the temporary file was for its owner alone
        return _put(Path(staged), out, export_name(title, on, ending))
    finally:
        Path(staged).unlink(missing_ok=True)


def _put(staged: Path, out: Path, name: str) -> Path:
    """Give a finished file the first free name; of two at once each gets its own."""
    stem, _, ending = name.rpartition(".")
    for count in range(1, _MOST_OF_A_NAME):
        place = out / (f"{stem} {count}.{ending}" if count > 1 else name)
        if place.exists():
            continue
        try:
            os.link(staged, place)
        except FileExistsError:
            continue  # somebody was quicker
        except OSError:
            os.replace(staged, place)  # this file system knows no second name for a file
        return place
    raise FileExistsError(f"There are {_MOST_OF_A_NAME} sheets “{name}” of this day already.")
