"""What was handed out: dated files in `exports/`, never overwritten, with names any system takes.

export_name("Offer for Sea Otter", day, "pdf") -> "2026-05-31 Offer for Sea Otter.pdf"
place_export(folder, name, data) -> full path       raises StoreError
"""

from __future__ import annotations

import re
from datetime import date

from workbench.store import layout
from workbench.store.errors import stopped, system_words
from workbench.store.layout import LONGEST_PATH
from workbench.store.project_folder import ProjectFolder
from workbench.store.transaction import place_file

LONGEST_NAME_BYTES = LONGEST_PATH - len(f"{layout.EXPORTS}/")
_REFUSED = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f\u202a-\u202e\u2066-\u2069\ud800-\udfff]')
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?", re.IGNORECASE)


def plain_name(text: str) -> str:
    """A file name from what a person typed, without what some system refuses.

    The signs, endings and device names are those that the naming rules of Windows list.
    """
    name = " ".join(_REFUSED.sub(" ", text).split()).strip(" .")
    if _DEVICE.fullmatch(name):
        name = f"_{name}"
    return _shortened(name, LONGEST_NAME_BYTES).strip(" .") or "export"


def export_name(title: str, day: date, ending: str) -> str:
    """The name of a file that is handed out: its day, its title, its ending."""
    start = f"{day.isoformat()} "
    room = LONGEST_NAME_BYTES - len(start) - len(ending) - 5
    return f"{start}{_shortened(plain_name(title), room).strip(' .')}.{ending}"


def place_export(folder: ProjectFolder, name: str, data: bytes) -> str:
    """Put a finished export in its place; a second one of a name gets a number.

    Raises
    ------
    StoreError
        When it could not be written; nothing of it is left.
    """
    if folder.read_only:
        raise stopped(folder.name, folder.read_only, "Export to another folder.")
    stem, _, ending = plain_name(name).rpartition(".")
    for number in range(1, 1000):
        again = f" {number}" if number > 1 else ""
        path = f"{layout.EXPORTS}/{stem}{again}.{ending}"
        if folder.files.facts(f"{folder.root}/{path}") is None:
            break
    try:
        token = folder.workplace.token()
    except OSError as error:
        message = f"It was not written: {system_words(error)}."
        raise stopped("application data", message, "Make room there.") from error
    place_file(folder.files, folder.root, token, path, data)
    return f"{folder.root}/{path}"


def _shortened(text: str, most_bytes: int) -> str:
    return text.encode("utf-8")[:most_bytes].decode("utf-8", errors="ignore")
