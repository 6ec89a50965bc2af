"""The program itself on a search, telling on standard output how far it has come.

    python our_window.py FOLDER until-usable|until-figures|until-closed

`usable`: list, tree and ledger have rows and all three were painted with them. `figures`: the
figures made anew are on the screen; the memory held a second later is told too. Until closed, the
window is closed as a user does, so that the next start finds what was last shown.
"""

from __future__ import annotations

import gc

gc.disable()  # as the program's own entry does before it imports its window

# ruff: noqa: E402
import os
import sys
from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtWidgets import QAbstractItemView, QApplication

from tests.benchmarks.children.memory import resident_megabytes
from workbench.window import app
from workbench.window.main_window import MainWindow


class Rows(QObject):
    """Calls back when every one of some views has been painted with rows in it."""

    def __init__(self, views: list[QAbstractItemView], then: Callable[[], None]) -> None:
        super().__init__(views[0])
        self._missing = {view.viewport(): view for view in views}
        self._then = then
        for port in self._missing:
            port.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's own name
        """Strike a view off once it is painted with rows."""
        if event.type() == QEvent.Type.Paint:
            view = next((v for port, v in self._missing.items() if port is watched), None)
            if view is not None and view.model().rowCount():
                self._missing = {p: v for p, v in self._missing.items() if v is not view}
                if not self._missing:
                    QTimer.singleShot(0, self, self._then)
        return False


def say(word: str) -> None:
    """Tell the measuring process that something has been reached."""
    print(word, flush=True)


def stop() -> None:
    """End without the time that taking everything down costs."""
    sys.stdout.flush()
    os._exit(0)


def watch(window: MainWindow, until: str) -> None:
    """Tell what the window reaches."""
    page, session = window.boats_page, window.session

    def usable() -> None:
        say("usable")
        if until == "until-usable":
            stop()

    def figured() -> None:
        QApplication.processEvents()
        say("figures")
        if until == "until-figures":
            QTimer.singleShot(1000, settled)
        if until == "until-closed":
            window.close()

    def settled() -> None:
        say(f"memory {resident_megabytes()}")
        stop()

    Rows([page.boats.view, page.inspection.view, page.ledger.view], usable)
    session.assessed.connect(figured, Qt.ConnectionType.QueuedConnection)


def main() -> int:
    """Start the program as its own entry does, with the watch beside it."""
    folder, until = sys.argv[1:]
    build = app.build

    def build_and_watch(*given: object) -> MainWindow:
        window = build(*given)  # type: ignore[arg-type]
        watch(window, until)
        return window

    app.build = build_and_watch  # type: ignore[assignment]
    from workbench.__main__ import main as program  # noqa: PLC0415 - as the interpreter does

    return program([folder])


if __name__ == "__main__":
    sys.exit(main())
