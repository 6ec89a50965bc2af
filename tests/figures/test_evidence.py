"""Evidence as odds: the classic screening examples, and the rules for looks."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.figures.evidence import (
    GREATEST_CHANCE,
    LEAST_CHANCE,
    Look,
    LookState,
    Suspicion,
    chance_of,
    odds,
    one_look_each,
    updated,
)

SEEN, NOT_SEEN, NOT_LOOKED = LookState.SEEN, LookState.NOT_SEEN, LookState.NOT_LOOKED

chances = st.floats(LEAST_CHANCE, GREATEST_CHANCE)
inner = st.floats(0.05, 0.95)
looks = st.builds(
    Look,
    method=st.sampled_from(["by eye", "tapping", "moisture meter"]),
    eyes=st.sampled_from(["buyer", "friend"]),
    state=st.sampled_from(LookState),
    sensitivity=st.floats(0.5, 0.95),
    specificity=st.floats(0.5, 0.95),
)


def look(state: LookState, eyes: str = "buyer", method: str = "by eye") -> Look:
    return Look(method, eyes, state, sensitivity=0.7, specificity=0.8)


@pytest.mark.parametrize(("state", "expected"), [(SEEN, 0.60), (NOT_SEEN, 0.13846)])
def test_one_look_moves_the_chance_by_the_rule_of_bayes(state: LookState, expected: float) -> None:
    """Prior 0.3, Se 0.7, Sp 0.8; recomputed."""
    assert updated(0.3, [look(state)]).chance == pytest.approx(expected, abs=5e-6)


@pytest.mark.parametrize(("state", "expected"), [(SEEN, 0.07764), (NOT_SEEN, 0.00223)])
def test_the_classic_screening_example(state: LookState, expected: float) -> None:
    """Prior 0.01, Se 0.80, Sp 0.904: Eddy's mammography problem, from memory; recomputed."""
    screening = Look("screening", "clinic", state, 0.80, 0.904, source="Eddy 1982")

    assert updated(0.01, [screening]).chance == pytest.approx(expected, abs=5e-6)


def test_a_second_pair_of_eyes_counts_and_the_same_pair_does_not() -> None:
    """0.60 after one positive look and 0.84 after a second independent one; recomputed."""
    twice = updated(0.3, [look(SEEN), look(SEEN)])

    assert twice.chance == pytest.approx(0.60)
    assert [step.counted for step in twice.steps] == [False, True]
    assert updated(0.3, [look(SEEN), look(SEEN, eyes="friend")]).chance == pytest.approx(0.84)
    assert updated(0.3, [look(SEEN), look(SEEN, method="tapping")]).chance == pytest.approx(0.84)


def test_the_same_record_twice_is_one_look() -> None:
    one = look(SEEN)

    assert updated(0.3, [one, one]).chance == updated(0.3, [one]).chance


def test_the_later_of_two_looks_by_the_same_eyes_counts() -> None:
    found = updated(0.3, [look(SEEN), look(NOT_SEEN)])

    assert found.chance == pytest.approx(0.13846, abs=5e-6)
    assert found.state is NOT_SEEN


def test_three_states_are_kept_apart() -> None:
    untouched = updated(0.3, [look(NOT_LOOKED)])

    assert untouched.chance == pytest.approx(0.3)
    assert untouched.state is updated(0.3).state is NOT_LOOKED
    vain, found = updated(0.3, [look(NOT_SEEN)]), updated(0.3, [look(SEEN)])
    assert vain.chance < untouched.chance < found.chance
    assert (vain.state, found.state) == (NOT_SEEN, SEEN)


def test_not_looking_again_does_not_undo_a_look() -> None:
    found = updated(0.3, [look(SEEN), look(NOT_LOOKED)])

    assert found.chance == pytest.approx(0.60)
    assert found.state is SEEN


@given(st.floats(0, 1), st.lists(looks, max_size=8), st.lists(st.floats(1e-3, 1e3), max_size=5))
def test_no_evidence_makes_a_fault_certain_either_way(
    prior: float, many: list[Look], factors: list[float]
) -> None:
    found = updated(prior, many, [Suspicion("another finding", factor) for factor in factors])

    assert LEAST_CHANCE <= found.chance <= GREATEST_CHANCE


