"""Finds the files of the project that the rules speak about."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PYTHON_FOLDERS = ("workbench", "packaging", "tests")
CACHES = frozenset(("__pycache__", ".git", ".environment", ".venv", "build", "dist"))
BINARY = frozenset((".png", ".jpg", ".jpeg", ".heic", ".ttf", ".xlsx", ".pdf", ".pyc", ".zip"))


@cache
def kept_files() -> tuple[Path, ...]:
    """Return the files that belong to the project.

    In a clone these are the files that git knows or would add; in a plain copy of the tree,
    all but caches.
    """
    if (ROOT / ".git").exists():
        command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
        listed = subprocess.run(command, cwd=ROOT, capture_output=True, check=True)
        names = listed.stdout.decode("utf-8").split("\0")
        found = [ROOT / name for name in names if name]
    else:
        found = list(ROOT.rglob("*"))
    return tuple(
        sorted(
            path
            for path in found
            if path.is_file()
            and not any(
                part in CACHES or part.endswith("_cache") for part in path.relative_to(ROOT).parts
            )
        )
    )


def text_files() -> tuple[Path, ...]:
    """Return the project's files that hold text."""
    return tuple(path for path in kept_files() if path.suffix.lower() not in BINARY)


def python_files(*folders: str) -> tuple[Path, ...]:
    """Return the Python files below the named top folders; all three when none is named."""
    wanted = folders or PYTHON_FOLDERS
    return tuple(
        path
        for path in kept_files()
        if path.suffix == ".py" and path.relative_to(ROOT).parts[0] in wanted
    )


def module_name(path: Path) -> str:
    """Return the dotted name under which a file of the package is imported."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
