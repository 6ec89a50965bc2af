"""The offer-support sheet: its sums, its two ways to settle, its words, its first page."""

from __future__ import annotations

import dataclasses
import io
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from tests.reports.conftest import SetAs
from tests.reports.invented import (
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
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Overruling
from workbench.domain.ledger import ClaimChoice, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.span import Span
from workbench.domain.vocabulary import Grade
from workbench.edits import boats, costing, inspecting
from workbench.figures.assessment import Assessment
from workbench.reports.document import Document, KeyFigures, Row, Table, Weight
from workbench.reports.document_text import as_text
from workbench.reports.offer_pages import _work_words
from workbench.reports.offer_sheet import WORDING, offer_document
from workbench.reports.offer_view import OfferView, offer_view
from workbench.reports.pdf import fits_one_page


def view_of(project: Project) -> OfferView:
    assessment = assessed(project)
    return offer_view(assessment.boats[MARIGOLD], assessment.catalogue, DAY)


def document_of(view: OfferView, paper: str = "a4") -> Document:
    return offer_document(view, lambda blocks: fits_one_page(blocks, paper, shelf()))


def summary_table(view: OfferView) -> Table:
    return next(one for one in document_of(view).blocks if isinstance(one, Table))


def amount(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def test_the_claims_add_up_to_the_claim_of_the_figures(
    assessment: Assessment, view: OfferView
) -> None:
    claim = assessment.boats[MARIGOLD].claim

    assert view.claim_total == claim.total
    assert sum((one.claimed for one in view.items), Decimal(0)) == claim.total
    by_key = {one.key: one.amount for one in claim.lines}
    assert {one.key: one.claimed for one in view.items} == {
        key: value for key, value in by_key.items() if value
    }


def test_what_is_printed_adds_up(view: OfferView) -> None:
    rows = summary_table(view).rows
    total = rows[-1]
    body = [row for row in rows if row.weight is Weight.PLAIN]

    assert total.weight is Weight.TOTAL
    assert sum(amount(row.cells[4].text) for row in body) == amount(total.cells[4].text)
    assert sum(amount(row.cells[3].text) for row in body) == amount(total.cells[3].text)
    low, high = (sum(amount(ends(row)[at]) for row in body) for at in (0, 1))
    assert ends(total) == (f"{low:,}", f"{high:,}")


def ends(row: Row) -> tuple[str, str]:
    low, _, high = row.cells[3].small.partition(" to ")
    return low, high


def test_the_three_figures_are_those_of_the_table(view: OfferView) -> None:
    figures = next(one for one in document_of(view).blocks if isinstance(one, KeyFigures)).items
    total = summary_table(view).rows[-1]

    assert figures[0].figure == "24,500"
    assert figures[1].figure == total.cells[3].text
    assert figures[1].beside == total.cells[3].small
    assert figures[2].figure == total.cells[4].text


def test_the_likely_cost_lies_inside_its_range(view: OfferView) -> None:
    for one in view.items:
        assert one.low <= one.likely <= one.high


def test_a_lower_price_is_what_is_asked_less_what_is_claimed(view: OfferView) -> None:
    assert view.asking is not None
    assert view.lower_price == view.asking - view.claim_total


def test_both_ways_to_settle_are_worth_the_same_to_the_buyer(view: OfferView) -> None:
    # The price with the work done less the claims of that work is the lower price.
    whole = sum((one.claimed for one in view.items if one.claimed_whole), Decimal(0))

    assert view.price_with_work is not None
    assert view.price_with_work - whole == view.lower_price


def test_a_partly_claimed_job_stays_in_the_price() -> None:
    # Half of the seacocks is asked for: the seller who does the work is not asked to do those.
    half = ClaimChoice(amount=Money(Decimal(500), "USD"))
    project = two_boats()
    view = view_of(done(project, [costing.set_claim(project, MARIGOLD, "seacock", half)]))

    item = next(one for one in view.items if one.key == "seacock")
    assert not item.claimed_whole
    assert view.asking is not None
    assert view.price_with_work == view.asking - item.claimed


def test_the_buyers_own_opening_is_the_lower_price() -> None:
    project = two_boats()
    opening = Money(Decimal(20_000), "USD")
    view = view_of(done(project, [costing.set_opening(project, MARIGOLD, opening)]))

    assert view.lower_price == Decimal(20_000)
    assert "20,000 for the boat as she lies" in as_text(document_of(view))


def test_a_suggestion_that_tells_the_limit_is_not_printed() -> None:
    # Where the budget binds, the suggested opening is the walk-away price itself.
    project = two_boats()
    settings = dataclasses.replace(project.settings, budget=Decimal(21_000))
    poor = dataclasses.replace(project, settings=settings)
    offer = assessed(poor).boats[MARIGOLD].offer

    assert offer.held_down
    assert offer.suggested_opening == offer.walk_away
    assert offer.walk_away is not None
    text = as_text(document_of(view_of(poor)))
    assert f"{offer.walk_away:,.0f}" not in text
    assert f"{offer.walk_away:,.2f}" not in text


def numbers_in(text: str) -> set[str]:
    return set(re.findall(r"\d[\d,.]*\d|\d", text))


def test_a_binding_budget_puts_no_number_on_the_sheet() -> None:
    # The walk-away price falls with the budget; every number stays one that others may know.
    project = two_boats()
    free = numbers_in(as_text(document_of(view_of(project))))
    bound = []
    for budget in (8_000, 15_000, 21_000, 23_000):
        settings = dataclasses.replace(project.settings, budget=Decimal(budget))
        poor = dataclasses.replace(project, settings=settings)
        bound.append(as_text(document_of(view_of(poor))))

    assert numbers_in(bound[0]) <= free
    assert len(set(bound)) == 1, "how far the budget binds cannot be told"
    assert "2,310 off the price that is agreed for the boat as she lies" in bound[0]


def test_claims_above_the_price_name_no_price() -> None:
    project = two_boats()
    cheap = boats.set_asking_price(project, MARIGOLD, Money(Decimal(1_500), "USD"), DAY)
    view = view_of(done(project, [cheap]))

    assert view.lower_price is None
    assert "We would like to talk" in as_text(document_of(view))


def test_without_an_asking_price_the_claim_still_stands() -> None:
    project = two_boats()
    boat = dataclasses.replace(project.boats[MARIGOLD].boat, asking=())
    held = dataclasses.replace(project.boats[MARIGOLD], boat=boat)
    project = dataclasses.replace(project, boats=project.boats.set(MARIGOLD, held))

    text = as_text(document_of(view_of(project)))
    assert "Asking price: not stated" in text
    assert "off the price" in text


def test_ordinary_upkeep_is_named_and_not_claimed(view: OfferView) -> None:
    text = as_text(document_of(view))

    assert [one.key for one in view.wear] == ["anode"]
    assert "Ordinary wear, not claimed" in text
    assert "Shaft anode" in text.partition("Ordinary wear, not claimed")[2]


def test_what_was_out_of_reach_becomes_a_condition_with_its_reason(view: OfferView) -> None:
    text = as_text(document_of(view))

    assert "keel bolts in the bilge (the bilge was full)" in text.lower()
    assert "Nothing is claimed for it." in text


def test_a_finding_left_out_by_the_buyer_is_not_on_the_sheet() -> None:
    project = two_boats()
    out = costing.set_claim(project, MARIGOLD, "seacock", ClaimChoice(included=False))
    view = view_of(done(project, [out]))

    assert "seacock" not in {one.key for one in (*view.items, *view.wear)}
    assert "Seacocks turn" not in as_text(document_of(view))


def test_the_basis_names_yard_and_date_or_the_price_book(view: OfferView) -> None:
    text = as_text(document_of(view))

    assert "Quote of North Yard of 3 May 2026" in text
    assert "Price book of 1 March 2026, an invented coast." in text
    assert "valid until 30 June 2026" in text


def test_a_finding_that_is_quoted_whole_says_so() -> None:
    project = two_boats()
    keys = ("seacock/renew/seacock", "access/haul-out")
    quote = Quote("", "South Yard", Money(Decimal("910.50"), "USD"), keys)
    project = done(project, [costing.put_quote(project, MARIGOLD, quote)])
    # The bearing shares the haul-out, so only without it is the seacocks' cost all quoted.
    out = boats.set_fact(project, MARIGOLD, "drive", "saildrive", "Drive")
    view = view_of(done(project, [out]))

    item = next(one for one in view.items if one.key == "seacock")
    assert (item.low, item.high) == (item.likely, item.likely)
    assert "910 by quote" in as_text(document_of(view))


@pytest.mark.parametrize("name", sorted(WORDING))
def test_every_paragraph_can_be_put_in_other_words(name: str) -> None:
    project = two_boats()
    own = f"Our own words for {name}."
    view = view_of(done(project, [costing.set_wording(project, MARIGOLD, name, own)]))

    assert own in as_text(document_of(view))


def test_what_the_sheet_is_cannot_be_edited_away() -> None:
    project = two_boats()
    own = FrozenMap(dict.fromkeys((*WORDING, "limits", "what-it-is"), "Other words."))
    ledger = dataclasses.replace(project.boats[MARIGOLD].ledger, wording=own)
    held = dataclasses.replace(project.boats[MARIGOLD], ledger=ledger)
    project = dataclasses.replace(project, boats=project.boats.set(MARIGOLD, held))

    text = as_text(document_of(view_of(project)))
    first_page = text.partition("The findings, one by one")[0]
    assert "It is not a survey, gives no warranty" in first_page


def test_the_buyers_words_for_a_claim_stand_in_place_of_the_reason() -> None:
    project = two_boats()
    own = ClaimChoice(wording="The yard that looked says the same")
    view = view_of(done(project, [costing.set_claim(project, MARIGOLD, "bearing", own)]))

    text = as_text(document_of(view))
    assert "The yard that looked says the same." in text
    assert "Worn out by the usual measure" not in text


PROMISES = re.compile(
    r"fair price|guarantee|\bpassed?\b|\bsafe\b|worthless|obviously", re.IGNORECASE
)


def test_the_tone_promises_nothing_and_blames_nobody(view: OfferView) -> None:
    assert not PROMISES.search(as_text(document_of(view)))
    assert PROMISES.search("She is safe and has passed.")


def test_an_uncertain_finding_says_who_is_to_confirm_it() -> None:
    project = two_boats()
    doubtful = reading({"stuck": Quantity(Decimal(2), "count")}, sure=False)
    project = done(project, [inspecting.record_reading(project, MARIGOLD, "seacock", doubtful)])

    text = as_text(document_of(view_of(project)))
    assert "not certain: a surveyor to confirm" in text


def test_a_grade_set_by_hand_is_shown_as_such_without_its_reason() -> None:
    project = two_boats()
    by_hand = inspecting.overrule(
        project, MARIGOLD, "seacock", Overruling(Grade.DUE, "SECRET REASON")
    )
    text = as_text(document_of(view_of(done(project, [by_hand]))))

    assert "Graded by hand, not by the rule." in text
    assert "SECRET REASON" not in text


def many_jobs(count: int, words: str) -> Project:
    """The search with many more claimed jobs on one boat."""
    project = two_boats()
    for number in range(count):
        cost = Span(Decimal(100 + number), Decimal(200 + number), Decimal(400 + number))
        line = OwnLine("", f"{words} {number}", cost, claim_share=Decimal(1), note=words)
        project = done(project, [costing.put_own_line(project, MARIGOLD, line)])
    return project


@pytest.mark.parametrize("count", [0, 5, 9, 14, 30])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_first_page_stands_alone_whatever_was_found(
    count: int, paper: str, as_pdf: SetAs
) -> None:
    view = view_of(many_jobs(count, "A job with a rather long name that wraps"))

    made = as_pdf(document_of(view, paper), paper=paper)
    first = PdfReader(io.BytesIO(made)).pages[0].extract_text()
    squeezed = " ".join(first.split())
    assert "Two ways to settle" in squeezed
    assert "What could not be seen" in squeezed
    assert "contract of sale come first" in squeezed
    assert f"{view.claim_total:,}" in squeezed


def test_a_shortened_first_page_still_adds_up() -> None:
    view = view_of(many_jobs(30, "A job with a rather long name that wraps"))

    rows = summary_table(view).rows
    assert len(rows) < len(view.items)
    assert any("further findings" in row.cells[1].text for row in rows)
    body = [row for row in rows if row.weight is Weight.PLAIN]
    assert sum(amount(row.cells[4].text) for row in body) == view.claim_total
    assert sum(amount(row.cells[3].text) for row in body) == amount(rows[-1].cells[3].text)


def test_every_amount_is_read_alike_by_two_readers(view: OfferView, as_pdf: SetAs) -> None:
    made = as_pdf(document_of(view))
    wanted = {f"{one.claimed:,}" for one in view.items} | {f"{view.claim_total:,}", "24,500"}

    for read in (read_text(made), read_text_again(made)):
        assert all(amount in read for amount in wanted)


@given(
    st.lists(
        st.tuples(
            st.integers(0, 5_000), st.integers(0, 5_000), st.integers(0, 5_000), st.integers(0, 100)
        ),
        max_size=6,
    )
)
def test_claims_add_up_for_any_jobs(jobs: list[tuple[int, int, int, int]]) -> None:
    project = two_boats(photos=False)
    for number, (low, likely, high, share) in enumerate(jobs):
        lowest, middle, highest = sorted(map(Decimal, (low, likely, high)))
        cost = Span(lowest, middle, highest)
        line = OwnLine("", f"Job {number}", cost, claim_share=Decimal(share) / 100)
        project = done(project, [costing.put_own_line(project, MARIGOLD, line)])
    assessment = assessed(project)
    boat = assessment.boats[MARIGOLD]
    view = offer_view(boat, assessment.catalogue, DAY)

    assert view.claim_total == boat.claim.total
    if view.names_price:
        assert view.lower_price == Decimal(24_500) - boat.claim.total


def test_when_work_is_due_is_said_once() -> None:
    assert _work_words("renew within five years", "within five years") == "renew within five years."
    assert _work_words("Renew the strip", "in the first season") == (
        "Renew the strip, in the first season."
    )
