"""The whole search as one immutable value.

A change makes a new project that shares every record that did not change, so "has this changed?" is
an identity test, undo is the previous value, and saving writes the files whose record changed.
"""

from __future__ import annotations

import re
from dataclasses import field
from datetime import date
from decimal import Decimal

from workbench.domain.record import dataclass

from .boat import Boat
from .frozen import FrozenMap
from .inspection import Inspection
from .ledger import Ledger
from .money import Money
from .quantity import Quantity
from .settings import Settings
from .span import Span
from .vocabulary import Asked

FORMAT = (1, 0)
_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")


def is_id(text: str) -> bool:
    """Whether `text` can name a boat or anything else with a file of its own."""
    return bool(_ID.fullmatch(text))


@dataclass(frozen=True, slots=True)
class Comparable:
    """A boat sold or advertised elsewhere, used as a price anchor.

    Attributes
    ----------
    condition
        From -2 (rough) to 2 (very good) against what is ordinary for her age.
    equipment
        Worth of equipment she has beyond the ordinary, in the price's currency.
    used
        False to keep her in the table and leave her out of the figures.
    """

    id: str
    title: str
    price: Money
    asked: Asked = Asked.ASKED
    year: int | None = None
    length: Quantity | None = None
    on: date | None = None
    condition: int = 0
    equipment: Decimal = Decimal(0)
    source: str = ""
    note: str = ""
    used: bool = True
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class PriceOverride:
    """The buyer's own figures for one item of the price book, in the project's currency.

    None leaves the price book's own.
    """

    hours: FrozenMap[str, Span] = FrozenMap()
    materials: Span | None = None
    note: str = ""
    on: date | None = None
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Overrides:
    """What the buyer adds to the catalogue and the price book.

    Attributes
    ----------
    prices
        By price-book item id.
    checks
        Catalogue text of the buyer's own checks, by file name below `overrides/`.
    """

    prices: FrozenMap[str, PriceOverride] = FrozenMap()
    checks: FrozenMap[str, str] = FrozenMap()
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Candidate:
    """A boat with all that is known and decided about her; three files in her folder."""

    boat: Boat
    inspection: Inspection = field(default_factory=Inspection)
    ledger: Ledger = field(default_factory=Ledger)


@dataclass(frozen=True, slots=True)
class Project:
    """The whole search.

    Attributes
    ----------
    id
        A random name that stays with the folder wherever it is moved.
    boats
        Candidates by boat id, in the order they were entered.
    """

    id: str
    name: str
    settings: Settings = field(default_factory=Settings)
    boats: FrozenMap[str, Candidate] = FrozenMap()
    comparables: tuple[Comparable, ...] = ()
    overrides: Overrides = field(default_factory=Overrides)
    format: tuple[int, int] = FORMAT
    extra: FrozenMap[str, object] = FrozenMap()
