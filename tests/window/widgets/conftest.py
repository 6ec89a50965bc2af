"""The dressed application, and a way to put a widget on the screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtGui import QCursor
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from workbench.window.theme import Theme, ThemeMode

Put = Callable[[QWidget], QWidget]


@pytest.fixture(scope="session")
def dressed(qapp: QApplication) -> Theme:
    """The one theme of the test application."""
    return Theme(qapp, ThemeMode.LIGHT)


@pytest.fixture
def theme(dressed: Theme) -> Iterator[Theme]:
    """The theme, light and at its ordinary scale before and after each test."""
    dressed.set_mode(ThemeMode.LIGHT)
    dressed.set_text_scale(1.0)
    yield dressed
    dressed.set_mode(ThemeMode.LIGHT)
    dressed.set_text_scale(1.0)


@pytest.fixture
def put(qtbot: QtBot, theme: Theme) -> Put:
    """Show a widget in an active window and give it back."""
    del theme

    def show(widget: QWidget) -> QWidget:
        qtbot.addWidget(widget)
        QCursor.setPos(799, 799)  # no row is to lie under the pointer by chance
        with qtbot.waitActive(widget):
            widget.show()
        return widget

    return show
