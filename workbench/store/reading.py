"""The files of a project folder as plain data, with what is damaged, foreign or still on its way.

`read_folder` reads every JSON file once and remembers size, time and SHA-256 of each, which is what
a save compares with later. A file that cannot be read is listed as damaged and left as it is.
Nothing is decoded here, so that a migration can still change the plain data.
"""

from __future__ import annotations

import hashlib
from dataclasses import field

from workbench.domain.problem import Problem, Severity
from workbench.domain.project import is_id
from workbench.domain.record import dataclass
from workbench.store import layout
from workbench.store.errors import refusal, stopped, system_words
from workbench.store.file_system import FileSystem, Kind
from workbench.store.json_reading import LARGEST_FILE, RESTORE, JsonRefusedError, read_json


@dataclass(frozen=True, slots=True)
class Known:
    """A file as it was last read or written."""

    size: int
    changed_ns: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Damaged:
    """A file that could not be read; it is never written over until it is set aside."""

    path: str
    problem: Problem


@dataclass(slots=True)
class FolderFiles:
    """What was read.

    Attributes
    ----------
    plain
        Plain data by path; damaged files are not in it.
    checks
        Text of the buyer's own check files by name.
    known
        What a later save compares with, by path.
    boats
        Ids of the boat folders that hold a `boat.json`.
    """

    plain: dict[str, object] = field(default_factory=dict)
    checks: dict[str, str] = field(default_factory=dict)
    known: dict[str, Known] = field(default_factory=dict)
    damaged: list[Damaged] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    boats: list[str] = field(default_factory=list)

    def damage(self, path: str, message: str, remedy: str) -> None:
        """List a file as damaged."""
        problem = refusal(path, message, remedy, layout.boat_of(path))
        self.damaged.append(Damaged(path, problem))
        self.problems.append(problem)

    def notice(self, where: str, message: str, remedy: str) -> None:
        """Tell what was found and does no harm."""
        boat = layout.boat_of(f"{where}/")
        self.problems.append(Problem(where, message, remedy, Severity.NOTICE, boat))


def read_folder(files: FileSystem, root: str) -> FolderFiles:
    """Read every file of a project folder that this program writes.

    Raises
    ------
    StoreError
        When the folder is no project folder.
    """
    found = FolderFiles()
    _require_project(files, root)
    _read_json(files, root, layout.PROJECT, found)
    _report_names(_names(files, root, "", found), "", frozenset({layout.PROJECT}), found)
    for path in (layout.COMPARABLES, layout.PRICES):
        if _is_there(files, root, path, found):
            _read_json(files, root, path, found)
    _read_checks(files, root, found)
    for name in _names(files, root, layout.BOATS, found):
        _read_boat(files, root, name, found)
    return found


def _require_project(files: FileSystem, root: str) -> None:
    facts = files.facts(root)
    if facts is None or facts.kind is not Kind.FOLDER:
        raise stopped(root.rpartition("/")[2], "There is no such folder.", "Choose another one.")
    if files.facts(f"{root}/{layout.PROJECT}") is None:
        raise stopped(
            root.rpartition("/")[2],
            f"This folder holds no {layout.PROJECT}, so it is no search.",
            "Choose the folder of a search, or make a new one.",
        )


def _is_there(files: FileSystem, root: str, path: str, found: FolderFiles) -> bool:
    """Whether something stands at `path`, below real folders only."""
    folder = path.rpartition("/")[0]
    if folder and not _is_folder(files, root, folder, found):
        return False
    return files.facts(f"{root}/{path}") is not None


def _is_folder(files: FileSystem, root: str, path: str, found: FolderFiles) -> bool:
    facts = files.facts(f"{root}/{path}")
    if facts is not None and facts.kind is not Kind.FOLDER:
        known = {damaged.path for damaged in found.damaged}
        if path not in known:
            found.damage(path, "This is a file or a link, not a folder.", "Put a folder there.")
        return False
    return facts is not None


