"""Which boat to have surveyed first: the index of each survey beside its worth one step ahead.

A survey on a boat opens a box: what she is worth beyond her cost is known better afterwards, and it
costs a fee. With boats whose news are independent and a survey wanted before buying, the best order
is by the index z that solves ``fee = E[max(gain - z, 0)]``, highest first, stopping as soon as the
best gain in hand reaches every index left (Weitzman 1979, Econometrica 47(3)). A boat with the
higher mean is not always first: one that may turn out very good is worth opening earlier.

The gains after a survey are those of `packages`, from the same draws that value the next look, so
the two columns answer different questions with the same figures: the index orders surveys that will
be made, the worth less the fee says whether the next one pays at all when she could also be bought,
or left, without it. The price level of yards is common to all boats and no survey reveals it.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

import numpy as np

from workbench.catalogue.model import Look
from workbench.catalogue.wording import Wording
from workbench.domain.money import cents
from workbench.domain.record import dataclass

from .assessment import Assessment, BoatAssessment
from .draws import pool_for
from .knowing import SurveyCandidate, survey_plan
from .next_look import covered_by, fee_of
from .packages import (
    PATTERNS,
    Doubts,
    answer_ranks,
    answers_to,
    doubt_columns,
    gains_after,
    worth_after,
)
from .pricing import Tariff
from .sharing import Floats

_OUTCOMES = 200
"""Steps in which the gains after a survey enter the order."""


@dataclass(frozen=True, slots=True)
class SurveyChoice:
    """A survey of one boat, in the project's currency.

    Attributes
    ----------
    gain
        What she is worth beyond all that she costs, as far as is known now.
    index
        The gain in hand at which it stops being worth while to survey her.
    worth
        Worth of knowing, one step ahead, for the choice among the boats and none.
    net
        worth - fee.
    covers
        How many doubtful checks the survey answers.
    """

    boat: str
    name: str
    gain: Decimal
    index: Decimal
    worth: Decimal
    fee: Decimal
    net: Decimal
    covers: int


@dataclass(frozen=True, slots=True)
class BestSurvey:
    """The surveys in the order to make them.

    Attributes
    ----------
    look, title
        The survey that is meant: of the catalogue's looks the one that answers most.
    order
        Highest index first; boats without a doubt that it answers are left out.
    greedy
        The boat whose survey has the highest worth less fee; empty when none pays.
    expected_worth
        Mean gain of surveying in this order and stopping by the index; nothing for buying none.
    """

    look: str
    title: str
    order: tuple[SurveyChoice, ...]
    greedy: str
    expected_worth: Decimal
    sentence: str

    @property
    def first(self) -> str:
        """The boat to survey first; empty when there is none."""
        return self.order[0].boat if self.order else ""


def best_survey(assessment: Assessment) -> BestSurvey:
    """Which boat to have surveyed first among those still in the running."""
    running = {
        one.id: (one, doubt_columns(one))
        for one in assessment.boats.values()
        if one.offer.gain is not None and not one.candidate.boat.archived
    }
    look = _widest(assessment, running)
    if look is None:
        none = _sentence((), "", assessment.catalogue.wording)
        return BestSurvey("", "", (), "", Decimal(0), none)
    made = {boat_id: _outcome(assessment, look, boat_id, running) for boat_id in running}
    surveys = {boat_id: one for boat_id, one in made.items() if one is not None}
    return _ordered(assessment, look, surveys)


def _widest(
    assessment: Assessment, running: Mapping[str, tuple[BoatAssessment, Doubts]]
) -> Look | None:
    """The look that answers most of what the doubts of all boats may cost."""
    answered = {
        look.id: sum(
            doubts.items[place].chance * doubts.items[place].loss
            for _, doubts in running.values()
            for place in covered_by(look, doubts.items)
        )
        for look in assessment.catalogue.looks.values()
    }
    best = max(answered, key=lambda name: answered[name], default="")
    return assessment.catalogue.looks[best] if best and answered[best] > 0 else None


@dataclass(frozen=True, slots=True, eq=False)
class _Outcome:
    """A boat, her gain after each pattern of answers, and the best gain without her."""

    boat: BoatAssessment
    gain: float
    gains: Floats
    other: float
    covers: int


def _outcome(
    assessment: Assessment,
    look: Look,
    boat_id: str,
    running: Mapping[str, tuple[BoatAssessment, Doubts]],
) -> _Outcome | None:
    boat, doubts = running[boat_id]
    covered = covered_by(look, doubts.items)
    if not covered:
        return None
    gains_now = {key: float(one.offer.gain or 0) for key, (one, _) in running.items()}
    ranks = answer_ranks(boat, doubts, pool_for(assessment.project.settings.seed, PATTERNS))
    answers = answers_to(doubts, covered, float(look.sees), float(look.false_alarm), ranks)
    gains = gains_after(doubts, answers, gains_now[boat_id])
    other = max([0.0, *(gain for key, gain in gains_now.items() if key != boat_id)])
    return _Outcome(boat, gains_now[boat_id], gains, other, len(covered))


def _ordered(assessment: Assessment, look: Look, surveys: Mapping[str, _Outcome]) -> BestSurvey:
    settings = assessment.project.settings
    fee = fee_of(look, settings.look_fees, Tariff(assessment.project, assessment.catalogue))
    plan = survey_plan(
        [
            SurveyCandidate(boat_id, _steps(one.gains), (1 / _OUTCOMES,) * _OUTCOMES, float(fee))
            for boat_id, one in surveys.items()
        ]
    )
    order = tuple(_choice(surveys[boat_id], index, fee) for boat_id, index in plan.order)
    paying = [one for one in order if one.net > 0]
    greedy = max(paying, key=lambda one: one.net).boat if paying else ""
    worth = cents(plan.expected_worth, settings.currency)
    sentence = _sentence(order, greedy, assessment.catalogue.wording)
    return BestSurvey(look.id, look.title, order, greedy, worth, sentence)


def _steps(gains: Floats) -> tuple[float, ...]:
    """The gains in equal steps of chance, each at its mean."""
    groups = np.array_split(np.sort(gains), _OUTCOMES)
    return tuple(float(group.mean()) for group in groups)


def _choice(outcome: _Outcome, index: float, fee: Decimal) -> SurveyChoice:
    boat = outcome.boat
    worth = cents(worth_after(outcome.gains, outcome.other), boat.currency)
    return SurveyChoice(
        boat=boat.id,
        name=boat.candidate.boat.name,
        gain=cents(outcome.gain, boat.currency),
        index=cents(index, boat.currency),
        worth=worth,
        fee=fee,
        net=worth - fee,
        covers=outcome.covers,
    )


def _sentence(order: tuple[SurveyChoice, ...], greedy: str, wording: Wording) -> str:
    if not order:
        return wording.say("No survey would answer anything.")
    first = order[0]
    if not greedy:
        return wording.say(
            "No survey pays for itself by what it could change. If one is to be made all the "
            "same, for a lender, an insurer or peace of mind, begin with {boat}.",
            boat=first.name,
        )
    if greedy == first.boat:
        return wording.say("Have {boat} surveyed first.", boat=first.name)
    other = next(one.name for one in order if one.boat == greedy)
    return wording.say(
        "If several are to be surveyed begin with {boat}; if only one, {other} gains most by it.",
        boat=first.name,
        other=other,
    )
