"""Saves on a real disk that is full, read-only or gone (H5), where a process may mount one."""

from __future__ import annotations

import functools
import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.rules.source_files import ROOT


@functools.cache
def why_not() -> str:
    """Why no disk can be mounted here; empty where one can."""
    if not sys.platform.startswith("linux") or shutil.which("unshare") is None:
        return "this system lets no ordinary process mount a disk of its own"
    tried = subprocess.run(
        ["unshare", "-rm", "sh", "-c", "mount -t tmpfs -o size=64k tmpfs /mnt && umount /mnt"],
        capture_output=True,
        text=True,
        check=False,
    )
    return "" if tried.returncode == 0 else f"no disk can be mounted here: {tried.stderr.strip()}"


def seen_on(kind: str, folder: Path) -> tuple[dict[str, str], list[dict[str, Any]]]:
    """The files before, and what was seen of each save."""
    if why_not():
        pytest.skip(why_not())
    done = subprocess.run(
        ["unshare", "-rm", sys.executable, "-m", "tests.store.on_a_mount", kind, str(folder)],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    return told["old"], told["seen"]


@pytest.mark.parametrize("kind", ["size", "inodes"])
def test_a_disk_that_fills_at_any_step_of_a_save_holds_the_old_files_or_the_new(
    tmp_path: Path, kind: str
) -> None:
    """Room grows by a page, or by one file, until the save has all that it needs."""
    old, seen = seen_on(kind, tmp_path)
    new = seen[-1]["files"]

    assert new != old
    assert not any(".tx-" in name for name in new)
    # Both ends were met: no room at all, and enough.
    assert not seen[0]["reported"]
    assert seen[-1]["reported"]
    assert len(seen) > 3
    for one in seen:
        assert one["files"] == (new if one["reported"] else old)
        assert one["litter"] == []


def test_a_disk_turned_read_only_keeps_the_old_files_and_a_later_save_succeeds(
    tmp_path: Path,
) -> None:
    """C8 too: the search opens to be looked at, and says why nothing can be saved."""
    old, (refused, saved) = seen_on("read-only", tmp_path)

    assert not refused["reported"]
    assert refused["files"] == old
    assert refused["read_only"] != ""
    assert saved["reported"]
    assert saved["files"] != old


def test_a_disk_that_was_taken_away_is_told_and_nothing_is_made_in_its_place(
    tmp_path: Path,
) -> None:
    """C9: the folder is not made again at the old path."""
    _, (lost,) = seen_on("vanished", tmp_path)

    assert not lost["reported"]
    assert not lost["made"]
