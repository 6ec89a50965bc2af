"""From the plain data of a folder to a `Project`, with a problem for everything that did not fit.

A boat whose `boat.json` is damaged or has not arrived yet is left out and said so; with a damaged
inspection or ledger she opens without it. The order of the boats is that of `project.json`; folders
that it does not name come after the others.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field, replace
from typing import TypeVar

from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection
from workbench.domain.ledger import Ledger
from workbench.domain.problem import Problem, Severity
from workbench.domain.project import (
    FORMAT,
    Candidate,
    Comparable,
    Overrides,
    PriceOverride,
    Project,
)
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings
from workbench.store import layout
from workbench.store.codec import decode
from workbench.store.faults import Faults
from workbench.store.reading import FolderFiles

T = TypeVar("T")

COMPARABLES_EXTRA = "comparables.json"
"""Key in a project's extra for the unknown fields of that file, which has no record of its own."""


@dataclass(frozen=True, slots=True)
class ProjectFile:
    """What stands in `project.json`: the project less what has files of its own.

    Attributes
    ----------
    id
        A random name that stays with the folder wherever it is moved.
    boats
        The ids of the boats, which name their folders, in the order they were entered.
    format_version
        Major and minor number of the format; a newer major one is not written to.
    settings
        Currency, budget, rates, taxes, fees, and how figures are made.
    """

    id: str
    name: str
    settings: Settings = field(default_factory=Settings)
    boats: tuple[str, ...] = ()
    format_version: tuple[int, ...] = ()
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class ComparablesFile:
    """What stands in `comparables.json`."""

    comparables: tuple[Comparable, ...] = ()
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class PricesFile:
    """What stands in `overrides/prices.json`."""

    prices: FrozenMap[str, PriceOverride] = FrozenMap()
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Loaded:
    """A project and the order of boats in its file, with those that could not be loaded."""

    project: Project
    listed: tuple[str, ...]


def load(found: FolderFiles, folder_name: str) -> Loaded:
    """The project that the files describe; problems are added to `found`."""
    head = _record(found, layout.PROJECT, ProjectFile) or ProjectFile("", folder_name)
    comparables = _record(found, layout.COMPARABLES, ComparablesFile) or ComparablesFile()
    prices = _record(found, layout.PRICES, PricesFile) or PricesFile()
    boats = _boats(found, head.boats)
    extra = head.extra
    if comparables.extra:
        extra = extra.set(COMPARABLES_EXTRA, comparables.extra)
    project = Project(
        id=head.id,
        name=head.name,
        settings=head.settings,
        boats=boats,
        comparables=comparables.comparables,
        overrides=Overrides(prices.prices, FrozenMap(found.checks), prices.extra),
        format=_format(head.format_version),
        extra=extra,
    )
    _report_waiting(found, project, head.boats)
    return Loaded(project, head.boats)


def _format(written: tuple[int, ...]) -> tuple[int, int]:
    return (written[0], written[1]) if len(written) == 2 else FORMAT


def _record(found: FolderFiles, path: str, kind: type[T]) -> T | None:
    """The record in a file; None when there is no file or it holds no such record."""
    if path not in found.plain:
        return None
    faults = Faults(path, layout.boat_of(path))
    record = decode(kind, found.plain[path], faults)
    if record is None:
        fault = faults.problems.pop()
        found.damage(path, fault.message, fault.remedy)
    found.problems.extend(faults.problems)
    return record


def _boats(found: FolderFiles, listed: Iterable[str]) -> FrozenMap[str, Candidate]:
    there = dict.fromkeys(found.boats)
    order = [id_ for id_ in dict.fromkeys(listed) if id_ in there]
    order += [id_ for id_ in there if id_ not in order]
    loaded = ((id_, _candidate(found, id_)) for id_ in order)
    return FrozenMap((id_, candidate) for id_, candidate in loaded if candidate is not None)


def _candidate(found: FolderFiles, id_: str) -> Candidate | None:
    boat = _record(found, layout.boat_path(id_, "boat.json"), Boat)
    if boat is None:
        return None
    if boat.id != id_:
        renamed = _under_her_folder(found, boat, id_)
        if renamed is None:
            return None
        boat = renamed
    inspection = _record(found, layout.boat_path(id_, "inspection.json"), Inspection)
    ledger = _record(found, layout.boat_path(id_, "ledger.json"), Ledger)
    return Candidate(boat, inspection or Inspection(), ledger or Ledger())


def _under_her_folder(found: FolderFiles, boat: Boat, folder: str) -> Boat | None:
    """A boat whose file names another id than her folder: renamed, unless she is a second copy."""
    path = layout.boat_path(folder, "boat.json")
    if not boat.id:
        return replace(boat, id=folder)  # its own could not be read, which has been said
    if boat.id in found.boats:
        message = f"This is a second copy of the boat “{boat.id}”, who has a folder of her own."
        remedy = f"Compare it with {layout.boat_path(boat.id, '')} and delete the one too many."
        found.damage(path, message, remedy)
        return None
    message = f"The file names the boat “{boat.id}”; she is taken by the name of her folder."
    found.problems.append(Problem(path, message, "", Severity.NOTICE, folder, "id"))
    return replace(boat, id=folder)


def _report_waiting(found: FolderFiles, project: Project, listed: Iterable[str]) -> None:
    there = {layout.boat_of(damaged.path) for damaged in found.damaged} | set(project.boats)
    for id_ in listed:
        if id_ not in there:
            found.problems.append(
                Problem(
                    layout.boat_path(id_, "boat.json"),
                    f"The boat “{id_}” is named in {layout.PROJECT}; her file is not here.",
                    "Let the sync finish and open the folder again, or restore a backup.",
                    Severity.PROBLEM,
                    id_,
                )
            )


def report_missing_photos(found: FolderFiles, candidate: Candidate, names: set[str]) -> None:
    """Tell which photos are named and not there, and which readings name a photo that is none."""
    boat, known = candidate.boat.id, candidate.inspection.photos
    path = layout.boat_path(boat, "inspection.json")

    def tell(message: str, remedy: str, severity: Severity, key: str) -> None:
        found.problems.append(Problem(path, message, remedy, severity, boat, key))

    for photo in known.values():
        if photo.file not in names:
            message = f"The photo “{photo.caption or photo.original_name or photo.id}” is missing."
            remedy = "Let the sync finish, or put the file back into the boat's photos."
            tell(message, remedy, Severity.PROBLEM, f"photos.{photo.id}")
    for check, readings in candidate.inspection.readings.items():
        if any(photo not in known for reading in readings for photo in reading.photos):
            message = f"A reading of “{check}” names a photo that is not known."
            tell(message, "", Severity.NOTICE, f"readings.{check}")
