"""A scripted user who works in the real window on the sample: every page, many checks, edits.

Each step is a name and a call; the steps are done one in each turn of the event loop, with rest
between them, so that a step shows how long it holds the window by itself.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from PySide6.QtCore import QEventLoop, QSettings, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from workbench.store.folder import open_project
from workbench.window import app
from workbench.window.main_window import MainWindow
from workbench.window.models.inspection_tree import Filter
from workbench.window.models.ledger_tree import Grouping
from workbench.window.pages.registry import PAGES
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.quantity_field import QuantityField

SAMPLE = Path(__file__).resolve().parents[2] / "sample_projects" / "two-yards-one-spring"
Step = tuple[str, Callable[[], object]]
CHECKS = 12


def open_sample(application: QApplication, folder: Path, language: str = "en") -> MainWindow:
    """The program's own window on a copy of the sample, as `python -m workbench` builds it."""
    place = folder / "search"
    shutil.copytree(SAMPLE, place)
    settings = QSettings(str(folder / "window.ini"), QSettings.Format.IniFormat)
    settings.setValue("observer", "Robin")
    return app.build(application, open_project(place), settings, language)


def rest(milliseconds: int) -> None:
    """Let the event loop run."""
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def settle(window: MainWindow, most_ms: int = 60_000) -> None:
    """Let the window run until nothing is worked on beside it."""
    for _ in range(most_ms // 20):
        rest(20)
        if not window.session.background.is_busy:
            rest(20)
            return
    raise AssertionError("the work beside the window did not end")


def steps(window: MainWindow) -> Iterator[Step]:
    """What the user does, one after another."""
    yield from _looking(window)
    yield from _reading(window)
    yield from _costing(window)
    yield from _pages(window)
    yield "undo", window.session.undo
    yield "redo", window.session.redo
    yield "save", window.session.save


def _looking(window: MainWindow) -> Iterator[Step]:
    page, session = window.boats_page, window.session
    for boat_id in (*session.project.boats, session.boat_id):
        yield f"boat {boat_id}", partial(session.select_boat, boat_id)
    for kind in Filter:
        yield f"filter {kind.value}", partial(page.inspection.model.set_filter, kind)
    page.inspection.model.set_filter(Filter.ALL)


def _reading(window: MainWindow) -> Iterator[Step]:
    """The first checks of the tree, each with every field filled by keys."""
    page, session = window.boats_page, window.session
    for check_id in page.inspection.model.shown_keys()[:CHECKS]:
        yield f"check {check_id}", partial(session.select_check, check_id)
        check = session.catalogue.checks[check_id]
        for entry in check.entries:
            field = page.check.form.field(entry.id)
            if isinstance(field, ChoiceRow):
                segment = field.segments()[-1]
                key = Qt.Key(Qt.Key.Key_0 + min(len(field.segments()), 9))
                yield f"choose in {check_id}", partial(QTest.keyClick, segment, key)
            elif isinstance(field, QuantityField):
                text = "2" if entry.low is None else f"{entry.low:f}"
                line = field.line_edit
                yield f"type in {check_id}", partial(_enter, line, text)


def _enter(line: QLineEdit, text: str) -> None:
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)
    QTest.keyClick(line, Qt.Key.Key_Return)


def _costing(window: MainWindow) -> Iterator[Step]:
    ledger = window.boats_page.ledger
    for kind in Grouping:
        yield f"ledger {kind.value}", partial(ledger.model.set_grouping, kind)
    yield "ledger when", lambda: ledger.model.set_grouping(Grouping.WHEN)
    line = next(key for key in ledger.model.shown_keys() if key.count("/") == 2)
    yield "unfold a line", lambda: ledger.open_line(line)
    yield "own work", ledger.panel.own_work.click
    yield "add a job", ledger.add_job


def _pages(window: MainWindow) -> Iterator[Step]:
    for kind in (*PAGES, PAGES[0]):
        yield f"page {kind.key}", partial(window.show_page, kind.key)
