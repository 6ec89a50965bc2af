"""What US federal law asks a recreational boat to carry, by length and use, clause by clause.

Life jackets (33 CFR 175.15, 175.17), fire extinguishers (175.320, 175.380, 175.390), visual
distress signals (175.110, 175.115, 175.130) and sound signals (Rule 33, 33 CFR 83.33). Each
`Requirement` names its clause and how the clause was read.

Lengths are ``Decimal`` metres and limits in feet are exact (1 ft = 0.3048 m), because the limits
lie close together: a boat of 12.0 m is 39.37 ft, so the 12 m whistle rule is met and the 40 ft rule
for three extinguishers is not.

These are the least numbers of one country's federal law. **Other flags have other rules**, states
add to them, and an insurer or a race may ask for more. They say nothing of whether a thing works.
"""

from __future__ import annotations

import calendar
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from enum import Enum

from workbench.domain.record import dataclass

FOOT_M = Decimal("0.3048")
OTHER_FLAGS = (
    "US federal minimum for recreational boats. Other flags have other rules, states add to these, "
    "and the law changes: check with the authority where the boat is registered and sailed."
)


def feet(length_ft: Decimal | int | str) -> Decimal:
    """Length in metres, exact, from a length in feet."""
    return Decimal(length_ft) * FOOT_M


class Source(Enum):
    """How well a clause is known here."""

    OPENED = "text of the regulation opened"
    MEMORY = "from memory: check before relying on it"


@dataclass(frozen=True, slots=True)
class Requirement:
    """One thing to carry: how many, why, and the clause that says so."""

    item: str
    number: int
    text: str
    clause: str
    source: Source = Source.OPENED


@dataclass(frozen=True, slots=True)
class CarriageFacts:
    """The facts the rules turn on.

    `fixed_system`: an approved fixed extinguishing system in the machinery space.
    `traps_vapour`: closed spaces in which vapour or gas could gather; False only for an open boat.
    `open_without_engine`: completely open sailing boat without machinery.
    """

    length_m: Decimal
    persons: int
    model_year: int
    inboard_engine: bool = True
    fixed_system: bool = False
    traps_vapour: bool = True
    open_without_engine: bool = False
    rowed: bool = False
    organised_event: bool = False
    coastal_waters: bool = True
    by_night: bool = True
    canoe_or_kayak: bool = False


# --- Life jackets ---


def life_jackets(facts: CarriageFacts) -> tuple[Requirement, ...]:
    """One wearable jacket each; one throwable device as well from 16 ft."""
    wearable = Requirement(
        "wearable life jacket",
        facts.persons,
        "One of the right size for each person on board. Children under 13 must wear theirs "
        "under way, unless below decks or in an enclosed cabin.",
        "33 CFR 175.15(a), (c)",
    )
    if facts.length_m < feet(16):
        return (wearable,)
    if facts.canoe_or_kayak:
        text = "A canoe or kayak of 16 ft or more needs no throwable device."
        return (wearable, Requirement("throwable device", 0, text, "33 CFR 175.17"))
    text = "Boats of 16 ft or more carry one device to throw as well."
    return (wearable, Requirement("throwable device", 1, text, "33 CFR 175.15(b)"))


# --- Fire extinguishers ---

_EXTINGUISHER_ROWS = ((Decimal(26), 1, 0), (Decimal(40), 2, 1))
_LONGEST_FT = 65


class Rating(Enum):
    """Rating printed on a portable extinguisher; B-I and B-II are the older marks."""

    B5 = "5-B"
    B10 = "10-B"
    B20 = "20-B"
    OLD_B1 = "B-I"
    OLD_B2 = "B-II"


@dataclass(frozen=True, slots=True)
class Extinguisher:
    """One portable extinguisher found on board; years None: not known."""

    rating: Rating
    made_year: int | None = None
    disposable: bool = False
    good_condition: bool = True
    fitted_after_22_august_2016: bool = False


def extinguishers(facts: CarriageFacts) -> Requirement:
    """Least number of 5-B portable extinguishers for a boat up to 65 ft."""
    clause = "33 CFR 175.320(a)(1), table 1"
    item = "portable fire extinguisher, 5-B"
    if facts.length_m > feet(_LONGEST_FT):
        text = "Above 65 ft the number goes by tonnage (175.320(b)), which is not worked out here."
        return Requirement(item, 0, text, "33 CFR 175.320(b)")
    if facts.length_m < feet(26) and not facts.inboard_engine and not facts.traps_vapour:
        text = "Under 26 ft, no inboard engine, and no space that could trap vapour: none required."
        return Requirement(item, 0, text, "33 CFR 175.320(a)(1)")
    number = _extinguisher_number(facts)
    text = f"At least {number} of 5-B; one 20-B stands for two 5-B, a 10-B only for one."
    return Requirement(item, number, text, clause)


