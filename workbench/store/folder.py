"""The project folder: open, create and save.

    open_project(path) -> Opened             raises StoreError
    create_project(path, name, settings) -> Opened
    reload_project(folder) -> Opened                        after a change outside
    hand_back(folder, opened)                               when nothing of it was taken over
    save_project(folder, project, saved) -> SaveReport      raises NotSavedError

`saved` is the project as it was last opened or saved: only files whose record differs from it are
looked at, and only those whose bytes differ from the disk are written. After a complete save the
caller takes `project` as the next `saved`. A `ProjectFolder` remembers what lies on the disk; it is
used by one thread at a time and closed when done.
"""

from __future__ import annotations

import secrets
from pathlib import Path

from workbench.domain.problem import Problem, Severity
from workbench.domain.project import FORMAT, Project, is_id
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings
from workbench.store import layout, loading, migrations, saving
from workbench.store.backups import known_id, make_backup
from workbench.store.errors import NotSavedError, StoreError, stopped, system_words
from workbench.store.file_system import Kind, plain_path
from workbench.store.lock import take_lock
from workbench.store.parts import Listed
from workbench.store.project_folder import ProjectFolder
from workbench.store.reading import Damaged, FolderFiles, read_folder
from workbench.store.saving import SaveReport
from workbench.store.transaction import recover
from workbench.store.workplace import Workplace, here

__all__ = [
    "Opened",
    "ProjectFolder",
    "SaveReport",
    "create_project",
    "hand_back",
    "open_project",
    "reload_project",
    "save_project",
]


@dataclass(frozen=True, slots=True)
class Opened:
    """A project as it was found.

    Attributes
    ----------
    problems
        Everything that did not fit, notices included, in the order of the files.
    damaged
        The files that could not be read; they are never written over.
    read_only
        Why nothing may be saved here, as a sentence; empty when it may.
    completed_saves
        How many saves that a crash had interrupted were completed on opening.
    """

    project: Project
    folder: ProjectFolder
    problems: tuple[Problem, ...] = ()
    damaged: tuple[Damaged, ...] = ()
    read_only: str = ""
    completed_saves: int = 0


def open_project(path: Path, *, workplace: Workplace | None = None) -> Opened:
    """Open the project in a folder.

    Raises
    ------
    StoreError
        When it is no project folder, or names a format that never was.
    """
    place = workplace or here()
    root = plain_path(path)
    folder = ProjectFolder(root, place)
    try:
        return _opened(folder)
    except BaseException:
        folder.close()
        raise


def _opened(folder: ProjectFolder) -> Opened:
    files, root = folder.files, folder.root
    recovered = _make_writable(folder)
    found = read_folder(files, root)
    _migrate(folder, found)
    name = root.rpartition("/")[2]
    loaded = loading.load(found, name)
    for id_, candidate in loaded.project.boats.items():
        loading.report_missing_photos(found, candidate, folder.names_in(id_, layout.PHOTOS))
    folder.remember(found, loaded.project, Listed(loaded.listed, _absent(loaded)))
    if layout.PROJECT in folder.damaged and not folder.read_only:
        folder.mendable = True
        folder.project_id = known_id(folder.workplace, root)
        folder.read_only = (
            f"{layout.PROJECT} is damaged. The boats are shown with settings that are assumed, and "
            "nothing can be saved until it is put right."
        )
    problems = (*recovered, *found.problems)
    if folder.read_only:
        problems = (Problem(name, folder.read_only, "", Severity.NOTICE), *problems)
    return Opened(
        loaded.project,
        folder,
        problems,
        tuple(found.damaged),
        folder.read_only,
        folder.completed_saves,
    )


def _absent(loaded: loading.Loaded) -> frozenset[str]:
    return frozenset(loaded.listed) - frozenset(loaded.project.boats)


def _make_writable(folder: ProjectFolder) -> tuple[Problem, ...]:
    """Take the lock and end interrupted saves; otherwise note why the folder is read-only."""
    files, root = folder.files, folder.root
    facts = files.facts(root)
    if facts is None or facts.kind is not Kind.FOLDER:
        return ()
    if not files.may_write(root):
        folder.read_only = "The folder cannot be written to. Save a copy elsewhere to work on it."
        return ()
    if folder.lock is None:
        folder.lock, holder = take_lock(folder.workplace, root)
        folder.read_only = holder
    if folder.lock is None:
        return ()
    notices = () if folder.lock.real else (_without_lock(folder),)
    recovery = recover(files, root, folder.workplace.known_token())
    folder.completed_saves = recovery.completed
    if recovery.blocked:
        folder.mendable = True
        folder.read_only = (
            "An interrupted save cannot be completed. Set it aside or restore a backup; until then "
            "nothing can be saved here."
        )
    return (*notices, *recovery.problems)


