"""Quick find: one key, a few letters, arrows and Return, to any boat, check, line or command."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import AS_OF
from tests.window.open_search import make_folder, open_window
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import Money
from workbench.domain.quantity import Quantity
from workbench.edits.boats import add_boat
from workbench.window.find import Found, Kind, find
from workbench.window.main_window import MainWindow
from workbench.window.pages.settings_page import SettingsPage
from workbench.window.widgets.search_field import REST_MS

WAIT = 20_000


def boat(name: str) -> Boat:
    return Boat(
        "",
        name,
        year=1986,
        lies_at="Samphire Creek",
        dimensions=FrozenMap({"loa": Quantity(Decimal(10), "m")}),
        asking=(AskingPrice(Money(Decimal(20_000), "USD"), AS_OF),),
    )


def activate(window: MainWindow, qtbot: QtBot) -> None:
    """Give the window the keyboard; without a desktop nothing else does."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)


@pytest.fixture
def window(tmp_path: Path, qtbot: QtBot) -> Iterator[MainWindow]:
    """The window on two boats, the first of them looked at."""
    place = make_folder(
        tmp_path / "search",
        lambda p: add_boat(p, boat("Annabel")),
        lambda p: add_boat(p, boat("Bearing Away")),
    )
    made = open_window(place, qtbot)
    made.session.select_boat("annabel")
    activate(made, qtbot)
    yield made
    made.session.close()


def seek(window: MainWindow, text: str) -> tuple[Found, ...]:
    return find(window.session, window.menu.actions(), text)


def press_to_find(window: MainWindow, qtbot: QtBot) -> None:
    activate(window, qtbot)
    qtbot.keyClick(window.focusWidget(), Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    assert window.finder.hasFocus()


def type_words(window: MainWindow, text: str, qtbot: QtBot) -> None:
    press_to_find(window, qtbot)
    qtbot.keyClicks(window.finder, text)
    qtbot.wait(2 * REST_MS)


def test_nothing_is_found_for_no_words(window: MainWindow) -> None:
    assert seek(window, "  ") == ()


def test_every_kind_of_thing_is_found(window: MainWindow) -> None:
    kinds = {found.kind for letter in "abcdefghilmnoprstuw" for found in seek(window, letter)}

    assert kinds == set(Kind)


def test_all_words_must_occur_in_any_order(window: MainWindow) -> None:
    assert seek(window, "away bear")[0].title == "Bearing Away"
    assert seek(window, "away nonsense") == ()


def test_what_begins_with_the_words_stands_first(window: MainWindow) -> None:
    found = seek(window, "bearing")

    assert found[0].title.lower().startswith("bearing")
    assert {one.kind for one in found} >= {Kind.BOAT, Kind.CHECK}


def test_a_boat_is_found_by_where_she_lies_after_those_of_that_name(window: MainWindow) -> None:
    assert {one.title for one in seek(window, "samphire")} == {"Annabel", "Bearing Away"}


def test_work_is_found_on_every_boat(window: MainWindow) -> None:
    boats = {one.boat for letter in "abr" for one in seek(window, letter) if one.kind is Kind.LINE}

    assert boats == {"annabel", "bearing-away"}


def test_a_command_that_cannot_be_done_now_is_not_found(window: MainWindow) -> None:
    assert not [one for one in seek(window, "undo") if one.kind is Kind.COMMAND]


def test_one_key_and_a_few_letters_lead_to_a_boat(window: MainWindow, qtbot: QtBot) -> None:
    type_words(window, "away", qtbot)
    assert window.finder.panel.isVisible()

    qtbot.keyClick(window.finder, Qt.Key.Key_Return)

    assert window.session.boat_id == "bearing-away"
    assert not window.finder.panel.isVisible()
    assert window.finder.text() == ""


def test_return_need_not_wait_for_the_typing_to_rest(window: MainWindow, qtbot: QtBot) -> None:
    press_to_find(window, qtbot)
    qtbot.keyClicks(window.finder, "away")
    qtbot.keyClick(window.finder, Qt.Key.Key_Return)

    assert window.session.boat_id == "bearing-away"


def test_arrows_choose_among_what_was_found_and_say_it(window: MainWindow, qtbot: QtBot) -> None:
    type_words(window, "bearing", qtbot)
    check = next(n for n, one in enumerate(window.finder.found) if one.kind is Kind.CHECK)
    for _ in range(check):
        qtbot.keyClick(window.finder, Qt.Key.Key_Down)
    wanted = window.finder.found[check]
    assert wanted.title in window.finder.accessibleDescription()

    qtbot.keyClick(window.finder, Qt.Key.Key_Return)

    assert window.session.check_id == wanted.key


def test_a_check_is_shown_with_the_keyboard_in_its_first_field(
    window: MainWindow, qtbot: QtBot
) -> None:
    found = next(one for one in seek(window, "bearing") if one.kind is Kind.CHECK)
    window.show_page("settings")

    window.finder.chosen.emit(found)

    assert window.session.check_id == found.key
    assert window.stack.currentWidget() is window.boats_page
    assert window.boats_page.check.form.isAncestorOf(window.focusWidget())


def test_a_line_is_unfolded_on_its_boat(window: MainWindow, qtbot: QtBot) -> None:
    line = next(
        one
        for letter in "abr"
        for one in seek(window, letter)
        if one.kind is Kind.LINE and one.boat == "bearing-away"
    )

    window.finder.chosen.emit(line)

    assert window.session.boat_id == "bearing-away"
    assert window.boats_page.ledger.panel.key == line.key


def test_a_command_is_done_and_a_section_of_the_settings_shown(
    window: MainWindow, qtbot: QtBot
) -> None:
    type_words(window, "side by side", qtbot)
    qtbot.keyClick(window.finder, Qt.Key.Key_Return)
    assert window.nav.current() == "side-by-side"

    type_words(window, "labour", qtbot)
    qtbot.keyClick(window.finder, Qt.Key.Key_Return)

    page = window.page("settings")
    assert isinstance(page, SettingsPage)
    assert page.list.currentItem().text() == "Labour"


def test_escape_puts_the_list_away_and_gives_the_keyboard_back(
    window: MainWindow, qtbot: QtBot
) -> None:
    window.boats_page.inspection.view.setFocus()
    type_words(window, "away", qtbot)

    qtbot.keyClick(window.finder, Qt.Key.Key_Escape)

    assert not window.finder.panel.isVisible()
    assert window.boats_page.inspection.view.hasFocus()


def test_words_that_nothing_has_are_said(window: MainWindow, qtbot: QtBot) -> None:
    type_words(window, "zzzz", qtbot)

    assert window.finder.nothing.isVisible()
    assert not window.finder.list.isVisible()


def test_the_list_stays_inside_the_window(window: MainWindow, qtbot: QtBot) -> None:
    window.resize(960, 600)
    type_words(window, "a", qtbot)

    assert window.rect().contains(window.finder.panel.geometry())


class Greedy(QLineEdit):
    """A field that takes every key for itself, as fields of some systems take Ctrl+K."""

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        return super().event(event)


def test_the_key_works_while_something_is_typed_into_a_field_that_wants_it(
    window: MainWindow, qtbot: QtBot
) -> None:
    field = Greedy(window)
    field.show()
    activate(window, qtbot)
    field.setFocus()
    qtbot.keyClicks(field, "12")

    qtbot.keyClick(field, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)

    assert window.finder.hasFocus()
    assert field.text() == "12"