def _extinguisher_number(facts: CarriageFacts) -> int:
    for below_ft, without, with_system in _EXTINGUISHER_ROWS:
        if facts.length_m < feet(below_ft):
            return with_system if facts.fixed_system else without
    return 2 if facts.fixed_system else 3


def extinguisher_worth(one: Extinguisher, model_year: int, this_year: int) -> int:
    """How many 5-B an extinguisher stands for on a boat of this model year (0: none)."""
    too_old = one.disposable and one.made_year is not None and this_year - one.made_year > 12
    if too_old or not one.good_condition:
        return 0
    if one.rating in {Rating.OLD_B1, Rating.OLD_B2}:
        kept = model_year <= 2017 and not one.fitted_after_22_august_2016
        return (2 if one.rating is Rating.OLD_B2 else 1) if kept else 0
    return 2 if one.rating is Rating.B20 else 1


@dataclass(frozen=True, slots=True)
class ExtinguisherCount:
    """What is on board against what is required, both in 5-B."""

    required: int
    on_board: int
    text: str
    clauses: tuple[str, ...]

    @property
    def missing(self) -> int:
        """How many 5-B are missing."""
        return max(self.required - self.on_board, 0)


def count_extinguishers(
    facts: CarriageFacts, on_board: Sequence[Extinguisher], this_year: int
) -> ExtinguisherCount:
    """Count what is on board by the rules for the boat's model year.

    Model year 2018 and later: 5-B or 20-B only. Up to 2017, older B-I and B-II that were on
    board by 22 August 2016 may stay in good condition (175.380; before 1953, 175.390). A disposable
    one counts for twelve years from manufacture (33 CFR 175.310, from memory).
    """
    required = extinguishers(facts).number
    worth = sum(extinguisher_worth(one, facts.model_year, this_year) for one in on_board)
    clauses = ["33 CFR 175.320(a)(1), table 1"]
    if facts.model_year < 1953:
        clauses.append("33 CFR 175.390")
    elif facts.model_year <= 2017:
        clauses.append("33 CFR 175.380")
    text = f"{worth} of {required} required (counted in 5-B)."
    return ExtinguisherCount(required, worth, text, tuple(clauses))


# --- Visual distress signals ---


@dataclass(frozen=True, slots=True)
class SignalKind:
    """One kind of distress signal; `needed` of it (or of its like together) meet a need."""

    name: str
    approval: str
    day: bool
    night: bool
    needed: int
    source: Source


def _signal(
    name: str, approval: str, use: str, needed: int, source: Source = Source.OPENED
) -> SignalKind:
    return SignalKind(name, approval, "day" in use, "night" in use, needed, source)


SIGNAL_KINDS: tuple[SignalKind, ...] = (
    _signal("electric distress light", "161.013", "night", 1),
    _signal("orange distress flag", "160.072", "day", 1),
    _signal("hand red flare", "160.021", "day and night", 3),
    _signal("floating orange smoke, 5 minutes", "160.022", "day", 3, Source.MEMORY),
    _signal("pistol parachute red flare", "160.024", "day and night", 3),
    _signal("rocket parachute red flare", "160.036", "day and night", 3),
    _signal("hand orange smoke", "160.037", "day", 3),
    _signal("floating orange smoke, 15 minutes", "160.057", "day", 3, Source.MEMORY),
    _signal("red aerial flare", "160.066", "day and night", 3, Source.MEMORY),
)
"""33 CFR 175.130 and its table, by approval number under 46 CFR. Opened: the text with its two
examples and the table's first row; the rows marked so are from memory."""

_KIND_BY_APPROVAL: Mapping[str, SignalKind] = {kind.approval: kind for kind in SIGNAL_KINDS}


@dataclass(frozen=True, slots=True)
class SignalNeed:
    """Whether signals for day and for night are required, and why."""

    day: bool
    night: bool
    text: str
    clause: str


def distress_signals(facts: CarriageFacts) -> SignalNeed:
    """Which signals the boat's use asks for.

    The exceptions of 175.115 were opened; the 16 ft limit of 175.110 is as builders' manuals and
    the Coast Guard's own guide, quoted on a forum, give it.
    """
    if not facts.coastal_waters:
        text = "Required on coastal waters, the Great Lakes and waters joined to them only."
        return SignalNeed(day=False, night=False, text=text, clause="33 CFR 175.101, 175.110")
    if facts.length_m < feet(16):
        text = "Under 16 ft: night signals only, between sunset and sunrise."
        return SignalNeed(False, facts.by_night, text, "33 CFR 175.110(b)")
    open_boat = facts.open_without_engine and facts.length_m < feet(26)
    if facts.rowed or facts.organised_event or open_boat:
        text = "Excused from day signals; night signals between sunset and sunrise all the same."
        return SignalNeed(False, facts.by_night, text, "33 CFR 175.115")
    text = "16 ft or more on coastal waters: signals for day and for night."
    return SignalNeed(day=True, night=True, text=text, clause="33 CFR 175.110(a)")


