"""Starts the program: a command line with a command, the window without one."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path

COMMANDS = ("new", "check", "totals", "export", "import", "pack", "unpack", "catalogue")
SAMPLE = "--sample"


def main(arguments: list[str] | None = None) -> int:
    """Run a command, or open the window on a folder; the exit code is answered."""
    given = sys.argv[1:] if arguments is None else arguments
    sample = given == [SAMPLE]
    if given and not sample and (given[0] in COMMANDS or given[0].startswith("-")):
        return _run_command(given)
    if len(given) > 1:
        print("One folder at a time. See: python -m workbench --help", file=sys.stderr)
        return 2
    # What is made while the window is built stays; looking for rubbish among it is a tenth of the
    # start. The window looks again once it is shown.
    gc.disable()
    from workbench.window.app import run as run_window  # noqa: PLC0415 - Qt is for the window only

    return run_window(Path(given[0]) if given and not sample else None, sample=sample)


def _run_command(given: list[str]) -> int:
    """Run a command; who reads its output may stop reading before its end."""
    from workbench.cli import run  # noqa: PLC0415 - the window starts without it

    try:
        code = run(given)
        sys.stdout.flush()
    except BrokenPipeError:
        # What is still to be written at the end of the process would fail again.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    return code


if __name__ == "__main__":
    sys.exit(main())
