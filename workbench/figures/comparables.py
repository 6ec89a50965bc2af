"""What boats like her fetch: comparables adjusted to the subject, and what they say together.

A comparable is adjusted *to the subject*, never the other way round: one that is better comes down,
one that is worse goes up. First the terms of sale (an asking price to a selling price, the date),
then the boat herself (length, age, condition, equipment). The subject's condition here is the one
the worth is wanted in: deduct only excess wear from it afterwards, or condition counts twice.

How the prices are read depends on how many there are:

- none: the asking price stands in, and the result says so;
- one to four: a list, its median and its range, no statistics;
- five and more: median with a prediction interval for one more price, and a conjugate Bayesian
  line on length and age with weak prior slopes (the user's own rates); twelve and more, also
  a robust line (Huber, or Theil-Sen where length and age go together) with sign limits. Each is
  scored by leaving one boat out at a time; the one whose median miss is least is taken and named
  (a mean of squares would let one absurd price choose the method).

The result is an indication from the comparables the user entered. It is not an appraisal.
Prices are floats of one currency, lengths metres, ages years.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from statistics import median

import numpy as np

from workbench.catalogue.wording import ENGLISH_WORDING, Wording, marked
from workbench.domain.record import dataclass
from workbench.figures.adjustments import (
    GROSS_GUIDE,
    NET_GUIDE,
    AdjustedComparable,
    AdjustmentLine,
    AskedToSold,
    Comparable,
    Features,
    PriceKind,
    Rates,
    adjust,
)
from workbench.figures.small_samples import (
    FloatArray,
    Interval,
    LineBelief,
    huber_line,
    prediction_interval,
    robust_interval,
    theil_sen,
)

__all__ = [
    "GROSS_GUIDE",
    "NET_GUIDE",
    "AdjustedComparable",
    "AdjustmentLine",
    "AskedToSold",
    "Comparable",
    "Features",
    "Indication",
    "Method",
    "PriceKind",
    "Rates",
    "adjust",
    "indicate",
    "robust_line",
]

_FEW, _MANY = 5, 12
_TIED_TOGETHER = 0.8
_PRIOR_SPREAD = 0.15


class Method(Enum):
    """How an indication was made."""

    ASKING_PRICE = "asking price stands in: no comparables were entered"
    LIST = marked("median and range of a short list")
    MEDIAN = marked("median with a prediction interval")
    BAYES_LINE = marked("Bayesian line on length and age with weak prior slopes")
    ROBUST_LINE = marked("robust line on length and age")


@dataclass(frozen=True, slots=True)
class Indication:
    """What the comparables indicate the subject would fetch, in the condition given for her.

    `low` and `high` are the range of a short list, or an 80 % interval for one more price.
    `by_factor` is the value at the low and the high asked-to-sold factor. `errors` holds each
    method tried with its leave-one-out error (median absolute miss), least first.
    """

    method: Method
    value: float
    low: float
    high: float
    count: int
    bracketed: bool
    by_factor: tuple[float, float]
    errors: tuple[tuple[Method, float], ...]
    adjusted: tuple[AdjustedComparable, ...]
    notes: tuple[str, ...]

    def sentence(self, wording: Wording = ENGLISH_WORDING) -> str:
        """What the value is, in one sentence."""
        if self.method is Method.ASKING_PRICE:
            return wording.say(
                "No comparables: the asking price stands in for the worth. This is no valuation."
            )
        return wording.say(
            "An indication from {n} comparable entered by the user ({method}); not an appraisal."
            if self.count == 1
            else "An indication from {n} comparables entered by the user ({method}); "
            "not an appraisal.",
            n=self.count,
            method=wording.word(self.method.value),
        )


def indicate(
    comparables: Sequence[Comparable],
    subject: Features,
    rates: Rates,
    asking_price: float,
    wording: Wording = ENGLISH_WORDING,
) -> Indication:
    """Read the comparables by the method their number allows."""
    if not comparables:
        both = (asking_price, asking_price)
        return Indication(Method.ASKING_PRICE, asking_price, *both, 0, False, both, (), (), ())
    adjusted = tuple(adjust(one, subject, rates) for one in comparables)
    errors = _errors(comparables, subject, rates)
    method = errors[0][0] if errors else Method.LIST
    value, low, high = _read(method, comparables, subject, rates, None)
    belief = rates.asked_to_sold
    by_factor = (
        _read(method, comparables, subject, rates, belief.low)[0],
        _read(method, comparables, subject, rates, belief.high)[0],
    )
    bracketed = len({one.superior for one in adjusted if one.net_share}) == 2
    notes = _notes(comparables, adjusted, wording, bracketed=bracketed)
    return Indication(
        method, value, low, high, len(adjusted), bracketed, by_factor, errors, adjusted, notes
    )


def _read(
    method: Method,
    comparables: Sequence[Comparable],
    subject: Features,
    rates: Rates,
    factor: float | None,
) -> tuple[float, float, float]:
    """Value, low and high by one method."""
    prices = [adjust(one, subject, rates, factor).adjusted for one in comparables]
    if method is Method.LIST:
        return median(prices), min(prices), max(prices)
    interval = _interval(method, comparables, subject, rates, factor)
    value = median(prices) if method is Method.MEDIAN else interval.centre
    return max(value, 0.0), max(interval.low, 0.0), max(interval.high, 0.0)


def _interval(
    method: Method,
    comparables: Sequence[Comparable],
    subject: Features,
    rates: Rates,
    factor: float | None,
) -> Interval:
    if method is Method.MEDIAN:
        return prediction_interval(
            [adjust(one, subject, rates, factor).adjusted for one in comparables]
        )
    design, prices = _line_data(comparables, subject, rates, factor)
    at = np.array([1.0, 0.0, 0.0])
    if method is Method.BAYES_LINE:
        return _prior(prices, rates).updated(design, prices).one_more(at)
    return robust_interval(design, prices, robust_line(design, prices), at)


def _line_data(
    comparables: Sequence[Comparable], subject: Features, rates: Rates, factor: float | None
) -> tuple[FloatArray, FloatArray]:
    """Design (ones, length and age less the subject's) and prices adjusted for all else."""
    rows, prices = [], []
    for one in comparables:
        lines = {line.name: line.amount for line in adjust(one, subject, rates, factor).lines}
        rows.append(
            (
                1.0,
                one.features.length_m - subject.length_m,
                one.features.age_years - subject.age_years,
            )
        )
        prices.append(one.price + sum(lines.values()) - lines["length"] - lines["age"])
    return np.array(rows), np.array(prices)


def _prior(prices: FloatArray, rates: Rates) -> LineBelief:
    """Weak belief: level free, slopes as the user's rates but as uncertain as they are large."""
    level = float(np.median(prices))
    spread = max(abs(level) * _PRIOR_SPREAD, 1e-9)
    slopes = np.array([level * rates.per_metre, -level * rates.per_year_of_age])
    deviations = np.maximum(np.abs(slopes), spread / 100) / spread
    precision = np.diag([1 / 100, *(1 / deviations**2)])
    return LineBelief(np.array([level, *slopes]), precision, 1.0, spread**2)


def robust_line(design: FloatArray, prices: FloatArray) -> FloatArray:
    """Level and slopes on length and age: longer is not cheaper, older not dearer.

    Where length and age go together only the one that tells more is used, by Theil-Sen.
    """
    varying = [column for column in (1, 2) if np.ptp(design[:, column]) > 0]
    if len(varying) == 2 and abs(np.corrcoef(design[:, 1], design[:, 2])[0, 1]) < _TIED_TOGETHER:
        return huber_line(design, prices, (0, 1, -1))
    fits = [_one_driver(design, prices, column) for column in varying]
    level_only = np.array([np.median(prices), 0.0, 0.0])
    return min([level_only, *fits], key=lambda fit: float(np.median(np.abs(prices - design @ fit))))


def _one_driver(design: FloatArray, prices: FloatArray, column: int) -> FloatArray:
    level, slope = theil_sen(design[:, column], prices)
    if slope * (1 if column == 1 else -1) < 0:
        level, slope = float(np.median(prices)), 0.0
    fitted = np.zeros(3)
    fitted[0], fitted[column] = level, slope
    return fitted


# --- Leaving one out ---


def _errors(
    comparables: Sequence[Comparable], subject: Features, rates: Rates
) -> tuple[tuple[Method, float], ...]:
    """Median miss of each method allowed by the count, least first."""
    if len(comparables) < _FEW:
        return ()
    methods = [Method.MEDIAN, Method.BAYES_LINE]
    if len(comparables) >= _MANY:
        methods.append(Method.ROBUST_LINE)
    missed = [(method, _leave_one_out(method, comparables, subject, rates)) for method in methods]
    return tuple(sorted(missed, key=lambda pair: pair[1]))


def _leave_one_out(
    method: Method, comparables: Sequence[Comparable], subject: Features, rates: Rates
) -> float:
    """Miss when each boat's price, freed of all but length and age, is told from the others."""
    misses = []
    for place, left_out in enumerate(comparables):
        others = [*comparables[:place], *comparables[place + 1 :]]
        own = left_out.features
        as_subject = Features(own.length_m, own.age_years, subject.condition, subject.equipment)
        _, truth = _line_data([left_out], as_subject, rates, None)
        told, _, _ = _read(method, others, as_subject, rates, None)
        misses.append(told - float(truth[0]))
    return median(abs(miss) for miss in misses)


def _notes(
    comparables: Sequence[Comparable],
    adjusted: Sequence[AdjustedComparable],
    wording: Wording,
    *,
    bracketed: bool,
) -> tuple[str, ...]:
    notes = []
    if not bracketed:
        notes.append(
            wording.say("Not bracketed: no better or no worse boat is among the comparables.")
        )
    asked = sum(one.kind is PriceKind.ASKED for one in comparables)
    if asked:
        text = wording.say(
            "{n} of {all} are asking prices, taken down by your factor.",
            n=asked,
            all=len(comparables),
        )
        notes.append(text)
    flagged = [one.comparable.name for one in adjusted if one.flagged]
    if flagged:
        notes.append(wording.say("Large adjustments: {boats}.", boats=", ".join(flagged)))
    if len(comparables) >= _FEW and _go_together(comparables):
        notes.append(
            wording.say("Length and age go together here: their effects cannot be told apart.")
        )
    return tuple(notes)


def _go_together(comparables: Sequence[Comparable]) -> bool:
    lengths = [one.features.length_m for one in comparables]
    ages = [one.features.age_years for one in comparables]
    if np.ptp(lengths) == 0 or np.ptp(ages) == 0:
        return False
    return bool(abs(np.corrcoef(lengths, ages)[0, 1]) >= _TIED_TOGETHER)
