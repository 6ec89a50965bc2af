"""What the figures say: the frozen records that the window shows and the reports print.

Everything here says where it came from. A total is the sum of its lines, a line names its finding,
its remedy, its prices or its quote, and a finding names its reading and the rule that graded it.
Money is `Decimal` in the project's currency, each amount rounded once to the currency's decimals;
a shown total is the sum of the shown parts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING

from workbench.catalogue.model import AccessTask, Catalogue, Remedy
from workbench.domain.frozen import FrozenMap
from workbench.domain.ledger import ClaimChoice, OwnLine, Quote
from workbench.domain.problem import Problem
from workbench.domain.project import Candidate, Project
from workbench.domain.record import dataclass
from workbench.domain.span import Shape
from workbench.domain.vocabulary import Basis, Grade, When

from .bargaining import WalkAway
from .findings import Finding
from .pricing import Limits, Priced
from .taxes import PurchaseTotal

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

SAILING = (When.BEFORE_LAUNCHING, When.FIRST_SEASON)
"""Work at these times is part of the cost to ready."""


class Part(Enum):
    """Which part of the account a line belongs to."""

    DUE = "due"
    WORN = "worn"
    UNSEEN = "unseen"
    HIDDEN = "hidden"
    OWN = "own"

    @property
    def allowed_for(self) -> bool:
        """Whether it is an allowance for what may be there, not work that was found."""
        return self in (Part.UNSEEN, Part.HIDDEN)


@dataclass(frozen=True, slots=True)
class Line:
    """One work line of the ledger.

    Attributes
    ----------
    key
        `check/remedy/line`, or `own/<id>`.
    job
        Lines of one job are needed together or not at all: `check/remedy`, or the key itself.
    cost
        What it costs if it is needed.
    mean
        Mean of that.
    chance
        Chance that it is needed.
    counted
        chance × mean, rounded; nothing when it is left out or a wish.
    deferred
        The part of `counted` that is deferred maintenance.
    access
        Access tasks it needs, with all that those need.
    covered_by
        Title of the other work that this is done with; empty when it stands by itself.
    unpriced
        Why there is no price; empty when there is one. An unpriced line counts nothing and is
        counted aloud.
    """

    key: str
    job: str
    title: str
    system: str
    grade: Grade
    part: Part
    when: When
    cost: Limits
    mean: float
    chance: float
    counted: Decimal
    deferred: Decimal
    access: tuple[str, ...]
    basis: Basis
    driver: str
    stream: int
    finding: Finding | None = None
    remedy: Remedy | None = None
    priced: Priced | None = None
    quote: Quote | None = None
    own: OwnLine | None = None
    left_out: bool = False
    own_work: bool = False
    unpriced: str = ""
    covered_by: str = ""
    note: str = ""

    @property
    def triangular(self) -> bool:
        """Whether its cost is a triangle on its limits, not a PERT curve."""
        return self.own is not None and self.own.shape is Shape.TRIANGLE and self.quote is None

    @property
    def counts(self) -> bool:
        """Whether it is part of any total."""
        struck = self.left_out or self.unpriced or self.covered_by
        return not struck and self.when is not When.WISH


@dataclass(frozen=True, slots=True)
class AccessCharge:
    """An access task in one lay-up, charged once for all lines that need it.

    Attributes
    ----------
    users
        Keys of the jobs that need it.
    chance_found, chance_any
        Chance that found work of the cost to ready needs it, and that this or the allowance does.
    counted_found
        Charged to the found work.
    counted_allowed
        What the allowance adds: the cost in the cases where only unseen work needs it.
    deferred
        Charged to deferred maintenance: as `counted_found`, for work that is due.
    chance_later, counted_later
        The same for found work planned within five years; no part of the cost to ready.
    """

    key: str
    task: AccessTask
    when: When
    cost: Limits
    mean: float
    users: tuple[str, ...]
    chance_due: float
    chance_found: float
    chance_any: float
    counted_found: Decimal
    counted_allowed: Decimal
    deferred: Decimal
    stream: int
    priced: Priced | None = None
    quote: Quote | None = None
    left_out: bool = False
    chance_later: float = 0.0
    counted_later: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Total:
    """A total as it is shown.

    Attributes
    ----------
    mean
        The sum of the shown parts.
    drawn_mean
        The mean of the draws, a check on it.
    standard_error
        Of the drawn mean.
    """

    mean: Decimal
    p10: Decimal
    p50: Decimal
    p80: Decimal
    p90: Decimal
    drawn_mean: Decimal
    standard_error: float
    p80_standard_error: float


@dataclass(frozen=True, slots=True)
class ClaimLine:
    """What is asked of the seller for one finding.

    Attributes
    ----------
    full
        What the work costs, with its share of the shared work.
    proposed
        What the program proposes to ask.
    share
        proposed / full.
    lines
        Its work lines, at least one.
    """

    full: Decimal
    low: Decimal
    high: Decimal
    proposed: Decimal
    share: float
    why: str
    choice: ClaimChoice
    lines: tuple[Line, ...]

    @property
    def finding(self) -> Finding | None:
        """The finding behind it; None for the buyer's own line."""
        return self.lines[0].finding

    @property
    def own(self) -> OwnLine | None:
        """The buyer's own line; None for a finding."""
        return self.lines[0].own

    @property
    def title(self) -> str:
        """The check's title, or the own line's."""
        finding = self.finding
        return self.lines[0].title if finding is None else finding.check.title

    @property
    def key(self) -> str:
        """The check, or the key of the buyer's own line."""
        finding = self.finding
        return self.lines[0].key if finding is None else finding.check.id

    @property
    def amount(self) -> Decimal:
        """What is asked: the proposal, or the buyer's own figure; nothing when left out."""
        if not self.choice.included:
            return Decimal(0)
        own = self.choice.amount
        return self.proposed if own is None else own.amount

    @property
    def included(self) -> bool:
        """Whether anything is asked for it."""
        return self.amount > 0


