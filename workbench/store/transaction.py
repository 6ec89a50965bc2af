"""Saving several files at once so that a crash leaves all of them old or all of them new.

The protocol, for a project folder `root` and this installation's random `token`:

1.  Every new file is written in full to `.tx-<token>-<random>/<number>` and flushed to the disk.
    Then that folder and `root` are flushed. Nothing outside the folder has changed yet.
2.  A journal (each path, its stage, its SHA-256; the paths to delete; its own SHA-256) is written
    beside the stages, flushed, and renamed to `journal.json`. **That rename is the commit point**;
    flushing the folder makes it durable.
3.  Missing folders are made and flushed. Each stage is renamed to its place, each deletion done,
    each folder touched is flushed.
4.  The journal is deleted, that is flushed, and the folder is removed.

A fault before the commit point removes the folder and raises `NotSavedError`: the old files stand.
A fault after it leaves the folder; the save has happened, and whoever opens the project next ends
it (`recover`). Recovery removes a folder without a journal and rolls forward one with a journal. It
checks every stage against the journal first and touches nothing when one does not fit. It can be
interrupted and repeated at will. A folder with another installation's token came by way of a sync
tool while the other machine is still saving, perhaps; it is reported and left alone.

One file alone (`place_file`, for photos) needs no journal: the rename to its place is the commit
point. A failed flush is never tried again on the same file, because the system may have forgotten
by then what it could not write; the stage is dropped and the save fails.

    commit(file_system, root, token, changes) -> Outcome        raises NotSavedError
    place_file(file_system, root, token, path, data)            raises NotSavedError
    recover(file_system, root, token) -> Recovery
"""

from __future__ import annotations

import errno
import hashlib
import secrets
from collections.abc import Iterable

from workbench.domain.problem import Problem, Severity
from workbench.domain.record import dataclass
from workbench.store.errors import NotSavedError, refusal, system_words
from workbench.store.file_system import FileSystem, Kind
from workbench.store.json_reading import JsonRefusedError, read_json
from workbench.store.json_writing import write_json

PREFIX = ".tx-"
JOURNAL = "journal.json"
_JOURNAL_STAGE = "journal.tmp"
_LARGEST = 2**30
_TRIES = 10
_PAUSE_SECONDS = 0.25
_BUSY = frozenset({errno.EACCES, errno.EBUSY, errno.ETXTBSY})


@dataclass(frozen=True, slots=True)
class Change:
    """New bytes for a path relative to the project folder; None to delete what stands there."""

    path: str
    data: bytes | None


@dataclass(frozen=True, slots=True)
class Outcome:
    """A save that has happened; `unfinished` names the folder that the next recovery will end."""

    unfinished: str = ""


@dataclass(frozen=True, slots=True)
class Recovery:
    """What was found of interrupted saves.

    Attributes
    ----------
    completed, removed
        How many were rolled forward, and how many had not reached their commit point.
    problems
        What was left as it was, and why.
    blocked
        A journal of our own does not fit its stages: nothing may be written until it is set aside.
    """

    completed: int = 0
    removed: int = 0
    problems: tuple[Problem, ...] = ()
    blocked: bool = False


@dataclass(frozen=True, slots=True)
class _Entry:
    """One line of a journal; a deletion has neither stage nor digest."""

    path: str
    stage: str = ""
    sha256: str = ""


def commit(files: FileSystem, root: str, token: str, changes: Iterable[Change]) -> Outcome:
    """Make all changes or none.

    Raises
    ------
    NotSavedError
        When the commit point was not reached; the folder is as it was.
    """
    folder = _new_folder(root, token)
    try:
        entries = _stage(files, root, folder, changes)
        _write_journal(files, folder, entries)
    except OSError as error:
        raise _not_saved(error, discard(files, folder)) from error
    try:
        _finish(files, root, folder, entries)
    except OSError:
        return Outcome(folder)
    return Outcome()


def place_file(files: FileSystem, root: str, token: str, path: str, data: bytes) -> None:
    """Put one new file in its place; nobody ever sees part of it.

    Raises
    ------
    NotSavedError
        When it could not be put there.
    """
    folder = _new_folder(root, token)
    try:
        files.make_folder(folder)
        write_file(files, f"{folder}/0", data)
        _make_folders(files, root, [path])
        _rename(files, f"{folder}/0", f"{root}/{path}")
        files.flush_folder(_folders_above(root, path)[-1])
    except OSError as error:
        raise _not_saved(error, discard(files, folder)) from error
    discard(files, folder)


