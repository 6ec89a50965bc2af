"""The catalogue as the program uses it: all files read, built and linked, faults reported at once.

`load` answers the shipped catalogue, from its compiled form where that is up to date (`compiled`)
and else from the files; `with_overrides` adds a project's own checks. What is shipped must
be without fault (a test holds it to that); a fault in a user's own check leaves that check out,
says why, and the rest goes on.
"""

from __future__ import annotations

import functools
import threading
from collections.abc import Mapping
from pathlib import Path

from workbench.domain.problem import HardstandError
from workbench.domain.project import Overrides
from workbench.paths import resources_root

from .compiled import marks_of, read_compiled, write_compiled
from .model import Catalogue, Loaded

__all__ = ["Loaded", "build", "load", "load_folder", "with_overrides"]

_ONE_AT_A_TIME = threading.Lock()


def load() -> Catalogue:
    """The shipped catalogue; the same one however often and from whatever thread it is asked for.

    Raises
    ------
    HardstandError
        When the shipped files have faults, which means that the installation is damaged.
    """
    with _ONE_AT_A_TIME:
        return _loaded()


@functools.cache
def _loaded() -> Catalogue:
    folder = resources_root()
    marks = marks_of(files_of(folder))
    compiled = read_compiled(marks)
    if compiled is not None:
        return compiled
    loaded = load_folder(folder)
    if loaded.problems:
        raise HardstandError(loaded.problems)
    write_compiled(loaded.catalogue, marks)
    return loaded.catalogue


def files_of(folder: Path) -> tuple[Path, ...]:
    """The files in which a catalogue in `folder` is written."""
    return tuple(
        path for part in ("catalogue", "prices") for path in sorted((folder / part).rglob("*.toml"))
    )


def load_folder(folder: Path) -> Loaded:
    """The catalogue in `folder` (which holds `catalogue/` and `prices/`), with every fault."""
    texts = {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in files_of(folder)
    }
    return build(texts)


def build(texts: Mapping[str, str]) -> Loaded:
    """The catalogue written in `texts`, by file name relative to the resources folder."""
    from . import assembling  # noqa: PLC0415 - not needed where the compiled form is up to date

    return assembling.build(texts)


def with_overrides(catalogue: Catalogue, overrides: Overrides) -> Loaded:
    """The catalogue with a project's own checks and their prices added.

    An own check file is written like a shipped one and may hold `[[item]]` prices beside its
    checks. A file with a fault is left out and its faults are answered.
    """
    if not overrides.checks:
        return Loaded(catalogue, ())
    from . import assembling  # noqa: PLC0415 - only where a project has checks of its own

    return assembling.with_own(catalogue, overrides)
