"""Worth of the next look against published decision problems, closed forms and brute force."""

import itertools
import math

import numpy as np
import pytest
import scipy.integrate
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

from workbench.figures.knowing import (
    Look,
    PackageItem,
    SurveyCandidate,
    package_worth,
    pandora_index,
    posterior,
    rank_looks,
    survey_plan,
    two_act_evpi,
    two_act_evsi,
    two_outcome_looks,
    unit_normal_loss,
    worth_of_certainty,
    worth_of_signal,
)


def a_look(**changes: float | str) -> Look:
    # Our own shape of the problem: net 4000 if sound, -3000 if not, next best 1500.
    values: dict[str, float | str] = {
        "name": "engine mounts",
        "boat": "Alder",
        "chance": 0.3,
        "sensitivity": 0.85,
        "specificity": 0.9,
        "gain_if_present": -3000.0,
        "gain_if_absent": 4000.0,
        "fee": 250.0,
    }
    return Look(**(values | changes))  # type: ignore[arg-type]


def test_one_look_at_one_boat_by_hand() -> None:
    # Bayes by hand: P(+) .325, posteriors .784615 and .066667, EVPPI 1350, EVSI 972.50.
    advice = rank_looks([a_look()], {"Alder": 1500.0})
    best = advice.ranked[0]

    assert best.chance_seen == pytest.approx(0.325)
    assert best.gain_if_seen == pytest.approx(-1492.3077, abs=1e-4)
    assert best.gain_if_not_seen == pytest.approx(3533.3333, abs=1e-4)
    assert best.evppi == pytest.approx(1350)
    assert best.evsi == pytest.approx(972.5)
    assert best.net == pytest.approx(722.5)
    assert not advice.stop


@pytest.mark.parametrize(
    ("chance", "sensitivity", "specificity", "if_seen", "if_not"),
    [(0.01, 0.80, 0.904, 0.07764, 0.00223), (0.3, 0.7, 0.8, 0.60, 0.13846)],
)
def test_screening_posteriors_are_the_classic_ones(
    chance: float, sensitivity: float, specificity: float, if_seen: float, if_not: float
) -> None:
    # The first is the classic mammography example (Eddy 1982), from memory; both by Bayes' rule.
    got = two_outcome_looks(
        chance=np.array([chance]),
        sensitivity=np.array([sensitivity]),
        specificity=np.array([specificity]),
        gain_if_present=np.array([-1.0]),
        gain_if_absent=np.array([1.0]),
        best_other=np.array([0.0]),
    )

    assert got.chance_if_seen[0] == pytest.approx(if_seen, abs=5e-6)
    assert got.chance_if_not_seen[0] == pytest.approx(if_not, abs=5e-6)


def test_a_second_independent_sign_multiplies_the_odds() -> None:
    # Odds .3/.7 times a likelihood ratio of 3.5 twice: .84.
    once = posterior(0.3, np.array([0.7]), np.array([0.2]))
    twice = posterior(once, np.array([0.7]), np.array([0.2]))

    assert twice[0] == pytest.approx(0.84)


