"""What one job carries of the work that serves several, told in steps that cannot be confused."""

from __future__ import annotations

from workbench.catalogue.wording import Wording

from .assessment import BoatAssessment, Line
from .line_shares import shares_of
from .trace import TraceStep


def why_share(boat: BoatAssessment, line: Line, wording: Wording) -> TraceStep | None:
    """Stand-alone, saved and fair-share figures of a line's job; None where it counts nothing.

    See `line_shares` for what each of them means. Where the job needs no shared work all of them
    are the same and nothing is told.
    """
    share = shares_of(boat).of_job(line.job)
    if share is None or share.stand_alone == share.own:
        return None
    steps = [
        TraceStep(
            wording.say("Alone"),
            wording.say("were it the only work on her, with all that must be done first"),
            share.stand_alone,
        ),
        TraceStep(
            wording.say("Saved without it"),
            wording.say(
                "the expected bill falls by it; a cut of as much is as good as having it done"
            ),
            share.marginal,
        ),
    ]
    if share.fair_share is not None:
        steps.append(
            TraceStep(
                wording.say("Fair share"),
                wording.say("an equal part of the shared work; such shares add up to the bill"),
                share.fair_share,
            )
        )
    return TraceStep(
        wording.say("With the shared work"),
        wording.say("three different questions; never add one to another"),
        None,
        tuple(steps),
    )
