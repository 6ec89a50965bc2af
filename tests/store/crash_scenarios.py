"""The twelve saves that the fault tests interrupt (H7), each as a step on a folder in memory.

A scenario prepares a folder, then acts on it. Two versions of the text files may ever be seen: the
old and the new ones (taking everything back goes from one to the other and back again).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

from tests.store.memory_files import MemoryFiles
from tests.store.samples import (
    ROOT,
    TARGET,
    candidate,
    memory_place,
    renamed,
    saved_sample,
    with_boat,
    with_photos,
)
from workbench.domain.money import Money
from workbench.domain.project import Comparable, Project
from workbench.store import layout, migrations
from workbench.store.backups import list_backups, make_backup, restore_backup
from workbench.store.folder import create_project, open_project, save_project
from workbench.store.mending import save_copy
from workbench.store.project_folder import ProjectFolder
from workbench.store.workplace import Workplace

COPY = "/boats/copy"


@dataclass(frozen=True)
class Scenario:
    """A save under test: what lies there first, what is done, and which folder it is about."""

    name: str
    prepare: Callable[[Workplace], None]
    act: Callable[[Workplace], bool]
    root: str = ROOT
    can_be_repeated: bool = True


@dataclass(frozen=True)
class Ready:
    """A folder that is open, with the project in it."""

    folder: ProjectFolder
    project: Project


def _open(place: Workplace) -> Ready:
    opened = open_project(TARGET, workplace=place)
    assert opened.read_only == ""
    return Ready(opened.folder, opened.project)


def _saved(ready: Ready, project: Project) -> bool:
    return save_project(ready.folder, project, ready.project).complete


def _nothing(place: Workplace) -> None:
    """Nothing lies there yet."""


def _sample(place: Workplace) -> None:
    saved_sample(place)


def _sample_of_six(place: Workplace) -> None:
    saved_sample(place, boats=6)


def _sample_with_photos(place: Workplace) -> None:
    opened, project = saved_sample(place)
    changed = with_photos(opened.folder, project, "boat-1", range(3))
    save_project(opened.folder, changed, project)


def _backed_up_then_changed(place: Workplace) -> None:
    opened, project = saved_sample(place)
    make_backup(opened.folder)
    changed = with_boat(renamed(project, "boat-0", "Other name"), candidate(7))
    save_project(opened.folder, changed, project)


def _written_by_hand(place: Workplace) -> None:
    """A file with line breaks that we would not write."""
    _sample(place)
    files = place.files
    assert isinstance(files, MemoryFiles)
    path = f"{ROOT}/boats/boat-1/boat.json"
    files.put(path, files.read(path, 10**6).replace(b"\n", b"\n\n"))


def _new_project(place: Workplace) -> bool:
    create_project(TARGET, "Northern search", project_id="0f1e2d3c4b5a6978", workplace=place)
    return True


def _edit_one_boat(place: Workplace) -> bool:
    ready = _open(place)
    return _saved(ready, renamed(ready.project, "boat-1", "Sea Otter"))


def _edit_five_and_project(place: Workplace) -> bool:
    ready = _open(place)
    project = ready.project
    for number in range(5):
        project = renamed(project, f"boat-{number}", f"Renamed {number}")
    settings = replace(project.settings, budget=Decimal(50000))
    return _saved(ready, replace(project, settings=settings))


def _add_ten_photos(place: Workplace) -> bool:
    ready = _open(place)
    return _saved(ready, with_photos(ready.folder, ready.project, "boat-1", range(10)))


def _delete_boat_with_photos(place: Workplace) -> bool:
    ready = _open(place)
    return _saved(ready, replace(ready.project, boats=ready.project.boats.drop("boat-1")))


def _rename_project(place: Workplace) -> bool:
    ready = _open(place)
    return _saved(ready, replace(ready.project, name="Southern search"))


def _import_rows(place: Workplace) -> bool:
    ready = _open(place)
    price = Money(Decimal(18000), "USD")
    rows = tuple(Comparable(f"row-{n}", f"Row {n}", price) for n in range(200))
    return _saved(ready, replace(ready.project, comparables=rows))


def _migrate(place: Workplace) -> bool:
    before = migrations.STEPS
    migrations.STEPS = {(1, 0): migrations.Step((1, 1), _step)}
    try:
        ready = _open(place)
    finally:
        migrations.STEPS = before
    return _saved(ready, ready.project)


def _step(plain: dict[str, object]) -> dict[str, object]:
    """A migration that says something new in every boat."""
    out = dict(plain)
    for path, content in plain.items():
        if path.endswith("/boat.json") and isinstance(content, dict):
            out[path] = {**content, "hull_number": "XX-000"}
    return out


def _restore_backup(place: Workplace) -> bool:
    ready = _open(place)
    first = list_backups(place, ready.project.id)[-1]
    return restore_backup(ready.folder, first).complete


def _undo_all_and_save(place: Workplace) -> bool:
    """Change, save, take everything back and save: the hand-written bytes stand again."""
    ready = _open(place)
    changed = renamed(ready.project, "boat-1", "Changed")
    save_project(ready.folder, changed, ready.project)
    return save_project(ready.folder, ready.project, changed).complete


def _save_as(place: Workplace) -> bool:
    ready = _open(place)
    save_copy(ready.project, Path(COPY), source=ready.folder, project_id="copy-0")
    return True


def _resolve_conflict(place: Workplace) -> bool:
    """A file changes outside; ours is put beside it, then chosen."""
    ready = _open(place)
    files = place.files
    assert isinstance(files, MemoryFiles)
    path = "boats/boat-1/boat.json"
    theirs = files.read(f"{ROOT}/{path}", 10**6).replace(b"Boat 1", b"Theirs")
    _write_outside(files, f"{ROOT}/{path}", theirs)
    changed = renamed(ready.project, "boat-1", "Mine")
    first = save_project(ready.folder, changed, ready.project)
    assert [conflict.path for conflict in first.conflicts] == [path]
    again = save_project(ready.folder, changed, ready.project, overwrite=frozenset({path}))
    return again.complete


def _write_outside(files: MemoryFiles, path: str, data: bytes) -> None:
    """Another program writes; this is no step of ours and it is on the disk."""
    node = files._existing(path)
    files.nodes[node] = files.disk_bytes[node] = data


SCENARIOS = (
    Scenario("new project", _nothing, _new_project),
    Scenario("edit one boat", _sample, _edit_one_boat),
    Scenario("edit five boats and the project", _sample_of_six, _edit_five_and_project),
    Scenario("add ten photos", _sample, _add_ten_photos),
    Scenario("delete a boat with photos", _sample_with_photos, _delete_boat_with_photos),
    Scenario("rename the project", _sample, _rename_project),
    Scenario("import 200 rows", _sample, _import_rows),
    Scenario("migrate", _sample, _migrate),
    Scenario("restore a backup", _backed_up_then_changed, _restore_backup),
    Scenario("undo all and save", _written_by_hand, _undo_all_and_save, can_be_repeated=False),
    Scenario("save as", _sample_with_photos, _save_as, COPY, can_be_repeated=False),
    Scenario("resolve a conflict", _sample, _resolve_conflict, can_be_repeated=False),
)


def text_files(tree: dict[str, bytes]) -> dict[str, bytes]:
    """The files of a tree that a save replaces."""
    return {path: data for path, data in tree.items() if layout.is_ours(path)}


__all__ = ["SCENARIOS", "Scenario", "memory_place", "text_files"]