def write_file(files: FileSystem, path: str, data: bytes) -> None:
    """Write a new file in full and flush it; the file is not to be trusted when this raises."""
    handle = files.create(path)
    try:
        rest = memoryview(data)
        while rest:
            written = files.write(handle, rest)
            if written <= 0:
                raise OSError(errno.EIO, "Nothing was written", path)
            rest = rest[written:]
        files.flush(handle)
    except OSError:
        _close_after_fault(files, handle)
        raise
    files.close(handle)


def recover(files: FileSystem, root: str, token: str) -> Recovery:
    """End or remove every interrupted save of this installation; see the protocol above."""
    completed = removed = 0
    problems: list[Problem] = []
    blocked = False
    for name in interrupted(files, root):
        folder = f"{root}/{name}"
        if not (token and name.startswith(f"{PREFIX}{token}-")):
            problems.append(_foreign(name))
            continue
        try:
            if end_interrupted(files, root, folder):
                completed += 1
            else:
                removed += 1
        except JsonRefusedError as fault:
            blocked = True
            problems.append(refusal(name, fault.message, fault.remedy))
        except OSError as error:
            blocked = True
            problems.append(_unfinished(name, error))
    return Recovery(completed, removed, tuple(problems), blocked)


def interrupted(files: FileSystem, root: str) -> list[str]:
    """The names of the folders of interrupted saves."""
    return [
        name
        for name in files.names(root)
        if name.startswith(PREFIX) and _kind(files, f"{root}/{name}") is Kind.FOLDER
    ]


def end_interrupted(files: FileSystem, root: str, folder: str) -> bool:
    """Roll forward one interrupted save; False when it had no journal and was removed.

    Raises
    ------
    JsonRefusedError
        When the journal cannot be read or does not fit its stages; nothing was touched.
    OSError
        When the system stopped it; it can be tried again.
    """
    if _kind(files, f"{folder}/{JOURNAL}") is None:
        _remove(files, folder)
        return False
    entries = _read_journal(files, folder)
    for entry in entries:
        _check(files, root, folder, entry)
    _finish(files, root, folder, entries)
    return True


def discard(files: FileSystem, folder: str) -> str:
    """Remove the folder of a save that is not to happen; answer its name when it would not go."""
    try:
        if _kind(files, folder) is not None:
            _remove(files, folder)
    except OSError:
        return folder
    return ""


def _stage(
    files: FileSystem, root: str, folder: str, changes: Iterable[Change]
) -> tuple[_Entry, ...]:
    """Write every new file beside its place, so that only renames are left to do."""
    files.make_folder(folder)
    entries: list[_Entry] = []
    for number, change in enumerate(changes):
        if change.data is None:
            entries.append(_Entry(change.path))
            continue
        write_file(files, f"{folder}/{number}", change.data)
        digest = hashlib.sha256(change.data).hexdigest()
        entries.append(_Entry(change.path, str(number), digest))
    files.flush_folder(folder)
    files.flush_folder(root)
    return tuple(entries)


def _write_journal(files: FileSystem, folder: str, entries: tuple[_Entry, ...]) -> None:
    listed = [{"path": e.path, "stage": e.stage, "sha256": e.sha256} for e in entries]
    own = hashlib.sha256(write_json(listed)).hexdigest()
    data = write_json({"entries": listed, "sha256": own})
    write_file(files, f"{folder}/{_JOURNAL_STAGE}", data)
    _rename(files, f"{folder}/{_JOURNAL_STAGE}", f"{folder}/{JOURNAL}")
    files.flush_folder(folder)


def _finish(files: FileSystem, root: str, folder: str, entries: tuple[_Entry, ...]) -> None:
    """Everything after the commit point; may be repeated from any step."""
    _make_folders(files, root, [entry.path for entry in entries if entry.stage])
    for entry in entries:
        target, staged = f"{root}/{entry.path}", f"{folder}/{entry.stage}"
        if entry.stage and _kind(files, staged) is not None:
            _rename(files, staged, target)
        elif not entry.stage and _kind(files, target) is not None:
            files.unlink(target)
    for place in dict.fromkeys(_folders_above(root, entry.path)[-1] for entry in entries):
        if _kind(files, place) is Kind.FOLDER:
            files.flush_folder(place)
    _remove(files, folder)
    for entry in entries:
        if not entry.stage:
            _remove_empty_folders(files, root, entry.path)