@dataclass(frozen=True, slots=True)
class Claim:
    """All that is asked of the seller; the total is the sum of the lines' amounts."""

    lines: tuple[ClaimLine, ...]
    total: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class Anchor:
    """What the price is held against: an indication from comparables, or the asking price."""

    value: Decimal | None
    low: Decimal | None
    high: Decimal | None
    basis: str
    from_comparables: bool


@dataclass(frozen=True, slots=True)
class Offer:
    """Three prices and what they rest on.

    Attributes
    ----------
    gain
        What she is worth beyond all that she costs, at the target price; None when unknown.
    suggested_opening
        The asking price less the claims, never above the walk-away price.
    opening
        The buyer's own, or the suggestion.
    target
        Half-way from the opening to the walk-away price.
    limit
        The walk-away price with what binds it.
    best_other
        Gain of the best other boat; nothing when buying none is better.
    """

    anchor: Anchor
    gain: Decimal | None
    suggested_opening: Decimal | None
    opening: Decimal | None
    opening_is_own: bool
    target: Decimal | None
    limit: WalkAway
    held_down: bool
    best_other: Decimal = Decimal(0)

    @property
    def walk_away(self) -> Decimal | None:
        """The price at which to walk away."""
        return self.limit.price


@dataclass(frozen=True, slots=True)
class Coverage:
    """How much of the boat was looked at."""

    checks: int
    looked: int
    minutes_left: int
    grades: FrozenMap[Grade, int]
    unpriced: int

    @property
    def share(self) -> float:
        """Looked at, as a share of all."""
        return self.looked / self.checks if self.checks else 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """Draws of the cost to ready, shape (draws,), in the project's currency.

    Boats are held against each other on these. Those of the other totals are read once and let go:
    they would be three quarters of what the draws of many boats keep.
    """

    ready: npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BoatAssessment:
    """Everything that is figured for one boat.

    Attributes
    ----------
    ordinary_work
        What a boat of her kind and age needs on average when nobody has looked: the chances of all
        her checks times their cost. Prices of her kind already reflect it.
    worth_to_me
        What the buyer would pay for things she has, less for those she lacks [money].
    excess_work
        Work that is due and the allowance, less the ordinary: what she needs beyond it.
    bill_at_confidence
        What work and allowance stay under at the buyer's confidence.
    """

    candidate: Candidate
    findings: tuple[Finding, ...]
    lines: tuple[Line, ...]
    access: tuple[AccessCharge, ...]
    coverage: Coverage
    purchase: PurchaseTotal | None
    deferred: Total
    allowance: Total
    work: Total
    cost_to_ready: Total
    later_work: Decimal
    later_work_now: Decimal
    claim: Claim
    offer: Offer
    ordinary_work: Decimal
    excess_work: Decimal
    bill_at_confidence: Decimal
    worth_to_me: Decimal
    chance_within_budget: float | None
    problems: tuple[Problem, ...]
    currency: str
    draws: Draws = field(compare=False)

    @property
    def id(self) -> str:
        """The boat's id."""
        return self.candidate.boat.id

    @property
    def asking(self) -> Decimal | None:
        """The asking price in the project's currency; None when it is not known."""
        return self.purchase.price if self.purchase else None

    def finding(self, check: str) -> Finding | None:
        """The finding of one check, or None when she does not get it."""
        return next((one for one in self.findings if one.check.id == check), None)

    def lines_of(self, check: str) -> tuple[Line, ...]:
        """The work lines of one check."""
        return tuple(line for line in self.lines if line.finding and line.finding.check.id == check)


@dataclass(frozen=True, slots=True)
class Assessment:
    """Everything that is figured for a project."""

    project: Project = field(compare=False)
    catalogue: Catalogue = field(compare=False)
    boats: Mapping[str, BoatAssessment]
    problems: tuple[Problem, ...]
