"""A field form for the screen goes out, is filled in by two programs, and comes back as readings.

The programs are pypdf, which writes values into the file, and PDFium, the engine of a browser,
which is clicked at and typed into. Neither is part of what is written; the reader of filled forms
uses pypdf, so what it read is held against pdfminer and PDFium too.
"""

from __future__ import annotations

import functools
import io
import random
from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from tests.figures.small_yard import mm, search, small_catalogue
from tests.reports.incoming.filling import VISIT, preview, taken_in
from tests.reports.incoming.test_field_forms_round_trip import values
from tests.reports.incoming.test_whole_catalogue import answer, exact
from tests.reports.screen_filling import Typed, Typist, by_pdfium, by_pypdf, said_by_pdfminer
from workbench.catalogue.loading import load
from workbench.domain.boat import Boat
from workbench.domain.inspection import Reading
from workbench.domain.problem import HardstandError
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Sight
from workbench.edits.boats import add_boat
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.reports.incoming.importing import preview_of
from workbench.reports.incoming.preview import Request
from workbench.reports.incoming.reading import read_incoming
from workbench.reports.pdf import write_pdf
from workbench.reports.screen_form import screen_form_document

FillIn = Callable[[bytes, Typed], bytes]
WAYS = pytest.mark.parametrize("fill_in", [by_pypdf, by_pdfium])
ROBIN: Typed = {
    "form/by": "Robin",
    "form/date": "2026-05-09",
    "bearing/play": "0,8 mm",
    "bearing/sound": "knocks",
    "bearing/note": "rocks <by> hand & creaks, Ωμέγα ½",
    "seacocks/state": "bad",
    "seacocks/number": "3",
    "seacocks/sight": "not-sure",
    "rigging/not-seen": "mast is down",
    "seal/sight": "not-fitted",
}
ROBINS = {
    "bearing": Reading(
        f"{VISIT}-1",
        values(play=mm("0.8"), sound="knocks"),
        note="rocks <by> hand & creaks, Ωμέγα ½",
        taken=VISIT,
        by="Robin",
    ),
    "seacocks": Reading(
        f"{VISIT}-1",
        values(state="bad", number=Quantity(Decimal(3), "count")),
        sure=False,
        taken=VISIT,
        by="Robin",
    ),
    "rigging": Reading(
        f"{VISIT}-1", sight=Sight.NOT_SEEN, reason="mast is down", taken=VISIT, by="Robin"
    ),
    "seal": Reading(f"{VISIT}-1", sight=Sight.NOT_FITTED, taken=VISIT, by="Robin"),
}


@functools.cache
def screen_form(*, imperial: bool = False) -> bytes:
    """The form of Ann, as it goes out."""
    assessment = assess(search({}), small_catalogue())
    document = screen_form_document(
        assessment.boats["ann"], assessment.catalogue, date(2026, 5, 1), imperial=imperial
    )
    kept = io.BytesIO()
    write_pdf(document, kept)
    return kept.getvalue()


def readings(project: Project) -> dict[str, tuple[Reading, ...]]:
    return dict(project.boats["ann"].inspection.readings)


def only(project: Project, check: str) -> Reading:
    (reading,) = readings(project)[check]
    return reading


@WAYS
def test_what_is_typed_comes_back_as_readings(fill_in: FillIn) -> None:
    found = readings(taken_in(fill_in(screen_form(), ROBIN)))

    assert found == {check: (reading,) for check, reading in ROBINS.items()}


@WAYS
def test_a_second_import_changes_nothing(fill_in: FillIn) -> None:
    data = fill_in(screen_form(), ROBIN)
    once = taken_in(data)

    again = preview(data, once)

    assert (again.edit, again.changes, again.unchanged) == (None, (), len(ROBINS))


def test_the_form_as_it_goes_out_changes_nothing() -> None:
    found = preview(screen_form())

    assert (found.edit, found.rows, found.faults, found.questions) == (None, 0, (), ())


@WAYS
def test_three_readers_find_the_same_in_a_filled_form(fill_in: FillIn) -> None:
    data = fill_in(screen_form(), ROBIN)

    incoming = read_incoming("form.pdf", data)
    (sheet,) = incoming.sheets
    ours = {row.cells[1].text: row.cells[2].text for row in sheet.rows[1:] if 2 in row.cells}
    for theirs in (said_by_pdfminer(data), Typist(data).said()):
        assert ours == {name: said for name, said in theirs.items() if said not in ("", "Off")}
    typed = {name: said for name, said in ours.items() if name in ROBIN}
    assert typed == dict(ROBIN)


def test_a_form_that_is_partly_filled_brings_only_that() -> None:
    data = by_pdfium(
        screen_form(), {"form/by": "Kim", "form/date": "9 May 2026", "seacocks/number": "4"}
    )

    found = readings(taken_in(data))

    assert set(found) == {"seacocks"}
    assert dict(found["seacocks"][0].values) == {"number": Quantity(Decimal(4), "count")}


def test_who_and_when_are_asked_where_they_were_left_empty() -> None:
    found = preview(by_pdfium(screen_form(), {"bearing/play": "0.8"}))

    assert [one.key for one in found.questions] == ["by", "date"]
    assert found.edit is None