def _without_lock(folder: ProjectFolder) -> Problem:
    return Problem(
        folder.name,
        "No lock can be taken for this search, so another window could write to it too.",
        "Keep it open in one window only.",
        Severity.NOTICE,
    )


def _migrate(folder: ProjectFolder, found: FolderFiles) -> None:
    """Bring the plain data up to date in memory; what is too new is only looked at."""
    if layout.PROJECT not in found.plain:
        return
    version = migrations.version_of(found.plain[layout.PROJECT])
    if migrations.is_too_new(version):
        folder.read_only = (
            f"This search was last saved by a newer version of the program (format {version[0]}."
            f"{version[1]}). It is shown as far as this version understands it and cannot be "
            "saved. Update the program to work on it."
        )
        return
    found.plain, folder.to_write = migrations.migrated(found.plain)


def reload_project(folder: ProjectFolder) -> Opened:
    """Read the folder again under the lock that is held; what was changed outside is then known.

    Raises
    ------
    StoreError
        When it is no project folder any more.
    """
    lock, folder.lock = folder.lock, None
    fresh = ProjectFolder(folder.root, folder.workplace, lock=lock)
    try:
        opened = _opened(fresh)
    except BaseException:
        folder.lock, fresh.lock = fresh.lock, None
        raise
    folder.read_only = "The folder was read again since."
    return opened


def hand_back(folder: ProjectFolder, opened: Opened) -> None:
    """Go on with `folder` after it was read again, because nothing of `opened` was taken over."""
    folder.lock, opened.folder.lock = opened.folder.lock, None
    folder.read_only, folder.mendable = "", False


def create_project(
    path: Path,
    name: str,
    settings: Settings | None = None,
    *,
    project_id: str = "",
    workplace: Workplace | None = None,
) -> Opened:
    """Make a new project in a folder that does not exist yet or is empty.

    Raises
    ------
    StoreError
        When something is there already, or the folder cannot be made.
    """
    assert not project_id or is_id(project_id)  # noqa: S101 - a mistake of the caller
    folder = new_folder(path, workplace or here())
    project = Project(
        project_id or secrets.token_hex(8), name, settings or Settings(), format=FORMAT
    )
    try:
        save_project(folder, project, None)
    except BaseException:
        folder.close()
        raise
    return Opened(project, folder, _long_parent(folder))


def _long_parent(folder: ProjectFolder) -> tuple[Problem, ...]:
    if len(folder.root) <= layout.LONGEST_PARENT:
        return ()
    return (
        Problem(
            folder.name,
            f"The path of this folder is longer than {layout.LONGEST_PARENT} characters.",
            "Move it nearer to the top of the disk before it is used on Windows.",
            Severity.NOTICE,
        ),
    )


def new_folder(path: Path, place: Workplace) -> ProjectFolder:
    """An empty folder, made when missing, locked for a first save.

    Raises
    ------
    StoreError
        When something is there already, or the folder cannot be made.
    """
    folder = ProjectFolder(plain_path(path), place)
    try:
        if place.files.facts(folder.root) is None:
            place.files.make_folder(folder.root)
            place.files.flush_folder(folder.root.rpartition("/")[0])
        _make_writable(folder)
        if folder.read_only:
            raise stopped(path.name, folder.read_only, "Choose another place.")
        if folder.lock is None or place.files.names(folder.root):
            raise stopped(path.name, "Something is there already.", "Choose an empty folder.")
    except OSError as error:
        message = f"The folder cannot be made: {system_words(error)}."
        raise stopped(path.name, message, "Choose another place.") from error
    except BaseException:
        folder.close()
        raise
    return folder


def save_project(
    folder: ProjectFolder,
    project: Project,
    saved: Project | None,
    *,
    overwrite: frozenset[str] = frozenset(),
) -> SaveReport:
    """Write the files whose record changed since `saved`, all of them or none.

    `overwrite` names files that may replace a version that was changed outside, after the user
    has chosen so.

    Raises
    ------
    NotSavedError
        When nothing was saved; the folder is as it was.
    """
    if folder.to_write and not folder.read_only:
        _keep_before_migration(folder)
    return saving.save(folder, project, saved, overwrite)


def _keep_before_migration(folder: ProjectFolder) -> None:
    """Back up the files in their old format, for good, before the first save in the new one."""
    try:
        make_backup(folder, for_good=True)
    except StoreError as error:
        raise NotSavedError(error.problems) from error
