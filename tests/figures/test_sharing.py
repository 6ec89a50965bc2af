"""Shared access work: published games, brute force over every case and permutation as oracles."""

from collections.abc import Iterable, Sequence
from itertools import permutations, product
from math import comb

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbench.figures.draws import occurs, pool_for, stream_for
from workbench.figures.sharing import (
    AccessKey,
    AccessRingError,
    SharedWork,
    access_covariance,
    access_draws,
    chances_needed,
    change_user_counts,
    closure,
    expected_cost,
    expected_derivatives,
    expected_shares,
    fair_shares,
    marginal,
    shared_work,
    stand_alone,
    total_cost,
    user_counts,
)


def key(task: str, lay_up: str = "now") -> AccessKey:
    return AccessKey(task, lay_up)


def work_of(needs: Sequence[Iterable[str]], costs: dict[str, float]) -> SharedWork:
    return shared_work(
        [frozenset(map(key, wanted)) for wanted in needs],
        {key(task): cost for task, cost in costs.items()},
    )


# Five findings on an invented boat; figures recomputed by permutations and by enumeration.
BOAT = work_of(
    [{"haul"}, {"haul", "shaft"}, {"haul", "rudder"}, {"mast"}, {"mast"}],
    {"haul": 650, "mast": 900, "shaft": 400, "rudder": 300},
)
OWN = np.array([1_200.0, 350.0, 500.0, 2_500.0, 4_200.0])
CHANCES = np.array([0.9, 0.5, 0.3, 0.6, 0.4])
ALL = np.ones(5, dtype=np.bool_)

games = st.integers(1, 7).flatmap(
    lambda items: st.tuples(
        st.lists(st.sets(st.sampled_from("abcd")), min_size=items, max_size=items),
        st.lists(st.integers(0, 5_000).map(float), min_size=items, max_size=items),
        st.lists(st.floats(0, 1) | st.sampled_from([0.0, 1.0]), min_size=items, max_size=items),
        st.lists(st.integers(0, 5_000).map(float), min_size=4, max_size=4),
    )
)
Game = tuple[list[set[str]], list[float], list[float], list[float]]


def set_up(game: Game) -> tuple[SharedWork, np.ndarray, np.ndarray]:
    needs, own, chances, costs = game
    return work_of(needs, dict(zip("abcd", costs, strict=True))), np.array(own), np.array(chances)


def cases(chances: np.ndarray) -> Iterable[tuple[float, np.ndarray]]:
    """Every combination of real and not real with its chance."""
    for real in product([False, True], repeat=chances.size):
        present = np.array(real, dtype=np.bool_)
        yield float(np.prod(np.where(present, chances, 1 - chances))), present


def shapley_by_permutations(work: SharedWork, own: np.ndarray) -> np.ndarray:
    """Mean cost that each item adds on arrival, over every order of arrival."""
    added = np.zeros(work.items)
    orders = list(permutations(range(work.items)))
    for order in orders:
        present = np.zeros(work.items, dtype=np.bool_)
        before = 0.0
        for item in order:
            present[item] = True
            after = total_cost(work, own, present)
            added[item] += after - before
            before = after
    return added / len(orders)


@pytest.mark.parametrize(
    ("runway", "shares"),
    [
        ((8, 11, 13, 18), (2, 3, 4, 9)),
        ((1_500, 2_200, 3_000), (500, 850, 1_650)),
        ((1_500, 2_200, 3_500), (500, 850, 2_150)),
    ],
)
def test_the_airport_game_is_shared_as_published(
    runway: tuple[float, ...], shares: tuple[float, ...]
) -> None:
    """Littlechild and Owen 1973.

    Figures from hellenicaworld's "Airport problem" (8, 11, 13, 18) and thoughtfulexaminations
    p=19583 (1500, 2200, 3000, then 3500).
    """
    steps = {f"step {n}": float(c) for n, c in enumerate(np.diff(runway, prepend=0).tolist())}
    names = list(steps)
    work = work_of([names[: n + 1] for n in range(len(runway))], steps)
    everyone = np.ones(len(runway), dtype=np.bool_)

    assert fair_shares(work, np.zeros(len(runway)), everyone) == pytest.approx(shares, abs=1e-9)


