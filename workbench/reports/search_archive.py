"""The whole search as one archive to hand on: a packed search folder that the program opens again.

    write_archive(project, folder, out) -> Packed                     without what is private
    write_archive(project, folder, out, with_private=True) -> Packed  everything

The archive is a ZIP of the files of a search as the program itself writes them, with the photos
that the search names. Private parts go along only when they are asked for (see `shared_search`);
without them every photo is a new picture of pixels alone, and documents stay inside, because a
listing or a quote says whom it was written to. What was handed out (`exports/`), the trash, backups
and the traces of saves are never in it.

The same search gives the same bytes on any day and any machine, as long as the picture library is
the same: fixed order, no times, no owner. A stop leaves nothing.
"""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import IO

from workbench.domain.problem import HardstandError, Problem, Severity
from workbench.domain.project import Candidate, Project
from workbench.domain.record import dataclass
from workbench.store import layout
from workbench.store.attachments import LARGEST, is_file_name, resolve
from workbench.store.file_system import plain_path
from workbench.store.parts import Listed, bytes_of, parts_of
from workbench.store.project_folder import ProjectFolder
from workbench.store.workplace import here

from .export import Progress, Stopped
from .photos import export_copy
from .shared_search import Copies, photo_name, shared_search
from .shelf import place_sheet

ENDING = "zip"
_TITLE = "Whole search"
_LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The earliest time that a ZIP can name; it says nothing about anybody."""


@dataclass(frozen=True, slots=True)
class Packed:
    """A written archive, and the photos and documents that could not go into it."""

    path: Path
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class _Attachment:
    """A photo or document that the search names."""

    boat: str
    kind: str
    file: str
    id: str = ""

    @property
    def path(self) -> str:
        """Its place below the search folder."""
        return layout.boat_path(self.boat, f"{self.kind}/{self.file}")


def write_archive(
    project: Project,
    folder: Path,
    out: Path,
    *,
    with_private: bool = False,
    on: date | None = None,
    progress: Callable[[Progress], None] = lambda progress: None,
    stop: Callable[[], bool] = lambda: False,
) -> Packed:
    """Pack a search into a new archive below `out`.

    Parameters
    ----------
    project
        The search as it is now, saved or not.
    folder
        Its folder, for photos and documents.

    Raises
    ------
    Stopped
        When `stop` answered True; nothing of the archive is left.
    OSError
        When it cannot be written; nothing of it is left.
    """
    packing = _Packing(project, folder, progress, stop)

    def write(target: IO[bytes]) -> None:
        with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
            packing.write(archive, with_private=with_private)

    path = place_sheet(out, f"{_TITLE}, {project.name}", on or date.today(), ENDING, write)
    return Packed(path, tuple(packing.problems))


class _Packing:
    """One archive in the making."""

    def __init__(
        self,
        project: Project,
        folder: Path,
        progress: Callable[[Progress], None],
        stop: Callable[[], bool],
    ) -> None:
        self._project = project
        self._folder = ProjectFolder(plain_path(folder), here())
        self._progress, self._stop = progress, stop
        self.problems: list[Problem] = []

    def write(self, archive: zipfile.ZipFile, *, with_private: bool) -> None:
        """Write the photos one by one, then the files of the search."""
        project = self._project
        if with_private:
            for one, data in self._found(list(_named(project))):
                _add(archive, one.path, data, packed=False)
        else:
            project = shared_search(project, self._add_copies(archive))
        for path, record in sorted(parts_of(project, Listed()).items()):
            written = bytes_of(record)
            if written is not None:
                _add(archive, path, written, packed=True)

    def _add_copies(self, archive: zipfile.ZipFile) -> Copies:
        """Write a copy of each photo that may be shown; answer their digests."""
        digests: dict[tuple[str, str], str] = {}
        there: set[str] = set()
        for one, data in self._found(list(_shown(self._project))):
            copy = export_copy(data)
            if not copy.jpeg:
                self._miss(one, copy.words)
                continue
            sha256 = hashlib.sha256(copy.jpeg).hexdigest()
            digests[one.boat, one.id] = sha256
            path = layout.boat_path(one.boat, f"{layout.PHOTOS}/{photo_name(sha256)}")
            if path not in there:
                _add(archive, path, copy.jpeg, packed=False)
                there.add(path)
        return digests

    def _found(self, wanted: list[_Attachment]) -> Iterator[tuple[_Attachment, bytes]]:
        """The bytes of what is named, in order; what is missing is told and left out."""
        for number, one in enumerate(wanted):
            self._move(number, len(wanted), one)
            try:
                path = resolve(self._folder, one.boat, one.kind, one.file)
                data = self._folder.files.read(path, LARGEST)
            except HardstandError as error:
                self._miss(one, error.problems[0].message)
            except OSError:
                self._miss(one, "It cannot be read.")
            else:
                yield one, data
        self._move(len(wanted), len(wanted), None)

    def _move(self, done: int, of: int, one: _Attachment | None) -> None:
        if self._stop():
            raise Stopped([])
        name = self._project.boats[one.boat].boat.name if one is not None else self._project.name
        self._progress(Progress(done, of + 1, name))

    def _miss(self, one: _Attachment, words: str) -> None:
        self.problems.append(
            Problem(one.path, words, "It is not in the archive.", Severity.NOTICE, one.boat)
        )


def _add(archive: zipfile.ZipFile, path: str, data: bytes, *, packed: bool) -> None:
    """One member, the same on every system; pictures are packed already."""
    member = zipfile.ZipInfo(path, _LONG_AGO)
    member.create_system = 3
    member.external_attr = 0o644 << 16
    member.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    archive.writestr(member, data)


def _named(project: Project) -> Iterator[_Attachment]:
    """Every photo and document that the search names, each once, in the order of their paths."""
    found = {
        one.path: one
        for boat_id, candidate in project.boats.items()
        for one in _named_by(boat_id, candidate)
    }
    yield from (found[path] for path in sorted(found))


def _named_by(boat_id: str, candidate: Candidate) -> Iterator[_Attachment]:
    for photo in candidate.inspection.photos.values():
        yield _Attachment(boat_id, layout.PHOTOS, photo.file, photo.id)
    documents = (candidate.boat.listing, *(one.document for one in candidate.ledger.quotes))
    for file in filter(is_file_name, documents):  # a listing may be the words of the advert
        yield _Attachment(boat_id, layout.DOCUMENTS, file)


def _shown(project: Project) -> Iterator[_Attachment]:
    """The photos that may be shown, in the order of their paths."""
    private = {
        (boat_id, photo.id)
        for boat_id, candidate in project.boats.items()
        for photo in candidate.inspection.photos.values()
        if photo.private
    }
    for one in _named(project):
        if one.kind == layout.PHOTOS and (one.boat, one.id) not in private:
            yield one
