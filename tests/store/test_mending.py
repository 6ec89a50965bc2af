"""Damaged things are set aside and work goes on elsewhere; nothing is lost (D5, D6, D13)."""

from __future__ import annotations

import errno
from dataclasses import replace
from pathlib import Path

import pytest

from tests.store.memory_files import Fault, MemoryFiles, PowerCut
from tests.store.samples import (
    ROOT,
    TARGET,
    memory_place,
    renamed,
    sample_project,
    saved_sample,
    with_photos,
)
from workbench.store.errors import NotSavedError, StoreError
from workbench.store.folder import Opened, open_project, save_project
from workbench.store.mending import save_copy, set_aside, set_interrupted_aside
from workbench.store.transaction import interrupted

LEDGER = "boats/boat-1/ledger.json"
COPY = Path("/boats/copy")


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
    found.log.clear()
    return found


def reopened(files: MemoryFiles) -> Opened:
    return open_project(TARGET, workplace=memory_place(files))


def test_a_damaged_file_set_aside_keeps_its_bytes_and_a_fresh_one_is_saved(
    files: MemoryFiles,
) -> None:
    """D13."""
    files.put(f"{ROOT}/{LEDGER}", b"{damaged")
    opened = reopened(files)
    ledger = sample_project().boats["boat-1"].ledger
    boat = replace(opened.project.boats["boat-1"], ledger=ledger)
    changed = replace(opened.project, boats=opened.project.boats.set("boat-1", boat))

    name = set_aside(opened.folder, LEDGER)

    assert name == "boats/boat-1/ledger (damaged 20260531T120000Z).json"
    assert files.read(f"{ROOT}/{name}", 100) == b"{damaged"
    assert save_project(opened.folder, changed, opened.project).written == (LEDGER,)
    assert reopened(files).project == changed


def test_a_sound_file_cannot_be_set_aside(opened: Opened) -> None:
    with pytest.raises(StoreError, match="cannot be set aside"):
        set_aside(opened.folder, LEDGER)


# ---- interrupted saves


def interrupt(files: MemoryFiles, after: str) -> MemoryFiles:
    """Kill a save after its first step of a kind; the disk as it is then."""
    trial = files.after_kill()
    session = reopened(trial)
    trial.log.clear()
    save_project(session.folder, renamed(session.project, "boat-1", "New"), session.project)
    at = next(n for n, (what, path) in enumerate(trial.log) if f"{what} {path}".startswith(after))
    killed = files.after_kill()
    session = reopened(killed)
    killed.log.clear()
    killed.fault = Fault(at, "kill after")
    with pytest.raises(PowerCut):
        save_project(session.folder, renamed(session.project, "boat-1", "New"), session.project)
    return killed.after_kill()


def test_a_save_cut_off_after_its_commit_point_is_completed_on_opening(files: MemoryFiles) -> None:
    """D4."""
    killed = interrupt(files, "rename")

    opened = reopened(killed)

    assert opened.completed_saves == 1
    assert opened.project.boats["boat-1"].boat.name == "New"
    assert interrupted(killed, ROOT) == []


def test_a_save_cut_off_before_its_commit_point_never_was(files: MemoryFiles) -> None:
    """D4."""
    killed = interrupt(files, "flush")

    opened = reopened(killed)

    assert opened.completed_saves == 0
    assert opened.project == sample_project()
    assert interrupted(killed, ROOT) == []


@pytest.mark.parametrize("damage", [b"", b"\0" * 300, b"{}", b'{"entries": [], "sha256": "0"}'])
def test_a_journal_that_cannot_be_trusted_touches_nothing_until_it_is_set_aside(
    files: MemoryFiles, damage: bytes
) -> None:
    """D5."""
    killed = interrupt(files, "rename")
    (name,) = interrupted(killed, ROOT)
    killed.put(f"{ROOT}/{name}/journal.json", damage)
    before = killed.tree(ROOT)

    opened = reopened(killed)
    assert opened.project == sample_project()
    assert "interrupted save" in opened.read_only
    assert killed.tree(ROOT) == before
    with pytest.raises(NotSavedError):
        save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)

    (new_name,) = set_interrupted_aside(opened.folder)
    assert killed.read(f"{ROOT}/{new_name}/journal.json", 1000) == damage
    again = reopened(killed)
    assert again.read_only == ""
    assert save_project(again.folder, renamed(again.project, "boat-1", "X"), again.project).complete