def test_our_permutation_oracle_gives_the_published_shares_of_a_general_game() -> None:
    """Lindo's SHAPLEY.lng: A 88, B 92, C 70, AB 100, AC 119, BC 112, ABC 120 (shares recomputed).

    The game is no cost-per-task game, so it checks the oracle and not ``fair_shares``.
    """
    worth = {"": 0, "A": 88, "B": 92, "C": 70, "AB": 100, "AC": 119, "BC": 112, "ABC": 120}
    shares = dict.fromkeys("ABC", 0.0)
    for order in permutations("ABC"):
        for place, player in enumerate(order):
            before, after = sorted(order[:place]), sorted(order[: place + 1])
            shares[player] += (worth["".join(after)] - worth["".join(before)]) / 6

    assert shares == pytest.approx({"A": 41.5, "B": 40.0, "C": 38.5})


def test_the_boat_costs_three_different_things() -> None:
    assert total_cost(BOAT, OWN, ALL) == 11_000
    assert stand_alone(BOAT, OWN).sum() == pytest.approx(13_200, abs=1e-9)
    saved = marginal(BOAT, OWN, ALL)
    assert saved == pytest.approx([1_200, 750, 800, 2_500, 4_200], abs=1e-9)
    assert saved.sum() == pytest.approx(9_450)
    shares = fair_shares(BOAT, OWN, ALL)
    assert shares == pytest.approx([1_416.67, 966.67, 1_016.67, 2_950, 4_650], abs=0.005)
    assert shares.sum() == pytest.approx(11_000, abs=1e-9)


def test_the_boat_under_chances_gives_the_enumerated_figures() -> None:
    assert expected_cost(BOAT, OWN, CHANCES) == pytest.approx(6_186.25, abs=1e-9)
    naive = CHANCES @ stand_alone(BOAT, OWN)
    assert naive == pytest.approx(6_880, abs=1e-9)
    slopes = expected_derivatives(BOAT, OWN, CHANCES)
    assert slopes == pytest.approx([1_427.5, 795.5, 832.5, 3_040, 4_560], abs=1e-9)
    shares = expected_shares(BOAT, OWN, CHANCES)
    assert shares == pytest.approx([1_460.25, 534.25, 327.75, 1_932, 1_932], abs=1e-9)


def test_the_chance_that_a_task_is_needed_is_not_the_greatest_of_its_users() -> None:
    needed = dict(zip(BOAT.keys, chances_needed(BOAT, CHANCES).tolist(), strict=True))

    assert needed[key("haul")] == pytest.approx(1 - 0.1 * 0.5 * 0.7)
    assert needed[key("haul")] == pytest.approx(0.965)


@given(games)
@settings(max_examples=30)
def test_fair_shares_are_shapley_values(game: Game) -> None:
    work, own, _ = set_up(([*game[0][:5]], game[1][:5], game[2][:5], game[3]))
    everyone = np.ones(work.items, dtype=np.bool_)

    expected = shapley_by_permutations(work, own)
    assert fair_shares(work, own, everyone) == pytest.approx(expected, abs=1e-6)


@given(games)
def test_means_under_chances_equal_the_sum_over_every_case(game: Game) -> None:
    work, own, chances = set_up(game)
    weighed = list(cases(chances))

    bill = sum(weight * total_cost(work, own, present) for weight, present in weighed)
    assert expected_cost(work, own, chances) == pytest.approx(bill, abs=1e-6)
    shares = sum(weight * fair_shares(work, own, present) for weight, present in weighed)
    assert expected_shares(work, own, chances) == pytest.approx(shares, abs=1e-6)
    slopes = expected_derivatives(work, own, chances)
    for item in range(work.items):
        surely, never = chances.copy(), chances.copy()
        surely[item], never[item] = 1.0, 0.0
        rise = expected_cost(work, own, surely) - expected_cost(work, own, never)
        assert slopes[item] == pytest.approx(rise, abs=1e-6)


