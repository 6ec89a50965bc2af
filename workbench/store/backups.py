"""Backups of the project's text files, kept outside the project folder and read back at once.

    make_backup(folder, for_good=False) -> Backup | None    raises StoreError
    list_backups(workplace, project_id) -> newest first
    read_backup(workplace, backup) -> {path: bytes}         raises StoreError
    restore_backup(folder, backup, paths=()) -> SaveReport  raises StoreError

The last 20 are kept and the newest of each of the last 14 days. A backup made before a migration is
kept for good. A new one is verified before an old one goes. Photos are not in a backup: they are
never altered, and removing one from a boat leaves its file.
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
import zlib
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta

from workbench.domain.record import dataclass
from workbench.store import layout
from workbench.store.errors import StoreError, stopped, system_words
from workbench.store.json_reading import LARGEST_FILE, JsonRefusedError
from workbench.store.project_folder import ProjectFolder
from workbench.store.saving import SaveReport, settle, write_files
from workbench.store.workplace import Workplace

LAST = 20
DAYS = 14
_PLACES = "places"
_MANIFEST = "manifest.json"
_LARGEST = 2**28
_BROKEN_ZIP = (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError)
_STAMP = "%Y%m%dT%H%M%S%fZ"
_FOR_GOOD = "-kept"


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup: the file below the own folder and when it was made (UTC)."""

    path: str
    made: datetime
    for_good: bool = False


def make_backup(folder: ProjectFolder, *, for_good: bool = False) -> Backup | None:
    """Keep the text files as they lie on the disk; None when the newest backup has the same.

    A save whose last steps are still to come is ended first: until then the files on the disk are
    of two saves.

    Raises
    ------
    StoreError
        When it could not be written, or did not read back as it was written.
    """
    place = folder.workplace
    try:
        settle(folder)
        _note_place(folder)
        contents = _on_disk(folder)
        earlier = list_backups(place, folder.project_id)
        if not for_good and earlier and _same(place, earlier[0], contents):
            return None
        backup = _written(place, folder.project_id, contents, for_good)
        if read_backup(place, backup) != contents:
            raise OSError("it did not read back as it was written")
    except JsonRefusedError as fault:
        message = "No backup could be made: the last save cannot be ended yet."
        raise stopped(folder.name, message, "Save again.") from fault
    except OSError as error:
        message = f"No backup could be made: {system_words(error)}."
        raise stopped("application data", message, "Make room there.") from error
    _prune(place, folder.project_id)
    return backup


def known_id(place: Workplace, root: str) -> str:
    """The id of the project last backed up from `root`, for when its own file cannot tell."""
    path = f"{place.own}/{_PLACES}/{key_of(root)}"
    try:
        return place.files.read(path, 400).decode() if place.files.facts(path) else ""
    except (OSError, UnicodeDecodeError):
        return ""


def _note_place(folder: ProjectFolder) -> None:
    if folder.project_id and known_id(folder.workplace, folder.root) != folder.project_id:
        path = f"{_PLACES}/{key_of(folder.root)}"
        folder.workplace.put(path, folder.project_id.encode("utf-8", "replace"))


def list_backups(place: Workplace, project_id: str) -> tuple[Backup, ...]:
    """The backups of a project, newest first."""
    below = _folder(project_id)
    found = [_named(below, name) for name in place.names(below)]
    return tuple(sorted(filter(None, found), key=lambda backup: backup.made, reverse=True))


def read_backup(place: Workplace, backup: Backup) -> dict[str, bytes]:
    """The files in a backup, each checked against its digest.

    Raises
    ------
    StoreError
        When it is damaged.
    """
    try:
        data = place.files.read(f"{place.own}/{backup.path}", _LARGEST)
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            digests = json.loads(_member(archive, _MANIFEST))
            contents = {path: _member(archive, path) for path in digests}
    except (OSError, ValueError, KeyError, RuntimeError, *_BROKEN_ZIP) as error:
        raise stopped(backup.path, "The backup is damaged.", "Take an older one.") from error
    for path, content in contents.items():
        if hashlib.sha256(content).hexdigest() != digests[path] or not layout.is_ours(path):
            raise stopped(backup.path, f"{path} in it is damaged.", "Take an older one.")
    return contents


