"""How much memory a process holds."""

from __future__ import annotations

import sys
from pathlib import Path

STATUS = Path("/proc/self/status")


def resident_megabytes() -> float:
    """Resident memory of this process now; where the system does not tell, its highest so far."""
    if STATUS.exists():
        line = next(x for x in STATUS.read_text("ascii").splitlines() if x.startswith("VmRSS"))
        return int(line.split()[1]) / 1024
    import resource  # noqa: PLC0415 - not on every system

    highest = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return highest / (1024**2 if sys.platform == "darwin" else 1024)
