"""Settings of what buying and keeping cost beside price and work: rates, taxes, fees, upkeep."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QWidget

from workbench.domain.problem import EntryError
from workbench.domain.project import Project
from workbench.domain.settings import ExchangeRate, Tax, TaxBand
from workbench.edits.edit import Edit
from workbench.edits.searching import change_settings
from workbench.window.entries import (
    day_text,
    number_text,
    read_above_zero,
    read_currency,
    read_day,
)
from workbench.window.pages.settings_cells import (
    ParsedCell,
    TextCell,
    amount_cell,
    percent_cell,
)
from workbench.window.pages.settings_lists import ListOfRecords, replaced
from workbench.window.pages.settings_rows import Column, RecordRows, Values
from workbench.window.pages.settings_section import SettingsSection, as_decimal, fitted_combo
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED

_ZERO = Decimal(0)


class ExchangeSection(SettingsSection):
    """Rates of exchange, each with its day."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("Exchange"),
            tr(
                "One unit of the other currency is worth so much of yours. An amount in a currency "
                "without a rate here is never added up; the total then says what is missing."
            ),
        )
        self.rows = RecordRows(
            (
                Column(
                    "currency",
                    tr("One unit of"),
                    lambda: ParsedCell(read_currency, str, characters=5),
                    needed=True,
                ),
                Column(
                    "rate",
                    tr("is worth"),
                    lambda: ParsedCell(read_above_zero, number_text, characters=9),
                    needed=True,
                ),
                Column(
                    "on",
                    tr("on the day"),
                    lambda: ParsedCell(read_day, day_text, characters=11),
                ),
                Column("source", tr("by whom"), TextCell, tip=tr("Where the rate was read.")),
            ),
            what=tr("rate"),
            add=tr("Add a rate"),
            nothing=tr(
                "No rates yet. They are only needed where something is in another currency."
            ),
        )
        self.list: ListOfRecords[ExchangeRate] = ListOfRecords(
            session,
            self.rows,
            "exchange",
            tr("Exchange rates"),
            to_values=lambda one: {
                "currency": one.currency,
                "rate": one.rate,
                "on": one.on,
                "source": one.source,
            },
            changed=lambda one, key, value: replaced(
                one, key, (value or "") if key == "source" else value
            ),
            made=self._made,
        )
        self.follow(self.list.refresh)
        self.finish()
        self.column.insertWidget(self.column.count() - 1, self.rows)

    def _made(self, values: dict[str, Any], known: Sequence[ExchangeRate]) -> ExchangeRate:
        if any(one.currency == values["currency"] for one in known):
            raise EntryError(tr("There is a rate of this currency already. Change that one."))
        if values["currency"] == self.session.project.settings.currency:
            raise EntryError(tr("This is the currency of the search itself."))
        return ExchangeRate(
            values["currency"],
            values["rate"],
            values["on"] or self.session.today(),
            values["source"] or "",
        )


