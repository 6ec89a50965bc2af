"""Small invented projects for the tests of the store."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

from tests.store.memory_files import MemoryFiles
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection, Photo, Reading
from workbench.domain.ledger import Ledger, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Candidate, Comparable, Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings
from workbench.domain.span import Span
from workbench.store.attachments import add_photo
from workbench.store.folder import Opened, create_project, save_project
from workbench.store.project_folder import ProjectFolder
from workbench.store.workplace import Workplace

ROOT = "/boats/search"
TARGET = Path(ROOT)
NOON = datetime(2026, 5, 31, 12, 0, tzinfo=UTC)


def memory_place(files: MemoryFiles | None = None) -> Workplace:
    """A workplace in memory with a token that is known already."""
    files = files or MemoryFiles()
    if files.facts("/own") is None:
        files.put_folders("/own")
        files.put_folders("/boats")
        files.put("/own/installation", b"0123456789abcdef")
    return Workplace(files, "/own", now=lambda: NOON)


def photo_bytes(number: int) -> bytes:
    """Bytes that begin as a JPEG does; each number its own."""
    return b"\xff\xd8\xff\xe0" + f"photo {number} ".encode() * 20


def candidate(number: int) -> Candidate:
    """A boat with a reading, an own line and a quote."""
    boat = Boat(
        f"boat-{number}",
        f"Boat {number}",
        design="Invented 31",
        year=1979 + number,
        dimensions=FrozenMap({"loa": Quantity(Decimal("31.5"), "ft")}),
        facts=FrozenMap({"drive": "shaft"}),
        asking=(AskingPrice(Money(Decimal("24500.00"), "USD"), date(2026, 5, 1)),),
    )
    reading = Reading("r1", FrozenMap({"play": Quantity(Decimal("1.0"), "mm")}), note="some play")
    line = OwnLine("o1", "New hoses", Span(Decimal(80), Decimal(120), Decimal(200)))
    quote = Quote("q1", "North Yard", Money(Decimal("640.00"), "USD"), ("own/o1",))
    return Candidate(
        boat,
        Inspection(FrozenMap({"stern-bearing": (reading,)})),
        Ledger(quotes=(quote,), own_lines=(line,)),
    )


def sample_project(boats: int = 3) -> Project:
    """A project with some boats and one comparable."""
    known = Comparable("c1", "Invented 30, 1981", Money(Decimal(19000), "USD"))
    return Project(
        "0f1e2d3c4b5a6978",
        "Northern search",
        Settings(budget=Decimal(40000)),
        FrozenMap({f"boat-{n}": candidate(n) for n in range(boats)}),
        (known,),
    )


def saved_sample(place: Workplace, boats: int = 3, path: Path = TARGET) -> tuple[Opened, Project]:
    """A new folder that holds the sample; the lock is held."""
    opened = create_project(path, "Northern search", project_id="0f1e2d3c4b5a6978", workplace=place)
    project = sample_project(boats)
    save_project(opened.folder, project, opened.project)
    return opened, project


def with_boat(project: Project, changed: Candidate) -> Project:
    """The project with one boat replaced or added."""
    return replace(project, boats=project.boats.set(changed.boat.id, changed))


def renamed(project: Project, id_: str, name: str) -> Project:
    """The project with a boat's name changed."""
    found = project.boats[id_]
    return with_boat(project, replace(found, boat=replace(found.boat, name=name)))


def with_photos(folder: ProjectFolder, project: Project, id_: str, numbers: range) -> Project:
    """Store photos and name them in the boat's inspection."""
    found = project.boats[id_]
    photos: FrozenMap[str, Photo] = found.inspection.photos
    for number in numbers:
        photo = add_photo(folder, id_, photo_bytes(number), f"p{number}.jpg")
        photos = photos.set(photo.id, photo)
    return with_boat(project, replace(found, inspection=replace(found.inspection, photos=photos)))
