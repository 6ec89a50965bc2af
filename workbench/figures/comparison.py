"""The boats beside each other: chance of being best, regret, dominance, must-haves, ratios.

All boats are held against each other on the same draws, because a dear yard region is dear for
every one of them. "Best" here is the least cost to ready; what a boat is worth to the buyer comes
off it, so that a liked boat may cost more. Boats that are put away are left out.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal

import numpy as np

from workbench.catalogue.model import Catalogue
from workbench.catalogue.names import dimension_words
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.domain.settings import MustHave

from .assessment import SAILING, Assessment, BoatAssessment, Line
from .design_ratios import Dimensions, Missing, Ratio, design_ratios
from .percentiles import CurvePoint, s_curve
from .sensitivity import (
    Swing,
    chances_best,
    chances_worst,
    expected_regret,
    first_order_dominance,
    tornado,
)
from .threepoint import variances


@dataclass(frozen=True, slots=True)
class Standing:
    """How one boat stands among the others.

    Attributes
    ----------
    chance_best, chance_worst
        Over the common draws, ties shared; None when she has no price.
    regret
        Expected cost of choosing her rather than whichever turns out best.
    beats
        Ids of boats she beats at every level of the cost.
    missing_must_haves
        What she fails, as sentences.
    s_curve
        Points of the chance of staying under a cost.
    """

    boat: BoatAssessment
    chance_best: float | None
    chance_worst: float | None
    regret: Decimal | None
    beats: tuple[str, ...]
    missing_must_haves: tuple[str, ...]
    ratios: tuple[Ratio | Missing, ...]
    s_curve: tuple[CurvePoint, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """All boats that are not put away, least expected cost first, less what she is worth beside."""

    standings: tuple[Standing, ...]
    swings: tuple[Swing, ...]


def compare(assessment: Assessment) -> Comparison:
    """Hold all boats of a project against each other."""
    boats = [one for one in assessment.boats.values() if not one.candidate.boat.archived]
    priced = [one for one in boats if one.purchase is not None]
    ranked = _ranked(priced)
    standings = [_standing(one, ranked, assessment) for one in boats]
    standings.sort(key=lambda one: _net(one.boat))
    return Comparison(tuple(standings), tornado(_swings(standings)))


@dataclass(frozen=True, slots=True)
class _Ranked:
    ids: tuple[str, ...]
    best: tuple[float, ...]
    worst: tuple[float, ...]
    regret: tuple[float, ...]
    dominates: tuple[tuple[bool, ...], ...]


def _ranked(boats: Sequence[BoatAssessment]) -> _Ranked:
    if not boats:
        return _Ranked((), (), (), (), ())
    totals = np.stack([one.draws.ready - float(one.worth_to_me) for one in boats])
    return _Ranked(
        tuple(one.id for one in boats),
        tuple(chances_best(totals).tolist()),
        tuple(chances_worst(totals).tolist()),
        tuple(expected_regret(totals).tolist()),
        tuple(tuple(row) for row in first_order_dominance(totals).tolist()),
    )


def _net(boat: BoatAssessment) -> tuple[bool, Decimal]:
    return (boat.purchase is None, boat.cost_to_ready.mean - boat.worth_to_me)


def _standing(boat: BoatAssessment, ranked: _Ranked, assessment: Assessment) -> Standing:
    place = ranked.ids.index(boat.id) if boat.id in ranked.ids else None
    return Standing(
        boat=boat,
        chance_best=None if place is None else ranked.best[place],
        chance_worst=None if place is None else ranked.worst[place],
        regret=None if place is None else Decimal(round(ranked.regret[place])),
        beats=()
        if place is None
        else tuple(
            other
            for other, beaten in zip(ranked.ids, ranked.dominates[place], strict=True)
            if beaten and other != boat.id
        ),
        missing_must_haves=tuple(
            sentence
            for must in assessment.project.settings.must_haves
            if (sentence := fails(boat, must, assessment.catalogue)) is not None
        ),
        ratios=design_ratios(dimensions_of(boat)),
        s_curve=s_curve(boat.draws.ready, 51),
    )


def fails(boat: BoatAssessment, must: MustHave, catalogue: Catalogue) -> str | None:
    """Why a boat fails a must-have; None when she meets it. An unknown size fails nothing."""
    measured = boat.candidate.boat.dimensions.get(must.dimension)
    if measured is None:
        return None
    for limit, least in ((must.at_least, True), (must.at_most, False)):
        if limit is not None and _outside(measured, limit, least=least):
            return catalogue.wording.say(
                "{what} {is_now:f} {unit}, wanted at least {limit:f} {of_limit}"
                if least
                else "{what} {is_now:f} {unit}, wanted at most {limit:f} {of_limit}",
                what=dimension_words(catalogue, must.dimension),
                is_now=measured.number,
                unit=measured.unit,
                limit=limit.number,
                of_limit=limit.unit,
            )
    return None


def _outside(measured: Quantity, limit: Quantity, *, least: bool) -> bool:
    value = measured.exact(limit.unit)
    return value < limit.number if least else value > limit.number


def dimensions_of(boat: BoatAssessment) -> Dimensions:
    """A boat's sizes for the design ratios, in SI units."""
    known = boat.candidate.boat.dimensions

    def value(name: str, unit: str) -> float | None:
        measured = known.get(name)
        return measured.value(unit) if measured is not None and measured.number > 0 else None

    return Dimensions(
        loa_m=value("loa", "m"),
        lwl_m=value("lwl", "m"),
        beam_m=value("beam", "m"),
        displacement_kg=value("displacement", "kg"),
        ballast_kg=value("ballast", "kg"),
        sail_area_m2=value("sail-area", "m2"),
    )


_MOST_SWINGS = 25


def _swings(standings: Sequence[Standing]) -> list[Swing]:
    """How far each job could move its boat's expected cost: from not needed to certain.

    For found work the swing is the range of its cost; for unseen work its whole cost. Only the jobs
    that make their boat's cost most uncertain are told: dear work that hardly ever comes does not.
    """
    jobs = [
        (standing.boat, line)
        for standing in standings
        for line in standing.boat.lines
        if line.counts and (line.part.allowed_for or line.when in SAILING)
    ]
    jobs.sort(key=lambda job: (-_spread(job[1]), job[0].id, job[1].key))
    return [_swing(boat, line) for boat, line in jobs[:_MOST_SWINGS]]


def _spread(line: Line) -> float:
    """Standard deviation of what a line costs, whether it is needed included."""
    own = float(variances(*line.cost, triangular=line.triangular))
    return math.sqrt(line.chance * own + line.chance * (1.0 - line.chance) * line.mean**2)


def _swing(boat: BoatAssessment, line: Line) -> Swing:
    low, high = (0.0, line.mean) if line.part.allowed_for else (line.cost.lowest, line.cost.highest)
    base = float(boat.cost_to_ready.mean) - float(line.counted)
    return Swing(f"{boat.candidate.boat.name}: {line.title}", base + low, base + high)