def _names(files: FileSystem, root: str, path: str, found: FolderFiles) -> list[str]:
    """The names in a folder; none when it is missing or cannot be read."""
    if path and not _is_folder(files, root, path, found):
        return []
    try:
        return files.names(f"{root}/{path}" if path else root)
    except OSError as error:
        words = f"The folder cannot be read: {system_words(error)}."
        found.damage(path, words, "Give yourself the right to read it.")
        return []


def _read_bytes(files: FileSystem, root: str, path: str, found: FolderFiles) -> bytes | None:
    """The bytes of a regular file of a reasonable size; None when it is damaged."""
    full = f"{root}/{path}"
    facts = files.facts(full)
    if facts is None or facts.kind is not Kind.FILE:
        found.damage(path, "This is not a regular file.", "Move it away.")
        return None
    if facts.size > LARGEST_FILE:
        size = f"The file is larger than {LARGEST_FILE // 2**20} MiB."
        found.damage(path, size, RESTORE)
        return None
    try:
        data = files.read(full, LARGEST_FILE)
    except OSError as error:
        words = f"The file cannot be read: {system_words(error)}."
        found.damage(path, words, "Give yourself the right to read it, or free it.")
        return None
    found.known[path] = Known(facts.size, facts.changed_ns, hashlib.sha256(data).hexdigest())
    return data


def _read_json(files: FileSystem, root: str, path: str, found: FolderFiles) -> None:
    data = _read_bytes(files, root, path, found)
    if data is None:
        return
    try:
        document = read_json(data)
    except JsonRefusedError as fault:
        place = f" ({fault.place})" if fault.place else ""
        found.damage(path, f"{fault.message.rstrip('.')}{place}.", fault.remedy)
        return
    found.plain[path] = document.value
    for notice in document.notices:
        found.notice(path, notice, "")


def _read_checks(files: FileSystem, root: str, found: FolderFiles) -> None:
    names = _names(files, root, layout.CHECKS, found)
    if not _is_folder(files, root, layout.OVERRIDES, found):
        return
    for name in names:
        path = layout.check_path(name)
        if not layout.is_check_file(name):
            remedy = "Name it with lower-case letters, digits and hyphens, ending in .toml."
            found.notice(path, "This is not taken as a file of checks.", remedy)
            continue
        data = _read_bytes(files, root, path, found)
        if data is None:
            continue
        try:
            found.checks[name] = data.decode("utf-8")
        except UnicodeDecodeError as error:
            message = f"This is not UTF-8 text (byte {error.start})."
            found.damage(path, message, "Save it as UTF-8 in a text editor.")


def _read_boat(files: FileSystem, root: str, name: str, found: FolderFiles) -> None:
    folder = f"{layout.BOATS}/{name}"
    if layout.is_conflict_copy(name) or not is_id(name):
        remedy = "Name the folder with lower-case letters, digits and hyphens, at most 40."
        found.notice(folder, "This is not taken as a boat because of its name.", remedy)
        return
    names = _names(files, root, folder, found)
    _report_names(names, folder + "/", frozenset(layout.BOAT_FILES), found)
    for file in layout.BOAT_FILES:
        if file in names:
            _read_json(files, root, f"{folder}/{file}", found)
    if "boat.json" in names:
        found.boats.append(name)


def _report_names(names: list[str], folder: str, ours: frozenset[str], found: FolderFiles) -> None:
    """Point out second versions of our files, and names that differ only in case or accents."""
    by_fold = {layout.folded(name): name for name in ours}
    for name in names:
        if layout.is_conflict_copy(name):
            message = "A second version of a file lies here, from a sync or from two saves at once."
            remedy = "Compare the two, keep what you need in the first, and delete this one."
            found.notice(folder + name, message, remedy)
        elif name not in ours and layout.folded(name) in by_fold:
            twin = by_fold[layout.folded(name)]
            found.notice(folder + name, f"The name differs from {twin} only in spelling.", "")
