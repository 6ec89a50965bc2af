"""What holds for every test: no display, no user's files, one locale, no noise.

Everything before the imports of pytest's own fixtures has to happen before Qt or the program is
imported, so it stands at module level.
"""

from __future__ import annotations

import atexit
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

ROOT = Path(__file__).resolve().parent.parent

# Qt aborts the whole process when it has no display to go to, so it gets one that needs none.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# The language and number signs of whoever runs the tests must not reach them.
for name in [name for name in os.environ if name == "LANGUAGE" or name.startswith("LC_")]:
    del os.environ[name]
os.environ["LC_ALL"] = os.environ["LANG"] = "C.UTF-8"

# Child processes that tests start find the program as this process does.
os.environ["PYTHONPATH"] = str(ROOT)
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

# A home of its own per process, so that nothing of the user's is read or written.
HOMES = Path(tempfile.mkdtemp(prefix="hardstand-tests-"))
atexit.register(shutil.rmtree, HOMES, ignore_errors=True)
USER_FOLDERS = {
    "HOME": "",
    "USERPROFILE": "",
    "APPDATA": "roaming",
    "LOCALAPPDATA": "local",
    "XDG_CACHE_HOME": "cache",
    "XDG_CONFIG_HOME": "config",
    "XDG_DATA_HOME": "data",
    "XDG_STATE_HOME": "state",
    "XDG_DOCUMENTS_DIR": "documents",
}


def point_user_folders_at(home: Path) -> None:
    """Make every way in which a program asks for the user's folders lead below ``home``."""
    home.mkdir(parents=True, exist_ok=True)
    for variable, below in USER_FOLDERS.items():
        os.environ[variable] = str(home / below)


point_user_folders_at(HOMES / "shared")

# How fast a machine is must not decide over a test: no deadline, no complaint of slowness.
settings.register_profile("local", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile(
    "ci", parent=settings.get_profile("local"), derandomize=True, print_blob=True
)
settings.register_profile("nightly", parent=settings.get_profile("local"), max_examples=2000)
settings.load_profile(
    os.environ.get("HYPOTHESIS_PROFILE", "ci" if os.environ.get("CI") else "local")
)


def pytest_configure(config: pytest.Config) -> None:
    """Name the only two things that may be said during a test."""
    # Qt's offscreen platform says so of every window with a size constraint; it means nothing.
    config.addinivalue_line("qt_log_ignore", r"This plugin does not support propagateSizeHints\(\)")
    # Qt sometimes ends pytest-qt's own waiting for a signal before pytest-qt does; it expects that
    # and passes over it, unless the warning was made an error.
    config.addinivalue_line(
        "filterwarnings",
        r"ignore:libpyside. Failed to disconnect .*pytestqt\.wait_signal:RuntimeWarning",
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Make Qt's warnings failures, and leave out what has its own way to be run.

    Ratios are measured by packaging/benchmark.py; long sweeps by ``pytest -m nightly``.
    """
    measuring = bool(config.getoption("benchmark_only", default=False))
    nightly = "nightly" in str(config.getoption("markexpr", default=""))
    left_out = []
    for item in items:
        item.add_marker(pytest.mark.qt_log_level_fail("WARNING"))
        if ROOT / "tests" / "benchmarks" in item.path.parents:
            item.add_marker(pytest.mark.benchmark_ratio)
        is_ratio = item.get_closest_marker("benchmark_ratio") is not None
        is_long = item.get_closest_marker("nightly") is not None
        if is_ratio != measuring or (is_long and not nightly):
            left_out.append(item)
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in set(left_out)]


@pytest.fixture(autouse=True)
def own_user_folders(request: pytest.FixtureRequest) -> Iterator[Path]:
    """Give every test user folders that no other test has written to; yields the home."""
    before = {variable: os.environ[variable] for variable in USER_FOLDERS}
    home = Path(tempfile.mkdtemp(dir=HOMES))
    point_user_folders_at(home)
    yield home
    os.environ.update(before)
    shutil.rmtree(home, ignore_errors=True)
