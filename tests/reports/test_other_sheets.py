"""Briefs, the request for a quote, the field form, the photo sheet and the work list."""

from __future__ import annotations

import dataclasses
import itertools
import re
from collections.abc import Iterable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from tests.reports.conftest import SetAs
from tests.reports.invented import (
    BARNABY,
    DAY,
    MARIGOLD,
    assessed,
    done,
    read_text,
    read_text_again,
    reading,
    shelf,
    two_boats,
)
from tests.reports.test_pdf import outside, overlapping, page_of
from workbench.catalogue.loading import load_folder
from workbench.catalogue.model import Catalogue
from workbench.domain.ledger import LineChange, Quote
from workbench.domain.money import Money
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Grade, When
from workbench.edits import boats, costing, inspecting
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment
from workbench.paths import resources_root
from workbench.reports.document import Block, Cautions, Document, Form, Table, Together, Weight
from workbench.reports.document_text import as_text
from workbench.reports.export import SHEETS, count_files, export_sheets
from workbench.reports.field_form import form_document
from workbench.reports.photo_sheet import photo_document, photo_view
from workbench.reports.season_list import season_document
from workbench.reports.sheet_builders import BUILDERS, Order
from workbench.reports.survey_view import professionals, survey_view, trades_with_a_part
from workbench.reports.surveyor_brief import brief_document
from workbench.reports.words import whole
from workbench.reports.yard_request import request_document
from workbench.reports.yard_view import yard_view
from workbench.store.folder import open_project

AMOUNT = re.compile(r"\d,\d{3}")


def forms_of(document: Document) -> list[Form]:
    return [one for one in untied(document.blocks) if isinstance(one, Form)]


def untied(blocks: Iterable[Block]) -> Iterator[Block]:
    """All blocks, those that are kept together too."""
    for block in blocks:
        if isinstance(block, Together):
            yield from untied(block.blocks)
        else:
            yield block


# The brief


def test_the_brief_asks_most_for_what_is_most_worth_knowing(assessment: Assessment) -> None:
    # Keel bolts are the dearest thing that nobody saw, by far.
    view = survey_view(assessment, MARIGOLD, DAY)

    surveyor = next(part for part in view.parts if part.who == "surveyor")
    assert surveyor.questions[0].seen.check == "keel-bolts"
    assert surveyor.questions[0].seen.why_unseen == "The bilge was full."


def test_each_professional_gets_a_part_of_their_own(assessment: Assessment) -> None:
    view = survey_view(assessment, MARIGOLD, DAY)
    text = as_text(brief_document(view))

    assert [part.who for part in view.parts] == ["surveyor", "engine mechanic"]
    assert text.count("-- page --") == 1
    of_the_mechanic = text.partition("-- page --")[2]
    assert "Output seal" in of_the_mechanic
    assert "Keel bolts" not in of_the_mechanic


def test_the_brief_for_the_surveyor_holds_the_surveyors_part_alone(assessment: Assessment) -> None:
    order = Order(assessment, (MARIGOLD,), DAY, "a4", shelf())

    text = as_text(BUILDERS["surveyor-brief"](order))

    assert "Keel bolts" in text
    assert "Output seal" not in text
    assert "-- page --" not in text


def test_each_trade_gets_a_file_of_its_own(assessment: Assessment, tmp_path: Path) -> None:
    boats = [MARIGOLD, BARNABY]

    made = export_sheets(assessment, None, tmp_path, ["trade-briefs"], boats, on=DAY)

    assert [path.name for path in made] == [
        "2026-05-10 Brief for the engine mechanic, Marigold Rae.pdf",
        "2026-05-10 Brief for the engine mechanic, Old Barnaby.pdf",
    ]
    assert count_files(assessment, ["trade-briefs", "comparison"], boats) == 3
    read = read_text(made[0].read_bytes())
    assert "Output seal" in read
    assert "Keel bolts" not in read
    assert "brief for the engine mechanic" in read


def test_who_gets_a_brief_is_what_the_catalogue_says() -> None:
    """Whoever makes a look of it and is handed a check; no name stands in the code."""
    catalogue = load_folder(resources_root()).catalogue
    assert professionals(catalogue) == (
        "surveyor", "rigger", "engine mechanic", "electrician", "gas fitter", "sailmaker",
    )  # fmt: skip

    named = next(check for check in catalogue.checks.values() if check.handover.who == "shipwright")
    look = dataclasses.replace(
        catalogue.looks["rigger"], id="shipwright", who="shipwright", systems=(), checks=()
    )
    wider = dataclasses.replace(catalogue, looks=catalogue.looks.set("shipwright", look))
    assert professionals(wider) == (*professionals(catalogue), "shipwright")
    assert named.handover.who in professionals(wider)


