"""A fillable PDF comes back as readings; bad PDFs are refused in words.

The forms are made here with reportlab and filled in with pypdf, as somebody's reader would.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject, NameObject, TextStringObject
from reportlab.pdfgen.canvas import Canvas

from tests.figures.small_yard import mm
from tests.reports.incoming.filling import VISIT, preview, taken_in
from workbench.domain.inspection import Reading
from workbench.domain.problem import HardstandError
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Sight
from workbench.reports.incoming.reading import read_incoming

LINES = (
    *("form/readings/1/ann", "form/by", "form/date"),
    *("bearing/play", "bearing/note", "seacocks/number", "rigging/not-seen", "seal/sight"),
)
BOXES = (
    *("bearing/sound/quiet", "bearing/sound/knocks", "bearing/sight/not-sure"),
    *("seacocks/state/good", "seacocks/state/bad"),
)
ANSWERS = {
    "form/by": "Robin",
    "form/date": "2026-05-09",
    "bearing/play": "0,7",
    "bearing/note": "rocks by hand",
    "bearing/sound/knocks": "/Yes",
    "bearing/sight/not-sure": "/Yes",
    "seacocks/state/bad": "/Yes",
    "seacocks/number": "3",
    "rigging/not-seen": "mast is down",
    "seal/sight": "not fitted",
}


def blank_form() -> bytes:
    """A fillable form: lines to write on and boxes to tick, named as the rows of a form are."""
    kept = io.BytesIO()
    canvas = Canvas(kept)
    canvas.drawString(40, 810, "Field form")
    for number, name in enumerate(LINES):
        canvas.acroForm.textfield(name=name, x=40, y=780 - 30 * number, width=200, height=20)
    for number, name in enumerate(BOXES):
        canvas.acroForm.checkbox(name=name, x=300, y=780 - 30 * number, buttonStyle="check")
    canvas.save()
    return kept.getvalue()


def filled_in(answers: Mapping[str, str], data: bytes = b"") -> bytes:
    """The form with some answers."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(data or blank_form())))
    writer.update_page_form_field_values(
        writer.pages[0],
        {
            name: NameObject(value) if value.startswith("/") else value
            for name, value in answers.items()
        },
        auto_regenerate=False,
    )
    kept = io.BytesIO()
    writer.write(kept)
    return kept.getvalue()


DAMAGED_BELOW = filled_in(ANSWERS)


def readings(project: Project) -> Mapping[str, tuple[Reading, ...]]:
    return project.boats["ann"].inspection.readings


def refusal(data: bytes) -> str:
    """The sentence with which a file is refused."""
    with pytest.raises(HardstandError) as caught:
        read_incoming("form.pdf", data)
    (problem,) = caught.value.problems
    assert problem.remedy
    return problem.message


def test_a_filled_pdf_comes_back_as_readings() -> None:
    found = readings(taken_in(filled_in({**ANSWERS, "form/readings/1/ann": "Ann"})))

    (bearing,), (seacocks,) = found["bearing"], found["seacocks"]
    assert dict(bearing.values) == {"play": mm("0.7"), "sound": "knocks"}
    assert (bearing.by, bearing.taken, bearing.note) == ("Robin", VISIT, "rocks by hand")
    assert not bearing.sure
    assert dict(seacocks.values) == {
        "state": "bad",
        "number": Quantity(Decimal(3), "count"),
    }
    assert seacocks.sure
    (rigging,), (seal,) = found["rigging"], found["seal"]
    assert (rigging.sight, rigging.reason) == (Sight.NOT_SEEN, "mast is down")
    assert seal.sight is Sight.NOT_FITTED


def test_the_same_pdf_a_second_time_changes_nothing() -> None:
    data = filled_in(ANSWERS)

    assert preview(data, taken_in(data)).edit is None


def test_two_boxes_of_one_choice_are_told_of() -> None:
    found = preview(filled_in({**ANSWERS, "bearing/sound/quiet": "/Yes"}))

    assert any("two answers (quiet; knocks)" in one.message for one in found.faults)
    assert found.edit is None


def test_not_seen_without_a_reason_is_not_seen() -> None:
    found = readings(taken_in(filled_in({**ANSWERS, "seal/sight": "not seen"})))

    (seal,) = found["seal"]
    assert (seal.sight, seal.reason) == (Sight.NOT_SEEN, "")


def test_an_empty_form_changes_nothing() -> None:
    found = preview(blank_form())

    assert (found.edit, found.rows, found.faults) == (None, 0, ())


def test_a_place_in_a_pdf_is_named_by_its_field() -> None:
    found = preview(filled_in({**ANSWERS, "bearing/play": "lots"}))

    assert [one.where for one in found.faults] == ["file.xlsx, field bearing/play"]


def test_a_pdf_without_fields_is_refused() -> None:
    kept = io.BytesIO()
    canvas = Canvas(kept)
    canvas.drawString(40, 700, "Dear")
    canvas.save()

    assert "no fields to fill in" in refusal(kept.getvalue())


def test_a_pdf_with_a_password_is_refused() -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(blank_form())))
    writer.encrypt("secret")
    kept = io.BytesIO()
    writer.write(kept)

    assert "protected by a password" in refusal(kept.getvalue())


@pytest.mark.parametrize("keep", [0.02, 0.3])
def test_a_pdf_cut_short_is_refused(keep: float) -> None:
    data = filled_in(ANSWERS)

    message = refusal(data[: int(len(data) * keep)])

    assert "cut short or damaged" in message or "no fields" in message


@given(st.data())
def test_whatever_happened_to_a_pdf_it_is_read_or_refused_in_words(drawn: st.DataObject) -> None:
    made = bytearray(DAMAGED_BELOW)
    for _ in range(drawn.draw(st.integers(1, 6))):
        made[drawn.draw(st.integers(8, len(made) - 1))] = drawn.draw(st.integers(0, 255))

    try:
        incoming = read_incoming("form.pdf", bytes(made))
    except HardstandError as error:
        said = [problem.remedy for problem in error.problems]
    else:
        said = [incoming.kind]
    assert all(said)


def test_scripts_and_attached_files_are_told_of_and_left_alone() -> None:
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(filled_in(ANSWERS))))
    script = {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("x")}
    writer.root_object[NameObject("/OpenAction")] = DictionaryObject(script)
    writer.add_attachment("letter.txt", b"Dear")
    kept = io.BytesIO()
    writer.write(kept)

    told = {one.message for one in preview(kept.getvalue()).notices}

    assert told == {
        "It holds scripts. They were not run.",
        "Other files are attached to it. They were left alone.",
    }


def test_the_day_in_a_pdf_may_be_written_out() -> None:
    found = readings(taken_in(filled_in({**ANSWERS, "form/date": "3 June 2026"})))

    assert found["bearing"][0].taken == date(2026, 6, 3)
