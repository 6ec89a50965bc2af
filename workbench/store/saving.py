"""One save: what changed, whether the disk is still as it was left, and one transaction for all.

Nothing is overwritten that was changed outside: then no file is replaced, our version of each such
file is put beside it, and the report names both. A damaged file is held back and the others are
saved. Every file is read back from its bytes before it is written, so what is saved can be opened.
"""

from __future__ import annotations

import hashlib

from workbench.domain.problem import Problem
from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.store import layout
from workbench.store.errors import NotSavedError, refusal, system_words
from workbench.store.file_system import Kind
from workbench.store.json_reading import LARGEST_FILE, JsonRefusedError, read_json
from workbench.store.parts import Part, bytes_of, changed_parts, parts_of
from workbench.store.project_folder import ProjectFolder
from workbench.store.reading import Known
from workbench.store.transaction import Change, commit, discard, end_interrupted
from workbench.store.workplace import stamp_of

__all__ = ["Conflict", "ProjectFolder", "SaveReport", "save", "settle", "write_files"]


@dataclass(frozen=True, slots=True)
class Conflict:
    """A file that was changed outside since it was read; ours lies beside it as `mine`."""

    path: str
    mine: str


@dataclass(frozen=True, slots=True)
class SaveReport:
    """What a save did.

    Attributes
    ----------
    written, deleted
        Paths relative to the project folder.
    conflicts
        When there are any, nothing was replaced and the project is not saved.
    held_back
        Changed records whose file is damaged; they are not saved until it is set aside.
    tidy_up_pending
        The save has happened; its last steps follow at the next save or opening.
    """

    written: tuple[str, ...] = ()
    deleted: tuple[str, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    held_back: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    tidy_up_pending: bool = False

    @property
    def complete(self) -> bool:
        """Whether the disk now holds the whole project."""
        return not self.conflicts and not self.held_back


def save(
    folder: ProjectFolder, project: Project, saved: Project | None, overwrite: frozenset[str]
) -> SaveReport:
    """See `folder.save_project`."""
    if folder.read_only:
        raise _refused(folder.name, folder.read_only, "Save a copy elsewhere.")
    try:
        settle(folder)
        _require_same_project(folder)
        changes, held_back = _changes(folder, project, saved)
        conflicts = tuple(
            path for path in changes if path not in overwrite and _changed_outside(folder, path)
        )
    except OSError as error:
        message = f"Nothing was saved: {system_words(error)}."
        raise _refused(folder.name, message, "Save again, or save a copy elsewhere.") from error
    except JsonRefusedError as fault:
        raise _refused(folder.name, f"Nothing was saved. {fault.message}", fault.remedy) from fault
    if conflicts:
        return _keep_both(folder, changes, conflicts, held_back)
    report = _write(folder, changes, held_back)
    folder.project_id = project.id
    return report


def write_files(folder: ProjectFolder, changes: dict[str, bytes | None]) -> SaveReport:
    """Put files in place, all or none, without asking what lies there (a restored backup).

    Raises
    ------
    NotSavedError
        When nothing was written.
    """
    if folder.read_only and not folder.mendable:
        raise _refused(folder.name, folder.read_only, "Work on a copy.")
    try:
        settle(folder)
    except (OSError, JsonRefusedError) as error:
        message = "Nothing was written: an earlier save cannot be ended."
        raise _refused(folder.name, message, "Open the folder again.") from error
    report = _write(folder, changes, ())
    folder.damaged -= set(changes)
    return report


def settle(folder: ProjectFolder) -> None:
    """End what an earlier save left: complete it when it had happened, drop it when it had not.

    Raises
    ------
    OSError, JsonRefusedError
        When it cannot be ended now; the next try may.
    """
    if folder.unfinished is None:
        return
    place, happened = folder.unfinished
    if folder.files.facts(place) is not None:
        if happened:
            end_interrupted(folder.files, folder.root, place)
        elif discard(folder.files, place):
            raise OSError("the remains of an earlier save cannot be removed")
    folder.unfinished = None


def _require_same_project(folder: ProjectFolder) -> None:
    """Refuse when the folder has gone, or another project has its place now."""
    if not folder.known:
        return
    facts = folder.files.facts(folder.root)
    if facts is None or facts.kind is not Kind.FOLDER:
        message = "The folder is no longer there. Your work is still here."
        raise _refused(folder.name, message, "Bring it back and save again, or save a copy.")
    path = f"{folder.root}/{layout.PROJECT}"
    if folder.files.facts(path) is None or layout.PROJECT not in folder.known:
        return
    data = folder.files.read(path, LARGEST_FILE)
    if hashlib.sha256(data).hexdigest() == folder.known[layout.PROJECT].sha256:
        return
    try:
        plain = read_json(data).value
    except JsonRefusedError:
        return  # damaged meanwhile: the comparison of each file finds it
    other = plain.get("id") if isinstance(plain, dict) else None
    if other != folder.project_id:
        message = "Another search lies in this folder now."
        raise _refused(folder.name, message, "Save a copy elsewhere.")


def _changes(
    folder: ProjectFolder, project: Project, saved: Project | None
) -> tuple[dict[str, bytes | None], tuple[str, ...]]:
    """The bytes to write by path, and the paths that are held back because they are damaged."""
    parts = {part.path: part for part in changed_parts(project, saved, folder.listed)}
    if parts or folder.to_write:
        everything = parts_of(project, folder.listed)
        for path in folder.to_write | _gone_beside(folder, parts):
            parts.setdefault(path, Part(path, everything.get(path)))
    before = parts_of(saved, folder.listed) if saved is not None and parts else {}
    changes: dict[str, bytes | None] = {}
    held_back: list[str] = []
    for path, part in parts.items():
        data = _data(folder, part)
        known = folder.known.get(path)
        if path in folder.damaged:
            if data is not None or part.record is None:
                held_back.append(path)
        elif _digest(data) != (known.sha256 if known else "") or _is_gone(folder, path, data):
            _keep_original(folder, path, before.get(path))
            changes[path] = data
    return changes, tuple(sorted(held_back))


def _digest(data: bytes | None) -> str:
    return hashlib.sha256(data).hexdigest() if data is not None else ""


def _is_gone(folder: ProjectFolder, path: str, data: bytes | None) -> bool:
    """Whether a file that is to be there was removed outside."""
    return data is not None and folder.files.facts(f"{folder.root}/{path}") is None


def _gone_beside(folder: ProjectFolder, parts: dict[str, Part]) -> set[str]:
    """The files that were removed outside from boats that are to be saved.

    With one file of a boat written and the others gone, she would not open again.
    """
    boats = {layout.boat_of(path) for path, part in parts.items() if part.record is not None}
    paths = {layout.boat_path(boat, name) for boat in boats if boat for name in layout.BOAT_FILES}
    return {
        path
        for path in paths & folder.known.keys()
        if folder.files.facts(f"{folder.root}/{path}") is None
    }


def _data(folder: ProjectFolder, part: Part) -> bytes | None:
    """The bytes of one file, checked to be readable again."""
    record, original = folder.originals.get(part.path, (None, b""))
    if record is not None and record == part.record:
        return original
    try:
        data = bytes_of(part.record)
        if data is not None and part.path.endswith(".json"):
            read_json(data)
    except JsonRefusedError as fault:
        raise _refused(part.path, f"Nothing was saved: {fault.message}", "Remove some.") from fault
    except ValueError as error:
        raise _refused(part.path, f"Nothing was saved: {error}", "Correct it.") from error
    return data


def _keep_original(folder: ProjectFolder, path: str, before: object | None) -> None:
    """Keep the bytes of a file that we would have written otherwise, before we first do."""
    if before is None or path not in folder.known or path in folder.originals:
        return
    written = bytes_of(before)
    known = folder.known[path]
    if written is not None and hashlib.sha256(written).hexdigest() == known.sha256:
        return
    data = folder.files.read(f"{folder.root}/{path}", LARGEST_FILE)
    if hashlib.sha256(data).hexdigest() == known.sha256 and path not in folder.to_write:
        folder.originals[path] = (before, data)


def _changed_outside(folder: ProjectFolder, path: str) -> bool:
    """Whether a file to be replaced is another than the one this program last saw there."""
    full = f"{folder.root}/{path}"
    facts, known = folder.files.facts(full), folder.known.get(path)
    if facts is None:
        return False  # nothing there that could be lost
    if known is None or facts.kind is not Kind.FILE or facts.size != known.size:
        return True
    return hashlib.sha256(folder.files.read(full, LARGEST_FILE)).hexdigest() != known.sha256


def _keep_both(
    folder: ProjectFolder,
    changes: dict[str, bytes | None],
    conflicts: tuple[str, ...],
    held_back: tuple[str, ...],
) -> SaveReport:
    """Put our version beside each file that was changed outside, once for each version."""
    stamp = stamp_of(folder.workplace.now())
    copies: list[Change] = []
    pairs: list[Conflict] = []
    for path in conflicts:
        data = changes[path]
        if data is None:
            pairs.append(Conflict(path, ""))
            continue
        digest = hashlib.sha256(data).hexdigest()
        before, name = folder.mine.get(path, ("", ""))
        if before != digest:
            name = layout.beside(path, "mine", stamp)
            copies.append(Change(name, data))
            folder.mine[path] = (digest, name)
        pairs.append(Conflict(path, name))
    if copies:
        _commit(folder, copies)
    problems = tuple(_conflict_problem(pair) for pair in pairs)
    return SaveReport(conflicts=tuple(pairs), held_back=held_back, problems=problems)


def _write(
    folder: ProjectFolder, changes: dict[str, bytes | None], held_back: tuple[str, ...]
) -> SaveReport:
    problems = tuple(_held_back_problem(path) for path in held_back)
    if not changes:
        return SaveReport(held_back=held_back, problems=problems)
    pending = _commit(folder, [Change(path, data) for path, data in changes.items()])
    for path, data in changes.items():
        _remember(folder, path, data)
        folder.mine.pop(path, None)
    folder.to_write = frozenset()
    return SaveReport(
        written=tuple(sorted(path for path, data in changes.items() if data is not None)),
        deleted=tuple(sorted(path for path, data in changes.items() if data is None)),
        held_back=held_back,
        problems=problems,
        tidy_up_pending=pending,
    )


def _commit(folder: ProjectFolder, changes: list[Change]) -> bool:
    """Commit; answer whether the last steps are still to be done."""
    try:
        outcome = commit(folder.files, folder.root, folder.workplace.token(), changes)
    except NotSavedError as error:
        if error.left_behind:
            folder.unfinished = (error.left_behind, False)
        raise
    except OSError as error:
        message = f"Nothing was saved: {system_words(error)}."
        raise _refused("application data", message, "Make room there and save again.") from error
    if outcome.unfinished:
        folder.unfinished = (outcome.unfinished, True)
    return bool(outcome.unfinished)


def _remember(folder: ProjectFolder, path: str, data: bytes | None) -> None:
    if data is None:
        folder.known.pop(path, None)
        return
    try:
        facts = folder.files.facts(f"{folder.root}/{path}")
    except OSError:
        facts = None  # it is saved; the digest alone is compared later
    changed_ns = facts.changed_ns if facts else 0
    folder.known[path] = Known(len(data), changed_ns, hashlib.sha256(data).hexdigest())


def _refused(where: str, message: str, remedy: str) -> NotSavedError:
    return NotSavedError((refusal(where, message, remedy),))


def _held_back_problem(path: str) -> Problem:
    message = "The changes to this file were not saved, because the file on the disk is damaged."
    remedy = "Set the damaged file aside, or restore a backup; then save again."
    return refusal(path, message, remedy, layout.boat_of(path))


def _conflict_problem(pair: Conflict) -> Problem:
    message = "The file was changed outside since it was read, so nothing was saved."
    remedy = (
        f"Your version lies beside it as {pair.mine}. Choose which one to keep."
        if pair.mine
        else "Choose whether to delete it all the same."
    )
    return refusal(pair.path, message, remedy, layout.boat_of(pair.path))
