"""What to look at next: for every doubtful check and every professional, what knowing is worth.

Knowing is worth money only if it can change the choice among the boats and none. A check on one
boat moves only her expected gain, so its worth is exact: the mean of the best choice after the
answer, less the best choice now. A professional answers many checks at once; patterns of answers
are drawn and the boat's expected gain after each is exact, shared access work included
(`packages`). The fee comes off, the best is named, and when nothing pays the advice is to stop and
decide. This looks one step ahead: two looks that are worth nothing one by one may pay together.

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
    answer_ranks,
    doubt_columns,
    doubts_of,
    gains_after,
    worth_after,
)
from .pricing import Tariff, limits_of

__all__ = [
    "MINUTE_WORTH",
    "Advice",
    "Doubt",
    "NextLooks",
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
class NextLooks:
    """All looks, best first, and whether to stop looking and decide."""

    advice: tuple[Advice, ...]
    stop: bool
    sentence: str


def next_looks(assessment: Assessment) -> NextLooks:
    """Rank every look on every boat that is still in the running."""
    gains = {
        one.id: float(one.offer.gain)
        for one in assessment.boats.values()
        if one.offer.gain is not None and not one.candidate.boat.archived
    }
    made: list[Advice] = []
    for boat_id, gain in gains.items():
        boat = assessment.boats[boat_id]
        other = max([0.0, *(value for key, value in gains.items() if key != boat_id)])
        doubts = doubt_columns(boat)
        made += _own_looks(boat, doubts.items, gain, other)
        made += _professionals(assessment, boat, doubts, gain, other)
    made.sort(key=lambda one: (-one.net, one.boat, one.check, one.look))
    return _concluded(tuple(made))


def _concluded(advice: tuple[Advice, ...]) -> NextLooks:
    if not advice:
        return NextLooks((), stop=True, sentence="There is nothing left to look at. Decide now.")
    best = advice[0]
    if best.net > 0:
        return NextLooks(advice, stop=False, sentence=f"Look next: {best.title}.")
    sentence = "Stop here and decide: no further look is worth what it costs."
    return NextLooks(advice, stop=True, sentence=sentence)


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
    assessment: Assessment, boat: BoatAssessment, doubts: Doubts, gain: float, other: float
) -> list[Advice]:
    settings = assessment.project.settings
    tariff = Tariff(assessment.project, assessment.catalogue)
    answers = answer_ranks(boat, doubts, pool_for(settings.seed, PATTERNS))
    made: list[Advice] = []
    for look in assessment.catalogue.looks.values():
        covered = covered_by(look, doubts.items)
        if not covered:
            continue
        sees, false_alarm = float(look.sees), float(look.false_alarm)
        gains = gains_after(doubts, covered, sees, false_alarm, gain, answers)
        worth = cents(worth_after(gains, other), boat.currency)
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