class TaxesSection(SettingsSection):
    """Taxes on the price: a rate, further bands, the least base and the most."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("Taxes"),
            tr(
                "Taxes follow local law; ask the authority or an agent. A tax here is a share of "
                "the price, and may rise with it in bands."
            ),
        )
        self.rows = RecordRows(
            (
                Column("label", tr("Tax"), TextCell, needed=True),
                Column("percent", tr("% of the price"), percent_cell, needed=True),
                Column(
                    "minimum_base",
                    tr("price taken as at least"),
                    amount_cell,
                    tip=tr("Some authorities take a boat as worth at least so much."),
                ),
                Column("cap", tr("never more than"), amount_cell),
            ),
            what=tr("tax"),
            add=tr("Add a tax"),
            nothing=tr("No taxes yet."),
        )
        self.list: ListOfRecords[Tax] = ListOfRecords(
            session,
            self.rows,
            "taxes",
            tr("Taxes"),
            to_values=_tax_values,
            changed=_tax_changed,
            made=lambda values, _: Tax(
                values["label"],
                (TaxBand(_ZERO, values["percent"]),),
                values["minimum_base"] or _ZERO,
                values["cap"],
            ),
        )
        self.which = fitted_combo(QComboBox(), 18)
        self.which.setAccessibleName(tr("Bands of which tax"))
        self.bands = RecordRows(
            (
                Column("above", tr("the part of the price above"), amount_cell, needed=True),
                Column("percent", tr("bears %"), percent_cell, needed=True),
            ),
            what=tr("band"),
            add=tr("Add a band"),
            nothing=tr("One rate for the whole price."),
        )
        self.bands_head = self._bands_head()
        self._connect_bands()
        self.follow(self.list.refresh)
        self.follow(self._refresh_bands)
        self.finish()
        place = self.column.count() - 1
        for part in (self.rows, self.bands_head, self.bands):
            self.column.insertWidget(place, part)
            place += 1

    def _bands_head(self) -> QWidget:
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, SPACE_GROUPS, 0, 0)
        row.setSpacing(SPACE_RELATED)
        row.addWidget(label(tr("Further bands of"), "strong"))
        row.addWidget(self.which)
        row.addStretch(1)
        return holder

    def _connect_bands(self) -> None:
        self.which.activated.connect(lambda _: self._refresh_bands())
        self.bands.changed.connect(self._on_band_changed)
        self.bands.added.connect(self._on_band_added)
        self.bands.removed.connect(self._on_band_removed)

    def _refresh_bands(self) -> None:
        taxes = self.list.records()
        place = min(max(self.which.currentIndex(), 0), max(len(taxes) - 1, 0))
        self.which.clear()
        self.which.addItems([one.label for one in taxes])
        self.which.setCurrentIndex(place if taxes else -1)
        self.bands_head.setVisible(bool(taxes))
        self.bands.setVisible(bool(taxes))
        further = taxes[place].bands[1:] if taxes else ()
        self.bands.set_records([{"above": one.above, "percent": one.percent} for one in further])

    def _put_bands(self, further: tuple[TaxBand, ...]) -> str:
        place = self.which.currentIndex()

        def make(project: Project) -> Edit:
            taxes = project.settings.taxes
            tax = taxes[place]
            rising = tuple(sorted(further, key=lambda one: one.above))
            if any(one.above <= 0 for one in rising):
                raise EntryError(tr("A further band begins above 0."))
            if len({one.above for one in rising}) < len(rising):
                raise EntryError(tr("Two bands begin at the same price."))
            new = dataclasses.replace(tax, bands=(*tax.bands[:1], *rising))
            put = (*taxes[:place], new, *taxes[place + 1 :])
            return change_settings(project, tr("Tax bands"), taxes=put)

        return self.session.attempt(make)

    def _further(self) -> tuple[TaxBand, ...]:
        return self.list.records()[self.which.currentIndex()].bands[1:]

    def _on_band_changed(self, place: int, key: str, value: object) -> None:
        known = self._further()
        new: TaxBand = replaced(known[place], key, value)
        self.bands.say(place, self._put_bands((*known[:place], new, *known[place + 1 :])))

    def _on_band_added(self, values: dict[str, Any]) -> None:
        band = TaxBand(values["above"], values["percent"])
        refused = self._put_bands((*self._further(), band))
        if refused:
            self.bands.say_draft(refused)
        else:
            self.bands.draft_taken()

    def _on_band_removed(self, place: int) -> None:
        known = self._further()
        self._put_bands((*known[:place], *known[place + 1 :]))


def _tax_values(tax: Tax) -> Values:
    first = tax.bands[0].percent if tax.bands else None
    return {
        "label": tax.label,
        "percent": first,
        "minimum_base": tax.minimum_base or None,
        "cap": tax.cap,
    }


def _tax_changed(tax: Tax, key: str, value: object) -> Tax:
    if key == "percent":
        above = tax.bands[0].above if tax.bands else _ZERO
        first = TaxBand(above, as_decimal(value))
        return dataclasses.replace(tax, bands=(first, *tax.bands[1:]))
    if key == "minimum_base":
        return dataclasses.replace(tax, minimum_base=as_decimal(value))
    changed: Tax = replaced(tax, key, value)
    return changed
