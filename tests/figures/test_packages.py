"""Many answers at once: exact against every combination counted out, shared access included."""

from __future__ import annotations

import itertools
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.figures.small_yard import NOT_SEEN, mm, search, seen, small_catalogue
from workbench.domain.inspection import Reading
from workbench.figures.assess import assess
from workbench.figures.assessment import BoatAssessment
from workbench.figures.draws import pool_for
from workbench.figures.packages import (
    PATTERNS,
    Doubts,
    answer_ranks,
    answers_to,
    doubt_columns,
    doubts_of,
    gains_after,
    most_worth,
    worth_after,
)

UNSEEN: dict[str, Reading] = {}


def ann(readings: dict[str, Reading]) -> BoatAssessment:
    return assess(search(readings), small_catalogue()).boats["ann"]


def bill_at(doubts: Doubts, chances: tuple[float, ...]) -> float:
    """Expected bill of the doubts, written out: own costs by chance, each task once."""
    total: float = sum(p * own for p, own in zip(chances, doubts.own.tolist(), strict=True))
    for needs, cost, free in zip(doubts.needs, doubts.costs, doubts.unneeded, strict=True):
        none = float(free)
        for needed, p in zip(needs.tolist(), chances, strict=True):
            none *= 1 - p if needed else 1
        total += float(cost) * (1 - none)
    return total


def counted_out(doubts: Doubts, sees: float, cry: float, gain: float, rival: float) -> float:
    """Worth of all answers, every combination of them counted."""
    now = bill_at(doubts, tuple(doubts.chances.tolist()))
    worth: float = 0.0
    for seen_ones in itertools.product((True, False), repeat=doubts.chances.size):
        weight: float = 1.0
        after: list[float] = []
        for p, is_seen in zip(doubts.chances.tolist(), seen_ones, strict=True):
            hit, miss = (sees, cry) if is_seen else (1 - sees, 1 - cry)
            total = p * hit + (1 - p) * miss
            weight *= total
            after.append(p * hit / total)
        worth += weight * max(gain + now - bill_at(doubts, tuple(after)), rival)
    return worth - max(gain, rival)


def test_the_worth_of_a_package_is_that_of_every_combination() -> None:
    boat = ann(UNSEEN)
    doubts = doubt_columns(boat)
    ranks = answer_ranks(boat, doubts, pool_for(1, PATTERNS))
    everything = range(len(doubts.items))

    for gain, rival in ((300.0, 0.0), (0.0, 400.0), (-200.0, 0.0), (900.0, 1_000.0)):
        answers = answers_to(doubts, everything, 0.9, 0.05, ranks)
        drawn = worth_after(gains_after(doubts, answers, gain), rival)
        assert drawn == pytest.approx(counted_out(doubts, 0.9, 0.05, gain, rival), abs=20)


def test_gains_after_are_on_average_what_is_expected_now() -> None:
    boat = ann(UNSEEN)
    doubts = doubt_columns(boat)
    answers = answers_to(doubts, (0, 2), 0.7, 0.1, answer_ranks(boat, doubts, pool_for(1, 4_000)))

    assert gains_after(doubts, answers, 123.0).mean() == pytest.approx(123.0)


def test_an_answer_that_says_nothing_is_worth_nothing() -> None:
    """Seen as often where it is as where it is not."""
    boat = ann(UNSEEN)
    doubts = doubt_columns(boat)
    answers = answers_to(
        doubts, (0, 1, 2), 0.3, 0.3, answer_ranks(boat, doubts, pool_for(1, 4_000))
    )

    assert np.ptp(gains_after(doubts, answers, 10.0)) == pytest.approx(0.0, abs=1e-3)


def test_a_doubt_costs_what_the_bill_rises_by() -> None:
    """Seacocks beside an unseen bearing: 250, and the haul-out where the bearing is sound."""
    doubts = {one.line.finding.check.id: one for one in doubts_of(ann(UNSEEN)) if one.line.finding}

    assert doubts["seacocks"].loss == pytest.approx(250 + 0.8 * 600)
    assert doubts["rigging"].loss == pytest.approx(2_000 + 900)


def test_what_is_found_for_sure_is_not_in_doubt_and_brings_its_access() -> None:
    found = ann({"bearing": seen(play=mm("1.2"), sound="knocks"), "rigging": NOT_SEEN})
    doubts = {one.line.finding.check.id: one for one in doubts_of(found) if one.line.finding}

    assert "bearing" not in doubts
    assert doubts["seacocks"].loss == pytest.approx(250)


def test_no_doubts_are_no_trouble() -> None:
    nothing = {check: seen(state="bad") for check in ("seacocks", "rigging", "seal")} | {
        "bearing": seen(play=mm("1.2"), sound="knocks")
    }
    doubts = doubt_columns(ann(nothing))

    assert doubts.items == ()
    assert doubts.own.size == 0


@given(
    chances=st.lists(st.floats(0.01, 0.9), min_size=1, max_size=6),
    sees=st.floats(0.5, 0.99),
    cry=st.floats(0.01, 0.4),
    gain=st.floats(-3_000, 3_000),
    rival=st.floats(0, 3_000),
)
def test_a_package_is_never_worth_more_than_its_ceiling_or_less_than_nothing(
    chances: list[float], sees: float, cry: float, gain: float, rival: float
) -> None:
    count = len(chances)
    doubts = Doubts(
        (),
        np.array(chances),
        np.linspace(200, 3_000, count),
        np.ones((1, count), dtype=np.bool_),
        np.array([600.0]),
        np.array([1.0]),
    )
    patterns = np.arange(2_000, dtype=np.uint16)
    source = np.random.default_rng(1)
    ranks = np.stack([source.permutation(patterns) for _ in chances])
    answers = answers_to(doubts, range(count), sees, cry, ranks)
    worth = worth_after(gains_after(doubts, answers, gain), rival)
    ceiling = most_worth(doubts, answers, abs(gain - rival))

    assert 0 <= worth <= ceiling[-1] * 1.05 + 1
    assert np.all(np.diff(ceiling) >= 0)


def test_the_same_answers_come_on_every_run() -> None:
    boat = ann(UNSEEN)
    doubts = doubt_columns(boat)
    pool = pool_for(1, PATTERNS)

    assert np.array_equal(answer_ranks(boat, doubts, pool), answer_ranks(boat, doubts, pool))
    assert boat.allowance.mean > Decimal(0)
