"""Settings of what is assumed: limits one will not give way on, spreads, value rates, draws."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from PySide6.QtWidgets import QWidget

from workbench.domain.problem import EntryError
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity, parse_quantity
from workbench.domain.settings import MustHave
from workbench.domain.span import Ends, Span
from workbench.edits.edit import Edit
from workbench.edits.searching import change_settings
from workbench.window import formatting
from workbench.window.entries import (
    percent_text,
    quantity_text,
    read_share,
    read_signed_share,
    read_whole,
    whole_text,
)
from workbench.window.pages.settings_cells import ChoiceCell, ParsedCell
from workbench.window.pages.settings_lists import ListOfRecords, replaced
from workbench.window.pages.settings_rows import Column, RecordRows
from workbench.window.pages.settings_section import Setting, SettingsSection, of_settings
from workbench.window.session import Session
from workbench.window.texts import marked, tr
from workbench.window.widgets.three_point_field import ThreePointField

_BARE = "count"


class MustHavesSection(SettingsSection):
    """Limits on particulars."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("Must-haves"),
            tr(
                "Limits you will not give way on, such as a draft for your creek or headroom for "
                "your height. A boat outside them is marked, and never dropped for you."
            ),
        )
        self.rows = RecordRows(
            (
                Column("dimension", tr("Size"), self._dimension_cell, needed=True),
                Column("at_least", tr("at least"), _size_cell, tip=tr("With its unit: 1.9 m")),
                Column("at_most", tr("at most"), _size_cell, tip=tr("With its unit: 5 ft 6")),
            ),
            what=tr("must-have"),
            add=tr("Add a must-have"),
            nothing=tr("No must-haves yet."),
        )
        self.list: ListOfRecords[MustHave] = ListOfRecords(
            session,
            self.rows,
            "must_haves",
            tr("Must-haves"),
            to_values=lambda one: {
                "dimension": one.dimension,
                "at_least": one.at_least,
                "at_most": one.at_most,
            },
            changed=lambda one, key, value: self._held(replaced(one, key, value)),
            made=self._made,
        )
        self.follow(self.list.refresh)
        self.finish()
        self.column.insertWidget(self.column.count() - 1, self.rows)

    def _dimension_cell(self) -> ChoiceCell:
        known = self.session.catalogue.dimensions.values()
        return ChoiceCell([(one.id, one.label) for one in known], 20)

    def _made(self, values: dict[str, Any], known: Sequence[MustHave]) -> MustHave:
        if values["at_least"] is None and values["at_most"] is None:
            raise EntryError(tr("Write the least or the most, with its unit."))
        if any(one.dimension == values["dimension"] for one in known):
            raise EntryError(tr("There is a limit for this size already. Change that one."))
        return self._held(MustHave(values["dimension"], values["at_least"], values["at_most"]))

    def _held(self, limit: MustHave) -> MustHave:
        """The limit in units of its size, if it can be met.

        Raises
        ------
        EntryError
            With the sentence for the row.
        """
        dimension = self.session.catalogue.dimensions.get(limit.dimension)
        if dimension is None:
            return limit
        imperial = self.session.project.settings.units == "imperial"
        usual = dimension.imperial_unit if imperial else dimension.unit
        least, most = (_in_unit(one, usual) for one in (limit.at_least, limit.at_most))
        ends = [one.exact(dimension.unit) for one in (least, most) if one is not None]
        if len(ends) == 2 and ends[0] > ends[1]:
            raise EntryError(tr("The least is above the most."))
        return dataclasses.replace(limit, at_least=least, at_most=most)


def _in_unit(size: Quantity | None, unit: str) -> Quantity | None:
    """A size typed without a unit gets the usual one."""
    if size is None or size.unit != _BARE:
        return size
    return Quantity(size.number, unit)


def _size_cell() -> ParsedCell:
    return ParsedCell(_read_size, quantity_text, characters=9)


def _read_size(text: str) -> Quantity:
    """A size with its unit, of whatever kind; a bare number waits for the unit of its size."""
    kinds = (_BARE, "m", "kg", "m2", "L", "kW", "h", "year")
    for unit in kinds:
        try:
            return parse_quantity(text, unit, formatting.decimal_mark())
        except EntryError:
            continue  # it may be of another kind
    raise EntryError(tr("Write a size with its unit, such as 1.9 m or 5 ft 6."))


