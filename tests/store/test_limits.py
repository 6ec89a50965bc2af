"""A number that its field cannot hold is told, kept, and not counted with (B79 to B87, P13)."""

from __future__ import annotations

import dataclasses
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.figures.small_yard import small_catalogue
from tests.store.samples import sample_project
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.ledger import Ledger, OfferMade
from workbench.domain.project import Comparable, Project
from workbench.domain.settings import Settings
from workbench.figures.assess import assess
from workbench.store.codec import decode, encode
from workbench.store.faults import Faults
from workbench.store.folder import create_project, open_project, save_project
from workbench.store.limits import LIMITS

MINUS = {"amount": "-1", "currency": "USD"}
BELOW = {"low": "-1", "likely": "2", "high": "3", "ends": "limits"}

REFUSED: tuple[tuple[str, type[Any], dict[str, Any], str], ...] = (
    ("B79 price", AskingPrice, {"price": MINUS}, ""),
    ("B79 opening", Ledger, {"opening": MINUS}, "opening"),
    ("B79 quote", Ledger, {"quotes": [{"id": "q", "yard": "Y", "amount": MINUS}]}, "quotes[1]"),
    ("B79 offer", Ledger, {"offers": [{"id": "o", "price": MINUS}]}, "offers[1]"),
    ("B79 job", Ledger, {"own_lines": [{"id": "j", "title": "J", "cost": BELOW}]}, "own_lines[1]"),
    ("B79 budget", Settings, {"budget": "-0.01"}, "budget"),
    ("B79 labour", Settings, {"rates": {"rigger": "0"}}, "rates.rigger"),
    ("B80 nought", Settings, {"exchange": [{"currency": "EUR", "rate": "0"}]}, "exchange[1]"),
    ("B80 negative", Settings, {"exchange": [{"currency": "EUR", "rate": "-1"}]}, "exchange[1]"),
    ("B80 tiny", Settings, {"exchange": [{"currency": "EUR", "rate": "1e-9"}]}, "exchange[1]"),
    ("B87 tax", Settings, {"taxes": [{"label": "T", "bands": [{"above": "0", "percent": "101"}]}]},
     "taxes[1]"),
    ("B87 fee", Settings, {"fees": [{"id": "f", "label": "F", "percent": "-1"}]}, "fees[1]"),
    ("B87 loan", Settings, {"loan": {"yearly_percent": "101"}}, "loan"),
    ("B87 chance", Ledger, {"changes": {"k": {"chance": "1.01"}}}, "changes.k.chance"),
    ("confidence", Settings, {"confidence": "250"}, "confidence"),
    ("draws", Settings, {"draws": 1_000_000_000}, "draws"),
    ("draws between steps", Settings, {"draws": 12_345}, "draws"),
    ("seed", Settings, {"seed": -1}, "seed"),
    ("stream", Boat, {"id": "a", "name": "A", "stream": -1}, "stream"),
)  # fmt: skip


@pytest.mark.parametrize(("what", "kind", "plain", "key"), REFUSED, ids=[one[0] for one in REFUSED])
def test_a_number_that_cannot_be_is_told_at_its_place_and_written_back_as_it_was(
    what: str, kind: type[Any], plain: dict[str, Any], key: str
) -> None:
    del what
    faults = Faults("file.json")
    record = decode(kind, plain, faults)
    told = [one for one in faults.problems if "cannot be" in one.message]

    assert len(told) == 1
    assert told[0].key.startswith(key)
    if record is not None:
        written = encode(record)
        assert {name: written.get(name) for name in plain} == plain


@pytest.mark.parametrize(
    ("kind", "plain"),
    [
        (Settings, {"fees": [{"id": "f", "label": "F", "percent": percent}]})
        for percent in ("0", "100")
    ]
    + [
        (Ledger, {"changes": {"k": {"count": "0", "chance": chance}}}) for chance in ("0", "1")
    ],
)  # fmt: skip
def test_what_lies_at_the_edge_is_taken(kind: type[Any], plain: dict[str, Any]) -> None:
    """B87."""
    faults = Faults("file.json")

    assert decode(kind, plain, faults) is not None
    assert faults.problems == []


def test_every_default_lies_within_its_limits() -> None:
    for (kind, name), limit in LIMITS.items():
        (found,) = (one for one in dataclasses.fields(kind) if one.name == name)
        if found.default is not dataclasses.MISSING and not hasattr(found.default, "items"):
            assert limit.fault(found.default) == "", f"{kind.__name__}.{name}"


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A saved search with boats, a comparable and a ledger."""
    opened = create_project(tmp_path / "search", "Search")
    project = dataclasses.replace(sample_project(), id=opened.project.id)
    assert save_project(opened.folder, project, opened.project).complete
    opened.folder.close()
    return tmp_path / "search"


def project_with(place: Path, file: str, changes: dict[str, object]) -> Project:
    """The search as it is read with other values in one of its files."""
    path = place / file
    plain = json.loads(path.read_bytes())
    for name, value in changes.items():
        plain[name] = {**plain.get(name, {}), **value} if isinstance(value, dict) else value
    path.write_text(json.dumps(plain), encoding="utf-8")
    opened = open_project(place)
    opened.folder.close()
    assert any("cannot be" in one.message for one in opened.problems)
    return opened.project


@pytest.mark.parametrize(
    ("file", "changes"),
    [
        ("project.json", {"settings": {"draws": -5}}),
        ("project.json", {"settings": {"draws": 10**12}}),
        ("project.json", {"settings": {"confidence": "1000000000"}}),
        ("project.json", {"settings": {"seed": -1}}),
        ("project.json", {"settings": {"price_level": "-1"}}),
        ("project.json", {"settings": {"own_hours_factor": "-1"}}),
        ("project.json", {"settings": {"discount_percent": "-1000000000"}}),
        ("project.json", {"settings": {"own_rate": "-1000000000"}}),
        ("project.json", {"settings": {"asked_to_sold": {**BELOW, "low": "1e-30"}}}),
        ("boats/boat-1/boat.json", {"stream": -1}),
        ("boats/boat-1/boat.json", {"dimensions": {"loa": {"number": "-31", "unit": "ft"}}}),
        ("boats/boat-1/boat.json", {"dimensions": {"loa": {"number": "1e-30", "unit": "ft"}}}),
        ("boats/boat-1/boat.json", {"dimensions": {"loa": {"number": "1e20", "unit": "ft"}}}),
        ("boats/boat-1/boat.json", {"asking": [{"price": MINUS}]}),
        ("boats/boat-1/boat.json", {"distance": {"number": "-1", "unit": "nmi"}}),
        ("boats/boat-1/ledger.json", {"opening": MINUS}),
        ("comparables.json", {"comparables": [{"id": "c", "title": "C", "price": MINUS}]}),
    ],
)
def test_a_search_with_a_number_that_cannot_be_is_figured_without_it(
    place: Path, file: str, changes: dict[str, object]
) -> None:
    """P13: whatever a stranger's files say, the figures of the rest are made."""
    project = project_with(place, file, changes)

    made = assess(project, small_catalogue())

    assert set(made.boats) == {"boat-0", "boat-1", "boat-2"}
    assert all(boat.deferred.mean >= 0 for boat in made.boats.values())


def test_a_comparable_below_nought_is_left_out_and_kept() -> None:
    faults = Faults("comparables.json")

    assert decode(Comparable, {"id": "c", "title": "C", "price": MINUS}, faults) is None
    assert decode(OfferMade, {"id": "o", "price": {**MINUS, "amount": "0"}}, faults) is not None
    assert Decimal(0) == LIMITS[(Comparable, "price")].low
