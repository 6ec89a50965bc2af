"""The records of the catalogue: what to look at, what a reading means, and how it is put right.

The catalogue is read-only data from `resources/`; `FORMAT.md` beside the files describes how they
are written. Records here hold what the files say, checked and linked by id, and nothing computed;
texts that a person reads are in the one language that the catalogue was loaded in.
Sources, facts and conditions are in `basics`, prices in `prices`; all are answered from here.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from workbench.domain.frozen import FrozenMap
from workbench.domain.problem import Problem
from workbench.domain.record import dataclass
from workbench.domain.span import Span
from workbench.domain.vocabulary import ClaimRule, Grade, When

from .basics import Caution, Choice, Condition, Dimension, Fact, Source, Station, System
from .prices import Labour, PriceBook, PriceItem, Scale, Trade
from .wording import ENGLISH_WORDING, Wording

__all__ = [
    "AccessTask",
    "Band",
    "Catalogue",
    "Caution",
    "Check",
    "Choice",
    "Condition",
    "Dimension",
    "Entry",
    "Fact",
    "Handover",
    "Judgement",
    "Labour",
    "Loaded",
    "Look",
    "OwnWork",
    "PriceBook",
    "PriceItem",
    "Prior",
    "Remedy",
    "Rule",
    "Scale",
    "Source",
    "Station",
    "Suspicion",
    "System",
    "Trade",
    "WorkLine",
]

ALWAYS = Condition()


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of a reading.

    Attributes
    ----------
    kind
        `number`, `choice`, `year` or `text`.
    low, high
        Sensible limits in `unit`; None where there is none.
    required
        False for a field that may stay empty without the reading being incomplete.
    """

    id: str
    label: str
    kind: str
    unit: str = ""
    imperial_unit: str = ""
    low: Decimal | None = None
    high: Decimal | None = None
    choices: tuple[Choice, ...] = ()
    help: str = ""
    required: bool = True


@dataclass(frozen=True, slots=True)
class Band:
    """From `at` on (in the worse direction, the edge itself included) the grade is `grade`."""

    grade: Grade
    at: Decimal
    inclusive: bool = True


@dataclass(frozen=True, slots=True)
class Rule:
    """A stated, sourced way from a reading to a grade.

    Attributes
    ----------
    kind
        `bands` (a number against edges), `choice` (a choice to a grade), `age` (calendar year
        against years of age) or `method` (a named computation for what no table can say).
    form
        What is compared for `bands`: `value`, `ratio` (entry / of), `loss` (1 - entry / of),
        `difference` (entry - of).
    of
        A dimension id, or `entry:<id>` for another entry of the same reading.
    times
        The compared value is multiplied by this first (run-out is twice eccentricity).
    unit
        In which the bands are written, for `value` and `difference`.
    group
        Rules of one group are different sources for the same question; the lead decides, the
        others are shown as the spread. Different groups are different questions; the worst counts.
    new
        The compared value when new, from which the used-up share is reckoned; None when unknown.
    """

    id: str
    entry: str
    kind: str
    source: Source
    scope: str
    group: str
    lead: bool
    form: str = "value"
    of: str = ""
    times: Decimal = Decimal(1)
    unit: str = ""
    worse: str = "higher"
    bands: tuple[Band, ...] = ()
    grades: FrozenMap[str, Grade] = FrozenMap()
    method: str = ""
    new: Decimal | None = None
    only_if: Condition = ALWAYS
    says: str = ""


@dataclass(frozen=True, slots=True)
class Judgement:
    """How well a layperson sees a real fault; assumed, and editable.

    Attributes
    ----------
    judges
        `yes`, `partly` or `no`.
    sees
        Chance to see a fault that is there.
    false_alarm
        Chance to see a fault that is not there.
    """

    judges: str
    sees: Decimal
    false_alarm: Decimal


@dataclass(frozen=True, slots=True)
class Prior:
    """How common the fault is when nobody looked, by the boat's age; assumed.

    Attributes
    ----------
    bands
        (up to this age in years, chance), ascending; the last age is None for 'older'.
    """

    bands: tuple[tuple[int | None, Decimal], ...]

    def at(self, age: int | None) -> Decimal:
        """The chance at `age`; an unknown age is taken as the oldest band."""
        for up_to, chance in self.bands:
            if up_to is None or (age is not None and age <= up_to):
                return chance
        return self.bands[-1][1]


@dataclass(frozen=True, slots=True)
class Suspicion:
    """If this check is found at one of `at`, the odds of the fault at `check` are multiplied."""

    check: str
    at: tuple[Grade, ...]
    factor: Decimal
    why: str


