"""Two invented boats in one invented search, with readings, photos, a quote and a job by hand.

Marigold Rae has a worn-out bearing (measured, photographed, quoted), two stuck seacocks and a half
gone anode; her keel bolts were out of reach. Old Barnaby was hardly looked at.
"""

from __future__ import annotations

import dataclasses
import hashlib
import io
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from pathlib import Path

from PIL import Image, ImageDraw

from tests.reports.small_catalogue import small_catalogue
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Photo, PhotoMark, Reading
from workbench.domain.ledger import OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity, parse_quantity
from workbench.domain.settings import Fee, Settings, Tax, TaxBand
from workbench.domain.span import Span
from workbench.domain.vocabulary import Sight
from workbench.edits import boats, costing, inspecting
from workbench.edits.edit import Edit, Put, apply
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment

MARIGOLD, BARNABY = "marigold-rae", "old-barnaby"
DAY = date(2026, 5, 10)
VISIT = date(2026, 5, 9)


class FakeShelf:
    """Photos held in memory."""

    def __init__(self, photos: dict[str, bytes] | None = None) -> None:
        self.photos = photos or {}

    def photo(self, boat: str, file: str) -> bytes | None:
        """The bytes of a file, whichever boat it is of."""
        del boat
        return self.photos.get(file)


def jpeg(width: int = 400, height: int = 300, *, seed: int = 1, exif: bytes = b"") -> bytes:
    """A small drawn picture as a JPEG."""
    image = Image.new("RGB", (width, height), (200, 190 - seed * 7 % 90, 170))
    drawing = ImageDraw.Draw(image)
    for step in range(12):
        drawing.line([(step * 37 % width, 0), (width, step * 53 % height)], (60, 70, 80), 3)
    kept = io.BytesIO()
    image.save(kept, "JPEG", exif=exif)
    return kept.getvalue()


def photo_record(data: bytes, caption: str, *, private: bool = False) -> Photo:
    """The record of a photo, as the store would make it."""
    digest = hashlib.sha256(data).hexdigest()
    return Photo(
        id=digest[:40],
        file=f"{digest[:40]}.jpg",
        sha256=digest,
        original_name="IMG_0001.JPG",
        caption=caption,
        private=private,
        marks=(PhotoMark(0.5, 0.5, 0.1, "here"),),
    )


def done(project: Project, edits: Iterable[Edit]) -> Project:
    """The project after some edits that do not depend on each other."""
    for edit in edits:
        project, _ = apply(project, edit)
    return project


def add_photo(project: Project, boat: str, photo: Photo) -> Project:
    """The project with a photo's record."""
    put = Put(("boats", boat, "inspection", "photos", photo.id), photo)
    return done(project, [Edit("Add photo", (put,))])


def reading(values: dict[str, Quantity | str], **more: object) -> Reading:
    """A reading of the visit by one person."""
    made = Reading("", FrozenMap(values), taken=VISIT, by="Robin")
    return dataclasses.replace(made, **more)  # type: ignore[arg-type]  # any field, by name


def two_boats(photos: bool = True) -> Project:
    """The whole search."""
    settings = Settings(
        currency="USD",
        as_of=DAY,
        budget=Decimal(38_000),
        own_rate=Decimal(20),
        taxes=(Tax("Sales tax", (TaxBand(Decimal(0), Decimal(6)),)),),
        fees=(Fee("title", "Title transfer", Span.exactly(Decimal(260))),),
        draws=2_000,
    )
    project = Project("invented-search", "Two yards, one spring", settings)
    for name, year, length, price in (
        ("Marigold Rae", 1979, "31 ft", 24_500),
        ("Old Barnaby", 1974, "29 ft", 16_800),
    ):
        boat = Boat(
            "",
            name,
            year=year,
            design="Invented 31",
            lies_at="Wharf Lane yard",
            dimensions=FrozenMap({"loa": parse_quantity(length, "ft")}),
            facts=FrozenMap({"drive": "shaft", "rig": "sloop"}),
            asking=(AskingPrice(Money(Decimal(price), "USD"), date(2026, 5, 2)),),
        )
        project = done(project, [boats.add_boat(project, boat)])
    return _inspected(project, photos=photos)


def _inspected(project: Project, *, photos: bool) -> Project:
    shown: tuple[str, ...] = ()
    if photos:
        photo = photo_record(jpeg(), "Stern bearing, play measured")
        project = add_photo(project, MARIGOLD, photo)
        shown = (photo.id,)
    bearing = reading(
        {"play": Quantity(Decimal("1.0"), "mm"), "sound": "knocks"},
        note="Seen twice.",
        photos=shown,
    )
    out_of_reach = reading({}, sight=Sight.NOT_SEEN, reason="The bilge was full.")
    record = inspecting.record_reading
    project = done(
        project,
        [
            record(project, MARIGOLD, "bearing", bearing),
            record(project, MARIGOLD, "seacock", reading({"stuck": Quantity(Decimal(2), "count")})),
            record(project, MARIGOLD, "anode", reading({"gone": Quantity(Decimal(60), "%")})),
            record(project, MARIGOLD, "keel-bolts", out_of_reach),
            record(project, BARNABY, "seacock", reading({"stuck": Quantity(Decimal(0), "count")})),
        ],
    )
    quote = Quote(
        "",
        "North Yard",
        Money(Decimal("640.00"), "USD"),
        ("bearing/renew/bearing",),
        date(2026, 5, 3),
        date(2026, 6, 30),
    )
    hoses = OwnLine(
        "",
        "New gas hose",
        Span(Decimal(40), Decimal(60), Decimal(90)),
        claim_share=Decimal(1),
        note="Out of date.",
    )
    project = done(project, [costing.put_quote(project, MARIGOLD, quote)])
    return done(project, [costing.put_own_line(project, MARIGOLD, hoses)])


def assessed(project: Project | None = None) -> Assessment:
    """The figures of the search with the small catalogue."""
    return assess(project or two_boats(), small_catalogue())


def shelf() -> FakeShelf:
    """The photos of the search."""
    data = jpeg()
    return FakeShelf({photo_record(data, "").file: data})


def read_text(path: Path | bytes) -> str:
    """All text of a PDF by the first reader."""
    from pypdf import PdfReader  # noqa: PLC0415 - few tests read PDFs

    reader = PdfReader(io.BytesIO(path) if isinstance(path, bytes) else path)
    return "\n".join(page.extract_text() for page in reader.pages)


def read_text_again(path: Path | bytes) -> str:
    """All text of a PDF by a second reader that shares no code with the first."""
    from pdfminer.high_level import extract_text  # noqa: PLC0415 - see above

    return str(extract_text(io.BytesIO(path) if isinstance(path, bytes) else str(path)))
