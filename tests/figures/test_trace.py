"""Every figure of an assessment unfolds to its parts, and the parts come to the figure."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.figures.small_yard import ALL_GOOD, AS_OF, NOT_SEEN, mm, search, seen, small_catalogue
from workbench.domain.inspection import Overruling, Reading
from workbench.domain.ledger import LineChange, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings, Tax, TaxBand
from workbench.domain.span import Span
from workbench.domain.vocabulary import Grade, When
from workbench.edits import costing, inspecting
from workbench.figures.assess import assess
from workbench.figures.assessment import BoatAssessment
from workbench.figures.trace import (
    TraceStep,
    why_allowance,
    why_cost_to_ready,
    why_deferred,
    why_finding,
    why_later,
    why_line,
    why_offer,
    why_work,
)

CATALOGUE = small_catalogue()
WORN_OUT = seen(play=mm("1.2"), sound="knocks")
TWO_FROZEN = seen(state="bad", number=Quantity(Decimal(2), "count"))


def ann(project: Project) -> BoatAssessment:
    return assess(project, small_catalogue()).boats["ann"]


def every(step: TraceStep) -> Iterator[TraceStep]:
    """A step and all below it."""
    yield step
    for child in step.children:
        yield from every(child)


def words(step: TraceStep) -> str:
    """All that a trace says."""
    return "\n".join(f"{one.label}: {one.detail}" for one in every(step))


def amounts(step: TraceStep) -> Decimal:
    """The sum of the steps right below."""
    return sum((one.amount or Decimal(0) for one in step.children), Decimal(0))


def readings() -> st.SearchStrategy[dict[str, Reading]]:
    state = st.sampled_from([seen(state="good"), seen(state="bad"), NOT_SEEN])
    play = st.sampled_from([seen(play=mm("0.1")), seen(play=mm("0.8")), WORN_OUT, NOT_SEEN])
    return st.fixed_dictionaries(
        {}, optional={"bearing": play, "seacocks": state, "rigging": state, "seal": state}
    )


@settings(max_examples=20)
@given(readings(), st.sampled_from(list(When)))
def test_the_steps_of_every_total_add_up_to_it(looked: dict[str, Reading], when: When) -> None:
    tax = Tax("sales tax", (TaxBand(Decimal(0), Decimal(6)),))
    change = LineChange(when=when)
    boat = ann(
        search(
            looked,
            settings=Settings(as_of=AS_OF, taxes=(tax,)),
            more=[lambda p: costing.change_line(p, "ann", "bearing/renew/work", change)],
        )
    )

    for why in (why_cost_to_ready, why_work, why_deferred, why_allowance, why_later):
        step = why(boat, CATALOGUE)
        assert step.amount == amounts(step), why.__name__
    assert why_cost_to_ready(boat, CATALOGUE).amount == boat.cost_to_ready.mean
    assert why_deferred(boat, CATALOGUE).amount == boat.deferred.mean
    assert why_later(boat, CATALOGUE).amount == boat.later_work


@settings(max_examples=20)
@given(readings())
def test_every_counted_line_is_in_exactly_one_trace_of_the_cost(
    looked: dict[str, Reading],
) -> None:
    boat = ann(search(looked))
    traced = [
        step.key
        for why in (why_work, why_allowance, why_later)
        for step in why(boat, CATALOGUE).children
    ]

    assert sorted(key for key in traced if not key.startswith("access/")) == sorted(
        line.key for line in boat.lines if line.counted
    )


def test_a_line_unfolds_to_its_reading_its_rules_its_prices_and_their_sources() -> None:
    boat = ann(search({**ALL_GOOD, "bearing": WORN_OUT}))
    said = words(why_line(boat.lines_of("bearing")[0], CATALOGUE))

    assert "bearing: due" in said
    assert "1.2 mm, knocks: 2026-05-01, Robin" in said
    assert "1.2 mm → due" in said
    assert "A handbook, 3" in said
    assert "Labour, mechanic: 2.0 to 2.0 h, likely 2.0, at 100.00 an hour" in said
    assert "Materials and services: 100 to 100, likely 100" in said
    assert "Price from: " in said


def test_labour_and_materials_come_to_the_line() -> None:
    boat = ann(search({**ALL_GOOD, "seacocks": TWO_FROZEN}))
    line = why_line(boat.lines_of("seacocks")[0], CATALOGUE)

    assert amounts(line) == line.amount == 500
    assert "Number: 2" in words(line)


def test_a_line_that_only_may_be_needed_says_how_likely_and_why() -> None:
    boat = ann(search({"bearing": WORN_OUT}))
    said = words(why_allowance(boat, CATALOGUE))

    assert "Chance that it is needed: 50%" in said
    assert "How common it is when nobody looked: 20% at her age, assumed" in said
    assert "bearing: due. It shakes.: 20% becomes 50%" in said
    assert "50% × 100" in said


def test_a_worn_line_says_how_much_of_its_life_is_used_up() -> None:
    boat = ann(search({**ALL_GOOD, "bearing": seen(play=mm("0.8"))}))

    assert "Worn, not due: 80% of its life is used up" in words(why_deferred(boat, CATALOGUE))


def test_access_work_says_how_many_jobs_it_serves() -> None:
    boat = ann(search({**ALL_GOOD, "bearing": WORN_OUT, "seacocks": TWO_FROZEN}))
    haul = next(one for one in why_work(boat, CATALOGUE).children if one.label == "Haul out")

    assert haul.detail == "once for 2 jobs"
    assert haul.amount == 600


def _quoted(project: Project) -> BoatAssessment:
    quote = Quote("", "Wharf", Money(Decimal(444), "USD"), ("seacocks/renew/work",), on=AS_OF)
    edit = costing.put_quote(project, "ann", quote)
    from workbench.edits.edit import apply  # noqa: PLC0415 - beside its use

    return ann(apply(project, edit)[0])


def test_a_quoted_line_names_the_yard_and_the_day() -> None:
    boat = _quoted(search({**ALL_GOOD, "seacocks": TWO_FROZEN}))
    line = why_line(boat.lines_of("seacocks")[0], CATALOGUE)

    assert line.detail == "quote of Wharf"
    assert "Quote of Wharf, 2026-05-01: replaces the estimate" in words(line)
    assert line.amount == 444


def _left_out(p: Project) -> Project:
    from workbench.edits.edit import apply  # noqa: PLC0415 - beside its use

    change = LineChange(left_out=True, note="The seller does it.")
    return apply(p, costing.change_line(p, "ann", "bearing/renew/work", change))[0]


@pytest.mark.parametrize(
    ("change", "detail"),
    [(_left_out, "left out"), (lambda p: p, "due")],
    ids=["left out", "as it is"],
)
def test_a_line_says_how_it_stands(change: Callable[[Project], Project], detail: str) -> None:
    project = change(search({**ALL_GOOD, "bearing": WORN_OUT}))

    assert why_line(ann(project).lines_of("bearing")[0], CATALOGUE).detail == detail


def test_a_note_is_part_of_the_trace() -> None:
    boat = ann(_left_out(search({**ALL_GOOD, "bearing": WORN_OUT})))

    assert "Note: The seller does it." in words(why_line(boat.lines_of("bearing")[0], CATALOGUE))


def test_an_unpriced_line_says_so() -> None:
    abroad = search({**ALL_GOOD, "bearing": WORN_OUT}, settings=Settings("EUR", as_of=AS_OF))

    assert why_line(ann(abroad).lines_of("bearing")[0], CATALOGUE).detail == "not priced"


def test_an_own_line_shows_the_figures_that_were_entered() -> None:
    paint = OwnLine("", "Paint", Span(Decimal(90), Decimal(100), Decimal(140)))
    boat = ann(search(ALL_GOOD, more=[lambda p: costing.put_own_line(p, "ann", paint)]))

    assert "Own figure" in words(why_line(boat.lines[-1], CATALOGUE))


def test_an_overruled_finding_gives_the_reason_and_people_who_disagree_are_named() -> None:
    alex = Reading("", seen(play=mm("0.2")).values, taken=AS_OF, by="Alex")
    by_hand = Overruling(Grade.UNSAFE, "It fell out in my hand.")
    boat = ann(
        search(
            {**ALL_GOOD, "bearing": WORN_OUT},
            more=[
                lambda p: inspecting.record_reading(p, "ann", "bearing", alex),
                lambda p: inspecting.overrule(p, "ann", "bearing", by_hand),
            ],
        )
    )
    finding = boat.finding("bearing")

    assert finding is not None
    said = words(why_finding(finding, CATALOGUE.wording))
    assert "Overruled by hand: It fell out in my hand." in said
    assert "People disagree: the worst of their last readings counts" in said


def test_the_offer_unfolds_to_what_limits_it() -> None:
    boat = ann(search(ALL_GOOD, settings=Settings(as_of=AS_OF, budget=Decimal(19_000))))
    offer = why_offer(boat, CATALOGUE)
    found = {step.label: step for step in every(offer)}

    assert found["Walk-away"].amount == boat.offer.walk_away
    assert found["Budget allows"].amount == boat.offer.limit.budget_price
    assert found["Price anchor"].amount == 20_000
    assert found["Claims"].amount == boat.claim.total
