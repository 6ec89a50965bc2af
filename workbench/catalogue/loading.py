"""The catalogue as the program uses it: all files read, built and linked, faults reported at once.

`load` answers the shipped catalogue, from its compiled form where that is up to date (`compiled`)
and else from the files, in one of the languages that the program speaks; `with_overrides` adds a
project's own checks, which stay in the words they were written in. What is shipped must
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
from .language import ENGLISH
from .model import Catalogue, Loaded
from .wording import parts_of, texts_in, wording_in

__all__ = ["Loaded", "build", "load", "load_folder", "with_overrides"]

_ONE_AT_A_TIME = threading.Lock()


def load(language: str = ENGLISH) -> Catalogue:
    """The shipped catalogue; the same one however often and from whatever thread it is asked for.

    Parameters
    ----------
    language
        In which its texts are; what has no translation is in English.

    Raises
    ------
    HardstandError
        When the shipped files have faults, which means that the installation is damaged.
    """
    with _ONE_AT_A_TIME:
        return _loaded(language)


@functools.cache
def _loaded(language: str) -> Catalogue:
    folder = resources_root()
    marks = marks_of(files_of(folder, language))
    compiled = read_compiled(marks, language)
    if compiled is not None:
        return compiled
    loaded = load_folder(folder, language)
    if loaded.problems:
        raise HardstandError(loaded.problems)
    write_compiled(loaded.catalogue, marks)
    return loaded.catalogue


def files_of(folder: Path, language: str = ENGLISH) -> tuple[Path, ...]:
    """The files in which a catalogue in `folder` is written, and translated to a language."""
    return (*_written(folder), *parts_of(folder, language))


def _written(folder: Path) -> tuple[Path, ...]:
    return tuple(
        path for part in ("catalogue", "prices") for path in sorted((folder / part).rglob("*.toml"))
    )


def texts_of(folder: Path) -> dict[str, str]:
    """The files of a catalogue in `folder` as they are written, by name relative to it."""
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in _written(folder)
    }


def load_folder(folder: Path, language: str = ENGLISH) -> Loaded:
    """The catalogue in `folder` (which holds `catalogue/` and `prices/`), with every fault."""
    from . import assembling  # noqa: PLC0415 - not needed where the compiled form is up to date

    translations = texts_in(folder, language)
    return assembling.build(texts_of(folder), translations, wording_in(folder, language))


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
