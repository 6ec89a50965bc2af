"""What one work line costs if it is needed: hours times rate and materials, scaled to the boat.

Prices in the book are ranges that are passed one time in ten on each side. Each elementary range
(the hours of a trade, the materials) is turned once into the limits of a PERT curve with those
tenths; after that everything is linear: limits scale with the boat, hours are multiplied by the
rate, and the ranges of one job add end to end. So a line's mean is

    rate x (lowest + 4 likely + highest) / 6  of the hours  +  the same of the materials

which a spreadsheet can recalculate from the same numbers. Money here is in the project's currency
as floats; it is rounded only where it is shown.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from decimal import Decimal
from typing import NamedTuple

from workbench.catalogue.model import Catalogue, PriceItem, Scale, WorkLine
from workbench.catalogue.names import dimension_words
from workbench.catalogue.wording import Wording, marked
from workbench.domain.boat import Boat
from workbench.domain.inspection import Reading
from workbench.domain.ledger import LineChange
from workbench.domain.project import PriceOverride, Project
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings
from workbench.domain.span import Ends, Span
from workbench.domain.vocabulary import Basis

from .exchange import rate_of
from .threepoint import LimitsReading, Shape, ThreePoint, ends


class Limits(NamedTuple):
    """Lowest, likely and highest of a PERT curve, or of the triangle of a line that is one."""

    lowest: float
    likely: float
    highest: float

    def times(self, factor: float) -> Limits:
        """All three scaled."""
        return Limits(self.lowest * factor, self.likely * factor, self.highest * factor)

    def plus(self, other: Limits) -> Limits:
        """Added end to end."""
        return Limits(
            self.lowest + other.lowest, self.likely + other.likely, self.highest + other.highest
        )

    @property
    def mean(self) -> float:
        """(lowest + 4 likely + highest) / 6, of a curve."""
        return (self.lowest + 4 * self.likely + self.highest) / 6

    @property
    def mean_of_triangle(self) -> float:
        """(lowest + likely + highest) / 3."""
        return (self.lowest + self.likely + self.highest) / 3


NOTHING = Limits(0.0, 0.0, 0.0)


@functools.lru_cache(maxsize=20_000)
def limits_of(span: Span, shape: Shape = Shape.PERT) -> Limits:
    """The limits of the curve, or the triangle, that a span stands for by what its ends mean."""
    if span.certain:
        return Limits(float(span.low), float(span.likely), float(span.high))
    reading = LimitsReading.ONE_IN_TEN if span.ends is Ends.ONE_IN_TEN else LimitsReading.ABSOLUTE
    point = ThreePoint(float(span.low), float(span.likely), float(span.high), shape, reading)
    lowest, likely, highest = ends(point)
    return Limits(max(lowest, 0.0), likely, highest)


@dataclass(frozen=True, slots=True)
class LabourCost:
    """Hours of one trade and the price of its hour; `own` when the hours are the buyer's."""

    trade: str
    span: Span
    hours: Limits
    rate: float
    own: bool = False

    @property
    def cost(self) -> Limits:
        """Hours times rate."""
        return self.hours.times(self.rate)


@dataclass(frozen=True, slots=True)
class Priced:
    """One work line priced for one boat.

    Attributes
    ----------
    labour, materials
        Per piece; multiply by `count`.
    count
        How many.
    cost
        All of it, if it is needed.
    scaling
        How it was scaled, as sentences, and what was missing for it.
    overridden, own_materials
        Whether a figure is the buyer's own, and whether that of the materials is.
    """

    labour: tuple[LabourCost, ...]
    materials_span: Span
    materials: Limits
    count: float
    cost: Limits
    basis: Basis
    own_work: bool
    scaling: tuple[str, ...]
    overridden: bool
    source: str
    once: bool = False
    own_materials: bool = False

    @property
    def labour_mean(self) -> float:
        """Mean of the labour, all pieces."""
        return self.count * sum(one.cost.mean for one in self.labour)

    @property
    def materials_mean(self) -> float:
        """Mean of the materials, all pieces."""
        return self.count * self.materials.mean


