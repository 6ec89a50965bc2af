"""Comparison and sensitivity: normal theory, a published dice example and Ishigami's function."""

import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import array_shapes, arrays

from workbench.figures.sensitivity import (
    Swing,
    best_of_others,
    chance_best,
    chances_best,
    chances_worst,
    drawn_variance_share,
    expected_regret,
    first_order_dominance,
    rank_acceptability,
    second_order_dominance,
    swings,
    tornado,
    variance_shares,
)

Floats = npt.NDArray[np.float64]
N = 20_000

# Small whole numbers, so that ties are common.
tied_totals = arrays(
    np.float64,
    array_shapes(min_dims=2, max_dims=2, min_side=2, max_side=6),
    elements=st.integers(0, 4).map(float),
)


def four_errors(chance: float) -> float:
    return 4 * math.sqrt(chance * (1 - chance) / N)


def normal_pair(correlation: float, seed: int = 1) -> Floats:
    """Draws of boats A, N(10, 2), and B, N(11, 3)."""
    first, own = np.random.default_rng(seed).standard_normal((2, N))
    second = correlation * first + math.sqrt(1 - correlation**2) * own
    return np.stack([10 + 2 * first, 11 + 3 * second])


@pytest.mark.parametrize(("correlation", "expected"), [(0.0, 0.609244), (0.5, 0.647272)])
def test_the_chance_of_being_best_follows_the_normal_curve(
    correlation: float, expected: float
) -> None:
    """P(A < B) = Phi(1/sqrt(13 - 12 rho)); recomputed."""
    found = chances_best(normal_pair(correlation))

    assert found[0] == pytest.approx(expected, abs=four_errors(expected))
    assert found.sum() == pytest.approx(1)


def test_expected_regret_follows_the_normal_curve() -> None:
    """Unit normal loss: s UNLI(1/s) with s = sqrt(13); recomputed, .993378 for A."""
    totals = normal_pair(0.0)
    error = float((totals[0] - totals.min(axis=0)).std()) / math.sqrt(N)

    assert expected_regret(totals)[0] == pytest.approx(0.993378, abs=4 * error)
    gap = expected_regret(totals)[1] - expected_regret(totals)[0]
    assert gap == pytest.approx(totals[1].mean() - totals[0].mean())


@pytest.mark.parametrize(
    ("boats", "expected"), [(2, 0.56419), (3, 0.84628), (5, 1.16296), (10, 1.53875)]
)
def test_regret_among_equal_boats_is_the_mean_of_the_best_of_them(
    boats: int, expected: float
) -> None:
    """Mean of the largest of n standard normals; .85 for three is Smith and Winkler's curse."""
    totals = np.random.default_rng(boats).standard_normal((boats, N))

    assert expected_regret(totals) == pytest.approx(np.full(boats, expected), abs=0.03)


@pytest.mark.parametrize("boats", [2, 4, 10])
def test_equal_boats_are_equally_likely_at_every_rank(boats: int) -> None:
    totals = np.random.default_rng(3).standard_normal((boats, N))
    allowed = four_errors(1 / boats)

    assert np.abs(rank_acceptability(totals) - 1 / boats).max() < allowed
    assert np.abs(chances_best(totals) - 1 / boats).max() < allowed


@given(tied_totals)
def test_ranks_share_ties_and_add_up(totals: Floats) -> None:
    ranks = rank_acceptability(totals)

    assert ranks.sum(axis=0) == pytest.approx(np.ones(totals.shape[0]))
    assert ranks.sum(axis=1) == pytest.approx(np.ones(totals.shape[0]))
    assert ranks[:, 0] == pytest.approx(chances_best(totals))
    assert ranks[:, -1] == pytest.approx(chances_worst(totals))


@given(tied_totals)
def test_ranks_agree_with_jittered_ties(totals: Floats) -> None:
    """Break ties by every small shift of order: the mean over all is the even split."""
    boats, draws = totals.shape
    counted = np.zeros((boats, boats))
    source = np.random.default_rng(0)
    repeats = 400
    for _ in range(repeats):
        order = np.argsort(totals + source.random(totals.shape) * 0.5, axis=0)
        for rank in range(boats):
            np.add.at(counted, (order[rank], rank), 1)

    assert rank_acceptability(totals) == pytest.approx(counted / repeats / draws, abs=0.14)


def test_two_equal_boats_split_every_draw() -> None:
    totals = np.tile(np.arange(10.0), (2, 1))

    assert chances_best(totals).tolist() == [0.5, 0.5]
    assert chances_worst(totals).tolist() == [0.5, 0.5]
    assert rank_acceptability(totals).tolist() == [[0.5, 0.5], [0.5, 0.5]]
    assert expected_regret(totals).tolist() == [0, 0]