SPREAD_WORDS = {
    "yard": (marked("Yards' hours and rates"), marked("All yard work is dear or cheap together.")),
    "parts": (marked("Prices of parts"), marked("All parts are dear or cheap together.")),
    "own": (marked("Your own hours"), marked("All your own work takes long or short together.")),
    "optimism": (
        marked("What nobody thought of"),
        marked("Every cost together, because plans are hopeful."),
    ),
    "exchange": (
        marked("The rate of exchange"),
        marked("A price asked in another currency, and a price book in one, until you have paid."),
    ),
}
VALUE_WORDS = {
    "per-metre": (marked("A metre longer"), marked("A longer comparable is worth so much more.")),
    "per-year-of-age": (marked("A year older"), marked("Usually below zero.")),
    "per-condition-step": (
        marked("A step of condition"),
        marked("From rough to very good there are four steps."),
    ),
    "equipment-share": (marked("Equipment counts"), marked("Of what the extra equipment cost.")),
    "per-year-of-date": (
        marked("A year later"),
        marked("How asking prices rose or fell in a year."),
    ),
}


class AssumptionsSection(SettingsSection):
    """Spreads, value rates, asked to sold, seed and draws: everything that is assumed."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("Assumptions"),
            tr(
                "Nobody publishes these figures; each is assumed, says so wherever it counts, and "
                "is yours to change. An emptied field goes back to what is usual."
            ),
        )
        from workbench.figures.anchor import VALUE_RATES  # noqa: PLC0415 - numpy comes with it
        from workbench.figures.boat_draws import SPREADS  # noqa: PLC0415 - numpy comes with it

        self.form.add_section(tr("How far shared costs stray (one standard deviation)"))
        for key, usual in SPREADS.items():
            self._share("spreads", key, SPREAD_WORDS.get(key, (key, "")), usual)
        self.form.add_section(tr("What differences between boats are worth, of a price"))
        for key, usual in VALUE_RATES.items():
            self._share("value_rates", key, VALUE_WORDS.get(key, (key, "")), usual)
        self.form.add_section(tr("What boats sell for, of what is asked"))
        self.form.add_row("asked_to_sold", tr("Asked to sold"), self._asked_to_sold())
        self.form.add_section(tr("How ranges are drawn"))
        self.parsed(
            of_settings(
                "draws",
                tr("Draws"),
                tr("Between 1,200 and 65,400, in steps of 200. More are steadier and slower."),
            ),
            read_whole,
            whole_text,
            characters=8,
        )
        self.parsed(
            of_settings(
                "seed",
                tr("Seed"),
                tr("The same seed gives the same figures. Change it to see what chance does."),
            ),
            read_whole,
            whole_text,
            characters=8,
        )
        self.finish()

    def _share(self, name: str, key: str, words: tuple[str, str], usual: float) -> None:
        """A share that is empty where the usual one holds."""

        def put(project: Project, value: object) -> Edit:
            known = getattr(project.settings, name)
            own = known.drop(key) if value is None else known.set(key, value)
            return change_settings(project, tr(words[0]), **{name: own})

        usual_text = percent_text(Decimal(repr(usual)))
        self.parsed(
            Setting(
                f"{name}-{key}",
                tr(words[0]),
                lambda project: getattr(project.settings, name).get(key),
                put,
                tr("{help} Usual: {usual} % (assumed).").format(
                    help=tr(words[1]), usual=usual_text
                ),
                needed=False,
            ),
            read_signed_share if name == "value_rates" else read_share,
            percent_text,
            unit="%",
            characters=7,
            placeholder=usual_text,
        )

    def _asked_to_sold(self) -> QWidget:
        self.sold = ThreePointField(
            read_share,
            percent_text,
            unit="%",
            limits=tr("One time in ten below the low limit, one in ten above the high one."),
            name=tr("Asked to sold"),
            characters=6,
        )
        self.sold.span_entered.connect(self._on_sold)

        def refresh() -> None:
            span = self.session.project.settings.asked_to_sold
            now = (span.low, span.likely, span.high)
            if self.sold.span() != now and not self.sold.problem():
                self.sold.set_span(now)

        self.follow(refresh)
        return self.sold

    def _on_sold(self, ends: object) -> None:
        if not isinstance(ends, tuple):
            return

        def make(project: Project) -> Edit:
            low, likely, high = ends
            span = Span(low, likely, high, Ends.ONE_IN_TEN)
            return change_settings(project, tr("Asked to sold"), asked_to_sold=span)

        self.form.set_problem("asked_to_sold", self.session.attempt(make))
