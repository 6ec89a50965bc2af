"""A folder in any state shows what it can and is not harmed (D13, C6 to C11, B15 to B18)."""

from __future__ import annotations

import unicodedata
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.store.memory_files import MemoryFiles
from tests.store.samples import (
    ROOT,
    TARGET,
    memory_place,
    renamed,
    sample_project,
    saved_sample,
    with_photos,
)
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection
from workbench.domain.problem import Problem, Severity
from workbench.domain.settings import Settings
from workbench.store import layout
from workbench.store.errors import NotSavedError, StoreError
from workbench.store.exports import export_name
from workbench.store.folder import Opened, create_project, open_project, save_project
from workbench.store.json_reading import read_json
from workbench.store.json_writing import write_json
from workbench.store.workplace import Workplace

BOAT = f"{ROOT}/boats/boat-1/boat.json"
INSPECTION = f"{ROOT}/boats/boat-1/inspection.json"


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


def open_sample(place: Workplace) -> Opened:
    return open_project(TARGET, workplace=place)


def change(files: MemoryFiles, path: str, **fields: object) -> None:
    """Change fields of a JSON file from outside."""
    plain: Any = read_json(files.read(path, 10**7)).value
    files.put(path, write_json({**plain, **fields}))


def serious(opened: Opened) -> list[Problem]:
    return [problem for problem in opened.problems if problem.severity is not Severity.NOTICE]


def test_a_saved_project_opens_as_it_was_without_a_word(place: Workplace) -> None:
    opened = open_sample(place)

    assert opened.project == sample_project()
    assert opened.problems == ()
    assert opened.read_only == ""


def test_opening_writes_nothing(place: Workplace, files: MemoryFiles) -> None:
    """P13."""
    open_sample(place)

    assert files.log == []


def test_the_layout_is_one_a_person_can_read(files: MemoryFiles) -> None:
    of_a_boat = ("boat", "inspection", "ledger")

    assert sorted(files.tree(ROOT)) == [
        *(f"boats/boat-{n}/{name}.json" for n in range(3) for name in of_a_boat),
        "comparables.json",
        "project.json",
    ]


def test_a_boat_nobody_looked_at_has_one_file(place: Workplace, files: MemoryFiles) -> None:
    opened = open_sample(place)
    boat = opened.project.boats["boat-1"]
    bare = replace(boat, inspection=Inspection(), ledger=type(boat.ledger)())
    changed = replace(opened.project, boats=opened.project.boats.set("boat-1", bare))

    save_project(opened.folder, changed, opened.project)

    assert files.names(f"{ROOT}/boats/boat-1") == ["boat.json"]
    assert open_sample(place).project == changed


# ---- damaged files


@pytest.mark.parametrize(
    "data", [b"", b"\0" * 100, b'{"id": "boat-1", "na', b"[]", b'{"a":1,"a":2}']
)
@pytest.mark.parametrize("name", ["inspection", "ledger"])
def test_a_boat_opens_without_her_damaged_file_which_stays_as_it_is(
    place: Workplace, files: MemoryFiles, name: str, data: bytes
) -> None:
    """D13."""
    path = f"boats/boat-1/{name}.json"
    files.put(f"{ROOT}/{path}", data)

    opened = open_sample(place)
    (damaged,) = opened.damaged
    changed = renamed(opened.project, "boat-1", "Changed")
    report = save_project(opened.folder, changed, opened.project)

    assert damaged.path == path
    assert damaged.problem.where == path
    assert damaged.problem.boat == "boat-1"
    assert damaged.problem.remedy
    assert list(opened.project.boats) == ["boat-0", "boat-1", "boat-2"]
    assert report.written == ("boats/boat-1/boat.json",)
    assert files.read(f"{ROOT}/{path}", 1000) == data


def test_a_change_to_a_damaged_file_is_held_back_and_said(
    place: Workplace, files: MemoryFiles
) -> None:
    """D13: never written over."""
    files.put(INSPECTION, b"{")
    opened = open_sample(place)
    boat = opened.project.boats["boat-1"]
    seen = sample_project().boats["boat-1"].inspection
    changed = replace(
        opened.project, boats=opened.project.boats.set("boat-1", replace(boat, inspection=seen))
    )

    report = save_project(opened.folder, changed, opened.project)

    assert not report.complete
    assert report.held_back == ("boats/boat-1/inspection.json",)
    assert report.problems[0].boat == "boat-1"
    assert files.read(INSPECTION, 100) == b"{"