@dataclass(frozen=True, slots=True)
class SignalCover:
    """What the signals on board cover, and the fewest to add where something is missing."""

    day: bool
    night: bool
    text: str
    clause: str = "33 CFR 175.130"


def signals_cover(on_board: Mapping[str, int]) -> SignalCover:
    """Whether serviceable signals cover day and night.

    `on_board` maps an approval number ("160.021") to how many unexpired ones there are. Flares and
    smokes add up across kinds, as in the regulation's own example of two hand flares and one
    parachute flare.

    Raises
    ------
    ValueError
        For an approval number the table does not hold.
    """
    unknown = sorted(set(on_board) - set(_KIND_BY_APPROVAL))
    if unknown:
        raise ValueError(f"{unknown[0]} is not in {', '.join(sorted(_KIND_BY_APPROVAL))}")
    held = [(_KIND_BY_APPROVAL[approval], count) for approval, count in on_board.items()]
    day_short = _short([(kind, count) for kind, count in held if kind.day])
    night_short = _short([(kind, count) for kind, count in held if kind.night])
    return SignalCover(day_short == 0, night_short == 0, _what_to_add(day_short, night_short))


def _short(held: Sequence[tuple[SignalKind, int]]) -> int:
    """How many of three flares or smokes are missing; a flag or light alone is enough."""
    if any(kind.needed == 1 and count >= 1 for kind, count in held):
        return 0
    return max(3 - sum(count for kind, count in held if kind.needed == 3), 0)


def _what_to_add(day_short: int, night_short: int) -> str:
    if not day_short and not night_short:
        return "Day and night are covered."
    if not night_short:
        return f"Day is not covered: add an orange flag, or smokes or flares: {day_short} more."
    if not day_short:
        return f"Night is not covered: add an electric light, or red flares: {night_short} more."
    more = max(day_short, night_short)
    return f"Neither is covered: add red flares, {more} more, or a flag and an electric light."


def latest_expiry(made: date, months: int = 42) -> date:
    """Latest expiry date a flare may be marked with: 42 months after manufacture.

    46 CFR 160.021-5(b), 160.024-5(b) and 160.036-5(b). A day the month lacks becomes its last.
    """
    year, month = divmod(made.year * 12 + made.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(made.day, last))


def flare_expired(made: date, on: date, marked: date | None = None) -> bool:
    """Whether a flare is past its marked date, or past 42 months where no date can be read."""
    return on > (marked or latest_expiry(made))


# --- Sound signals ---


class SoundRules(Enum):
    """Which text of Rule 33 is read; between 12 and 20 m they differ."""

    PRESENT = "COLREG Rule 33 and 33 CFR 83.33"
    OLDER_INLAND = "older Inland text, 33 USC 2033"


def sound_signals(length_m: Decimal, rules: SoundRules = SoundRules.PRESENT) -> tuple[str, ...]:
    """Names of the sound signals to carry."""
    if length_m < 12:
        return ("some efficient means of making a sound signal",)
    bell_from = 12 if rules is SoundRules.OLDER_INLAND else 20
    names = ["whistle"]
    if length_m >= bell_from:
        names.append("bell")
    if length_m >= 100:
        names.append("gong")
    return tuple(names)


def sound_requirements(
    facts: CarriageFacts, rules: SoundRules = SoundRules.PRESENT
) -> tuple[Requirement, ...]:
    """Sound signals as requirements, with the text they come from."""
    text = "From 12 m a whistle, from 20 m a bell as well; below 12 m any efficient means."
    if rules is SoundRules.OLDER_INLAND:
        text = "From 12 m a whistle and a bell; below 12 m any efficient means."
    return tuple(
        Requirement(name, 1, text, rules.value) for name in sound_signals(facts.length_m, rules)
    )


# --- All together ---


@dataclass(frozen=True, slots=True)
class CarriageList:
    """Everything the rules ask of one boat, with the caution that belongs beside it."""

    requirements: tuple[Requirement, ...]
    caution: str = OTHER_FLAGS


def carriage_list(facts: CarriageFacts) -> CarriageList:
    """All requirements for a boat, in a fixed order."""
    need = distress_signals(facts)
    signals = [
        Requirement(f"distress signals for {when}", 1, need.text, need.clause)
        for when, wanted in (("day", need.day), ("night", need.night))
        if wanted
    ]
    return CarriageList(
        (*life_jackets(facts), extinguishers(facts), *signals, *sound_requirements(facts))
    )
