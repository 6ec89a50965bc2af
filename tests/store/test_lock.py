"""One window writes; a dead one holds nothing; a garbled lock file blocks nobody (C1 to C3)."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.store.samples import renamed, sample_project
from workbench import paths
from workbench.store.errors import NotSavedError
from workbench.store.folder import create_project, open_project, save_project
from workbench.store.workplace import here

HOLDER = """
import sys, time
from pathlib import Path
from workbench.store.folder import open_project
opened = open_project(Path(sys.argv[1]))
print(opened.read_only or "writing", flush=True)
sys.stdin.read()
"""

RACER = """
import sys
from pathlib import Path
from workbench.store.folder import open_project, save_project
from tests.store.samples import renamed
held = 0
for number in range(int(sys.argv[2])):
    opened = open_project(Path(sys.argv[1]))
    if not opened.read_only:
        held += 1
        changed = opened.project
        for id_ in ("boat-0", "boat-1", "boat-2"):
            changed = renamed(changed, id_, f"{sys.argv[3]} {number}")
        assert save_project(opened.folder, changed, opened.project).complete
    opened.folder.close()
print(held)
"""


@pytest.fixture
def search(tmp_path: Path) -> Path:
    """A folder on the real disk with the sample in it, open in no window."""
    path = tmp_path / "search"
    opened = create_project(path, "Northern search", project_id="0f1e2d3c4b5a6978")
    save_project(opened.folder, sample_project(), opened.project)
    opened.folder.close()
    return path


def window(path: Path) -> subprocess.Popen[str]:
    """Another process that has opened the folder."""
    child = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "writing\n"
    return child


def end(child: subprocess.Popen[str]) -> None:
    """Kill it and clean up after it."""
    child.kill()
    child.communicate()


def test_a_second_window_may_look_and_is_told_who_writes(search: Path) -> None:
    """C1."""
    child = window(search)
    try:
        opened = open_project(search)
        assert opened.project == sample_project()
        assert str(child.pid) in opened.read_only
        with pytest.raises(NotSavedError):
            save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)
    finally:
        end(child)


def test_two_windows_of_one_process_are_told_apart(search: Path) -> None:
    first = open_project(search)
    second = open_project(search)
    first.folder.close()
    third = open_project(search)

    assert first.read_only == ""
    assert second.read_only != ""
    assert third.read_only == ""
    third.folder.close()


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system kills otherwise")
def test_a_killed_window_frees_the_folder_at_once(search: Path) -> None:
    """C1."""
    for _ in range(3):
        child = window(search)
        child.send_signal(signal.SIGKILL)
        child.wait()

        opened = open_project(search)
        assert opened.read_only == ""
        opened.folder.close()
        end(child)


@pytest.mark.parametrize("garbage", [b"", b"\0" * 400, b"\xff\xfe\x1b[2J" * 50, b"host user 1"])
def test_a_garbled_lock_file_blocks_nobody(search: Path, garbage: bytes) -> None:
    """C3."""
    (lock,) = (paths.data_folder() / "locks").iterdir()
    lock.write_bytes(garbage)

    opened = open_project(search)

    assert opened.read_only == ""
    opened.folder.close()


def test_what_a_garbled_lock_file_says_is_shown_without_its_signs(search: Path) -> None:
    holder = open_project(search)
    (lock,) = (paths.data_folder() / "locks").iterdir()
    lock.write_bytes(b"\x1b[2Jprocess 5\0\xff")

    opened = open_project(search)

    assert "([2Jprocess 5)" in opened.read_only
    holder.folder.close()


def test_the_lock_leaves_nothing_in_the_project_folder(search: Path) -> None:
    """C1, S7."""
    opened = open_project(search)
    names = {path.name for path in search.iterdir()}
    opened.folder.close()

    assert names == {"project.json", "boats", "comparables.json"}


def test_where_there_is_no_place_for_locks_work_goes_on(
    search: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """C2: the comparison before each save still holds."""
    place = here()
    blocked = tmp_path / "a file"
    blocked.write_bytes(b"")
    place.own = f"{blocked.as_posix()}/data"

    opened = open_project(search, workplace=place)

    assert opened.read_only == ""
    assert "one window only" in opened.problems[0].remedy


def test_two_writers_in_a_race_leave_no_mixture(search: Path) -> None:
    """C2; HARDSTAND_RACES=1000 for a night."""
    count = int(os.environ.get("HARDSTAND_RACES", "40"))
    racers = [
        subprocess.Popen(
            [sys.executable, "-c", RACER, str(search), str(count), name], stdout=subprocess.PIPE
        )
        for name in ("left", "right")
    ]
    held = [int(racer.communicate()[0]) for racer in racers]

    opened = open_project(search)
    names = {candidate.boat.name for candidate in opened.project.boats.values()}
    opened.folder.close()

    assert [racer.returncode for racer in racers] == [0, 0]
    assert sum(held) > 0
    assert len(names) == 1
