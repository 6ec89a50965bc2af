"""Wear claims and new-for-old against the rule's own figures and an accounting text."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.figures.wear import (
    WorkKind,
    betterment,
    new_for_old,
    normal_years_left,
    used_up_share,
    wear_claim,
    years_left,
)

MATERIAL, LABOUR, HAUL = Decimal(3000), Decimal(1200), Decimal(600)


@pytest.mark.parametrize(("age", "allowed"), [(20, 3800), (12, 4800), (15, 4800), (15.1, 3800)])
def test_one_third_comes_off_new_material_only_after_fifteen_years(
    age: float, allowed: int
) -> None:
    # York-Antwerp Rules, Rule XIII: one third off new material, dock and slip dues in full.
    result = new_for_old(age, MATERIAL, LABOUR, HAUL)

    assert result.allowed == allowed
    assert result.allowed + result.deduction == MATERIAL + LABOUR + HAUL


@pytest.mark.parametrize("kind", [WorkKind.ANCHOR_OR_CHAIN, WorkKind.STORES])
def test_anchors_chain_and_stores_suffer_no_deduction(kind: WorkKind) -> None:
    # York-Antwerp Rules, Rule XIII: no deduction for provisions, stores, anchors and chain cables.
    assert new_for_old(30, MATERIAL, LABOUR, HAUL, kind).deduction == 0


@pytest.mark.parametrize(("months", "allowed"), [(6, 2700), (24, 2700), (24.5, 600), (None, 600)])
def test_bottom_coating_stands_by_half_only_if_recently_coated(
    months: float | None, allowed: int
) -> None:
    # York-Antwerp Rules, Rule XIII (later text): half if coated within 24 months, otherwise none.
    result = new_for_old(
        30, MATERIAL, LABOUR, HAUL, WorkKind.BOTTOM_COATING, coated_months_ago=months
    )

    assert result.allowed == allowed
    assert result.allowed + result.deduction == 4800


def test_new_for_old_is_labelled_an_analogy_and_no_right() -> None:
    assert "no such right" in new_for_old(20, MATERIAL, LABOUR, HAUL).caution


def test_amounts_are_in_whole_cents_unless_told_otherwise() -> None:
    third = new_for_old(20, Decimal(1000), Decimal(0), Decimal(0))

    assert third.deduction == Decimal("333.33")
    assert third.allowed == Decimal("666.67")
    assert wear_claim(Decimal(100), 3, 0, 1).amount == Decimal("33.33")
    assert wear_claim(Decimal(100), 3, 0, 1, minor_digits=0).amount == 33
    assert betterment(Decimal(100), Decimal(100), 3, 1) == Decimal("33.33")


def test_betterment_is_the_accounting_text_s_figure() -> None:
    # Kester, Accounting Theory and Practice: cost 100, life 10, used 6, new 150: 150 - 40 = 110.
    assert betterment(Decimal(150), Decimal(100), 10, 6) == 110


def test_betterment_is_never_a_loss() -> None:
    assert betterment(Decimal(50), Decimal(100), 10, 1) == 0


def test_a_claim_is_the_life_that_is_missing() -> None:
    # cost x (L_ref - L_this) / L by hand: 4000 x (6 - 2) / 10.
    claim = wear_claim(Decimal(4000), 10, 2, 6)

    assert claim.amount == 1600
    assert "40%" in claim.sentence


def test_better_than_normal_gives_no_claim_and_says_why() -> None:
    claim = wear_claim(Decimal(4000), 10, 8, 6)

    assert claim.amount == 0
    assert claim.sentence.startswith("No claim")


@pytest.mark.parametrize(("left", "normal"), [(-1, 5), (11, 5), (5, 11), (5, -0.1)])
def test_years_outside_the_life_are_refused(left: float, normal: float) -> None:
    with pytest.raises(ValueError, match="between 0"):
        wear_claim(Decimal(100), 10, left, normal)


@pytest.mark.parametrize("life", [0, -2])
def test_a_life_of_nothing_is_refused(life: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        used_up_share(life, 1)


def test_negative_use_is_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        used_up_share(10, -1)


@pytest.mark.parametrize(("used", "share"), [(0, 0.0), (5, 0.5), (10, 1.0), (17, 1.0)])
def test_a_part_past_its_life_is_used_up_and_no_more(used: float, share: float) -> None:
    assert used_up_share(10, used) == share
    assert years_left(10, used) == pytest.approx(10 * (1 - share))


@pytest.mark.parametrize(("age", "left"), [(0, 12), (4, 8), (6, 6), (9, 6), (40, 6), (-1, 12)])
def test_normal_life_left_falls_with_age_to_half_and_stays(age: float, left: float) -> None:
    assert normal_years_left(12, age) == left


lives = st.floats(0.5, 60)
fractions = st.floats(0, 1)


@given(st.integers(0, 10_000_000), lives, fractions, fractions, fractions)
def test_a_worse_part_never_claims_less(
    cents: int, life: float, one: float, other: float, normal: float
) -> None:
    cost = Decimal(cents) / 100
    worse, better = sorted((one * life, other * life))

    low = wear_claim(cost, life, better, normal * life)
    high = wear_claim(cost, life, worse, normal * life)
    assert 0 <= low.amount <= high.amount <= cost


@given(st.integers(0, 100_000), st.integers(0, 100_000), st.integers(0, 100_000), st.floats(0, 80))
def test_what_stands_and_what_is_deducted_add_up(
    material: int, labour: int, haul: int, age: float
) -> None:
    for kind in WorkKind:
        result = new_for_old(age, Decimal(material), Decimal(labour), Decimal(haul), kind)
        assert result.allowed + result.deduction == material + labour + haul
        assert result.deduction >= 0
