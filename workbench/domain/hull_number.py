"""What a hull number says about a boat's age, and whether it is written as the law asks.

A US hull identification number has twelve characters (33 CFR 181.25): maker code, serial, then the
date part. Character nine tells the format:

- a letter A to L: current form, month (A is January), last digit of the year, model year;
- a digit: "straight year", month and year as MMYY (1 November 1972 to 31 July 1984);
- M: "model year", two digits and a letter, where A is August and L is July (same period).

Boats built before November 1972 carry none of these. The international form (ISO 10087) puts a
country code and a hyphen in front; the prefix is set aside.

There is no check digit: every position has a meaning of its own, so a well-formed number can still
be the wrong one. A build month outside the model year is a warning, never a rejection: published
samples break that rule. Letters I, O and Q are barred from the serial alone (characters 4 to 8).

    >>> read_hull_number("ZZZ12345C585").model_year
    1985
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from enum import Enum

from workbench.domain.record import dataclass

# fmt: off
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)
# fmt: on
_LENGTH = 12
_BARRED_IN_SERIAL = {"I": "1", "O": "0", "Q": "0"}
_NO_CHECK_DIGIT = (
    "The number has no check digit, so a well-formed number can still be the wrong one: compare "
    "it with the papers and with the second number on the hull (33 CFR 181.23)."
)


class HullNumberFormat(Enum):
    """The forms a twelve-character hull number can have."""

    CURRENT = "current form (33 CFR 181.25, required since 1 August 1984)"
    STRAIGHT_YEAR = "straight-year form (November 1972 to July 1984)"
    MODEL_YEAR = "model-year form (November 1972 to July 1984)"


@dataclass(frozen=True, slots=True)
class HullNumberFault:
    """What is wrong at one place; `position` counts from 1, None for the whole number."""

    position: int | None
    message: str


@dataclass(frozen=True, slots=True)
class HullNumberReading:
    """All that a hull number says.

    `build_years` holds one year, or two where the last digit and the model year contradict
    each other, or none. `suggestion` is the number with a likely slip put right, or None.
    """

    given: str
    number: str
    country: str | None
    maker: str
    serial: str
    format: HullNumberFormat | None
    build_month: int | None
    build_years: tuple[int, ...]
    model_year: int | None
    faults: tuple[HullNumberFault, ...]
    warnings: tuple[str, ...]
    suggestion: str | None

    @property
    def valid(self) -> bool:
        """Whether the number is written as one of the three forms asks."""
        return not self.faults

    @property
    def sentences(self) -> tuple[str, ...]:
        """The reading in plain sentences, warnings last."""
        if not self.valid:
            told = tuple(fault.message for fault in self.faults)
            hint = (f"Did you mean {self.suggestion}?",) if self.suggestion else ()
            return ("This is not a hull number of any of the three US forms.", *told, *hint)
        return (self._dated(), *self.warnings, _NO_CHECK_DIGIT)

    def _dated(self) -> str:
        form = self.format.value if self.format else ""
        month = _MONTHS[self.build_month - 1] if self.build_month else "unknown month"
        years = " or ".join(str(year) for year in self.build_years)
        model = f", model year {self.model_year}" if self.model_year else ""
        return f"{form[:1].upper()}{form[1:]}: built {month} {years}{model}."


@dataclass(frozen=True, slots=True)
class _DatePart:
    """What characters 9 to 12 say."""

    format: HullNumberFormat | None = None
    month: int | None = None
    years: tuple[int, ...] = ()
    model_year: int | None = None
    faults: tuple[HullNumberFault, ...] = ()
    warnings: tuple[str, ...] = ()


def read_hull_number(text: str, this_year: int | None = None) -> HullNumberReading:
    """Read a hull number as typed; nothing is raised, faults and warnings are in the result.

    `this_year`, where given, lets a model year in the future be noticed.
    """
    country, number = _without_country(text.strip().upper())
    faults = _faults_of_shape(number)
    date = _DatePart() if faults else _date_part(number[8:])
    faults = (*faults, *(() if faults else _faults_of_serial(number)), *date.faults)
    warnings = [] if faults else [*_maker_warnings(number[:3]), *date.warnings]
    if this_year and date.model_year and date.model_year > this_year + 1 and not faults:
        warnings.append(f"Model year {date.model_year} lies in the future.")
    return HullNumberReading(
        given=text,
        number=number,
        country=country,
        maker=number[:3],
        serial=number[3:8],
        format=date.format,
        build_month=date.month,
        build_years=date.years,
        model_year=date.model_year,
        faults=faults,
        warnings=tuple(warnings),
        suggestion=_suggestion(number) if faults else None,
    )


def same_number(numbers: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Pairs of boats that carry one number; no number may be on two boats (33 CFR 181.23).

    `numbers` maps a boat's name to its number as typed; empty numbers are left out.
    """
    read = [(boat, _without_country(text.strip().upper())[1]) for boat, text in numbers.items()]
    return tuple(
        (one, other)
        for place, (one, number) in enumerate(read)
        for other, second in read[place + 1 :]
        if number and number == second
    )


def _without_country(text: str) -> tuple[str | None, str]:
    """Set aside a two-letter country code and its hyphen (written form of ISO 10087)."""
    match = re.fullmatch(r"([A-Z]{2})-(.*)", text)
    return (match[1], match[2]) if match else (None, text)


