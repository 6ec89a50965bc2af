"""On the real disk a killed process leaves the old files or the new ones (H1).

A child process saves and ends itself without a word at one step after another; nothing of it runs
any more, as after kill -9. The parent then opens the folder.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

import pytest

from tests.store.samples import renamed, sample_project
from workbench.store import layout
from workbench.store.file_system import RealFileSystem
from workbench.store.folder import create_project, open_project, save_project
from workbench.store.workplace import Workplace, here

STEPS = frozenset({"create", "write", "flush", "close", "rename", "unlink"})
STEPS |= {"make_folder", "remove_folder", "flush_folder"}
KILLED = 77


class Doomed(RealFileSystem):
    """The real file system of a process that ends at one of its steps."""

    def __init__(self, last: int) -> None:
        self.left = last

    def __getattribute__(self, name: str) -> Any:
        found = super().__getattribute__(name)
        if name in STEPS:
            self.left -= 1
            if self.left < 0:
                os._exit(KILLED)
        return found


def save_and_perhaps_die(path: Path, place: Workplace, last: int) -> int:
    """Save in a child that ends at a step; how it ended."""
    child = os.fork()
    if child == 0:
        doomed = Workplace(Doomed(last), place.own)
        opened = open_project(path, workplace=doomed)
        changed = renamed(renamed(opened.project, "boat-0", "New"), "boat-1", "New too")
        save_project(opened.folder, changed, opened.project)
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def text_files(path: Path) -> dict[str, bytes]:
    """The files that a save replaces."""
    found = {
        file.relative_to(path).as_posix(): file.read_bytes()
        for file in path.rglob("*")
        if file.is_file()
    }
    return {name: data for name, data in found.items() if layout.is_ours(name)}


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot copy a process")
@pytest.mark.filterwarnings("ignore:.*multi-threaded.*:DeprecationWarning")
def test_a_process_killed_at_any_step_leaves_the_old_files_or_the_new_ones(tmp_path: Path) -> None:
    place = here()
    start = tmp_path / "start"
    opened = create_project(start, "Northern search", project_id="0f1e2d3c4b5a6978")
    save_project(opened.folder, sample_project(), opened.project)
    opened.folder.close()
    old = text_files(start)
    seen: list[dict[str, bytes]] = []
    for last in range(200):
        path = tmp_path / f"run-{last}"
        shutil.copytree(start, path)
        ended = save_and_perhaps_die(path, place, last)

        again = open_project(path, workplace=place)
        again.folder.close()

        assert again.read_only == ""
        assert not [name for name in os.listdir(path) if name.startswith(".tx-")]
        seen.append(text_files(path))
        assert ended in (0, KILLED)
        if ended == 0:
            break
    else:
        pytest.fail("the save never ended")

    new = seen[-1]
    assert new != old
    assert len(seen) > 15
    assert [files for files in seen if files not in (old, new)] == []
    # Once new, it is never old again: there is one commit point.
    assert seen == [old] * seen.index(new) + [new] * (len(seen) - seen.index(new))
