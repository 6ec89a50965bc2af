"""What a person may do about a damaged project folder; nothing here happens without their word.

    set_aside(folder, path) -> the new name              raises StoreError
    set_interrupted_aside(folder) -> the new names       raises StoreError
    save_copy(project, target, source=folder) -> Opened  raises StoreError

A damaged file is renamed, never changed. An interrupted save that does not fit its journal is kept
beside the project under a name that nothing reads.
"""

from __future__ import annotations

import secrets
from dataclasses import replace
from pathlib import Path

from workbench.domain.problem import Problem, Severity
from workbench.domain.project import Project
from workbench.store import layout
from workbench.store.attachments import LARGEST
from workbench.store.errors import stopped, system_words
from workbench.store.folder import Opened, new_folder, save_project
from workbench.store.project_folder import ProjectFolder
from workbench.store.transaction import PREFIX, interrupted, place_file
from workbench.store.workplace import Workplace, here, stamp_of


def set_aside(folder: ProjectFolder, path: str) -> str:
    """Rename a damaged file so that a fresh one can be saved; answer its new path.

    Raises
    ------
    StoreError
        When it is not damaged, or cannot be renamed.
    """
    if path not in folder.damaged or (folder.read_only and not folder.mendable):
        raise stopped(path, "It cannot be set aside.", "Save a copy of the search elsewhere.")
    name = layout.beside(path, "damaged", stamp_of(folder.workplace.now()))
    try:
        folder.files.rename(f"{folder.root}/{path}", f"{folder.root}/{name}")
        folder.files.flush_folder(f"{folder.root}/{name}".rpartition("/")[0])
    except OSError as error:
        message = f"It cannot be renamed: {system_words(error)}."
        raise stopped(path, message, "Close what holds it.") from error
    folder.damaged.discard(path)
    folder.known.pop(path, None)
    return name


def set_interrupted_aside(folder: ProjectFolder) -> tuple[str, ...]:
    """Rename the interrupted saves of this installation that cannot be completed.

    Raises
    ------
    StoreError
        When one cannot be renamed.
    """
    stamp = stamp_of(folder.workplace.now())
    mark = f"{PREFIX}{folder.workplace.known_token()}-"
    names: list[str] = []
    try:
        for number, old in enumerate(interrupted(folder.files, folder.root)):
            if folder.mendable and old.startswith(mark):
                name = f"interrupted save ({stamp}-{number})"
                folder.files.rename(f"{folder.root}/{old}", f"{folder.root}/{name}")
                names.append(name)
        folder.files.flush_folder(folder.root)
    except OSError as error:
        message = f"It cannot be renamed: {system_words(error)}."
        raise stopped(folder.name, message, "Close what holds it.") from error
    return tuple(names)


def save_copy(
    project: Project,
    target: Path,
    *,
    source: ProjectFolder | None = None,
    project_id: str = "",
    workplace: Workplace | None = None,
) -> Opened:
    """Save a project as a new one in another folder, with the photos and documents of `source`.

    The copy gets an id of its own, a random one when none is given. Files that are missing are told
    and left out.

    Raises
    ------
    StoreError
        When the folder is taken, or something could not be written; what was copied then stays.
    """
    place = workplace or (source.workplace if source else None)
    folder = new_folder(target, place or here())
    copy = replace(project, id=project_id or secrets.token_hex(8))
    problems: list[Problem] = []
    try:
        for boat in project.boats if source else ():
            problems += _copy_attachments(source, folder, boat) if source else []
        save_project(folder, copy, None)
    except BaseException:
        folder.close()
        raise
    return Opened(copy, folder, tuple(problems))


def _copy_attachments(source: ProjectFolder, target: ProjectFolder, boat: str) -> list[Problem]:
    problems: list[Problem] = []
    for kind in (layout.PHOTOS, layout.DOCUMENTS):
        for name in sorted(source.names_in(boat, kind)):
            path = layout.boat_path(boat, f"{kind}/{name}")
            try:
                data = source.files.read(f"{source.root}/{path}", LARGEST)
            except OSError as error:
                message = f"It was not copied: {system_words(error)}."
                problems.append(Problem(path, message, "Copy it by hand.", Severity.PROBLEM, boat))
                continue
            place_file(target.files, target.root, target.workplace.token(), path, data)
    return problems
