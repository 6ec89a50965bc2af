"""What one job of a boat carries of the work that serves several: three figures, never confused.

Hauling out, unstepping the mast or drawing the shaft is paid once however many jobs need it. So the
cost of a job depends on what one asks:

stand-alone
    Were it the only work on the boat: its own cost and all its access work. Stand-alones do not
    add up to the bill; they exceed it.
marginal
    What the expected bill falls by if the job proves not to be needed. This is the saving, and the
    price cut that is worth as much as the seller doing the job. Where other work needs the same
    access it is little more than the job's own cost, so marginals fall short of the bill.
fair share
    Its own cost and an equal part of each access task among the found jobs that need it (the
    Shapley value of such a bill; see `sharing`). Fair shares add up to the bill of the found work,
    to the cent; the claims put to the seller use this split, so they never charge a haul-out twice.

Where jobs are only likely the expected share is the mean of the fair share over all that may prove
to be needed; expected shares add up to the expected bill. An example: through-hulls for 1,200 and a
bearing for 350 that both need a haul-out of 650 come to 2,200; stand-alone 1,850 and 1,000,
marginal 1,200 and 350, in fair shares 1,525 and 675.

Jobs that count nothing (left out, wishes, not priced, done with other work) have no share.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

import numpy as np

from workbench.domain.money import cents, share_out
from workbench.domain.record import dataclass

from .access_charges import likeliest
from .assessment import AccessCharge, BoatAssessment, Line
from .ledger_lines import by_job
from .sharing import (
    AccessKey,
    Flags,
    Floats,
    SharedWork,
    expected_cost,
    expected_derivatives,
    expected_shares,
    fair_shares,
    shared_work,
    stand_alone,
    total_cost,
)


@dataclass(frozen=True, slots=True, eq=False)
class JobColumns:
    """The jobs of a boat and the access work they need, as columns in the order of the ledger.

    Attributes
    ----------
    keys : tuple of str
        The jobs.
    first : tuple of Line
        A line of each job, the likeliest to be needed.
    own : ndarray, shape (jobs,)
        Mean cost of each without access work [money].
    chances : ndarray, shape (jobs,)
        Chance that each is needed.
    found : ndarray of bool, shape (jobs,)
        Whether it was found, rather than allowed for.
    work : SharedWork
        Who needs which access task in which lay-up.
    """

    keys: tuple[str, ...]
    first: tuple[Line, ...]
    own: Floats
    chances: Floats
    found: Flags
    work: SharedWork


def job_columns(
    jobs: Mapping[str, tuple[Line, ...]], charges: Iterable[AccessCharge]
) -> JobColumns:
    """Set the jobs of a boat up as columns; access work that is left out costs nothing."""
    costs = {AccessKey(one.task.id, one.when.value): one.mean for one in charges}
    planned = [tuple(likeliest(lines)) for lines in jobs.values()]
    needs = [
        {AccessKey(task, line.when.value) for line in lines for task in line.access}
        for lines in planned
    ]
    first = tuple(max(lines, key=lambda line: line.chance) for lines in planned)
    return JobColumns(
        keys=tuple(jobs),
        first=first,
        own=np.array([sum(line.mean for line in lines) for lines in jobs.values()], dtype=float),
        chances=np.array([line.chance for line in first], dtype=float),
        found=np.array([not line.part.allowed_for for line in first], dtype=np.bool_),
        work=shared_work(needs, costs),
    )


def columns_of(boat: BoatAssessment) -> JobColumns:
    """The jobs of an assessed boat as columns."""
    return job_columns(by_job(boat.lines), boat.access)


def found_access_shares(columns: JobColumns) -> dict[str, float]:
    """Each found job's equal part of the access work that found jobs need [money]."""
    nothing = np.zeros(len(columns.keys))
    shares = fair_shares(columns.work, nothing, columns.found)
    return dict(zip(columns.keys, shares.tolist(), strict=True))


@dataclass(frozen=True, slots=True)
class JobShare:
    """What one job carries, in the project's currency.

    Attributes
    ----------
    job
        Key of the job; `Line.job`.
    check
        The check behind it; empty for the buyer's own line.
    chance
        Chance that it is needed.
    own
        Its lines without access work.
    stand_alone
        Were it the only work.
    marginal
        What the expected bill falls by if it proves not to be needed.
    fair_share
        Its part of the bill of the found work; None for work that is only allowed for.
    expected_share
        Its mean part of all that may be needed.
    """

    job: str
    check: str
    title: str
    chance: float
    own: Decimal
    stand_alone: Decimal
    marginal: Decimal
    fair_share: Decimal | None
    expected_share: Decimal


@dataclass(frozen=True, slots=True)
class BoatShares:
    """Every job of a boat with what it carries.

    Attributes
    ----------
    found_bill
        All found work taken as needed, access work once: the sum of the fair shares.
    expected_bill
        All work by its chance, access work once: the sum of the expected shares.
    """

    jobs: tuple[JobShare, ...]
    found_bill: Decimal
    expected_bill: Decimal

    def of_job(self, job: str) -> JobShare | None:
        """The shares of one job; None when it counts nothing."""
        return next((one for one in self.jobs if one.job == job), None)

    def of_check(self, check: str) -> JobShare | None:
        """The shares of the job that one check leads to; None without one that counts."""
        return next((one for one in self.jobs if one.check == check), None)


def shares_of(boat: BoatAssessment) -> BoatShares:
    """What every job of a boat carries of the bill."""
    columns, currency = columns_of(boat), boat.currency
    own, work, found = columns.own, columns.work, columns.found
    found_bill = cents(total_cost(work, own, found), currency)
    expected_bill = cents(expected_cost(work, own, columns.chances), currency)
    fair = _shown(fair_shares(work, own, found), found_bill, currency)
    expected = _shown(expected_shares(work, own, columns.chances), expected_bill, currency)
    alone = stand_alone(work, own).tolist()
    saved = expected_derivatives(work, own, columns.chances).tolist()
    jobs = tuple(
        JobShare(
            job=key,
            check=line.finding.check.id if line.finding else "",
            title=line.finding.check.title if line.finding else line.title,
            chance=line.chance,
            own=cents(float(own[place]), currency),
            stand_alone=cents(alone[place], currency),
            marginal=cents(saved[place], currency),
            fair_share=fair[place] if found[place] else None,
            expected_share=expected[place],
        )
        for place, (key, line) in enumerate(zip(columns.keys, columns.first, strict=True))
    )
    return BoatShares(jobs, found_bill, expected_bill)


def _shown(shares: Floats, bill: Decimal, currency: str) -> tuple[Decimal, ...]:
    """Shares rounded so that they add up to the shown bill."""
    return share_out(bill, [Decimal(repr(share)) for share in shares.tolist()], currency)
