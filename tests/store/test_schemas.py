"""The schemas are fresh, hold for every file that is written, and refuse wrong shapes.

The judge is the jsonschema library (JSON Schema, draft 2020-12).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from jsonschema import Draft202012Validator

from tests.store.generated import projects
from tests.store.memory_files import MemoryFiles
from tests.store.samples import ROOT, TARGET, memory_place, sample_project
from workbench.domain.project import Project
from workbench.paths import resource
from workbench.store.folder import create_project, save_project
from workbench.store.schemas import RECORDS, schema_text


@cache
def validator(name: str) -> Draft202012Validator:
    """The committed schema of a file."""
    schema = json.loads(resource(f"schema/{name}.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def schema_for(path: str) -> str:
    """Which schema holds for a file."""
    name = path.removesuffix(".json").rpartition("/")[2]
    return "overrides-prices" if name == "prices" else name


def written(project: Project) -> dict[str, Any]:
    """Every JSON file of a project as plain data."""
    files = MemoryFiles()
    opened = create_project(TARGET, "x", project_id="p1", workplace=memory_place(files))
    save_project(opened.folder, project, opened.project)
    return {
        path: json.loads(data) for path, data in files.tree(ROOT).items() if path.endswith(".json")
    }


@pytest.mark.parametrize("name", RECORDS)
def test_the_committed_schema_is_what_the_records_say(name: str) -> None:
    committed = resource(f"schema/{name}.schema.json").read_text(encoding="utf-8")

    assert committed == schema_text(name), "run: python -m workbench.store.schemas resources/schema"


@pytest.mark.parametrize("name", RECORDS)
def test_every_field_of_a_schema_is_described(name: str) -> None:
    schema = validator(name).schema
    assert isinstance(schema, Mapping)

    for described in (schema, *schema.get("$defs", {}).values()):
        assert described["description"]
        assert all(shape["description"] for shape in described["properties"].values())


@given(projects())
@settings(max_examples=60)
def test_every_file_that_is_written_fits_its_schema(project: Project) -> None:
    for path, plain in written(project).items():
        assert list(validator(schema_for(path)).iter_errors(plain)) == [], path


def wrong_shapes(plain: Any) -> Iterator[Any]:
    """The same data with one value of a wrong kind, at every place that is known."""
    if isinstance(plain, dict):
        for key, value in plain.items():
            for wrong in wrong_shapes(value):
                yield {**plain, key: wrong}
    elif isinstance(plain, list):
        for place, value in enumerate(plain):
            for wrong in wrong_shapes(value):
                yield [*plain[:place], wrong, *plain[place + 1 :]]
    yield 7 if not isinstance(plain, int) else "seven"


def test_a_wrong_value_at_any_place_is_refused() -> None:
    for path, plain in written(sample_project(1)).items():
        checked = validator(schema_for(path))
        assert checked.is_valid(plain)
        for wrong in wrong_shapes(plain):
            assert not checked.is_valid(wrong), wrong


@pytest.mark.parametrize(
    ("name", "plain"),
    [
        ("project", {"id": "a", "name": "A", "settings": {"currency": "USD", "units": "metric"}}),
        ("project", {"id": "a", "name": "A", "format_version": "1.0"}),
        ("boat", {"name": "A"}),
        ("boat", {"id": "../x", "name": "A"}),
        ("boat", {"id": "a", "name": "A", "status": "sunk"}),
        ("boat", {"id": "a", "name": "A", "distance": {"number": 5, "unit": "nmi"}}),
        (
            "boat",
            {"id": "a", "name": "A", "asking": [{"price": {"amount": "1,5", "currency": "USD"}}]},
        ),
        (
            "boat",
            {"id": "a", "name": "A", "asking": [{"price": {"amount": "1", "currency": "usd"}}]},
        ),
        ("ledger", {"quotes": [{"id": "q", "yard": "Y"}]}),
        ("ledger", {"opening": {"amount": "1"}}),
        ("inspection", {"photos": {"a": {"id": "a"}}}),
        ("inspection", {"readings": {"c": [{"id": "r", "taken": "31.05.2026"}]}}),
        ("comparables", {"comparables": {}}),
        ("overrides-prices", {"prices": {"a": {"materials": {"low": "1", "likely": "2"}}}}),
    ],
)
def test_what_the_format_does_not_allow_is_refused(name: str, plain: Any) -> None:
    assert not validator(name).is_valid(plain)


def test_a_field_of_a_newer_version_is_allowed_everywhere() -> None:
    for path, plain in written(sample_project(1)).items():
        assert validator(schema_for(path)).is_valid({**plain, "later": {"anything": [1]}})
