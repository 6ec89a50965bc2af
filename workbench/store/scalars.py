"""Single values as files write them: text, numbers, dates and choices, each read strictly.

Each reader takes what the file says, its place and the list of faults; it answers the value or
raises `UnreadableError` with a sentence for the person who will have to mend the file.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from typing import Any, TypeVar

from workbench.domain.problem import Severity
from workbench.store.faults import Faults, Place
from workbench.store.json_reading import WrittenNumber

E = TypeVar("E", bound=Enum)

LONGEST_DECIMAL = 80
LARGEST_EXPONENT = 40
LIKELY_YEARS = range(1850, 2201)

_DECIMAL = re.compile(r"-?\d+(\.\d+)?([eE][+-]?\d{1,3})?", re.ASCII)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_MOMENT = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d{6})?)?", re.ASCII)


class UnreadableError(Exception):
    """A value that cannot be what its field holds.

    Attributes
    ----------
    place
        Where it stands; None until the reader of the field around it says so.
    """

    def __init__(self, message: str, remedy: str = "Correct it in the file.") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy
        self.place: Place = None

    def at(self, place: Place) -> UnreadableError:
        """The same fault with its place, unless a reader further in has named one."""
        self.place = self.place or place
        return self


def kind_of(plain: object) -> str:
    """What kind of value a file holds, in words."""
    kinds: tuple[tuple[type | tuple[type, ...], str], ...] = (
        (bool, "true or false"),
        (str, "text"),
        ((int, float), "a number"),
        (list, "a list"),
        (dict, "an object"),
    )
    return next((words for kind, words in kinds if isinstance(plain, kind)), "nothing (null)")


def text(plain: Any, place: Place, faults: Faults) -> str:
    """Text of any length."""
    if type(plain) is str:
        return plain
    raise UnreadableError(f"Text was expected, not {kind_of(plain)}.")


def truth(plain: Any, place: Place, faults: Faults) -> bool:
    """True or false, written without quotes."""
    if type(plain) is bool:
        return plain
    raise UnreadableError(f"true or false was expected, not {kind_of(plain)}.")


def whole(plain: Any, place: Place, faults: Faults) -> int:
    """A whole number."""
    if type(plain) is int:
        return plain
    raise UnreadableError(f"A whole number was expected, not {kind_of(plain)}.")


def share(plain: Any, place: Place, faults: Faults) -> float:
    """A number that need not be exact, such as a place on a photo; keeps how it was written."""
    if type(plain) is WrittenNumber:
        return plain
    if type(plain) is int:
        return WrittenNumber(str(plain))
    raise UnreadableError(f"A number was expected, not {kind_of(plain)}.")


def decimal(plain: Any, place: Place, faults: Faults) -> Decimal:
    """An exact number: text such as "12.50"; a bare number is taken as it is written."""
    written = plain.text if type(plain) is WrittenNumber else plain
    if type(plain) is int:
        written = str(plain)
    if type(written) is not str:
        raise UnreadableError(f'A number such as "12.50" was expected, not {kind_of(plain)}.')
    if len(written) > LONGEST_DECIMAL or not _DECIMAL.fullmatch(written):
        raise UnreadableError(f"“{written[:40]}” is not a number.", 'Write one such as "12.50".')
    number = Decimal(written)
    if abs(number.adjusted()) > LARGEST_EXPONENT:
        raise UnreadableError(f"“{written[:40]}” is not a number anything here could have.")
    if str(number) != plain:
        faults.lossy = True
    return number


def day(plain: Any, place: Place, faults: Faults) -> date:
    """A day as 2026-05-31; one that no boat could have seen is kept and pointed out."""
    if type(plain) is not str:
        raise UnreadableError(f"A date was expected, not {kind_of(plain)}.")
    if not _DAY.fullmatch(plain):
        raise UnreadableError(f"“{plain[:40]}” is not a date.", "Write it as 2026-05-31.")
    try:
        found = date.fromisoformat(plain)
    except ValueError:
        raise UnreadableError(f"There is no day {plain}.", "Write one that exists.") from None
    _point_out_year(found, place, faults)
    return found


def moment(plain: Any, place: Place, faults: Faults) -> datetime:
    """A day and time as 2026-05-31T14:05:00, in local time without a zone."""
    if type(plain) is not str:
        raise UnreadableError(f"A date and time was expected, not {kind_of(plain)}.")
    if not _MOMENT.fullmatch(plain):
        raise UnreadableError(
            f"“{plain[:40]}” is not a date and local time.",
            "Write it as 2026-05-31T14:05:00, without a time zone.",
        )
    try:
        found = datetime.fromisoformat(plain)
    except ValueError:
        raise UnreadableError(f"There is no moment {plain}.", "Write one that exists.") from None
    if found.isoformat() != plain:
        faults.lossy = True
    _point_out_year(found, place, faults)
    return found


def _point_out_year(found: date, place: Place, faults: Faults) -> None:
    if found.year not in LIKELY_YEARS:
        faults.add(place, f"The year {found.year} is unlikely.", "Check it.", Severity.NOTICE)


def choice(kind: type[E]) -> Callable[[Any, Place, Faults], E]:
    """A reader of the values of an enum; the message lists them."""
    members = {member.value: member for member in kind}

    def read(plain: Any, place: Place, faults: Faults) -> E:
        if type(plain) is str and plain in members:
            return members[plain]
        said = f"“{plain[:40]}”" if type(plain) is str else kind_of(plain)
        known = ", ".join(members)
        raise UnreadableError(
            f"{said} is not one of {known}.", "A newer version may know it; it is kept."
        )

    return read
