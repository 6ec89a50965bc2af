"""Earlier saves: what each holds that is different now, and putting one, or a part of it, back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from workbench.domain.project import Project
from workbench.store import layout
from workbench.store.autosave import keep_autosave
from workbench.store.backups import Backup, list_backups, newest_with, read_backup, restore_backup
from workbench.store.folder import Opened, reload_project
from workbench.store.mending import set_aside
from workbench.store.parts import bytes_of, parts_of
from workbench.store.saving import ProjectFolder
from workbench.window.part_words import difference_lines, part_words

MOST_LINES = 200


@dataclass(frozen=True, slots=True)
class PartDifference:
    """One file that is different in an earlier save.

    Attributes
    ----------
    words
        What the file holds.
    lines
        Place, then, now; at most `MOST_LINES` of them.
    """

    path: str
    words: str
    lines: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class DamagedPart:
    """A file that cannot be read, and the newest save that holds it; None where none does."""

    path: str
    words: str
    backup: Backup | None


@dataclass(frozen=True, slots=True)
class Kept:
    """The earlier saves of a search, newest first, and its damaged files."""

    backups: tuple[Backup, ...]
    damaged: tuple[DamagedPart, ...]


def kept_of(folder: ProjectFolder, project: Project) -> Kept:
    """What was kept of a search, and what of its damage can be had back."""
    place, id_ = folder.workplace, folder.project_id or project.id
    damaged = tuple(
        DamagedPart(path, part_words(path, project), newest_with(place, id_, path))
        for path in sorted(folder.damaged)
    )
    return Kept(list_backups(place, id_), damaged)


def differing(
    folder: ProjectFolder, project: Project, backup: Backup
) -> tuple[PartDifference, ...]:
    """The files of a save that are different in the search as it is in the window.

    Raises
    ------
    StoreError
        When the save is damaged.
    """
    then = read_backup(folder.workplace, backup)
    now = {
        path: data
        for path, record in parts_of(project, folder.listed).items()
        if (data := bytes_of(record)) is not None
    }
    found = []
    for path in sorted({*then, *now} - folder.damaged):
        lines = _lines(path, then.get(path), now.get(path))
        if lines:
            found.append(PartDifference(path, part_words(path, project), lines[:MOST_LINES]))
    return tuple(found)


def _lines(path: str, then: bytes | None, now: bytes | None) -> tuple[tuple[str, str, str], ...]:
    if then == now:
        return ()
    if path.startswith(f"{layout.CHECKS}/") and then is not None and now is not None:
        return _text_lines(then, now)
    return difference_lines(then, now)


def _text_lines(then: bytes, now: bytes) -> tuple[tuple[str, str, str], ...]:
    """Lines of a text that are in one version alone."""
    one, other = (data.decode("utf-8", "replace").splitlines() for data in (then, now))
    gone = [(f"{n}", line, "–") for n, line in enumerate(one, 1) if line not in set(other)]
    new = [(f"{n}", "–", line) for n, line in enumerate(other, 1) if line not in set(one)]
    return (*gone, *new)


def put_back(
    folder: ProjectFolder,
    project: Project,
    saved: Project,
    backup: Backup,
    paths: Iterable[str] = (),
) -> Opened:
    """Restore a save, or only some of its files, and read the folder again.

    What is unsaved in the window is kept first, and what lies on the disk is backed up first, so
    nothing is lost by it.

    Raises
    ------
    StoreError
        When the save is damaged or nothing could be written.
    """
    keep_autosave(folder, project, saved)
    restore_backup(folder, backup, paths)
    return reload_project(folder)


def put_aside(folder: ProjectFolder, path: str) -> Opened:
    """Rename a damaged file, so that a fresh one can be saved, and read the folder again.

    Raises
    ------
    StoreError
        When it cannot be renamed.
    """
    set_aside(folder, path)
    return reload_project(folder)