@dataclass(frozen=True, slots=True)
class Handover:
    """When a qualified person should take over, and who."""

    who: str
    when: str


@dataclass(frozen=True, slots=True)
class WorkLine:
    """One job of a remedy: a price-book item and how many.

    Attributes
    ----------
    count
        A fixed number; multiplied by what `count_entry` (an entry) or `count_dimension` (a
        dimension, as a number in `count_unit`) says where given.
    """

    id: str
    title: str
    item: str
    count: Decimal = Decimal(1)
    count_entry: str = ""
    count_dimension: str = ""
    count_unit: str = ""


@dataclass(frozen=True, slots=True)
class OwnWork:
    """Whether a handy owner can do a remedy, and with what share of its hours."""

    may: bool
    hours_share: Decimal
    note: str


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way to put a finding right.

    Attributes
    ----------
    grades
        For which grades it is offered; the first remedy that lists a grade is its default.
    access
        Access tasks that must be done first.
    covers
        Checks whose own work is done with this one: new rigging ends the talk of one broken wire.
    claim, claim_why
        How the claim is reckoned, and the reason shown to the seller.
    work
        Empty for 'leave it and look again', which costs nothing.
    """

    id: str
    title: str
    grades: tuple[Grade, ...]
    when: When
    claim: ClaimRule
    claim_why: str
    own: OwnWork
    work: tuple[WorkLine, ...] = ()
    access: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at, feel, hear or measure.

    Attributes
    ----------
    looks
        `ashore`, `afloat` or `either`.
    applies
        Which boats get it.
    steps
        How to look, a sentence each.
    feel
        What is felt, heard or seen when it is right and when it is not.
    meaning
        What each grade means here.
    leads_to
        What it leads to if left.
    life_years
        Typical life where that is a fact, low and high.
    """

    id: str
    system: str
    station: str
    title: str
    part: str
    looks: str
    applies: Condition
    tools: tuple[str, ...]
    minutes: int
    steps: tuple[str, ...]
    feel: str
    entries: tuple[Entry, ...]
    rules: tuple[Rule, ...]
    meaning: FrozenMap[Grade, str]
    leads_to: str
    hazards: tuple[str, ...]
    cautions: tuple[str, ...]
    handover: Handover
    judgement: Judgement
    prior: Prior
    remedies: tuple[Remedy, ...]
    suspicions: tuple[Suspicion, ...] = ()
    drawing: str = ""
    life_years: tuple[int, int] | None = None
    life_source: Source | None = None
    worn_share: Decimal = Decimal("0.5")
    not_claimed_unseen: bool = False
    order: int = 0
    own: bool = False

    def remedy(self, remedy_id: str) -> Remedy | None:
        """The remedy of that id, or None."""
        return next((remedy for remedy in self.remedies if remedy.id == remedy_id), None)

    def default_remedy(self, grade: Grade) -> Remedy | None:
        """The first remedy offered for `grade`, or None where nothing is to be done."""
        return next((remedy for remedy in self.remedies if grade in remedy.grades), None)

    def entry(self, entry_id: str) -> Entry | None:
        """The entry of that id, or None."""
        return next((entry for entry in self.entries if entry.id == entry_id), None)


@dataclass(frozen=True, slots=True)
class AccessTask:
    """Work that must be done first and serves many lines, once per lay-up.

    Attributes
    ----------
    requires
        Access tasks that it needs in turn.
    item
        Price-book item.
    """

    id: str
    title: str
    requires: tuple[str, ...]
    item: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Look:
    """A professional's look, or an event, that resolves many checks at once.

    Attributes
    ----------
    fee
        In the price book's currency.
    sees, false_alarm
        Chances, assumed.
    systems, checks
        What it resolves.
    """

    id: str
    title: str
    who: str
    fee: Span
    sees: Decimal
    false_alarm: Decimal
    systems: tuple[str, ...]
    checks: tuple[str, ...]
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Everything an experienced eye looks at, by id.

    Attributes
    ----------
    wording
        The language that its texts are in, and what is said of them in it.
    """

    systems: FrozenMap[str, System]
    stations: FrozenMap[str, Station]
    facts: FrozenMap[str, Fact]
    dimensions: FrozenMap[str, Dimension]
    cautions: FrozenMap[str, Caution]
    checks: FrozenMap[str, Check]
    access: FrozenMap[str, AccessTask]
    looks: FrozenMap[str, Look]
    prices: PriceBook
    wording: Wording = ENGLISH_WORDING


class Loaded(NamedTuple):
    """A catalogue and all that is wrong with its files."""

    catalogue: Catalogue
    problems: tuple[Problem, ...]
