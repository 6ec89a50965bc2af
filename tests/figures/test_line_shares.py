"""What a job carries of shared work: the three figures are kept apart and the right ones add up.

By hand on the small catalogue: bearing 300, seacocks 250 each, haul-out 600, drawing the shaft 400.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.figures.small_yard import ALL_GOOD, NOT_SEEN, mm, search, seen, small_catalogue
from workbench.domain.inspection import Reading
from workbench.domain.ledger import LineChange, OwnLine
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.span import Span
from workbench.domain.vocabulary import When
from workbench.edits import costing
from workbench.figures.assess import assess
from workbench.figures.assessment import BoatAssessment
from workbench.figures.line_shares import BoatShares, columns_of, shares_of
from workbench.figures.sharing import total_cost

WORN_OUT = seen(play=mm("1.2"), sound="knocks")
TWO_FROZEN = seen(state="bad", number=Quantity(Decimal(2), "count"))
BOTH = {**ALL_GOOD, "bearing": WORN_OUT, "seacocks": TWO_FROZEN}


def ann(project: Project) -> BoatAssessment:
    return assess(project, small_catalogue()).boats["ann"]


def shares(readings: dict[str, Reading]) -> BoatShares:
    return shares_of(ann(search(readings)))


def test_the_three_figures_of_two_jobs_that_share_a_haul_out() -> None:
    found = shares(BOTH)
    bearing, seacocks = found.of_check("bearing"), found.of_check("seacocks")

    assert bearing is not None
    assert seacocks is not None
    assert [bearing.own, seacocks.own] == [300, 500]
    assert [bearing.stand_alone, seacocks.stand_alone] == [1300, 1100]
    assert [bearing.marginal, seacocks.marginal] == [700, 500]
    assert bearing.fair_share == 1000
    assert seacocks.fair_share == 800
    assert found.found_bill == 1800


def test_fair_shares_are_the_mean_of_what_each_adds_in_every_order() -> None:
    """Shapley 1953: the mean marginal contribution over all orders, counted out."""
    boat = ann(search(BOTH))
    columns = columns_of(boat)
    players = [place for place, found in enumerate(columns.found) if found]
    added = dict.fromkeys(players, 0.0)
    orders = list(permutations(players))
    for order in orders:
        present = columns.found & False
        for player in order:
            before = total_cost(columns.work, columns.own, present)
            present[player] = True
            added[player] += total_cost(columns.work, columns.own, present) - before

    for player in players:
        share = shares_of(boat).of_job(columns.keys[player])
        assert share is not None
        assert float(share.fair_share or 0) == pytest.approx(added[player] / len(orders))


def test_the_marginal_is_what_the_bill_falls_by_when_the_job_is_left_out() -> None:
    out = LineChange(left_out=True)
    project = search(BOTH)
    less = search(BOTH, more=[lambda p: costing.change_line(p, "ann", "seacocks/renew/work", out)])
    share = shares_of(ann(project)).of_check("seacocks")

    assert share is not None
    fall = shares_of(ann(project)).expected_bill - shares_of(ann(less)).expected_bill
    assert share.marginal == fall == 500


def test_work_that_is_only_allowed_for_has_no_fair_share() -> None:
    rigging = shares({**ALL_GOOD, "rigging": NOT_SEEN}).of_check("rigging")

    assert rigging is not None
    assert rigging.fair_share is None
    assert rigging.expected_share == Decimal("1160.00")
    assert rigging.marginal == rigging.stand_alone == 2900


def test_jobs_in_different_lay_ups_do_not_share_a_haul_out() -> None:
    later = LineChange(when=When.FIVE_YEARS)
    project = search(
        BOTH, more=[lambda p: costing.change_line(p, "ann", "seacocks/renew/work", later)]
    )
    found = shares_of(ann(project))

    assert found.found_bill == 1300 + 1100
    assert found.of_check("seacocks").fair_share == 1100  # type: ignore[union-attr]


def test_an_own_line_takes_part_in_the_shares() -> None:
    exactly = Span.exactly(Decimal(90))
    paint = OwnLine("", "Paint", exactly, when=When.BEFORE_LAUNCHING, access=("haul-out",))
    project = search(
        {**ALL_GOOD, "seacocks": TWO_FROZEN},
        more=[lambda p: costing.put_own_line(p, "ann", paint)],
    )
    found = shares_of(ann(project))

    assert sorted(one.fair_share for one in found.jobs if one.fair_share) == [390, 800]


def test_a_boat_without_work_has_an_empty_bill() -> None:
    good = shares(ALL_GOOD)

    assert good.found_bill == 0
    assert good.of_check("no such check") is None
    assert good.of_job("no such job") is None


# --- Laws ---


def readings() -> st.SearchStrategy[dict[str, Reading]]:
    state = st.sampled_from([seen(state="good"), seen(state="bad"), NOT_SEEN])
    play = st.sampled_from([seen(play=mm("0.1")), seen(play=mm("0.8")), WORN_OUT, NOT_SEEN])
    return st.fixed_dictionaries(
        {}, optional={"bearing": play, "seacocks": state, "rigging": state, "seal": state}
    )


@settings(max_examples=25)
@given(readings())
def test_shares_add_to_the_bill_and_lie_between_marginal_and_stand_alone(
    looked: dict[str, Reading],
) -> None:
    found = shares(looked)
    fair = [one for one in found.jobs if one.fair_share is not None]

    assert sum((one.fair_share or Decimal(0) for one in fair), Decimal(0)) == found.found_bill
    assert sum((one.expected_share for one in found.jobs), Decimal(0)) == found.expected_bill
    for one in found.jobs:
        assert one.own <= one.marginal <= one.stand_alone
    cent = Decimal("0.01")
    for one in fair:
        assert one.own - cent <= (one.fair_share or 0) <= one.stand_alone + cent


@settings(max_examples=25)
@given(readings())
def test_claims_carry_the_fair_share_of_the_found_work(looked: dict[str, Reading]) -> None:
    boat = ann(search(looked))
    found = shares_of(boat)

    for line in boat.claim.lines:
        share = found.of_check(line.key)
        assert share is not None
        assert abs(line.full - (share.fair_share or Decimal(0))) <= Decimal("0.01")


@settings(max_examples=25)
@given(readings())
def test_the_expected_bill_is_all_that_the_accounts_count(looked: dict[str, Reading]) -> None:
    """Found work, allowance and later work charge every job and access task once."""
    boat = ann(search(looked))
    accounts = boat.work.mean + boat.allowance.mean + boat.later_work

    assert abs(shares_of(boat).expected_bill - accounts) < Decimal("0.2")
