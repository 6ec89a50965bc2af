"""A save tells the truth: what it wrote, what it did not, and why (D7, D10, C4, C9, C10)."""

from __future__ import annotations

import errno
from dataclasses import replace
from decimal import Decimal

import pytest

from tests.store.memory_files import Fault, MemoryFiles
from tests.store.samples import ROOT, TARGET, memory_place, renamed, sample_project, saved_sample
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import Money
from workbench.domain.project import Comparable
from workbench.store.backups import make_backup, restore_backup
from workbench.store.errors import NotSavedError
from workbench.store.folder import Opened, open_project, reload_project, save_project
from workbench.store.transaction import interrupted
from workbench.store.watching import changed_outside

BOAT = "boats/boat-1/boat.json"


@pytest.fixture
def opened() -> Opened:
    """The sample, opened for writing."""
    place = memory_place()
    saved_sample(place)
    return open_project(TARGET, workplace=place)


@pytest.fixture
def files(opened: Opened) -> MemoryFiles:
    """Its files, with the steps counted from here."""
    found = opened.folder.files
    assert isinstance(found, MemoryFiles)
    found.log.clear()
    return found


def test_only_the_files_whose_record_changed_are_written(
    opened: Opened, files: MemoryFiles
) -> None:
    before = files.tree(ROOT)
    boat = opened.project.boats["boat-1"]
    changed = replace(
        opened.project,
        boats=opened.project.boats.set("boat-1", replace(boat, ledger=type(boat.ledger)())),
        settings=replace(opened.project.settings, budget=Decimal(1)),
    )

    report = save_project(opened.folder, changed, opened.project)

    assert report.written == ("project.json",)
    assert report.deleted == ("boats/boat-1/ledger.json",)
    assert report.complete
    differing = {path for path in before if files.tree(ROOT).get(path) != before[path]}
    assert differing == {"project.json", "boats/boat-1/ledger.json"}


def test_an_equal_record_is_not_written_again(opened: Opened, files: MemoryFiles) -> None:
    report = save_project(opened.folder, sample_project(), opened.project)

    assert report.written == ()
    assert files.log == []


def test_after_any_single_error_the_same_session_can_save_again(opened: Opened) -> None:
    """D7: at every step, once and for a while."""
    start = opened.folder.files
    assert isinstance(start, MemoryFiles)
    changed = renamed(opened.project, "boat-1", "Changed")
    steps = count_steps(start.after_kill())
    for at in range(steps):
        for for_ever in (False, True):
            files = start.after_kill()
            session = open_project(TARGET, workplace=memory_place(files))
            files.log.clear()
            files.fault = Fault(at, "error", errno.EIO, for_ever)
            saved = session.project
            try:
                save_project(session.folder, changed, saved)
                saved = changed
            except NotSavedError as error:
                assert "Nothing was saved" in error.problems[0].message  # noqa: PT017 - many runs
            files.fault = None

            again = renamed(changed, "boat-2", "Changed too")
            assert save_project(session.folder, again, saved).complete
            assert interrupted(files, ROOT) == []
            assert open_project(TARGET, workplace=memory_place(files)).project == again


def count_steps(files: MemoryFiles) -> int:
    """How many steps the save of a renamed boat has."""
    session = open_project(TARGET, workplace=memory_place(files))
    files.log.clear()
    save_project(session.folder, renamed(session.project, "boat-1", "Changed"), session.project)
    return len(files.log)


def test_an_error_after_the_commit_point_is_no_failure(opened: Opened, files: MemoryFiles) -> None:
    """D7: the save has happened; what is left to do follows."""
    changed = renamed(opened.project, "boat-1", "Changed")
    pending = []
    for at in range(count_steps(files.after_kill())):
        disk = files.after_kill()
        session = open_project(TARGET, workplace=memory_place(disk))
        disk.log.clear()
        disk.fault = Fault(at, "error", errno.EIO, for_ever=True)
        try:
            pending.append(save_project(session.folder, changed, session.project).tidy_up_pending)
        except NotSavedError:
            continue
        disk.fault = None
        assert open_project(TARGET, workplace=memory_place(disk)).project == changed

    assert any(pending)