def test_no_finding_stands_in_the_briefs_of_two_of_them() -> None:
    catalogue = load_folder(resources_root()).catalogue
    sample = resources_root().parent / "sample_projects" / "two-yards-one-spring"
    opened = open_project(sample)
    opened.folder.close()
    sized = assess(opened.project, catalogue)

    for boat_id in sized.boats:
        view = survey_view(sized, boat_id, DAY)
        held = [
            {seen.check for seen in (*part.worries, *part.sound)}
            | {question.seen.check for question in part.questions}
            for part in view.parts
        ]
        for first, second in itertools.combinations(held, 2):
            named_once = {
                check
                for check in first & second
                if catalogue.checks[check].handover.who in professionals(catalogue)
            }
            assert named_once == set()
        trades = trades_with_a_part(sized.boats[boat_id], catalogue)
        assert [part.who for part in view.parts] == ["surveyor", *trades]
        assert {"rigger", "engine mechanic"} <= set(trades)


def test_a_trade_is_told_what_of_her_matters_to_it() -> None:
    catalogue = load_folder(resources_root()).catalogue
    sample = resources_root().parent / "sample_projects" / "two-yards-one-spring"
    opened = open_project(sample)
    opened.folder.close()
    sized = assess(opened.project, catalogue)

    parts = {part.who: dict(part.particulars) for part in survey_view(sized, MARIGOLD, DAY).parts}

    assert "Standing rigging" in parts["rigger"]
    assert "Engine" not in parts["rigger"]
    assert "Engine" in parts["engine mechanic"]
    assert all("Length overall" in one for one in parts.values())
    assert {label for one in parts.values() for label in one} == set(parts["surveyor"])
    assert len(parts["rigger"]) < len(parts["surveyor"])


def test_a_question_says_what_makes_it_suspect(assessment: Assessment) -> None:
    text = as_text(brief_document(survey_view(assessment, MARIGOLD, DAY)))

    assert "Stern bearing play: Vibration runs up the shaft to the seal." in text


def test_the_brief_names_no_amount(assessment: Assessment) -> None:
    assert not AMOUNT.search(as_text(brief_document(survey_view(assessment, MARIGOLD, DAY))))


def test_a_boat_with_nothing_open_has_a_brief_all_the_same() -> None:
    assessment = assessed()
    view = dataclasses.replace(survey_view(assessment, BARNABY, DAY), parts=())

    assert "There is nothing to ask about her yet." in as_text(brief_document(view))


# The request for a quote


def test_shared_access_stands_once_and_says_how_many_jobs_it_serves() -> None:
    project = two_boats()
    project = done(project, [costing.remove_quote(project, MARIGOLD, "quote-1")])
    assessment = assessed(project)

    view = yard_view(assessment.boats[MARIGOLD], assessment.catalogue, DAY)

    served = {one.title: one.serves for one in view.access}
    assert served == {"Haul out and stand ashore": 2, "Draw the shaft": 1}
    assert as_text(request_document(view)).count("Haul out and stand ashore") == 1


def test_jobs_are_grouped_by_what_must_be_done_first(assessment: Assessment) -> None:
    project = two_boats()
    project = done(project, [costing.remove_quote(project, MARIGOLD, "quote-1")])
    found = assessed(project)
    view = yard_view(found.boats[MARIGOLD], found.catalogue, DAY)

    groups = {one.title: [job.title for job in one.jobs] for one in view.groups}
    assert groups == {
        "After: draw the shaft": ["Stern bearing"],
        "After: haul out and stand ashore": ["Seacock"],
        "As she stands": ["Shaft anode", "New gas hose"],
    } or groups.keys() >= {"After: draw the shaft", "After: haul out and stand ashore"}
    del assessment


def test_work_that_is_spoken_for_is_not_asked_for() -> None:
    project = two_boats()
    own = LineChange(own_work=True)
    out = LineChange(left_out=True)
    project = done(
        project,
        [
            costing.change_line(project, MARIGOLD, "seacock/renew/seacock", own),
            costing.change_line(project, MARIGOLD, "anode/renew/anode", out),
        ],
    )
    assessment = assessed(project)
    view = yard_view(assessment.boats[MARIGOLD], assessment.catalogue, DAY)

    asked = {job.title for group in view.groups for job in group.jobs}
    assert asked == {"New gas hose"}, "the bearing is quoted, the others are not to be priced"


