"""Opening an archive of a search: unpacked with care into a new folder, whole or not at all.

    unpack_search(path, target) -> Unpacked         raises HardstandError, Stopped

An archive may come from a stranger. Only what a search is made of is unpacked, under the names that
the program itself would give; everything else is told and left out. A name that leads out of the
folder, a part that swells far beyond its size, one that is locked, lies about its length or over
another one: nothing is unpacked. Sizes are counted while reading. What a file says is looked at by
whoever opens the folder, as with every folder.

The search gets a new name for itself (`id`), so that its backups are not those of the first.
"""

from __future__ import annotations

import os
import secrets
import stat
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO

from workbench.domain.problem import HardstandError, Problem, Severity
from workbench.domain.project import is_id
from workbench.domain.record import dataclass
from workbench.store import layout
from workbench.store.attachments import LARGEST, is_file_name, visible
from workbench.store.errors import StoreError
from workbench.store.json_reading import LARGEST_FILE, JsonRefusedError, read_json
from workbench.store.json_writing import write_json
from workbench.store.migrations import is_too_new, version_of
from workbench.store.unpacking import is_attachment, place_folder
from workbench.store.workplace import Workplace

from .export import Progress, Stopped
from .incoming.cells import refused
from .incoming.packages import MOST_RATIO, OUTSIDE, RATIO_COUNTS_FROM, refuse_overlaps

MOST_PARTS = 20_000
MOST_UNPACKED = 32 * 2**30
"""All files of a search of 200 boats with 5,000 photos of 4 MB are 20 GB."""
_LARGEST_CONTENTS = 8 * 2**20
"""The list of contents of 20,000 parts takes about 3 MiB."""
_PIECE = 256 * 1024
_AGAIN = "Ask whoever packed it to write the archive again."
_LINK = 0o120000
_BROKEN = (
    *(zipfile.BadZipFile, zlib.error, struct.error, EOFError),
    *(NotImplementedError, RuntimeError, ValueError),
)
"""What the library raises for archives that are cut off, damaged, or made to harm."""


@dataclass(frozen=True, slots=True)
class Unpacked:
    """Where a search was unpacked, and what of the archive stayed out of it."""

    place: Path
    problems: tuple[Problem, ...] = ()


def unpack_search(
    path: Path,
    target: Path,
    *,
    progress: Callable[[Progress], None] = lambda progress: None,
    stop: Callable[[], bool] = lambda: False,
    workplace: Workplace | None = None,
) -> Unpacked:
    """Unpack an archive into a folder that is new or empty.

    Raises
    ------
    HardstandError
        When it is no archive of a search, is damaged or made to harm, or the folder is taken.
    Stopped
        When `stop` answered True; nothing of it is left.
    """
    name = path.name
    try:
        with open(path, "rb", opener=_opened_without_waiting) as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                raise refused(name, "It is no file.", "Choose an archive of a search.")
            _refuse_long_contents(name, file)
            with zipfile.ZipFile(file) as archive:
                opening = _Opening(name, archive, os.fstat(file.fileno()).st_size, progress, stop)
                place_folder(target, opening.members(), workplace)
    except _BROKEN as error:
        raise refused(name, "It is no archive, or it is cut short or damaged.", _AGAIN) from error
    except OSError as error:
        words = (error.strerror or "it cannot be opened").rstrip(".").lower()
        raise refused(name, f"It was not read: {words}.", "Look at its place.") from error
    return Unpacked(target, tuple(opening.problems))