def test_what_a_save_has_still_to_do_is_neither_backed_up_half_nor_taken_for_a_change_outside(
    opened: Opened, files: MemoryFiles
) -> None:
    """D7, D14, C5: until its last steps are done, the files on the disk are of two saves."""
    changed = renamed(opened.project, "boat-1", "Changed")
    changed = replace(changed, boats=changed.boats.drop("boat-0"))
    seen = 0
    for at in range(2 * count_steps(files.after_kill())):
        disk = files.after_kill()
        session = open_project(TARGET, workplace=memory_place(disk))
        disk.log.clear()
        disk.fault = Fault(at, "error", errno.EIO)
        try:
            report = save_project(session.folder, changed, session.project)
        except NotSavedError:
            continue
        if not report.tidy_up_pending:
            continue
        seen += 1
        disk.fault = None

        assert changed_outside(session.folder) == ()
        backup = make_backup(session.folder)

        assert backup is not None
        restore_backup(session.folder, backup)
        again = reload_project(session.folder)
        assert again.project == changed
        assert again.problems == ()
        session.folder.close()

    assert seen


def test_a_file_held_by_another_program_is_tried_for_two_seconds(
    opened: Opened, files: MemoryFiles
) -> None:
    """D10."""
    changed = renamed(opened.project, "boat-1", "Changed")
    save_project(opened.folder, changed, opened.project)
    first_rename = next(n for n, (what, _) in enumerate(files.log) if what == "rename")
    files.log.clear()
    files.fault = Fault(first_rename, "error", errno.EACCES, for_ever=True)

    with pytest.raises(NotSavedError, match="save a copy"):
        save_project(opened.folder, opened.project, changed)

    assert files.paused >= 2


def test_a_file_that_is_soon_free_is_saved_after_all(opened: Opened, files: MemoryFiles) -> None:
    """D10."""
    changed = renamed(opened.project, "boat-1", "Changed")
    save_project(opened.folder, changed, opened.project)
    first_rename = next(n for n, (what, _) in enumerate(files.log) if what == "rename")
    files.log.clear()
    files.fault = Fault(first_rename, "error", errno.EBUSY)

    assert save_project(opened.folder, opened.project, changed).complete
    assert 0 < files.paused < 1


# ---- changed outside


def test_a_file_changed_outside_is_not_overwritten_and_both_are_kept(
    opened: Opened, files: MemoryFiles
) -> None:
    """C4: even when size and time are the same."""
    theirs = files.read(f"{ROOT}/{BOAT}", 10**6).replace(b"Boat 1", b"Boat X")
    node = files._existing(f"{ROOT}/{BOAT}")
    files.nodes[node] = theirs
    changed = renamed(renamed(opened.project, "boat-1", "Mine"), "boat-2", "Also mine")

    report = save_project(opened.folder, changed, opened.project)

    (conflict,) = report.conflicts
    assert not report.complete
    assert report.written == ()
    assert conflict.path == BOAT
    assert conflict.mine == "boats/boat-1/boat (mine 20260531T120000Z).json"
    assert files.read(f"{ROOT}/{BOAT}", 10**6) == theirs
    assert b'"Mine"' in files.read(f"{ROOT}/{conflict.mine}", 10**6)
    assert report.problems[0].boat == "boat-1"


def test_our_version_is_put_beside_only_once(opened: Opened, files: MemoryFiles) -> None:
    files.put(f"{ROOT}/{BOAT}", b"{}")
    changed = renamed(opened.project, "boat-1", "Mine")

    save_project(opened.folder, changed, opened.project)
    save_project(opened.folder, changed, opened.project)

    assert len([name for name in files.names(f"{ROOT}/boats/boat-1") if "mine" in name]) == 1


def test_after_the_user_chose_ours_it_replaces_theirs(opened: Opened, files: MemoryFiles) -> None:
    files.put(f"{ROOT}/{BOAT}", b"{}")
    changed = renamed(opened.project, "boat-1", "Mine")
    save_project(opened.folder, changed, opened.project)

    report = save_project(opened.folder, changed, opened.project, overwrite=frozenset({BOAT}))

    assert report.complete
    assert open_project(TARGET, workplace=opened.folder.workplace).project == changed