@pytest.mark.parametrize("name", ["chance", "sensitivity", "specificity"])
@pytest.mark.parametrize("value", [-0.1, 1.1, math.nan])
def test_a_share_outside_nothing_and_all_is_refused(name: str, value: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        rank_looks([a_look(**{name: value})], {"Alder": 0.0})


def test_an_impossible_outcome_leaves_the_chance_as_it_was() -> None:
    assert posterior(0.3, np.array([0.0]), np.array([0.0]))[0] == 0.3


shares = st.floats(0, 1)
money = st.floats(-20_000, 20_000)


@given(shares, shares, shares, money, money, money)
def test_worth_of_a_look_lies_between_nothing_and_certainty(
    chance: float, sensitivity: float, specificity: float, bad: float, good: float, other: float
) -> None:
    got = two_outcome_looks(
        chance=np.array([chance]),
        sensitivity=np.array([sensitivity]),
        specificity=np.array([specificity]),
        gain_if_present=np.array([bad]),
        gain_if_absent=np.array([good]),
        best_other=np.array([other]),
    )

    assert 0 <= got.evsi[0] <= got.evppi[0]


@given(st.floats(0.01, 0.99), st.floats(0.5, 1), st.floats(0.5, 1), money, money, money)
def test_worth_of_a_look_is_that_of_the_whole_decision_tree(
    chance: float, sensitivity: float, specificity: float, bad: float, good: float, other: float
) -> None:
    """Brute force: sum over outcomes of the better act on the joint table, less the blind act."""
    rival = max(other, 0.0)
    joint = {
        (True, True): chance * sensitivity,
        (True, False): chance * (1 - sensitivity),
        (False, True): (1 - chance) * (1 - specificity),
        (False, False): (1 - chance) * specificity,
    }
    gains = {True: bad, False: good}
    informed = 0.0
    for seen in (True, False):
        buy = sum(joint[real, seen] * gains[real] for real in (True, False))
        leave = rival * sum(joint[real, seen] for real in (True, False))
        informed += max(buy, leave)
    blind = max(chance * bad + (1 - chance) * good, rival)

    advice = rank_looks(
        [
            a_look(
                chance=chance,
                sensitivity=sensitivity,
                specificity=specificity,
                gain_if_present=bad,
                gain_if_absent=good,
            )
        ],
        {"Alder": other},
    )
    assert advice.ranked[0].evsi == pytest.approx(max(informed - blind, 0), abs=1e-6)


def test_a_look_that_cannot_change_the_choice_is_worth_exactly_nothing() -> None:
    advice = rank_looks([a_look(gain_if_present=100.0, fee=0.0)], {"Alder": -50.0})

    assert advice.ranked[0].evsi == 0.0
    assert not advice.ranked[0].changes_choice
    assert advice.stop
    assert "can change the choice" in advice.sentence


def test_buying_none_is_the_other_choice_when_all_other_boats_lose_money() -> None:
    with_losers = rank_looks([a_look()], {"Alder": -9000.0}).ranked[0]
    alone = rank_looks([a_look()], {"Alder": 0.0}).ranked[0]

    assert with_losers.evsi == alone.evsi > 0


def test_buying_none_is_worth_nothing_and_not_a_little() -> None:
    small = a_look(gain_if_present=-0.5, gain_if_absent=0.5, sensitivity=1.0, specificity=1.0)
    best = rank_looks([small], {"Alder": -1.0}).ranked[0]

    assert best.evsi == pytest.approx(0.7 * 0.5 - 0.2)
    assert best.changes_choice


def test_looks_are_ranked_by_what_they_earn_and_not_by_what_the_defect_costs() -> None:
    dear_but_certain = a_look(name="keel", chance=0.999, gain_if_present=-20_000.0)
    doubtful = a_look(name="mounts")
    advice = rank_looks([dear_but_certain, doubtful], {"Alder": 1500.0})

    assert [one.look.name for one in advice.ranked] == ["mounts", "keel"]
    assert advice.sentence.startswith("Next: mounts")


def test_when_no_look_pays_the_advice_is_to_stop() -> None:
    advice = rank_looks([a_look(fee=5000.0)], {"Alder": 1500.0})

    assert advice.stop
    assert "worth its fee" in advice.sentence


def test_nothing_left_to_look_at_means_decide() -> None:
    assert rank_looks([], {}).stop


def test_four_hundred_looks_at_once_equal_four_hundred_single_ones() -> None:
    generator = np.random.default_rng(1)
    looks = [
        a_look(
            name=f"look {number}",
            chance=float(generator.random()),
            gain_if_present=float(generator.normal(-2000, 2000)),
            gain_if_absent=float(generator.normal(3000, 2000)),
        )
        for number in range(400)
    ]
    together = {one.look.name: one.evsi for one in rank_looks(looks, {"Alder": 1000.0}).ranked}
    singly = {look.name: rank_looks([look], {"Alder": 1000.0}).ranked[0].evsi for look in looks}

    assert together == singly


# --- The oil wildcatter of the SAS/OR user's guide (procedure DTREE, example 1) ---

# Revenue in thousands by deposit, drilling cost by case, and the seismic test's likelihoods.
REVENUE = np.array([0.0, 700.0, 1200.0])
DEPOSIT = np.array([0.5, 0.3, 0.2])
COST = np.array([150.0, 300.0, 500.0])
COST_CHANCE = np.array([0.2, 0.6, 0.2])
# Rows: no structure, open, closed... given dry, wet, soaking; a drawn sample with exact shares.
LIKELIHOOD = np.array([[0.6, 0.3, 0.1], [0.3, 0.4, 0.3], [0.1, 0.4, 0.5]])


def wildcatter() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Every combination repeated in proportion to its chance: an exact sample."""
    deposits, costs, signs = [], [], []
    for deposit, cost, sign in itertools.product(range(3), range(3), range(3)):
        chance = DEPOSIT[deposit] * COST_CHANCE[cost] * LIKELIHOOD[deposit, sign]
        copies = round(chance * 500)
        assert copies == pytest.approx(chance * 500)
        deposits += [deposit] * copies
        costs += [cost] * copies
        signs += [sign] * copies
    gains = REVENUE[deposits] - COST[costs]
    return gains[None, :], np.array(deposits), np.array(costs), np.array(signs)


def test_wildcatter_values_of_perfect_information_are_the_published_ones() -> None:
    # SAS/OR DTREE: expected value 140, perfect information on the deposit 155 (thousand).
    gains, deposit, cost, _ = wildcatter()

    assert gains.mean() == pytest.approx(140)
    assert worth_of_signal(gains, deposit.astype(float)) == pytest.approx(155)
    assert worth_of_signal(gains, cost.astype(float)) == pytest.approx(10)
    both = np.vstack([deposit, cost]).astype(float)
    assert worth_of_signal(gains, both) == pytest.approx(155)
    assert worth_of_certainty(gains) == pytest.approx(155)


def test_wildcatter_test_is_not_worth_its_fee_although_certainty_would_be() -> None:
    gains, _, _, sign = wildcatter()
    worth = worth_of_signal(gains, sign.astype(float))

    assert worth == pytest.approx(40.1)
    assert worth < 60 < worth_of_signal(gains, wildcatter()[1].astype(float))


def test_worths_of_checks_do_not_add_in_the_bidding_problem() -> None:
    # Howard 1966, "Information value theory": cost U(0,1), rival's bid U(0,2); best blind bid 5/4
    # gains 9/32; knowing cost is worth 1/96, the rival's bid 27/96, both 29/96.
    grid = (np.arange(300) + 0.5) / 300
    cost, rival = np.meshgrid(grid, 2 * grid)
    bids = np.linspace(0, 2, 161)[:, None, None]
    gains = np.where(bids < rival, bids - cost, 0.0).reshape(161, -1)
    best = int(gains.mean(axis=1).argmax())

    assert bids[best, 0, 0] == pytest.approx(1.25, abs=0.02)
    assert gains.mean(axis=1).max() == pytest.approx(9 / 32, abs=2e-3)
    assert worth_of_signal(gains, cost.reshape(-1)) == pytest.approx(1 / 96, abs=2e-3)
    informed = np.where(cost.reshape(-1) < rival.reshape(-1), (rival - cost).reshape(-1), 0.0)
    both = informed.mean() - gains.mean(axis=1).max()
    assert worth_of_certainty(gains) == pytest.approx(both, abs=8e-3)
    assert both == pytest.approx(29 / 96, abs=2e-3)
    assert 1 / 96 + 27 / 96 < 29 / 96


# --- Normal closed forms ---


@pytest.mark.parametrize(
    ("z", "value"),
    [(0, 0.398942), (0.5, 0.197797), (1, 0.083315), (1.5, 0.029307), (2, 0.008491)],
)
def test_unit_normal_loss_is_the_table_value(z: float, value: float) -> None:
    # Unit normal linear loss integral, standard decision-analysis table (Raiffa and Schlaifer).
    assert unit_normal_loss(z) == pytest.approx(value, abs=5e-7)


@pytest.mark.parametrize("z", [-1.3, 0.0, 0.7, 2.4])
def test_unit_normal_loss_is_the_integral_of_the_shortfall(z: float) -> None:
    integral, _ = scipy.integrate.quad(lambda x: (x - z) * scipy.stats.norm.pdf(x), z, 40)

    assert unit_normal_loss(z) == pytest.approx(integral, abs=1e-9)


def test_two_act_values_are_the_closed_forms() -> None:
    assert two_act_evpi(1000, 2000) == pytest.approx(395.593, abs=5e-4)
    assert two_act_evsi(1000, 2000, 1500) == pytest.approx(259.072, abs=5e-4)
    assert two_act_evsi(1000, 2000, 0) == pytest.approx(two_act_evpi(1000, 2000))
    assert two_act_evpi(1000, 0) == two_act_evsi(1000, 0, 0) == 0.0


@given(st.floats(-5000, 5000), st.floats(1, 5000), st.floats(1, 5000))
def test_an_observation_never_beats_certainty(mean: float, sd: float, error: float) -> None:
    assert 0 <= two_act_evsi(mean, sd, error) <= two_act_evpi(mean, sd) + 1e-9


@pytest.mark.parametrize(
    ("count", "expected"),
    [(2, 0.56419), (3, 0.84628), (5, 1.16296), (10, 1.53875)],
)
def test_the_best_looking_of_equal_boats_looks_better_than_it_is(
    count: int, expected: float
) -> None:
    # Mean of the highest of n standard normals (order-statistics tables). With the mean gains all
    # zero this is the worth of certainty; n = 3 is Smith and Winkler's optimiser's curse.
    gains = np.random.default_rng(5).normal(size=(count, 200_000))
    none_counts = np.vstack([gains, np.zeros(200_000)]).max(axis=0).mean()

    assert gains.max(axis=0).mean() == pytest.approx(expected, abs=0.01)
    assert worth_of_certainty(gains) == pytest.approx(none_counts, abs=0.01)


def test_regression_estimate_is_the_closed_form_for_a_normal_problem() -> None:
    # Gain = theta + noise, theta N(0,1): EVPPI = phi(0) = .398942; raw EVPI would be .892.
    generator = np.random.default_rng(11)
    theta = generator.normal(size=20_000)
    gains = (theta + generator.normal(0, 2, 20_000))[None, :]

    assert worth_of_signal(gains, theta, degree=1) == pytest.approx(0.398942, abs=0.03)
    assert worth_of_signal(gains, theta) == pytest.approx(0.398942, abs=0.03)
    assert worth_of_certainty(gains) == pytest.approx(0.892, abs=0.03)


def test_regression_follows_a_curved_gain() -> None:
    # Gain = theta^2 - 1 with theta N(0,1): E[max(theta^2 - 1, 0)] = 2 phi(1) by integration.
    theta = np.random.default_rng(2).normal(size=50_000)
    gains = (theta**2 - 1)[None, :]
    expected = 2 * scipy.stats.norm.pdf(1)

    assert worth_of_signal(gains, theta) == pytest.approx(expected, abs=0.02)
    assert worth_of_signal(gains, theta, degree=1) < 0.05


def test_a_signal_that_says_nothing_is_worth_nearly_nothing() -> None:
    generator = np.random.default_rng(3)
    gains = generator.normal(1.0, 1, (3, 20_000)) + np.array([[0.0], [0.5], [1.0]])

    assert worth_of_signal(gains, generator.normal(size=20_000)) < 0.02
    assert worth_of_signal(gains, np.full(20_000, 7.0)) == 0.0


@given(st.integers(0, 10_000), st.integers(1, 4), st.integers(1, 3))
def test_worth_of_a_signal_never_exceeds_certainty(seed: int, boats: int, degree: int) -> None:
    generator = np.random.default_rng(seed)
    gains = generator.normal(0, 1000, (boats, 200))
    signal = gains[0] + generator.normal(0, 500, 200)
    worth = worth_of_signal(gains, signal, degree=degree)

    assert 0 <= worth <= worth_of_certainty(gains)


def test_signals_from_other_draws_are_refused() -> None:
    with pytest.raises(ValueError, match="same draws"):
        worth_of_signal(np.zeros((2, 10)), np.zeros(9))


# --- Packages ---


def test_a_package_of_one_item_is_one_look() -> None:
    look = a_look()
    alone = rank_looks([look], {"Alder": 1500.0}).ranked[0].evsi
    item = PackageItem(chance=0.3, loss=7000.0, sensitivity=0.85, specificity=0.9)

    assert package_worth([item], 1900.0, 1500.0) == pytest.approx(alone)


def test_a_package_that_sees_everything_is_worth_certainty() -> None:
    """Brute force over every combination of three independent defects."""
    chances, losses = (0.3, 0.2, 0.5), (4000.0, 2500.0, 1500.0)
    items = [PackageItem(p, loss) for p, loss in zip(chances, losses, strict=True)]
    expected = 0.0
    for defects in itertools.product((0, 1), repeat=3):
        weight = math.prod(p if real else 1 - p for p, real in zip(chances, defects, strict=True))
        gain = 3000.0 - sum(real * loss for real, loss in zip(defects, losses, strict=True))
        expected += weight * max(gain, 800.0)
    now = 3000.0 - sum(p * loss for p, loss in zip(chances, losses, strict=True))

    worth = package_worth(items, now, 800.0)
    assert worth == pytest.approx(expected - max(now, 800.0))


def test_a_package_can_pay_where_no_single_look_does() -> None:
    items = [PackageItem(0.3, 1200.0) for _ in range(4)]
    single = package_worth(items[:1], 1500.0, 0.0)

    assert single == 0.0
    assert package_worth(items, 1500.0, 0.0) > 0


def test_a_large_package_by_draws_is_near_the_counted_one() -> None:
    items = [PackageItem(0.2, 900.0, 0.9, 0.9) for _ in range(16)]
    drawn = package_worth(items, 200.0, 0.0, draws=200_000, seed=4)
    seen, up, down = 0.26, 900 * (0.2 - 0.18 / 0.26), 900 * (0.2 - 0.02 / 0.74)
    counted = sum(
        scipy.stats.binom.pmf(k, 16, seen) * max(200 + k * up + (16 - k) * down, 0)
        for k in range(17)
    )

    assert drawn == pytest.approx(counted - 200, rel=0.03)


@given(st.lists(st.tuples(shares, st.floats(0, 5000), shares, shares), max_size=6), money, money)
def test_a_package_is_worth_at_least_nothing_and_at_most_perfect_sight(
    rows: list[tuple[float, float, float, float]], now: float, other: float
) -> None:
    looking = [PackageItem(*row) for row in rows]
    perfect = [PackageItem(chance, loss) for chance, loss, _, _ in rows]

    worth = package_worth(looking, now, other)
    assert 0 <= worth <= package_worth(perfect, now, other) + 1e-6


# --- Which boat to survey first ---

# Weitzman 1979, "Optimal search for the best alternative": alpha costs 15 and gives 100 or 55 with
# equal chance; omega costs 20 and gives 240 with chance .2, else nothing. Undiscounted here.
ALPHA = SurveyCandidate("alpha", (100.0, 55.0), (0.5, 0.5), 15.0)
OMEGA = SurveyCandidate("omega", (240.0, 0.0), (0.2, 0.8), 20.0)


def test_survey_indices_are_those_of_the_published_example() -> None:
    assert pandora_index(ALPHA) == pytest.approx(70)
    assert pandora_index(OMEGA) == pytest.approx(140)


def test_the_boat_with_the_lower_mean_is_surveyed_first() -> None:
    plan = survey_plan([ALPHA, OMEGA])

    assert [name for name, _ in plan.order] == ["omega", "alpha"]
    assert plan.expected_worth == pytest.approx(78)
    assert not plan.stop


def follow(first: SurveyCandidate, second: SurveyCandidate) -> float:
    """Survey `first`, then `second` only if that still pays; brute force over outcomes."""
    total = -first.fee
    for gain, chance in zip(first.gains, first.chances, strict=True):
        hand = max(gain, 0.0)
        more = -second.fee + sum(
            share * max(hand, other)
            for other, share in zip(second.gains, second.chances, strict=True)
        )
        total += chance * max(hand, more)
    return total


def test_following_the_order_beats_the_other_order_by_brute_force() -> None:
    assert follow(OMEGA, ALPHA) == pytest.approx(78)
    assert follow(ALPHA, OMEGA) == pytest.approx(75)


gains = st.tuples(st.floats(-3000, 3000), st.floats(-3000, 3000))


@given(gains, gains, st.floats(0.05, 0.95), st.floats(0.05, 0.95), st.floats(1, 800))
def test_plan_worth_is_the_best_of_all_policies(
    one: tuple[float, float], two: tuple[float, float], p: float, q: float, fee: float
) -> None:
    first = SurveyCandidate("first", one, (p, 1 - p), fee)
    second = SurveyCandidate("second", two, (q, 1 - q), fee / 2)
    best = max(0.0, follow(first, second), follow(second, first))

    assert survey_plan([first, second]).expected_worth == pytest.approx(best, abs=1e-6)


@given(gains, st.floats(0.05, 0.95), st.floats(0.5, 2000))
def test_the_index_solves_its_equation(pair: tuple[float, float], p: float, fee: float) -> None:
    index = pandora_index(SurveyCandidate("boat", pair, (p, 1 - p), fee))
    left = p * max(pair[0] - index, 0) + (1 - p) * max(pair[1] - index, 0)

    assert left == pytest.approx(fee, rel=1e-6)


def test_no_survey_is_worth_it_when_every_index_is_below_what_is_in_hand() -> None:
    plan = survey_plan([ALPHA, OMEGA], in_hand=150.0)

    assert plan.stop
    assert plan.expected_worth == pytest.approx(150)


def test_a_free_survey_is_worth_up_to_the_best_case() -> None:
    assert pandora_index(SurveyCandidate("free", (3.0, 9.0), (0.5, 0.5), 0.0)) == 9.0


def test_no_candidates_leave_what_is_in_hand() -> None:
    plan = survey_plan([], in_hand=12.0)

    assert plan.stop
    assert plan.expected_worth == 12.0