def test_a_stage_that_does_not_fit_the_journal_touches_nothing(files: MemoryFiles) -> None:
    """D5."""
    killed = interrupt(files, "rename")
    (name,) = interrupted(killed, ROOT)
    killed.put(f"{ROOT}/{name}/0", b"{}")
    before = killed.tree(ROOT)

    opened = reopened(killed)

    assert "does not fit" in opened.problems[1].message
    assert killed.tree(ROOT) == before


def test_the_save_of_another_installation_is_told_and_neither_run_nor_deleted(
    files: MemoryFiles,
) -> None:
    """D6."""
    killed = interrupt(files, "rename")
    (name,) = interrupted(killed, ROOT)
    killed.put("/own/installation", b"fedcba9876543210")
    before = killed.tree(ROOT)

    opened = open_project(TARGET, workplace=memory_place(killed))
    save_project(opened.folder, renamed(opened.project, "boat-2", "X"), opened.project)

    assert opened.problems[0].where == name
    assert opened.project == sample_project()
    assert {path: data for path, data in killed.tree(ROOT).items() if name in path} == {
        path: data for path, data in before.items() if name in path
    }


# ---- a copy elsewhere


def test_a_copy_has_everything_and_an_id_of_its_own(opened: Opened, files: MemoryFiles) -> None:
    project = with_photos(opened.folder, opened.project, "boat-1", range(3))
    save_project(opened.folder, project, opened.project)
    before = files.tree(ROOT)

    copy = save_copy(project, COPY, source=opened.folder)

    assert copy.problems == ()
    assert copy.project == replace(project, id=copy.project.id)
    assert copy.project.id != project.id
    assert open_project(COPY, workplace=opened.folder.workplace).project == copy.project
    assert files.tree(ROOT) == before
    photos = {path: data for path, data in before.items() if "photos" in path}
    assert photos.items() <= files.tree(str(COPY)).items()
    assert len(photos) == 3


def test_unsaved_work_can_be_saved_elsewhere_when_the_folder_is_gone(
    opened: Opened, files: MemoryFiles
) -> None:
    """C9, D7."""
    changed = renamed(opened.project, "boat-1", "Unsaved")
    files.rename(ROOT, "/own/gone")

    copy = save_copy(changed, COPY, source=opened.folder)

    assert copy.project == replace(changed, id=copy.project.id)


def test_a_copy_never_lands_in_a_folder_with_something_in_it(opened: Opened) -> None:
    with pytest.raises(StoreError, match="already"):
        save_copy(opened.project, TARGET, source=opened.folder)


def test_a_photo_that_cannot_be_copied_is_told(opened: Opened, files: MemoryFiles) -> None:
    project = with_photos(opened.folder, opened.project, "boat-1", range(1))
    (photo,) = project.boats["boat-1"].inspection.photos.values()
    path = f"{ROOT}/boats/boat-1/photos/{photo.file}"
    files.unlink(path)
    files.put_other(path)

    copy = save_copy(project, COPY, source=opened.folder)

    assert [problem.where for problem in copy.problems] == [f"boats/boat-1/photos/{photo.file}"]


def test_a_copy_that_fails_says_so_and_the_source_stands(
    opened: Opened, files: MemoryFiles
) -> None:
    before = files.tree(ROOT)
    files.fault = Fault(4, "error", errno.ENOSPC, for_ever=True)

    with pytest.raises(StoreError):
        save_copy(opened.project, COPY, source=opened.folder)

    assert files.tree(ROOT) == before
