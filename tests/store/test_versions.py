"""Newer minor versions open, newer major ones are only looked at, older ones migrate (V1 to V6)."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.store.memory_files import MemoryFiles
from tests.store.samples import ROOT, TARGET, memory_place, renamed, sample_project, saved_sample
from workbench.domain.project import FORMAT
from workbench.store import migrations
from workbench.store.backups import list_backups, read_backup, restore_backup
from workbench.store.errors import NotSavedError, StoreError
from workbench.store.folder import open_project, save_project
from workbench.store.json_reading import read_json
from workbench.store.json_writing import write_json
from workbench.store.migrations import Step, migrated, version_of
from workbench.store.workplace import Workplace

HEAD = f"{ROOT}/project.json"
GOLDEN = Path(__file__).parent / "golden"


@pytest.fixture
def place() -> Workplace:
    """A workplace in memory with the sample saved."""
    made = memory_place()
    saved_sample(made)
    return made


@pytest.fixture
def files(place: Workplace) -> MemoryFiles:
    """Its files."""
    assert isinstance(place.files, MemoryFiles)
    place.files.log.clear()
    return place.files


def set_version(files: MemoryFiles, version: object) -> None:
    plain: Any = read_json(files.read(HEAD, 10**6)).value
    files.put(HEAD, write_json({**plain, "format_version": version}))


def test_a_newer_minor_version_is_edited_and_keeps_its_number(
    place: Workplace, files: MemoryFiles
) -> None:
    """V1."""
    set_version(files, [FORMAT[0], FORMAT[1] + 3])

    opened = open_project(TARGET, workplace=place)
    save_project(opened.folder, replace(opened.project, name="New"), opened.project)

    assert opened.read_only == ""
    assert version_of(read_json(files.read(HEAD, 10**6)).value) == (FORMAT[0], FORMAT[1] + 3)


def test_a_newer_major_version_is_shown_and_not_one_byte_changes(
    place: Workplace, files: MemoryFiles
) -> None:
    """V1."""
    set_version(files, [FORMAT[0] + 1, 0])
    before = files.tree("")

    opened = open_project(TARGET, workplace=place)
    with pytest.raises(NotSavedError, match="newer version"):
        save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)

    assert "Update the program" in opened.read_only
    assert list(opened.project.boats) == ["boat-0", "boat-1", "boat-2"]
    assert files.tree("") == before


@pytest.mark.parametrize(
    "version",
    [
        *(None, 0, 1, 2, "2", "1.0", 10**9, 1.5, True, {"major": 1}),
        *([], [1], [0, 0], [1, 0, 0], [10**9, 0], [1, -1], ["1", "0"], [1.0, 0], [True, 0]),
    ],
)
def test_a_version_that_never_was_is_refused_and_nothing_changes(
    place: Workplace, files: MemoryFiles, version: object
) -> None:
    """V6."""
    set_version(files, version)
    before = files.tree("")

    with pytest.raises(StoreError, match="version") as caught:
        open_project(TARGET, workplace=place)

    assert caught.value.problems[0].where == "project.json"
    assert caught.value.problems[0].remedy
    assert files.tree("") == before


def test_a_missing_version_is_refused(place: Workplace, files: MemoryFiles) -> None:
    """V6."""
    files.put(HEAD, b'{"id": "x", "name": "y"}')

    with pytest.raises(StoreError, match="version"):
        open_project(TARGET, workplace=place)


# ---- migrations, on tables of their own


def _rename_key(plain: dict[str, object]) -> dict[str, object]:
    """A step in which boats call their builder something else."""
    out = dict(plain)
    for path, content in plain.items():
        if path.endswith("/boat.json") and isinstance(content, dict) and "made_by" in content:
            kept = {key: value for key, value in content.items() if key != "made_by"}
            out[path] = {**kept, "builder": content["made_by"]}
    return out


def _drop_comparables(plain: dict[str, object]) -> dict[str, object]:
    return {path: content for path, content in plain.items() if path != "comparables.json"}


STEPS = {(1, 0): Step((1, 1), _rename_key), (1, 1): Step((2, 0), _drop_comparables)}


def test_steps_are_applied_one_after_the_other() -> None:
    plain: dict[str, object] = {
        "project.json": {"format_version": [1, 0]},
        "boats/a/boat.json": {"made_by": "A yard"},
        "boats/b/boat.json": {},
        "comparables.json": {},
    }

    after, paths = migrated(plain, STEPS, (2, 0))

    assert after == {
        "project.json": {"format_version": [2, 0]},
        "boats/a/boat.json": {"builder": "A yard"},
        "boats/b/boat.json": {},
    }
    assert paths == {"project.json", "boats/a/boat.json", "comparables.json"}
    assert migrated(after, STEPS, (2, 0)) == (after, frozenset())


def test_a_version_without_a_step_is_refused() -> None:
    with pytest.raises(StoreError, match="older"):
        migrated({"project.json": {"format_version": [1, 7]}}, STEPS, (2, 0))


def test_the_current_version_needs_no_step() -> None:
    plain: dict[str, object] = {"project.json": {"format_version": list(FORMAT)}}

    assert migrated(plain) == (plain, frozenset())


def test_a_migration_writes_at_the_first_save_after_a_backup_that_stays(
    place: Workplace, files: MemoryFiles, monkeypatch: pytest.MonkeyPatch
) -> None:
    """V4 and V5's way back."""
    boat = f"{ROOT}/boats/boat-1/boat.json"
    plain: Any = read_json(files.read(boat, 10**6)).value
    files.put(boat, write_json({**plain, "made_by": "A yard"}))
    before = files.tree(ROOT)
    monkeypatch.setattr(migrations, "STEPS", {(1, 0): Step((1, 1), _rename_key)})

    opened = open_project(TARGET, workplace=place)
    assert opened.project.boats["boat-1"].boat.builder == "A yard"
    assert files.tree(ROOT) == before

    report = save_project(opened.folder, opened.project, opened.project)
    assert report.written == ("boats/boat-1/boat.json", "project.json")
    again = open_project(TARGET, workplace=place)
    assert again.project == opened.project
    assert save_project(again.folder, again.project, again.project).written == ()

    (backup,) = list_backups(place, opened.project.id)
    assert backup.for_good
    assert read_backup(place, backup) == before
    restore_backup(again.folder, backup)
    assert files.tree(ROOT) == before


