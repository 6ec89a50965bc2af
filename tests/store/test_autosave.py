"""Unsaved work survives crashes, one after another, and goes only after a save (D12, U12)."""

from __future__ import annotations

import errno
from datetime import timedelta

import pytest

from tests.store.memory_files import Fault, MemoryFiles
from tests.store.samples import (
    NOON,
    ROOT,
    TARGET,
    candidate,
    memory_place,
    renamed,
    saved_sample,
    with_boat,
)
from workbench.store.autosave import (
    KEPT_DAYS,
    KEPT_OPEN,
    find_autosaves,
    keep_autosave,
    recovered,
    settle_autosaves,
)
from workbench.store.folder import Opened, open_project, save_project


@pytest.fixture
def opened() -> Opened:
    """The sample, opened for writing."""
    place = memory_place()
    saved_sample(place)
    return open_project(TARGET, workplace=place)


def disk(opened: Opened) -> MemoryFiles:
    found = opened.folder.files
    assert isinstance(found, MemoryFiles)
    return found


def after_a_crash(opened: Opened) -> Opened:
    """The folder opened anew by a process that knows nothing."""
    return open_project(TARGET, workplace=memory_place(disk(opened).after_kill()))


def test_unsaved_work_is_found_after_a_crash_and_the_folder_is_untouched(opened: Opened) -> None:
    before = disk(opened).tree(ROOT)
    changed = with_boat(renamed(opened.project, "boat-1", "Unsaved"), candidate(9))
    gone = type(changed)(
        changed.id,
        "Renamed",
        changed.settings,
        changed.boats.drop("boat-0"),
        changed.comparables,
        changed.overrides,
    )

    keep_autosave(opened.folder, gone, opened.project)

    again = after_a_crash(opened)
    (autosave,) = find_autosaves(again.folder)
    assert autosave.fits
    assert autosave.made == NOON
    assert again.project == opened.project
    assert recovered(again.folder, autosave) == gone
    assert disk(opened).tree(ROOT) == before


def test_nothing_unsaved_is_not_kept(opened: Opened) -> None:
    assert keep_autosave(opened.folder, opened.project, opened.project) == ""
    assert find_autosaves(opened.folder) == ()


def test_it_survives_three_crashes_in_a_row(opened: Opened) -> None:
    """U12."""
    changed = renamed(opened.project, "boat-1", "Unsaved")
    keep_autosave(opened.folder, changed, opened.project)
    session = opened
    for _ in range(3):
        session = after_a_crash(session)
        (autosave, *_) = find_autosaves(session.folder)
        project = recovered(session.folder, autosave)
        assert project == changed
        keep_autosave(session.folder, project, session.project)

    assert recovered(session.folder, find_autosaves(session.folder)[0]) == changed


def test_only_the_newest_few_are_kept(opened: Opened) -> None:
    for number in range(KEPT_OPEN + 4):
        keep_autosave(
            opened.folder, renamed(opened.project, "boat-1", f"N{number}"), opened.project
        )

    found = find_autosaves(opened.folder)

    assert len(found) == KEPT_OPEN
    newest = recovered(opened.folder, found[0])
    assert newest.boats["boat-1"].boat.name == f"N{KEPT_OPEN + 3}"


def test_after_a_save_it_is_no_longer_offered_and_goes_after_seven_days(opened: Opened) -> None:
    """U12, D14."""
    place = opened.folder.workplace
    changed = renamed(opened.project, "boat-1", "Unsaved")
    keep_autosave(opened.folder, changed, opened.project)
    save_project(opened.folder, changed, opened.project)

    settle_autosaves(opened.folder)
    assert find_autosaves(opened.folder) == ()
    assert any("settled" in path for path in disk(opened).tree("/own"))

    place.now = lambda: NOON + timedelta(days=KEPT_DAYS, minutes=1)
    settle_autosaves(opened.folder)
    assert not any("settled" in path for path in disk(opened).tree("/own"))


def test_one_that_was_made_before_another_save_says_so(opened: Opened) -> None:
    changed = renamed(opened.project, "boat-1", "Unsaved")
    keep_autosave(opened.folder, changed, opened.project)
    save_project(opened.folder, renamed(opened.project, "boat-2", "Saved"), opened.project)

    (autosave,) = find_autosaves(after_a_crash(opened).folder)

    assert not autosave.fits


def test_a_damaged_snapshot_is_passed_over(opened: Opened) -> None:
    """Cut off or flipped at any byte, it is the one before it that is offered."""
    first = renamed(opened.project, "boat-1", "First")
    keep_autosave(opened.folder, first, opened.project)
    path = keep_autosave(opened.folder, renamed(opened.project, "boat-1", "Second"), opened.project)
    whole = disk(opened).read(path, 10**6)
    for at in range(0, len(whole) - 1, 5):
        disk(opened).put(path, whole[:at])
        assert len(find_autosaves(opened.folder)) == 1
        flipped = whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :]
        disk(opened).put(path, flipped)
        found = find_autosaves(opened.folder)
        assert recovered(opened.folder, found[-1]) == first


@pytest.mark.parametrize("at", range(8))
def test_with_an_error_at_any_step_the_snapshot_before_still_stands(
    opened: Opened, at: int
) -> None:
    first = renamed(opened.project, "boat-1", "First")
    keep_autosave(opened.folder, first, opened.project)
    files = disk(opened)
    files.log.clear()
    files.fault = Fault(at, "error", errno.ENOSPC)
    second = renamed(opened.project, "boat-1", "Second")
    try:
        keep_autosave(opened.folder, second, opened.project)
    except OSError as error:
        assert error.errno == errno.ENOSPC  # noqa: PT017 - it may also succeed
    files.fault = None

    found = find_autosaves(after_a_crash(opened).folder)

    assert recovered(opened.folder, found[-1]) == first
    assert recovered(opened.folder, found[0]) in (first, second)
    assert not any(path.endswith(".tmp") for path in files.tree("/own"))


def test_a_snapshot_that_names_other_files_changes_only_ours(opened: Opened) -> None:
    """B61: what lies in application data is not trusted with paths either."""
    import hashlib  # noqa: PLC0415 - only this test forges one

    from workbench.store.json_writing import write_json  # noqa: PLC0415

    base: dict[str, object] = {}
    changed: dict[str, object] = {"../../outside.json": "{}", "boats/../x/boat.json": "{}"}
    digest = hashlib.sha256(write_json([base, changed])).hexdigest()
    path = keep_autosave(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)
    disk(opened).put(path, write_json({"base": base, "changed": changed, "sha256": digest}))

    (autosave,) = find_autosaves(opened.folder)

    assert autosave.changed == ()
