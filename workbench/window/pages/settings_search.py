"""Settings of the search itself: its name, who looks, currency, units, day; budget and loan."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from PySide6.QtWidgets import QLineEdit

from workbench.domain.project import Project
from workbench.domain.settings import Loan, Settings
from workbench.edits.edit import Edit
from workbench.edits.searching import change_settings, rename_project
from workbench.window.entries import (
    day_text,
    percent_text,
    read_amount,
    read_currency,
    read_day,
    read_percent,
    read_share,
    read_whole,
    whole_text,
)
from workbench.window.pages.settings_lists import replaced
from workbench.window.pages.settings_section import Setting, SettingsSection, of_settings
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.parsed_field import ParsedField


class SearchSection(SettingsSection):
    """Name, person, currency, units and day."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("This search"),
            tr("What holds for all its boats. Everything here is saved with the search."),
        )
        self.text(
            Setting(
                "name",
                tr("Name"),
                lambda project: project.name,
                lambda project, value: rename_project(project, str(value)),
            )
        )
        self.form.add_row(
            "observer",
            tr("Who looks"),
            self._observer(),
            hint=tr("Written beside each reading you enter, and remembered on this machine."),
        )
        self.parsed(
            of_settings(
                "currency",
                tr("Currency"),
                tr("Its code, such as EUR. Amounts entered before are not converted."),
            ),
            read_currency,
            str,
            characters=5,
        )
        self.choice(
            of_settings("units", tr("Sizes are asked in")),
            [("metric", tr("metres and kilograms")), ("imperial", tr("feet and pounds"))],
        )
        self.parsed(
            of_settings(
                "as_of",
                tr("Figures hold for"),
                tr("The day to which ages are reckoned: year, month, day."),
                needed=False,
            ),
            read_day,
            day_text,
            characters=11,
            placeholder=session.today().isoformat(),
        )
        self.finish()

    def _observer(self) -> QLineEdit:
        line = QLineEdit(self.session.observer)
        line.setPlaceholderText(tr("your name"))
        line.editingFinished.connect(lambda: self.session.set_observer(line.text()))
        return line


class BudgetSection(SettingsSection):
    """Budget, how sure it must hold, what later work is worth today, and a loan."""

    def __init__(self, session: Session) -> None:
        super().__init__(
            session,
            tr("Budget and loan"),
            tr(
                "The budget is all you can spend to have a boat ready to sail. It caps the price "
                "at which you walk away, and is never shown to a seller."
            ),
        )
        self.budget = self.parsed(
            of_settings("budget", tr("Budget"), needed=False),
            unit=session.project.settings.currency,
        )
        self.parsed(
            of_settings(
                "confidence",
                tr("To hold with a chance of"),
                tr("Between 50 and 99 %. 80 % means four times in five."),
            ),
            read_share,
            percent_text,
            unit="%",
            characters=5,
        )
        self.parsed(
            of_settings(
                "discount_percent",
                tr("Later work counts less by"),
                tr("A year, after inflation; for work that lies years ahead."),
            ),
            read_percent,
            unit=tr("% a year"),
            characters=5,
        )
        self.form.add_section(tr("Loan"))
        self._loan("share_of_price", tr("Share of the price"), read_share, percent_text, "%")
        self._loan("yearly_percent", tr("Interest"), read_amount, None, tr("% a year"))
        self._loan("months", tr("Repaid over"), read_whole, whole_text, tr("months"))
        self.follow(self._follow_currency)
        self.finish()

    def _loan(
        self,
        name: str,
        words: str,
        parse: Callable[[str], object],
        show: Callable[[object], str] | None,
        unit: str,
    ) -> ParsedField:
        def get(project: Project) -> object:
            loan = project.settings.loan
            value = getattr(loan, name) if loan is not None else None
            return value or None

        def put(project: Project, value: object) -> Edit:
            return change_settings(project, tr("Loan"), loan=_with(project.settings, name, value))

        setting = Setting(f"loan-{name}", words, get, put, needed=False)
        if show is None:
            return self.parsed(setting, parse, unit=unit, characters=6)
        return self.parsed(setting, parse, show, unit=unit, characters=6)

    def _follow_currency(self) -> None:
        self.budget.set_unit(self.session.project.settings.currency)


def _with(settings: Settings, name: str, value: object) -> Loan | None:
    """The loan with one of its terms changed; None once nothing is borrowed."""
    empty: object = 0 if name == "months" else Decimal(0)
    loan: Loan = replaced(settings.loan or Loan(), name, empty if value is None else value)
    return None if loan == Loan() else loan