def test_without_room_for_the_backup_nothing_is_migrated(
    place: Workplace, files: MemoryFiles, monkeypatch: pytest.MonkeyPatch
) -> None:
    """V4."""
    monkeypatch.setattr(migrations, "STEPS", {(1, 0): Step((1, 1), _rename_key)})
    opened = open_project(TARGET, workplace=place)
    before = files.tree(ROOT)
    files.put("/own/backups", b"a file where the folder should be")

    with pytest.raises(NotSavedError, match="backup"):
        save_project(opened.folder, opened.project, opened.project)

    assert files.tree(ROOT) == before


# ---- golden folders of every version that was released


def golden(version: str, files: MemoryFiles) -> None:
    """Put a golden folder into memory."""
    for path in sorted((GOLDEN / version).rglob("*")):
        name = path.relative_to(GOLDEN / version).as_posix()
        if path.is_file():
            above = f"{ROOT}/{name}".rpartition("/")[0]
            files.put_folders(above)
            files.put(f"{ROOT}/{name}", path.read_bytes())


@pytest.mark.parametrize("version", sorted(p.name for p in GOLDEN.iterdir()))
def test_a_folder_of_every_released_version_opens_as_the_sample(version: str) -> None:
    """V4."""
    place = memory_place()
    assert isinstance(place.files, MemoryFiles)
    golden(version, place.files)

    opened = open_project(TARGET, workplace=place)

    assert opened.problems == ()
    assert opened.project == sample_project()


def test_the_current_version_has_a_golden_folder_and_is_still_written_so(
    files: MemoryFiles,
) -> None:
    """V4: a change to the bytes of the format is a change of its version."""
    folder = GOLDEN / f"{FORMAT[0]}.{FORMAT[1]}"
    kept = {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*.json")
    }

    written = files.tree(ROOT)

    assert kept == {path: hashlib.sha256(data).hexdigest() for path, data in written.items()}
