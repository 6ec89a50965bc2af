"""Access work charged once per lay-up: who needs it, how likely, and to which account it goes.

An access task is needed when any work planned for the same lay-up needs it, so its chance is
1 - prod(1 - p) over the jobs that do (with independent jobs). Found work is charged first; the
allowance carries only the cases in which nothing found needs the task and something unseen does.
Found work planned within five years pays its own access work then, outside the cost to ready.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from workbench.catalogue.model import AccessTask, Catalogue
from workbench.domain.ledger import Ledger
from workbench.domain.money import cents
from workbench.domain.vocabulary import When

from .assessment import SAILING, AccessCharge, Line, Part
from .draws import stream_for
from .ledger_lines import QuotedAccess
from .pricing import NOTHING, Limits, Priced

Jobs = Mapping[str, tuple[Line, ...]]
_ACCESS = "access/"


def access_left_out(ledger: Ledger) -> frozenset[str]:
    """The access tasks that the buyer left out."""
    return frozenset(
        key.removeprefix(_ACCESS)
        for key, change in ledger.changes.items()
        if change.left_out and key.startswith(_ACCESS)
    )


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
    users: dict[tuple[str, When], list[Line]] = {}
    for lines in jobs.values():
        for line in likeliest(lines):
            for name in line.access:
                users.setdefault((name, line.when), []).append(line)
    made: list[AccessCharge] = []
    for task in catalogue.access.values():
        for when in _LAY_UPS:
            if (task.id, when) in users:
                price = _Price(prices.get(task.id), quoted.get(task.id), task.id in left_out)
                made.append(_charge(task, when, users[task.id, when], price, boat_stream, currency))
    return tuple(made)


_LAY_UPS = tuple(When)


def likeliest(lines: Sequence[Line]) -> Iterable[Line]:
    """For each lay-up of a job the line that is likeliest to be needed then.

    Lines of a job are needed together, so the access work is needed as often as that one.
    """
    best: dict[When, Line] = {}
    for line in lines:
        held = best.get(line.when)
        if held is None or line.chance > held.chance:
            best[line.when] = line
    return best.values()


class _Price(NamedTuple):
    """What an access task costs: an estimate or a share of a quote, or left out."""

    priced: Priced | None
    quoted: QuotedAccess | None
    left_out: bool


def _charge(
    task: AccessTask,
    when: When,
    users: list[Line],
    price: _Price,
    boat_stream: int,
    currency: str,
) -> AccessCharge:
    cost = _cost(price.priced, price.quoted)
    mean = 0.0 if price.left_out else cost.mean
    due = _needed(line for line in users if counts_as_due(line))
    found = _needed(line for line in users if counts_as_found(line))
    later = _needed(line for line in users if counts_as_later(line))
    unseen = _needed(line for line in users if counts_as_unseen(line))
    only_unseen = (1.0 - found) * (1.0 - later) * unseen
    key = f"access/{task.id}@{when.value}"
    return AccessCharge(
        key=key,
        task=task,
        when=when,
        cost=cost,
        mean=mean,
        users=tuple(line.job for line in users),
        chance_due=due,
        chance_found=found,
        chance_any=found + only_unseen,
        counted_found=cents(found * mean, currency),
        counted_allowed=cents(only_unseen * mean, currency),
        deferred=cents(due * mean, currency),
        stream=stream_for(boat_stream, key),
        priced=price.priced,
        quote=price.quoted.quote if price.quoted else None,
        left_out=price.left_out,
        chance_later=later,
        counted_later=cents(later * mean, currency),
    )


def _cost(priced: Priced | None, quote: QuotedAccess | None) -> Limits:
    if quote is not None:
        return Limits(*([float(quote.amount)] * 3))
    return priced.cost if priced is not None else NOTHING


def counts_as_found(line: Line) -> bool:
    """Whether a line is found work that belongs to the cost to ready."""
    return not line.part.allowed_for and line.when in SAILING


def counts_as_later(line: Line) -> bool:
    """Whether a line is found work that is planned within five years, after the first season."""
    return not line.part.allowed_for and line.when not in SAILING


def counts_as_unseen(line: Line) -> bool:
    """Whether a line's access belongs to the allowance."""
    return line.part.allowed_for


def counts_as_due(line: Line) -> bool:
    """Whether a line's access belongs to deferred maintenance."""
    return line.part in (Part.DUE, Part.OWN)


def _needed(lines: Iterable[Line]) -> float:
    """Chance that at least one of the lines is needed."""
    none = 1.0
    for line in lines:
        none *= 1.0 - line.chance
    return 1.0 - none


def total_of(charges: tuple[AccessCharge, ...], field: str) -> Decimal:
    """The sum of one account over all charges."""
    return sum((getattr(one, field) for one in charges), Decimal(0))