def test_a_damaged_boat_is_left_out_and_keeps_her_place(
    place: Workplace, files: MemoryFiles
) -> None:
    files.put(BOAT, b"{")
    opened = open_sample(place)

    save_project(opened.folder, renamed(opened.project, "boat-2", "X"), opened.project)
    changed = replace(opened.project, name="Other")
    save_project(opened.folder, changed, renamed(opened.project, "boat-2", "X"))

    assert list(opened.project.boats) == ["boat-0", "boat-2"]
    head: Any = read_json(files.read(f"{ROOT}/project.json", 10**6)).value
    assert head["boats"] == ["boat-0", "boat-1", "boat-2"]
    assert files.read(BOAT, 100) == b"{"


@pytest.mark.parametrize("data", [b"", b"\0" * 64, b"{"])
def test_with_a_damaged_project_file_the_boats_can_still_be_looked_at(
    place: Workplace, files: MemoryFiles, data: bytes
) -> None:
    """D13."""
    files.put(f"{ROOT}/project.json", data)

    opened = open_sample(place)

    assert set(opened.project.boats) == {"boat-0", "boat-1", "boat-2"}
    assert "assumed" in opened.read_only
    with pytest.raises(NotSavedError):
        save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)
    assert files.log == []


@pytest.mark.parametrize("what", ["link or pipe", "folder", "too large"])
@pytest.mark.parametrize("path", [INSPECTION, BOAT, f"{ROOT}/comparables.json"])
def test_what_is_no_regular_file_is_refused_without_being_opened(
    place: Workplace, files: MemoryFiles, path: str, what: str
) -> None:
    """B18, B14."""
    files.unlink(path)
    if what == "folder":
        files.put_folders(path)
    elif what == "too large":
        files.put(path, b" " * (2**24 + 1))
    else:
        files.put_other(path)

    opened = open_sample(place)

    assert [damaged.path for damaged in opened.damaged] == [path.removeprefix(f"{ROOT}/")]


@pytest.mark.parametrize("folder", ["boats", "boats/boat-1", "overrides"])
def test_a_link_in_place_of_a_folder_is_not_followed(
    place: Workplace, files: MemoryFiles, folder: str
) -> None:
    """B61: nothing outside the project folder is read."""
    names = folder.rpartition("/")
    if files.facts(f"{ROOT}/{folder}") is not None:
        files.rename(f"{ROOT}/{folder}", f"{ROOT}/{names[0]}{names[1]}was")
    files.put_other(f"{ROOT}/{folder}")

    opened = open_sample(place)

    assert folder in {damaged.path for damaged in opened.damaged}


# ---- no project at all


def test_a_folder_without_a_project_file_is_refused_with_a_remedy() -> None:
    place = memory_place()

    with pytest.raises(StoreError, match=r"project\.json.*Choose"):
        open_project(Path("/own"), workplace=place)
    with pytest.raises(StoreError, match="no such folder"):
        open_project(Path("/nowhere"), workplace=place)


def test_a_new_project_never_takes_a_folder_with_something_in_it(
    place: Workplace, files: MemoryFiles
) -> None:
    before = files.tree("")

    with pytest.raises(StoreError, match="already"):
        create_project(TARGET, "Another", workplace=place)
    with pytest.raises(StoreError, match="cannot be made"):
        create_project(Path("/no/such/parent"), "Another", workplace=place)

    assert files.tree("") == before


def test_a_new_project_can_be_made_in_an_empty_folder() -> None:
    place = memory_place()
    assert isinstance(place.files, MemoryFiles)
    place.files.put_folders(ROOT)

    opened = create_project(TARGET, "Mine", Settings(currency="EUR"), workplace=place)

    assert open_sample(place).project == opened.project
    assert opened.project.settings.currency == "EUR"
    assert len(opened.project.id) == 16