def test_twelve_findings_equal_the_sum_over_all_their_cases() -> None:
    source = np.random.default_rng(12)
    needs = [set(source.choice(list("abcd"), size=2)) for _ in range(12)]
    work = work_of(needs, {"a": 650, "b": 900, "c": 400, "d": 300})
    own, chances = source.uniform(0, 3_000, 12), source.uniform(0, 1, 12)
    weighed = list(cases(chances))

    bill = sum(weight * total_cost(work, own, present) for weight, present in weighed)
    assert expected_cost(work, own, chances) == pytest.approx(bill, rel=1e-12)
    shares = sum(weight * fair_shares(work, own, present) for weight, present in weighed)
    assert expected_shares(work, own, chances) == pytest.approx(shares, rel=1e-12)


@given(games)
def test_the_covariance_of_access_equals_the_sum_over_every_case(game: Game) -> None:
    work, _, chances = set_up(game)
    tasks = len(work.keys)
    first, second = np.zeros(tasks), np.zeros((tasks, tasks))
    for weight, present in cases(chances):
        counts = user_counts(work, [np.array([flag]) for flag in present], 1)
        needed = (counts[:, 0] > 0).astype(np.float64)
        first += weight * needed
        second += weight * np.outer(needed, needed)

    assert access_covariance(work, chances) == pytest.approx(
        second - np.outer(first, first), abs=1e-9
    )


@given(games)
def test_shares_add_up_and_the_union_costs_no_more_than_its_parts(game: Game) -> None:
    work, own, chances = set_up(game)
    present = chances > 0.5
    bill = total_cost(work, own, present)

    assert fair_shares(work, own, present).sum() == pytest.approx(bill)
    assert bill <= stand_alone(work, own)[present].sum() + 1e-9
    assert marginal(work, own, present).sum() <= bill + 1e-9
    total = expected_cost(work, own, chances)
    assert expected_shares(work, own, chances).sum() == pytest.approx(total)


@given(games, st.integers(0, 6), st.floats(0, 1))
def test_a_greater_chance_or_cost_never_lowers_the_bill(
    game: Game, place: int, chance: float
) -> None:
    work, own, chances = set_up(game)
    likelier, dearer = chances.copy(), own.copy()
    likelier[place % work.items] = max(chance, chances[place % work.items])
    dearer[place % work.items] += 10
    bill = expected_cost(work, own, chances)

    assert expected_cost(work, own, likelier) >= bill - 1e-9
    assert expected_cost(work, dearer, chances) >= bill - 1e-9


@given(games)
def test_taking_an_item_away_saves_its_marginal_cost(game: Game) -> None:
    work, own, _ = set_up(game)
    everyone = np.ones(work.items, dtype=np.bool_)
    saved = marginal(work, own, everyone)
    for item in range(work.items):
        without = everyone.copy()
        without[item] = False
        fall = total_cost(work, own, everyone) - total_cost(work, own, without)
        assert saved[item] == pytest.approx(fall, abs=1e-9)


@pytest.mark.parametrize("p", [0.3, 0.98])
@pytest.mark.parametrize("users", [2, 31, 32, 33, 90])
def test_expected_shares_stay_exact_for_many_users(users: int, p: float) -> None:
    """With equal chances the mean share is the binomial mean of 1/(1 + others), summed exactly."""
    cost = 1_000.0
    work = work_of([{"haul"}] * users, {"haul": cost})
    others = users - 1
    mean = sum(comb(others, k) * p**k * (1 - p) ** (others - k) / (1 + k) for k in range(users))

    shares = expected_shares(work, np.zeros(users), np.full(users, p))
    assert shares == pytest.approx(np.full(users, p * cost * mean), rel=1e-12)


def test_each_lay_up_pays_its_own_haul_out() -> None:
    needs = [{key("haul", "before launching")}, {key("haul", "first season")}]
    costs = {wanted: 650.0 for need in needs for wanted in need}
    work = shared_work(needs, costs)

    assert total_cost(work, np.zeros(2), np.ones(2, dtype=np.bool_)) == 1_300


