"""What the next look is worth: expected value of information, less its fee.

A look is worth money only if some result of it would change what is done. All gains are the
buyer's expected net gain (worth less everything paid), and "buy none", worth 0, is always one of
the choices. Three ways to the same quantity:

- one boat, one doubtful thing, two outcomes: exact, all looks at once (`two_outcome_looks`);
- several boats or a payoff that is not linear: regression on common draws (`worth_of_signal`),
  the method of Strong, Oakley and Brennan (2014), with the same draws for the maximum and the mean;
- two acts with a normal gain difference: the unit normal loss (`two_act_evpi`, `two_act_evsi`).

``0 <= EVSI <= EVPPI <= EVPI`` holds in every result. Values of several looks do not add.
Sensitivity and specificity of a layperson's look are assumptions and belong beside the result.
`rank_looks` looks one step ahead and can say: stop, decide. `pandora_index` answers which boat to
survey first when a survey shows the whole value and boats are independent (Weitzman 1979).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from workbench.domain.record import dataclass

FloatArray = npt.NDArray[np.float64]

_LEVELS_TAKEN_AS_GROUPS = 12
_ITEMS_ENUMERATED = 14


# --- One boat, one doubtful thing ---


@dataclass(frozen=True, slots=True)
class Look:
    """One look at one doubtful thing on one boat.

    `chance` is the chance that the defect is there now. `gain_if_present` and `gain_if_absent` are
    the boat's expected gain given each, all other doubts left as they are. `sensitivity` is
    the chance that the look shows a real defect, `specificity` that it shows none where there
    is none. `fee` holds all that the look still costs: travel, yard time, delay.
    """

    name: str
    boat: str
    chance: float
    sensitivity: float
    specificity: float
    gain_if_present: float
    gain_if_absent: float
    fee: float


@dataclass(frozen=True, slots=True)
class LookValues:
    """Results for many looks; every array has shape (looks,)."""

    chance_seen: FloatArray
    chance_if_seen: FloatArray
    chance_if_not_seen: FloatArray
    gain_now: FloatArray
    gain_if_seen: FloatArray
    gain_if_not_seen: FloatArray
    evppi: FloatArray
    evsi: FloatArray


def posterior(
    chance: FloatArray | float, share_if_present: FloatArray, share_if_absent: FloatArray
) -> FloatArray:
    """Chance that a defect is there after an outcome seen with these two shares (Bayes)."""
    present = np.asarray(chance * share_if_present, dtype=np.float64)
    total = present + (1 - np.asarray(chance)) * share_if_absent
    prior = np.broadcast_to(np.asarray(chance, dtype=np.float64), total.shape)
    return np.divide(present, total, out=prior.copy(), where=total > 0)


def two_outcome_looks(
    *,
    chance: FloatArray,
    sensitivity: FloatArray,
    specificity: FloatArray,
    gain_if_present: FloatArray,
    gain_if_absent: FloatArray,
    best_other: FloatArray,
) -> LookValues:
    """Exact worth of many single-boat looks; every input has shape (looks,).

    `best_other` is the best expected gain among the other boats; buying none lifts it to 0.
    With M = max(0, best other) and m the boat's gain: EVSI = E[max(m | outcome, M)] - max(m, M).
    """
    for share in (chance, sensitivity, specificity):
        if not np.all((share >= 0) & (share <= 1)):
            raise ValueError("chances, sensitivities and specificities lie between 0 and 1")
    rival = np.maximum(best_other, 0.0)

    def gain(probability: FloatArray) -> FloatArray:
        return gain_if_absent + probability * (gain_if_present - gain_if_absent)

    seen = chance * sensitivity + (1 - chance) * (1 - specificity)
    if_seen = posterior(chance, sensitivity, 1 - specificity)
    if_not = posterior(chance, 1 - sensitivity, specificity)
    evppi = _two_way_worth(chance, gain_if_present, gain_if_absent, rival)
    evsi = _two_way_worth(seen, gain(if_seen), gain(if_not), rival)
    gains = (gain(chance), gain(if_seen), gain(if_not))
    return LookValues(seen, if_seen, if_not, *gains, evppi, np.minimum(evsi, evppi))


def _two_way_worth(
    chance: FloatArray, gain_one: FloatArray, gain_other: FloatArray, rival: FloatArray
) -> FloatArray:
    """E[max(gain, rival)] - max(E[gain], rival) over two outcomes; exactly 0 if the act stays."""
    informed = chance * np.maximum(gain_one, rival) + (1 - chance) * np.maximum(gain_other, rival)
    blind = np.maximum(chance * gain_one + (1 - chance) * gain_other, rival)
    same_act = (gain_one >= rival) == (gain_other >= rival)
    return np.where(same_act, 0.0, np.maximum(informed - blind, 0.0))


@dataclass(frozen=True, slots=True)
class LookAdvice:
    """A look with what it is worth; `net` is its EVSI less its fee."""

    look: Look
    evsi: float
    evppi: float
    net: float
    chance_seen: float
    gain_if_seen: float
    gain_if_not_seen: float
    changes_choice: bool


@dataclass(frozen=True, slots=True)
class NextLook:
    """All looks, best net worth first, and whether to stop looking and decide."""

    ranked: tuple[LookAdvice, ...]
    stop: bool
    sentence: str


def rank_looks(looks: Sequence[Look], best_other: Mapping[str, float]) -> NextLook:
    """Rank looks by EVSI less fee, one step ahead.

    `best_other` gives, for each boat, the best expected gain among the *other* boats (it may be
    negative: buying none counts as 0). `package_worth` values looks bought together, which this
    ranking cannot see.
    """
    if not looks:
        return NextLook((), stop=True, sentence="Nothing is left to look at: decide now.")

    def column(name: str) -> FloatArray:
        return np.array([getattr(look, name) for look in looks], dtype=np.float64)

    values = two_outcome_looks(
        chance=column("chance"),
        sensitivity=column("sensitivity"),
        specificity=column("specificity"),
        gain_if_present=column("gain_if_present"),
        gain_if_absent=column("gain_if_absent"),
        best_other=np.array([best_other[look.boat] for look in looks], dtype=np.float64),
    )
    advice = (_advice(look, values, row) for row, look in enumerate(looks))
    ranked = tuple(sorted(advice, key=lambda one: (-one.net, one.look.name)))
    return _next_look(ranked)


def _advice(look: Look, values: LookValues, row: int) -> LookAdvice:
    evsi = float(values.evsi[row])
    return LookAdvice(
        look,
        evsi,
        float(values.evppi[row]),
        evsi - look.fee,
        float(values.chance_seen[row]),
        float(values.gain_if_seen[row]),
        float(values.gain_if_not_seen[row]),
        changes_choice=evsi > 0,
    )


def _next_look(ranked: tuple[LookAdvice, ...]) -> NextLook:
    best = ranked[0]
    if best.net > 0:
        sentence = f"Next: {best.look.name}. No other single look is worth more above its fee."
        return NextLook(ranked, stop=False, sentence=sentence)
    some = any(one.changes_choice for one in ranked)
    why = "no single look is worth its fee" if some else "no single look can change the choice"
    return NextLook(ranked, stop=True, sentence=f"Stop here and decide now: {why}.")


# --- A professional who looks at many things at once ---


@dataclass(frozen=True, slots=True)
class PackageItem:
    """One doubtful thing a package covers; `loss` is gain if absent less gain if present."""

    chance: float
    loss: float
    sensitivity: float = 1.0
    specificity: float = 1.0


def package_worth(
    items: Sequence[PackageItem],
    gain_now: float,
    best_other: float,
    *,
    draws: int = 20_000,
    seed: int = 0,
) -> float:
    """EVSI of seeing all items of a package at once on one boat.

    Items are taken as independent and losses as additive around `gain_now`; with shared access
    work that is approximate (`worth_of_signal` on draws is not). Up to 14 items every combination
    is counted; beyond, outcomes are drawn from the seed.
    """
    if not items:
        return 0.0
    columns = [_item_outcomes(item) for item in items]
    if len(items) <= _ITEMS_ENUMERATED:
        shift, weight = _all_outcomes(columns)
    else:
        shift, weight = _drawn_outcomes(columns, draws, seed)
    gains, rival = gain_now + shift, max(best_other, 0.0)
    if np.all(gains >= rival) or np.all(gains <= rival):
        return 0.0
    informed = float(weight @ np.maximum(gains, rival))
    return max(informed - max(float(weight @ gains), rival), 0.0)


def _item_outcomes(item: PackageItem) -> tuple[float, float, float]:
    """Chance of seeing the defect, and how the gain moves if it is seen and if it is not."""
    hit, clear = np.array([item.sensitivity]), np.array([item.specificity])
    if_seen = float(posterior(item.chance, hit, 1 - clear)[0])
    if_not = float(posterior(item.chance, 1 - hit, clear)[0])
    seen = item.chance * item.sensitivity + (1 - item.chance) * (1 - item.specificity)
    return seen, (item.chance - if_seen) * item.loss, (item.chance - if_not) * item.loss


def _all_outcomes(columns: Sequence[tuple[float, float, float]]) -> tuple[FloatArray, FloatArray]:
    shift, weight = np.zeros(1), np.ones(1)
    for seen, if_seen, if_not in columns:
        shift = np.concatenate([shift + if_seen, shift + if_not])
        weight = np.concatenate([weight * seen, weight * (1 - seen)])
    return shift, weight


def _drawn_outcomes(
    columns: Sequence[tuple[float, float, float]], draws: int, seed: int
) -> tuple[FloatArray, FloatArray]:
    chances, if_seen, if_not = np.array(columns, dtype=np.float64).T
    seen = np.random.default_rng(seed).random((draws, len(columns))) < chances
    shift = np.where(seen, if_seen, if_not).sum(axis=1)
    return shift, np.full(draws, 1.0 / draws)


# --- Several boats: regression on common draws ---


def worth_of_certainty(gains: FloatArray) -> float:
    """EVPI from draws of the gains, shape (boats, draws): E[max gain] - max E[gain]."""
    return _max_of_means(_with_none(gains))


def worth_of_signal(gains: FloatArray, signal: FloatArray, *, degree: int = 3) -> float:
    """EVPPI of a parameter, or EVSI of an observation of it, from common draws.

    `gains` has shape (boats, draws); `signal` (draws,) or (signals, draws), from the same draws.
    Few distinct outcomes are averaged one by one (exact for these draws); otherwise gains are
    regressed on powers of the signals up to `degree`. The result is held inside [0, EVPI].
    """
    rows = _with_none(gains)
    columns = np.atleast_2d(np.asarray(signal, dtype=np.float64))
    if columns.shape[1] != rows.shape[1]:
        raise ValueError("gains and signal must come from the same draws")
    groups = _few_outcomes(columns)
    fitted = _regressed(rows, columns, degree) if groups is None else _group_means(rows, groups)
    return min(_max_of_means(fitted), _max_of_means(rows))


def _few_outcomes(columns: FloatArray) -> npt.NDArray[np.intp] | None:
    """Group number of each draw where the signals take few distinct outcomes, else None."""
    for part in (columns[:, :200], columns):  # a first glance spares sorting all draws
        outcomes, member = np.unique(part, axis=1, return_inverse=True)
        if outcomes.shape[1] > _LEVELS_TAKEN_AS_GROUPS:
            return None
    return np.asarray(member.reshape(-1))


def _with_none(gains: FloatArray) -> FloatArray:
    gains = np.atleast_2d(np.asarray(gains, dtype=np.float64))
    return np.vstack([np.zeros(gains.shape[1]), gains])


def _max_of_means(gains: FloatArray) -> float:
    return max(float(gains.max(axis=0).mean() - gains.mean(axis=1).max()), 0.0)


def _group_means(rows: FloatArray, member: npt.NDArray[np.intp]) -> FloatArray:
    counts = np.bincount(member)
    means = np.stack([np.bincount(member, weights=row) / counts for row in rows])
    return np.asarray(means[:, member])


def _regressed(rows: FloatArray, columns: FloatArray, degree: int) -> FloatArray:
    spread = columns.std(axis=1, keepdims=True)
    varying = columns[spread[:, 0] > 0]
    scaled = (varying - varying.mean(axis=1, keepdims=True)) / spread[spread[:, 0] > 0]
    basis = [np.ones((1, rows.shape[1])), *(scaled**power for power in range(1, degree + 1))]
    design = np.vstack(basis).T
    coefficients, *_ = np.linalg.lstsq(design, rows.T, rcond=None)
    return np.asarray((design @ coefficients).T)


# --- Two acts with a normal difference ---


def unit_normal_loss(z: float) -> float:
    """UNLI(z) = phi(z) - z (1 - Phi(z)): mean shortfall beyond z of a standard normal."""
    density = math.exp(-z * z / 2) / math.sqrt(2 * math.pi)
    return density - z * math.erfc(z / math.sqrt(2)) / 2


def two_act_evpi(mean: float, sd: float) -> float:
    """EVPI of two acts whose gains differ by a normal amount with this mean and sd."""
    return sd * unit_normal_loss(abs(mean) / sd) if sd > 0 else 0.0


def two_act_evsi(mean: float, sd: float, observation_sd: float) -> float:
    """EVSI of one observation with normal error `observation_sd` of that difference."""
    total = math.hypot(sd, observation_sd)
    return two_act_evpi(mean, sd * sd / total) if total > 0 else 0.0


# --- Which boat to survey first ---


@dataclass(frozen=True, slots=True)
class SurveyCandidate:
    """A boat whose survey shows her gain: possible gains, their chances, and what it costs."""

    name: str
    gains: tuple[float, ...]
    chances: tuple[float, ...]
    fee: float


@dataclass(frozen=True, slots=True)
class SurveyPlan:
    """Order of surveys, highest index first, and what following it is worth on average.

    Survey the first; stop as soon as the best gain in hand (0 for none) reaches the next index.
    """

    order: tuple[tuple[str, float], ...]
    expected_worth: float
    stop: bool


def pandora_index(candidate: SurveyCandidate) -> float:
    """Index z that solves fee = E[max(gain - z, 0)] (Weitzman 1979), exactly."""
    pairs = sorted(zip(candidate.gains, candidate.chances, strict=True), reverse=True)
    if candidate.fee <= 0:
        return pairs[0][0] if candidate.fee == 0 else math.inf
    total = weight = 0.0
    for position, (gain, chance) in enumerate(pairs):
        total, weight = total + chance * gain, weight + chance
        below = pairs[position + 1][0] if position + 1 < len(pairs) else -math.inf
        if weight > 0 and (index := (total - candidate.fee) / weight) >= below:
            return index
    raise ValueError(f"{candidate.name}: the chances must not all be zero")


def survey_plan(candidates: Sequence[SurveyCandidate], in_hand: float = 0.0) -> SurveyPlan:
    """Order independent surveys by index; worth is E[max(in hand, max_i min(gain_i, z_i))]."""
    indexed = [(one, pandora_index(one)) for one in candidates]
    order = sorted(((one.name, z) for one, z in indexed), key=lambda pair: (-pair[1], pair[0]))
    floor = max(in_hand, 0.0)
    capped = [(np.minimum(one.gains, z), np.asarray(one.chances)) for one, z in indexed]
    stop = not order or order[0][1] <= floor
    return SurveyPlan(tuple(order), _mean_of_highest(capped, floor), stop)


def _mean_of_highest(capped: Sequence[tuple[FloatArray, FloatArray]], floor: float) -> float:
    """E[max(floor, all variables)] of independent discrete variables, by their joint CDF."""
    points = np.concatenate([[floor], *(values for values, _ in capped)])
    support = np.unique(points[points >= floor])
    joint = np.ones(support.size)
    for values, chances in capped:
        joint *= (chances[None, :] * (values[None, :] <= support[:, None])).sum(axis=1)
    return float(support @ np.diff(joint, prepend=0.0))
