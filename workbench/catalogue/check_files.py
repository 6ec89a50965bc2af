"""The validator of the written catalogue: `python -m workbench.catalogue.check_files [FOLDER]`."""

from __future__ import annotations

import sys
from pathlib import Path

from workbench.paths import resources_root

from .loading import load_folder


def main(arguments: list[str]) -> int:
    """Print every fault with file and line; 0 when there is none, 1 otherwise."""
    loaded = load_folder(Path(arguments[0]) if arguments else resources_root())
    for problem in loaded.problems:
        print(problem.sentence())
    checks = loaded.catalogue.checks.values()
    measured = [
        check for check in checks if any(rule.kind in ("bands", "age") for rule in check.rules)
    ]
    print(
        f"{len(checks)} checks in {len(loaded.catalogue.systems)} systems, {len(measured)} by "
        f"numeric rule; {len(loaded.catalogue.prices.items)} prices; {len(loaded.problems)} faults."
    )
    return 1 if loaded.problems else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
