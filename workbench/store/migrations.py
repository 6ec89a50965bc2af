"""Older formats brought up to date: one registered function for each step of the version.

A step takes the plain data of all files by path and answers the same in the next version. Steps are
pure, so opening an old folder changes nothing on the disk; the first save writes the migrated files
in one transaction, after a backup that is kept until the user deletes it.

    STEPS[(1, 0)] = step_from_1_0      ->  what it answers is in the next version that is registered

There is one version so far, so the table is empty; the tests run the machinery on tables of their
own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from workbench.domain.project import FORMAT
from workbench.domain.record import dataclass
from workbench.store.errors import stopped
from workbench.store.layout import PROJECT

Version = tuple[int, int]
Plain = dict[str, object]
LARGEST_VERSION = 10_000


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the version it leads to, and what it does to the plain data."""

    to: Version
    apply: Callable[[Plain], Plain]


STEPS: Mapping[Version, Step] = {}


def version_of(plain: object) -> Version:
    """The version that `project.json` names.

    Raises
    ------
    StoreError
        When it names none, or one that never was.
    """
    written = plain.get("format_version") if isinstance(plain, dict) else None
    if isinstance(written, list) and len(written) == 2:
        major, minor = written
        whole = type(major) is int and type(minor) is int
        if whole and 1 <= major <= LARGEST_VERSION and 0 <= minor <= LARGEST_VERSION:
            return major, minor
    raise stopped(
        PROJECT,
        "The version of the format is missing or is none, so nothing here can be trusted.",
        "Restore project.json from a backup, or open the folder that you meant.",
    )


def is_too_new(version: Version, current: Version = FORMAT) -> bool:
    """Whether a newer program than this one is needed to change the folder."""
    return version[0] > current[0]


def migrated(
    plain: Plain, steps: Mapping[Version, Step] | None = None, current: Version = FORMAT
) -> tuple[Plain, frozenset[str]]:
    """The plain data in the current version, and the paths that this changed or dropped.

    Raises
    ------
    StoreError
        When the version is older than the oldest that can be brought up to date.
    """
    steps = STEPS if steps is None else steps
    before = plain
    version = version_of(plain[PROJECT])
    while version[0] < current[0] or version in steps:
        step = steps.get(version)
        if step is None:
            raise stopped(
                PROJECT,
                f"The format {version[0]}.{version[1]} is older than this program can read.",
                "Open the folder once with an earlier version of the program.",
            )
        plain = _with_version(step.apply(dict(plain)), step.to)
        version = step.to
    paths = {path for path in {*before, *plain} if before.get(path) != plain.get(path)}
    return plain, frozenset(paths)


def _with_version(plain: Plain, version: Version) -> Plain:
    project = plain[PROJECT]
    assert isinstance(project, dict)  # noqa: S101 - a step that drops it is a mistake of ours
    return {**plain, PROJECT: {**project, "format_version": list(version)}}
