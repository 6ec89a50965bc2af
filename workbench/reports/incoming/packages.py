"""A packed workbook opened with care: every part is inflated and counted before it is used.

Sizes that a package states about itself are not believed. Each part is inflated in pieces and the
reading stops as soon as a limit is passed, so a small file that swells to gigabytes costs no more
than the limit. Nothing is ever written to the disk, so a part's name leads nowhere.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Callable

from workbench.domain.problem import HardstandError

from .cells import refused

MOST_PARTS = 2_000
MOST_INFLATED = 200 * 1024 * 1024
MOST_RATIO = 100
RATIO_COUNTS_FROM = 1024 * 1024
_PIECE = 256 * 1024
OUTSIDE = re.compile(r"^[/\\]|^[A-Za-z]:|(^|[/\\])\.\.([/\\]|$)|\x00")
_AGAIN = "Ask for it again, or save it again in a spreadsheet program."


class Package:
    """The parts of a workbook by name, all of them within the limits.

    Raises
    ------
    HardstandError
        When a limit is passed, or the package is damaged or lies about itself.
    """

    def __init__(self, name: str, data: bytes, stop: Callable[[], None]) -> None:
        self._name = name
        self._stop = stop
        self._parts: dict[str, bytes] = {}
        try:
            with zipfile.ZipFile(io.BytesIO(data)) as archive:
                self._check_contents(archive.infolist(), len(data))
                self._inflate(archive)
        except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError) as error:
            raise self._damaged() from error

    def _damaged(self) -> HardstandError:
        return refused(self._name, "The file is cut short or damaged.", _AGAIN)

    def _check_contents(self, infos: list[zipfile.ZipInfo], length: int) -> None:
        if len(infos) > MOST_PARTS:
            raise refused(
                self._name, f"It is made of {len(infos)} parts; {MOST_PARTS} is the limit.", _AGAIN
            )
        for info in infos:
            if OUTSIDE.search(info.filename):
                raise refused(
                    self._name,
                    f"A part of it is named “{info.filename[:60]}”, which leads out of the file. "
                    "Nothing was unpacked.",
                    _AGAIN,
                )
            if info.flag_bits & 0x1:
                raise refused(self._name, "A part of it is locked by a password.", _AGAIN)
        if len({info.filename for info in infos}) != len(infos):
            raise refused(self._name, "Two of its parts have the same name.", _AGAIN)
        refuse_overlaps(self._name, infos, length)

    def _inflate(self, archive: zipfile.ZipFile) -> None:
        left = MOST_INFLATED
        for info in archive.infolist():
            left -= self._take(archive, info, left)

    def _take(self, archive: zipfile.ZipFile, info: zipfile.ZipInfo, left: int) -> int:
        """One part, inflated piece by piece and counted; only text parts are kept."""
        kept, length, start = bytearray(), 0, b""
        is_kept = info.filename.endswith((".xml", ".rels"))
        with archive.open(info) as member:
            while piece := member.read(_PIECE):
                start = start or piece[:4]
                length += len(piece)
                if is_kept:
                    kept += piece
                self._refuse_too_much(info, length, left)
                self._stop()
        if length != info.file_size:
            raise refused(self._name, "A part of it is not as long as the file says.", _AGAIN)
        if start == b"PK\x03\x04":
            raise refused(
                self._name,
                f"Another packed file lies inside it ({info.filename[:60]}).",
                "Take out what was put into the workbook as an object, and save it again.",
            )
        self._parts[info.filename] = bytes(kept)
        return length

    def _refuse_too_much(self, info: zipfile.ZipInfo, made: int, left: int) -> None:
        swollen = made > RATIO_COUNTS_FROM and made > MOST_RATIO * max(info.compress_size, 1)
        if made > left or swollen:
            raise refused(
                self._name,
                "The file swells far beyond its size when it is unpacked, so it was left alone.",
                "If it is a real workbook, delete what is not needed and save it again.",
            )

    def __contains__(self, part: str) -> bool:
        return part in self._parts

    def names(self) -> tuple[str, ...]:
        """The names of all parts."""
        return tuple(self._parts)

    def read(self, part: str) -> bytes:
        """The bytes of a text part; empty when it is missing or no text."""
        return self._parts.get(part, b"")


def refuse_overlaps(name: str, infos: list[zipfile.ZipInfo], length: int) -> None:
    """Refuse parts that share bytes: the trick by which few bytes become very many."""
    end = 0
    for info in sorted(infos, key=lambda one: one.header_offset):
        if info.header_offset < end or info.header_offset + info.compress_size > length:
            raise refused(name, "Parts of it lie over each other.", _AGAIN)
        end = info.header_offset + 30 + len(info.orig_filename) + info.compress_size
