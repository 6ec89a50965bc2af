"""A record is a dataclass in every way that the program relies on.

The reference is the standard library's own `dataclasses.dataclass(frozen=True, slots=True)`: every
behaviour is asked of a class made by each of the two.
"""

from __future__ import annotations

import copy
import dataclasses
import inspect
from collections.abc import Callable
from dataclasses import field
from typing import Any, get_type_hints

import pytest

from workbench.domain.record import dataclass

Maker = Callable[..., Any]


def pair_of(describe: Callable[[Maker], type[Any]]) -> tuple[type[Any], type[Any]]:
    """The same class made by our decorator and by the standard one."""
    return describe(dataclass), describe(dataclasses.dataclass)


def berth(maker: Maker) -> type[Any]:
    @maker(frozen=True, slots=True)
    class Berth:
        """Where a boat lies."""

        yard: str
        number: int = 1
        tags: tuple[str, ...] = ()
        marks: list[str] = field(default_factory=list, compare=False)
        secret: str = field(default="", repr=False)

        @property
        def label(self) -> str:
            return f"{self.yard} {self.number}"

        def doubled(self) -> int:
            return self.number * 2

    made: type[Any] = Berth
    return made


OURS, THEIRS = pair_of(berth)
CALLS: tuple[tuple[tuple[Any, ...], dict[str, Any]], ...] = (
    (("Wharf",), {}),
    (("Wharf", 2), {}),
    (("Wharf",), {"secret": "s"}),
    ((), {"yard": "Wharf", "tags": ("a", "b"), "marks": ["x"]}),
    (("Wharf", 3, ("c",), ["m"], "t"), {}),
)


@pytest.mark.parametrize(("given", "named"), CALLS)
def test_a_record_is_made_shown_and_hashed_like_the_standard_one(
    given: tuple[Any, ...], named: dict[str, Any]
) -> None:
    ours, theirs = OURS(*given, **named), THEIRS(*given, **named)

    assert dataclasses.asdict(ours) == dataclasses.asdict(theirs)
    assert repr(ours) == repr(theirs)
    assert hash(ours) == hash(theirs)
    assert (ours.label, ours.doubled()) == (theirs.label, theirs.doubled())


@pytest.mark.parametrize(
    ("given", "named"),
    [
        ((), {}),
        (("Wharf", 1, (), [], "", "too many"), {}),
        (("Wharf",), {"yard": "again"}),
        (("Wharf",), {"unknown": 1}),
    ],
)
def test_what_does_not_fit_is_refused_with_the_same_words(
    given: tuple[Any, ...], named: dict[str, Any]
) -> None:
    with pytest.raises(TypeError) as standard:
        THEIRS(*given, **named)
    with pytest.raises(TypeError) as own:
        OURS(*given, **named)

    assert str(own.value) == str(standard.value)


def test_records_compare_by_the_fields_that_count() -> None:
    assert OURS("Wharf", 1, (), ["x"]) == OURS("Wharf", 1, (), ["y"])
    assert OURS("Wharf") != OURS("Wharf", 2)
    assert OURS("Wharf") != THEIRS("Wharf")
    assert OURS("Wharf") != "Wharf"


def test_a_record_never_changes() -> None:
    one = OURS("Wharf")

    for name in ("yard", "new"):
        with pytest.raises((dataclasses.FrozenInstanceError, AttributeError)):
            setattr(one, name, "Quay")
    with pytest.raises(dataclasses.FrozenInstanceError):
        del one.yard
    assert one.yard == "Wharf"
    assert not hasattr(one, "__dict__")


def test_every_record_gets_a_fresh_default() -> None:
    assert OURS("Wharf").marks is not OURS("Wharf").marks


def test_the_standard_tools_know_a_record() -> None:
    one = OURS("Wharf", 4)

    assert dataclasses.is_dataclass(one.__class__)
    assert [item.name for item in dataclasses.fields(OURS)] == list(OURS.__match_args__)
    assert dataclasses.replace(one, number=5) == OURS("Wharf", 5)
    assert copy.copy(one) == copy.deepcopy(one) == one
    assert get_type_hints(OURS) == get_type_hints(THEIRS)
    match one:
        case OURS(yard, number):
            assert (yard, number) == ("Wharf", 4)
    ours, theirs = (list(inspect.signature(kind).parameters) for kind in (OURS, THEIRS))
    assert ours == theirs


@dataclass(frozen=True, slots=True)
class Checked:
    """A record at the top of a module, with a rule of its own."""

    low: int
    high: int

    def __post_init__(self) -> None:
        if self.low > self.high:
            raise ValueError("low is above high")

    def kind(self) -> type[Any]:
        """The class as a method names it."""
        return __class__  # type: ignore[name-defined,no-any-return]


def test_a_rule_of_the_record_is_kept() -> None:
    assert Checked(1, 2).high == 2
    with pytest.raises(ValueError, match="low is above high"):
        Checked(2, 1)
    with pytest.raises(ValueError, match="low is above high"):
        dataclasses.replace(Checked(1, 2), low=3)


def test_a_method_that_names_its_class_means_the_record() -> None:
    assert Checked(1, 2).kind() is Checked


@dataclass(frozen=True, slots=True, eq=False)
class Particular:
    """A record that is itself and no other."""

    name: str


@dataclass(frozen=True, slots=True)
class Wider(Checked):
    """A record with one field more than another."""

    note: str = ""


@dataclass(slots=True)
class Counter:
    """Not frozen, so made by the standard decorator."""

    number: int = 0


def test_other_kinds_of_record_behave_as_standard_ones() -> None:
    assert Particular("a") != Particular("a")
    assert Wider(1, 2, "x").note == "x"
    assert Wider(1, 2) == Wider(1, 2)
    assert Wider(1, 2) != Checked(1, 2)
    counter = Counter()
    counter.number = 3
    assert counter == Counter(3)


@dataclass(frozen=True, slots=True)
class Empty:
    """A record that says nothing but its kind."""


def test_records_without_fields_are_equal() -> None:
    assert Empty() == Empty()
    assert hash(Empty()) == hash(Empty())
    assert repr(Empty()) == "Empty()"
