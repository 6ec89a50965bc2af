"""A warning of Qt or of Python makes a test fail; the one exemption does not.

Each case is a small test file run by pytest itself, under this project's settings.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def run_as_a_test(folder: Path, body: str) -> subprocess.CompletedProcess[str]:
    """Run ``body`` as the one test of a project that has this project's settings."""
    tests = folder / "tests"
    tests.mkdir()
    shutil.copy(ROOT / "pyproject.toml", folder)
    shutil.copy(ROOT / "tests" / "conftest.py", tests)
    lines = "".join(f"    {line}\n" for line in body.splitlines())
    (tests / "test_planted.py").write_text(f"def test_planted(qapp):\n{lines}", encoding="utf-8")
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(
    "body",
    [
        "from PySide6.QtCore import qWarning\nqWarning('something is wrong')",
        "from PySide6.QtCore import qCritical\nqCritical('something is very wrong')",
        "import warnings\nwarnings.warn('old', DeprecationWarning)",
    ],
)
def test_a_warning_fails_the_test(tmp_path: Path, body: str) -> None:
    done = run_as_a_test(tmp_path, body)

    assert "1 failed" in done.stdout, done.stdout + done.stderr


def test_the_one_exempt_message_does_not(tmp_path: Path) -> None:
    body = (
        "from PySide6.QtCore import qWarning\n"
        "qWarning('This plugin does not support propagateSizeHints()')"
    )

    done = run_as_a_test(tmp_path, body)

    assert "1 passed" in done.stdout, done.stdout + done.stderr
