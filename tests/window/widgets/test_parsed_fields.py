"""Fields read with the caller's parser: Enter commits, Esc reverts, errors are a sentence."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QDialog, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from tests.window.widgets.acting import press, spoken, type_text
from workbench.window.widgets.money_field import MoneyField
from workbench.window.widgets.parsed_field import ParsedField
from workbench.window.widgets.quantity_field import QuantityField
from workbench.window.widgets.three_point_field import ThreePointField

Put = Callable[[QWidget], QWidget]
SENTENCE = "Type a number such as 1.5 mm."


def read(text: str) -> object:
    try:
        return float(text.removesuffix("mm").replace(",", ""))
    except ValueError:
        raise ValueError(SENTENCE) from None


def write(value: object) -> str:
    return f"{value:,.1f}" if isinstance(value, float) else ""


def halved(value: object) -> str:
    return f"= {value / 2:.2f} of the radius" if isinstance(value, float) else ""


@pytest.fixture
def field(put: Put) -> QuantityField:
    made = QuantityField(read, write, unit="mm", convert=halved, name="Play")
    put(made)
    made.line_edit.setFocus()
    return made


def retype(field: ParsedField, text: str) -> None:
    field.line_edit.selectAll()
    type_text(field.line_edit, text)


def test_enter_commits_what_was_typed(field: QuantityField, qtbot: QtBot) -> None:
    retype(field, "1.5 mm")

    with qtbot.waitSignal(field.value_entered) as entered:
        press(field.line_edit, Qt.Key.Key_Return)

    assert entered.args == [1.5]
    assert field.value() == 1.5
    assert field.line_edit.text() == "1.5"


def test_the_same_value_again_is_not_announced(field: QuantityField, qtbot: QtBot) -> None:
    field.set_value(1.5)
    retype(field, "1.50mm")

    with qtbot.assertNotEmitted(field.value_entered):
        press(field.line_edit, Qt.Key.Key_Return)

    assert field.line_edit.text() == "1.5"


def test_emptying_the_field_announces_that_there_is_no_value(
    field: QuantityField, qtbot: QtBot
) -> None:
    field.set_value(1.5)
    field.line_edit.selectAll()
    press(field.line_edit, Qt.Key.Key_Delete)

    with qtbot.waitSignal(field.value_entered) as entered:
        press(field.line_edit, Qt.Key.Key_Return)

    assert entered.args == [None]
    assert field.value() is None


def test_what_cannot_be_read_stays_with_a_sentence_and_is_not_announced(
    field: QuantityField, qtbot: QtBot
) -> None:
    field.set_value(1.5)
    retype(field, "épais")

    with qtbot.assertNotEmitted(field.value_entered):
        press(field.line_edit, Qt.Key.Key_Return)

    assert field.line_edit.text() == "épais"
    assert field.value() == 1.5
    assert field.problem() == SENTENCE
    assert field.sentence_label().isVisible()
    assert field.sentence_label().text() == SENTENCE


def test_the_sentence_is_read_out_with_the_field(field: QuantityField) -> None:
    retype(field, "thick")
    press(field.line_edit, Qt.Key.Key_Return)

    interface = QAccessible.queryAccessibleInterface(field.line_edit)

    assert interface.text(QAccessible.Text.Name) == "Play"
    assert interface.text(QAccessible.Text.Description) == SENTENCE


def test_the_sentence_goes_as_soon_as_one_types_on(field: QuantityField) -> None:
    retype(field, "thick")
    press(field.line_edit, Qt.Key.Key_Return)

    retype(field, "2")

    assert field.problem() == ""
    assert not field.sentence_label().isVisible()


def test_escape_brings_back_the_last_value(field: QuantityField, qtbot: QtBot) -> None:
    field.set_value(1.5)
    retype(field, "9")

    with qtbot.assertNotEmitted(field.value_entered):
        press(field.line_edit, Qt.Key.Key_Escape)

    assert field.line_edit.text() == "1.5"
    assert field.value() == 1.5


def test_escape_is_left_to_the_dialog_where_nothing_was_typed(put: Put, qtbot: QtBot) -> None:
    dialog = QDialog()
    column = QVBoxLayout(dialog)
    field = QuantityField(read, write)
    field.set_value(1.5)
    column.addWidget(field)
    put(dialog)
    field.line_edit.setFocus()
    retype(field, "2")

    with qtbot.assertNotEmitted(dialog.rejected):
        press(field.line_edit, Qt.Key.Key_Escape)
    with qtbot.waitSignal(dialog.rejected):
        press(field.line_edit, Qt.Key.Key_Escape)


def test_leaving_the_field_commits(put: Put, qtbot: QtBot) -> None:
    page = QWidget()
    column = QVBoxLayout(page)
    field, other = QuantityField(read, write), QLineEdit()
    column.addWidget(field)
    column.addWidget(other)
    put(page)
    field.setFocus()
    retype(field, "2.5")

    with qtbot.waitSignal(field.value_entered) as entered:
        other.setFocus()

    assert entered.args == [2.5]


def test_the_converted_value_is_shown_while_one_types(field: QuantityField) -> None:
    shown = field.findChildren(type(field.sentence_label()))

    retype(field, "3")
    assert "= 1.50 of the radius" in [label.text() for label in shown if label.isVisible()]

    retype(field, "3x")
    assert "= 1.50 of the radius" not in [label.text() for label in shown if label.isVisible()]


def test_setting_a_value_announces_nothing(field: QuantityField, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(field.value_entered):
        field.set_value(4.0)

    assert field.line_edit.text() == "4.0"


def test_the_field_takes_the_focus_given_to_the_whole(field: QuantityField) -> None:
    field.line_edit.clearFocus()

    field.setFocus()

    assert field.line_edit.hasFocus()


def test_a_field_that_is_read_only_cannot_be_typed_into(field: QuantityField) -> None:
    field.set_value(1.5)
    field.set_read_only(read_only=True)

    retype(field, "7")

    assert field.line_edit.text() == "1.5"


def test_a_sum_stands_right_aligned_with_its_currency(put: Put) -> None:
    field = MoneyField(read, write, currency="USD", name="Price asked")
    put(field)
    field.set_value(24500.0)

    assert field.line_edit.alignment() & Qt.AlignmentFlag.AlignRight
    assert field.line_edit.text() == "24,500.0"
    assert spoken(field.line_edit) == "Price asked"


@pytest.fixture
def estimate(put: Put) -> ThreePointField:
    made = ThreePointField(read, write, limits="One time in ten beyond each limit.", name="Bearing")
    put(made)
    return made


def enter(field: ParsedField, text: str) -> None:
    retype(field, text)
    press(field.line_edit, Qt.Key.Key_Return)


def test_an_estimate_is_announced_once_it_is_whole(estimate: ThreePointField, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(estimate.span_entered):
        enter(estimate.low, "740")
        enter(estimate.likely, "980")

    with qtbot.waitSignal(estimate.span_entered) as entered:
        enter(estimate.high, "1450")

    assert entered.args == [(740.0, 980.0, 1450.0)]
    assert estimate.span() == (740.0, 980.0, 1450.0)


@pytest.mark.parametrize(
    ("which", "text", "said"),
    [
        ("low", "1000", "The low limit is above the likely value; lower it."),
        ("high", "900", "The high limit is below the likely value; raise it."),
        ("likely", "thick", SENTENCE),
    ],
)
def test_an_estimate_out_of_order_is_said_and_not_announced(
    estimate: ThreePointField, qtbot: QtBot, which: str, text: str, said: str
) -> None:
    estimate.set_span((740.0, 980.0, 1450.0))

    with qtbot.assertNotEmitted(estimate.span_entered):
        enter(getattr(estimate, which), text)

    assert estimate.problem() == said
    assert estimate.span() == (740.0, 980.0, 1450.0)


def test_emptying_all_three_announces_that_there_is_no_estimate(
    estimate: ThreePointField, qtbot: QtBot
) -> None:
    estimate.set_span((740.0, 980.0, 1450.0))
    with qtbot.waitSignal(estimate.span_entered) as entered:
        for part in (estimate.low, estimate.likely, estimate.high):
            part.line_edit.clear()
            press(part.line_edit, Qt.Key.Key_Return)

    assert entered.args == [None]


def test_each_part_of_an_estimate_is_named(estimate: ThreePointField) -> None:
    parts = (estimate.low, estimate.likely, estimate.high)

    assert [spoken(part.line_edit) for part in parts] == [
        "Bearing, low",
        "Bearing, likely",
        "Bearing, high",
    ]


def test_what_the_limits_mean_can_be_changed(estimate: ThreePointField) -> None:
    estimate.set_limits("One time in twenty beyond each limit.")

    texts = [label.text() for label in estimate.findChildren(type(estimate.low.sentence_label()))]
    assert "One time in twenty beyond each limit." in texts
