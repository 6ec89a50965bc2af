"""How long the window takes to be usable, and what it holds, as ratios to a bare PySide6 window.

The baseline is a child process that shows a `QMainWindow` with an empty `QTableView`; ours is the
program itself. The two take turns, both with their bytecode at hand, and the quickest of each is
compared, as the least disturbed. Ours was opened and closed once before, so it finds the compiled
catalogue and the rows it last showed, as at every start but the first.

What must come within a frame is compared with a frame: 1/60 s is no property of a machine.
"""

from __future__ import annotations

import functools
import gc
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter
from typing import Any, NamedTuple

import pytest
from PySide6.QtCore import QEventLoop, QLocale, QSettings, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.benchmarks.reference_load import SAMPLE, write_long_ledger, write_reference
from workbench.store.folder import open_project
from workbench.window import app
from workbench.window.main_window import MainWindow
from workbench.window.widgets.choice_row import ChoiceRow

pytestmark = pytest.mark.benchmark_ratio

CHILDREN = Path(__file__).resolve().parent / "children"
ROOT = Path(__file__).resolve().parents[2]
FRAME_MS = 1000 / 60
ROUNDS = 9
LEDGER_ROWS = 5_000
_DIGITS = (Qt.Key.Key_1, Qt.Key.Key_2)


class Reached(NamedTuple):
    """When a child said a word [s after it was started], and the memory it told [MB]."""

    seconds: dict[str, float]
    memory: float


@pytest.fixture(scope="module")
def surroundings(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The variables of a child: program, bytecode and user folders of this run's own.

    The program is a copy, so that somebody who goes on writing it does not make what was kept of it
    stale between two starts.
    """
    home = tmp_path_factory.mktemp("home")
    for part in ("workbench", "resources"):
        shutil.copytree(ROOT / part, home / part, ignore=shutil.ignore_patterns("__pycache__"))
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {
        **kept,
        "HARDSTAND_HOME": str(home),
        "PYTHONPATH": os.pathsep.join((str(home), str(ROOT))),
        "PYTHONPYCACHEPREFIX": str(home / "bytecode"),
        "QT_QPA_PLATFORM": "offscreen",
    }


def run_child(surroundings: dict[str, str], name: str, *words: str) -> Reached:
    """Start a child and note when it says what."""
    started = perf_counter()
    with subprocess.Popen(
        [sys.executable, str(CHILDREN / name), *words],
        env=surroundings,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as child:
        assert child.stdout is not None
        seconds: dict[str, float] = {}
        memory = 0.0
        for line in child.stdout:
            word, _, number = line.strip().partition(" ")
            seconds[word] = perf_counter() - started
            memory = float(number) if word == "memory" else memory
    assert child.returncode == 0
    return Reached(seconds, memory)


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory, surroundings: dict[str, str]) -> Path:
    """The sample, opened and closed once."""
    place = tmp_path_factory.mktemp("sample") / "search"
    shutil.copytree(SAMPLE, place)
    run_child(surroundings, "our_window.py", str(place), "until-closed")
    return place


@pytest.fixture(scope="module")
def reference(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The reference load."""
    place = tmp_path_factory.mktemp("reference") / "search"
    write_reference(place)
    return place


def take_turns(
    benchmark: Any, surroundings: dict[str, str], place: Path, until: str, word: str
) -> tuple[list[float], list[float]]:
    """Seconds until the bare window is usable, and until ours says a word; the two in turns."""
    bare: list[float] = []
    ours: list[float] = []

    def one_turn() -> None:
        bare.append(run_child(surroundings, "bare_window.py").seconds["usable"])
        reached = run_child(surroundings, "our_window.py", str(place), until)
        ours.append(reached.seconds[word])

    benchmark.pedantic(one_turn, rounds=ROUNDS, iterations=1, warmup_rounds=1)
    return bare[1:], ours[1:]


def leave(benchmark: Any, ratio: float, limit: float, **more: float) -> None:
    """Leave a ratio, its agreed limit and whatever else was seen."""
    benchmark.extra_info.update(ratio=ratio, limit=limit, **more)


def leave_start(benchmark: Any, bare: list[float], ours: list[float], limit: float) -> None:
    """Leave the ratio of two starts, the quickest of each."""
    leave(
        benchmark,
        min(ours) / min(bare),
        limit,
        bare_ms=min(bare) * 1000,
        ours_ms=min(ours) * 1000,
        median_ratio=median(ours) / median(bare),
    )


def test_the_sample_is_usable(benchmark: Any, surroundings: dict[str, str], sample: Path) -> None:
    """List, tree and ledger stand there and can be worked in."""
    bare, ours = take_turns(benchmark, surroundings, sample, "until-usable", "usable")

    leave_start(benchmark, bare, ours, limit=1.6)


def test_the_samples_figures_are_filled_in(
    benchmark: Any, surroundings: dict[str, str], sample: Path
) -> None:
    """Made anew beside the window; the same stood there already, as last shown."""
    bare, ours = take_turns(benchmark, surroundings, sample, "until-figures", "figures")

    leave_start(benchmark, bare, ours, limit=3.5)


def test_the_reference_load_is_usable(
    benchmark: Any, surroundings: dict[str, str], reference: Path
) -> None:
    """20 boats, more than 3,000 lines, 400 photos."""
    run_child(surroundings, "our_window.py", str(reference), "until-closed")

    bare, ours = take_turns(benchmark, surroundings, reference, "until-usable", "usable")

    leave_start(benchmark, bare, ours, limit=2.5)


def test_the_memory_held_with_the_sample(
    benchmark: Any, surroundings: dict[str, str], sample: Path
) -> None:
    """A second after the figures are there."""
    held: list[float] = []

    def one_turn() -> None:
        held.append(run_child(surroundings, "our_window.py", str(sample), "until-figures").memory)

    benchmark.pedantic(one_turn, rounds=3, iterations=1)
    bare = min(run_child(surroundings, "bare_window.py").memory for _ in range(3))

    leave(benchmark, min(held) / bare, 2.0, bare_mb=bare, ours_mb=min(held))


# --- In this process: what one does in the open window ---


OpenWindow = Callable[[Path], MainWindow]


@pytest.fixture
def open_window(qapp: QApplication, tmp_path: Path) -> Iterator[OpenWindow]:
    """Opens a search in a real window with its figures made; closed at the end."""
    opened: list[MainWindow] = []
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English))

    def open_it(place: Path) -> MainWindow:
        own = tmp_path / "search"
        shutil.copytree(place, own)
        settings = QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)
        window = app.build(qapp, open_project(own), settings)
        opened.append(window)
        loop = QEventLoop()
        window.session.assessed.connect(loop.quit)
        window.show()
        QTimer.singleShot(120_000, loop.quit)
        loop.exec()
        assert window.session.boat is not None
        rest(200)
        return window

    yield open_it
    for window in opened:
        window.session.save()
        window.session.background.finish()
        window.session.close()
        window.deleteLater()
    rest(10)
    gc.unfreeze()
    QLocale.setDefault(before)


