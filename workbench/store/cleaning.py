"""Attachments that nothing names any more, moved to the project's `trash/` when the user says so.

    unused_attachments(folder, projects) -> paths          raises StoreError
    move_to_trash(folder, paths) -> how many               raises StoreError

`projects` are all the values that could come back: the current one and those of the undo stack.
What a backup names is spared too, because restoring it would bring the reference back. Nothing is
deleted; a person may empty `trash/` in the file manager.
"""

from __future__ import annotations

from collections.abc import Iterable

from workbench.domain.project import Project
from workbench.store import layout
from workbench.store.backups import list_backups, read_backup
from workbench.store.errors import StoreError, stopped, system_words
from workbench.store.file_system import Kind
from workbench.store.project_folder import ProjectFolder


def unused_attachments(folder: ProjectFolder, projects: Iterable[Project]) -> tuple[str, ...]:
    """The photos and documents that no project value and no backup names."""
    named = _named_in_backups(folder)
    for project in projects:
        for candidate in project.boats.values():
            named.update(photo.file for photo in candidate.inspection.photos.values())
            named.update(quote.document for quote in candidate.ledger.quotes)
            named.update((candidate.boat.listing, candidate.boat.portrait))
    return tuple(
        path for path in _attachments(folder) if not _is_named(path.rpartition("/")[2], named)
    )


def move_to_trash(folder: ProjectFolder, paths: Iterable[str]) -> int:
    """Move attachments below `trash/`, keeping their paths; answer how many.

    Raises
    ------
    StoreError
        When one cannot be moved; those before it are in the trash.
    """
    if folder.read_only:
        raise stopped(folder.name, folder.read_only, "Work on a copy.")
    count = 0
    for path in paths:
        target = f"{folder.root}/{layout.TRASH}/{path}"
        try:
            _make_folders(folder, target)
            folder.files.rename(f"{folder.root}/{path}", target)
            folder.files.flush_folder(target.rpartition("/")[0])
        except OSError as error:
            message = f"It cannot be moved: {system_words(error)}."
            raise stopped(path, message, "Free it and try again.") from error
        count += 1
    return count


def _named_in_backups(folder: ProjectFolder) -> set[str]:
    """All text of all backups; a name that occurs anywhere in it is spared."""
    texts: set[str] = set()
    for backup in list_backups(folder.workplace, folder.project_id):
        try:
            contents = read_backup(folder.workplace, backup)
        except StoreError:
            continue  # it cannot be restored either
        texts.update(data.decode("utf-8", errors="replace") for data in contents.values())
    return texts


def _is_named(name: str, named: set[str]) -> bool:
    return any(name in text for text in named)


def _attachments(folder: ProjectFolder) -> list[str]:
    boats = f"{folder.root}/{layout.BOATS}"
    facts = folder.files.facts(boats)
    if facts is None or facts.kind is not Kind.FOLDER:
        return []
    return [
        layout.boat_path(boat, f"{kind}/{name}")
        for boat in folder.files.names(boats)
        for kind in (layout.PHOTOS, layout.DOCUMENTS)
        for name in sorted(folder.names_in(boat, kind))
    ]


def _make_folders(folder: ProjectFolder, target: str) -> None:
    parts = target.removeprefix(f"{folder.root}/").split("/")[:-1]
    for count in range(1, len(parts) + 1):
        above = "/".join((folder.root, *parts[:count]))
        if folder.files.facts(above) is None:
            folder.files.make_folder(above)
        folder.files.flush_folder(above.rpartition("/")[0])