class Tariff:
    """The prices that hold for a project: the book, turned into its currency, and the buyer's own.

    Raises nothing: a book in another currency without an exchange rate prices nothing, and
    `missing` says why.
    """

    def __init__(self, project: Project, catalogue: Catalogue) -> None:
        self.settings = project.settings
        self.book, self._catalogue = catalogue.prices, catalogue
        self.own = project.overrides.prices
        self.exchange, self.missing = _exchange(project.settings, catalogue)

    @property
    def wording(self) -> Wording:
        """The language that the prices are spoken of in."""
        return self._catalogue.wording

    def rate(self, trade: str) -> float:
        """Price of an hour of a trade, in the project's currency."""
        own = self.settings.rates.get(trade)
        if own is not None:
            return float(own)
        known = self.book.trades.get(trade)
        if known is None:
            return 0.0
        return limits_of(known.rate).mean * self.exchange * float(self.settings.price_level)

    def priced(
        self,
        item: PriceItem,
        boat: Boat,
        count: float,
        change: LineChange,
        hours_share: Decimal,
    ) -> Priced:
        """One price-book item for one boat, with what the buyer changed about it."""
        over = self.own.get(item.id, _NO_OVERRIDE)
        labour_factor, material_factor, scaling = _scaled(item.scales, boat, self._catalogue)
        labour = tuple(
            self._labour(one.trade, one.hours, over, change, labour_factor, hours_share)
            for one in item.labour
        )
        span, limits = self._materials(item, over, change, material_factor)
        how_many = count if change.count is None else float(change.count)
        one_piece = functools.reduce(Limits.plus, (one.cost for one in labour), limits)
        own_figures = bool(
            item.id in self.own or change.hours or change.rates or change.materials is not None
        )
        return Priced(
            labour,
            span,
            limits,
            how_many,
            one_piece.times(how_many),
            Basis.OWN_ENTRY if own_figures else Basis.PRICE_BOOK,
            change.own_work,
            scaling,
            own_figures,
            self.wording.source(item.source),
            item.once,
            change.materials is not None or over.materials is not None,
        )

    def _labour(
        self,
        trade: str,
        book: Span,
        over: PriceOverride,
        change: LineChange,
        factor: float,
        hours_share: Decimal,
    ) -> LabourCost:
        changed = change.hours.get(trade)
        span = changed or over.hours.get(trade) or book
        scale = Decimal(1) if changed is not None else Decimal(repr(factor))
        rate = float(change.rates[trade]) if trade in change.rates else self.rate(trade)
        if change.own_work:
            scale *= hours_share * self.settings.own_hours_factor
            rate = float(self.settings.own_rate)
        limits = limits_of(span).times(float(scale))
        return LabourCost(trade, span.times(scale), limits, rate, span is not book)

    def _materials(
        self, item: PriceItem, over: PriceOverride, change: LineChange, factor: float
    ) -> tuple[Span, Limits]:
        if change.materials is not None:
            return change.materials, limits_of(change.materials)
        span = over.materials or item.materials
        money = 1.0 if over.materials is not None else self.exchange
        scale = factor * money
        return span.times(Decimal(repr(scale))), limits_of(span).times(scale)


_NO_OVERRIDE = PriceOverride()


def _exchange(settings: Settings, catalogue: Catalogue) -> tuple[float, str]:
    """What one unit of the book's currency is worth in the project's; 0 and why when unknown."""
    currency = catalogue.prices.currency
    rate = rate_of(currency, settings)
    if rate is not None:
        return float(rate), ""
    return 0.0, catalogue.wording.say(
        "The price book is in {code} and there is no rate to {own}.",
        code=currency,
        own=settings.currency,
    )


def _scaled(
    scales: tuple[Scale, ...], boat: Boat, catalogue: Catalogue
) -> tuple[float, float, tuple[str, ...]]:
    """Factors on labour and materials, and a sentence on each scaling."""
    labour, materials = 1.0, 1.0
    notes: list[str] = []
    wording = catalogue.wording
    for scale in scales:
        name = dimension_words(catalogue, scale.dimension)
        measured = boat.dimensions.get(scale.dimension)
        if measured is None:
            text = wording.say(
                "Not scaled to her {what}, which is not known: taken as {number:f} {unit}.",
                what=name,
                number=scale.reference.number,
                unit=scale.reference.unit,
            )
            notes.append(text)
            continue
        ratio = measured.value(scale.reference.unit) / float(scale.reference.number)
        factor = ratio ** float(scale.power)
        if scale.of in ("all", "labour"):
            labour *= factor
        if scale.of in ("all", "materials"):
            materials *= factor
        text = wording.say(
            "{part} × {factor:.2f} for her {what} against {number:f} {unit}.",
            part=wording.word(scale.of),
            factor=factor,
            what=name,
            number=scale.reference.number,
            unit=scale.reference.unit,
        )
        notes.append(text)
    return labour, materials, tuple(notes)


SCALED_PARTS = (marked("all"), marked("labour"), marked("materials"))
"""What of a price grows with a boat, by the words of the price book."""


def count_of(
    line: WorkLine, boat: Boat, reading: Reading | None, catalogue: Catalogue
) -> tuple[float, str]:
    """How many of a work line's item, and what is missing to say it exactly."""
    count = float(line.count)
    if line.count_entry:
        value = reading.values.get(line.count_entry) if reading is not None else None
        if isinstance(value, Quantity):
            return count * float(value.number), ""
        return count, catalogue.wording.say("The number was not entered: taken as one.")
    if line.count_dimension:
        measured = boat.dimensions.get(line.count_dimension)
        if measured is None:
            name = dimension_words(catalogue, line.count_dimension)
            return count, catalogue.wording.say("Her {what} is not known: taken as one.", what=name)
        return count * measured.value(line.count_unit or measured.unit), ""
    return count, ""


def access_prices(
    catalogue: Catalogue, tariff: Tariff, boat: Boat, changes: Mapping[str, LineChange]
) -> dict[str, Priced]:
    """Every access task priced for one boat, by task id."""
    made: dict[str, Priced] = {}
    for task in catalogue.access.values():
        item = catalogue.prices.items.get(task.item)
        if item is not None:
            change = changes.get(f"access/{task.id}", _NO_CHANGE)
            made[task.id] = tariff.priced(item, boat, 1.0, change, Decimal(1))
    return made


_NO_CHANGE = LineChange()
