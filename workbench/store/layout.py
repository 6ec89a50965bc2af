"""Which file of a project folder holds what, and which names are none of ours.

    my search/project.json
    my search/boats/<boat-id>/{boat,inspection,ledger}.json, photos/, documents/
    my search/comparables.json
    my search/overrides/prices.json, overrides/checks/*.toml
    my search/exports/

Names are relative to the project folder and written with `/`. Boat ids are folder names, so they
are held to lower-case letters, digits and hyphens; what a person types is never a file name.
"""

from __future__ import annotations

import re
import unicodedata

from workbench.domain.project import is_id

PROJECT = "project.json"
COMPARABLES = "comparables.json"
BOATS = "boats"
OVERRIDES = "overrides"
PRICES = "overrides/prices.json"
CHECKS = "overrides/checks"
EXPORTS = "exports"
PHOTOS = "photos"
DOCUMENTS = "documents"
TRASH = "trash"
BOAT_FILES = ("boat.json", "inspection.json", "ledger.json")
KNOWN_IN_ROOT = frozenset({PROJECT, COMPARABLES, BOATS, OVERRIDES, EXPORTS, TRASH})

LONGEST_PATH = 100
"""No path below the project folder is longer, so that a parent of `LONGEST_PARENT` fits Windows."""
LONGEST_PARENT = 150
_CHECK_FILE = re.compile(r"[a-z0-9][a-z0-9-]{0,39}\.toml")
_CONFLICT = re.compile(
    r"""
      \.sync-conflict-\d{8}-\d{6}
    | \ \([^()]*conflicted\ copy\ \d{4}-\d{2}-\d{2}[^()]*\)
    | _conflict-\d{8}-\d{6}
    | \ \((?:mine|damaged)\ \d{8}T\d{6}Z\)
    """,
    re.VERBOSE,
)


def boat_path(boat: str, name: str) -> str:
    """The path of one of a boat's files."""
    return f"{BOATS}/{boat}/{name}"


def check_path(name: str) -> str:
    """The path of one of the buyer's own check files."""
    return f"{CHECKS}/{name}"


def boat_of(path: str) -> str:
    """The boat a path belongs to; empty for none."""
    parts = path.split("/")
    return parts[1] if len(parts) > 2 and parts[0] == BOATS else ""


def is_check_file(name: str) -> bool:
    """Whether `name` can be that of a file of the buyer's own checks."""
    return bool(_CHECK_FILE.fullmatch(name))


def is_conflict_copy(name: str) -> bool:
    """Whether a sync tool, or this program, put a second version of a file here by this name."""
    return bool(_CONFLICT.search(name))


def folded(name: str) -> str:
    """A name as a file system that minds neither case nor accents' spelling sees it."""
    return unicodedata.normalize("NFC", name).casefold()


def beside(path: str, word: str, stamp: str) -> str:
    """The name for a second version of a file: `mine` beside a changed one, or one `damaged`."""
    stem, dot, ending = path.rpartition(".")
    return f"{stem} ({word} {stamp}){dot}{ending}"


def is_ours(path: str) -> bool:
    """Whether `path` is that of a text file this program writes; every other path is refused."""
    if path in (PROJECT, COMPARABLES, PRICES):
        return True
    parts = path.split("/")
    if len(parts) != 3:
        return False
    if path.startswith(f"{CHECKS}/"):
        return is_check_file(parts[2])
    return parts[0] == BOATS and is_id(parts[1]) and parts[2] in BOAT_FILES
