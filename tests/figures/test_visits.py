"""Another visit: many small checks together are worth what none of them is worth alone."""

from __future__ import annotations

import numpy as np
import pytest

from workbench.figures.packages import Doubts, Ranks, answers_to, gains_after, worth_after
from workbench.figures.visits import OwnLooks, best_visit, in_order, losses

COUNT = 40
PRICE = 0.5


def doubts(cost: float = 400.0, chance: float = 0.1) -> Doubts:
    """Forty like doubts without access work."""
    return Doubts(
        (),
        np.full(COUNT, chance),
        np.full(COUNT, cost),
        np.zeros((0, COUNT), dtype=np.bool_),
        np.zeros(0),
        np.zeros(0),
    )


def looks(minutes: float = 5.0) -> OwnLooks:
    return OwnLooks(
        tuple(range(COUNT)),
        np.full(COUNT, 0.9),
        np.full(COUNT, 0.02),
        np.full(COUNT, minutes),
    )


@pytest.fixture(scope="module")
def ranks() -> Ranks:
    source = np.random.default_rng(3)
    return np.stack([source.permutation(np.arange(2_000, dtype=np.uint16)) for _ in range(COUNT)])


def test_checks_that_are_worth_nothing_alone_may_pay_together(ranks: Ranks) -> None:
    many = doubts()
    alone = answers_to(many, (0,), 0.9, 0.02, ranks)
    visit = best_visit(many, looks(), 350.0, 0.0, ranks, minute_worth=PRICE)

    assert worth_after(gains_after(many, alone, 350.0), 0.0) == 0
    assert visit is not None
    assert len(visit.places) > 1
    assert visit.net > 0
    assert visit.fee == PRICE * visit.minutes == PRICE * 5 * len(visit.places)


def test_what_tells_most_for_the_time_comes_first() -> None:
    dear = doubts()
    costs = dear.own.copy()
    costs[7], costs[11] = 5_000.0, 3_000.0
    uneven = Doubts((), dear.chances, costs, dear.needs, dear.costs, dear.unneeded)

    assert in_order(uneven, looks())[:2].tolist() == [7, 11]


def test_a_slow_look_comes_after_a_quick_one_that_tells_as_much() -> None:
    one = looks()
    minutes = one.minutes.copy()
    minutes[0] = 60.0
    slow = OwnLooks(one.places, one.sees, one.false_alarm, minutes)

    assert in_order(doubts(), slow)[-1] == 0


def test_a_visit_keeps_to_the_time_there_is(ranks: Ranks) -> None:
    visit = best_visit(doubts(), looks(), 500.0, 0.0, ranks, minute_worth=PRICE, most_minutes=37.0)

    assert visit is not None
    assert visit.minutes <= 35.0


def test_with_nothing_open_there_is_no_visit(ranks: Ranks) -> None:
    nothing = OwnLooks((), np.zeros(0), np.zeros(0), np.zeros(0))

    assert best_visit(doubts(), nothing, 0.0, 0.0, ranks, minute_worth=PRICE) is None


def test_where_the_choice_is_clear_a_visit_is_worth_nothing(ranks: Ranks) -> None:
    visit = best_visit(doubts(), looks(), 90_000.0, 0.0, ranks, minute_worth=PRICE)

    assert visit is not None
    assert visit.worth == 0
    assert visit.net < 0


def test_a_loss_counts_access_only_where_nothing_else_brings_it() -> None:
    """Two doubts of 100 at 0.5 that share a haul-out of 600: each brings it half the time."""
    two = Doubts(
        (),
        np.array([0.5, 0.5]),
        np.array([100.0, 100.0]),
        np.ones((1, 2), dtype=np.bool_),
        np.array([600.0]),
        np.array([1.0]),
    )

    assert losses(two).tolist() == [400.0, 400.0]