def test_a_flattened_form_is_refused_with_what_to_do() -> None:
    typist = Typist(screen_form())
    typist.fill(ROBIN)
    typist.flatten()

    with pytest.raises(HardstandError) as caught:
        read_incoming("form.pdf", typist.saved())

    (problem,) = caught.value.problems
    assert "flattened" in problem.message
    assert problem.remedy == "Save the form itself rather than printing it to a new PDF."


@WAYS
@pytest.mark.parametrize(
    ("typed", "imperial", "meant"),
    [
        # 1/32 in = 0.79375 mm, by the international inch of 1959.
        ("1/32 in", False, Quantity(Decimal("0.03125"), "in")),
        ('1/32"', False, Quantity(Decimal("0.03125"), "in")),
        ("0,8 mm", False, Quantity(Decimal("0.8"), "mm")),
        ("0.8", False, Quantity(Decimal("0.8"), "mm")),
        ("½ mm", False, Quantity(Decimal("0.5"), "mm")),
        ("0.03", True, Quantity(Decimal("0.03"), "in")),
        ("1/32", True, Quantity(Decimal("0.03125"), "in")),
        ("0,8 mm", True, Quantity(Decimal("0.8"), "mm")),
    ],
)
def test_a_number_is_in_the_unit_beside_its_box_unless_another_is_typed(
    typed: str, imperial: bool, meant: Quantity, fill_in: FillIn
) -> None:
    who = {"form/by": "Kim", "form/date": "2026-05-09"}
    data = fill_in(screen_form(imperial=imperial), {**who, "bearing/play": typed})

    assert only(taken_in(data), "bearing").values["play"] == meant


def test_a_number_beyond_its_limits_is_told_of_by_its_field() -> None:
    found = preview(by_pdfium(screen_form(), {**ROBIN, "bearing/play": "900"}))

    (fault,) = found.faults
    assert fault.where == "file.xlsx, field bearing/play"
    assert "900 mm is more than" in fault.message


def test_a_box_that_is_ticked_beside_another_takes_its_place() -> None:
    data = by_pdfium(screen_form(), ROBIN, {"bearing/sound": "quiet", "seacocks/sight": "not-seen"})

    assert said_by_pdfminer(data)["bearing/sound"] == "quiet"
    assert only(taken_in(data), "bearing").values["sound"] == "quiet"


def test_a_box_that_is_ticked_again_is_empty() -> None:
    data = by_pdfium(screen_form(), ROBIN, {"bearing/sound": "knocks"})

    assert said_by_pdfminer(data)["bearing/sound"] == "Off"
    assert dict(only(taken_in(data), "bearing").values) == {"play": mm("0.8")}


def test_two_people_with_a_form_each_are_both_kept_and_their_difference_is_told() -> None:
    first = taken_in(by_pdfium(screen_form(), ROBIN))
    kims = by_pypdf(screen_form(), {**ROBIN, "form/by": "Kim", "bearing/sound": "quiet"})

    told = [one.message for one in preview(kims, first).notices]
    both = taken_in(kims, first)

    assert [one.by for one in readings(both)["bearing"]] == ["Robin", "Kim"]
    assert any("Both are kept, and the worse one counts." in one for one in told)


def test_a_form_of_a_boat_that_is_not_in_the_search_asks_for_which_it_is() -> None:
    data = by_pypdf(screen_form(), ROBIN)
    project = Project("p", "Other search", Settings(as_of=VISIT))
    project, _ = apply(project, add_boat(project, Boat("", "Ben", year=1985)))

    found = preview(data, project)

    (question,) = found.questions
    assert question.text.startswith("The form is for “ann”, who is not in this search.")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_answer_of_the_whole_catalogue_comes_back_as_it_was_typed(units: str) -> None:
    project = Project("p", "Search", Settings(as_of=VISIT, units=units))
    project, _ = apply(project, add_boat(project, Boat("", "Ann", year=1985)))
    catalogue = load()
    figured = assess(project, catalogue).boats["ann"]
    kept = io.BytesIO()
    is_imperial = units == "imperial"
    write_pdf(screen_form_document(figured, catalogue, VISIT, imperial=is_imperial), kept)
    chance = random.Random(20260509)
    typed = {"form/by": "Robin", "form/date": "2026-05-09"}
    expected: dict[str, dict[str, object]] = {}
    for finding in figured.findings:
        for entry in finding.check.entries:
            unit = entry.imperial_unit if is_imperial and entry.imperial_unit else entry.unit
            said, meant = answer(entry, unit or "count", chance)
            is_choice = entry.kind == "choice"
            name = f"{finding.check.id}/{entry.id}"
            typed[name] = str(meant) if is_choice else _as_typed(said)
            expected.setdefault(finding.check.id, {})[entry.id] = exact(meant)

    data = by_pdfium(kept.getvalue(), typed)
    request = Request(read_incoming("f.pdf", data), project, catalogue, VISIT)
    found = preview_of(request)

    assert [one.sentence() for one in found.faults] == []
    assert found.questions == ()
    assert found.edit is not None
    after, _ = apply(project, found.edit)
    got = {
        check: {name: exact(value) for name, value in reading.values.items()}
        for check, (reading,) in after.boats["ann"].inspection.readings.items()
    }
    assert got == expected


def _as_typed(said: object) -> str:
    """A number with its point, as a person writes it, or words as they are."""
    return f"{said:.4f}" if isinstance(said, float) else str(said)