def _read_journal(files: FileSystem, folder: str) -> tuple[_Entry, ...]:
    """The entries of a journal whose own digest is right.

    Raises
    ------
    JsonRefusedError
        When it cannot be trusted.
    """
    value = read_json(files.read(f"{folder}/{JOURNAL}", _LARGEST)).value
    listed = value.get("entries") if isinstance(value, dict) else None
    own = value.get("sha256") if isinstance(value, dict) else None
    if not isinstance(listed, list) or hashlib.sha256(write_json(listed)).hexdigest() != own:
        raise _misfit("The journal of an interrupted save is damaged.")
    return tuple(_Entry(e["path"], e["stage"], e["sha256"]) for e in listed)


def _check(files: FileSystem, root: str, folder: str, entry: _Entry) -> None:
    """Refuse an entry whose bytes are neither staged nor in place already."""
    if not entry.stage:
        return
    staged = f"{folder}/{entry.stage}"
    where = staged if _kind(files, staged) is not None else f"{root}/{entry.path}"
    if _kind(files, where) is not Kind.FILE:
        raise _misfit(f"An interrupted save of {entry.path} has lost its bytes.")
    if hashlib.sha256(files.read(where, _LARGEST)).hexdigest() != entry.sha256:
        raise _misfit(f"An interrupted save of {entry.path} does not fit its journal.")


def _misfit(message: str) -> JsonRefusedError:
    remedy = "Nothing was changed. Set the interrupted save aside, or restore a backup."
    return JsonRefusedError("", message, remedy)


def _folders_above(root: str, path: str) -> list[str]:
    """The folders from `root` down to the one that holds `path`."""
    parts = path.split("/")[:-1]
    return ["/".join((root, *parts[:count])) for count in range(len(parts) + 1)]


def _make_folders(files: FileSystem, root: str, paths: Iterable[str]) -> None:
    """Make the folders above `paths`, all on the disk before anything is renamed into them.

    Those that are there are flushed too: an interrupted run may have made them.
    """
    folders = dict.fromkeys(above for path in paths for above in _folders_above(root, path))
    for folder in folders:
        if _kind(files, folder) is None:
            files.make_folder(folder)
    for folder in folders:
        files.flush_folder(folder)


def _remove_empty_folders(files: FileSystem, root: str, path: str) -> None:
    """Remove what a deletion left empty, from the innermost folder up to the root."""
    for folder in reversed(_folders_above(root, path)[1:]):
        if _kind(files, folder) is None:
            continue
        if files.names(folder):
            return
        files.remove_folder(folder)


def _rename(files: FileSystem, old: str, new: str) -> None:
    """Rename, waiting a while for a sync tool or scanner that holds the file."""
    for left in range(_TRIES - 1, -1, -1):
        try:
            files.rename(old, new)
        except OSError as error:
            if error.errno not in _BUSY or not left:
                raise
            files.pause(_PAUSE_SECONDS)
        else:
            return


def _remove(files: FileSystem, folder: str) -> None:
    """Remove the folder of a save, its journal first: no journal may outlive its stages."""
    if _kind(files, f"{folder}/{JOURNAL}") is not None:
        files.unlink(f"{folder}/{JOURNAL}")
        files.flush_folder(folder)
    for name in files.names(folder):
        files.unlink(f"{folder}/{name}")
    files.remove_folder(folder)


def _close_after_fault(files: FileSystem, handle: int) -> None:
    """Give the handle back while the first fault is on its way up; that one is the news."""
    try:
        files.close(handle)
    except OSError:
        return


def _kind(files: FileSystem, path: str) -> Kind | None:
    found = files.facts(path)
    return found.kind if found else None


def _new_folder(root: str, token: str) -> str:
    return f"{root}/{PREFIX}{token}-{secrets.token_hex(4)}"


def _not_saved(error: OSError, left_behind: str) -> NotSavedError:
    message = f"Nothing was saved: {system_words(error)}."
    remedy = "Your work is still here. Make room or free the folder and save again, or save a copy."
    return NotSavedError((refusal("the project folder", message, remedy),), left_behind)


def _foreign(name: str) -> Problem:
    return Problem(
        name,
        "Another installation was saving here, or a sync tool brought over half of its save.",
        "Let the sync finish. If the other machine is done, delete this folder.",
        Severity.NOTICE,
    )


def _unfinished(name: str, error: OSError) -> Problem:
    message = f"An interrupted save could not be ended: {system_words(error)}."
    return refusal(name, message, "Free the folder and open the project again.")
