"""Edits of what holds for the whole search: name, settings, comparables, own prices and checks."""

from __future__ import annotations

import dataclasses
import itertools
from decimal import Decimal

from workbench.domain.money import decimals_of
from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable, PriceOverride, Project
from workbench.domain.settings import ExchangeRate, Settings, Tax

from .edit import NOTHING, Edit, Put
from .words import is_blank


def rename_project(project: Project, name: str) -> Edit:
    """Give the search another name.

    Raises
    ------
    EntryError
        When the name is empty.
    """
    del project  # the signature is that of every other edit
    if is_blank(name):
        raise EntryError("Give the search a name.")
    return Edit("Name of the search", (Put(("name",), name.strip()),), "name")


def change_settings(project: Project, what: str, **changes: object) -> Edit:
    """Change some settings at once.

    Raises
    ------
    EntryError
        When a figure cannot be: an unknown currency, a negative budget, a rate of zero, a chance
        outside 0.5 to 0.99, a percentage outside 0 to 100, draws that figures are not made with.
    """
    changed = dataclasses.replace(project.settings, **changes)  # type: ignore[arg-type]
    _refuse_bad_settings(changed)
    puts = tuple(Put(("settings", name), value) for name, value in changes.items())
    return Edit(what, puts, "settings/" + "/".join(sorted(changes)))


def _refuse_bad_settings(settings: Settings) -> None:
    decimals_of(settings.currency)
    if settings.budget is not None and settings.budget < 0:
        raise EntryError("A budget cannot be negative.")
    if not Decimal("0.5") <= settings.confidence <= Decimal("0.99"):
        raise EntryError("The confidence lies between 50 and 99 %.")
    if settings.price_level <= 0 or settings.own_hours_factor <= 0:
        raise EntryError("A factor is above 0.")
    if any(rate <= 0 for rate in settings.rates.values()):
        raise EntryError("An hour costs more than nothing. Write a rate above 0.")
    if settings.own_rate < 0:
        raise EntryError("Your own hour cannot be worth less than nothing. Write 0 or more.")
    if not 1_200 <= settings.draws <= 65_400 or settings.draws % 200:
        raise EntryError("Draws lie between 1,200 and 65,400, in steps of 200.")
    if settings.seed < 0:
        raise EntryError("A seed is 0 or above.")
    _refuse_bad_money_settings(settings)


def _refuse_bad_money_settings(settings: Settings) -> None:
    """Refuse rates of exchange, taxes, fees, loan and yearly costs that cannot be."""
    percents = [
        *(fee.percent for fee in settings.fees),
        *(cost.percent_of_price for cost in settings.yearly_costs),
    ]
    loan = settings.loan
    if loan is not None:
        percents += [loan.share_of_price * 100, loan.yearly_percent]
    if any(not 0 <= percent <= 100 for percent in percents):
        raise EntryError("A percentage lies between 0 and 100.")
    if loan is not None and not 0 <= loan.months <= 1200:
        raise EntryError("A loan is repaid over 0 to 1,200 months.")
    if not -50 <= settings.discount_percent <= 100:
        raise EntryError("What later work counts less by lies between -50 and 100 % a year.")
    if any(fee < 0 for fee in settings.look_fees.values()):
        raise EntryError("A fee cannot be negative.")
    for rate in settings.exchange:
        _refuse_bad_exchange(rate)
    for tax in settings.taxes:
        _refuse_bad_tax(tax)


def _refuse_bad_exchange(rate: ExchangeRate) -> None:
    decimals_of(rate.currency)
    if not rate.rate.is_finite() or not Decimal("1e-6") <= rate.rate <= Decimal("1e6"):
        raise EntryError(f"{rate.rate} cannot be the rate of {rate.currency}. Write one above 0.")


def _refuse_bad_tax(tax: Tax) -> None:
    if any(not 0 <= band.percent <= 100 for band in tax.bands):
        raise EntryError(f"{tax.label}: a tax lies between 0 and 100 %.")


def put_comparable(project: Project, comparable: Comparable) -> Edit:
    """Add a comparable, or replace the one with its id; an empty id is made here.

    Raises
    ------
    EntryError
        When the price is not above zero or there is no title.
    """
    if comparable.price.amount <= 0:
        raise EntryError("A comparable needs a price above 0.")
    if is_blank(comparable.title):
        raise EntryError("Say which boat the comparable is.")
    if not -2 <= comparable.condition <= 2:
        raise EntryError("Condition goes from -2 (rough) to 2 (very good).")
    before = project.comparables
    made = comparable
    if not comparable.id:
        taken = {one.id for one in before}
        numbered = (f"comparable-{number}" for number in itertools.count(1))
        made = dataclasses.replace(comparable, id=next(n for n in numbered if n not in taken))
    known = any(one.id == made.id for one in before)
    after = tuple(made if one.id == made.id else one for one in before)
    label = f"{'Change' if known else 'Add'} comparable {made.title}"
    return Edit(label, (Put(("comparables",), after if known else (*before, made)),))


def remove_comparable(project: Project, comparable_id: str) -> Edit:
    """Take a comparable away."""
    kept = tuple(one for one in project.comparables if one.id != comparable_id)
    return Edit("Remove comparable", (Put(("comparables",), kept),))


def override_price(project: Project, item: str, price: PriceOverride | None) -> Edit:
    """Put the buyer's own figures over an item of the price book, or go back to the book's."""
    del project  # the signature is that of every other edit
    value = NOTHING if price is None else price
    return Edit("Own price", (Put(("overrides", "prices", item), value),))


def put_own_checks(project: Project, file: str, text: str | None) -> Edit:
    """Put a file of the buyer's own checks in place, or take it away."""
    del project  # the signature is that of every other edit
    return Edit(
        "Own checks", (Put(("overrides", "checks", file), NOTHING if text is None else text),)
    )
