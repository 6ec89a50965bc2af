"""Frozen maps and spans: values that never change and refuse what cannot be."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.domain.frozen import FrozenMap
from workbench.domain.problem import EntryError
from workbench.domain.project import is_id
from workbench.domain.span import Ends, Span
from workbench.domain.vocabulary import Grade, worst


@given(st.dictionaries(st.text(max_size=4), st.integers()), st.text(max_size=4), st.integers())
def test_setting_a_key_leaves_the_first_map_as_it_was(
    items: dict[str, int], key: str, value: int
) -> None:
    first = FrozenMap(items)

    second = first.set(key, value)

    assert dict(first) == items
    assert dict(second) == {**items, key: value}
    assert dict(second.drop(key)) == {k: v for k, v in items.items() if k != key}


def test_setting_what_is_there_already_answers_the_same_map() -> None:
    value = ("a",)
    held = FrozenMap({"x": value})

    assert held.set("x", value) is held
    assert held.drop("y") is held


@pytest.mark.parametrize(("low", "likely", "high"), [(2, 1, 3), (1, 4, 3)])
def test_a_span_out_of_order_is_refused_and_never_swapped(low: int, likely: int, high: int) -> None:
    with pytest.raises(EntryError, match="above"):
        Span(Decimal(low), Decimal(likely), Decimal(high))


def test_a_span_without_spread_is_allowed() -> None:
    assert Span.exactly(Decimal(5)).certain


def test_adding_a_certain_amount_keeps_how_the_ends_are_meant() -> None:
    fixed, ranged = Span.exactly(Decimal(5)), Span(Decimal(1), Decimal(2), Decimal(4))

    assert fixed.plus(ranged) == Span(Decimal(6), Decimal(7), Decimal(9), Ends.ONE_IN_TEN)


def test_the_worst_of_no_grades_is_unseen() -> None:
    assert worst([]) is Grade.UNSEEN
    assert worst([Grade.SOUND, Grade.UNSEEN, Grade.DUE]) is Grade.DUE


@pytest.mark.parametrize("text", ["", "A", "a b", "../x", "-a", "a" * 41, "ä", "abc\n"])
def test_what_could_not_name_a_folder_is_no_id(text: str) -> None:
    assert not is_id(text)
