"""A style sheet that is held back is put on once, whole, when the window is built."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication

from workbench.window.palette import choose_palette
from workbench.window.theme import Theme, ThemeMode


@pytest.fixture
def undressed(qapp: QApplication) -> Iterator[QApplication]:
    """The application without a style sheet, and as it was afterwards."""
    before = qapp.styleSheet()
    qapp.setStyleSheet("")
    yield qapp
    qapp.setStyleSheet(before)


def test_nothing_is_put_on_before_it_is_asked_for(undressed: QApplication) -> None:
    theme = Theme(undressed, ThemeMode.LIGHT, put_on_later=True)
    theme.set_mode(ThemeMode.DARK)
    assert undressed.styleSheet() == ""

    theme.put_on()

    assert choose_palette(dark=True).page in undressed.styleSheet()
    theme.set_mode(ThemeMode.LIGHT)
    assert choose_palette(dark=False).page in undressed.styleSheet()
    theme.deleteLater()


def test_the_sheet_is_the_one_that_is_put_on_at_once(undressed: QApplication) -> None:
    later = Theme(undressed, ThemeMode.LIGHT, put_on_later=True)
    later.put_on()
    sheet = undressed.styleSheet()
    at_once = Theme(undressed, ThemeMode.LIGHT)

    without_pictures = [
        "\n".join(line for line in one.splitlines() if "url(" not in line)
        for one in (sheet, undressed.styleSheet())
    ]
    assert without_pictures[0] == without_pictures[1] != ""
    later.deleteLater()
    at_once.deleteLater()
