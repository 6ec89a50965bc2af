"""A long sitting leaves nothing behind, and ten times the load is slower and never wrong (L8, L9).

The ordinary suite saves a few hundred times; for a night:

    HARDSTAND_SITTINGS=5000 python -m pytest tests/store/test_soak.py
    python -m pytest -m nightly tests/store/test_soak.py
"""

from __future__ import annotations

import dataclasses
import gc
import os
import sys
import threading
from decimal import Decimal
from pathlib import Path

import pytest

from tests.store.samples import renamed, sample_project
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.ledger import Ledger, OwnLine
from workbench.domain.project import Candidate
from workbench.domain.span import Span
from workbench.store.autosave import keep_autosave, settle_autosaves
from workbench.store.backups import DAYS, LAST, list_backups, make_backup
from workbench.store.folder import create_project, open_project, save_project

SITTINGS = int(os.environ.get("HARDSTAND_SITTINGS", "200"))
GROWTH = 50 * 2**20
BOATS, LINES = 2_000, 100


def open_files() -> int:
    """How many files this process holds open."""
    return len(os.listdir("/proc/self/fd"))


def memory() -> int:
    """What this process holds in memory [bytes]."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux lists open files so")
def test_a_long_sitting_leaves_no_handle_no_thread_and_no_file_behind(tmp_path: Path) -> None:
    """L8: edit, keep, save, back up, take back, save, over and over."""
    opened = create_project(tmp_path / "search", "Search")
    first = saved = dataclasses.replace(sample_project(), id=opened.project.id)
    save_project(opened.folder, saved, opened.project)
    at_first: tuple[int, int, int] = (0, 0, 0)
    for number in range(SITTINGS):
        changed = renamed(saved, "boat-1", f"Name {number}")
        keep_autosave(opened.folder, changed, saved)
        assert save_project(opened.folder, changed, saved).complete
        settle_autosaves(opened.folder)
        make_backup(opened.folder)
        assert save_project(opened.folder, first, changed).complete
        saved = first
        if number == SITTINGS // 10:
            gc.collect()
            at_first = (open_files(), threading.active_count(), memory())

    gc.collect()
    assert (open_files(), threading.active_count()) == at_first[:2]
    assert memory() - at_first[2] <= GROWTH
    assert len(list_backups(opened.folder.workplace, saved.id)) <= LAST + DAYS
    left = [path.name for path in tmp_path.rglob("*") if ".tx-" in path.name or ".tmp" in path.name]
    own = Path(opened.folder.workplace.own)
    assert left + [path.name for path in own.rglob("*.tmp")] == []
    opened.folder.close()


@pytest.mark.nightly
def test_ten_times_the_load_is_saved_and_read_to_the_cent(tmp_path: Path) -> None:
    """L9, B86: 2,000 boats with 200,000 lines of their own; every cent is there again."""
    lines = tuple(
        OwnLine(f"job-{n}", f"Job {n}", Span(Decimal("0.01"), Decimal(n) / 100, Decimal(1_000_000)))
        for n in range(1, LINES + 1)
    )
    boats = FrozenMap(
        (f"boat-{n}", Candidate(Boat(f"boat-{n}", f"Boat {n}"), ledger=Ledger(own_lines=lines)))
        for n in range(BOATS)
    )
    opened = create_project(tmp_path / "search", "Ten times")
    large = dataclasses.replace(opened.project, boats=boats)
    assert save_project(opened.folder, large, opened.project).complete
    opened.folder.close()

    again = open_project(tmp_path / "search")
    again.folder.close()

    assert again.problems == ()
    assert again.project == large
    total = sum(
        (line.cost.likely for one in again.project.boats.values() for line in one.ledger.own_lines),
        Decimal(0),
    )
    assert total == Decimal(LINES * (LINES + 1) // 2 * BOATS) / 100
