"""The window is shown before anything heavy is loaded, and stays without what is not needed yet.

Looked at in a process of its own, where nothing was loaded before.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

from tests.window.working import SAMPLE

HEAVY = {
    *("numpy", "pandas", "scipy", "PIL", "pi_heif", "babel", "tomllib"),
    *("reportlab", "openpyxl", "xlsxwriter", "pypdf", "pypdfium2", "pdfminer"),
}
NOT_FOR_LOOKING = HEAVY - {"numpy", "tomllib"}

PROGRAM = """
import json, os, sys
from PySide6.QtCore import Qt, QTimer
from workbench.window import app

loaded = {}
build = app.build

def look(when):
    loaded[when] = sorted({name.partition(".")[0] for name in sys.modules})

def build_and_look(*given):
    window = build(*given)
    window.first_shown.connect(lambda: look("shown"), Qt.ConnectionType.DirectConnection)
    window.session.assessed.connect(end, Qt.ConnectionType.QueuedConnection)
    return window

def end():
    QTimer.singleShot(300, really_end)

def really_end():
    look("figured")
    print(json.dumps(loaded), flush=True)
    os._exit(0)

app.build = build_and_look
from workbench.__main__ import main
main(sys.argv[1:])
"""


def loaded_by_the_window(folder: Path) -> dict[str, set[str]]:
    """The top names of what is loaded when the window is shown, and when figures are there."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(folder)],
        env={**os.environ, "HARDSTAND_HOME": str(folder.parent / "home")},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    return {when: set(names) for when, names in json.loads(done.stdout).items()}


def test_the_window_is_shown_before_anything_heavy_is_loaded(tmp_path: Path) -> None:
    shutil.copytree(SAMPLE, tmp_path / "search")

    loaded = loaded_by_the_window(tmp_path / "search")

    assert loaded["shown"] & HEAVY == set()
    assert "numpy" in loaded["figured"]
    assert loaded["figured"] & NOT_FOR_LOOKING == set()