@pytest.mark.parametrize(
    ("prior", "bound"), [(0.0, LEAST_CHANCE), (1.0, GREATEST_CHANCE), (1e-9, LEAST_CHANCE)]
)
def test_a_certain_prior_is_held_to_the_bounds_and_says_so(prior: float, bound: float) -> None:
    found = updated(prior)

    assert found.chance == pytest.approx(bound)
    assert found.held


@given(chances, st.lists(looks, max_size=6), st.lists(st.floats(0.2, 5), max_size=3))
def test_the_trace_leads_from_the_prior_to_the_chance(
    prior: float, many: list[Look], factors: list[float]
) -> None:
    found = updated(prior, many, [Suspicion("another finding", factor) for factor in factors])
    running = odds(prior)
    for step in found.steps:
        assert step.chance_before == pytest.approx(chance_of(running))
        running *= step.factor
        assert step.chance_after == pytest.approx(chance_of(running))

    assert len(found.steps) == len(many) + len(factors)
    held = min(max(chance_of(running), LEAST_CHANCE), GREATEST_CHANCE)
    assert found.chance == pytest.approx(held)


@given(chances, st.lists(looks, max_size=6))
def test_evidence_by_different_eyes_may_come_in_any_order(prior: float, many: list[Look]) -> None:
    counted = one_look_each(many)

    forward, backward = updated(prior, counted).chance, updated(prior, counted[::-1]).chance
    assert forward == pytest.approx(backward)


@given(chances, inner, inner)
def test_a_seen_fault_is_never_less_likely_than_a_missed_one(
    prior: float, sensitivity: float, specificity: float
) -> None:
    if sensitivity + specificity < 1.0:
        sensitivity, specificity = 1.0 - sensitivity, 1.0 - specificity
    seen, missed = (
        updated(prior, [Look("by eye", "buyer", state, sensitivity, specificity)]).chance
        for state in (SEEN, NOT_SEEN)
    )

    assert missed <= prior + 1e-12
    assert prior <= seen + 1e-12


@given(st.floats(0.02, 0.98), inner, inner)
def test_the_mean_of_the_outcomes_is_the_prior(
    prior: float, sensitivity: float, specificity: float
) -> None:
    """The law of total probability."""
    if sensitivity + specificity < 1.0:
        sensitivity, specificity = 1.0 - sensitivity, 1.0 - specificity
    seen, missed = (
        updated(prior, [Look("by eye", "buyer", state, sensitivity, specificity)])
        for state in (SEEN, NOT_SEEN)
    )
    positive = prior * sensitivity + (1 - prior) * (1 - specificity)

    if not (seen.held or missed.held):
        mean = positive * seen.chance + (1 - positive) * missed.chance
        assert mean == pytest.approx(prior)


def test_suspicion_multiplies_the_odds_and_is_traced() -> None:
    found = updated(0.2, suspicions=[Suspicion("bearing knocks", 4.0), Suspicion("dry bilge", 0.5)])

    assert found.chance == pytest.approx(chance_of(0.25 * 2))
    assert [(step.label, step.factor, step.assumed) for step in found.steps] == [
        ("bearing knocks", 4.0, True),
        ("dry bilge", 0.5, True),
    ]


def test_figures_without_a_source_are_flagged_as_assumed() -> None:
    sourced = Look("by eye", "buyer", SEEN, 0.7, 0.8, source="a stated source")

    flags = [step.assumed for step in updated(0.3, [sourced, look(SEEN, "friend")]).steps]
    assert flags == [False, True]


@pytest.mark.parametrize(("se", "sp"), [(0.0, 0.9), (1.0, 0.9), (0.9, 1.0), (0.9, 0.0), (0.2, 0.3)])
def test_a_look_that_knows_everything_or_misleads_is_refused(se: float, sp: float) -> None:
    with pytest.raises(ValueError, match=r"sensitivity|speak against"):
        Look("by eye", "buyer", SEEN, se, sp)


def test_a_suspicion_of_nothing_and_an_impossible_prior_are_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        Suspicion("another finding", 0.0)
    with pytest.raises(ValueError, match="between 0 and 1"):
        updated(1.2)
