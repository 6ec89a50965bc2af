"""What an amount is in the currency of the search, by the rates that the user dated and entered."""

from __future__ import annotations

from decimal import Decimal

from workbench.domain.money import Money, cents
from workbench.domain.settings import Settings


def rate_of(currency: str, settings: Settings) -> Decimal | None:
    """Units of the search's currency for one unit of another; None where no rate is known."""
    if currency == settings.currency:
        return Decimal(1)
    return next((one.rate for one in settings.exchange if one.currency == currency), None)


def exchanged(amount: Money, settings: Settings) -> Decimal | None:
    """An amount in the search's currency [money, exact to its cents]; None without a rate."""
    if amount.currency == settings.currency:
        return amount.amount
    rate = rate_of(amount.currency, settings)
    return None if rate is None else cents(amount.amount * rate, settings.currency)
