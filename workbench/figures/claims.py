"""What it is reasonable to ask the seller to carry, line by line, with the reason.

An asking price already assumes ordinary wear for her age, so a claim is what exceeds it: work that
is due now is claimed whole where the part is expected to serve, only the life that is missing
against the ordinary where parts wear out, and nothing where it is upkeep. Each claim carries its
fair share of the access work that serves several findings (`line_shares`), each found job taken as
needed, so the claims of all findings together never charge a haul-out twice.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_EVEN, Decimal

import numpy as np
import numpy.typing as npt

from workbench.catalogue.wording import ENGLISH_WORDING, Wording
from workbench.domain.ledger import ClaimChoice, Ledger
from workbench.domain.money import cents
from workbench.domain.vocabulary import ClaimRule, Grade

from .assessment import AccessCharge, Claim, ClaimLine, Line, Part
from .findings import Finding
from .line_shares import found_access_shares, job_columns
from .pricing import Limits
from .unit_shapes import FIT_MODES, unit_pert_quantile, unit_triangular_quantile
from .wear import normal_years_left, wear_claim

_NO_CHOICE = ClaimChoice()
_NOTHING = Decimal(0)
_STEP = Decimal(10)
"""Claims are proposed in tens: the last digit of an estimate is no argument."""


def claim_of(
    jobs: Mapping[str, tuple[Line, ...]],
    charges: tuple[AccessCharge, ...],
    ledger: Ledger,
    age: int | None,
    currency: str,
    wording: Wording = ENGLISH_WORDING,
) -> Claim:
    """Every finding that could be put to the seller, and what is asked for it."""
    shares = found_access_shares(job_columns(jobs, charges))
    lines = [
        _claim_line(job, job_lines, shares.get(job, 0.0), ledger, age, currency, wording)
        for job, job_lines in jobs.items()
        if not job_lines[0].part.allowed_for
    ]
    asked = sum((line.amount for line in lines), Decimal(0))
    return Claim(tuple(lines), asked, _at_high(lines))


def _claim_line(
    job: str,
    lines: tuple[Line, ...],
    access_share: float,
    ledger: Ledger,
    age: int | None,
    currency: str,
    wording: Wording,
) -> ClaimLine:
    first = lines[0]
    finding = first.finding
    key = finding.check.id if finding is not None else first.key
    choice = ledger.claims.get(key, _NO_CHOICE)
    full = cents(sum(line.mean for line in lines) + access_share, currency)
    if full == first.counted:
        full = first.counted  # one record of the same amount serves both
    cost = _sum_of(lines)
    share, why = _share(first, finding, age, full, wording)
    return ClaimLine(
        full=full,
        low=_tens(round((cost.lowest + access_share) / 10)),
        high=_tens(round((cost.highest + access_share) / 10)),
        proposed=_in_tens(full * Decimal(repr(share))) if share else _NOTHING,
        share=share,
        why=why,
        choice=choice,
        lines=lines,
    )


def _sum_of(lines: tuple[Line, ...]) -> Limits:
    total = lines[0].cost
    for line in lines[1:]:
        total = total.plus(line.cost)
    return total


def _in_tens(amount: Decimal) -> Decimal:
    return (amount / _STEP).quantize(Decimal(1), ROUND_HALF_EVEN) * _STEP


@functools.lru_cache(maxsize=4_096)
def _tens(count: int) -> Decimal:
    """So many tens; the same few records serve every claim."""
    return Decimal(10 * count)


def _share(
    line: Line, finding: Finding | None, age: int | None, full: Decimal, wording: Wording
) -> tuple[float, str]:
    """Share of the full cost that is proposed, and the reason for the seller."""
    if line.own is not None:
        asked = line.own.claim_share
        return (float(asked), line.own.note) if asked else (0.0, wording.say("Not claimed."))
    if finding is None or line.remedy is None:
        return 0.0, wording.say("Not claimed.")
    if line.remedy.claim is ClaimRule.NONE:
        return 0.0, wording.say("Ordinary upkeep.")
    if line.remedy.claim is ClaimRule.EXCESS_WEAR:
        return _wear_share(finding, age, full, wording)
    if line.part is Part.WORN:
        return 0.0, wording.say("Ordinary wear: still serviceable.")
    return 1.0, line.remedy.claim_why


def _wear_share(
    finding: Finding, age: int | None, full: Decimal, wording: Wording
) -> tuple[float, str]:
    """The share of the part's life that is missing against what is ordinary at her age."""
    low, high = finding.check.life_years or (10, 10)
    life = (low + high) / 2
    left = life * (1.0 - float(finding.used_share))
    normal = normal_years_left(life, float(age) if age is not None else life * 2)
    claim = wear_claim(full, life, left, normal)
    if claim.share == 0:
        return 0.0, wording.say("Ordinary wear for her age.")
    return claim.share, wording.say(
        "{share:.0%}: worn beyond what is ordinary at her age.", share=claim.share
    )


_DEAR = 0.8
"""The high claim is what the work costs at most in four cases out of five."""


@functools.lru_cache(maxsize=1)
def _dear_places() -> npt.NDArray[np.float64]:
    """Where between its ends a PERT cost is dear, at each of `FIT_MODES`."""
    return unit_pert_quantile(FIT_MODES, _DEAR)


def _at_high(lines: Sequence[ClaimLine]) -> Decimal:
    """The claims at what their work costs at most in four cases of five; own figures stay."""
    costs = np.array([_sum_of(line.lines) for line in lines], dtype=np.float64).reshape(-1, 3)
    lowest, likely, highest = costs.T
    width = highest - lowest
    mode = (likely - lowest) / np.where(width > 0.0, width, 1.0)
    place = np.where(
        [line.lines[0].triangular for line in lines],
        unit_triangular_quantile(mode, _DEAR),
        np.interp(mode, FIT_MODES, _dear_places()),
    )
    dear = (lowest + width * place).tolist()
    return sum((_dear(line, cost) for line, cost in zip(lines, dear, strict=True)), Decimal(0))


def _dear(line: ClaimLine, dear: float) -> Decimal:
    if not line.included or line.choice.amount is not None:
        return line.amount
    full = line.full + Decimal(repr(dear - sum(one.mean for one in line.lines)))
    return max(line.amount, _in_tens(full * Decimal(repr(line.share))))


def graded(claim: Claim, *grades: Grade) -> tuple[ClaimLine, ...]:
    """The claim lines of findings at the given grades."""
    return tuple(
        line for line in claim.lines if line.finding is not None and line.finding.grade in grades
    )
