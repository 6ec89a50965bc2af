"""The reference load of the window: 20 boats, at least 3,000 ledger lines, 400 photos.

The sample's four boats are taken five times over under other names, with everything that was read
on them, and every one gets twenty photos. Nothing in it is real.
"""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray
from PySide6.QtGui import QColor, QImage

from tests.figures.small_yard import AS_OF
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Photo
from workbench.domain.ledger import OwnLine
from workbench.domain.project import Candidate, Project
from workbench.domain.settings import Settings
from workbench.domain.span import Span
from workbench.edits import boats
from workbench.edits.edit import apply
from workbench.store.attachments import add_photo
from workbench.store.folder import create_project, open_project, save_project
from workbench.store.project_folder import ProjectFolder

SAMPLE = Path(__file__).resolve().parents[2] / "sample_projects" / "two-yards-one-spring"
COPIES, PHOTOS_OF_A_BOAT = 5, 20


def write_reference(place: Path) -> None:
    """Write the reference load into a new folder."""
    sample = open_project(SAMPLE)
    sample.folder.close()
    opened = create_project(place, "Reference load", sample.project.settings)
    made = dataclasses.replace(
        opened.project,
        comparables=sample.project.comparables,
        boats=FrozenMap(
            (boat_id, _copy(one, boat_id, number, opened.folder))
            for number in range(COPIES)
            for boat_id, one in (
                (f"{name}-{number}", candidate) for name, candidate in sample.project.boats.items()
            )
        ),
    )
    _save(opened.folder, made, opened.project)


def _copy(candidate: Candidate, boat_id: str, number: int, folder: ProjectFolder) -> Candidate:
    boat = dataclasses.replace(
        candidate.boat,
        id=boat_id,
        name=f"{candidate.boat.name} {number + 1}",
        stream=candidate.boat.stream + 1000 * number,
    )
    photos = [_photo(folder, boat_id, shot) for shot in range(PHOTOS_OF_A_BOAT)]
    readings = {
        check: tuple(dataclasses.replace(reading, photos=()) for reading in taken)
        for check, taken in candidate.inspection.readings.items()
    }
    inspection = dataclasses.replace(
        candidate.inspection,
        readings=FrozenMap(readings),
        photos=FrozenMap((photo.id, photo) for photo in photos),
    )
    return dataclasses.replace(candidate, boat=boat, inspection=inspection)


def _photo(folder: ProjectFolder, boat_id: str, number: int) -> Photo:
    picture = QImage(64, 48, QImage.Format.Format_RGB32)
    picture.fill(QColor.fromHsv(number * 17 % 360, 120, 200))
    data = QByteArray()
    buffer = QBuffer(data)
    assert buffer.open(QBuffer.OpenModeFlag.WriteOnly)
    # The type hints want bytes here and the call itself a text.
    picture.save(buffer, "PNG")  # type: ignore[call-overload]
    return add_photo(folder, boat_id, bytes(data.data()), f"photo-{number}.png")


def write_long_ledger(place: Path, lines: int) -> None:
    """Write a search with one boat whose ledger has so many lines of the buyer's own."""
    opened = create_project(place, "Long ledger", Settings(as_of=AS_OF, draws=2_000))
    project, _ = apply(opened.project, boats.add_boat(opened.project, Boat("", "Ann", year=1986)))
    cost = Span(Decimal(80), Decimal(120), Decimal(200))
    own = tuple(OwnLine(f"job-{n}", f"Job number {n}", cost, "rig") for n in range(lines))
    ann = project.boats["ann"]
    ledger = dataclasses.replace(ann.ledger, own_lines=own)
    full = dataclasses.replace(
        project, boats=project.boats.set("ann", dataclasses.replace(ann, ledger=ledger))
    )
    _save(opened.folder, full, opened.project)


def _save(folder: ProjectFolder, project: Project, before: Project) -> None:
    report = save_project(folder, project, before)
    assert report.complete, report.problems
    folder.close()
