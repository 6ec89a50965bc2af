"""Which record of a project goes into which file, and which of them changed since a snapshot.

A record that says nothing has no file: a boat nobody has looked at has no `inspection.json`, and
one whose readings were all taken back loses it again.
"""

from __future__ import annotations

from collections.abc import Iterator

from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection
from workbench.domain.ledger import Ledger
from workbench.domain.project import Candidate, Project
from workbench.domain.record import dataclass
from workbench.store import layout
from workbench.store.codec import encode
from workbench.store.json_writing import write_json
from workbench.store.loading import COMPARABLES_EXTRA, ComparablesFile, PricesFile, ProjectFile

_EMPTY = (ComparablesFile(), PricesFile(), Inspection(), Ledger())


@dataclass(frozen=True, slots=True)
class Part:
    """The record for one file; None where there is to be no file. A check file is its text."""

    path: str
    record: object | None


def bytes_of(record: object | None) -> bytes | None:
    """What a file with this record holds; None where there is to be no file."""
    if record is None or record in _EMPTY:
        return None
    if isinstance(record, str):
        return record.encode("utf-8", errors="replace")
    return write_json(encode(record))


@dataclass(frozen=True, slots=True)
class Listed:
    """The boats as `project.json` named them, and those among them that could not be loaded."""

    order: tuple[str, ...] = ()
    absent: frozenset[str] = frozenset()


def parts_of(project: Project, listed: Listed) -> dict[str, object]:
    """Every record of a project by its path."""
    extra = project.extra.get(COMPARABLES_EXTRA, FrozenMap())
    beside = extra if isinstance(extra, FrozenMap) else FrozenMap[str, object]()
    parts: dict[str, object] = {
        layout.PROJECT: _head(project, listed),
        layout.COMPARABLES: ComparablesFile(project.comparables, beside),
        layout.PRICES: PricesFile(project.overrides.prices, project.overrides.extra),
    }
    for name, text in project.overrides.checks.items():
        parts[layout.check_path(name)] = text
    for id_, candidate in project.boats.items():
        parts.update(_boat_parts(id_, candidate))
    return parts


def changed_parts(project: Project, saved: Project | None, listed: Listed) -> Iterator[Part]:
    """The files whose record is another than in `saved`, those to be deleted among them."""
    now = parts_of(project, listed)
    before = parts_of(saved, listed) if saved is not None else {}
    for path, record in now.items():
        old = before.get(path)
        if record is not old and (path.startswith(layout.BOATS) or record != old):
            yield Part(path, record)
    for path in before:
        if path not in now:
            yield Part(path, None)


def _head(project: Project, listed: Listed) -> ProjectFile:
    return ProjectFile(
        project.id,
        project.name,
        project.settings,
        in_order(tuple(project.boats), listed),
        project.format,
        project.extra.drop(COMPARABLES_EXTRA),
    )


def in_order(boats: tuple[str, ...], listed: Listed) -> tuple[str, ...]:
    """The ids of `boats`, with each absent one after the neighbour that it had."""
    order = list(boats)
    for position, id_ in enumerate(listed.order):
        if id_ in listed.absent and id_ not in order:
            before = next((i for i in reversed(listed.order[:position]) if i in order), None)
            order.insert(order.index(before) + 1 if before is not None else 0, id_)
    return tuple(order)


def _boat_parts(id_: str, candidate: Candidate) -> dict[str, object]:
    records = (candidate.boat, candidate.inspection, candidate.ledger)
    return {
        layout.boat_path(id_, name): record
        for name, record in zip(layout.BOAT_FILES, records, strict=True)
    }
