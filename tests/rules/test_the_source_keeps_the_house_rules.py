"""Rules for the text of the source that no linter holds. Each shows that it can fail.

The marks P11 and B68 are those of the project's reliability goals.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.rules.source_files import ROOT, kept_files, python_files, text_files

LINES_PER_MODULE = 400
LINES_PER_FUNCTION = 60
TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", ".gitignore", ".gitattributes"),
    *("workbench", "resources", "tests", "sample_projects", "packaging", ".ci"),
}
# It compiles `__init__` from the names of a record's fields, as the standard library's own
# decorator does; nothing that was read comes near it.
WRITES_ITS_OWN_METHODS = ROOT / "workbench" / "domain" / "record.py"
RUNS_WHAT_IT_READS = frozenset(("pickle", "marshal", "shelve"))

Finding = tuple[int, str]
TreeRule = Callable[[ast.Module], Iterator[Finding]]


def swallowed_errors(tree: ast.Module) -> Iterator[Finding]:
    """Find ``except:`` and handlers of every error that do nothing."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.ExceptHandler):
            continue
        if node.type is None:
            yield node.lineno, "bare except"
        names = {name.id for name in ast.walk(node.type or node) if isinstance(name, ast.Name)}
        does_nothing = all(
            isinstance(step, ast.Pass)
            or (isinstance(step, ast.Expr) and isinstance(step.value, ast.Constant))
            for step in node.body
        )
        if does_nothing and names & {"Exception", "BaseException"}:
            yield node.lineno, "swallows every error"


def suppressed_errors(tree: ast.Module) -> Iterator[Finding]:
    """Find ``contextlib.suppress`` of every error."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func).endswith("suppress"):
            names = {ast.unparse(argument) for argument in node.args}
            if names & {"Exception", "BaseException"}:
                yield node.lineno, "suppresses every error"


def imported_modules(tree: ast.Module) -> Iterator[Finding]:
    """Yield the line and name of every module that is imported, wherever it stands."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.lineno, node.module or ""


def running_of_text(tree: ast.Module) -> Iterator[Finding]:
    """Find what would run data as code: pickle, eval, exec, yaml.load, shell=True (P11)."""
    for line, module in imported_modules(tree):
        if module.partition(".")[0] in RUNS_WHAT_IT_READS:
            yield line, f"imports {module}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            if called in {"eval", "exec", "yaml.load", "os.system", "os.popen"}:
                yield node.lineno, f"calls {called}"
            for keyword in node.keywords:
                if keyword.arg == "shell" and ast.unparse(keyword.value) != "False":
                    yield node.lineno, "runs a shell"


