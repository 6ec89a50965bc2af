"""Tells whether everything is in order: ``python3 packaging/check.py`` asks all the tools.

It makes an environment of its own, installs the system packages that the tests need (where that
is allowed), and then runs, each under a heading and whatever the one before it said:

- format   ruff format --check
- lint     ruff check
- types    mypy --strict
- imports  lint-imports: the layers and who may know Qt, numpy and the document libraries
- tests    pytest, two at a time; its closing line is the last line of the output

``--only lint|types|imports|tests`` runs a part; words it does not know go to pytest:

    python3 packaging/check.py --only tests tests/figures -k taxes

LibreOffice, a second opinion on the workbook's formulas, takes 300 MB. It is installed only with
``--with-libreoffice``; without it the tests that need it skip, and say so.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - an older Python may still read this line
    sys.exit(
        "Hardstand needs Python 3.11 or newer, and this is Python {}.{}.".format(*sys.version_info)
    )

import argparse
import datetime
import os
import re
import subprocess
import tomllib
from dataclasses import dataclass
from pathlib import Path

from bootstrap import PACKAGING, ROOT, prepare, program_variables, say
from system_packages import OFFSCREEN, RECALCULATION, TESTS, WINDOW, SetupError
from system_packages import ensure_system_packages as ensure

STEPS = 3
# The scripts import each other by bare names, and tests of one name may lie in several folders.
TYPED = ("--explicit-package-bases", "workbench", "tests", "packaging")
INTERRUPTED = 130
SECONDS_PER_TEST = 600
FLOORS_REVIEW_DAYS = 90
CLOSING_LINE = re.compile(r"^=*\s*(\d+ \w+(, )?)+.* in [\d.]+s.*$|^=* no tests ran .*$")
COLOUR = re.compile(r"\x1b\[[0-9;]*m")


@dataclass(frozen=True, slots=True)
class Step:
    """One tool: its heading, its part name for ``--only``, its module and arguments."""

    name: str
    part: str
    arguments: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a step; ``closing`` is the line that pytest ends with."""

    step: Step
    code: int
    closing: str = ""


def steps(pytest_arguments: list[str]) -> tuple[Step, ...]:
    """Return all steps in the order in which they run."""
    import_linter = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    return (
        Step("format", "lint", ("-m", "ruff", "format", "--check", ".")),
        Step("lint", "lint", ("-m", "ruff", "check", ".")),
        Step("types", "types", ("-m", "mypy", "--strict", *TYPED)),
        Step("imports", "imports", ("-c", import_linter)),
        Step("tests", "tests", ("-X", "faulthandler", "-m", "pytest", *pytest_arguments)),
    )


def default_pytest_arguments() -> list[str]:
    """Return how the whole suite is run: two workers, no test without end, no benchmarks."""
    return [
        *("-n", "2", "--dist", "worksteal", "--benchmark-disable"),
        *("--timeout", str(SECONDS_PER_TEST), "--timeout-method", "thread"),
    ]


def run_step(python: Path, step: Step) -> Outcome:
    """Run one step in the project folder, passing on its output line by line."""
    say(f"\n=== {step.name} " + "=" * (74 - len(step.name)))
    variables = program_variables(QT_QPA_PLATFORM="offscreen", HYPOTHESIS_PROFILE="ci")
    variables |= {"PYTHONUNBUFFERED": "1", "MYPYPATH": str(PACKAGING)}
    closing = ""
    with subprocess.Popen(
        [str(python), *step.arguments],
        cwd=ROOT,
        env=variables,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
    ) as tool:
        for line in tool.stdout or ():
            print(line, end="", flush=True)
            if CLOSING_LINE.match(COLOUR.sub("", line).strip()):
                closing = COLOUR.sub("", line).strip()
    return Outcome(step, tool.returncode, closing if step.part == "tests" else "")


def floors_note(today: datetime.date) -> str:
    """Return a reminder when the advisories were last looked through too long ago, else ""."""
    table = tomllib.loads((PACKAGING / "floors.toml").read_text(encoding="utf-8"))
    reviewed: datetime.date = table["reviewed"]
    age = (today - reviewed).days
    if age <= FLOORS_REVIEW_DAYS:
        return ""
    return f"Note: packaging/floors.toml was last reviewed {age} days ago; look for new advisories."


def summarise(outcomes: list[Outcome]) -> int:
    """Print what came of every step, pytest's closing line last; return the exit code."""
    say("\n=== summary " + "=" * 67)
    for outcome in outcomes:
        verdict = "in order" if outcome.code == 0 else f"NOT in order (exit code {outcome.code})"
        say(f"{outcome.step.name:20} {verdict}")
    note = floors_note(datetime.datetime.now(tz=datetime.UTC).date())
    if note:
        say(note)
    for outcome in outcomes:
        if outcome.step.part == "tests":
            say(outcome.closing or "pytest ended without a closing line.")
    return 1 if any(outcome.code for outcome in outcomes) else 0


def check(options: argparse.Namespace, extra: list[str]) -> int:
    """Prepare the environment and run the chosen steps."""
    python = prepare("check", STEPS)
    say(f"3/{STEPS} Checking the system packages ...")
    recalculation = RECALCULATION if options.with_libreoffice else ()
    ensure((*OFFSCREEN, *WINDOW, *TESTS, *recalculation), "the tests", say)
    chosen = [
        step
        for step in steps([*default_pytest_arguments(), *extra])
        if options.only in (None, step.part)
    ]
    return summarise([run_step(python, step) for step in chosen])


def main() -> int:
    """Run from the command line; returns 0 only if every step was in order."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--only", choices=("lint", "types", "imports", "tests"))
    parser.add_argument("--with-libreoffice", action="store_true")
    options, extra = parser.parse_known_args()
    if extra and options.only not in (None, "tests"):
        parser.error(f"only pytest takes more words: {' '.join(extra)}")
    os.chdir(ROOT)
    try:
        return check(options, extra)
    except SetupError as error:
        print(f"\n{error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped, as you asked. Nothing was summed up.", file=sys.stderr)
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
