"""Every answer of every shipped check goes out in a form and comes back as it was written."""

from __future__ import annotations

import io
import random
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import openpyxl
import pytest

from tests.reports.incoming.filling import Answers, filled, places, sheet_of
from workbench.catalogue.loading import load
from workbench.catalogue.model import Entry
from workbench.domain.boat import Boat
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings
from workbench.edits.boats import add_boat
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.reports.incoming.importing import preview_of
from workbench.reports.incoming.preview import Request
from workbench.reports.incoming.reading import read_incoming
from workbench.reports.spreadsheet_form import write_form

DAY = date(2026, 5, 9)


def answer(entry: Entry, unit: str, chance: random.Random) -> tuple[object, Quantity | str]:
    """Something that can be answered, and what it is as part of a reading."""
    if entry.kind == "choice":
        one = chance.choice(entry.choices)
        return one.label, one.id
    if entry.kind == "text":
        return "no. 7 <b> & =x", "no. 7 <b> & =x"
    if entry.kind == "year":
        year = chance.randint(1960, 2020)
        return year, Quantity(Decimal(year), "calendar year")
    assert entry.low is not None
    assert entry.high is not None
    share = Decimal(chance.randint(0, 100)) / 100
    metric = Quantity(entry.low + (entry.high - entry.low) * share, entry.unit)
    step = Decimal("0.0001")
    low, high = (Quantity(one, entry.unit).to(unit).number for one in (entry.low, entry.high))
    lowest, highest = low.quantize(step, ROUND_CEILING), high.quantize(step, ROUND_FLOOR)
    held = min(max(metric.to(unit).number.quantize(step), lowest), highest)
    return float(held), Quantity(held, unit)


@pytest.mark.parametrize(
    ("units", "printed", "read"),
    [
        ("metric", "en", "en"),
        ("imperial", "en", "en"),
        ("metric", "de", "de"),
        ("metric", "de", "en"),
        ("metric", "en", "de"),
    ],
)
def test_every_answer_comes_back_as_it_was_written(units: str, printed: str, read: str) -> None:
    project = Project("p", "Search", Settings(as_of=DAY, units=units))
    project, _ = apply(project, add_boat(project, Boat("", "Ann", year=1985)))
    catalogue = load(printed)
    figured = assess(project, catalogue).boats["ann"]
    kept = io.BytesIO()
    write_form(figured, catalogue, DAY, kept, imperial=units == "imperial")
    rows, _ = places(sheet_of(openpyxl.load_workbook(io.BytesIO(kept.getvalue()))))
    chance = random.Random(20260509)
    said: dict[str, dict[str, object]] = {
        "form/by": {"Value": "Robin"},
        "form/date": {"Value": DAY},
    }
    expected: dict[str, dict[str, Quantity | str]] = {}
    for finding in figured.findings:
        for entry in finding.check.entries:
            imperial = units == "imperial" and entry.imperial_unit
            unit = entry.imperial_unit if imperial else entry.unit
            typed, meant = answer(entry, unit or "count", chance)
            said[f"{finding.check.id}/{entry.id}"] = {"Value": typed}
            expected.setdefault(finding.check.id, {})[entry.id] = meant
    answers: Answers = said
    assert set(said) <= set(rows)

    data = filled(kept.getvalue(), answers)
    found = preview_of(Request(read_incoming("f.xlsx", data), project, load(read), DAY))

    assert [one.sentence() for one in found.faults] == []
    assert found.questions == ()
    assert found.edit is not None
    after, _ = apply(project, found.edit)
    readings = after.boats["ann"].inspection.readings
    assert set(readings) == set(expected)
    for check, (reading,) in readings.items():
        got = {name: exact(value) for name, value in reading.values.items()}
        assert got == {name: exact(value) for name, value in expected[check].items()}, check


def exact(value: Quantity | str) -> object:
    """A value for comparing: 2.50 is 2.5."""
    return (value.number.normalize(), value.unit) if isinstance(value, Quantity) else value
