"""What a boat of the sample project is told by, and how her sizes and prices are written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import Money
from workbench.domain.quantity import Quantity, parse_quantity

Values = Mapping[str, str]


@dataclass(frozen=True)
class Story:
    """One boat of the scenario.

    `told` holds readings written out by hand, `seen` how much of the rest was looked at, `mood` the
    shares of sound, worn, due and unsafe among it. Work that costs more than `dearest` is due only
    where it is told.
    """

    boat: Boat
    told: Mapping[str, Values]
    notes: Mapping[str, str]
    unseen: Mapping[str, str]
    photos: tuple[tuple[str, str, str], ...]
    seen: float
    mood: tuple[int, int, int, int]
    by: str
    on: date
    dearest: int = 900


def sizes(**given: str) -> FrozenMap[str, Quantity]:
    """Dimensions by their ids, written as people write them."""
    return FrozenMap(
        {
            name.replace("_", "-"): parse_quantity(text, text.split()[-1])
            for name, text in given.items()
        }
    )


def usd(amount: int) -> Money:
    """An amount of the sample's currency."""
    return Money(Decimal(amount), "USD")
