"""What a boat of her kind and age needs on average, before anybody has looked at her.

The prices of boats like her already reflect faults of this order, so a boat is dearer or cheaper
than her price by what she needs beyond it, and a boat that nobody looked at is neither.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from .assessment import AccessCharge, Line
from .findings import Finding


def ordinary_chance(finding: Finding) -> float:
    """How common work on this is at her age when nobody has looked; no look and no suspicion."""
    steps = finding.evidence.steps
    return steps[0].chance_before if steps else finding.evidence.chance


def ordinary_work(jobs: Mapping[str, tuple[Line, ...]], charges: Iterable[AccessCharge]) -> float:
    """The mean of all work at its ordinary chance, access work once [project's currency].

    The work of a finding is priced by its remedy as it stands in the ledger.
    """
    chances = {
        key: ordinary_chance(lines[0].finding)
        for key, lines in jobs.items()
        if lines[0].finding is not None
    }
    work = sum(chances[key] * sum(line.mean for line in jobs[key]) for key in chances)
    return work + sum(_needed(charge, chances) * charge.mean for charge in charges)


def _needed(charge: AccessCharge, chances: Mapping[str, float]) -> float:
    none = 1.0
    for job in charge.users:
        none *= 1.0 - chances.get(job, 0.0)
    return 1.0 - none