def restore_backup(folder: ProjectFolder, backup: Backup, paths: Iterable[str] = ()) -> SaveReport:
    """Put a backup's files in place, all or none; only `paths` when any are given.

    Without `paths`, text files that the backup does not know are deleted. What lies there now is
    backed up first where it can be read. The caller opens the folder again afterwards.

    Raises
    ------
    StoreError
        When the backup is damaged or nothing could be written.
    """
    contents = read_backup(folder.workplace, backup)
    wanted = set(paths)
    if folder.project_id:
        make_backup(folder)
    changes: dict[str, bytes | None] = {
        path: data for path, data in contents.items() if not wanted or path in wanted
    }
    if not wanted:
        changes.update({path: None for path in folder.known if path not in contents})
    return write_files(folder, changes)


def newest_with(place: Workplace, project_id: str, path: str) -> Backup | None:
    """The newest backup that can be read and holds `path`; what is offered for a damaged file."""
    for backup in list_backups(place, project_id):
        try:
            if path in read_backup(place, backup):
                return backup
        except StoreError:
            continue  # an older one may do
    return None


def _on_disk(folder: ProjectFolder) -> dict[str, bytes]:
    return {
        path: folder.files.read(f"{folder.root}/{path}", LARGEST_FILE)
        for path in sorted(folder.known)
        if path not in folder.damaged and folder.files.facts(f"{folder.root}/{path}") is not None
    }


def _same(place: Workplace, backup: Backup, contents: Mapping[str, bytes]) -> bool:
    try:
        return read_backup(place, backup) == contents
    except StoreError:
        return False  # a damaged backup is no reason not to make a good one


def _written(
    place: Workplace, project_id: str, contents: Mapping[str, bytes], for_good: bool
) -> Backup:
    made = place.now().astimezone(UTC)
    ending = f"{_FOR_GOOD if for_good else ''}.zip"
    for newest in list_backups(place, project_id)[:1]:
        # A clock that was set back must not put the newest behind older ones.
        made = max(made, newest.made + timedelta(microseconds=1))
    path = f"{_folder(project_id)}/{made.strftime(_STAMP)}{ending}"
    packed = io.BytesIO()
    digests = {name: hashlib.sha256(data).hexdigest() for name, data in contents.items()}
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        archive.writestr(_MANIFEST, json.dumps(digests))
        for name, data in contents.items():
            archive.writestr(name, data)
    place.put(path, packed.getvalue())
    return Backup(path, made, for_good)


def _member(archive: zipfile.ZipFile, name: str) -> bytes:
    if archive.getinfo(name).file_size > LARGEST_FILE:
        raise ValueError(f"{name} is too large")
    return archive.read(name)


def _prune(place: Workplace, project_id: str) -> None:
    """Drop what is neither among the last nor the newest of one of the last days."""
    backups = [backup for backup in list_backups(place, project_id) if not backup.for_good]
    keep = set(backups[:LAST])
    days: dict[str, Backup] = {}
    for backup in backups:
        days.setdefault(f"{backup.made:%Y%m%d}", backup)
    keep.update(list(days.values())[:DAYS])
    for backup in backups:
        if backup not in keep:
            place.forget(f"{place.own}/{backup.path}")


def _folder(project_id: str) -> str:
    """A project's folder for backups; its id comes from a file and is not trusted as a name."""
    return f"backups/{key_of(project_id)}"


def key_of(project_id: str) -> str:
    """A file name for a project id, whatever stands in it."""
    return hashlib.sha256(project_id.encode("utf-8", "replace")).hexdigest()[:32]


def _named(below: str, name: str) -> Backup | None:
    stem, dot, ending = name.rpartition(".")
    for_good = stem.endswith(_FOR_GOOD)
    try:
        made = datetime.strptime(stem.removesuffix(_FOR_GOOD), _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None
    return Backup(f"{below}/{name}", made, for_good) if (dot, ending) == (".", "zip") else None
