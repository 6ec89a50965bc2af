"""Every setting follows the search, changes it by an edit, and tells at itself what is wrong."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TypeVar

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Show
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from workbench.domain.project import PriceOverride
from workbench.domain.settings import Fee, Loan, MustHave, Tax, TaxBand
from workbench.domain.span import Ends, Span
from workbench.window.models.price_items import PriceItemsModel
from workbench.window.pages.settings_assumptions import AssumptionsSection, MustHavesSection
from workbench.window.pages.settings_checks import TEMPLATE, ChecksSection, faults_in
from workbench.window.pages.settings_costs import ExchangeSection, TaxesSection
from workbench.window.pages.settings_fees import FeesSection
from workbench.window.pages.settings_labour import LabourSection, LooksSection
from workbench.window.pages.settings_page import SECTIONS, SettingsPage
from workbench.window.pages.settings_prices import MATERIALS, PricesSection
from workbench.window.pages.settings_rows import RecordRows
from workbench.window.pages.settings_search import BudgetSection, SearchSection
from workbench.window.pages.settings_section import SettingsSection
from workbench.window.session import Session
from workbench.window.widgets.parsed_field import ParsedField

W = TypeVar("W", bound=QWidget)
WAIT = 20_000
PROBES = {
    "search": SearchSection,
    "budget": BudgetSection,
    "must-haves": MustHavesSection,
    "labour": LabourSection,
    "looks": LooksSection,
    "taxes": TaxesSection,
    "fees": FeesSection,
    "exchange": ExchangeSection,
    "assumptions": AssumptionsSection,
    "prices": PricesSection,
    "checks": ChecksSection,
}


@pytest.fixture
def page(kept: Session, show: Show) -> SettingsPage:
    made = SettingsPage(kept)
    show(made)
    return made


def section(page: SettingsPage, key: str, kind: type[W]) -> W:
    page.show_section(key)
    found = page.section(key)
    assert isinstance(found, kind)
    return found


def enter(field: QWidget, text: str, qtbot: QtBot) -> None:
    """Type into a field as a person does, and press Return."""
    line = field.line_edit if isinstance(field, ParsedField) else field
    assert isinstance(line, QLineEdit)
    line.setFocus()
    line.selectAll()
    line.del_()
    qtbot.keyClicks(line, text)
    qtbot.keyClick(line, Qt.Key.Key_Return)


def parsed(section: SettingsSection, key: str) -> ParsedField:
    field = section.form.field(key)
    assert isinstance(field, ParsedField)
    return field


def fill_draft(rows: RecordRows, qtbot: QtBot, **values: str) -> None:
    """Begin a record and type its fields, the last of them the one that makes it whole."""
    rows.begin()
    for key, text in values.items():
        enter(rows.draft_cell(key).widget, text, qtbot)


# the page


def test_every_section_is_there(page: SettingsPage) -> None:
    assert {kind.key for kind in SECTIONS} == set(PROBES)
    for key, kind in PROBES.items():
        section(page, key, kind)


@pytest.mark.parametrize("key", PROBES)
def test_everything_has_a_name_is_reached_by_keys_and_is_not_cut(
    page: SettingsPage, key: str
) -> None:
    page.show_section(key)

    assert nameless(page) == []
    assert out_of_reach(page) == []
    assert cut_labels(page) == []


def test_arrow_keys_go_from_section_to_section(page: SettingsPage, qtbot: QtBot) -> None:
    page.list.setFocus()
    qtbot.keyClick(page.list, Qt.Key.Key_Down)

    assert isinstance(page.section("budget"), BudgetSection)
    shown = page.stack.currentWidget()
    assert shown is not None
    assert shown.accessibleName() == "Budget and loan"


# this search


def test_the_name_of_the_search_is_changed_and_undone(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "search", SearchSection)
    enter(made.form.field("name"), "One yard", qtbot)
    assert kept.project.name == "One yard"

    kept.undo()

    line = made.form.field("name")
    assert isinstance(line, QLineEdit)
    assert line.text() == "Two boats"


def test_an_empty_name_is_refused_at_the_field(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "search", SearchSection)
    enter(made.form.field("name"), "", qtbot)

    assert made.form.problem("name") == "Give the search a name."
    assert kept.project.name == "Two boats"


def test_who_looks_is_remembered_on_this_machine(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    enter(section(page, "search", SearchSection).form.field("observer"), "Kim", qtbot)

    assert kept.observer == "Kim"
    assert kept.preferences is not None
    assert kept.preferences.value("observer") == "Kim"


def test_a_currency_that_is_none_is_refused(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "search", SearchSection)
    enter(parsed(made, "currency"), "DOLLARS", qtbot)

    assert "is not the code of a currency" in parsed(made, "currency").problem()
    assert kept.project.settings.currency == "USD"


def test_a_day_is_read_in_the_one_way_that_nobody_mistakes(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "search", SearchSection)
    enter(parsed(made, "as_of"), "03/04/05", qtbot)
    assert "year, month, day" in parsed(made, "as_of").problem()

    enter(parsed(made, "as_of"), "2026-06-01", qtbot)

    assert kept.project.settings.as_of == date(2026, 6, 1)


# budget


def test_the_budget_is_read_with_its_thousands(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "budget", BudgetSection)
    enter(made.budget, "41,500", qtbot)

    assert kept.project.settings.budget == Decimal(41_500)
    assert made.budget.line_edit.text() == "41,500"


def test_a_confidence_outside_its_limits_is_refused_at_the_field(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "budget", BudgetSection)
    enter(parsed(made, "confidence"), "30", qtbot)

    assert parsed(made, "confidence").problem() == "The confidence lies between 50 and 99 %."
    assert kept.project.settings.confidence == Decimal("0.8")


def test_a_loan_begins_with_its_first_term_and_ends_with_its_last(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "budget", BudgetSection)
    enter(parsed(made, "loan-share_of_price"), "60", qtbot)
    enter(parsed(made, "loan-months"), "48", qtbot)
    assert kept.project.settings.loan == Loan(Decimal("0.6"), Decimal(0), 48)

    for key in ("loan-share_of_price", "loan-months"):
        enter(parsed(made, key), "", qtbot)

    assert kept.project.settings.loan is None


# labour and looks


def test_an_own_rate_of_a_trade_stands_over_the_book_until_it_is_emptied(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "labour", LabourSection)
    enter(made.rates.fields["rigger"], "88", qtbot)
    assert kept.project.settings.rates["rigger"] == Decimal(88)

    enter(made.rates.fields["rigger"], "", qtbot)

    assert "rigger" not in kept.project.settings.rates


def test_an_hour_that_costs_nothing_is_refused(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "labour", LabourSection)
    enter(made.rates.fields["rigger"], "0", qtbot)

    assert made.rates.fields["rigger"].problem() == "Write a number above 0."
    assert len(kept.project.settings.rates) == 0


def test_an_own_fee_of_a_look_is_kept(page: SettingsPage, kept: Session, qtbot: QtBot) -> None:
    made = section(page, "looks", LooksSection)
    enter(made.fees.fields["surveyor"], "750", qtbot)

    assert kept.project.settings.look_fees["surveyor"] == Decimal(750)


# taxes, fees, exchange


def test_a_tax_with_a_further_band_is_entered_field_by_field(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "taxes", TaxesSection)
    fill_draft(made.rows, qtbot, label="Transfer tax", percent="4")
    fill_draft(made.bands, qtbot, above="20000", percent="8")

    assert kept.project.settings.taxes == (
        Tax(
            "Transfer tax", (TaxBand(Decimal(0), Decimal(4)), TaxBand(Decimal(20_000), Decimal(8)))
        ),
    )


def test_a_band_over_a_hundred_percent_is_told_in_its_row(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "taxes", TaxesSection)
    fill_draft(made.rows, qtbot, label="Transfer tax", percent="4")
    enter(made.rows.cell(0, "percent").widget, "400", qtbot)

    assert made.rows._rows[0].problem.text() == "This lies between 0 and 100 %."
    assert kept.project.settings.taxes[0].bands[0].percent == Decimal(4)


def test_two_bands_at_one_price_are_refused(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "taxes", TaxesSection)
    fill_draft(made.rows, qtbot, label="Transfer tax", percent="4")
    for percent in ("8", "9"):
        fill_draft(made.bands, qtbot, above="20000", percent=percent)

    assert len(kept.project.settings.taxes[0].bands) == 2
    assert made.bands.draft_cell("above").value() == Decimal(20_000)


def test_least_base_and_cap_of_a_tax_are_kept(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "taxes", TaxesSection)
    fill_draft(made.rows, qtbot, label="Transfer tax", percent="4")
    enter(made.rows.cell(0, "minimum_base").widget, "5000", qtbot)
    enter(made.rows.cell(0, "cap").widget, "2500", qtbot)

    (tax,) = kept.project.settings.taxes
    assert (tax.minimum_base, tax.cap) == (Decimal(5_000), Decimal(2_500))


def test_a_fee_with_one_sum_has_no_spread_and_with_three_it_has(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "fees", FeesSection)
    fill_draft(made.fees, qtbot, label="Transport")
    enter(made.fees.cell(0, "likely").widget, "900", qtbot)
    assert kept.project.settings.fees[0].amount == Span.exactly(Decimal(900))

    enter(made.fees.cell(0, "high").widget, "1400", qtbot)

    assert kept.project.settings.fees[0].amount == Span(
        Decimal(900), Decimal(900), Decimal(1_400), Ends.ONE_IN_TEN
    )


def test_a_high_below_the_likely_is_told_in_the_row_and_nothing_is_swapped(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "fees", FeesSection)
    fill_draft(made.fees, qtbot, label="Transport")
    enter(made.fees.cell(0, "likely").widget, "900", qtbot)
    enter(made.fees.cell(0, "high").widget, "100", qtbot)

    assert "Raise high" in made.fees._rows[0].problem.text()
    assert kept.project.settings.fees[0].amount == Span.exactly(Decimal(900))


def test_a_fee_can_hold_for_one_boat(page: SettingsPage, kept: Session, qtbot: QtBot) -> None:
    made = section(page, "fees", FeesSection)
    fill_draft(made.fees, qtbot, label="Transport")
    box = made.fees.cell(0, "only").widget
    assert isinstance(box, QComboBox)
    box.setCurrentIndex(box.findText("Linden Lea"))
    box.activated.emit(box.currentIndex())

    assert kept.project.settings.fees[0].only == ("linden-lea",)


def test_tab_from_the_last_needed_field_goes_on_in_the_new_row(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "fees", FeesSection)
    made.fees.begin()
    line = made.fees.draft_cell("label").widget
    qtbot.keyClicks(line, "Transport")
    qtbot.keyClick(line, Qt.Key.Key_Tab)

    qtbot.waitUntil(lambda: made.fees.cell(0, "low").widget.isAncestorOf(page.focusWidget()))
    assert kept.project.settings.fees == (Fee("fee-1", "Transport"),)


def test_taking_a_fee_away_can_be_undone(page: SettingsPage, kept: Session, qtbot: QtBot) -> None:
    made = section(page, "fees", FeesSection)
    fill_draft(made.fees, qtbot, label="Transport")
    before = kept.project.settings.fees

    made.fees._rows[0].remove.click()
    assert kept.project.settings.fees == ()
    kept.undo()

    assert kept.project.settings.fees == before
    assert made.fees.count() == 1


def test_a_yearly_cost_by_the_metre_is_kept(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "fees", FeesSection)
    fill_draft(made.yearly, qtbot, label="Mooring")
    enter(made.yearly.cell(0, "per_metre").widget, "190", qtbot)

    (cost,) = kept.project.settings.yearly_costs
    assert (cost.label, cost.per_metre) == ("Mooring", Decimal(190))


def test_a_rate_of_exchange_gets_the_day_it_was_entered(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "exchange", ExchangeSection)
    fill_draft(made.rows, qtbot, currency="eur", rate="1.08")

    (rate,) = kept.project.settings.exchange
    assert (rate.currency, rate.rate, rate.on) == ("EUR", Decimal("1.08"), date(2026, 5, 10))


@pytest.mark.parametrize("text", ["0", "-1", "nan", "1e-9", ""])
def test_a_rate_that_cannot_be_is_refused(
    page: SettingsPage, kept: Session, qtbot: QtBot, text: str
) -> None:
    made = section(page, "exchange", ExchangeSection)
    fill_draft(made.rows, qtbot, currency="EUR", rate=text)

    assert kept.project.settings.exchange == ()


def test_a_second_rate_of_one_currency_is_refused(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "exchange", ExchangeSection)
    for rate in ("1.08", "1.10"):
        fill_draft(made.rows, qtbot, currency="EUR", rate=rate)

    assert len(kept.project.settings.exchange) == 1


# must-haves and assumptions


def test_a_must_have_takes_a_size_with_its_unit(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "must-haves", MustHavesSection)
    made.rows.begin()
    made.rows.draft_cell("dimension").put("draft")
    enter(made.rows.draft_cell("at_most").widget, "5 ft 6", qtbot)

    (limit,) = kept.project.settings.must_haves
    assert limit.dimension == "draft"
    assert limit.at_most is not None
    assert limit.at_most.value("m") == pytest.approx(1.6764)  # 5.5 ft of 0.3048 m exactly


def test_a_size_without_a_unit_is_in_the_usual_one(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "must-haves", MustHavesSection)
    made.rows.begin()
    made.rows.draft_cell("dimension").put("draft")
    enter(made.rows.draft_cell("at_most").widget, "1.8", qtbot)

    (limit,) = kept.project.settings.must_haves
    assert limit.at_most is not None
    assert limit.at_most.unit == "m"


def test_a_size_of_another_kind_and_limits_that_cross_are_refused(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "must-haves", MustHavesSection)
    made.rows.begin()
    made.rows.draft_cell("dimension").put("draft")
    enter(made.rows.draft_cell("at_most").widget, "900 kg", qtbot)
    assert made.rows.count() == 0

    enter(made.rows.draft_cell("at_most").widget, "1.8 m", qtbot)
    enter(made.rows.cell(0, "at_least").widget, "2 m", qtbot)

    assert made.rows._rows[0].problem.text() == "The least is above the most."
    assert isinstance(kept.project.settings.must_haves[0], MustHave)
    assert kept.project.settings.must_haves[0].at_least is None


def test_an_assumption_says_what_is_usual_and_an_emptied_one_goes_back(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "assumptions", AssumptionsSection)
    field = parsed(made, "spreads-yard")
    assert "assumed" in field.accessibleDescription()
    enter(field, "20", qtbot)
    assert kept.project.settings.spreads["yard"] == Decimal("0.2")

    enter(field, "", qtbot)

    assert "yard" not in kept.project.settings.spreads


def test_a_value_rate_may_be_below_zero(page: SettingsPage, kept: Session, qtbot: QtBot) -> None:
    made = section(page, "assumptions", AssumptionsSection)
    enter(parsed(made, "value_rates-per-year-of-age"), "-3", qtbot)

    assert kept.project.settings.value_rates["per-year-of-age"] == Decimal("-0.03")


def test_too_few_draws_are_refused_and_a_seed_is_kept(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "assumptions", AssumptionsSection)
    enter(parsed(made, "draws"), "10", qtbot)
    enter(parsed(made, "seed"), "7", qtbot)

    assert parsed(made, "draws").problem() == (
        "Draws lie between 1,200 and 65,400, in steps of 200."
    )
    assert kept.project.settings.draws == 2_000
    assert kept.project.settings.seed == 7


def test_asked_to_sold_is_a_range_in_order(page: SettingsPage, kept: Session, qtbot: QtBot) -> None:
    made = section(page, "assumptions", AssumptionsSection)
    enter(made.sold.likely, "90", qtbot)

    assert kept.project.settings.asked_to_sold.likely == Decimal("0.9")
    enter(made.sold.low, "95", qtbot)
    assert kept.project.settings.asked_to_sold.low == Decimal("0.85")
    assert made.sold.problem()


# own prices


def test_the_price_table_passes_the_model_tester(kept: Session) -> None:
    model = PriceItemsModel(kept)
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal, model)

    assert model.rowCount() == len(kept.catalogue.prices.items)


def test_an_item_is_found_by_any_of_its_words(page: SettingsPage, qtbot: QtBot) -> None:
    made = section(page, "prices", PricesSection)
    made.search.setText("bearing stern")
    qtbot.keyClick(made.search, Qt.Key.Key_Return)

    titles = [made.filter.index(row, 0).data().lower() for row in range(made.filter.rowCount())]
    assert titles
    assert all("bearing" in one or "stern" in one for one in titles)
    assert f"{len(titles)} of" in made.found.text()


def test_own_materials_stand_over_the_book_and_go_back_to_it(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "prices", PricesSection)
    made.show_item("stern-bearing-renew")
    field = made.panel.fields[MATERIALS]
    for part, text in ((field.low, "80"), (field.likely, "100"), (field.high, "150")):
        enter(part, text, qtbot)

    own = kept.project.overrides.prices["stern-bearing-renew"]
    assert own == PriceOverride(
        materials=Span(Decimal(80), Decimal(100), Decimal(150), Ends.ONE_IN_TEN),
        on=date(2026, 5, 10),
    )
    made.only_mine.setChecked(True)
    assert made.filter.rowCount() == 1

    made.panel.back_button.click()
    assert len(kept.project.overrides.prices) == 0


def test_own_hours_are_kept_by_trade(page: SettingsPage, kept: Session, qtbot: QtBot) -> None:
    made = section(page, "prices", PricesSection)
    made.show_item("stern-bearing-renew")
    trade = next(key for key in made.panel.fields if key != MATERIALS)
    field = made.panel.fields[trade]
    for part, text in ((field.low, "2"), (field.likely, "3"), (field.high, "5")):
        enter(part, text, qtbot)

    assert kept.project.overrides.prices["stern-bearing-renew"].hours[trade].likely == Decimal(3)
    kept.undo()
    assert field.span() is None


# own checks


def test_the_template_has_no_fault(kept: Session) -> None:
    assert faults_in(kept, "my-checks.toml", TEMPLATE) == ()


def test_a_new_file_begins_from_the_template_and_its_check_counts(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "checks", ChecksSection)
    made.name.setText("my checks")
    with qtbot.waitSignal(kept.assessed, timeout=WAIT):
        made.new_button.click()

    assert dict(kept.project.overrides.checks) == {"my-checks.toml": TEMPLATE}
    assert kept.catalogue.checks["my-bilge-smell"].own


def test_a_fault_is_listed_with_its_line_and_leads_to_it(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "checks", ChecksSection)
    made.new_button.click()
    wrong = TEMPLATE.replace('looks = "either"', 'looks = "anywhere"')
    made.editor.setPlainText(wrong)

    qtbot.waitUntil(lambda: made.faults.count() == 1, timeout=WAIT)
    line = wrong[: wrong.index('looks = "anywhere"')].count("\n") + 1
    assert made.faults.item(0).text().startswith(f"Line {line}: ")
    made.faults.itemActivated.emit(made.faults.item(0))
    assert made.editor.textCursor().blockNumber() == line - 1
    assert "looks" in made.editor.textCursor().selectedText()


def test_a_file_with_a_fault_may_be_kept_and_the_rest_goes_on(
    page: SettingsPage, kept: Session, qtbot: QtBot
) -> None:
    made = section(page, "checks", ChecksSection)
    made.new_button.click()
    made.editor.setPlainText("this is no check")
    with qtbot.waitSignal(kept.assessed, timeout=WAIT):
        made.keep_button.click()

    assert kept.project.overrides.checks["my-checks.toml"] == "this is no check"
    assert "my-bilge-smell" not in kept.catalogue.checks
    assert kept.catalogue.checks


def test_a_name_that_no_file_can_have_is_refused(page: SettingsPage, kept: Session) -> None:
    made = section(page, "checks", ChecksSection)
    made.name.setText("../evil")
    made.new_button.click()

    assert made.problem.isVisible()
    assert len(kept.project.overrides.checks) == 0


def test_taking_a_file_away_is_undone_and_it_is_shown_again(
    page: SettingsPage, kept: Session
) -> None:
    made = section(page, "checks", ChecksSection)
    made.new_button.click()
    made.remove_button.click()
    assert made.editor.toPlainText() == ""

    kept.undo()

    assert made.editor.toPlainText() == TEMPLATE
