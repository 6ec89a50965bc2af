"""The simulated market of the benchmarks believes what the program believes.

The market judges thousands of boats at once in columns. Here one boat of the small catalogue is
judged both ways, after every combination of looks, and truth is held to the chances it is drawn at.
"""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from tests.benchmarks.market.belief import Belief, first_visit, told_by
from tests.benchmarks.market.held import percentile_of_each
from tests.benchmarks.market.kinds import Kind, Particulars, bill, kind_of
from tests.benchmarks.market.policies import (
    NONE,
    best_of_each,
    everything_looked_at,
    losses,
    simple_policies,
)
from tests.benchmarks.market.truth import Wrong, faults, market, usual_bill
from tests.figures.small_yard import mm, search, seen, small_catalogue
from workbench.domain.inspection import Reading
from workbench.figures.assess import assess
from workbench.figures.assessment import BoatAssessment
from workbench.figures.line_shares import columns_of

GOOD = {
    "bearing": seen(play=mm("0.1"), sound="quiet"),
    "seacocks": seen(state="good"),
    "rigging": seen(state="good"),
    "seal": seen(state="good"),
}
BAD = {
    "bearing": seen(play=mm("1.2"), sound="knocks"),
    "seacocks": seen(state="bad"),
    "rigging": seen(state="bad"),
    "seal": seen(state="bad"),
}
CHECKS = tuple(GOOD)


@pytest.fixture(scope="module")
def kind() -> Kind:
    return kind_of(Particulars("10", "5000", 1986), small_catalogue())


def judged(readings: dict[str, Reading]) -> BoatAssessment:
    return assess(search(readings), small_catalogue()).boats["ann"]


def believed(kind: Kind, states: tuple[str, ...]) -> Belief:
    """One boat after these looks: each check good, bad or open."""
    by_check = dict(zip(CHECKS, states, strict=True))
    word = [by_check[key.split("/")[0]] for key in kind.keys]
    looked = np.array([[one != "open" for one in word]])
    bad = np.array([[one == "bad" for one in word]])
    nobody = np.zeros_like(looked)
    return Belief(kind, looked, bad, np.ones(looked.shape), nobody)


@pytest.mark.parametrize(
    "states", list(itertools.product(("open", "good", "bad"), repeat=4)), ids="-".join
)
def test_chances_and_bill_are_the_programs_own(kind: Kind, states: tuple[str, ...]) -> None:
    readings = {
        check: (GOOD if state == "good" else BAD)[check]
        for check, state in zip(CHECKS, states, strict=True)
        if state != "open"
    }
    boat = judged(readings)
    columns = columns_of(boat)
    theirs = dict(zip(columns.keys, columns.chances.tolist(), strict=True))
    belief = believed(kind, states)

    ours = dict(zip(kind.keys, belief.chances()[0].tolist(), strict=True))
    assert ours == pytest.approx(theirs)
    accounts = float(boat.work.mean + boat.allowance.mean + boat.later_work)
    assert bill(kind, belief.chances())[0] == pytest.approx(accounts, abs=0.1)


def test_the_p80_is_that_of_the_programs_draws(kind: Kind) -> None:
    """Other streams and fewer draws: within a few standard errors."""
    boat = judged({})
    p80 = percentile_of_each(kind, believed(kind, ("open",) * 4).chances())[0]
    theirs = float(boat.cost_to_ready.p80) - 20_000

    assert p80 == pytest.approx(theirs, abs=8 * boat.cost_to_ready.p80_standard_error)


def test_faults_come_as_often_as_the_catalogue_says(kind: Kind) -> None:
    drawn = faults(kind, kind.prior, 20_000, np.random.default_rng(1))

    error = np.sqrt(kind.prior * (1 - kind.prior) / 20_000)
    assert np.all(np.abs(drawn.mean(axis=0) - kind.prior) < 4 * error)


def test_a_linked_fault_comes_more_often_beside_its_source(kind: Kind) -> None:
    drawn = faults(kind, kind.prior, 40_000, np.random.default_rng(2))
    names = [key.split("/")[0] for key in kind.keys]
    bearing, seal = names.index("bearing"), names.index("seal")
    beside = drawn[drawn[:, bearing], seal].mean()
    without = drawn[~drawn[:, bearing], seal].mean()

    odds = (beside / (1 - beside)) / (without / (1 - without))
    assert odds == pytest.approx(4.0, rel=0.15)


def test_repairs_cost_on_average_what_the_kind_usually_needs(kind: Kind) -> None:
    here = market(kind, 4_000, Wrong(), np.random.default_rng(3))

    error = here.repair.std() / np.sqrt(here.repair.size / 4)
    assert here.repair.mean() == pytest.approx(usual_bill(kind, Wrong()), abs=4 * error)


def test_nobody_loses_less_than_nothing_and_who_knows_everything_loses_nothing(
    kind: Kind,
) -> None:
    source = np.random.default_rng(4)
    here = market(kind, 200, Wrong(), source)
    belief = first_visit(here, source, 10.0)

    for outcome in simple_policies(here, belief, source):
        assert np.all(losses(here, outcome) >= -1e-9)
        if outcome.label == "everything known":
            assert np.all(losses(here, outcome) == 0)


def test_none_is_chosen_where_nothing_is_worth_it(kind: Kind) -> None:
    here = market(kind, 20, Wrong(), np.random.default_rng(5))

    assert np.all(best_of_each(here, np.full(here.buyer.size, -1.0)) == NONE)
    best = best_of_each(here, here.asking)
    assert all(
        here.asking[row] == here.asking[here.buyer == buyer].max() for buyer, row in enumerate(best)
    )


def test_a_professionals_answers_move_chances_by_their_likelihood_ratio(kind: Kind) -> None:
    """Odds .25 x (.9 / .05) = 4.5 where seen; .25 x (.1 / .95) where not."""
    belief = believed(kind, ("open",) * 4)
    saw = np.array([[key.startswith("seacocks") for key in kind.keys]])
    told_by(belief, slice(0, 1), 0, saw)
    chance = dict(zip(kind.keys, belief.chances()[0].tolist(), strict=True))

    assert chance["seacocks/renew"] == pytest.approx(4.5 / 5.5)
    without = 0.25 * 0.1 / 0.95
    assert chance["bearing/renew"] == pytest.approx(without / (1 + without))


def test_looking_at_everything_leaves_nothing_open(kind: Kind) -> None:
    source = np.random.default_rng(6)
    here = market(kind, 10, Wrong(), source)
    belief = everything_looked_at(here, first_visit(here, source, 5.0), source)

    assert belief.looked[:, kind.ashore].all()
    assert not np.array_equal(belief.answer, np.ones_like(belief.answer))
