"""Access work charged once per lay-up: who needs it, how likely, and to which account it goes.

An access task is needed when any work planned for the same lay-up needs it, so its chance is
1 - prod(1 - p) over the jobs that do (with independent jobs). Found work is charged first; the
allowance carries only the cases in which nothing found needs the task and something unseen does.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from workbench.catalogue.model import Catalogue
from workbench.domain.money import cents
from workbench.domain.vocabulary import When

from .assessment import SAILING, AccessCharge, Line, Part
from .draws import stream_for
from .ledger_lines import QuotedAccess
from .pricing import NOTHING, Limits, Priced

Jobs = Mapping[str, tuple[Line, ...]]


def charges(
    jobs: Jobs,
    catalogue: Catalogue,
    prices: Mapping[str, Priced],
    quoted: Mapping[str, QuotedAccess],
    left_out: frozenset[str],
    boat_stream: int,
    currency: str,
) -> tuple[AccessCharge, ...]:
    """Every access task that some job needs, by lay-up, in the catalogue's order."""
    users: dict[tuple[str, When], list[tuple[Line, ...]]] = {}
    for lines in jobs.values():
        for task in lines[0].access:
            users.setdefault((task, lines[0].when), []).append(lines)
    ordered = ((task, when) for task in catalogue.access for when in When)
    return tuple(
        _charge(key, users[key], catalogue, prices, quoted, left_out, boat_stream, currency)
        for key in ordered
        if key in users
    )


def _charge(
    key: tuple[str, When],
    users: list[tuple[Line, ...]],
    catalogue: Catalogue,
    prices: Mapping[str, Priced],
    quoted: Mapping[str, QuotedAccess],
    left_out: frozenset[str],
    boat_stream: int,
    currency: str,
) -> AccessCharge:
    task, when = key
    priced, quote = prices.get(task), quoted.get(task)
    cost = _cost(priced, quote)
    skipped = task in left_out
    mean = 0.0 if skipped else cost.mean
    firsts = [lines[0] for lines in users]
    found = [line for line in firsts if counts_as_found(line)]
    due = _needed([line for line in firsts if counts_as_due(line)])
    chance_found, chance_any = _needed(found), _needed(firsts)
    line_key = f"access/{task}@{when.value}"
    return AccessCharge(
        key=line_key,
        task=catalogue.access[task],
        when=when,
        cost=cost,
        mean=mean,
        users=tuple(line.job for line in firsts),
        chance_due=due,
        chance_found=chance_found,
        chance_any=chance_any,
        counted_found=cents(chance_found * mean, currency),
        counted_allowed=cents((chance_any - chance_found) * mean, currency),
        deferred=cents(due * mean, currency),
        stream=stream_for(boat_stream, line_key),
        priced=priced,
        quote=quote.quote if quote else None,
        left_out=skipped,
    )


def _cost(priced: Priced | None, quote: QuotedAccess | None) -> Limits:
    if quote is not None:
        return Limits(*([float(quote.amount)] * 3))
    return priced.cost if priced is not None else NOTHING


def counts_as_found(line: Line) -> bool:
    """Whether a line is found work that belongs to the cost to ready."""
    return not line.part.allowed_for and line.when in SAILING


def counts_as_due(line: Line) -> bool:
    """Whether a line's access belongs to deferred maintenance."""
    return line.part in (Part.DUE, Part.OWN)


def _needed(lines: list[Line]) -> float:
    """Chance that at least one of the lines is needed."""
    none = 1.0
    for line in lines:
        none *= 1.0 - line.chance
    return 1.0 - none


def total_of(charges: tuple[AccessCharge, ...], field: str) -> Decimal:
    """The sum of one account over all charges."""
    return sum((getattr(one, field) for one in charges), Decimal(0))
