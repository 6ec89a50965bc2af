"""Importing a layer in a fresh process loads no library that belongs to another layer.

The import contracts read the source; this looks at what Python really loaded, so it also sees
what a library drags in by itself.
"""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.rules.source_files import ROOT, module_name, python_files

QT = ("PySide6", "shiboken6")
NUMBERS = ("numpy", "pandas", "scipy")
DOCUMENTS = ("reportlab", "openpyxl", "xlsxwriter")
MUST_NOT_LOAD = {
    "workbench.domain": (*QT, *NUMBERS, *DOCUMENTS, "PIL", "babel"),
    "workbench.catalogue": (*QT, *NUMBERS, *DOCUMENTS),
    "workbench.edits": (*QT, *NUMBERS, *DOCUMENTS),
    "workbench.store": (*QT, *NUMBERS, *DOCUMENTS),
    "workbench.paths": (*QT, *NUMBERS, *DOCUMENTS),
    "workbench.figures": (*QT, *DOCUMENTS),
    "workbench.reports": QT,
    "workbench.cli": QT,
}
REPORT_LOADED = (
    "import importlib, json, sys; "
    "[importlib.import_module(name) for name in sys.argv[1:]]; "
    "print(json.dumps(sorted({name.partition('.')[0] for name in sys.modules})))"
)


def modules_of(layer: str) -> list[str]:
    """Return the names of all modules of a layer."""
    names = [module_name(path) for path in python_files("workbench")]
    return [name for name in names if name == layer or name.startswith(f"{layer}.")]


def loaded_by(*modules: str) -> set[str]:
    """Return the top names of everything loaded after importing ``modules`` in a new process."""
    done = subprocess.run(
        [sys.executable, "-c", REPORT_LOADED, *modules],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stdout))


@pytest.mark.parametrize("layer", MUST_NOT_LOAD)
def test_a_layer_loads_no_library_of_another(layer: str) -> None:
    modules = modules_of(layer)

    assert modules, f"{layer} has no modules"
    assert loaded_by(*modules) & set(MUST_NOT_LOAD[layer]) == set()


def test_the_records_load_nothing_but_the_standard_library() -> None:
    bare = loaded_by()  # what the interpreter's own start loads, site packages' hooks included
    ours = {"workbench"}

    others = loaded_by(*modules_of("workbench.domain")) - bare - ours - sys.stdlib_module_names

    assert others == set()


def test_the_command_line_starts_without_heavy_libraries() -> None:
    assert loaded_by("workbench.cli") & {*NUMBERS, *DOCUMENTS} == set()


def test_what_is_loaded_is_seen() -> None:
    assert {"numpy", "PySide6"} <= loaded_by("numpy", "PySide6.QtCore")
