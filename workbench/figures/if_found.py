"""“If this check fails, the walk-away price drops by …”: the items that would move it most.

For each doubtful check the boat is figured again as if the check had been graded due: its work is
certain, the access work it needs is charged where nothing else brought it, related checks are
suspected more, and the quantile that caps the price is taken of the new draws (a quantile cannot be
had by adding to the old one). The draws are the same, so the difference is the finding's alone. The
best other boat stays as she is.

The drop is not what to claim: a claim is what a finding exceeds ordinary wear by, the drop is what
the buyer can no longer pay. It is for the buyer's eyes only.
"""

from __future__ import annotations

import dataclasses
from decimal import Decimal

from workbench.domain.inspection import Overruling
from workbench.domain.project import Candidate, Project
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade

from .assess import Desk
from .assessment import Assessment, BoatAssessment
from .bargaining import Stakes, WalkAway, drop_if_found, walk_away
from .next_look import Doubt, doubts_of
from .offers import Figured, stakes_of
from .pricing import Tariff


@dataclass(frozen=True, slots=True)
class IfFound:
    """What becomes of the walk-away price if one check fails.

    Attributes
    ----------
    chance
        Chance that it does.
    drop
        By how much the walk-away price falls; None when no price would be left, or none is now.
    walk_away
        The price then; None when there would be none at which to buy.
    work
        What the expected work of the boat rises by.
    why
        What would bind the price then.
    """

    boat: str
    check: str
    title: str
    chance: float
    drop: Decimal | None
    walk_away: Decimal | None
    work: Decimal
    why: str


def if_found(assessment: Assessment, boat_id: str, most: int = 8) -> tuple[IfFound, ...]:
    """The checks of a boat whose failing would move her walk-away price, largest drop first.

    Only the `most` doubts that weigh most in the allowance are figured, about 20 ms each.
    """
    boat, project = assessment.boats[boat_id], assessment.project
    weightiest = sorted(doubts_of(boat), key=lambda one: (-one.chance * one.loss, one.line.key))
    desk = Desk(
        project, boat.candidate, assessment.catalogue, Tariff(project, assessment.catalogue)
    )
    now = _stakes(project, desk.figured(boat.candidate), boat)
    made = [_if_found(doubt, desk, now, boat, project) for doubt in weightiest[:most]]
    made.sort(key=lambda one: (one.walk_away is not None, -(one.drop or Decimal(0)), one.check))
    return tuple(made)


def _if_found(
    doubt: Doubt, desk: Desk, now: Stakes, boat: BoatAssessment, project: Project
) -> IfFound:
    finding = doubt.line.finding
    assert finding is not None  # noqa: S101 - doubts are made of findings only
    failed = desk.figured(graded_due(boat.candidate, finding.check.id))
    then = _stakes(project, failed, boat)
    limit: WalkAway = walk_away(then, desk.catalogue.wording)
    return IfFound(
        boat=boat.id,
        check=finding.check.id,
        title=finding.check.title,
        chance=doubt.chance,
        drop=drop_if_found(now, then.expected_work, then.work_at_confidence),
        walk_away=limit.price,
        work=failed.boat.excess_work - boat.excess_work,
        why=limit.why,
    )


def _stakes(project: Project, figured: Figured, boat: BoatAssessment) -> Stakes:
    """What the walk-away price rests on, with the best other boat of the assessment."""
    stakes = stakes_of(project.settings, figured)
    return dataclasses.replace(stakes, best_other=boat.offer.best_other)


AS_IF = "as if it had failed"
"""The reason of an overruling that is only supposed; it is shown to nobody."""


def graded_due(candidate: Candidate, check: str) -> Candidate:
    """The boat as she would stand if a check were graded due."""
    inspection = candidate.inspection
    due = inspection.overrulings.set(check, Overruling(Grade.DUE, AS_IF))
    return dataclasses.replace(
        candidate, inspection=dataclasses.replace(inspection, overrulings=due)
    )
