"""Settings of what an hour costs: one's own, each trade's, and what a professional look costs."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from workbench.domain.project import Project
from workbench.domain.span import Span
from workbench.edits.edit import Edit
from workbench.edits.searching import change_settings
from workbench.window import formatting
from workbench.window.entries import amount_text, read_above_zero, read_amount
from workbench.window.pages.settings_section import SettingsSection, of_settings
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.labels import figure, hairline, label
from workbench.window.widgets.parsed_field import Parse, ParsedField
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT


class BookRow:
    """One row of a table of own figures beside the book's."""

    def __init__(self, key: str, title: str, note: str, book: Span, *, brief: bool = False) -> None:
        self.key, self.title, self.note, self.book = key, title, note, book
        self.brief = brief and bool(note)


class OwnFigures(QWidget):
    """The book's low, likely and high beside a field for one's own figure.

    Parameters
    ----------
    name
        The mapping of the search's settings that holds the own figures.
    """

    def __init__(
        self,
        session: Session,
        rows: list[BookRow],
        *,
        name: str,
        what: str,
        first: str,
        parse: Parse,
    ) -> None:
        super().__init__()
        self._session, self._name, self._what = session, name, what
        self.fields: dict[str, ParsedField] = {}
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(SPACE_GROUPS)
        grid.setVerticalSpacing(SPACE_TIGHT)
        grid.setColumnStretch(0, 1)
        for place in (1, 2, 3):
            grid.setColumnMinimumWidth(place, 56)
        currency = session.catalogue.prices.currency
        heads = (first, tr("low"), tr("likely"), tr("high"), tr("yours"))
        for place, words in enumerate(heads):
            grid.addWidget(
                label(words, "small") if place in (0, 4) else figure(words, "small"), 0, place
            )
        grid.addWidget(hairline(), 1, 0, 1, 5)
        for number, row in enumerate(rows):
            self._add(grid, 2 + number, row, currency, parse)

    def _add(self, grid: QGridLayout, line: int, row: BookRow, currency: str, parse: Parse) -> None:
        top = Qt.AlignmentFlag.AlignTop
        title = label(f"{row.title}, {row.note}" if row.brief else row.title)
        title.setToolTip(row.note or row.title)
        title.setContentsMargins(0, 5, 0, 0)
        grid.addWidget(title, line, 0, top)
        for place, value in enumerate((row.book.low, row.book.likely, row.book.high), 1):
            shown = figure(formatting.whole(value), "strong" if place == 2 else "quiet")
            shown.setContentsMargins(0, 5, 0, 0)
            grid.addWidget(shown, line, place, top)
        field = ParsedField(
            parse,
            amount_text,
            name=tr("{what}, your figure").format(what=row.title),
            placeholder=tr("as the book"),
            characters=10,
        )
        field.setToolTip(
            tr("The book says {low} to {high} {currency}. Empty goes back to it.").format(
                low=row.book.low, high=row.book.high, currency=currency
            )
        )
        title.setBuddy(field)
        field.value_entered.connect(lambda value: self._on_entered(row, value))
        self.fields[row.key] = field
        grid.addWidget(field, line, 4, top)

    def _on_entered(self, row: BookRow, value: object) -> None:
        def make(project: Project) -> Edit:
            known = getattr(project.settings, self._name)
            own = known.drop(row.key) if value is None else known.set(row.key, value)
            return change_settings(project, f"{self._what}, {row.title}", **{self._name: own})

        self.fields[row.key].set_problem(self._session.attempt(make))

    def refresh(self) -> None:
        """Show the own figures as the search holds them."""
        own = getattr(self._session.project.settings, self._name)
        for key, field in self.fields.items():
            now = own.get(key)
            if field.value() != now and not field.problem():
                field.set_value(now)


class LabourSection(SettingsSection):
    """Own rate and pace, the yards' level, and each trade's hour."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("Labour"),
            tr(
                "What an hour costs decides most of a boat's bill. Yards differ by a factor of two."
            ),
        )
        self.own_rate = self.parsed(
            of_settings(
                "own_rate",
                tr("Your own hour is worth"),
                tr("0 where your time costs you nothing."),
            )
        )
        self.parsed(
            of_settings(
                "own_hours_factor",
                tr("You take"),
                tr("Most owners take one and a half to twice a tradesman's hours (assumed)."),
            ),
            read_above_zero,
            unit=tr("× a tradesman's hours"),
            characters=5,
        )
        self.parsed(
            of_settings(
                "price_level",
                tr("Yards here cost"),
                tr("1 is the book's region. It moves every trade without a figure of yours."),
            ),
            read_above_zero,
            unit=tr("× the book"),
            characters=5,
        )
        self.rates = self._own_rates()
        self.follow(self.rates.refresh)
        self.follow(self._follow_currency)
        self.finish()
        place = self.column.count() - 1
        head = SectionHeader(tr("By trade"), beside=_book_words(session))
        self.column.insertSpacing(place, SPACE_GROUPS)
        self.column.insertWidget(place + 1, head)
        self.column.insertWidget(place + 2, self.rates)

    def _own_rates(self) -> OwnFigures:
        book = self.session.catalogue.prices
        trades = [
            BookRow(
                trade.id,
                trade.label,
                tr("licensed, no work for an owner") if trade.licensed else "",
                trade.rate,
                brief=True,
            )
            for trade in book.trades.values()
        ]
        return OwnFigures(
            self.session,
            trades,
            name="rates",
            what=tr("Hour"),
            first=tr("An hour of a"),
            parse=read_above_zero,
        )

    def _follow_currency(self) -> None:
        self.own_rate.set_unit(self.session.project.settings.currency)


class LooksSection(SettingsSection):
    """What each professional look costs."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("Professional looks"),
            tr(
                "What a surveyor, rigger or mechanic asks. “Look next” weighs these fees against "
                "what knowing would be worth."
            ),
        )
        looks = [
            BookRow(look.id, look.title, look.note, look.fee)
            for look in session.catalogue.looks.values()
        ]
        self.fees = OwnFigures(
            session,
            looks,
            name="look_fees",
            what=tr("Fee"),
            first=tr("Look"),
            parse=read_amount,
        )
        self.follow(self.fees.refresh)
        self.finish()
        place = self.column.count() - 1
        self.column.insertWidget(place, SectionHeader(tr("Fees"), beside=_book_words(session)))
        self.column.insertWidget(place + 1, self.fees)
        self.column.insertSpacing(place + 2, SPACE_RELATED)


def _book_words(session: Session) -> str:
    """Which book the figures are from, and when."""
    book = session.catalogue.prices
    return tr("book of {day}, {currency}, {region}").format(
        day=book.dated, currency=book.currency, region=book.region
    )
