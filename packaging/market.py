"""Does the advice pay? ``python3 packaging/market.py [BUYERS]`` runs the simulated market.

BUYERS is the number for each of the kinds of boats, 150 unless said. It takes some minutes and
prints a table for each way in which the truth may stand to what the program believes. The market is
described in tests/benchmarks/market; its levels of worth and its fit-outs are invented.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tests.benchmarks.market.kinds import kinds
from tests.benchmarks.market.results import WAYS, run, table


def main(arguments: list[str]) -> int:
    """Print how every policy does."""
    buyers = int(arguments[0]) if arguments else 150
    print(f"{buyers} buyers of each of {len(kinds())} kinds of boats, 3 to 6 boats each.\n")
    for wrong in WAYS:
        print(table(run(kinds(), buyers, wrong)), end="\n\n", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
