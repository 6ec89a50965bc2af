"""What is asked of the seller: due work whole, worn work not, shared work once."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.figures.small_yard import ALL_GOOD, NOT_SEEN, mm, search, seen, small_catalogue
from workbench.catalogue.model import Catalogue
from workbench.domain.inspection import Reading
from workbench.domain.ledger import ClaimChoice, LineChange, OwnLine
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.span import Ends, Span
from workbench.domain.vocabulary import ClaimRule, Grade, When
from workbench.edits import costing
from workbench.figures.assess import assess
from workbench.figures.assessment import Claim, ClaimLine
from workbench.figures.claims import graded
from workbench.figures.threepoint import ThreePoint, quantile
from workbench.figures.wear import normal_years_left

WORN_OUT = seen(play=mm("1.2"), sound="knocks")
WORN = seen(play=mm("0.8"))
TWO_FROZEN = seen(state="bad", number=Quantity(Decimal(2), "count"))


def claim(project: Project, catalogue: Catalogue | None = None) -> Claim:
    return assess(project, catalogue or small_catalogue()).boats["ann"].claim


def line(claimed: Claim, key: str) -> ClaimLine:
    return next(one for one in claimed.lines if one.key == key)


def changed(rule: ClaimRule, life: tuple[int, int] | None = None) -> Catalogue:
    """The small catalogue with another way to claim for the bearing."""
    catalogue = small_catalogue()
    check = catalogue.checks["bearing"]
    remedies = tuple(dataclasses.replace(one, claim=rule) for one in check.remedies)
    after = dataclasses.replace(check, remedies=remedies, life_years=life)
    return dataclasses.replace(catalogue, checks=catalogue.checks.set("bearing", after))


def test_due_work_is_claimed_whole_with_its_reason() -> None:
    bearing = line(claim(search({**ALL_GOOD, "bearing": WORN_OUT})), "bearing")

    assert bearing.amount == bearing.proposed == 1_300
    assert bearing.share == 1
    assert bearing.why == "Due now."


def test_worn_work_is_ordinary_and_not_claimed() -> None:
    bearing = line(claim(search({**ALL_GOOD, "bearing": WORN})), "bearing")

    assert bearing.amount == 0
    assert not bearing.included
    assert bearing.why == "Ordinary wear: still serviceable."


def test_what_nobody_saw_is_never_claimed() -> None:
    found = claim(search({"rigging": NOT_SEEN}))

    assert found.lines == ()
    assert found.total == 0


def test_upkeep_is_not_claimed() -> None:
    bearing = line(
        claim(search({**ALL_GOOD, "bearing": WORN_OUT}), changed(ClaimRule.NONE)), "bearing"
    )

    assert bearing.amount == 0
    assert bearing.why == "Ordinary upkeep."


def test_a_part_that_wears_out_is_claimed_for_the_life_it_lacks() -> None:
    """Life 10 years, a boat of 40: half is left on average, so half of 1,300, in tens.

    Method: cost x (normal years left - years left) / life, as in the tests of `wear`.
    """
    catalogue = changed(ClaimRule.EXCESS_WEAR, (8, 12))
    bearing = line(claim(search({**ALL_GOOD, "bearing": WORN_OUT}), catalogue), "bearing")

    assert normal_years_left(10, 40) == 5
    assert bearing.share == pytest.approx(0.5)
    assert bearing.amount == 650
    assert "worn beyond what is ordinary" in bearing.why


def test_a_part_with_as_much_life_as_is_normal_gives_no_claim() -> None:
    """Half used up: 5 of 10 years are left, and 5 are normal."""
    catalogue = changed(ClaimRule.EXCESS_WEAR, (8, 12))
    little = seen(play=mm("0.5"))
    bearing = line(claim(search({**ALL_GOOD, "bearing": little}), catalogue), "bearing")

    assert bearing.amount == 0
    assert bearing.why == "Ordinary wear for her age."


def test_ones_own_amount_stands_and_a_claim_left_out_asks_nothing() -> None:
    both = {**ALL_GOOD, "bearing": WORN_OUT, "seacocks": TWO_FROZEN}
    own = ClaimChoice(amount=Money(Decimal("777.77"), "USD"))
    found = claim(
        search(
            both,
            more=[
                lambda p: costing.set_claim(p, "ann", "bearing", own),
                lambda p: costing.set_claim(p, "ann", "seacocks", ClaimChoice(included=False)),
            ],
        )
    )

    assert line(found, "bearing").amount == Decimal("777.77")
    assert line(found, "bearing").proposed == 1_000
    assert not line(found, "seacocks").included
    assert found.total == found.high == Decimal("777.77")


def test_the_high_claim_is_the_work_at_what_four_cases_in_five_stay_below() -> None:
    """100 / 400 / 1,600 as limits: P80 of that PERT beside its mean of 550."""
    wide = LineChange(materials=Span(Decimal(100), Decimal(400), Decimal(1600), Ends.LIMITS))
    project = search(
        {**ALL_GOOD, "seacocks": seen(state="bad")},
        more=[lambda p: costing.change_line(p, "ann", "seacocks/renew/work", wide)],
    )
    found = claim(project)
    high = float(quantile(ThreePoint(200, 500, 1_700), 0.8))

    assert found.total == 1_250  # an hour at 100, a mean of 550, and the haul-out of 600
    assert float(found.high) == pytest.approx(600 + high, abs=5)


def test_an_own_line_is_claimed_by_its_share() -> None:
    paint = OwnLine(
        "", "Paint", Span.exactly(Decimal(400)), claim_share=Decimal("0.25"), note="Agreed."
    )
    found = claim(search(ALL_GOOD, more=[lambda p: costing.put_own_line(p, "ann", paint)]))

    assert found.total == 100
    assert found.lines[0].why == "Agreed."


def test_work_left_out_or_wished_for_is_not_put_to_the_seller() -> None:
    out = LineChange(left_out=True)
    wish = OwnLine("", "Teak", Span.exactly(Decimal(5)), when=When.WISH, claim_share=Decimal(1))
    found = claim(
        search(
            {**ALL_GOOD, "bearing": WORN_OUT},
            more=[
                lambda p: costing.change_line(p, "ann", "bearing/renew/work", out),
                lambda p: costing.put_own_line(p, "ann", wish),
            ],
        )
    )

    assert found.lines == ()


def test_claims_can_be_told_apart_by_grade() -> None:
    found = claim(search({**ALL_GOOD, "bearing": WORN, "rigging": seen(state="bad")}))

    assert [one.key for one in graded(found, Grade.UNSAFE)] == ["rigging"]
    assert [one.key for one in graded(found, Grade.WORN)] == ["bearing"]


# --- Laws ---


def readings() -> st.SearchStrategy[dict[str, Reading]]:
    state = st.sampled_from([seen(state="good"), seen(state="bad"), NOT_SEEN])
    play = st.sampled_from([seen(play=mm("0.1")), WORN, WORN_OUT, NOT_SEEN])
    return st.fixed_dictionaries(
        {}, optional={"bearing": play, "seacocks": state, "rigging": state, "seal": state}
    )


@settings(max_examples=25)
@given(readings())
def test_claims_never_exceed_the_due_work_and_the_high_claim_never_falls_below(
    looked: dict[str, Reading],
) -> None:
    """Each claim is rounded to ten, so a few tens may stand over."""
    boat = assess(search(looked), small_catalogue()).boats["ann"]
    found = boat.claim
    rounding = 5 * len(found.lines)

    assert found.total == sum((one.amount for one in found.lines), Decimal(0))
    assert found.total <= boat.deferred.mean + rounding
    assert found.high >= found.total
    for one in found.lines:
        assert one.proposed % 10 == 0
        assert 0 <= one.share <= 1
        assert one.low <= one.high
