"""What changed in a project folder behind our back, and how two versions of a file differ.

    changed_outside(folder) -> paths              for the window's watcher and when it gets focus
    differences(theirs, mine) -> Difference, ...  field by field, for earlier saves
    project_on_disk(folder) -> Project            to compare ours with; raises StoreError

Size and time decide quickly; only where they differ is the file read and its digest compared, so a
sync tool that merely touches a file does not raise an alarm. A save does not trust size and time:
it always compares the digests of the files that it replaces.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

from workbench.domain.project import Project, is_id
from workbench.domain.record import dataclass
from workbench.store import layout, loading, migrations
from workbench.store.errors import stopped
from workbench.store.file_system import Facts, FileSystem, Kind
from workbench.store.json_reading import LARGEST_FILE, JsonRefusedError, read_json
from workbench.store.project_folder import ProjectFolder
from workbench.store.reading import Known, read_folder

_ABSENT = object()


@dataclass(frozen=True, slots=True)
class Difference:
    """One place where two versions differ; None stands for nothing there."""

    place: str
    theirs: object
    mine: object


def changed_outside(folder: ProjectFolder) -> tuple[str, ...]:
    """The files of ours that were changed, added or removed since they were read or written.

    None while the last steps of a save of our own are still to come: what differs then is ours, and
    the save that ends it compares every file again.
    """
    if folder.unfinished is not None:
        return ()
    found = [path for path, known in folder.known.items() if _differs(folder, path, known)]
    found += [path for path in _present(folder) if path not in folder.known]
    return tuple(sorted(set(found) - folder.damaged))


def project_on_disk(folder: ProjectFolder) -> Project:
    """The search as it lies on the disk now; nothing of it is taken over.

    Raises
    ------
    StoreError
        When a file of it is damaged or has not arrived yet: what is missing there would look as
        if somebody had taken it out.
    """
    found = read_folder(folder.files, folder.root)
    if layout.PROJECT in found.plain:
        if migrations.is_too_new(migrations.version_of(found.plain[layout.PROJECT])):
            message = "It was saved there by a newer version of the program."
            raise stopped(folder.name, message, "Update the program, then compare.")
        found.plain, _ = migrations.migrated(found.plain)
    loaded = loading.load(found, folder.name)
    broken = [one.path for one in found.damaged if one.path not in folder.damaged]
    coming = set(loaded.listed) - set(loaded.project.boats) - folder.listed.absent
    broken += [layout.boat_path(id_, "boat.json") for id_ in sorted(coming)]
    if broken:
        message = "This file is damaged or has not arrived yet."
        raise stopped(broken[0], message, "Let the sync finish, then compare again.")
    if loaded.project.id != folder.project_id:
        message = "Another search lies in this folder now."
        raise stopped(folder.name, message, "Save a copy of yours elsewhere.")
    return loaded.project


def differences(theirs: bytes, mine: bytes) -> tuple[Difference, ...]:
    """Where two versions of a JSON file differ; one difference for the whole when one is none."""
    try:
        one, other = read_json(theirs).value, read_json(mine).value
    except JsonRefusedError:
        return (Difference("", None, None),)
    return tuple(_compare("", one, other))


def _differs(folder: ProjectFolder, path: str, known: Known) -> bool:
    full = f"{folder.root}/{path}"
    facts = folder.files.facts(full)
    if facts is None or facts.kind is not Kind.FILE:
        return True
    if _looks_the_same(facts, known):
        return False
    if facts.size != known.size:
        return True
    try:
        data = folder.files.read(full, LARGEST_FILE)
    except OSError:
        return True
    return hashlib.sha256(data).hexdigest() != known.sha256


def _looks_the_same(facts: Facts, known: Known) -> bool:
    return facts.size == known.size and facts.changed_ns == known.changed_ns


def _present(folder: ProjectFolder) -> Iterator[str]:
    """The paths of ours at which something lies."""
    files, root = folder.files, folder.root
    candidates = [layout.PROJECT, layout.COMPARABLES, layout.PRICES]
    candidates += [layout.check_path(name) for name in _names(files, f"{root}/{layout.CHECKS}")]
    for boat in _names(files, f"{root}/{layout.BOATS}"):
        if is_id(boat):
            candidates += [layout.boat_path(boat, name) for name in layout.BOAT_FILES]
    for path in candidates:
        if layout.is_ours(path) and files.facts(f"{root}/{path}") is not None:
            yield path


def _names(files: FileSystem, path: str) -> list[str]:
    facts = files.facts(path)
    if facts is None or facts.kind is not Kind.FOLDER:
        return []
    try:
        return files.names(path)
    except OSError:
        return []  # what cannot be looked at now is compared before a save all the same


def _compare(place: str, theirs: object, mine: object) -> Iterator[Difference]:
    if isinstance(theirs, dict) and isinstance(mine, dict):
        for key in sorted({*theirs, *mine}):
            inner = f"{place}.{key}" if place else key
            yield from _compare(inner, theirs.get(key, _ABSENT), mine.get(key, _ABSENT))
    elif isinstance(theirs, list) and isinstance(mine, list):
        for position in range(max(len(theirs), len(mine))):
            one = theirs[position] if position < len(theirs) else _ABSENT
            other = mine[position] if position < len(mine) else _ABSENT
            yield from _compare(f"{place}[{position + 1}]", one, other)
    elif theirs != mine:
        yield Difference(place, *(None if v is _ABSENT else v for v in (theirs, mine)))