def test_no_path_of_a_project_is_longer_than_any_system_takes() -> None:
    """C13: with a parent of 150 characters all stay under the 260 of Windows."""
    longest = f"boats/{'x' * 40}/photos/{'0' * 40}.heic"
    aside = layout.beside(f"boats/{'x' * 40}/inspection.json", "damaged", "20260531T120000Z")
    export = f"exports/{export_name('x' * 500, date(2026, 5, 31), 'xlsx')}"

    for path in (longest, aside, export):
        assert len(path) <= layout.LONGEST_PATH
    assert layout.LONGEST_PATH + layout.LONGEST_PARENT + 1 < 260


def test_a_folder_far_down_is_pointed_out_when_it_is_made() -> None:
    """C13."""
    place = memory_place()
    assert isinstance(place.files, MemoryFiles)
    deep = "/boats/" + "a" * 75 + "/" + "b" * 75
    place.files.put_folders(deep)

    opened = create_project(Path(f"{deep}/mine"), "Mine", workplace=place)

    assert opened.problems[0].severity is Severity.NOTICE
    assert "150" in opened.problems[0].message


# ---- names


@pytest.mark.parametrize(
    "name",
    [
        "inspection.sync-conflict-20260531-140500-ABCDEFG.json",
        "inspection (someone's conflicted copy 2026-05-31).json",
        "inspection_conflict-20260531-140500.json",
        "inspection (mine 20260531T140500Z).json",
        "inspection (damaged 20260531T140500Z).json",
    ],
)
def test_a_second_version_from_a_sync_is_told_and_not_loaded(
    place: Workplace, files: MemoryFiles, name: str
) -> None:
    """C6."""
    files.put(f"{ROOT}/boats/boat-1/{name}", b"not even JSON")

    opened = open_sample(place)

    assert opened.project == sample_project()
    (problem,) = opened.problems
    assert problem.where == f"boats/boat-1/{name}"
    assert problem.severity is Severity.NOTICE


@pytest.mark.parametrize(
    "name", ["Boat-1", "boat_1", "boat 1", "boat-1 (x conflicted copy 2026-05-31)", "x" * 41, "é"]
)
def test_a_folder_that_cannot_be_a_boat_is_told_and_left(
    place: Workplace, files: MemoryFiles, name: str
) -> None:
    """C11."""
    files.put_folders(f"{ROOT}/boats/{name}")
    files.put(f"{ROOT}/boats/{name}/boat.json", files.read(BOAT, 10**6))

    opened = open_sample(place)

    assert opened.project == sample_project()
    assert [problem.where for problem in opened.problems] == [f"boats/{name}"]


@pytest.mark.parametrize("name", ["Boat.json", unicodedata.normalize("NFD", "BOAT.JSON")])
def test_a_name_that_differs_only_in_spelling_is_told_and_not_merged(
    place: Workplace, files: MemoryFiles, name: str
) -> None:
    """C11."""
    files.put(f"{ROOT}/boats/boat-1/{name}", b"{}")

    opened = open_sample(place)

    assert opened.project == sample_project()
    assert "spelling" in opened.problems[0].message


def test_two_folders_with_one_boat_are_both_told_and_neither_is_dropped(
    place: Workplace, files: MemoryFiles
) -> None:
    """C6, B16."""
    files.put_folders(f"{ROOT}/boats/boat-1-copy")
    files.put(f"{ROOT}/boats/boat-1-copy/boat.json", files.read(BOAT, 10**6))

    opened = open_sample(place)
    save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)

    assert list(opened.project.boats) == ["boat-0", "boat-1", "boat-2"]
    (problem,) = serious(opened)
    assert "boats/boat-1-copy/boat.json" in problem.where
    assert "boats/boat-1/" in problem.remedy
    assert files.facts(f"{ROOT}/boats/boat-1-copy/boat.json") is not None


def test_a_boat_whose_folder_was_renamed_goes_by_its_name(
    place: Workplace, files: MemoryFiles
) -> None:
    files.rename(f"{ROOT}/boats/boat-1", f"{ROOT}/boats/sea-otter")

    opened = open_sample(place)

    assert opened.project.boats["sea-otter"].boat.id == "sea-otter"
    assert opened.project.boats["sea-otter"].boat.name == "Boat 1"
    assert {problem.boat for problem in opened.problems} == {"sea-otter", "boat-1"}


