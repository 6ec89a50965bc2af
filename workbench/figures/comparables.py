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

from workbench.domain.record import dataclass
from workbench.figures.small_samples import (
    FloatArray,
    Interval,
    LineBelief,
    huber_line,
    prediction_interval,
    robust_interval,
    theil_sen,
)

NET_GUIDE = 0.15
GROSS_GUIDE = 0.25
"""Customary guide limits for adjustments (withdrawn by the US agency in 2014): flags, not rules."""

_FEW, _MANY = 5, 12
_TIED_TOGETHER = 0.8
_PRIOR_SPREAD = 0.15


class PriceKind(Enum):
    """Whether a price was paid or only asked."""

    SOLD = "sold"
    ASKED = "asked"


@dataclass(frozen=True, slots=True)
class Features:
    """What prices are adjusted for.

    `condition` counts steps on one scale for all boats (0 ordinary, +1 better); `equipment` is the
    money value of extra equipment.
    """

    length_m: float
    age_years: float
    condition: float = 0.0
    equipment: float = 0.0


@dataclass(frozen=True, slots=True)
class Comparable:
    """One boat sold or advertised; `years_ago` is when."""

    name: str
    price: float
    kind: PriceKind
    features: Features
    years_ago: float = 0.0

    def __post_init__(self) -> None:
        if not self.price > 0:
            raise ValueError(f"{self.name}: a price must be above zero, not {self.price}")


@dataclass(frozen=True, slots=True)
class AskedToSold:
    """Selling price as a share of the asking price: the user's belief, with its range."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.likely <= self.high:
            raise ValueError("the asked-to-sold factor needs 0 < low <= likely <= high")


@dataclass(frozen=True, slots=True)
class Rates:
    """The user's adjustment rates; shares are fractions of the comparable's price.

    `per_year_of_age` is what a year less of age is worth. `per_year_of_date` is the yearly rise of
    prices (negative: they fell). `equipment_share` is the part of equipment's value that a price
    carries.
    """

    per_metre: float
    per_year_of_age: float
    per_condition_step: float
    equipment_share: float
    per_year_of_date: float
    asked_to_sold: AskedToSold


@dataclass(frozen=True, slots=True)
class AdjustmentLine:
    """One step from a comparable's price towards the subject."""

    name: str
    amount: float


@dataclass(frozen=True, slots=True)
class AdjustedComparable:
    """A comparable with its adjustments; net and gross are shares of the price after sale terms."""

    comparable: Comparable
    lines: tuple[AdjustmentLine, ...]
    after_sale_terms: float
    adjusted: float
    net_share: float
    gross_share: float

    @property
    def superior(self) -> bool:
        """Whether the comparable is the better boat, so that its price came down."""
        return self.net_share < 0

    @property
    def flags(self) -> tuple[str, ...]:
        """Adjustments large enough to doubt that the boats compare."""
        told = []
        if abs(self.net_share) > NET_GUIDE:
            told.append(f"net adjustment {self.net_share:+.0%} exceeds {NET_GUIDE:.0%}")
        if self.gross_share > GROSS_GUIDE:
            told.append(f"gross adjustment {self.gross_share:.0%} exceeds {GROSS_GUIDE:.0%}")
        return tuple(told)


def adjust(
    comparable: Comparable, subject: Features, rates: Rates, factor: float | None = None
) -> AdjustedComparable:
    """Adjust one comparable to the subject; `factor` overrides the likely asked-to-sold factor."""
    sale = _sale_lines(comparable, rates, factor)
    price = comparable.price + sum(line.amount for line in sale)
    boat = _boat_lines(price, comparable.features, subject, rates)
    net = sum(line.amount for line in boat)
    gross = sum(abs(line.amount) for line in boat)
    return AdjustedComparable(
        comparable, (*sale, *boat), price, price + net, net / price, gross / price
    )


def _sale_lines(
    comparable: Comparable, rates: Rates, factor: float | None
) -> tuple[AdjustmentLine, ...]:
    asked = comparable.kind is PriceKind.ASKED
    share = (rates.asked_to_sold.likely if factor is None else factor) if asked else 1.0
    sold = comparable.price * share
    rise = (1 + rates.per_year_of_date) ** comparable.years_ago - 1
    return (
        AdjustmentLine("asked to sold", sold - comparable.price),
        AdjustmentLine("date", sold * rise),
    )


def _boat_lines(
    price: float, own: Features, subject: Features, rates: Rates
) -> tuple[AdjustmentLine, ...]:
    condition = subject.condition - own.condition
    equipment = subject.equipment - own.equipment
    return (
        AdjustmentLine("length", price * rates.per_metre * (subject.length_m - own.length_m)),
        AdjustmentLine("age", price * rates.per_year_of_age * (own.age_years - subject.age_years)),
        AdjustmentLine("condition", price * rates.per_condition_step * condition),
        AdjustmentLine("equipment", rates.equipment_share * equipment),
    )


class Method(Enum):
    """How an indication was made."""

    ASKING_PRICE = "asking price stands in: no comparables were entered"
    LIST = "median and range of a short list"
    MEDIAN = "median with a prediction interval"
    BAYES_LINE = "Bayesian line on length and age with weak prior slopes"
    ROBUST_LINE = "robust line on length and age"


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

    @property
    def sentence(self) -> str:
        """What the value is, in one sentence."""
        if self.method is Method.ASKING_PRICE:
            return "No comparables: the asking price stands in for the worth. This is no valuation."
        many = "comparable" if self.count == 1 else "comparables"
        return (
            f"An indication from {self.count} {many} entered by the user "
            f"({self.method.value}); not an appraisal."
        )


def indicate(
    comparables: Sequence[Comparable], subject: Features, rates: Rates, asking_price: float
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
    notes = _notes(comparables, adjusted, bracketed=bracketed)
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
    *,
    bracketed: bool,
) -> tuple[str, ...]:
    notes = []
    if not bracketed:
        notes.append("Not bracketed: no better or no worse boat is among the comparables.")
    asked = sum(one.kind is PriceKind.ASKED for one in comparables)
    if asked:
        notes.append(f"{asked} of {len(comparables)} are asking prices, taken down by your factor.")
    flagged = [one.comparable.name for one in adjusted if one.flags]
    if flagged:
        notes.append(f"Large adjustments: {', '.join(flagged)}.")
    if len(comparables) >= _FEW and _go_together(comparables):
        notes.append("Length and age go together here: their effects cannot be told apart.")
    return tuple(notes)


def _go_together(comparables: Sequence[Comparable]) -> bool:
    lengths = [one.features.length_m for one in comparables]
    ages = [one.features.age_years for one in comparables]
    if np.ptp(lengths) == 0 or np.ptp(ages) == 0:
        return False
    return bool(abs(np.corrcoef(lengths, ages)[0, 1]) >= _TIED_TOGETHER)
