"""What a line's job shares with others is told in three figures, each under its own name.

By hand on the small catalogue: bearing 300, seacocks 250 each, haul-out 600, drawing the shaft 400.
"""

from __future__ import annotations

from tests.figures.small_yard import ALL_GOOD, mm, search, seen, small_catalogue
from workbench.catalogue.wording import ENGLISH_WORDING
from workbench.domain.quantity import parse_quantity
from workbench.figures.assess import assess
from workbench.figures.share_trace import why_share
from workbench.figures.trace import why_later, why_offer

WORN_OUT = seen(play=mm("1.2"), sound="knocks")
TWO_FROZEN = seen(state="bad", number=parse_quantity("2", "count"))
BOTH = {**ALL_GOOD, "bearing": WORN_OUT, "seacocks": TWO_FROZEN}


def test_a_job_that_shares_a_haul_out_tells_three_figures() -> None:
    boat = assess(search(BOTH), small_catalogue()).boats["ann"]
    line = boat.lines_of("bearing")[0]
    step = why_share(boat, line, ENGLISH_WORDING)

    assert step is not None
    assert step.amount is None  # there is nothing that the three add up to
    assert [one.label for one in step.children] == ["Alone", "Saved without it", "Fair share"]
    assert [one.amount for one in step.children] == [1300, 700, 1000]


def test_a_job_that_counts_nothing_shares_nothing() -> None:
    boat = assess(search(ALL_GOOD), small_catalogue()).boats["ann"]

    told = [why_share(boat, line, ENGLISH_WORDING) for line in boat.lines if not line.counts]
    assert all(one is None for one in told)


def test_work_of_five_years_is_told_with_its_worth_today() -> None:
    catalogue = small_catalogue()
    boat = assess(search(BOTH), catalogue).boats["ann"]
    step = why_later(boat, catalogue)

    assert step.amount == boat.later_work
    assert f"{boat.later_work_now:,.0f} today" in step.detail


def test_the_three_prices_are_told_with_what_they_rest_on() -> None:
    catalogue = small_catalogue()
    boat = assess(search(BOTH), catalogue).boats["ann"]
    told = {one.label: one.amount for one in why_offer(boat, catalogue).children}

    assert told["Claims"] == boat.claim.total
    assert told["Opening"] == boat.offer.opening
    assert told["Walk-away"] == boat.offer.walk_away
