"""What to look at next: for every doubtful check and every professional, what knowing is worth.

Knowing is worth money only if it can change the choice among the boats and none. A check on one
boat moves only her expected gain, so its worth is exact: the mean of the best choice after the
answer, less the best choice now. A professional answers many checks at once. The fee comes off,
the best is named, and when nothing pays the advice is to stop and decide.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from workbench.catalogue.model import Look
from workbench.domain.money import cents

from .assessment import Assessment, BoatAssessment, Line
from .knowing import Look as SingleLook
from .knowing import PackageItem, package_worth, two_outcome_looks
from .pricing import Tariff, limits_of

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


@dataclass(frozen=True, slots=True)
class Doubt:
    """A doubtful finding: its chance, and what its cost would be if it is real."""

    line: Line
    chance: float
    loss: float


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
        doubts = doubts_of(boat)
        made += _own_looks(boat, doubts, gain, other)
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


def doubts_of(boat: BoatAssessment) -> tuple[Doubt, ...]:
    """Every finding of a boat whose chance lies between nothing and certainty, a job at a time.

    The loss is what the boat's expected cost rises by when the finding turns from not there to
    there: its own cost, and its access work in the cases where nothing else needs it.
    """
    jobs: dict[str, list[Line]] = {}
    for line in boat.lines:
        if line.counts and line.finding is not None and 0 < line.chance < 1:
            jobs.setdefault(line.job, []).append(line)
    access = {(one.task.id, one.when): one for one in boat.access if not one.left_out}
    made: list[Doubt] = []
    for lines in jobs.values():
        first = lines[0]
        loss = sum(line.mean for line in lines)
        for task in first.access:
            charge = access.get((task, first.when))
            if charge is not None:
                loss += charge.mean * min((1 - charge.chance_any) / (1 - first.chance), 1.0)
        made.append(Doubt(first, first.chance, loss))
    return tuple(made)


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
    doubts: tuple[Doubt, ...],
    gain: float,
    other: float,
) -> list[Advice]:
    project = assessment.project
    tariff = Tariff(project, assessment.catalogue)
    made: list[Advice] = []
    for look in assessment.catalogue.looks.values():
        covered = [one for one in doubts if _covers(look, one)]
        if not covered:
            continue
        items = [
            PackageItem(one.chance, one.loss, float(look.sees), 1 - float(look.false_alarm))
            for one in _weightiest(covered)
        ]
        worth = package_worth(items, gain, other, draws=4_000, seed=project.settings.seed)
        fee = _fee(look, project.settings.look_fees, tariff)
        worth_shown = cents(worth, boat.currency)
        made.append(
            Advice(
                boat=boat.id,
                check="",
                look=look.id,
                title=look.title,
                who=look.who,
                chance=max(one.chance for one in covered),
                worth=worth_shown,
                fee=fee,
                net=worth_shown - fee,
                if_found=None,
                if_clear=None,
                covers=len(covered),
            )
        )
    return made


def _covers(look: Look, doubt: Doubt) -> bool:
    finding = doubt.line.finding
    if finding is None:
        return False
    return finding.check.system in look.systems or finding.check.id in look.checks


def _weightiest(doubts: list[Doubt]) -> list[Doubt]:
    """The doubts that can move the choice most; the small rest hardly can."""
    spread = sorted(doubts, key=lambda one: -one.loss * (one.chance * (1 - one.chance)) ** 0.5)
    return spread[:40]


def _fee(look: Look, own: Mapping[str, Decimal], tariff: Tariff) -> Decimal:
    currency = tariff.settings.currency
    if look.id in own:
        return cents(own[look.id], currency)
    return cents(limits_of(look.fee).mean * tariff.exchange, currency)
