"""What buying costs beyond the price: one currency, taxes, fees, the way home."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import numpy as np

from workbench.catalogue.wording import ENGLISH_WORDING, Wording
from workbench.domain.boat import Boat
from workbench.domain.money import cents, decimals_of
from workbench.domain.problem import Problem, Severity
from workbench.domain.settings import Settings, TaxBand

from . import taxes
from .boat_draws import draw_limits, exchange_draws
from .draws import stream_for
from .exchange import exchanged
from .percentiles import Floats
from .pricing import Tariff, limits_of

_ZERO = Decimal(0)


def asking_of(boat: Boat, tariff: Tariff) -> tuple[Decimal | None, tuple[Problem, ...]]:
    """The asking price in the project's currency, and what stands in its way."""
    settings, wording = tariff.settings, tariff.wording
    price = boat.asking_price
    where = wording.say("{boat}, asking price", boat=boat.name)
    if price is None:
        message = wording.say("It is not known, so price and work cannot be added up.")
        remedy = wording.say("Enter it.")
        return None, (Problem(where, message, remedy, Severity.NOTICE, boat.id, "asking"),)
    amount = exchanged(price, settings)
    if amount is not None:
        return amount, ()
    message = wording.say(
        "It is in {code} and there is no rate to {own}.",
        code=price.currency,
        own=settings.currency,
    )
    remedy = wording.say("Add the rate of {code} in the settings.", code=price.currency)
    return None, (Problem(where, message, remedy, Severity.PROBLEM, boat.id, "asking"),)


def worth_of(
    boat: Boat, settings: Settings, wording: Wording = ENGLISH_WORDING
) -> tuple[Decimal, tuple[Problem, ...]]:
    """What the buyer would pay for things she has, less for what she lacks; what is in the way.

    An amount in a currency without a rate is left out and told.
    """
    worth, problems = _ZERO, []
    for item in boat.worth_to_me:
        amount = exchanged(item.amount, settings)
        if amount is not None:
            worth += amount
            continue
        code = item.amount.currency
        message = wording.say(
            "“{what}” is in {code}, there is no rate for it, and it is left out.",
            what=item.label,
            code=code,
        )
        where = wording.say("{boat}, worth to you", boat=boat.name)
        remedy = wording.say("Add the rate of {code} in the settings.", code=code)
        problems.append(Problem(where, message, remedy, Severity.PROBLEM, boat.id, "worth"))
    return worth, tuple(problems)


def terms_for(settings: Settings, boat: Boat) -> taxes.PurchaseTerms:
    """What is paid on top of a price for one boat: taxes, fees and the way home."""
    hundred = Decimal(100)
    rules = tuple(
        taxes.TaxRule(
            tax.label,
            _bands(tax.bands),
            minimum_base=tax.minimum_base,
            cap=tax.cap,
        )
        for tax in settings.taxes
        if tax.bands
    )
    away = Decimal(repr(boat.distance.value("nmi"))) if boat.distance else _ZERO
    fees = tuple(
        taxes.Fee(
            fee.label,
            cents(limits_of(fee.amount).mean, settings.currency)
            + cents(fee.per_nautical_mile * away, settings.currency),
            fee.percent / hundred,
        )
        for fee in settings.fees
        if not fee.only or boat.id in fee.only
    )
    return taxes.PurchaseTerms(rules, fees, minor_digits=decimals_of(settings.currency))


def _bands(bands: Sequence[TaxBand]) -> tuple[taxes.Band, ...]:
    """Bands that start above a limit, as bands that go up to one."""
    rows = sorted((band.above, band.percent / Decimal(100)) for band in bands)
    if rows[0][0] > 0:
        rows.insert(0, (_ZERO, _ZERO))
    uppers = [*(above for above, _ in rows[1:]), None]
    return tuple(taxes.Band(up_to, rate) for (_, rate), up_to in zip(rows, uppers, strict=True))


def fee_draws(settings: Settings, boat: Boat) -> Floats:
    """How far uncertain fees, and a price in another currency, stray from their means."""
    strayed = np.zeros(settings.draws)
    price = boat.asking_price
    if price is not None and price.currency != settings.currency:
        amount = exchanged(price, settings)
        if amount is not None:
            strayed += float(amount) * (exchange_draws(settings) - 1.0)
    for fee in settings.fees:
        if fee.amount.certain or (fee.only and boat.id not in fee.only):
            continue
        limits = limits_of(fee.amount)
        stream = stream_for(boat.stream, f"fee/{fee.id}")
        strayed += draw_limits(limits, stream, settings) - limits.mean
    return strayed