def _opened_without_waiting(path: str, flags: int) -> int:
    """Open a file without waiting for a writer, should it be a pipe."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _refuse_long_contents(name: str, file: IO[bytes]) -> None:
    """Refuse an archive whose list of contents alone would fill the memory.

    The place of the list's size in the closing records is that of the ZIP format (APPNOTE 6.3.10,
    sections 4.3.14 and 4.3.16).
    """
    length = file.seek(0, os.SEEK_END)
    file.seek(max(0, length - 65_535 - 22 - 20 - 56))
    tail = file.read()
    file.seek(0)
    short, long = tail.rfind(b"PK\x05\x06"), tail.rfind(b"PK\x06\x06")
    sizes = [
        int.from_bytes(tail[at : at + width], "little")
        for found, at, width in ((short, short + 12, 4), (long, long + 40, 8))
        if found >= 0 and not (found == short and tail[at : at + width] == b"\xff" * 4)
    ]
    if sizes and max(sizes) > _LARGEST_CONTENTS:
        raise refused(name, f"It is made of more than {MOST_PARTS:,} parts.", _AGAIN)


class _Opening:
    """One archive, looked over before anything of it is unpacked."""

    def __init__(
        self,
        name: str,
        archive: zipfile.ZipFile,
        length: int,
        progress: Callable[[Progress], None],
        stop: Callable[[], bool],
    ) -> None:
        self._name, self._archive = name, archive
        self._progress, self._stop = progress, stop
        self.problems: list[Problem] = []
        infos = archive.infolist()
        self._refuse_unsound(infos)
        refuse_overlaps(name, infos, length)
        self._wanted = self._choose([one for one in infos if not one.is_dir()])

    def _refuse_unsound(self, infos: list[zipfile.ZipInfo]) -> None:
        if len(infos) > MOST_PARTS:
            raise self._refused(f"It is made of {len(infos):,} parts; {MOST_PARTS:,} is the limit.")
        if sum(one.file_size for one in infos) > MOST_UNPACKED:
            most = MOST_UNPACKED // 2**30
            raise self._refused(f"Unpacked it would be larger than {most} GiB; no search is.")
        for one in infos:
            if OUTSIDE.search(one.filename) or OUTSIDE.search(one.orig_filename):
                shown = visible(one.orig_filename)[:60]
                raise self._refused(f"A part of it is named “{shown}”, which leads out of it.")
            if one.flag_bits & 0x1:
                raise self._refused("A part of it is locked by a password.")
            if (one.external_attr >> 16) & 0o170000 == _LINK:
                raise self._refused("A part of it is a link to some other place.")
        if len({layout.folded(one.filename) for one in infos}) != len(infos):
            raise self._refused("Two of its parts have the same name.")

    def _refused(self, message: str) -> HardstandError:
        return refused(self._name, message, _AGAIN)

    def _choose(self, infos: list[zipfile.ZipInfo]) -> dict[str, zipfile.ZipInfo]:
        """What belongs to a search, by its path there; a folder around it all is looked through."""
        names = {one.filename for one in infos}
        around = ""
        if layout.PROJECT not in names:
            held = sorted(one for one in names if one.count("/") == 1)
            around = next((one[: -len(layout.PROJECT)] for one in held if _is_head(one)), "")
        wanted = {
            one.filename.removeprefix(around): one
            for one in infos
            if one.filename.startswith(around) and _belongs(one.filename.removeprefix(around))
        }
        if layout.PROJECT not in wanted:
            raise refused(
                self._name,
                f"It holds no {layout.PROJECT}, so it is no search.",
                "Choose an archive that this program wrote, or one of a whole search folder.",
            )
        left = len(infos) - len(wanted)
        if left:
            self._notice(self._name, f"{left} of its parts belong to no search and stayed out.")
        return wanted

    def _notice(self, where: str, message: str) -> None:
        self.problems.append(Problem(where, message, "", Severity.NOTICE))

    def members(self) -> Iterator[tuple[str, bytes]]:
        """Each part of the search by its path, read and counted."""
        for number, (path, info) in enumerate(sorted(self._wanted.items())):
            self._progress(Progress(number, len(self._wanted), path.split("/")[-1]))
            data = self._read(path, info)
            if _is_text(path):
                yield path, _with_new_id(data) if path == layout.PROJECT else data
            elif is_attachment(path, data):
                yield path, data
            else:
                self._notice(path, "It is neither photo nor document, and stayed out.")

    def _read(self, path: str, info: zipfile.ZipInfo) -> bytes:
        most = LARGEST_FILE if _is_text(path) else LARGEST
        kept = bytearray()
        with self._archive.open(info) as member:
            while piece := member.read(_PIECE):
                kept += piece
                self._refuse_too_much(path, info, len(kept), most)
                if self._stop():
                    raise Stopped([])
        if len(kept) != info.file_size:
            raise self._refused("A part of it is not as long as the archive says.")
        return bytes(kept)

    def _refuse_too_much(self, path: str, info: zipfile.ZipInfo, made: int, most: int) -> None:
        if made > most:
            raise self._refused(f"{path} in it is larger than {most // 2**20} MiB.")
        swollen = made > RATIO_COUNTS_FROM and made > MOST_RATIO * max(info.compress_size, 1)
        if swollen or made > info.file_size:
            raise self._refused("A part of it swells far beyond its size when it is unpacked.")


def _is_head(path: str) -> bool:
    return path.endswith(f"/{layout.PROJECT}") and not path.startswith("__MACOSX/")


def _is_text(path: str) -> bool:
    return layout.is_ours(path)


def _belongs(path: str) -> bool:
    """Whether a path is one that the program itself gives to a file of a search."""
    if layout.is_ours(path):
        return True
    parts = path.split("/")
    return (
        len(parts) == 4
        and parts[0] == layout.BOATS
        and is_id(parts[1])
        and parts[2] in (layout.PHOTOS, layout.DOCUMENTS)
        and is_file_name(parts[3])
        and len(path) <= layout.LONGEST_PATH
    )


def _with_new_id(data: bytes) -> bytes:
    """`project.json` with an id of its own; as it is where it cannot be read or is too new."""
    try:
        plain = read_json(data).value
        if not isinstance(plain, dict) or is_too_new(version_of(plain)):
            return data
    except (JsonRefusedError, StoreError):
        return data  # whoever opens the folder is told what is wrong with it
    return write_json({**plain, "id": secrets.token_hex(8)})
