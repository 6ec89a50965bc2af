"""Makes the scripts of packaging/ importable by the bare names that they use themselves."""

from __future__ import annotations

import sys
from pathlib import Path

SCRIPTS = str(Path(__file__).resolve().parents[2] / "packaging")
if SCRIPTS not in sys.path:
    sys.path.append(SCRIPTS)
