"""A window that was closed leaves no widget, no timer, no thread and no file open.

Whatever Qt or Python make once and keep for good is there after the first window; so the second and
the third are held to what was there after the first.
"""

from __future__ import annotations

import gc
import threading
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QLocale, QObject, QSettings, QTimer
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from tests.figures.small_yard import mm, seen, small_catalogue
from tests.window.open_search import make_folder
from tests.window.working import rest, settle
from workbench.domain.boat import Boat
from workbench.edits import boats, inspecting
from workbench.store.folder import open_project
from workbench.window import app
from workbench.window.pages.registry import PAGES

OPEN_FILES = Path("/proc/self/fd")


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A saved search with one boat."""
    return make_folder(
        tmp_path / "search",
        lambda p: boats.add_boat(p, Boat("", "Ann", year=1986)),
        lambda p: inspecting.record_reading(p, "ann", "bearing", seen(play=mm("1.2"))),
    )


@pytest.fixture(autouse=True)
def in_english(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Figures of one language, and the small catalogue in place of the shipped one."""
    monkeypatch.setattr(app, "_shipped_catalogue", lambda _: small_catalogue())
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English))
    yield
    QLocale.setDefault(before)


def work_in_a_window(application: QApplication, place: Path, pages: tuple[str, ...]) -> None:
    """Open the window, look at pages, change something, and close it as a user does."""
    settings = QSettings(str(place.parent / "window.ini"), QSettings.Format.IniFormat)
    window = app.build(application, open_project(place), settings)
    session = window.session
    window.show()
    rest(20)
    settle(window)
    session.select_check("seacocks")
    for key in pages:
        window.show_page(key)
        rest(1)
        settle(window)
    number = len(session.history.undo_label)
    session.attempt(
        lambda p: boats.rename_boat(p, "ann", f"Ann {number} {id(window)}"),
    )
    settle(window)
    window.close()
    for _ in range(500):
        if not window.isVisible():
            break
        rest(10)
    assert not window.isVisible()
    window.deleteLater()


def clean_up() -> None:
    """Let Qt and Python take away what nobody holds."""
    for _ in range(3):
        rest(5)
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        gc.collect()


def widgets() -> Counter[str]:
    """Every widget of the application, by kind."""
    return Counter(type(one).__name__ for one in QApplication.allWidgets() if isValid(one))


def python_objects() -> Counter[str]:
    """Every object of Qt that Python still holds and that is alive, by kind."""
    return Counter(
        type(one).__name__
        for one in gc.get_objects()
        if isinstance(one, QObject) and isValid(one) and not isinstance(one, QCoreApplication)
    )


def running_timers() -> int:
    """How many timers of Python's are set."""
    return sum(
        1 for one in gc.get_objects() if isinstance(one, QTimer) and isValid(one) and one.isActive()
    )


def open_files() -> int:
    """How many files this process holds open; nothing where the system does not tell."""
    return len(list(OPEN_FILES.iterdir())) if OPEN_FILES.exists() else 0


@dataclass(frozen=True, slots=True)
class Leftovers:
    """What a closed window could leave: kinds of things and how many of each."""

    widgets: Counter[str] = field(default_factory=Counter)
    objects: Counter[str] = field(default_factory=Counter)
    threads: Counter[str] = field(default_factory=Counter)
    timers: int = 0
    files: int = 0

    def beyond(self, before: Leftovers) -> Leftovers:
        """What is here now and was not before; what earlier tests left may go in the meantime."""
        return Leftovers(
            self.widgets - before.widgets,
            self.objects - before.objects,
            self.threads - before.threads,
            max(0, self.timers - before.timers),
            max(0, self.files - before.files),
        )


def left_over() -> Leftovers:
    """What is there now."""
    clean_up()
    threads = Counter(one.name for one in threading.enumerate())
    return Leftovers(widgets(), python_objects(), threads, running_timers(), open_files())


@pytest.mark.parametrize(
    "pages", [("boats",), tuple(page.key for page in PAGES)], ids=["boats", "every page"]
)
def test_a_closed_window_leaves_nothing(
    qapp: QApplication, place: Path, pages: tuple[str, ...]
) -> None:
    work_in_a_window(qapp, place, pages)
    first = left_over()

    for _ in range(2):
        work_in_a_window(qapp, place, pages)

    assert left_over().beyond(first) == Leftovers()


def test_what_is_left_over_is_seen(qapp: QApplication) -> None:
    del qapp
    before = left_over()
    kept, timer = QWidget(), QTimer()
    timer.start(10_000)
    thread = threading.Event()
    running = threading.Thread(target=thread.wait, name="kept")
    running.start()

    after = left_over()

    assert after.beyond(before) == Leftovers(
        widgets=Counter({"QWidget": 1}),
        objects=Counter({"QWidget": 1, "QTimer": 1}),
        threads=Counter({"kept": 1}),
        timers=1,
    )
    thread.set()
    running.join()
    timer.stop()
    del kept, timer
