"""Checks to be filled in by hand fill their pages, each whole, and boxes suit cold fingers.

That a box for writing by hand is at least 7 mm high is common practice, no source.
"""

from __future__ import annotations

import io
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from tests.reports.conftest import SetAs
from tests.reports.invented import DAY, MARIGOLD, read_text, two_boats
from workbench.catalogue.loading import load
from workbench.figures.assess import assess
from workbench.figures.assessment import BoatAssessment
from workbench.reports.document import Field, FieldKind, Form, Heading
from workbench.reports.field_form import form_document, stations_of
from workbench.reports.pdf_answers import AnswerBox, Choices, SightLine, answers, high
from workbench.reports.pdf_base import MM
from workbench.reports.pdf_forms import filling

CHECKS_TO_A_PAGE = 2.9
"""At least so many on the average of the whole form: it is carried round the boat."""


@pytest.fixture(scope="module")
def boat() -> BoatAssessment:
    return assess(two_boats(), load()).boats[MARIGOLD]


@pytest.fixture(scope="module")
def pages(boat: BoatAssessment, as_pdf: SetAs) -> list[str]:
    """The text of every page of the whole form, without line breaks."""
    made = as_pdf(form_document(boat, load(), DAY, imperial=False))
    return [" ".join(one.extract_text().split()) for one in PdfReader(io.BytesIO(made)).pages]


@given(st.lists(st.integers(1, 300), max_size=6), st.integers(0, 700))
def test_what_is_left_of_a_page_is_filled_as_well_as_it_can_be(
    heights: list[int], room: int
) -> None:
    chosen = filling(heights, room)
    must = bool(heights) and heights[0] <= room
    sums = [
        sum(heights[place] for place in places)
        for count in range(len(heights) + 1)
        for places in combinations(range(len(heights)), count)
        if not must or 0 in places
    ]

    assert list(chosen) == sorted(set(chosen))
    assert sum(heights[place] for place in chosen) == max(one for one in sums if one <= room)


def test_the_next_check_waits_for_no_other_that_would_fill_better() -> None:
    assert filling([50, 100], 100) == (0,)
    assert filling([], 100) == ()
    assert filling([200, 300], 100) == ()


def test_the_whole_form_takes_few_pages(boat: BoatAssessment, pages: list[str]) -> None:
    assert len(boat.findings) / len(pages) > CHECKS_TO_A_PAGE


def test_no_check_is_lost_and_none_leaves_its_place(boat: BoatAssessment, pages: list[str]) -> None:
    """Titles may change places with their neighbours on a walk, never with another station's."""
    text = " ".join(pages)
    begins = 0
    catalogue = load()
    for label, findings in stations_of(boat.findings, catalogue):
        minutes = sum(one.check.minutes for one in findings)
        begins = text.index(f"{label} {len(findings)} check", begins)
        after = text.find(" checks, about ", text.index(f"about {minutes} min", begins) + 20)
        here = text[begins:after] if after > 0 else text[begins:]
        assert [one.check.title for one in findings if one.check.title not in here] == []


def test_the_heading_of_a_place_stands_with_one_of_its_checks(
    boat: BoatAssessment, pages: list[str]
) -> None:
    for label, findings in stations_of(boat.findings, load()):
        page = next(one for one in pages if f"{label} {len(findings)} check" in one)
        after = page.partition(f"{label} {len(findings)} check")[2]
        assert any(one.check.title in after for one in findings), label


def test_a_check_higher_than_a_page_goes_on_overleaf(as_pdf: SetAs) -> None:
    steps = tuple(f"Look at part {number} of her." for number in range(200))
    long = Form("A long one", "9 min", steps, (Field("a", "Wear", unit="mm"),))
    short = Form("A short one", "1 min", ("Look.",), (Field("b", "Play", unit="mm"),))

    text = read_text(as_pdf(Heading("A place"), long, short))

    assert "part 199" in text
    assert "A short one" in text


def test_boxes_to_write_in_are_at_least_seven_millimetres_high() -> None:
    number, sight = Field("a", "Wear", unit="mm"), Field("s", "", FieldKind.SIGHT, choices=("no",))

    assert AnswerBox(number).high >= 7 * MM
    assert SightLine(sight, None).high >= 7 * MM


def test_a_unit_and_its_limits_stand_beside_the_box_where_they_fit() -> None:
    short = Field("a", "Wear", unit="mm", help="Between 0 and 9.")
    bare = Field("a", "Wear", unit="mm")

    assert high(answers((short,), 320), 320) == pytest.approx(high(answers((bare,), 320), 320))
    assert high(answers((short,), 180), 180) > high(answers((bare,), 180), 180)


def test_a_label_stands_beside_short_choices_and_above_long_ones() -> None:
    short = Field("a", "Play", FieldKind.CHOICE, choices=("none", "some"))
    long = Field("a", "Play", FieldKind.CHOICE, choices=("a clear and even knock " * 2,) * 3)

    assert len(answers((short,), 320)) == 2  # the row and a gap
    assert any(isinstance(one, Choices) for one in answers((long,), 200))


def test_the_note_gets_a_line_of_its_own_where_it_would_be_short() -> None:
    sight = Field("s", "", FieldKind.SIGHT, choices=("not seen", "not fitted", "not sure"))
    line = SightLine(sight, None)

    assert line.height_for(230) > line.height_for(330)
