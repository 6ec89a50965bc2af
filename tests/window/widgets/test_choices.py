"""Choosing one of a few: by digit, by arrow, by click, with one stop of the Tab key."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tests.window.widgets.acting import click, holds, press, spoken
from workbench.window.palette import LIGHT
from workbench.window.widgets.buttons import NavBar, button
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.remedy_list import RemedyList, RemedyRow

Put = Callable[[QWidget], QWidget]
REMEDIES = (
    RemedyRow("yard", "Yard renews the bearing, shaft drawn", "price book, 6 h", "980"),
    RemedyRow("own", "Own work, shaft drawn by the yard", "", "590"),
    RemedyRow("leave", "Leave one season, look again", "", "0"),
)


@pytest.fixture
def choices(put: Put) -> ChoiceRow:
    made = ChoiceRow(
        [("q", "quiet", "No sound at all."), ("r", "rubs"), ("k", "knocks")], name="Sound"
    )
    put(made)
    return made


def test_a_digit_chooses_by_place(choices: ChoiceRow, qtbot: QtBot) -> None:
    with qtbot.waitSignal(choices.chosen) as chosen:
        press(choices.segments()[0], Qt.Key.Key_3)

    assert chosen.args == ["k"]
    assert choices.choice() == "k"


def test_a_digit_without_an_answer_does_nothing(choices: ChoiceRow, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(choices.chosen):
        press(choices.segments()[0], Qt.Key.Key_4)


def test_arrows_go_round(choices: ChoiceRow) -> None:
    choices.set_choice("k")
    choices.segments()[2].setFocus()

    press(choices.segments()[2], Qt.Key.Key_Right)
    assert choices.choice() == "q"
    assert choices.segments()[0].hasFocus()
    press(choices.segments()[0], Qt.Key.Key_Left)
    assert choices.choice() == "k"


def test_a_click_chooses(choices: ChoiceRow, qtbot: QtBot) -> None:
    with qtbot.waitSignal(choices.chosen) as chosen:
        click(choices.segments()[1])

    assert chosen.args == ["r"]


def test_delete_takes_the_choice_back(choices: ChoiceRow, qtbot: QtBot) -> None:
    choices.set_choice("r")

    with qtbot.waitSignal(choices.chosen) as chosen:
        press(choices.segments()[1], Qt.Key.Key_Delete)

    assert chosen.args == [None]
    assert choices.choice() is None


def test_setting_a_choice_announces_nothing(choices: ChoiceRow, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(choices.chosen):
        choices.set_choice("r")

    assert choices.choice() == "r"


def test_tab_stops_once_at_the_chosen_answer(choices: ChoiceRow) -> None:
    def stops() -> list[bool]:
        return [bool(one.focusPolicy() & Qt.FocusPolicy.TabFocus) for one in choices.segments()]

    assert stops() == [True, False, False]
    choices.set_choice("r")
    assert stops() == [False, True, False]
    choices.setFocus()
    assert choices.segments()[1].hasFocus()


def test_answers_are_read_out_with_what_they_mean(choices: ChoiceRow) -> None:
    interface = QAccessible.queryAccessibleInterface(choices.segments()[0])

    assert interface.text(QAccessible.Text.Name) == "quiet"
    assert interface.text(QAccessible.Text.Description) == "No sound at all."
    assert spoken(choices) == "Sound"


def test_the_chosen_answer_carries_the_accent(choices: ChoiceRow) -> None:
    choices.set_choice("r")

    assert holds(choices.segments()[1].grab().toImage(), LIGHT.accent, 2)
    assert not holds(choices.segments()[2].grab().toImage(), LIGHT.accent, 2)


def test_answers_go_on_in_the_next_line_where_the_width_ends(put: Put) -> None:
    made = ChoiceRow([(place, f"answer number {place}") for place in range(6)])
    put(made)
    made.resize(300, made.heightForWidth(300))

    lines = {segment.y() for segment in made.segments()}
    assert len(lines) > 1
    assert all(segment.geometry().right() <= 300 for segment in made.segments())
    last = made.segments()[-1]
    assert last.geometry().bottom() <= made.height()


def test_other_answers_can_be_offered(choices: ChoiceRow) -> None:
    choices.set_choice("k")

    choices.set_choices([("d", "dry"), ("w", "wet")])

    assert [one.text() for one in choices.segments()] == ["dry", "wet"]
    assert choices.choice() is None


@pytest.fixture
def remedies(put: Put) -> RemedyList:
    made = RemedyList(REMEDIES, name="Put right by")
    made.resize(420, 200)
    put(made)
    return made


def test_a_click_anywhere_in_a_row_chooses_the_remedy(remedies: RemedyList, qtbot: QtBot) -> None:
    row = remedies.buttons()[1]

    with qtbot.waitSignal(remedies.chosen) as chosen:
        click(row, QPoint(row.width() - 5, row.height() // 2))

    assert chosen.args == ["own"]
    assert remedies.choice() == "own"


def test_the_down_key_chooses_the_next_remedy(remedies: RemedyList, qtbot: QtBot) -> None:
    remedies.set_choice("yard")
    remedies.buttons()[0].setFocus()

    with qtbot.waitSignal(remedies.chosen) as chosen:
        press(remedies.buttons()[0], Qt.Key.Key_Down)

    assert chosen.args == ["own"]
    assert remedies.buttons()[1].hasFocus()


def test_a_remedy_is_read_out_with_its_figure(remedies: RemedyList) -> None:
    interface = QAccessible.queryAccessibleInterface(remedies.buttons()[0])

    assert interface.role() == QAccessible.Role.RadioButton
    assert interface.text(QAccessible.Text.Name) == "Yard renews the bearing, shaft drawn, 980"
    assert interface.text(QAccessible.Text.Description) == "price book, 6 h"


def test_the_choice_stays_when_the_figures_change(remedies: RemedyList) -> None:
    remedies.set_choice("own")

    remedies.set_rows([RemedyRow("own", "Own work", "", "610"), REMEDIES[0]])

    assert remedies.choice() == "own"
    assert len(remedies.buttons()) == 2


def test_a_long_title_wraps_inside_its_row(put: Put) -> None:
    long = "Leave one season and look again when she is next ashore, since the owner does not agree"
    made = RemedyList([RemedyRow(1, long, "not advised", "0")])
    put(made)
    made.resize(260, made.heightForWidth(260))

    row = made.buttons()[0]
    line = row.fontMetrics().height()
    assert row.height() >= 4 * line


def test_the_current_page_is_the_one_chosen(put: Put, qtbot: QtBot) -> None:
    bar = NavBar([("boats", "Boats"), ("offer", "Offer"), ("paper", "Paper")])
    put(bar)

    with qtbot.waitSignal(bar.page_chosen) as chosen:
        click(bar.button_of("offer"))
    assert chosen.args == ["offer"]
    assert bar.current() == "offer"
    assert holds(bar.button_of("offer").grab().toImage(), LIGHT.accent, 2)
    assert not holds(bar.button_of("boats").grab().toImage(), LIGHT.accent, 2)


def test_arrows_go_from_page_to_page_and_past_one_that_is_out_of_reach(
    put: Put, qtbot: QtBot
) -> None:
    bar = NavBar([("boats", "Boats"), ("offer", "Offer"), ("paper", "Paper")])
    put(bar)
    bar.set_page_enabled("offer", enabled=False, why="Add a boat first.")
    bar.button_of("boats").setFocus()

    with qtbot.waitSignal(bar.page_chosen) as chosen:
        press(bar.button_of("boats"), Qt.Key.Key_Right)

    assert chosen.args == ["paper"]
    assert bar.button_of("offer").toolTip() == "Add a boat first."


def test_setting_the_page_announces_nothing(put: Put, qtbot: QtBot) -> None:
    bar = NavBar([("boats", "Boats"), ("offer", "Offer")])
    put(bar)

    with qtbot.assertNotEmitted(bar.page_chosen):
        bar.set_current("offer")

    assert bar.current() == "offer"


def test_the_primary_button_is_filled_with_the_accent(put: Put) -> None:
    primary, ordinary = button("Add a boat", "primary"), button("Save")
    for made in (primary, ordinary):
        put(made)
        made.clearFocus()

    assert primary.grab().toImage().pixelColor(6, 8).name().upper() == LIGHT.accent
    assert ordinary.grab().toImage().pixelColor(6, 8).name().upper() == LIGHT.panel
