"""A user's way from a boat ashore to a price, with keys and clicks in the real window."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import AS_OF
from tests.window.open_search import figured, make_folder, open_window
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import Money
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Grade
from workbench.edits import boats
from workbench.store.folder import open_project
from workbench.window.main_window import MainWindow
from workbench.window.pages.boat_dialog import BoatDialog
from workbench.window.session import SavedState
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.parsed_field import ParsedField
from workbench.window.widgets.quantity_field import QuantityField

ANN = Boat(
    "",
    "Ann",
    year=1986,
    dimensions=FrozenMap({"loa": Quantity(Decimal(10), "m")}),
    asking=(AskingPrice(Money(Decimal(20_000), "USD"), AS_OF),),
)


@pytest.fixture
def window(tmp_path: Path, qtbot: QtBot) -> MainWindow:
    """The window on a search with one boat."""
    return open_window(make_folder(tmp_path / "search", lambda p: boats.add_boat(p, ANN)), qtbot)


def enter(qtbot: QtBot, field: QLineEdit, text: str) -> None:
    """Type into a field as a user does, and press Return."""
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def test_a_reading_typed_with_its_unit_shows_grade_meaning_and_cost_at_once(
    window: MainWindow, qtbot: QtBot
) -> None:
    session, panel = window.session, window.boats_page.check
    session.select_check("bearing")
    play = panel.form.field("play")
    assert isinstance(play, QuantityField)

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        enter(qtbot, play.line_edit, "3/64 in")

    assert panel.grade.grade == Grade.DUE.value
    assert panel.meaning.text() == "Due."
    assert "By rule" in panel.by_rule.text()
    assert session.boat is not None
    assert session.boat.deferred.mean == 1300
    assert window.boats_page.ledger.totals.amount_of("deferred").text() == "1,300"


def test_a_choice_is_made_by_one_key(window: MainWindow, qtbot: QtBot) -> None:
    session, panel = window.session, window.boats_page.check
    session.select_check("seacocks")
    state = panel.form.field("state")
    assert isinstance(state, ChoiceRow)
    first = state.segments()[0]
    first.setFocus()

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        qtbot.keyClick(first, Qt.Key.Key_2)

    assert panel.grade.grade == Grade.DUE.value


def test_a_reading_outside_sensible_limits_is_refused_at_the_field(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.session.select_check("bearing")
    play = window.boats_page.check.form.field("play")
    assert isinstance(play, QuantityField)
    before = window.session.project

    enter(qtbot, play.line_edit, "12 ft")

    assert "Look at the unit" in play.problem()
    assert window.session.project is before
    assert play.line_edit.text() == "12 ft"


def test_undo_by_key_takes_the_reading_back(window: MainWindow, qtbot: QtBot) -> None:
    session = window.session
    session.select_check("bearing")
    play = window.boats_page.check.form.field("play")
    assert isinstance(play, QuantityField)
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        enter(qtbot, play.line_edit, "1.2")

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        window.undo_action.trigger()

    assert not session.project.boats["ann"].inspection.readings
    assert play.line_edit.text() == ""


def test_not_seen_asks_why_and_keeps_the_reason(window: MainWindow, qtbot: QtBot) -> None:
    session, panel = window.session, window.boats_page.check
    session.select_check("rigging")
    qtbot.mouseClick(panel.not_seen, Qt.MouseButton.LeftButton)
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        enter(qtbot, panel.form.note, "mast lies under a cover")

    reading = session.project.boats["ann"].inspection.readings["rigging"][0]
    assert reading.reason == "mast lies under a cover"
    assert panel.grade.grade == Grade.UNSEEN.value


def test_a_grade_can_be_overruled_with_a_reason_and_not_without(
    window: MainWindow, qtbot: QtBot
) -> None:
    session, panel = window.session, window.boats_page.check
    session.select_check("seal")
    qtbot.mouseClick(panel.overrule_button, Qt.MouseButton.LeftButton)
    sound = panel.overruling.grade.segments()[0]

    qtbot.mouseClick(sound, Qt.MouseButton.LeftButton)
    assert "Say why" in panel.problem.text()

    qtbot.keyClicks(panel.overruling.reason, "renewed in March, bill seen")
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        qtbot.mouseClick(sound, Qt.MouseButton.LeftButton)
    assert panel.grade.grade == Grade.SOUND.value
    assert "overruled" in panel.grade.text()


def test_editing_hours_in_the_ledger_changes_the_total(window: MainWindow, qtbot: QtBot) -> None:
    session, ledger = window.session, window.boats_page.ledger
    session.select_check("bearing")
    play = window.boats_page.check.form.field("play")
    assert isinstance(play, QuantityField)
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        enter(qtbot, play.line_edit, "1.2")
    ledger.open_line("bearing/renew/work")
    rate = ledger.panel.findChildren(ParsedField)
    an_hour = next(one for one in rate if one.line_edit.accessibleName() == "An hour costs")

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        enter(qtbot, an_hour.line_edit, "150")

    assert session.boat is not None
    assert session.boat.lines_of("bearing")[0].counted == 400


def test_a_zero_rate_is_refused_at_the_line(window: MainWindow, qtbot: QtBot) -> None:
    ledger = window.boats_page.ledger
    ledger.open_line("seal/clean/work")
    fields = ledger.panel.findChildren(ParsedField)
    an_hour = next(one for one in fields if one.line_edit.accessibleName() == "An hour costs")

    enter(qtbot, an_hour.line_edit, "0")

    assert "above 0" in ledger.panel.problem.text()


def test_a_quote_typed_in_the_ledger_replaces_the_estimate(
    window: MainWindow, qtbot: QtBot
) -> None:
    session, ledger = window.session, window.boats_page.ledger
    ledger.open_line("rigging/renew/work")
    qtbot.keyClicks(ledger.panel.yard, "Wharf Lane yard")
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        enter(qtbot, ledger.panel.quoted.line_edit, "1750")

    assert session.boat is not None
    line = session.boat.lines_of("rigging")[0]
    assert line.quote is not None
    assert line.mean == 1750


def test_a_boat_is_entered_with_her_particulars_and_errors_stay_at_their_field(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.add_boat()
    dialog = next(one for one in QApplication.topLevelWidgets() if isinstance(one, BoatDialog))
    name, price, length = (dialog.field(key) for key in ("name", "asking", "loa"))
    drive = dialog.field("drive")
    assert isinstance(name, QLineEdit)
    assert isinstance(price, ParsedField)
    assert isinstance(length, QuantityField)
    assert isinstance(drive, QComboBox)
    qtbot.keyClicks(name, "Bea")
    qtbot.keyClicks(price.line_edit, "-5")
    qtbot.keyClicks(length.line_edit, "31 ft 6")
    drive.setCurrentIndex(drive.findData("saildrive"))

    qtbot.mouseClick(dialog.done_button, Qt.MouseButton.LeftButton)
    assert "cannot be negative" in price.problem()
    assert dialog.isVisible()

    price.line_edit.selectAll()
    qtbot.keyClicks(price.line_edit, "18500 EUR")
    qtbot.mouseClick(dialog.done_button, Qt.MouseButton.LeftButton)

    boat = window.session.project.boats["bea"].boat
    assert boat.asking_price == Money(Decimal(18500), "EUR")
    assert boat.dimensions["loa"].value("m") == pytest.approx(9.6012)
    assert boat.facts["drive"] == "saildrive"
    assert window.session.boat_id == "bea"
    window.session.undo()
    assert "bea" not in window.session.project.boats
    figured(window.session, qtbot)


def test_an_unknown_currency_is_refused_at_the_price(window: MainWindow, qtbot: QtBot) -> None:
    window.show_particulars("ann")
    dialog = next(one for one in QApplication.topLevelWidgets() if isinstance(one, BoatDialog))
    price = dialog.field("asking")
    assert isinstance(price, ParsedField)
    price.line_edit.selectAll()
    qtbot.keyClicks(price.line_edit, "900 XYZ")

    qtbot.mouseClick(dialog.done_button, Qt.MouseButton.LeftButton)

    assert "not the code of a currency" in price.problem()
    dialog.reject()


def test_saving_by_key_and_closing_keeps_everything(window: MainWindow, qtbot: QtBot) -> None:
    session = window.session
    session.apply(boats.rename_boat(session.project, "ann", "Annie"))
    window.save_action.trigger()
    qtbot.waitUntil(lambda: session.saved_state is SavedState.SAVED, timeout=10_000)
    assert "saved" in window.saved.text().lower()

    session.apply(boats.rename_boat(session.project, "ann", "Anna"))
    place = session.place
    window.close()
    qtbot.waitUntil(lambda: not window.isVisible(), timeout=10_000)
    reopened = open_project(place)
    assert reopened.project.boats["ann"].boat.name == "Anna"
    reopened.folder.close()


def test_the_keyboard_alone_goes_from_check_to_check(window: MainWindow, qtbot: QtBot) -> None:
    session, page = window.session, window.boats_page
    session.select_check("bearing")
    page.next_check()

    assert session.check_id == "seacocks"
    page.previous_check()
    assert session.check_id == "bearing"
    focused = QApplication.focusWidget()
    play = page.check.form.field("play")
    assert isinstance(play, QuantityField)
    assert focused in (play.line_edit, None) or play.isAncestorOf(focused)
