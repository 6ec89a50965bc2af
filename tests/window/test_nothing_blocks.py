"""What takes long never runs in the window's own thread, whatever the user does.

A scripted user works through the whole window on the sample while every call in every thread is
looked at. How long the window's thread is held is measured in tests/benchmarks, where times belong;
here nothing depends on how fast the machine is.
"""

from __future__ import annotations

import importlib
import sys
import threading
from collections.abc import Iterator
from functools import reduce
from types import CodeType, FrameType

import pytest
from PySide6.QtCore import QLocale, QTimer
from PySide6.QtWidgets import QApplication

from tests.window.working import open_sample, rest, settle, steps
from workbench.catalogue import loading
from workbench.window.main_window import MainWindow

WORKED = (
    "workbench.figures.assess:Assessor.assess",
    "workbench.figures.next_look:next_looks",
    "workbench.figures.comparison:compare",
    "workbench.store.saving:save",
    "workbench.store.backups:make_backup",
    "workbench.store.autosave:find_autosaves",
    "workbench.store.autosave:settle_autosaves",
    "workbench.catalogue.loading:_loaded",
)
"""What the scripted user sets off; that it ran at all shows that the watch sees it."""
HEAVY = (
    *WORKED,
    "workbench.catalogue.assembling:build",
    "workbench.catalogue.compiled:read_compiled",
    "workbench.figures.best_survey:best_survey",
    "workbench.figures.draws:total_draws",
    "workbench.store.reading:read_folder",
    "workbench.store.watching:changed_outside",
    "workbench.store.autosave:keep_autosave",
    "workbench.reports.export:export_sheets",
    "workbench.reports.pdf:write_pdf",
    "workbench.reports.workbook:write_workbook",
)
"""Module and name of what is heavy; a name that is gone makes the test fail."""


def code_of(name: str) -> CodeType:
    """The code of a function, however it is called and from wherever it was imported."""
    module, _, path = name.partition(":")
    found = reduce(getattr, path.split("."), importlib.import_module(module))
    found = getattr(found, "__wrapped__", found)
    code = getattr(found, "__code__")  # noqa: B009 - mypy takes the object for any
    assert isinstance(code, CodeType)
    return code


class Watch:
    """Notes which of some functions are called, in the window's thread and beside it."""

    def __init__(self, names: tuple[str, ...]) -> None:
        self._names = {code_of(name): name for name in names}
        self._own = threading.get_ident()
        self.in_the_window: dict[str, str] = {}
        self.beside: set[str] = set()
        self.step = "start"

    def look(self, frame: FrameType, event: str, _argument: object) -> None:
        """Look at one call."""
        if event != "call" or frame.f_code not in self._names:
            return
        name = self._names[frame.f_code]
        if threading.get_ident() == self._own:
            self.in_the_window.setdefault(name, self.step)
        else:
            self.beside.add(name)

    def __enter__(self) -> Watch:
        threading.setprofile(self.look)
        sys.setprofile(self.look)
        return self

    def __exit__(self, *_: object) -> None:
        sys.setprofile(None)
        threading.setprofile(None)


@pytest.fixture
def watch() -> Watch:
    """A watch on everything heavy, whose modules are loaded already."""
    return Watch(HEAVY)


@pytest.fixture
def window(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Iterator[MainWindow]:
    """The program's window on the sample, not shown yet."""
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English))
    loading._loaded.cache_clear()
    made = open_sample(qapp, tmp_path_factory.mktemp("sample"))
    yield made
    made.session.background.finish()
    made.session.close()
    made.deleteLater()
    rest(1)
    QLocale.setDefault(before)


def test_nothing_heavy_runs_in_the_windows_thread(watch: Watch, window: MainWindow) -> None:
    with watch:
        window.show()
        rest(50)
        settle(window)
        for name, do in steps(window):
            watch.step = name
            QTimer.singleShot(0, do)
            rest(1)
            settle(window)

    assert watch.in_the_window == {}
    assert set(WORKED) <= watch.beside


def test_the_watch_sees_what_runs_in_the_windows_thread(watch: Watch, window: MainWindow) -> None:
    from workbench.figures.assess import Assessor  # noqa: PLC0415 - as the window imports it

    with watch:
        Assessor().assess(window.session.project, window.session.shipped)

    assert watch.in_the_window["workbench.figures.assess:Assessor.assess"] == "start"
    assert watch.beside == set()
