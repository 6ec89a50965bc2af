"""What is saved is what is loaded, and what is loaded is what is saved (U9, V2, V3)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.store.generated import KEYS, PLAIN, projects, records
from tests.store.memory_files import MemoryFiles
from tests.store.samples import ROOT, TARGET, memory_place, renamed, sample_project
from workbench.domain.boat import Boat
from workbench.domain.inspection import Inspection
from workbench.domain.ledger import Ledger
from workbench.domain.problem import Severity
from workbench.domain.project import Project
from workbench.domain.settings import Settings
from workbench.store.codec import decode, encode
from workbench.store.faults import Faults
from workbench.store.folder import Opened, create_project, open_project, save_project
from workbench.store.json_reading import read_json
from workbench.store.json_writing import write_json

KINDS = st.sampled_from([Boat, Inspection, Ledger, Settings])


def saved(project: Project) -> MemoryFiles:
    """A disk that holds the project."""
    files = MemoryFiles()
    opened = create_project(TARGET, "x", project_id="p1", workplace=memory_place(files))
    save_project(opened.folder, project, opened.project)
    return files


def opened_from(files: MemoryFiles) -> Opened:
    return open_project(TARGET, workplace=memory_place(files))


@given(KINDS.flatmap(records))
@settings(max_examples=400)
def test_a_record_is_read_as_it_was_written(record: Any) -> None:
    faults = Faults("x.json")
    data = write_json(encode(record))

    again = decode(type(record), read_json(data).value, faults)

    assert faults.problems == []
    assert again == record
    assert again is not None
    assert write_json(encode(again)) == data


@given(projects())
@settings(max_examples=100)
def test_a_project_is_loaded_as_it_was_saved_and_saved_as_it_was_loaded(project: Project) -> None:
    files = saved(project)
    before = files.tree(ROOT)

    opened = opened_from(files)
    report = save_project(opened.folder, opened.project, None)

    assert [p for p in opened.problems if p.severity is not Severity.NOTICE] == [
        p for p in opened.problems if "photo" in p.message and p.severity is not Severity.NOTICE
    ]
    assert opened.project == project
    assert report.written == ()
    assert files.tree(ROOT) == before


def objects_in(plain: Any) -> Iterator[dict[str, Any]]:
    """Every object in plain data, the whole first."""
    if isinstance(plain, dict):
        yield plain
    for inner in plain.values() if isinstance(plain, dict) else plain:
        if isinstance(inner, (dict, list)):
            yield from objects_in(inner)


def documents() -> st.SearchStrategy[tuple[type[Any], Any]]:
    """A kind of record and plain data of one."""
    return KINDS.flatmap(
        lambda kind: records(kind).map(
            lambda record: (kind, read_json(write_json(encode(record))).value)
        )
    )


def is_written_back(kind: type[Any], plain: Any) -> None:
    """Reading and writing a document gives the same bytes."""
    written = write_json(plain)
    record: Any = decode(kind, read_json(written).value, Faults("x.json"))
    assert record is not None
    assert write_json(encode(record)) == written


@given(documents(), KEYS, PLAIN)
@settings(max_examples=200)
def test_an_unknown_field_survives_at_every_level(
    document: tuple[type[Any], Any], key: str, value: Any
) -> None:
    """V2: also inside money, quantities and spans, which have no room of their own for it."""
    kind, plain = document
    for place in list(objects_in(plain)):
        place[f"newer_{key}"] = value
        is_written_back(kind, plain)
        del place[f"newer_{key}"]


@given(documents(), PLAIN)
@settings(max_examples=200)
def test_whatever_cannot_be_read_is_told_and_written_back(
    document: tuple[type[Any], Any], value: Any
) -> None:
    """B7 and V2: any value anywhere may be wrong or missing; nothing raises, nothing is lost."""
    kind, plain = document
    for place in list(objects_in(plain)):
        for key in sorted(place):
            before = place[key]
            place[key] = value
            is_written_back(kind, plain)
            del place[key]
            is_written_back(kind, plain)
            place[key] = before


def test_a_later_field_survives_an_edit_of_another() -> None:
    files = saved(sample_project())
    path = f"{ROOT}/boats/boat-0/boat.json"
    plain: Any = read_json(files.read(path, 10**6)).value
    plain["asking"][0]["price"]["with_tax"] = True
    plain["status"] = "under-offer"
    plain["measured_by_drone"] = {"height": read_json(b"1.10").value}
    files.put(path, write_json(plain))

    opened = opened_from(files)
    found = opened.project.boats["boat-0"]
    edited = replace(found, boat=replace(found.boat, seller="Someone"))
    changed = replace(opened.project, boats=opened.project.boats.set("boat-0", edited))
    save_project(opened.folder, changed, opened.project)

    assert read_json(files.read(path, 10**6)).value == {**plain, "seller": "Someone"}
    assert b'"height": 1.10' in files.read(path, 10**6)
    assert any("under-offer" in problem.message for problem in opened.problems)


def test_a_chosen_value_replaces_what_could_not_be_read() -> None:
    files = saved(sample_project())
    path = f"{ROOT}/boats/boat-0/boat.json"
    plain: Any = read_json(files.read(path, 10**6)).value
    plain["year"] = "about 1980"
    files.put(path, write_json(plain))

    opened = opened_from(files)
    found = opened.project.boats["boat-0"]
    assert found.boat.year is None
    edited = replace(found, boat=replace(found.boat, year=1980))
    changed = replace(opened.project, boats=opened.project.boats.set("boat-0", edited))
    save_project(opened.folder, changed, opened.project)

    assert read_json(files.read(path, 10**6)).value == {**plain, "year": 1980}


def test_saving_what_was_just_loaded_writes_nothing() -> None:
    """V3."""
    files = saved(sample_project())
    opened = opened_from(files)
    steps = len(files.log)

    save_project(opened.folder, opened.project, opened.project)

    assert len(files.log) == steps


def test_taking_an_edit_back_brings_the_very_bytes_back_even_of_a_file_written_by_hand() -> None:
    """V3 and U1."""
    files = saved(sample_project())
    path = f"{ROOT}/boats/boat-0/boat.json"
    by_hand = files.read(path, 10**6).replace(b"\n ", b"\n\t ")
    files.put(path, by_hand)
    before = files.tree(ROOT)
    opened = opened_from(files)
    changed = renamed(opened.project, "boat-0", "Changed")

    save_project(opened.folder, changed, opened.project)
    assert files.tree(ROOT) != before
    save_project(opened.folder, opened.project, changed)

    assert files.tree(ROOT) == before


def test_taking_back_a_new_boat_leaves_no_folder() -> None:
    files = saved(sample_project(1))
    opened = opened_from(files)
    more = sample_project(2)

    save_project(opened.folder, more, opened.project)
    save_project(opened.folder, opened.project, more)

    assert files.names(f"{ROOT}/boats") == ["boat-0"]


def test_the_boats_keep_the_order_in_which_they_were_entered() -> None:
    project = sample_project(3)
    turned = replace(project, boats=type(project.boats)(list(project.boats.items())[::-1]))

    opened = opened_from(saved(turned))

    assert list(opened.project.boats) == ["boat-2", "boat-1", "boat-0"]