def test_the_request_names_no_estimate(assessment: Assessment) -> None:
    view = yard_view(assessment.boats[MARIGOLD], assessment.catalogue, DAY)
    text = as_text(request_document(view))

    assert not AMOUNT.search(text)
    for line in assessment.boats[MARIGOLD].lines:
        if line.mean > 100:
            assert whole(line.mean) not in text


def test_without_work_the_request_says_so(assessment: Assessment) -> None:
    view = yard_view(assessment.boats[BARNABY], assessment.catalogue, DAY)

    assert "There is no work on her that waits for a price." in as_text(request_document(view))


# The field form


def test_only_the_checks_that_apply_are_on_the_form() -> None:
    project = two_boats()
    project = done(project, [boats.set_fact(project, MARIGOLD, "drive", "saildrive", "Drive")])
    assessment = assessed(project)
    document = form_document(assessment.boats[MARIGOLD], assessment.catalogue, DAY, imperial=False)

    titles = {form.title for form in forms_of(document)}
    assert "Stern bearing play" not in titles
    assert titles == {one.check.title for one in assessment.boats[MARIGOLD].findings}


def test_checks_stand_in_walking_order_with_cautions_once_a_station(
    assessment: Assessment,
) -> None:
    document = form_document(assessment.boats[MARIGOLD], assessment.catalogue, DAY, imperial=False)
    text = as_text(document)

    assert text.index("# Under the stern") < text.index("# Below")
    assert text.count("A boat ashore stands on props and can fall.") == 1
    marks = [form.hazards for form in forms_of(document) if form.title == "Shaft anode"]
    assert marks == [("Under a boat on props",)]
    assert sum(isinstance(one, Cautions) for one in untied(document.blocks)) == 2


def test_a_field_has_its_unit_and_limits(assessment: Assessment) -> None:
    metric, imperial = (
        forms_of(
            form_document(assessment.boats[MARIGOLD], assessment.catalogue, DAY, imperial=wanted)
        )[0].fields[0]
        for wanted in (False, True)
    )

    assert (metric.unit, metric.help) == ("mm", "Between 0 and 10.")
    assert imperial.unit == "in"
    # 10 mm / 25.4 mm = 0.3937 in, by the international inch of 1959.
    assert imperial.help == "Between 0 and 0.3937."


def test_an_earlier_reading_is_a_hint(assessment: Assessment) -> None:
    document = form_document(assessment.boats[MARIGOLD], assessment.catalogue, DAY, imperial=False)

    form = next(one for one in forms_of(document) if one.title == "Stern bearing play")
    assert "Read on 9 May 2026: Play at the bearing: 1.0 mm, knocks." in form.hint


def test_a_check_and_its_fields_stay_on_one_page(assessment: Assessment, as_pdf: SetAs) -> None:
    made = as_pdf(
        form_document(assessment.boats[MARIGOLD], assessment.catalogue, DAY, imperial=False)
    )

    assert page_of(made, "Keel bolts in the bilge") == page_of(made, "weeps")


# The photo sheet


def test_private_photos_stay_out_of_the_photo_sheet() -> None:
    project = two_boats()
    photo = next(iter(project.boats[MARIGOLD].inspection.photos.values()))
    hidden = dataclasses.replace(photo, private=True)
    inspection = dataclasses.replace(
        project.boats[MARIGOLD].inspection,
        photos=project.boats[MARIGOLD].inspection.photos.set(photo.id, hidden),
    )
    held = dataclasses.replace(project.boats[MARIGOLD], inspection=inspection)
    project = dataclasses.replace(project, boats=project.boats.set(MARIGOLD, held))
    assessment = assessed(project)

    document = photo_document(photo_view(assessment.boats[MARIGOLD], assessment.catalogue, DAY))
    assert "There are no photos of her." in as_text(document)


# The work list


def totals_of(document: Document) -> list[str]:
    return [
        row.cells[4].text
        for block in document.blocks
        if isinstance(block, Table)
        for row in block.rows
        if row.weight is Weight.TOTAL
    ]


def test_the_work_lists_sums_are_those_of_the_figures(assessment: Assessment) -> None:
    boat = assessment.boats[MARIGOLD]
    document = season_document(boat, assessment.catalogue, DAY)

    sums = [Decimal(text.replace(",", "")) for text in totals_of(document)]
    assert sum(sums) == pytest.approx(boat.work.mean + boat.later_work, abs=len(sums))
    assert f"Work before sailing: {whole(boat.work.mean)}" in as_text(document)


