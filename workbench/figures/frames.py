"""The ledger and the totals as pandas frames, for reports, the command line and what-if questions.

Two frames with fixed columns:

ledger_frame
    One row for each work line and each access charge of every boat: what it is, which account it
    counts in, its range and what it counts for [currency of the project].
totals_frame
    One row for each boat, indexed by her id: the accounts added up from the ledger frame, the
    price, and deferred maintenance against the asking price.

The sums are exact: amounts are `Decimal` objects and pandas only groups and adds them.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, cast

import pandas as pd

from workbench.domain.vocabulary import Grade, When

from .assessment import SAILING, AccessCharge, Assessment, BoatAssessment, Line

_ZERO = Decimal(0)
ACCOUNTS = ("deferred", "allowance", "work")
LEDGER_COLUMNS = (
    "boat",
    "key",
    "title",
    "system",
    "account",
    "when",
    "grade",
    "basis",
    "chance",
    "lowest",
    "likely",
    "highest",
    "mean",
    "counted",
    "deferred",
    "allowance",
    "work",
)
TOTAL_COLUMNS = (
    "name",
    "currency",
    "asking",
    "purchase",
    "deferred",
    "allowance",
    "work",
    "cost_to_ready",
    "deferred_share",
    "claim",
    "checks",
    "looked",
)


def ledger_frame(assessment: Assessment) -> pd.DataFrame:
    """Every line and access charge of every boat; columns are `LEDGER_COLUMNS`."""
    rows = [row for boat in assessment.boats.values() for row in _rows(boat)]
    return pd.DataFrame(rows, columns=list(LEDGER_COLUMNS))


def _rows(boat: BoatAssessment) -> Iterator[tuple[object, ...]]:
    for line in boat.lines:
        yield _line_row(boat.id, line)
    for charge in boat.access:
        yield _access_row(boat.id, charge)


def _line_row(boat_id: str, line: Line) -> tuple[object, ...]:
    allowed = line.part.allowed_for
    work = line.counted if not allowed and line.when in SAILING else _ZERO
    return (
        boat_id,
        line.key,
        line.title,
        line.system,
        line.part.value,
        line.when.value,
        line.grade.value,
        line.basis.value,
        line.chance,
        *line.cost,
        line.mean,
        line.counted,
        line.deferred,
        line.counted if allowed else _ZERO,
        work,
    )


def _access_row(boat_id: str, charge: AccessCharge) -> tuple[object, ...]:
    return (
        boat_id,
        charge.key,
        charge.task.title,
        "",
        "access",
        charge.when.value,
        Grade.ABSENT.value,
        "quote" if charge.quote else "price-book",
        charge.chance_any,
        *charge.cost,
        charge.mean,
        charge.counted_found + charge.counted_allowed + charge.counted_later,
        charge.deferred,
        charge.counted_allowed,
        charge.counted_found,
    )


def totals_frame(assessment: Assessment) -> pd.DataFrame:
    """Deferred maintenance, allowance and cost to ready against the asking price, by boat.

    The accounts are added up here from `ledger_frame`; `deferred_share` is deferred maintenance
    over the asking price, None where no price is known.
    """
    sums = account_sums(ledger_frame(assessment))
    rows = [_total_row(boat, sums) for boat in assessment.boats.values()]
    frame = pd.DataFrame(rows, columns=["id", *TOTAL_COLUMNS])
    return frame.set_index("id")


def account_sums(ledger: pd.DataFrame) -> dict[str, dict[str, Decimal]]:
    """The three accounts of every boat, added up exactly: boat id to account to amount."""
    sums = ledger.groupby("boat", sort=False)[list(ACCOUNTS)].agg(_exact_sum)
    return cast("dict[str, dict[str, Decimal]]", sums.to_dict("index"))


def _exact_sum(column: pd.Series[Any]) -> Any:
    return sum(column, _ZERO)


def _total_row(boat: BoatAssessment, sums: dict[str, dict[str, Decimal]]) -> tuple[object, ...]:
    deferred, allowance, work = (sums.get(boat.id, {}).get(name, _ZERO) for name in ACCOUNTS)
    asking = boat.asking
    purchase = boat.purchase.total if boat.purchase else _ZERO
    return (
        boat.id,
        boat.candidate.boat.name,
        boat.currency,
        asking,
        purchase,
        deferred,
        allowance,
        work,
        purchase + work + allowance,
        deferred / asking if asking else None,
        boat.claim.total,
        boat.coverage.checks,
        boat.coverage.looked,
    )


def by_when(assessment: Assessment) -> pd.DataFrame:
    """What is counted before launching, in the first season and so on, a row for each boat."""
    ledger = ledger_frame(assessment)
    found = ledger[~ledger["account"].isin(["unseen", "hidden"])]
    planned = found.assign(planned=found["counted"] - found["allowance"])
    sums = planned.groupby(["boat", "when"], sort=False)["planned"].agg(_exact_sum)
    table = sums.unstack("when").reindex(columns=[when.value for when in When])
    return table.map(lambda amount: amount if isinstance(amount, Decimal) else _ZERO)
