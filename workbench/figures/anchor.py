"""What a price is held against: an indication from the buyer's comparables, or the asking price."""

from __future__ import annotations

from decimal import Decimal

from workbench.catalogue.wording import ENGLISH_WORDING, Wording
from workbench.domain.boat import Boat
from workbench.domain.money import cents
from workbench.domain.project import Comparable, Project
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Asked

from . import comparables as readings
from .assessment import Anchor
from .exchange import rate_of

VALUE_RATES = {
    "per-metre": 0.12,
    "per-year-of-age": -0.02,
    "per-condition-step": 0.08,
    "equipment-share": 0.5,
    "per-year-of-date": 0.0,
}
"""Adjustment rates as shares of a price: common practice, no source; editable in the settings."""
_DAYS = 365.25


def anchor_of(
    project: Project, boat: Boat, asking: Decimal | None, wording: Wording = ENGLISH_WORDING
) -> Anchor:
    """The price anchor of one boat.

    Without comparables the asking price stands in, and the basis says so. A comparable that lacks
    a length or a year, or whose currency has no rate, is left out of the indication.
    """
    indication = indication_of(project, boat, asking, wording)
    if indication is None:
        if asking is None:
            basis = wording.say("No asking price and no comparables.")
            return Anchor(None, None, None, basis, from_comparables=False)
        basis = wording.say(
            "The asking price stands in: there are no comparables that can be used."
        )
        return Anchor(asking, None, None, basis, from_comparables=False)
    currency = project.settings.currency
    value, low, high = (
        cents(max(one, 0.0), currency)
        for one in (indication.value, indication.low, indication.high)
    )
    return Anchor(value, low, high, indication.sentence(wording), from_comparables=True)


def indication_of(
    project: Project, boat: Boat, asking: Decimal | None, wording: Wording = ENGLISH_WORDING
) -> readings.Indication | None:
    """What the comparables indicate for a boat; None without any that can be used."""
    settings = project.settings
    length, age = boat.dimensions.get("loa"), _age(boat.year, settings)
    usable = [one for one in project.comparables if one.used]
    rows = [row for one in usable if (row := _row(one, settings)) is not None]
    if not rows or length is None or age is None:
        return None
    subject = readings.Features(length.value("m"), age)
    return readings.indicate(rows, subject, rates_of(settings), float(asking or 0), wording)


def rates_of(settings: Settings) -> readings.Rates:
    """The adjustment rates that hold for a project.

    In the settings a year of age changes a price by its rate, which is below zero; the statistics
    ask what a year less is worth.
    """
    rate = {
        name: float(settings.value_rates.get(name, Decimal(repr(usual))))
        for name, usual in VALUE_RATES.items()
    }
    sold = settings.asked_to_sold
    return readings.Rates(
        per_metre=rate["per-metre"],
        per_year_of_age=-rate["per-year-of-age"],
        per_condition_step=rate["per-condition-step"],
        equipment_share=rate["equipment-share"],
        per_year_of_date=rate["per-year-of-date"],
        asked_to_sold=readings.AskedToSold(float(sold.low), float(sold.likely), float(sold.high)),
    )


def _age(year: int | None, settings: Settings) -> float | None:
    if year is None or settings.as_of is None:
        return None
    return float(max(0, settings.as_of.year - year))


def _row(one: Comparable, settings: Settings) -> readings.Comparable | None:
    """A comparable for the statistics; None when something they need is missing."""
    age, exact = _age(one.year, settings), rate_of(one.price.currency, settings)
    if age is None or exact is None or one.length is None:
        return None
    rate = float(exact)
    ago = (settings.as_of - one.on).days / _DAYS if settings.as_of and one.on else 0.0
    return readings.Comparable(
        one.title,
        float(one.price.amount) * rate,
        readings.PriceKind.SOLD if one.asked is Asked.SOLD else readings.PriceKind.ASKED,
        readings.Features(
            one.length.value("m"), age, float(one.condition), float(one.equipment) * rate
        ),
        max(ago, 0.0),
    )
