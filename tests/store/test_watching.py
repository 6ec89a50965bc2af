"""A change outside is noticed, told field by field, and read again (C4, C5, C14)."""

from __future__ import annotations

import pytest

from tests.store.memory_files import MemoryFiles
from tests.store.samples import ROOT, TARGET, memory_place, renamed, saved_sample
from workbench.store.errors import StoreError
from workbench.store.folder import Opened, open_project, reload_project, save_project
from workbench.store.watching import Difference, changed_outside, differences

BOAT = "boats/boat-1/boat.json"


@pytest.fixture
def opened() -> Opened:
    """The sample, opened for writing."""
    place = memory_place()
    saved_sample(place)
    return open_project(TARGET, workplace=place)


@pytest.fixture
def files(opened: Opened) -> MemoryFiles:
    """Its files."""
    found = opened.folder.files
    assert isinstance(found, MemoryFiles)
    return found


def test_nothing_changed_is_nothing_told(opened: Opened) -> None:
    assert changed_outside(opened.folder) == ()


def test_our_own_save_is_no_change_outside(opened: Opened) -> None:
    save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)

    assert changed_outside(opened.folder) == ()


def test_a_file_that_was_only_touched_is_no_change(opened: Opened, files: MemoryFiles) -> None:
    files.put(f"{ROOT}/{BOAT}", files.read(f"{ROOT}/{BOAT}", 10**6))

    assert changed_outside(opened.folder) == ()


def test_changed_added_and_removed_files_are_told(opened: Opened, files: MemoryFiles) -> None:
    """C5."""
    files.put(f"{ROOT}/{BOAT}", files.read(f"{ROOT}/{BOAT}", 10**6).replace(b"Boat 1", b"Boat X"))
    files.unlink(f"{ROOT}/comparables.json")
    files.put_folders(f"{ROOT}/boats/boat-9")
    files.put(f"{ROOT}/boats/boat-9/boat.json", b'{"id": "boat-9", "name": "New"}')
    files.put(f"{ROOT}/notes.txt", b"not ours")

    assert changed_outside(opened.folder) == (BOAT, "boats/boat-9/boat.json", "comparables.json")


def test_reading_again_takes_the_change_in_and_keeps_the_lock(
    opened: Opened, files: MemoryFiles
) -> None:
    files.put(f"{ROOT}/{BOAT}", files.read(f"{ROOT}/{BOAT}", 10**6).replace(b"Boat 1", b"Boat X"))

    again = reload_project(opened.folder)

    assert again.project == renamed(opened.project, "boat-1", "Boat X")
    assert changed_outside(again.folder) == ()
    assert again.folder.lock is not None
    assert opened.folder.lock is None
    assert save_project(again.folder, opened.project, again.project).complete


def test_when_it_cannot_be_read_again_the_first_folder_keeps_the_lock(
    opened: Opened, files: MemoryFiles
) -> None:
    files.unlink(f"{ROOT}/project.json")

    with pytest.raises(StoreError):
        reload_project(opened.folder)

    assert opened.folder.lock is not None


def test_a_coarse_clock_does_not_hide_a_change_from_a_save(
    opened: Opened, files: MemoryFiles
) -> None:
    """C14: file systems with a clock of 1 or 2 seconds; the digest decides."""
    node = files._existing(f"{ROOT}/{BOAT}")
    before = files.times[node]
    data = files.read(f"{ROOT}/{BOAT}", 10**6).replace(b"Boat 1", b"Boat X")
    files.nodes[node] = data
    files.times[node] = before

    report = save_project(opened.folder, renamed(opened.project, "boat-1", "M"), opened.project)

    assert [conflict.path for conflict in report.conflicts] == [BOAT]


def test_two_versions_differ_field_by_field() -> None:
    theirs = b'{"name": "A", "asking": [{"price": 1}], "same": 1, "only": true}'
    mine = b'{"name": "B", "asking": [{"price": 1}, {"price": 2}], "same": 1}'

    assert differences(theirs, mine) == (
        Difference("asking[2]", None, {"price": 2}),
        Difference("name", "A", "B"),
        Difference("only", True, None),
    )


def test_what_is_no_json_differs_as_a_whole() -> None:
    assert differences(b"{", b"{}") == (Difference("", None, None),)
    assert differences(b"{}", b"{}") == ()
