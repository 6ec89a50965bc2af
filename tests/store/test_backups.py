"""Backups are verified, outlive accidents, and come back all at once (D13, D14)."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from tests.store.memory_files import Fault, MemoryFiles
from tests.store.samples import NOON, ROOT, TARGET, memory_place, renamed, saved_sample
from workbench.domain.project import Project
from workbench.store.backups import (
    DAYS,
    LAST,
    list_backups,
    make_backup,
    newest_with,
    read_backup,
    restore_backup,
)
from workbench.store.errors import StoreError
from workbench.store.folder import Opened, open_project, save_project


class Clock:
    """A clock that is set by the test."""

    def __init__(self) -> None:
        self.now = NOON

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def opened(clock: Clock) -> Opened:
    """The sample, opened for writing."""
    place = memory_place()
    place.now = clock
    saved_sample(place)
    return open_project(TARGET, workplace=place)


def disk(opened: Opened) -> MemoryFiles:
    found = opened.folder.files
    assert isinstance(found, MemoryFiles)
    return found


def saves(opened: Opened) -> Iterator[Project]:
    """One save after another, each of another name."""
    project = opened.project
    for number in range(10**6):
        changed = renamed(project, "boat-1", f"Name {number}")
        save_project(opened.folder, changed, project)
        project = changed
        yield project


def test_a_backup_holds_the_text_files_outside_the_project(opened: Opened) -> None:
    backup = make_backup(opened.folder)

    assert backup is not None
    assert read_backup(opened.folder.workplace, backup) == disk(opened).tree(ROOT)
    assert not any("backup" in path for path in disk(opened).tree(ROOT))


def test_nothing_is_kept_twice(opened: Opened) -> None:
    make_backup(opened.folder)

    assert make_backup(opened.folder) is None
    assert len(list_backups(opened.folder.workplace, opened.project.id)) == 1


def test_the_last_saves_and_the_last_days_are_kept(opened: Opened, clock: Clock) -> None:
    for number, _ in zip(range(3 * 40), saves(opened), strict=False):
        clock.now = NOON + timedelta(hours=8 * number)
        make_backup(opened.folder)

    backups = list_backups(opened.folder.workplace, opened.project.id)

    days = {backup.made.date() for backup in backups}
    assert len(days) == DAYS
    assert len(backups) == LAST + DAYS - len({b.made.date() for b in backups[:LAST]})
    assert backups[0].made == clock.now
    assert list(backups) == sorted(backups, key=lambda backup: backup.made, reverse=True)


def test_one_kept_for_good_is_never_pruned(opened: Opened, clock: Clock) -> None:
    kept = make_backup(opened.folder, for_good=True)
    for number, _ in zip(range(60), saves(opened), strict=False):
        clock.now = NOON + timedelta(days=number + 1)
        make_backup(opened.folder)

    assert kept in list_backups(opened.folder.workplace, opened.project.id)


def test_two_in_one_moment_do_not_replace_each_other(opened: Opened) -> None:
    for _ in zip(range(3), saves(opened), strict=False):
        make_backup(opened.folder)

    assert len(list_backups(opened.folder.workplace, opened.project.id)) == 3


def test_an_old_one_goes_only_after_the_new_one_was_read_back(opened: Opened, clock: Clock) -> None:
    """D14: with any error at any step, no fewer good backups than before are left."""
    for number, _ in zip(range(LAST + DAYS + 5), saves(opened), strict=False):
        clock.now = NOON + timedelta(minutes=number)
        make_backup(opened.folder)
    clock.now = NOON + timedelta(days=1)
    next(saves(opened))
    start = disk(opened).after_kill()
    steps = 12
    for at in range(steps):
        files = start.after_kill()
        session = open_project(TARGET, workplace=memory_place(files))
        session.folder.workplace.now = clock
        files.log.clear()
        files.fault = Fault(at, "error", errno.ENOSPC, for_ever=True)
        try:
            make_backup(session.folder)
        except StoreError as error:
            assert "Make room" in error.problems[0].remedy  # noqa: PT017 - many runs
        files.fault = None
        place = session.folder.workplace
        good = [b for b in list_backups(place, session.project.id) if read_backup(place, b)]
        assert len(good) >= LAST


@pytest.mark.parametrize("cut", [0, 10, 200, -1, -30])
def test_a_damaged_backup_is_refused_and_an_older_one_is_found(opened: Opened, cut: int) -> None:
    place = opened.folder.workplace
    first = make_backup(opened.folder)
    next(saves(opened))
    second = make_backup(opened.folder)
    assert second is not None
    data = disk(opened).read(f"/own/{second.path}", 10**6)
    disk(opened).put(f"/own/{second.path}", data[:cut])

    with pytest.raises(StoreError, match="damaged"):
        read_backup(place, second)
    assert newest_with(place, opened.project.id, "project.json") == first


def test_flipped_bytes_in_a_backup_never_pass(opened: Opened) -> None:
    place = opened.folder.workplace
    backup = make_backup(opened.folder)
    assert backup is not None
    good = read_backup(place, backup)
    data = disk(opened).read(f"/own/{backup.path}", 10**6)
    for at in range(0, len(data), 7):
        broken = bytearray(data)
        broken[at] ^= 0x55
        disk(opened).put(f"/own/{backup.path}", bytes(broken))
        try:
            assert read_backup(place, backup) == good
        except StoreError:
            continue


def test_restoring_brings_all_files_back_and_backs_up_what_was_there(opened: Opened) -> None:
    place = opened.folder.workplace
    before = disk(opened).tree(ROOT)
    backup = make_backup(opened.folder)
    assert backup is not None
    next(saves(opened))
    after = disk(opened).tree(ROOT)

    restore_backup(opened.folder, backup)

    assert disk(opened).tree(ROOT) == before
    assert read_backup(place, list_backups(place, opened.project.id)[0]) == after


def test_one_damaged_file_can_be_restored_alone(opened: Opened) -> None:
    """D13."""
    path = "boats/boat-1/ledger.json"
    make_backup(opened.folder)
    next(saves(opened))
    disk(opened).put(f"{ROOT}/{path}", b"\0" * 500)
    again = open_project(TARGET, workplace=opened.folder.workplace)
    backup = newest_with(again.folder.workplace, again.project.id, path)
    assert backup is not None

    report = restore_backup(again.folder, backup, [path])

    fresh = open_project(TARGET, workplace=again.folder.workplace)
    assert report.written == (path,)
    assert fresh.damaged == ()
    assert fresh.project.boats["boat-1"].boat.name == "Name 0"
    assert fresh.project.boats["boat-1"].ledger == opened.project.boats["boat-1"].ledger


def test_a_damaged_project_file_can_be_restored_though_it_cannot_tell_its_id(
    opened: Opened,
) -> None:
    """D13."""
    make_backup(opened.folder)
    disk(opened).put(f"{ROOT}/project.json", b"\0" * 500)
    again = open_project(TARGET, workplace=opened.folder.workplace)
    (backup,) = list_backups(again.folder.workplace, again.folder.project_id)

    restore_backup(again.folder, backup, ["project.json"])

    fresh = open_project(TARGET, workplace=again.folder.workplace)
    assert fresh.read_only == ""
    assert fresh.project == opened.project


def test_a_project_that_calls_itself_a_path_keeps_its_backups_in_their_place(
    opened: Opened,
) -> None:
    opened.folder.project_id = "../../etc/x"

    backup = make_backup(opened.folder)

    assert backup is not None
    assert ".." not in backup.path


def test_restoring_into_a_read_only_folder_is_refused(opened: Opened) -> None:
    backup = make_backup(opened.folder)
    assert backup is not None
    opened.folder.read_only = "Another window has it."

    with pytest.raises(StoreError, match="Another window"):
        restore_backup(opened.folder, backup)


def test_the_path_of_a_project_is_not_spelled_out_in_application_data(opened: Opened) -> None:
    """P5."""
    make_backup(opened.folder)

    own = disk(opened).tree("/own")
    assert not any(Path(ROOT).name in path or ROOT.encode() in data for path, data in own.items())
