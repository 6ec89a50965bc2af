"""Settings of the costs of buying beside price and work, and of the costs of a year."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from workbench.domain.settings import Fee, YearlyCost
from workbench.domain.span import Ends, Span
from workbench.window.pages.settings_cells import (
    ChoiceCell,
    TextCell,
    amount_cell,
    percent_cell,
)
from workbench.window.pages.settings_lists import ListOfRecords, free_id, replaced
from workbench.window.pages.settings_rows import Column, RecordRows, Values
from workbench.window.pages.settings_section import SettingsSection, as_decimal
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import SPACE_GROUPS


class FeesSection(SettingsSection):
    """Costs of buying that are no repair, and the costs of a year."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("Fees and upkeep"),
            tr(
                "What buying costs beside price and work: papers, transport, the way home. A fee "
                "is a sum, a share of the price, or so much for each nautical mile she lies away."
            ),
        )
        self._make_fees()
        self._make_upkeep()
        self.follow(self.list.refresh)
        self.follow(self.upkeep.refresh)
        self.finish()
        self.heads = (
            SectionHeader(tr("Fees of buying")),
            SectionHeader(tr("Keeping her for a year")),
        )
        self.follow(self._say_currency)
        self._say_currency()
        for part in (self.heads[0], self.fees, self.heads[1], self.yearly):
            self.column.insertWidget(self.column.count() - 1, part)
            if part is self.fees:
                self.column.insertSpacing(self.column.count() - 1, SPACE_GROUPS)

    def _make_fees(self) -> None:
        self.fees = RecordRows(
            (
                Column("label", tr("Fee"), TextCell, needed=True),
                Column("low", tr("low"), amount_cell),
                Column("likely", tr("likely"), amount_cell, tip=tr("Low and high may stay empty.")),
                Column("high", tr("high"), amount_cell),
                Column("percent", tr("% of price"), percent_cell),
                Column("per_nautical_mile", tr("a mile"), amount_cell),
                Column("only", tr("for"), self._boat_cell),
            ),
            what=tr("fee"),
            add=tr("Add a fee"),
            nothing=tr("No fees yet."),
        )
        self.list: ListOfRecords[Fee] = ListOfRecords(
            self.session,
            self.fees,
            "fees",
            tr("Fees"),
            to_values=_fee_values,
            changed=_fee_changed,
            made=_fee_made,
        )

    def _make_upkeep(self) -> None:
        self.yearly = RecordRows(
            (
                Column("label", tr("Cost of a year"), TextCell, needed=True),
                Column("amount", tr("a sum"), amount_cell),
                Column("per_metre", tr("a metre of her"), amount_cell),
                Column("percent_of_price", tr("% of price"), percent_cell),
            ),
            what=tr("yearly cost"),
            add=tr("Add a yearly cost"),
            nothing=tr("No yearly costs yet: berth, insurance, lift and store."),
        )
        self.upkeep: ListOfRecords[YearlyCost] = ListOfRecords(
            self.session,
            self.yearly,
            "yearly_costs",
            tr("Yearly costs"),
            to_values=lambda one: {
                "label": one.label,
                "amount": one.amount or None,
                "per_metre": one.per_metre or None,
                "percent_of_price": one.percent_of_price or None,
            },
            changed=lambda one, key, value: replaced(
                one, key, value if key == "label" else as_decimal(value)
            ),
            made=lambda values, known: YearlyCost(
                free_id("year", {one.id for one in known}),
                values["label"],
                as_decimal(values["amount"]),
                as_decimal(values["per_metre"]),
                as_decimal(values["percent_of_price"]),
            ),
        )

    def _say_currency(self) -> None:
        currency = self.session.project.settings.currency
        for head in self.heads:
            head.set_beside(tr("sums in {currency}").format(currency=currency))

    def _boat_cell(self) -> ChoiceCell:
        boats = self.session.project.boats
        return ChoiceCell(
            [((), tr("every boat")), *(((id_,), one.boat.name) for id_, one in boats.items())], 10
        )


def _fee_values(fee: Fee) -> Values:
    span = fee.amount
    spread = not span.certain
    return {
        "label": fee.label,
        "low": span.low if spread else None,
        "likely": span.likely or None,
        "high": span.high if spread else None,
        "percent": fee.percent or None,
        "per_nautical_mile": fee.per_nautical_mile or None,
        "only": fee.only,
    }


def _span(low: object, likely: object, high: object) -> Span:
    """A fee's sum; with the likely alone it has no spread."""
    middle = as_decimal(likely)
    if low is None and high is None:
        return Span.exactly(middle)
    least = low if isinstance(low, Decimal) else middle
    most = high if isinstance(high, Decimal) else middle
    return Span(least, middle, most, Ends.ONE_IN_TEN)


def _fee_changed(fee: Fee, key: str, value: object) -> Fee:
    if key in ("low", "likely", "high"):
        now = {**_fee_values(fee), key: value}
        return dataclasses.replace(fee, amount=_span(now["low"], now["likely"], now["high"]))
    if key in ("percent", "per_nautical_mile"):
        value = as_decimal(value)
    changed: Fee = replaced(fee, key, value)
    return changed


def _fee_made(values: dict[str, Any], known: Sequence[Fee]) -> Fee:
    return Fee(
        free_id("fee", {one.id for one in known}),
        values["label"],
        _span(values["low"], values["likely"], values["high"]),
        as_decimal(values["percent"]),
        as_decimal(values["per_nautical_mile"]),
        values["only"] or (),
    )
