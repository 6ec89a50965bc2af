"""What to look at next: for every doubtful check and every professional, what knowing is worth.

Knowing is worth money only if it can change the choice among the boats and none. A check on one
boat moves only her expected gain, so its worth is exact: the mean of the best choice after the
answer, less the best choice now. A professional answers many checks at once; patterns of answers
are drawn and the boat's expected gain after each is exact, shared access work included
(`packages`). The fee comes off, the best is named, and when nothing pays the advice is to stop and
decide.

One own look can hardly change a choice by itself, so the open checks of each boat are also valued
together, as another visit (`visits`); the sentence names whichever is best.

Every look here touches one boat. What one finds on a boat is no news of the others, so nothing has
to be regressed on common draws; `knowing.worth_of_signal` is there for what touches several.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

import numpy as np

from workbench.catalogue.model import Look
from workbench.domain.money import cents
from workbench.domain.record import dataclass

from .assessment import Assessment, BoatAssessment
from .draws import pool_for
from .knowing import Look as SingleLook
from .knowing import two_outcome_looks
from .packages import (
    PATTERNS,
    Doubt,
    Doubts,
    Ranks,
    answer_ranks,
    answers_to,
    doubt_columns,
    doubts_of,
    gains_after,
    worth_after,
)
from .pricing import Tariff, limits_of
from .visits import OwnLooks, best_visit

__all__ = [
    "MINUTE_WORTH",
    "Advice",
    "Doubt",
    "NextLooks",
    "Visit",
    "covered_by",
    "doubts_of",
    "fee_of",
    "next_looks",
]

MINUTE_WORTH = 0.5
"""What a minute of the buyer's own looking is taken to cost [currency]; it ranks equal looks."""


@dataclass(frozen=True, slots=True)
class Advice:
    """One look and what it is worth.

    Attributes
    ----------
    check
        The check it answers; empty for a professional.
    look
        The professional or event; empty for the buyer's own look.
    worth, fee, net
        Expected worth of knowing for the choice, what it costs, and the difference.
    if_found, if_clear
        How the boat's expected gain stands after each answer; None for a professional.
    covers
        How many doubtful checks it answers.
    """

    boat: str
    check: str
    look: str
    title: str
    who: str
    chance: float
    worth: Decimal
    fee: Decimal
    net: Decimal
    if_found: Decimal | None
    if_clear: Decimal | None
    covers: int
    needs_afloat: bool = False


@dataclass(frozen=True, slots=True)
class Visit:
    """Another visit to a boat: the open checks that tell most for the time, looked at together.

    Attributes
    ----------
    checks
        Their ids, those first that tell most for each minute.
    minutes
        How long they take together.
    worth, fee, net
        Expected worth of knowing them all, what the time is taken to cost, and the difference.
    """

    boat: str
    checks: tuple[str, ...]
    minutes: int
    worth: Decimal
    fee: Decimal
    net: Decimal


@dataclass(frozen=True, slots=True)
class NextLooks:
    """All looks, best first, the best visit to each boat, and whether to stop and decide."""

    advice: tuple[Advice, ...]
    stop: bool
    sentence: str
    visits: tuple[Visit, ...] = ()


def next_looks(assessment: Assessment) -> NextLooks:
    """Rank every look on every boat that is still in the running."""
    gains = {
        one.id: float(one.offer.gain)
        for one in assessment.boats.values()
        if one.offer.gain is not None and not one.candidate.boat.archived
    }
    made: list[Advice] = []
    visits: list[Visit] = []
    pool = pool_for(assessment.project.settings.seed, PATTERNS)
    for boat_id, gain in gains.items():
        boat = assessment.boats[boat_id]
        other = max([0.0, *(value for key, value in gains.items() if key != boat_id)])
        doubts = doubt_columns(boat)
        ranks = answer_ranks(boat, doubts, pool)
        made += _own_looks(boat, doubts.items, gain, other)
        made += _professionals(assessment, boat, doubts, gain, other, ranks)
        visits += _visits(boat, doubts, gain, other, ranks)
    made.sort(key=lambda one: (-one.net, one.boat, one.check, one.look))
    visits.sort(key=lambda one: (-one.net, one.boat))
    return _concluded(assessment, tuple(made), tuple(visits))


def _concluded(
    assessment: Assessment, advice: tuple[Advice, ...], visits: tuple[Visit, ...]
) -> NextLooks:
    wording = assessment.catalogue.wording
    if not advice:
        sentence = wording.say("There is nothing left to look at. Decide now.")
        return NextLooks((), stop=True, sentence=sentence)
    best = advice[0]
    if visits and visits[0].net > max(best.net, Decimal(0)):
        visit = visits[0]
        name = assessment.boats[visit.boat].candidate.boat.name
        sentence = wording.say(
            "Look next: {boat} again, {n} open checks, about {minutes} minutes."
            if len(visit.checks) > 1
            else "Look next: {boat} again, one open check, about {minutes} minutes.",
            boat=name,
            n=len(visit.checks),
            minutes=visit.minutes,
        )
        return NextLooks(advice, stop=False, sentence=sentence, visits=visits)
    if best.net > 0:
        sentence = wording.say("Look next: {title}.", title=best.title)
        return NextLooks(advice, stop=False, sentence=sentence, visits=visits)
    sentence = wording.say("Stop here and decide: no further look is worth what it costs.")
    return NextLooks(advice, stop=True, sentence=sentence, visits=visits)


