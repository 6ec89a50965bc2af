"""The rows that the window last showed, so that they stand there again at once.

Figures take a second to make anew, and are the same bit for bit as long as project, catalogue and
program are the same. So the rows of list, tree and ledger, and the totals, are kept in the cache
folder when the window closes, with the marks of all that they rest on. When the same search is
opened and every mark is the same, they are what the figures will say, and are shown until the
figures say it. Anything else, and the window waits for the figures as at the first time.
"""

from __future__ import annotations

import contextlib
import dataclasses
import json
import os
import zlib
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale

import workbench
from workbench.domain.packing import pack, unpack
from workbench.domain.record import dataclass
from workbench.paths import cache_folder, resources_root
from workbench.window.models.boat_list import BoatCard, BoatListModel
from workbench.window.models.inspection_tree import InspectionTreeModel
from workbench.window.models.ledger_tree import LedgerTreeModel
from workbench.window.models.totals import progress_words, totals_of
from workbench.window.models.two_levels import Group
from workbench.window.texts import tr
from workbench.window.widgets.totals_bar import TotalsFigure

if TYPE_CHECKING:
    from workbench.window.session import Session

NAME = "last-shown.json"
_CODE = ("domain", "catalogue", "figures", "window", "window/models")
_TABLES = (
    *("catalogue", "catalogue/checks", "prices", "prices/items"),
    *("translations", "translations/de"),
)
Marks = dict[str, object]


@dataclass(frozen=True, slots=True)
class LastShown:
    """What stood on the Boats page.

    Attributes
    ----------
    boat_id
        Whose tree, ledger and totals these are.
    cards
        Every boat's card.
    maximum
        The end of the scale that all cost bars share.
    progress
        How much of her was looked at, in words.
    """

    boat_id: str
    cards: tuple[BoatCard, ...]
    maximum: float
    progress: str
    tree: tuple[Group, ...]
    ledger: tuple[Group, ...]
    totals: tuple[TotalsFigure, ...]


def shown_now(session: Session) -> LastShown | None:
    """What the page shows, unfiltered; None while figures are on their way."""
    figures = session.boat
    if figures is None or session.assessment is None:
        return None
    if session.assessment.project is not session.project:
        return None
    boats = BoatListModel(session)
    return LastShown(
        session.boat_id,
        tuple(boats.cards),
        boats.maximum,
        progress_words(figures.coverage),
        tuple(_unlit(group) for group in InspectionTreeModel(session).groups),
        tuple(_unlit(group) for group in LedgerTreeModel(session).groups),
        tuple(totals_of(figures)),
    )


def _unlit(group: Group) -> Group:
    """The group without the light on what belongs to the check that was looked at."""
    entries = tuple(
        dataclasses.replace(entry, parts=dataclasses.replace(entry.parts, lit=False))
        if entry.parts.lit
        else entry
        for entry in group.entries
    )
    return dataclasses.replace(group, entries=entries)


def marks_of(session: Session) -> Marks:
    """All that the rows rest on: the search's files by their sums, the program's by their times."""
    package, resources = Path(workbench.__file__).resolve().parent, resources_root()
    folders = [package / name for name in _CODE] + [resources / name for name in _TABLES]
    program = sorted(
        f"{entry.name} {entry.stat().st_size} {entry.stat().st_mtime_ns}"
        for folder in folders
        if folder.is_dir()  # a frozen program has no source files; its version says it all
        for entry in os.scandir(folder)
        if entry.is_file()
    )
    return {
        "version": workbench.__version__,
        "program": zlib.crc32("\n".join(program).encode()),
        "place": str(session.place),
        "files": {path: known.sha256 for path, known in session.folder.known.items()},
        "language": f"{QLocale().name()} {tr('Ledger')}",
    }


def read_last_shown(marks: Marks) -> LastShown | None:
    """The rows that rest on exactly these marks; None when there are none whole."""
    try:
        text = (cache_folder() / NAME).read_bytes()
        head, _, body = text.partition(b"\n")
        if json.loads(head) != {"marks": marks, "sum": zlib.crc32(body)}:
            return None
        return unpack(LastShown, json.loads(body))
    except (OSError, ValueError):  # unreadable, not JSON, not such rows
        return None


def keep_last_shown(shown: LastShown, marks: Marks) -> None:
    """Keep the rows for the next time; a folder that cannot be written is left as it is."""
    body = json.dumps(pack(shown), ensure_ascii=False, separators=(",", ":")).encode()
    head = json.dumps({"marks": marks, "sum": zlib.crc32(body)}).encode()
    with contextlib.suppress(OSError):
        cache_folder().mkdir(parents=True, exist_ok=True)
        # A half-written file is found by its sum and is as good as none.
        flags = os.O_WRONLY | os.O_CREAT | os.O_TRUNC
        with os.fdopen(os.open(cache_folder() / NAME, flags, 0o600), "wb") as file:
            file.write(head + b"\n" + body)
