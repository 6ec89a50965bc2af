"""Tells how the program's speed compares with a bare baseline: ``python3 packaging/benchmark.py``.

It runs tests/benchmarks in one process, in the environment that packaging/check.py made, and
prints a table of ratios. A benchmark measures the program and a bare baseline on the same
machine and leaves ``ratio`` (program / baseline) and ``limit`` (the agreed ratio) in
``benchmark.extra_info``; so a slow machine is no excuse and a fast one no help.

The exit code is 1 when a ratio is above 1.5 times its limit, when a benchmark leaves no ratio,
or when one fails. Words given to the script go to pytest.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - an older Python may still read this line
    sys.exit(
        "Hardstand needs Python 3.11 or newer, and this is Python {}.{}.".format(*sys.version_info)
    )

import json
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bootstrap import ROOT, prepare, program_variables, say
from system_packages import OFFSCREEN, SetupError, ensure_system_packages

STEPS = 3
INTERRUPTED = 130
TOLERANCE = 1.5  # how far above its limit a ratio may come out before it counts as a failure


@dataclass(frozen=True, slots=True)
class Measured:
    """One benchmark: its name, ratio to the baseline and agreed limit; None where not given."""

    name: str
    ratio: float | None
    limit: float | None

    @property
    def in_order(self) -> bool:
        """Whether the ratio was measured and is not beyond the tolerance."""
        if self.ratio is None or self.limit is None:
            return False
        return self.ratio <= TOLERANCE * self.limit

    @property
    def verdict(self) -> str:
        """Say in a few words how the ratio stands to its limit."""
        if self.ratio is None or self.limit is None:
            return "leaves no ratio and limit"
        if not self.in_order:
            return f"MORE THAN {TOLERANCE:g} TIMES THE LIMIT"
        return "in order" if self.ratio <= self.limit else "above the limit, within tolerance"


def read_results(text: str) -> tuple[Measured, ...]:
    """Read the ratios out of the JSON that pytest-benchmark writes."""
    entries: list[dict[str, Any]] = json.loads(text)["benchmarks"]
    return tuple(
        Measured(entry["name"], entry["extra_info"].get("ratio"), entry["extra_info"].get("limit"))
        for entry in entries
    )


def table(results: tuple[Measured, ...]) -> str:
    """Return the ratios as lines of text, one benchmark each."""
    width = max((len(measured.name) for measured in results), default=0)
    lines = [f"{'benchmark':{width}}  {'ratio':>8}  {'limit':>8}"]
    for measured in results:
        numbers = "  ".join(
            f"{number:8.3g}" if number is not None else f"{'-':>8}"
            for number in (measured.ratio, measured.limit)
        )
        lines.append(f"{measured.name:{width}}  {numbers}  {measured.verdict}")
    return "\n".join(lines)


def measure(python: Path, extra: list[str]) -> int:
    """Run the benchmarks and print the table; returns the exit code."""
    with tempfile.TemporaryDirectory() as folder:
        output = Path(folder) / "benchmarks.json"
        command = [
            *(
                str(python),
                "-m",
                "pytest",
                "tests/benchmarks",
                "--benchmark-only",
                "-p",
                "no:xdist",
            ),
            *(f"--benchmark-json={output}", *extra),
        ]
        variables = program_variables(QT_QPA_PLATFORM="offscreen")
        done = subprocess.run(command, cwd=ROOT, env=variables, check=False)
        text = output.read_text(encoding="utf-8") if output.exists() else ""
    results = read_results(text) if text else ()
    if not results:
        say("\nNothing was measured.")
        return done.returncode or 1
    say(f"\n{table(results)}")
    return 1 if done.returncode or not all(one.in_order for one in results) else 0


def main() -> int:
    """Run from the command line."""
    try:
        python = prepare("check", STEPS)
        say(f"3/{STEPS} Checking the system packages ...")
        ensure_system_packages(OFFSCREEN, "the benchmarks", say)
        return measure(python, sys.argv[1:])
    except SetupError as error:
        print(f"\n{error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped, as you asked.", file=sys.stderr)
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