def _visits(
    boat: BoatAssessment, doubts: Doubts, gain: float, other: float, ranks: Ranks
) -> list[Visit]:
    """The best visit to a boat, if anything is open that can be looked at ashore."""
    checks = {
        place: one.line.finding.check
        for place, one in enumerate(doubts.items)
        if one.line.finding is not None
        and not one.line.finding.looked
        and one.line.finding.check.looks != "afloat"
    }
    if not checks:
        return []
    looks = OwnLooks(
        tuple(checks),
        np.array([float(check.judgement.sees) for check in checks.values()]),
        np.array([float(check.judgement.false_alarm) for check in checks.values()]),
        np.array([float(check.minutes) for check in checks.values()]),
    )
    best = best_visit(doubts, looks, gain, other, ranks, minute_worth=MINUTE_WORTH)
    if best is None:
        return []
    worth, fee = cents(best.worth, boat.currency), cents(best.fee, boat.currency)
    ids = tuple(checks[place].id for place in best.places)
    return [Visit(boat.id, ids, round(best.minutes), worth, fee, worth - fee)]


def _own_looks(
    boat: BoatAssessment, doubts: tuple[Doubt, ...], gain: float, other: float
) -> list[Advice]:
    """The buyer's own looks at checks that nobody has seen yet."""
    open_doubts = [one for one in doubts if one.line.finding and not one.line.finding.looked]
    if not open_doubts:
        return []
    looks = [_single(boat, one, gain) for one in open_doubts]
    values = two_outcome_looks(
        chance=np.array([look.chance for look in looks]),
        sensitivity=np.array([look.sensitivity for look in looks]),
        specificity=np.array([look.specificity for look in looks]),
        gain_if_present=np.array([look.gain_if_present for look in looks]),
        gain_if_absent=np.array([look.gain_if_absent for look in looks]),
        best_other=np.full(len(looks), other),
    )
    made: list[Advice] = []
    for row, (doubt, look) in enumerate(zip(open_doubts, looks, strict=True)):
        finding = doubt.line.finding
        if finding is None:
            continue
        worth = cents(float(values.evsi[row]), boat.currency)
        fee = cents(look.fee, boat.currency)
        made.append(
            Advice(
                boat=boat.id,
                check=finding.check.id,
                look="",
                title=finding.check.title,
                who="you",
                chance=doubt.chance,
                worth=worth,
                fee=fee,
                net=worth - fee,
                if_found=cents(float(values.gain_if_seen[row]), boat.currency),
                if_clear=cents(float(values.gain_if_not_seen[row]), boat.currency),
                covers=1,
                needs_afloat=finding.check.looks == "afloat",
            )
        )
    return made


def _single(boat: BoatAssessment, doubt: Doubt, gain: float) -> SingleLook:
    finding = doubt.line.finding
    assert finding is not None  # noqa: S101 - doubts are made of findings only
    judgement = finding.check.judgement
    return SingleLook(
        name=finding.check.title,
        boat=boat.id,
        chance=doubt.chance,
        sensitivity=float(judgement.sees),
        specificity=float(1 - judgement.false_alarm),
        gain_if_present=gain - (1 - doubt.chance) * doubt.loss,
        gain_if_absent=gain + doubt.chance * doubt.loss,
        fee=finding.check.minutes * MINUTE_WORTH,
    )


def _professionals(
    assessment: Assessment,
    boat: BoatAssessment,
    doubts: Doubts,
    gain: float,
    other: float,
    ranks: Ranks,
) -> list[Advice]:
    settings = assessment.project.settings
    tariff = Tariff(assessment.project, assessment.catalogue)
    made: list[Advice] = []
    for look in assessment.catalogue.looks.values():
        covered = covered_by(look, doubts.items)
        if not covered:
            continue
        sees, false_alarm = float(look.sees), float(look.false_alarm)
        answers = answers_to(doubts, covered, sees, false_alarm, ranks)
        worth = cents(worth_after(gains_after(doubts, answers, gain), other), boat.currency)
        fee = fee_of(look, settings.look_fees, tariff)
        made.append(
            Advice(
                boat=boat.id,
                check="",
                look=look.id,
                title=look.title,
                who=look.who,
                chance=max(doubts.items[place].chance for place in covered),
                worth=worth,
                fee=fee,
                net=worth - fee,
                if_found=None,
                if_clear=None,
                covers=len(covered),
            )
        )
    return made


def covered_by(look: Look, doubts: Sequence[Doubt]) -> list[int]:
    """Places of the doubts that a look answers."""
    return [
        place
        for place, doubt in enumerate(doubts)
        if doubt.line.finding is not None
        and (
            doubt.line.finding.check.system in look.systems
            or doubt.line.finding.check.id in look.checks
        )
    ]


def fee_of(look: Look, own: Mapping[str, Decimal], tariff: Tariff) -> Decimal:
    """What a look costs: the buyer's own figure, or the book's in the project's currency."""
    currency = tariff.settings.currency
    if look.id in own:
        return cents(own[look.id], currency)
    return cents(limits_of(look.fee).mean * tariff.exchange, currency)
