"""A whole running gear is entered by keyboard alone, in few keys.

The keys are those of a person who has the notebook beside them that was filled in under the boat:
every check of the running gear that the sample's first boat gets, a number typed with its unit, a
choice by its digit, Return to go on. How long that takes is reckoned with the keystroke-level model
(Card, Moran and Newell, The Keystroke-Level Model for User Performance Time with Interactive
Systems, Communications of the ACM 23(7), 1980, pages 396-410): 0.28 s for a key of an average
person who is no typist, 1.35 s to make up one's mind, here once for every check.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from tests.window.working import open_sample, rest, settle
from workbench.catalogue.model import Check, Entry
from workbench.domain.quantity import Quantity
from workbench.edits.inspecting import remove_reading
from workbench.window.main_window import MainWindow
from workbench.window.widgets.choice_row import Segment

KEY_SECONDS, MIND_SECONDS = 0.28, 1.35
SYSTEM = "running-gear"
OBSERVER = "Robin"


class Keyboard:
    """Presses keys on whatever has the keyboard, and counts them."""

    def __init__(self) -> None:
        self.pressed = 0

    def on(self) -> QWidget:
        """The part of the window that has the keyboard."""
        focused = QApplication.focusWidget()
        assert focused is not None
        return focused

    def press(self, key: Qt.Key, modifier: Qt.KeyboardModifier | None = None) -> None:
        """One key; with a modifier it is two."""
        self.pressed += 1 if modifier is None else 2
        QTest.keyClick(self.on(), key, modifier or Qt.KeyboardModifier.NoModifier)
        rest(1)

    def type(self, text: str) -> None:
        """Letters and digits."""
        self.pressed += len(text)
        QTest.keyClicks(self.on(), text)

    def replace(self, text: str) -> None:
        """Letters and digits in place of what the field holds; coming into it chose all of it."""
        field = self.on()
        assert isinstance(field, QLineEdit)
        assert field.selectedText() == field.text()
        self.type(text)


@pytest.fixture
def window(
    qapp: QApplication, qtbot: QtBot, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[MainWindow]:
    """The window on the sample with its figures made."""
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English))
    made = open_sample(qapp, tmp_path_factory.mktemp("sample"))
    made.session.set_observer(OBSERVER)
    with qtbot.waitActive(made):
        made.show()
    settle(made)
    yield made
    made.session.background.finish()
    made.session.close()
    made.deleteLater()
    rest(1)
    QLocale.setDefault(before)


def checks_of_the_gear(window: MainWindow) -> list[Check]:
    """The checks of the running gear that the boat gets, in the order of the tree."""
    checks = window.session.catalogue.checks
    shown = [checks[key] for key in window.boats_page.inspection.model.shown_keys()]
    return [check for check in shown if check.system == SYSTEM]


def typed_for(entry: Entry) -> str:
    """A sensible number with its unit, as short as a person writes it."""
    low, high = entry.low or Decimal(0), entry.high
    number = Decimal(2) if high is None or low < 2 < high else low
    if entry.kind == "year":
        return "1998"
    unit = "" if entry.unit in ("count", "%", "index") else f" {entry.unit}"
    return f"{number.normalize():f}{unit}"


def fill_in(keyboard: Keyboard, check: Check, *, optional_too: bool) -> dict[str, object]:
    """Answer the fields of the check shown, and go on to the next; what was meant, by entry."""
    meant: dict[str, object] = {}
    for entry in check.entries:
        wanted = entry.required or optional_too
        if entry.kind == "choice":
            assert isinstance(keyboard.on(), Segment), entry.id
        else:
            assert isinstance(keyboard.on(), QLineEdit), entry.id
        if wanted and entry.kind == "choice":
            place = min(2, len(entry.choices))
            meant[entry.id] = entry.choices[place - 1].id
            keyboard.press(Qt.Key(Qt.Key.Key_0 + place))
            if entry is not check.entries[-1]:
                continue  # the digit went on by itself
        elif wanted:
            meant[entry.id] = typed_for(entry)
            keyboard.replace(str(meant[entry.id]))
        keyboard.press(Qt.Key.Key_Return)
    return meant


def _nothing_read_yet(window: MainWindow, checks: list[Check]) -> None:
    """Take out what the sample already holds of the gear."""
    session, boat_id = window.session, window.session.boat_id
    for check in checks:
        for reading in session.project.boats[boat_id].inspection.readings.get(check.id, ()):
            session.attempt(
                lambda p, check=check, reading=reading: remove_reading(  # type: ignore[misc]
                    p, boat_id, check.id, reading.id, check.title
                )
            )
    settle(window)


def enter_the_gear(window: MainWindow, *, optional_too: bool) -> tuple[int, list[Check]]:
    """Enter all of it; the number of keys pressed, and the checks."""
    session, keyboard = window.session, Keyboard()
    checks = checks_of_the_gear(window)
    _nothing_read_yet(window, checks)
    session.select_check(checks[0].id)
    window.boats_page.check.form.focus_first()
    rest(1)
    for check in checks:
        assert session.check_id == check.id
        meant = fill_in(keyboard, check, optional_too=optional_too)
        assert session.candidate is not None
        reading = session.candidate.inspection.readings[check.id][-1]
        assert reading.by == OBSERVER
        assert set(reading.values) == set(meant)
        for name, value in reading.values.items():
            assert isinstance(value, Quantity) or value == meant[name]
    return keyboard.pressed, checks


def test_a_running_gear_is_entered_in_under_two_minutes(
    window: MainWindow, record_property: pytest.FixtureRequest
) -> None:
    pressed, checks = enter_the_gear(window, optional_too=False)

    seconds = pressed * KEY_SECONDS + len(checks) * MIND_SECONDS
    record_property("keys", pressed)  # type: ignore[operator]
    record_property("checks", len(checks))  # type: ignore[operator]
    assert len(checks) > 15
    assert window.session.check is not None
    assert window.session.check.system != SYSTEM  # the last Return led into the next system
    assert seconds < 120, f"{pressed} keys for {len(checks)} checks, {seconds:.0f} s"


def test_every_optional_field_can_be_filled_by_keyboard_too(window: MainWindow) -> None:
    pressed, checks = enter_the_gear(window, optional_too=True)

    assert pressed < 14 * len(checks)


def test_a_wrong_number_keeps_the_keyboard_where_it_is(window: MainWindow) -> None:
    check = next(one for one in checks_of_the_gear(window) if one.entries[0].kind == "number")
    window.session.select_check(check.id)
    window.boats_page.check.form.focus_first()
    rest(1)
    keyboard = Keyboard()
    field = keyboard.on()

    keyboard.type("12 apples")
    keyboard.press(Qt.Key.Key_Return)

    assert keyboard.on() is field
    assert window.session.check_id == check.id


def test_the_keys_for_the_next_and_the_previous_check_work_from_a_field(
    window: MainWindow,
) -> None:
    first, second, *_ = checks_of_the_gear(window)
    window.session.select_check(first.id)
    window.boats_page.check.form.focus_first()
    rest(1)
    keyboard = Keyboard()

    keyboard.press(Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert window.session.check_id == second.id

    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    keyboard.press(Qt.Key.Key_Return, both)
    assert window.session.check_id == first.id
