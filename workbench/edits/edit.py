"""What an edit is: a few places of the project and what is put there.

An edit names each place by its path (`("boats", "marigold", "boat", "name")`) and the value to put
there. Putting values is all an edit can do, so every edit has an inverse by construction: the same
places with the values that stood there before. `apply` answers both the new project and that
inverse; nothing it is given changes.
"""

from __future__ import annotations

import dataclasses
from typing import Any, cast

from workbench.domain.frozen import FrozenMap
from workbench.domain.project import Project
from workbench.domain.record import dataclass

Path = tuple[str, ...]


class _Nothing:
    """The value of a key that is not there."""

    def __repr__(self) -> str:
        return "NOTHING"


NOTHING = _Nothing()


@dataclass(frozen=True, slots=True)
class Put:
    """Put `value` at `path`; the value NOTHING takes a key out of a mapping."""

    path: Path
    value: object


@dataclass(frozen=True, slots=True)
class Edit:
    """A named change, with its places in the order in which they are put.

    Attributes
    ----------
    label
        What was done, as the undo command shows it.
    merges
        Two edits in a row with the same text here count as one step; empty for never.
    """

    label: str
    puts: tuple[Put, ...]
    merges: str = ""

    def then(self, other: Edit, label: str = "") -> Edit:
        """Both edits as one step."""
        return Edit(label or self.label, self.puts + other.puts)


def apply(project: Project, edit: Edit) -> tuple[Project, Edit]:
    """The project after `edit`, and the edit that leads back.

    Raises
    ------
    KeyError, AttributeError
        When a path leads nowhere: a mistake in the program, not in what a user gave.
    """
    inverse: list[Put] = []
    for put in edit.puts:
        inverse.append(Put(put.path, value_at(project, put.path)))
        project = cast("Project", _put(project, put.path, put.value))
    return project, Edit(edit.label, tuple(reversed(inverse)), edit.merges)


def value_at(record: object, path: Path) -> object:
    """What stands at `path`; NOTHING for a missing key at its end."""
    for position, name in enumerate(path):
        if isinstance(record, FrozenMap):
            if name not in record and position == len(path) - 1:
                return NOTHING
            record = record[name]
        else:
            record = getattr(record, name)
    return record


def _put(record: object, path: Path, value: object) -> object:
    name, rest = path[0], path[1:]
    if isinstance(record, FrozenMap):
        if not rest:
            return record.drop(name) if value is NOTHING else record.set(name, value)
        return record.set(name, _put(record[name], rest, value))
    inner = getattr(record, name)
    changed = _put(inner, rest, value) if rest else value
    if changed is inner:
        return record
    return dataclasses.replace(cast("Any", record), **{name: changed})