def test_deleting_one_of_two_jobs_keeps_the_haul_out() -> None:
    work = work_of([{"haul"}, {"haul"}], {"haul": 650})

    assert total_cost(work, np.zeros(2), np.array([True, False])) == 650
    assert marginal(work, np.zeros(2), np.array([True, True])).tolist() == [0, 0]


def test_work_without_access_costs_itself() -> None:
    work = work_of([set(), set()], {})
    own, chances = np.array([100.0, 200.0]), np.array([0.5, 1.0])

    assert expected_cost(work, own, chances) == 250
    assert expected_shares(work, own, chances).tolist() == [50, 200]
    assert expected_derivatives(work, own, chances).tolist() == [100, 200]
    assert chances_needed(work, chances).size == 0
    assert access_draws(work.costs, user_counts(work, [], 7)).tolist() == [0.0] * 7


def test_a_task_without_a_cost_is_refused() -> None:
    with pytest.raises(KeyError):
        work_of([{"haul"}], {})


def test_needs_are_followed_to_the_end() -> None:
    found = closure({"shaft": ("haul", "coupling"), "coupling": ("engine",), "mast": ()})

    assert found["shaft"] == {"shaft", "haul", "coupling", "engine"}
    assert found["engine"] == {"engine"}
    assert found["mast"] == {"mast"}


def test_needs_that_part_and_meet_again_are_no_ring() -> None:
    found = closure({"a": ("b", "c"), "b": ("d",), "c": ("b", "d"), "d": ()})

    assert found["a"] == set("abcd")


@pytest.mark.parametrize(
    ("requires", "ring"),
    [
        ({"a": ("a",)}, {"a"}),
        ({"a": ("b",), "b": ("a",)}, {"a", "b"}),
        ({"x": ("a",), "a": ("b",), "b": ("c", "y"), "c": ("a",)}, {"a", "b", "c"}),
    ],
)
def test_a_ring_of_needs_is_refused_by_name(
    requires: dict[str, tuple[str, ...]], ring: set[str]
) -> None:
    with pytest.raises(AccessRingError) as caught:
        closure(requires)

    assert set(caught.value.ring) == ring
    for first, second in zip(caught.value.ring, caught.value.ring[1:], strict=False):
        assert second in requires[first]
    assert caught.value.ring[0] in requires[caught.value.ring[-1]]
    assert all(task in str(caught.value) for task in ring)


def test_a_chain_of_thousands_of_needs_is_followed() -> None:
    requires = {str(n): (str(n + 1),) for n in range(3_000)}

    assert len(closure(requires)["0"]) == 3_001


def test_drawn_access_agrees_with_the_exact_chances() -> None:
    pool = pool_for(3)
    happens = [occurs(p, stream_for(8, f"line {n}"), pool) for n, p in enumerate(CHANCES.tolist())]
    counts = user_counts(BOAT, happens, pool.draws)
    exact = chances_needed(BOAT, CHANCES)
    drawn = (counts > 0).mean(axis=1)

    assert drawn == pytest.approx(exact, abs=4 * 0.5 / np.sqrt(pool.draws))
    cost = access_draws(BOAT.costs, counts)
    error = cost.std() / np.sqrt(pool.draws)
    assert cost.mean() == pytest.approx(float(BOAT.costs @ exact), abs=4 * error)


def test_a_changed_chance_carried_into_the_counts_equals_a_recount() -> None:
    pool = pool_for(3)
    streams = [stream_for(8, f"line {n}") for n in range(5)]
    before = [occurs(p, s, pool) for p, s in zip(CHANCES.tolist(), streams, strict=True)]
    after = [*before[:1], occurs(0.8, streams[1], pool), *before[2:]]
    counts = user_counts(BOAT, before, pool.draws)
    tasks = BOAT.task_of[BOAT.item_of == 1].tolist()
    change_user_counts(counts, tasks, before[1], after[1])

    assert np.array_equal(counts, user_counts(BOAT, after, pool.draws))