def test_a_file_that_appeared_outside_is_not_overwritten(
    opened: Opened, files: MemoryFiles
) -> None:
    files.put_folders(f"{ROOT}/boats/boat-3")
    files.put(f"{ROOT}/boats/boat-3/boat.json", b'{"id": "boat-3", "name": "Theirs"}')

    report = save_project(opened.folder, sample_project(4), opened.project)

    assert [conflict.path for conflict in report.conflicts] == ["boats/boat-3/boat.json"]


def test_a_file_changed_outside_that_we_do_not_touch_is_no_conflict(
    opened: Opened, files: MemoryFiles
) -> None:
    files.put(f"{ROOT}/{BOAT}", b"{}")

    assert save_project(
        opened.folder, renamed(opened.project, "boat-2", "X"), opened.project
    ).complete
    assert files.read(f"{ROOT}/{BOAT}", 10) == b"{}"


def test_a_file_changed_outside_is_not_deleted(opened: Opened, files: MemoryFiles) -> None:
    files.put(f"{ROOT}/{BOAT}", b"{}")
    without = replace(opened.project, boats=opened.project.boats.drop("boat-1"))

    report = save_project(opened.folder, without, opened.project)

    assert [(c.path, c.mine) for c in report.conflicts] == [(BOAT, "")]
    assert files.facts(f"{ROOT}/boats/boat-1/ledger.json") is not None


def test_a_file_removed_outside_is_written_again(opened: Opened, files: MemoryFiles) -> None:
    files.unlink(f"{ROOT}/{BOAT}")

    assert save_project(
        opened.folder, renamed(opened.project, "boat-1", "X"), opened.project
    ).written == (BOAT,)


def test_a_boat_whose_files_were_removed_outside_is_saved_whole(
    opened: Opened, files: MemoryFiles
) -> None:
    """With her ledger alone she would not open again."""
    for name in files.names(f"{ROOT}/boats/boat-1"):
        files.unlink(f"{ROOT}/boats/boat-1/{name}")
    boat = opened.project.boats["boat-1"]
    ledger = replace(boat.ledger, wording=FrozenMap({"opening": "Dear seller"}))
    changed = replace(
        opened.project, boats=opened.project.boats.set("boat-1", replace(boat, ledger=ledger))
    )

    save_project(opened.folder, changed, opened.project)

    assert open_project(TARGET, workplace=opened.folder.workplace).project == changed


# ---- the folder itself


def test_a_folder_that_went_away_is_not_made_anew(opened: Opened, files: MemoryFiles) -> None:
    """C9: the work stays in memory and is saved when the folder is back."""
    changed = renamed(opened.project, "boat-1", "X")
    files.rename(ROOT, "/boats/elsewhere")

    with pytest.raises(NotSavedError, match="no longer there"):
        save_project(opened.folder, changed, opened.project)
    assert files.facts(ROOT) is None

    files.rename("/boats/elsewhere", ROOT)
    assert save_project(opened.folder, changed, opened.project).complete


def test_another_project_in_the_same_place_is_not_saved_into(
    opened: Opened, files: MemoryFiles
) -> None:
    """C10."""
    head = files.read(f"{ROOT}/project.json", 10**6)
    files.put(f"{ROOT}/project.json", head.replace(b"0f1e2d3c4b5a6978", b"ffffffffffffffff"))
    before = files.tree(ROOT)

    with pytest.raises(NotSavedError, match="Another search"):
        save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)

    assert files.tree(ROOT) == before


def test_what_could_not_be_read_again_is_not_written(opened: Opened, files: MemoryFiles) -> None:
    """B13: the limits of reading hold for saving too."""
    row = Comparable("c", "Row", Money(Decimal(1), "USD"))
    before = files.tree(ROOT)

    with pytest.raises(NotSavedError, match=r"comparables\.json"):
        save_project(
            opened.folder, replace(opened.project, comparables=(row,) * 20_001), opened.project
        )

    assert files.tree(ROOT) == before


def test_no_message_of_the_store_names_a_folder_above_the_project(
    opened: Opened, files: MemoryFiles
) -> None:
    """P5: paths below the folder name only."""
    files.fault = Fault(0, "error", errno.ENOSPC, for_ever=True)

    with pytest.raises(NotSavedError) as caught:
        save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)

    assert "/boats/search" not in str(caught.value)