def test_a_boat_that_is_listed_and_not_here_is_waited_for(
    place: Workplace, files: MemoryFiles
) -> None:
    """C7."""
    for name in files.names(f"{ROOT}/boats/boat-1"):
        files.unlink(f"{ROOT}/boats/boat-1/{name}")

    opened = open_sample(place)
    save_project(opened.folder, replace(opened.project, name="Other"), opened.project)

    (problem,) = opened.problems
    assert problem.boat == "boat-1"
    assert "sync" in problem.remedy
    head: Any = read_json(files.read(f"{ROOT}/project.json", 10**6)).value
    assert head["boats"] == ["boat-0", "boat-1", "boat-2"]


def test_a_boat_that_came_by_sync_is_taken_up_after_the_others(
    place: Workplace, files: MemoryFiles
) -> None:
    files.put_folders(f"{ROOT}/boats/a-new-one")
    data = files.read(BOAT, 10**6).replace(b'"boat-1"', b'"a-new-one"')
    files.put(f"{ROOT}/boats/a-new-one/boat.json", data)

    assert list(open_sample(place).project.boats) == ["boat-0", "boat-1", "boat-2", "a-new-one"]


def test_what_is_not_ours_is_left_alone(place: Workplace, files: MemoryFiles) -> None:
    """V2: unknown files survive."""
    files.put(f"{ROOT}/notes.txt", b"mine")
    files.put(f"{ROOT}/boats/boat-1/sketch.svg", b"<svg/>")
    opened = open_sample(place)

    save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)

    assert opened.problems == ()
    assert files.read(f"{ROOT}/notes.txt", 100) == b"mine"
    assert files.read(f"{ROOT}/boats/boat-1/sketch.svg", 100) == b"<svg/>"


# ---- checks and photos


def test_the_buyers_own_checks_are_kept_to_the_byte(place: Workplace, files: MemoryFiles) -> None:
    opened = open_sample(place)
    text = "# my checks\r\n[check]\nname = 'Größe'\n\n"
    overrides = replace(opened.project.overrides, checks=FrozenMap({"my.toml": text}))
    changed = replace(opened.project, overrides=overrides)

    save_project(opened.folder, changed, opened.project)

    assert files.read(f"{ROOT}/overrides/checks/my.toml", 1000) == text.encode()
    assert open_sample(place).project == changed


def test_checks_that_are_no_text_or_badly_named_are_told(
    place: Workplace, files: MemoryFiles
) -> None:
    """B10."""
    files.put_folders(f"{ROOT}/overrides/checks")
    files.put(f"{ROOT}/overrides/checks/bad.toml", b"\xff")
    files.put(f"{ROOT}/overrides/checks/My Checks.toml", b"")

    opened = open_sample(place)

    assert [damaged.path for damaged in opened.damaged] == ["overrides/checks/bad.toml"]
    assert opened.problems[0].where == "overrides/checks/My Checks.toml"


def test_missing_photos_and_readings_that_name_none_are_told(
    place: Workplace, files: MemoryFiles
) -> None:
    """B15."""
    opened = open_sample(place)
    changed = with_photos(opened.folder, opened.project, "boat-1", range(2))
    save_project(opened.folder, changed, opened.project)
    (first, _) = changed.boats["boat-1"].inspection.photos.values()
    files.unlink(f"{ROOT}/boats/boat-1/photos/{first.file}")
    plain: Any = read_json(files.read(INSPECTION, 10**6)).value
    plain["readings"]["stern-bearing"][0]["photos"] = ["nowhere"]
    files.put(INSPECTION, write_json(plain))

    found = open_sample(place).problems

    assert [problem.key for problem in found] == [f"photos.{first.id}", "readings.stern-bearing"]
    assert found[0].severity is Severity.PROBLEM


# ---- read-only


def test_a_folder_that_cannot_be_written_opens_and_is_never_touched(
    place: Workplace, files: MemoryFiles
) -> None:
    """C8."""
    files.writable = False

    opened = open_sample(place)
    with pytest.raises(NotSavedError):
        save_project(opened.folder, renamed(opened.project, "boat-1", "X"), opened.project)

    assert opened.project == sample_project()
    assert "Save a copy elsewhere" in opened.read_only
    assert files.log == []
