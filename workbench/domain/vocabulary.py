"""The words the whole program uses for states, each written in files by its value."""

from __future__ import annotations

from enum import Enum


class Grade(Enum):
    """What a reading makes of the thing looked at."""

    SOUND = "sound"
    WORN = "worn"
    DUE = "due"
    UNSAFE = "unsafe"
    UNSEEN = "unseen"
    ABSENT = "absent"

    @property
    def severity(self) -> int:
        """Larger is worse; unseen and absent are no judgement and stand below sound."""
        return _SEVERITY[self]

    @property
    def needs_work(self) -> bool:
        """Whether work is due now."""
        return self in (Grade.DUE, Grade.UNSAFE)


_SEVERITY = {
    Grade.ABSENT: 0,
    Grade.UNSEEN: 1,
    Grade.SOUND: 2,
    Grade.WORN: 3,
    Grade.DUE: 4,
    Grade.UNSAFE: 5,
}


def worst(grades: list[Grade]) -> Grade:
    """The worst of several grades; unseen when there are none."""
    return max(grades, key=lambda grade: grade.severity, default=Grade.UNSEEN)


class When(Enum):
    """When work is to be done."""

    BEFORE_LAUNCHING = "before-launching"
    FIRST_SEASON = "first-season"
    FIVE_YEARS = "five-years"
    WISH = "wish"


class Sight(Enum):
    """What became of a look: three states that are never confused with 'nobody looked'."""

    SEEN = "seen"
    NOT_SEEN = "not-seen"
    NOT_FITTED = "not-fitted"


class Status(Enum):
    """Where a boat stands in the search."""

    LOOKING = "looking"
    VISITED = "visited"
    OFFER_MADE = "offer-made"
    DROPPED = "dropped"
    BOUGHT = "bought"


class Basis(Enum):
    """What a cost rests on, from the loosest to the firmest."""

    GUESS = "guess"
    PRICE_BOOK = "price-book"
    OWN_ENTRY = "own-entry"
    INVOICE = "invoice"
    QUOTE = "quote"


class ClaimRule(Enum):
    """How much of a remedy's cost it is reasonable to ask the seller to carry."""

    WHOLE = "whole"
    EXCESS_WEAR = "excess-wear"
    NONE = "none"


class Asked(Enum):
    """Whether a comparable's price was asked or paid."""

    ASKED = "asked"
    SOLD = "sold"
