"""A card of the shortlist: chosen by click or key, and seen to be chosen."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tests.window.widgets.acting import click, holds, press, spoken
from workbench.window.palette import LIGHT
from workbench.window.widgets.card import Card
from workbench.window.widgets.labels import label

Put = Callable[[QWidget], QWidget]


@pytest.fixture
def card(put: Put) -> Card:
    made = Card("rae", name="Marigold Rae")
    made.column.addWidget(label("Marigold Rae", "strong"))
    made.resize(200, 60)
    put(made)
    made.clearFocus()
    return made


def test_a_click_chooses_the_card(card: Card, qtbot: QtBot) -> None:
    with qtbot.waitSignal(card.chosen) as chosen:
        click(card)

    assert chosen.args == ["rae"]


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Space])
def test_a_key_chooses_the_card(card: Card, qtbot: QtBot, key: Qt.Key) -> None:
    with qtbot.waitSignal(card.chosen):
        press(card, key)


def test_another_key_does_not(card: Card, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(card.chosen):
        press(card, Qt.Key.Key_X)


def test_the_chosen_card_has_an_accent_outline_and_says_so(card: Card, qtbot: QtBot) -> None:
    assert not holds(card.grab().toImage(), LIGHT.accent, 3)

    with qtbot.assertNotEmitted(card.chosen):
        card.set_chosen(chosen=True)

    assert card.is_chosen
    assert holds(card.grab().toImage(), LIGHT.accent, 3)
    assert card.accessibleDescription() == "chosen"
    assert spoken(card) == "Marigold Rae"
    card.set_chosen(chosen=False)
    assert not holds(card.grab().toImage(), LIGHT.accent, 3)