def _faults_of_shape(number: str) -> tuple[HullNumberFault, ...]:
    faults = [
        HullNumberFault(place, f"Character {place} is {sign!r}: only letters and digits may stand.")
        for place, sign in enumerate(number, start=1)
        if not re.fullmatch("[A-Z0-9]", sign)
    ]
    if len(number) != _LENGTH:
        message = f"The number has {len(number)} characters; twelve are needed, without gaps."
        faults.append(HullNumberFault(None, message))
    return tuple(faults)


def _faults_of_serial(number: str) -> tuple[HullNumberFault, ...]:
    return tuple(
        HullNumberFault(
            place,
            f"Character {place} is the letter {sign}, which may not stand in the serial "
            f"(characters 4 to 8); is it the digit {_BARRED_IN_SERIAL[sign]}?",
        )
        for place, sign in enumerate(number[3:8], start=4)
        if sign in _BARRED_IN_SERIAL
    )


def _maker_warnings(maker: str) -> tuple[str, ...]:
    if maker.isalpha():
        return ()
    return (f"The maker code {maker} holds a digit; assigned codes are letters in practice.",)


# --- The date part, characters 9 to 12 ---


def _date_part(part: str) -> _DatePart:
    if part[0].isdigit():
        return _straight_year(part)
    if part[0] == "M":
        return _model_year(part)
    return _current(part)


def _straight_year(part: str) -> _DatePart:
    if not part.isdigit():
        message = f"Characters 9 to 12 are {part}: four digits are needed when the ninth is one."
        return _DatePart(faults=(HullNumberFault(9, message),))
    month, year = int(part[:2]), 1900 + int(part[2:])
    if not 1 <= month <= 12:
        message = f"Characters 9 and 10 are {part[:2]}, which is no month."
        return _DatePart(faults=(HullNumberFault(9, message),))
    warnings = _outside_old_period(month, year)
    return _DatePart(HullNumberFormat.STRAIGHT_YEAR, month, (year,), warnings=warnings)


def _model_year(part: str) -> _DatePart:
    match = re.fullmatch(r"M([0-9]{2})([A-L])", part)
    if not match:
        message = (
            f"Characters 9 to 12 are {part}: after M come two digits and a letter from A to L."
        )
        return _DatePart(faults=(HullNumberFault(9, message),))
    model, order = 1900 + int(match[1]), ord(match[2]) - ord("A")
    month = (order + 7) % 12 + 1
    year = model - 1 if month >= 8 else model
    return _DatePart(
        HullNumberFormat.MODEL_YEAR,
        month,
        (year,),
        model,
        warnings=_outside_old_period(month, year),
    )


def _outside_old_period(month: int, year: int) -> tuple[str, ...]:
    if (1972, 11) <= (year, month) <= (1984, 7):
        return ()
    when = f"{_MONTHS[month - 1]} {year}"
    return (f"{when} lies outside the years of this form (November 1972 to July 1984).",)


def _current(part: str) -> _DatePart:
    faults = []
    if not "A" <= part[0] <= "L":
        faults.append(
            HullNumberFault(9, f"Character 9 is {part[0]}: a month is a letter from A to L.")
        )
    faults.extend(
        HullNumberFault(place, f"Character {place} is {sign}: a digit is needed.")
        for place, sign in zip((10, 11, 12), part[1:], strict=True)
        if not sign.isdigit()
    )
    if faults:
        return _DatePart(faults=tuple(faults))
    month, model = ord(part[0]) - ord("A") + 1, _full_year(int(part[2:]))
    years = _build_years(int(part[1]), model)
    warnings = _current_warnings(month, years, model)
    return _DatePart(HullNumberFormat.CURRENT, month, years, model, warnings=warnings)


def _full_year(two_digits: int) -> int:
    """Year of a current-form model year; the form came in for model year 1984."""
    return 1900 + two_digits if two_digits >= 84 else 2000 + two_digits


def _build_years(last_digit: int, model: int) -> tuple[int, ...]:
    """Year with that last digit in or just before the model year, or the two nearest years."""
    for year in (model, model - 1):
        if year % 10 == last_digit:
            return (year,)
    before = model - (model - last_digit) % 10
    return (before, before + 10)


def _current_warnings(month: int, years: tuple[int, ...], model: int) -> tuple[str, ...]:
    if len(years) > 1:
        either = f"The year digit means {years[0]} or {years[1]}"
        return (f"{either}, and neither goes with model year {model}.",)
    year, warnings = years[0], []
    first = 6 if model >= 2017 else 8
    if not (model - 1, first) <= (year, month) <= (model, 7):
        opening = "June" if model >= 2017 else "August"
        warnings.append(
            f"{_MONTHS[month - 1]} {year} lies outside model year {model}, which ran from "
            f"{opening} {model - 1} to July {model} (33 CFR 175.3). Numbers in use break this."
        )
    if (year, month) < (1984, 8):
        warnings.append("The current form was not required before 1 August 1984.")
    return tuple(warnings)


# --- A likely slip put right ---


def _suggestion(number: str) -> str | None:
    """Twelve readable characters with letters that look like digits exchanged; None if no help."""
    stripped = re.sub(r"[\s/.\-]", "", number)
    if len(stripped) != _LENGTH:
        return None
    serial = "".join(_BARRED_IN_SERIAL.get(sign, sign) for sign in stripped[3:8])
    tail = "".join(_BARRED_IN_SERIAL.get(sign, sign) for sign in stripped[9:])
    better = stripped[:3] + serial + stripped[8] + tail
    if better == number or not re.fullmatch("[A-Z0-9]{12}", better):
        return None
    if _date_part(better[8:]).faults:
        return None
    return better