def long_functions(tree: ast.Module) -> Iterator[Finding]:
    """Find functions of more than the agreed number of lines."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = (node.end_lineno or node.lineno) - node.lineno + 1
            if lines > LINES_PER_FUNCTION:
                yield node.lineno, f"{node.name} has {lines} lines"


def blanket_type_ignores(text: str) -> Iterator[Finding]:
    """Find type exemptions that do not name what they exempt."""
    for number, line in enumerate(text.splitlines(), start=1):
        if re.search(r"#\s*type:\s*ignore(?!\[)", line):
            yield number, "type exemption without its code"


# Put together from parts, so that this file does not hold what it looks for.
MACHINE_FOLDERS = ("work", "opt", "tmp", "root", "home", "Users", "mnt")
MACHINE_PATH = re.compile(
    r"(?<![\w./~<>})\]*-])/(?:" + "|".join(MACHINE_FOLDERS) + r")/[\w.-]"
    r"|[A-Z]:\\+" + "Users"
)


def machine_paths(text: str) -> Iterator[Finding]:
    """Find absolute paths that only exist on the computer of whoever wrote them."""
    for number, line in enumerate(text.splitlines(), start=1):
        if MACHINE_PATH.search(line):
            yield number, line.strip()[:80]


def report(path: Path, findings: Iterator[Finding]) -> list[str]:
    """Return findings as lines that lead to their place."""
    return [f"{path.relative_to(ROOT)}:{line}: {what}" for line, what in findings]


EVERYWHERE = ("workbench", "packaging", "tests")
SHIPPED = ("workbench", "packaging")
PLANTED: tuple[tuple[TreeRule, str], ...] = (
    (swallowed_errors, "try:\n    f()\nexcept Exception:\n    pass\n"),
    (swallowed_errors, "try:\n    f()\nexcept:\n    g()\n"),
    (swallowed_errors, "try:\n    f()\nexcept (ValueError, Exception):\n    ...\n"),
    (suppressed_errors, "with contextlib.suppress(Exception):\n    f()\n"),
    (running_of_text, "import pickle\n"),
    (running_of_text, "from marshal import loads\n"),
    (running_of_text, "subprocess.run('ls', shell=True)\n"),
    (running_of_text, "value = eval(text)\n"),
    (long_functions, "def long():\n" + "    f()\n" * LINES_PER_FUNCTION),
)


@pytest.mark.parametrize(
    ("rule", "folders"),
    [
        (swallowed_errors, EVERYWHERE),
        (suppressed_errors, EVERYWHERE),
        (running_of_text, SHIPPED),
        (long_functions, SHIPPED),
    ],
)
def test_the_code_holds_none_of_it(rule: TreeRule, folders: tuple[str, ...]) -> None:
    found = [
        line
        for path in python_files(*folders)
        if (rule, path) != (running_of_text, WRITES_ITS_OWN_METHODS)
        for line in report(path, rule(ast.parse(path.read_text(encoding="utf-8"))))
    ]

    assert found == []


def test_the_one_exempt_module_compiles_once_and_runs_nothing_else() -> None:
    tree = ast.parse(WRITES_ITS_OWN_METHODS.read_text(encoding="utf-8"))

    assert [what for _, what in running_of_text(tree)] == ["calls exec"]


@pytest.mark.parametrize(("rule", "planted"), PLANTED)
def test_a_code_rule_finds_what_is_planted(rule: TreeRule, planted: str) -> None:
    assert list(rule(ast.parse(planted)))


def test_no_type_exemption_is_without_its_code() -> None:
    found = [
        line
        for path in python_files()
        for line in report(path, blanket_type_ignores(path.read_text(encoding="utf-8")))
    ]

    assert found == []
    assert list(blanket_type_ignores("x = f()  # type" + ": ignore\n"))
    assert not list(blanket_type_ignores("x = f()  # type" + ": ignore[arg-type]\n"))


def test_no_file_names_a_path_of_one_machine() -> None:
    found = [
        line
        for path in text_files()
        for line in report(path, machine_paths(path.read_text(encoding="utf-8")))
    ]

    assert found == []


@pytest.mark.parametrize("folder", MACHINE_FOLDERS)
def test_a_path_of_one_machine_is_found(folder: str) -> None:
    assert list(machine_paths(f'OUT = "/{folder}/ann/sheets"'))
    assert list(machine_paths(f"see /{folder}/x.json for more"))


def test_no_module_is_longer_than_a_reader_can_hold() -> None:
    lengths = {
        str(path.relative_to(ROOT)): len(path.read_text(encoding="utf-8").splitlines())
        for path in python_files(*SHIPPED)
    }

    assert lengths
    assert {name: n for name, n in lengths.items() if n > LINES_PER_MODULE} == {}


def test_every_module_says_what_it_answers() -> None:
    without = [
        str(path.relative_to(ROOT))
        for path in python_files(*SHIPPED)
        if not ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    ]

    assert without == []


def test_the_top_level_holds_only_what_is_agreed() -> None:
    names = {path.relative_to(ROOT).parts[0] for path in kept_files()}

    assert names <= TOP_LEVEL
    assert {"workbench", "tests", "packaging", "pyproject.toml"} <= names


def test_the_scripts_folder_does_not_hide_the_library_of_that_name() -> None:
    # With an __init__.py this folder would be imported in place of the library "packaging".
    assert not (ROOT / "packaging" / "__init__.py").exists()
