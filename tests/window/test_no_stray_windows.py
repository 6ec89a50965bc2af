"""No part of a page is ever shown as a window of its own.

A part that is shown before it belongs to anything is a window for a moment: it flashes on the
screen and takes the keyboard away from the field one types in.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent, QLocale, QObject, QTimer
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from tests.window.working import open_sample, rest, settle, steps
from workbench.window.main_window import MainWindow
from workbench.window.widgets.surroundings import show_part


class Windows(QObject):
    """Notes every window that is shown while it watches."""

    def __init__(self, application: QApplication) -> None:
        super().__init__(application)
        self.step = "start"
        self.shown: list[str] = []
        application.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's own name
        """Look at what is shown."""
        if event.type() == QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.shown.append(f"{self.step}: {type(watched).__name__}")
        return False


@pytest.fixture
def windows(qapp: QApplication) -> Iterator[Windows]:
    watch = Windows(qapp)
    yield watch
    qapp.removeEventFilter(watch)
    watch.deleteLater()


@pytest.fixture
def window(
    qapp: QApplication, windows: Windows, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[MainWindow]:
    """The program's window on the sample, watched while it is built, not shown yet."""
    del windows
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English))
    made = open_sample(qapp, tmp_path_factory.mktemp("sample"))
    yield made
    made.session.background.finish()
    made.session.close()
    made.deleteLater()
    rest(1)
    QLocale.setDefault(before)


def test_only_the_window_itself_is_a_window(
    window: MainWindow, windows: Windows, qtbot: QtBot
) -> None:
    with qtbot.waitActive(window):
        window.show()
    settle(window)
    for name, do in steps(window):
        windows.step = name
        QTimer.singleShot(0, do)
        rest(5)
        settle(window)

    assert windows.shown == ["start: MainWindow"]
    assert QApplication.activeWindow() is window


@pytest.mark.parametrize("hidden_first", [False, True])
def test_a_part_is_shown_with_what_holds_it(
    windows: Windows, qtbot: QtBot, hidden_first: bool
) -> None:
    part, holder = QLabel("part"), QWidget()
    qtbot.addWidget(holder)
    if hidden_first:
        part.hide()
    show_part(part, shown=True)
    assert not part.isVisible()

    part.setParent(holder)
    show_part(part, shown=True)
    holder.show()

    assert part.isVisible()
    assert windows.shown == ["start: QWidget"]
    show_part(part, shown=False)
    assert not part.isVisible()