def rest(milliseconds: int) -> None:
    """Let the event loop run."""
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def key_presses(window: MainWindow, number: int) -> Iterator[Callable[[], None]]:
    """Calls that each change one reading by a key; what was chosen is chosen otherwise."""
    session, page = window.session, window.boats_page
    assert session.boat is not None
    checks = [
        (finding.check, entry)
        for finding in session.boat.findings
        for entry in finding.check.entries[:1]
        if entry.kind == "choice" and len(entry.choices) > 1
    ]
    for turn in range(number):
        check, entry = checks[turn % len(checks)]
        session.select_check(check.id)
        rest(40)
        row = page.check.form.field(entry.id)
        assert isinstance(row, ChoiceRow)
        place = 1 if row.choice() != entry.choices[1].id else 0
        segment = row.segments()[place]
        yield functools.partial(QTest.keyClick, segment, _DIGITS[place])


def leave_presses(benchmark: Any, window: MainWindow, within_ms: float) -> None:
    """Measure from the key press until the changed totals are painted; the 95th percentile."""
    session = window.session
    waits: list[float] = []
    figured: list[float] = []
    session.totals_known.connect(lambda: figured.append(perf_counter()))  # after they are painted

    def press_all() -> None:
        for press in key_presses(window, 40):
            loop = QEventLoop()
            session.assessed.connect(loop.quit)
            figured.clear()
            started = perf_counter()
            press()
            loop.exec()
            session.assessed.disconnect(loop.quit)
            waits.append((figured[0] - started) * 1000)
            rest(40)

    benchmark.pedantic(press_all, rounds=1, iterations=1)
    p95 = quantiles(waits, n=20)[-1]

    leave(benchmark, p95 / within_ms, 1.0, p95_ms=p95, median_ms=median(waits))


def test_a_key_press_changes_the_samples_totals_within_a_frame(
    benchmark: Any, open_window: OpenWindow
) -> None:
    leave_presses(benchmark, open_window(SAMPLE), FRAME_MS)


def test_a_key_press_changes_the_reference_loads_totals_within_three_frames(
    benchmark: Any, open_window: OpenWindow, reference: Path
) -> None:
    """L4."""
    leave_presses(benchmark, open_window(reference), 50)


def test_five_thousand_ledger_rows_scroll_at_sixty_frames_a_second(
    benchmark: Any, open_window: OpenWindow, tmp_path: Path
) -> None:
    """Each step moves by half a page, so that most of every picture is new."""
    write_long_ledger(tmp_path / "long", LEDGER_ROWS)
    view = open_window(tmp_path / "long").boats_page.ledger.view
    bar = view.verticalScrollBar()
    assert bar.maximum() > 100 * view.viewport().height()
    steps: list[float] = []

    def scroll() -> None:
        for step in range(300):
            started = perf_counter()
            bar.setValue(step * view.viewport().height() // 2)
            view.viewport().repaint()
            steps.append((perf_counter() - started) * 1000)

    benchmark.pedantic(scroll, rounds=1, iterations=1, warmup_rounds=1)
    p95 = quantiles(steps, n=20)[-1]

    leave(benchmark, p95 / FRAME_MS, 1.0, p95_ms=p95, median_ms=median(steps))
