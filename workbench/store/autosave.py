"""Work that is not saved yet, kept in application data every few seconds.

    keep_autosave(folder, project, saved) -> path or ""       raises OSError
    find_autosaves(folder) -> newest first
    recovered(folder, autosave) -> Project                    raises StoreError
    settle_autosaves(folder)                                  after a complete save

A snapshot holds only the files whose record differs from the saved project, and the digest of each
file of the project as it then lay on the disk. It is written all at once, never into the project
folder. Nothing is deleted by recovering it, so a crash while recovering loses nothing; after a
complete save the snapshots are marked as settled and go after seven days. `keep_autosave` works on
an immutable project and may run on another thread, one at a time.
"""

from __future__ import annotations

import hashlib
import re
from datetime import UTC, datetime, timedelta

from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.store import layout, loading
from workbench.store.backups import key_of
from workbench.store.errors import stopped
from workbench.store.json_reading import JsonRefusedError, read_json
from workbench.store.json_writing import write_json
from workbench.store.migrations import migrated
from workbench.store.parts import bytes_of, changed_parts
from workbench.store.project_folder import ProjectFolder
from workbench.store.reading import read_folder

EVERY_SECONDS = 10
KEPT_DAYS = 7
KEPT_OPEN = 5
_STAMP = "%Y%m%dT%H%M%S%fZ"
_NAME = re.compile(r"\d{8}T\d{12}Z\.(open|settled)\.json", re.ASCII)
_OPEN = ".open.json"
_SETTLED = ".settled.json"
_LARGEST = 2**28


@dataclass(frozen=True, slots=True)
class Autosave:
    """One snapshot of unsaved work.

    Attributes
    ----------
    made
        When, in UTC.
    changed
        The text of each changed file by path; None for one to be deleted.
    fits
        Whether the project on the disk is still the one that the snapshot was made on.
    """

    path: str
    made: datetime
    changed: tuple[tuple[str, str | None], ...]
    fits: bool


def keep_autosave(folder: ProjectFolder, project: Project, saved: Project | None) -> str:
    """Keep a snapshot; answer its place, empty when there is nothing unsaved.

    Raises
    ------
    OSError
        When it could not be written; the last snapshot stands.
    """
    changed: dict[str, object] = {}
    for part in changed_parts(project, saved, folder.listed):
        data = bytes_of(part.record)
        changed[part.path] = data.decode() if data is not None else None
    if not changed:
        return ""
    # A copy first: a save on another thread may be changing what is known.
    base = {path: known.sha256 for path, known in folder.known.copy().items()}
    content: dict[str, object] = {"base": base, "changed": changed}
    content["sha256"] = hashlib.sha256(write_json([base, changed])).hexdigest()
    place = folder.workplace
    made = place.now().astimezone(UTC)
    for newest in _names(folder, _OPEN)[-1:]:
        # A clock that was set back must not put the newest behind older ones.
        made = max(made, _moment(newest) + timedelta(microseconds=1))
    name = made.strftime(_STAMP) + _OPEN
    path = place.put(f"{_folder(folder)}/{name}", write_json(content))
    for older in _names(folder, _OPEN)[:-KEPT_OPEN]:
        place.forget(f"{place.own}/{_folder(folder)}/{older}")
    return path


def find_autosaves(folder: ProjectFolder) -> tuple[Autosave, ...]:
    """The snapshots that were never settled by a save, newest first; damaged ones are skipped."""
    found = [_read(folder, name) for name in reversed(_names(folder, _OPEN))]
    return tuple(autosave for autosave in found if autosave is not None)


def recovered(folder: ProjectFolder, autosave: Autosave) -> Project:
    """The project as the snapshot had it: the files on the disk with the unsaved ones over them.

    Raises
    ------
    StoreError
        When the folder cannot be read.
    """
    found = read_folder(folder.files, folder.root)
    if layout.PROJECT in found.plain:
        found.plain, _ = migrated(found.plain)
    for path, text in autosave.changed:
        _lay_over(found.plain, found.checks, path, text)
    found.boats = sorted(
        {layout.boat_of(path) for path in found.plain if path.endswith("/boat.json")}
    )
    if layout.PROJECT not in found.plain:
        raise stopped(layout.PROJECT, "It is damaged.", "Restore it from a backup first.")
    return loading.load(found, folder.name).project


def settle_autosaves(folder: ProjectFolder) -> None:
    """Mark all snapshots as settled by a complete save, and drop those settled long ago.

    Raises
    ------
    OSError
        When a snapshot could not be marked; it would be offered again.
    """
    place = folder.workplace
    below = f"{place.own}/{_folder(folder)}"
    for name in _names(folder, _OPEN):
        place.files.rename(f"{below}/{name}", f"{below}/{name.removesuffix(_OPEN)}{_SETTLED}")
    limit = (place.now().astimezone(UTC) - timedelta(days=KEPT_DAYS)).strftime(_STAMP)
    for name in _names(folder, _SETTLED):
        if name < limit:
            place.forget(f"{below}/{name}")


def _lay_over(
    plain: dict[str, object], checks: dict[str, str], path: str, text: str | None
) -> None:
    if path.startswith(f"{layout.CHECKS}/"):
        name = path.rpartition("/")[2]
        checks.pop(name, None)
        if text is not None:
            checks[name] = text
        return
    plain.pop(path, None)
    if text is not None:
        plain[path] = read_json(text.encode()).value


def _read(folder: ProjectFolder, name: str) -> Autosave | None:
    place = folder.workplace
    path = f"{place.own}/{_folder(folder)}/{name}"
    try:
        content = read_json(place.files.read(path, _LARGEST), _LARGEST).value
        made = _moment(name)
    except (OSError, JsonRefusedError, ValueError):
        return None
    if not isinstance(content, dict):
        return None
    base, changed = content.get("base"), content.get("changed")
    if not isinstance(base, dict) or not isinstance(changed, dict):
        return None
    if hashlib.sha256(write_json([base, changed])).hexdigest() != content.get("sha256"):
        return None
    fits = base == {path: known.sha256 for path, known in folder.known.items()}
    ours = tuple((path, text) for path, text in changed.items() if layout.is_ours(path))
    return Autosave(path, made, ours, fits)


def _moment(name: str) -> datetime:
    """When a snapshot was made, by its name."""
    return datetime.strptime(name.partition(".")[0], _STAMP).replace(tzinfo=UTC)


def _names(folder: ProjectFolder, ending: str) -> list[str]:
    names = folder.workplace.names(_folder(folder))
    return [name for name in names if _NAME.fullmatch(name) and name.endswith(ending)]


def _folder(folder: ProjectFolder) -> str:
    return f"autosave/{key_of(folder.project_id)}"
