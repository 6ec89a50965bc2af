"""The import contracts hold, and each of them can fail."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LINT_IMPORTS = "from importlinter.cli import lint_imports_command; lint_imports_command()"

# Contract id -> (module that gets the bad import, the bad import).
PLANTED = {
    "layers": (
        ("workbench.domain", "import workbench.figures"),
        ("workbench.domain", "import workbench.store"),
        ("workbench.catalogue", "import workbench.edits"),
        ("workbench.store", "import workbench.catalogue"),
        ("workbench.edits", "import workbench.figures"),
        ("workbench.figures", "import workbench.reports"),
        ("workbench.reports", "import workbench.cli"),
        ("workbench.reports", "import workbench.window"),
        ("workbench.window", "import workbench.cli"),
    ),
    "only-window-knows-qt": (
        ("workbench.reports", "import PySide6.QtCore"),
        ("workbench.figures", "import shiboken6"),
        ("workbench.store", "from PySide6 import QtCore"),
        ("workbench.domain", "def late() -> None:\n    import PySide6"),
    ),
    "plain-lower-layers": (
        ("workbench.domain", "import numpy"),
        ("workbench.catalogue", "import pandas"),
        ("workbench.edits", "import numpy.random"),
        ("workbench.store", "def late() -> None:\n    import pandas"),
    ),
    "only-reports-write-documents": (
        ("workbench.figures", "import reportlab.platypus"),
        ("workbench.store", "import openpyxl"),
        ("workbench.catalogue", "import xlsxwriter"),
    ),
}
CASES = [(contract, *case) for contract, cases in PLANTED.items() for case in cases]


def contracts() -> dict[str, str]:
    """Return the contracts of pyproject.toml: name by id."""
    table = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    return {entry["id"]: entry["name"] for entry in table["tool"]["importlinter"]["contracts"]}


def lint_imports(folder: Path) -> tuple[int, str]:
    """Run the import linter on a copy of the project; returns exit code and output."""
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, ''); {LINT_IMPORTS}"],
        cwd=folder,
        env={"PYTHONDONTWRITEBYTECODE": "1", "PYTHONUTF8": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout + done.stderr


def verdicts(output: str) -> dict[str, str]:
    """Return KEPT or BROKEN for each contract name in the linter's output."""
    return {
        name.strip(): word
        for name, word in re.findall(r"^(.+?) (KEPT|BROKEN)", output, re.MULTILINE)
    }


@pytest.fixture(scope="module")
def copy_of_the_package(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a copy of the package and its settings."""
    folder = tmp_path_factory.mktemp("imports")
    shutil.copytree(
        ROOT / "workbench", folder / "workbench", ignore=shutil.ignore_patterns("__pycache__")
    )
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


def test_the_contracts_hold(copy_of_the_package: Path) -> None:
    code, output = lint_imports(copy_of_the_package)

    assert code == 0, output
    assert verdicts(output) == dict.fromkeys(contracts().values(), "KEPT")


def test_every_contract_has_an_import_that_breaks_it() -> None:
    assert set(PLANTED) == set(contracts())


@pytest.mark.parametrize(("contract", "module", "statement"), CASES)
def test_a_contract_breaks_when_a_bad_import_is_planted(
    copy_of_the_package: Path, contract: str, module: str, statement: str
) -> None:
    planted = copy_of_the_package.joinpath(*module.split("."), "planted.py")
    planted.write_text(f'"""A bad import."""\n\n{statement}\n', encoding="utf-8")
    try:
        code, output = lint_imports(copy_of_the_package)
    finally:
        planted.unlink()

    assert code == 1, output
    # A window or a report may lead the bad import on to further contracts; its own one is enough.
    assert verdicts(output)[contracts()[contract]] == "BROKEN", output
    assert f"{module}.planted" in output
