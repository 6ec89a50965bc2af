"""The small records that others are made of: sources, facts, cautions, conditions."""

from __future__ import annotations

from decimal import Decimal

from workbench.domain.frozen import FrozenMap
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """Where a statement comes from.

    Attributes
    ----------
    basis
        `published`, `common-practice` (no source) or `memory` (known, not opened).
    title, edition, clause
        Of the published text; empty for the others.
    """

    basis: str
    title: str = ""
    edition: str = ""
    clause: str = ""
    note: str = ""

    def sentence(self) -> str:
        """The source as it is shown."""
        if self.basis == "common-practice":
            return "common practice, no source"
        named = ", ".join(part for part in (self.title, self.edition, self.clause) if part)
        return named if self.basis == "published" else f"{named or 'trade knowledge'} (from memory)"


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several things an entry or a fact can be."""

    id: str
    label: str
    help: str = ""


@dataclass(frozen=True, slots=True)
class Fact:
    """A fit-out fact that decides which checks a boat gets."""

    id: str
    label: str
    help: str
    choices: tuple[Choice, ...]
    default: str


@dataclass(frozen=True, slots=True)
class Dimension:
    """A measured particular of a boat.

    Attributes
    ----------
    unit, imperial_unit
        In which it is asked for.
    low, high
        Sensible limits in `unit`; a value outside is refused at the field.
    """

    id: str
    label: str
    help: str
    unit: str
    imperial_unit: str
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning shown at the very place, and the hazards it covers."""

    id: str
    title: str
    text: str
    hazards: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Station:
    """A place on the walk round the boat; checks are done in the order of stations."""

    id: str
    label: str
    order: int


@dataclass(frozen=True, slots=True)
class System:
    """A part of the boat under which checks are listed."""

    id: str
    title: str
    order: int
    intro: str


@dataclass(frozen=True, slots=True)
class Condition:
    """When something holds: each fact must be one of the values, each dimension in its range."""

    facts: FrozenMap[str, tuple[str, ...]] = FrozenMap()
    between: FrozenMap[str, tuple[Quantity | None, Quantity | None]] = FrozenMap()
