"""Work that is done with other work: no job is charged twice because two findings ask for it.

Two rules, both written in the catalogue. A remedy may cover other checks: new standing rigging ends
the talk of one broken wire. And a price item may be of a kind that is done once for a boat (a new
engine): the first finding that asks for it carries it, the others are done with it. Only work that
was found covers other work; a chance of work covers nothing. The covering work must not come later
than what it covers.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence
from decimal import Decimal

from workbench.domain.vocabulary import When

from .assessment import Line

_ORDER = {when: place for place, when in enumerate(When)}


def without_doubles(lines: Sequence[Line]) -> list[Line]:
    """The lines with those struck that are done with other work; their order is kept."""
    covering = [line for line in lines if _covers(line)]
    by_check = {
        check: line
        for line in reversed(covering)
        for check in (line.remedy.covers if line.remedy is not None else ())
    }
    carrying = _first_of_each_item(covering)
    return [_struck(line, by_check, carrying) for line in lines]


def _covers(line: Line) -> bool:
    return line.counts and line.finding is not None and not line.part.allowed_for


def _item_of(line: Line) -> str:
    """The price item of a line when it is done once for a boat; empty otherwise."""
    if line.remedy is None or line.priced is None or not line.priced.once:
        return ""
    name = line.key.rpartition("/")[2]
    return next((work.item for work in line.remedy.work if work.id == name), "")


def _first_of_each_item(lines: Iterable[Line]) -> dict[str, Line]:
    """For each item that is done once, the line that carries it: the earliest, then the surest."""
    first: dict[str, Line] = {}
    for line in lines:
        item = _item_of(line)
        held = first.get(item)
        if item and (held is None or _rank(line) < _rank(held)):
            first[item] = line
    return first


def _rank(line: Line) -> tuple[int, float, str]:
    return (_ORDER[line.when], -line.chance, line.key)


def _struck(line: Line, by_check: dict[str, Line], carrying: dict[str, Line]) -> Line:
    if line.finding is None or not line.counts:
        return line
    other = by_check.get(line.finding.check.id) or carrying.get(_item_of(line))
    if other is None or other.job == line.job or _ORDER[other.when] > _ORDER[line.when]:
        return line
    if line.finding.check.id in by_check and _covered_back(line, other):
        return line
    return dataclasses.replace(
        line, covered_by=other.title, counted=Decimal(0), deferred=Decimal(0)
    )


def _covered_back(line: Line, other: Line) -> bool:
    """Whether two remedies cover each other: then the first in the ledger stands."""
    covers = line.remedy.covers if line.remedy is not None else ()
    back = other.finding is not None and other.finding.check.id in covers
    return back and line.key < other.key