@given(tied_totals)
def test_the_kept_best_of_the_others_gives_the_same_chance(totals: Floats) -> None:
    expected = chances_best(totals)
    for boat in range(totals.shape[0]):
        kept = best_of_others(totals, boat)
        assert chance_best(totals[boat], kept) == pytest.approx(float(expected[boat]))


def test_one_boat_alone_has_nothing_to_be_compared_with() -> None:
    with pytest.raises(ValueError, match="another"):
        best_of_others(np.ones((1, 5)), 0)


def test_a_die_shows_dominance_of_the_first_order() -> None:
    """Published on liquisearch.com, "Stochastic dominance", as gains; here as costs.

    Six states. B pays 1 on 1-3 and 2 on 4-6; C pays 1 on 1-2 and 2 on 3-6: C dominates B.
    """
    gains = np.array([[1, 1, 1, 2, 2, 2], [1, 1, 2, 2, 2, 2]], dtype=np.float64)

    assert first_order_dominance(-gains).tolist() == [[False, False], [True, False]]
    assert second_order_dominance(-gains).tolist() == [[False, False], [True, False]]


def test_the_order_of_the_states_does_not_matter_to_dominance() -> None:
    gains = np.array([[1, 1, 1, 2, 2, 2], [2, 2, 1, 1, 2, 2]], dtype=np.float64)

    assert first_order_dominance(-gains)[1, 0]


def test_a_steadier_boat_of_the_same_mean_dominates_in_the_second_order_only() -> None:
    totals = np.array([[4.0, 6.0], [2.0, 8.0]])

    assert not first_order_dominance(totals).any()
    assert second_order_dominance(totals).tolist() == [[False, True], [False, False]]


@given(tied_totals)
def test_first_order_dominance_implies_the_second_and_neither_is_mutual(totals: Floats) -> None:
    first, second = first_order_dominance(totals), second_order_dominance(totals)

    assert not (first & ~second).any()
    assert not (second & second.T).any()
    better = totals.mean(axis=1)
    for i, j in np.argwhere(second).tolist():
        assert better[i] <= better[j] + 1e-9


def test_swings_are_listed_widest_first() -> None:
    found = swings(
        10_000, ["mast", "yard", "keel"], [900, 0.8, 100], [1_000, 1.0, 300], [1_200, 1.3, 600],
        slopes=[0.5, 4_000.0, 1.0],
    )  # fmt: skip

    assert [swing.key for swing in found] == ["yard", "keel", "mast"]
    assert found[0] == Swing("yard", 9_200, 11_200)
    assert found[1] == Swing("keel", 9_800, 10_300)
    assert found[2].width == 150


def test_equal_swings_are_listed_by_name() -> None:
    found = tornado([Swing("b", 0, 5), Swing("a", 5, 0), Swing("c", 0, 9)])

    assert [swing.key for swing in found] == ["c", "a", "b"]


def test_variance_shares_of_added_inputs_add_to_one() -> None:
    assert variance_shares([9.0, 16.0], 25.0).tolist() == [0.36, 0.64]
    assert variance_shares([0.0, 0.0], 0.0).tolist() == [0, 0]


def test_drawn_shares_reproduce_a_published_test_function() -> None:
    """Ishigami and Homma 1990 with a 7, b .1: first-order indices .3139, .4424, 0 (from memory)."""
    x = np.random.default_rng(8).uniform(-math.pi, math.pi, (3, 200_000))
    total = np.sin(x[0]) + 7 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])

    assert total.var() == pytest.approx(13.844588, rel=0.01)
    found = [drawn_variance_share(column, total) for column in x]
    assert found == pytest.approx([0.313905, 0.442411, 0.0], abs=0.01)


def test_a_drawn_share_of_an_added_input_is_its_part_of_the_variance() -> None:
    small, large = np.random.default_rng(4).standard_normal((2, N))
    total = 3 * small + 4 * large

    assert drawn_variance_share(small, total) == pytest.approx(0.36, abs=0.02)
    assert drawn_variance_share(small, np.full(N, 5.0)) == 0


def test_an_input_without_influence_has_no_drawn_share_on_average() -> None:
    """With 50 bins of 20 draws the bins' own noise alone would look like a share of 0.05."""
    source = np.random.default_rng(6)
    found = [drawn_variance_share(*source.standard_normal((2, 1_000))) for _ in range(200)]

    assert np.mean(found) == pytest.approx(0, abs=0.005)
