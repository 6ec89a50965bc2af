"""One answer of a form as a reading holds it: a quantity with its unit, a choice by its id, a text.

A number is held to the limits of its entry, in whatever unit it was written; the unit printed on
the row is meant where none is typed.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from decimal import Decimal

from workbench.catalogue.labels import in_every_language
from workbench.catalogue.model import Choice, Entry
from workbench.domain.problem import EntryError
from workbench.domain.quantity import UNITS, Quantity, parse_quantity, unit_named
from workbench.reports.words import measured

from .asking import Scales, not_a_number
from .cells import Cell, Holds
from .text_values import folded

YEAR = "calendar year"


def entry_value(entry: Entry, cell: Cell, row_unit: str, scales: Scales) -> Quantity | str:
    """What a cell answers to an entry.

    Parameters
    ----------
    row_unit
        The unit printed on the row; empty for the entry's own.

    Raises
    ------
    EntryError
        With a sentence for the cell.
    """
    if entry.kind == "choice":
        return _choice(entry, cell)
    if entry.kind == "text":
        return cell.text.strip()
    value = _year(cell, scales) if entry.kind == "year" else _number(entry, cell, row_unit, scales)
    _hold_to_limits(value, entry)
    return value


def chosen(choices: Sequence[Choice], cell: Cell) -> str | None:
    """The id of the choice that a cell names by its id or its label in any language, or None."""
    said = folded(cell.text)
    for one in choices:
        if said in (folded(one.label), one.id):
            return one.id
    for one in choices:
        if any(said == folded(label) for label in in_every_language(one.label)):
            return one.id
    return None


def _choice(entry: Entry, cell: Cell) -> str:
    known = chosen(entry.choices, cell)
    if known is not None:
        return known
    labels = [one.label for one in entry.choices]
    near = difflib.get_close_matches(cell.text.strip(), labels, 1, 0.75)
    if near:
        raise EntryError(f"“{cell.text.strip()}” is none of the choices. Did you mean “{near[0]}”?")
    listed = "; ".join(labels)
    raise EntryError(f"“{cell.text.strip()}” is none of the choices. There are: {listed}.")


def _year(cell: Cell, scales: Scales) -> Quantity:
    if cell.day is not None:
        return Quantity(Decimal(cell.day.year), YEAR)
    number = scales.number(cell)
    if number != number.to_integral_value() or not 1800 <= number <= 2200:
        raise EntryError(f"“{cell.text.strip()}” is no year. Write one such as 1986.")
    return Quantity(number, YEAR)


def unit_of(entry: Entry, row_unit: str) -> str:
    """The unit meant by a bare number on a row: the one printed there where it can be meant."""
    own = entry.unit or "count"
    printed = unit_named(row_unit.strip()) if row_unit.strip() else ""
    return printed if printed and UNITS[printed][0] == UNITS[own][0] else own


def _number(entry: Entry, cell: Cell, row_unit: str, scales: Scales) -> Quantity:
    unit = unit_of(entry, row_unit)
    if cell.holds is Holds.NUMBER and cell.number is not None:
        return Quantity(_plain_number(cell, cell.number, unit), unit)
    if cell.holds is not Holds.TEXT:
        raise EntryError(not_a_number(cell))
    value = parse_quantity(cell.text, unit, scales.mark)
    scales.note_stored_as_text(cell)
    return value


def _plain_number(cell: Cell, number: Decimal, unit: str) -> Decimal:
    if not cell.percent:
        return number
    if unit == "%":
        return number * 100
    if unit == "share":
        return number
    raise EntryError(f"The cell is formatted as a percentage. Write the number in {unit}.")


def _hold_to_limits(value: Quantity, entry: Entry) -> None:
    unit = YEAR if entry.kind == "year" else entry.unit or "count"
    number = value.exact(unit)
    shown = "" if unit in ("count", YEAR) else f" {unit}"
    if entry.low is not None and number < entry.low:
        raise EntryError(f"{measured(value)} is less than {entry.low}{shown}. Look at the unit.")
    if entry.high is not None and number > entry.high:
        raise EntryError(f"{measured(value)} is more than {entry.high}{shown}. Look at the unit.")


def shown(entry: Entry, value: Quantity | str | None) -> str:
    """A value as the preview shows it; empty for none."""
    if value is None:
        return ""
    if isinstance(value, Quantity):
        return measured(value)
    return next((one.label for one in entry.choices if one.id == value), value)
