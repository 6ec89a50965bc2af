"""A whole new folder put in its place at once: every file of it, or nothing.

    place_folder(target, files_of_it) -> None       raises StoreError

The files are written and flushed below a hidden folder beside the target; the folder is then
renamed. So a stop, a fault or a full disk leaves nothing at the target, and nobody ever sees half
of it. Nothing that is there already is touched.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable
from pathlib import Path

from workbench.store import layout
from workbench.store.attachments import document_type, photo_type
from workbench.store.errors import stopped, system_words
from workbench.store.file_system import FileSystem, Kind, plain_path
from workbench.store.transaction import write_file
from workbench.store.workplace import Workplace, here

STAGED = ".unpacking-"
_CHOOSE = "Choose an empty folder, or a name that is not taken."


def place_folder(
    target: Path, members: Iterable[tuple[str, bytes]], workplace: Workplace | None = None
) -> None:
    """Write files, by their paths below the target, into a folder that is new or empty.

    Paths are the caller's to check. `members` may raise anything to stop it.

    Raises
    ------
    StoreError
        When something is there already, or could not be written; nothing of it is left.
    """
    files = (workplace or here()).files
    root = plain_path(target)
    above, _, name = root.rpartition("/")
    _require_free(files, root, name)
    staged = f"{above}/{STAGED}{secrets.token_hex(6)}"
    try:
        files.make_folder(staged)
        _write(files, staged, members)
        if files.facts(root) is not None:
            files.remove_folder(root)
        files.rename(staged, root)
    except OSError as error:
        _remove(files, staged)
        message = f"Nothing was unpacked: {system_words(error)}."
        raise stopped(name, message, "Make room there, or choose another place.") from error
    except BaseException:
        _remove(files, staged)
        raise
    try:
        files.flush_folder(above)
    except OSError:
        return  # it is there; only a power cut could take it back, and the archive would remain


def is_attachment(path: str, data: bytes) -> bool:
    """Whether the bytes are what their place below a boat says: a photo, or a document."""
    kind = path.split("/")[2]
    if kind == layout.PHOTOS:
        return bool(photo_type(data[:16]))
    return bool(document_type(data[:4096], path))


def _require_free(files: FileSystem, root: str, name: str) -> None:
    try:
        facts = files.facts(root)
        taken = facts is not None and (facts.kind is not Kind.FOLDER or bool(files.names(root)))
    except OSError as error:
        raise stopped(name, f"It cannot be looked at: {system_words(error)}.", _CHOOSE) from error
    if taken:
        raise stopped(name, "Something is there already.", _CHOOSE)


def _write(files: FileSystem, staged: str, members: Iterable[tuple[str, bytes]]) -> None:
    folders: dict[str, None] = {staged: None}
    for path, data in members:
        above = staged
        for part in path.split("/")[:-1]:
            above = f"{above}/{part}"
            if above not in folders:
                files.make_folder(above)
                folders[above] = None
        write_file(files, f"{staged}/{path}", data)
    for folder in reversed(folders):
        files.flush_folder(folder)


def _remove(files: FileSystem, place: str) -> None:
    """Remove what was staged; what will not go lies hidden and does no harm."""
    try:
        facts = files.facts(place)
        if facts is None:
            return
        if facts.kind is not Kind.FOLDER:
            files.unlink(place)
            return
        for name in files.names(place):
            _remove(files, f"{place}/{name}")
        files.remove_folder(place)
    except OSError:
        return