def test_own_hands_and_quotes_are_named_in_the_work_list() -> None:
    project = two_boats()
    own = LineChange(own_work=True)
    project = done(project, [costing.change_line(project, MARIGOLD, "anode/renew/anode", own)])
    assessment = assessed(project)
    text = as_text(season_document(assessment.boats[MARIGOLD], assessment.catalogue, DAY))

    assert "own hands" in text
    assert "quote of North Yard" in text


def test_what_nobody_saw_stays_on_the_list(assessment: Assessment) -> None:
    boat = assessment.boats[MARIGOLD]
    text = as_text(season_document(boat, assessment.catalogue, DAY))

    still = text.partition("# Still to be looked at")[2]
    assert "keel bolts in the bilge" in still.lower()


def test_wishes_are_listed_and_not_counted() -> None:
    project = two_boats()
    wish = LineChange(when=When.WISH)
    project = done(project, [costing.change_line(project, MARIGOLD, "own/job-1", wish)])
    assessment = assessed(project)
    document = season_document(assessment.boats[MARIGOLD], assessment.catalogue, DAY)

    text = as_text(document)
    assert "New gas hose" in text.partition("# A wish")[2]
    assert len(totals_of(document)) == 1


# All of them


@pytest.fixture(scope="module")
def shipped() -> Catalogue:
    return load_folder(resources_root()).catalogue


def every_sheet_on_both_papers() -> list[object]:
    """Sheets and papers; the longest form on the second paper only in the long runs."""
    return [
        pytest.param(
            sheet,
            paper,
            marks=pytest.mark.nightly if (sheet, paper) == ("field-form", "letter") else (),
        )
        for sheet in sorted(BUILDERS)
        for paper in ("a4", "letter")
    ]


@pytest.mark.parametrize(("sheet", "paper"), every_sheet_on_both_papers())
def test_with_the_shipped_catalogue_nothing_overflows_or_overlaps(
    sheet: str, paper: str, shipped: Catalogue, as_pdf: SetAs
) -> None:
    project = two_boats()
    project = done(
        project,
        [
            inspecting.record_reading(
                project,
                MARIGOLD,
                "stern-bearing-play",
                reading({"play": Quantity(Decimal("1.0"), "mm"), "sound": "knocks"}),
            )
        ],
    )
    assessment = assess(project, shipped)
    wanted = (MARIGOLD,) if SHEETS[sheet].per_boat else (MARIGOLD, BARNABY)
    from workbench.reports.photos import NoPhotos  # noqa: PLC0415 - only here

    document = BUILDERS[sheet](Order(assessment, wanted, DAY, paper, NoPhotos()))

    made = as_pdf(document, paper=paper)
    assert outside(made) == []
    assert overlapping(made) == []


@pytest.mark.parametrize("sheet", sorted(BUILDERS))
def test_both_readers_find_the_same_words(
    sheet: str, assessment: Assessment, as_pdf: SetAs
) -> None:
    wanted = (MARIGOLD,) if SHEETS[sheet].per_boat else (MARIGOLD, BARNABY)
    from tests.reports.invented import shelf  # noqa: PLC0415 - only here

    made = as_pdf(BUILDERS[sheet](Order(assessment, wanted, DAY, "a4", shelf())))
    one, two = (sorted(re.findall(r"\w+", read(made))) for read in (read_text, read_text_again))

    assert one == two


@pytest.mark.parametrize("sheet", sorted(BUILDERS))
def test_every_sheet_for_others_says_that_it_is_no_survey(
    sheet: str, assessment: Assessment
) -> None:
    if sheet in ("photos", "field-form", "walk-list"):
        return  # pictures and what is still to be looked at judge nothing
    wanted = (MARIGOLD,) if SHEETS[sheet].per_boat else (MARIGOLD, BARNABY)
    text = as_text(BUILDERS[sheet](Order(assessment, wanted, DAY, "a4", None)))  # type: ignore[arg-type]  # no photo is fetched for the text

    assert re.search(r"not a survey|no survey", text)


def test_a_quote_in_other_money_is_named_in_the_request() -> None:
    project = two_boats()
    quote = Quote("", "Far Yard", Money(Decimal(500), "EUR"), ("seacock/renew/seacock",))
    project = done(project, [costing.put_quote(project, MARIGOLD, quote)])
    assessment = assessed(project)

    view = yard_view(assessment.boats[MARIGOLD], assessment.catalogue, DAY)
    # Without a rate it replaces nothing, so the work still waits for a price.
    assert "Seacock" in {job.title for group in view.groups for job in group.jobs}
    assert all(job.grade is not Grade.UNSEEN for group in view.groups for job in group.jobs)
