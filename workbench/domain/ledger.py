"""What the buyer decided about the work on one boat: remedies, quotes, own lines, claims, offers.

A work line is named by a key that does not change: `check/remedy/line` for the catalogue's lines,
`own/<id>` for the buyer's own, `access/<task>` for the work that must be done first.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from workbench.domain.record import dataclass

from .frozen import FrozenMap
from .money import Money
from .span import Shape, Span
from .vocabulary import Basis, When


@dataclass(frozen=True, slots=True)
class LineChange:
    """What the buyer changed about one work line; None leaves the catalogue's figure.

    Attributes
    ----------
    hours
        Labour hours by trade.
    rates
        Price of an hour by trade, in the project's currency.
    materials
        Parts and outside services in the project's currency.
    count
        How many of them; 0 or more.
    chance
        Chance that the work is really needed, 0 to 1.
    own_work
        The buyer does it; hours are stretched and the buyer's own rate is used.
    left_out
        Not counted; the line stays and is shown struck out.
    """

    hours: FrozenMap[str, Span] = FrozenMap()
    rates: FrozenMap[str, Decimal] = FrozenMap()
    materials: Span | None = None
    count: Decimal | None = None
    chance: Decimal | None = None
    when: When | None = None
    own_work: bool = False
    left_out: bool = False
    note: str = ""
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Quote:
    """A price from a named yard or trade; it replaces the estimates of the lines it answers.

    Where it answers several lines it is shared among them in proportion to their estimates, to the
    cent. The amount includes tax when the yard's does.
    """

    id: str
    yard: str
    amount: Money
    answers: tuple[str, ...] = ()
    on: date | None = None
    valid_until: date | None = None
    document: str = ""
    note: str = ""
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class OwnLine:
    """A job the buyer adds by hand.

    Attributes
    ----------
    cost
        What it costs if it is needed, in the project's currency.
    access
        Access tasks it needs, by id.
    claim_share
        Share asked of the seller, 0 to 1.
    shape
        A smooth curve between the ends of the cost, or straight sides up to the likely figure.
    """

    id: str
    title: str
    cost: Span
    system: str = ""
    when: When = When.FIRST_SEASON
    chance: Decimal = Decimal(1)
    basis: Basis = Basis.OWN_ENTRY
    access: tuple[str, ...] = ()
    claim_share: Decimal = Decimal(0)
    note: str = ""
    shape: Shape = Shape.PERT
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class ClaimChoice:
    """Whether a finding is put to the seller, for how much, and in what words."""

    included: bool = True
    amount: Money | None = None
    wording: str = ""
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class OfferMade:
    """An offer put to the seller and what came back."""

    id: str
    price: Money
    on: date | None = None
    conditions: str = ""
    answer: str = ""
    counter: Money | None = None
    answered_on: date | None = None
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Ledger:
    """The buyer's decisions about the work on one boat.

    Attributes
    ----------
    choices
        Remedy chosen, by check id; a missing one takes the catalogue's first for the grade.
    changes
        Changed figures, by line key.
    claims
        By check id or own-line key.
    opening
        The opening price the buyer has settled on; None for the figure the program suggests.
    wording
        Edited paragraphs of the offer sheet, by paragraph id.
    """

    choices: FrozenMap[str, str] = FrozenMap()
    changes: FrozenMap[str, LineChange] = FrozenMap()
    quotes: tuple[Quote, ...] = ()
    own_lines: tuple[OwnLine, ...] = ()
    claims: FrozenMap[str, ClaimChoice] = FrozenMap()
    offers: tuple[OfferMade, ...] = ()
    opening: Money | None = None
    wording: FrozenMap[str, str] = FrozenMap()
    extra: FrozenMap[str, object] = FrozenMap()
