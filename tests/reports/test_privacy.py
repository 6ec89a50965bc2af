"""What leaves the house carries no secret: a token in every field, looked for in every byte.

The marks P1 to P7 are those of the project's reliability goals. Every text field that no sheet for
others may show gets a word of its own, every such amount a number of its own; then the files are
searched raw, in every decoded stream, in the text that two readers find, in the metadata and the
outline, and in the file's name, as plain text, UTF-16 and base 85, and numbers with and without
marks for thousands.
"""

from __future__ import annotations

import ast
import base64
import dataclasses
import io
import re
import zipfile
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject, StreamObject

from tests.reports.conftest import SetAs
from tests.reports.invented import (
    DAY,
    MARIGOLD,
    FakeShelf,
    add_photo,
    assessed,
    done,
    jpeg,
    photo_record,
    read_text,
    read_text_again,
    reading,
    two_boats,
)
from workbench.domain.boat import WorthToMe
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Overruling
from workbench.domain.ledger import LineChange, OfferMade, OwnLine
from workbench.domain.money import Money
from workbench.domain.project import Comparable, Project
from workbench.domain.quantity import Quantity
from workbench.domain.span import Span
from workbench.domain.vocabulary import Asked, Grade, Status, When
from workbench.edits import costing, inspecting
from workbench.reports import offer_pages, offer_sheet, surveyor_brief, yard_request
from workbench.reports.document import Heading, Prose, TitleBlock
from workbench.reports.export import SHEETS, export_sheets
from workbench.reports.photos import export_copy

FOR_OTHERS = tuple(name for name, sheet in SHEETS.items() if sheet.for_others)
FOR_SELLER = ("offer",)
FOR_OTHERS = tuple(name for name in FOR_OTHERS if SHEETS[name].ending == "pdf")


class Canary:
    """Hands out words and amounts that stand nowhere else, and remembers them."""

    def __init__(self) -> None:
        self.words: dict[str, str] = {}
        self.amounts: dict[str, Decimal] = {}

    def word(self, of: str) -> str:
        """A word for a field."""
        self.words[of] = f"Zq{len(self.words):02}xkanari{of.replace(' ', '').replace('_', '')}"
        return self.words[of]

    def money(self, of: str) -> Money:
        """An amount for a field, unlike any that comes from the figures."""
        self.amounts[of] = Decimal(71_003 + 1_307 * len(self.amounts))
        return Money(self.amounts[of], "USD")


def planted() -> tuple[Project, Canary, FakeShelf]:
    """The search with a canary in every field that is nobody else's business."""
    canary = Canary()
    project = _with_canary_boat(two_boats(), canary)
    project, shelf = _with_canary_photos(project, canary)
    project = _with_canary_ledger(project, canary)
    settings = dataclasses.replace(
        project.settings,
        budget=canary.money("budget").amount,
        own_rate=Decimal("17.77"),
        extra=FrozenMap({"x": canary.word("settings extra")}),
    )
    comparable = Comparable(
        "c1",
        canary.word("comparable title"),
        canary.money("comparable price"),
        Asked.SOLD,
        source=canary.word("comparable source"),
        note=canary.word("comparable note"),
        used=False,
    )
    other = project.boats["old-barnaby"]
    renamed = dataclasses.replace(other.boat, name=canary.word("other boat"))
    project = dataclasses.replace(
        project,
        name=canary.word("project name"),
        settings=settings,
        comparables=(comparable,),
        boats=project.boats.set("old-barnaby", dataclasses.replace(other, boat=renamed)),
    )
    return project, canary, shelf


def _with_canary_boat(project: Project, canary: Canary) -> Project:
    held = project.boats[MARIGOLD]
    boat = dataclasses.replace(
        held.boat,
        hull_number=canary.word("hull number"),
        seller=canary.word("seller"),
        contact=canary.word("contact"),
        status=Status.OFFER_MADE,
        status_reason=canary.word("status reason"),
        listing=canary.word("listing"),
        listing_address=f"https://example.org/{canary.word('listing address')}",
        equipment_note=canary.word("equipment note"),
        private_note=canary.word("private note"),
        worth_to_me=(WorthToMe(canary.word("worth label"), canary.money("worth")),),
        asking=(
            dataclasses.replace(held.boat.asking[0], note=canary.word("asking note")),
            *held.boat.asking[1:],
        ),
        extra=FrozenMap({"x": canary.word("boat extra")}),
    )
    return dataclasses.replace(
        project, boats=project.boats.set(MARIGOLD, dataclasses.replace(held, boat=boat))
    )


def _with_canary_photos(project: Project, canary: Canary) -> tuple[Project, FakeShelf]:
    """A private photo of the finding, and one that belongs to no reading."""
    shelf = FakeShelf()
    names: list[str] = [*project.boats[MARIGOLD].inspection.photos]
    for number, (of, private) in enumerate((("private photo", True), ("loose photo", False))):
        data = jpeg(seed=number + 5)
        photo = dataclasses.replace(
            photo_record(data, canary.word(f"{of} caption"), private=private),
            original_name=canary.word(f"{of} name"),
        )
        project = add_photo(project, MARIGOLD, photo)
        shelf.photos[photo.file] = data
        if private:
            names.append(photo.id)
    shelf.photos[photo_record(jpeg(), "").file] = jpeg()
    bearing = reading(
        {"play": Quantity(Decimal("1.1"), "mm"), "sound": "knocks"},
        by=canary.word("reader"),
        private_note=canary.word("reading private note"),
        photos=tuple(names),
        extra=FrozenMap({"x": canary.word("reading extra")}),
    )
    over = Overruling(Grade.UNSAFE, canary.word("overruling reason"), canary.word("overruler"))
    edits = [
        inspecting.record_reading(project, MARIGOLD, "bearing", bearing),
        inspecting.overrule(project, MARIGOLD, "seacock", over),
    ]
    return done(project, edits), shelf


def _with_canary_ledger(project: Project, canary: Canary) -> Project:
    plan = canary.money("own plan").amount
    own = OwnLine(
        "",
        canary.word("own plan title"),
        Span.exactly(plan),
        when=When.WISH,
        note=canary.word("own plan note"),
    )
    made = OfferMade(
        "",
        canary.money("offer made"),
        conditions=canary.word("offer conditions"),
        answer=canary.word("offer answer"),
        counter=canary.money("counter offer"),
    )
    change = LineChange(note=canary.word("line note"))
    quotes = project.boats[MARIGOLD].ledger.quotes
    noted = dataclasses.replace(
        quotes[0], note=canary.word("quote note"), document=canary.word("quote document")
    )
    edits = [
        costing.put_own_line(project, MARIGOLD, own),
        costing.put_offer(project, MARIGOLD, made),
        costing.change_line(project, MARIGOLD, "seacock/renew/seacock", change),
        costing.put_quote(project, MARIGOLD, noted),
    ]
    return done(project, edits)


def figured_secrets(project: Project) -> dict[str, Decimal]:
    """Figures that would give the buyer's hand away."""
    boat = assessed(project).boats[MARIGOLD]
    found = {
        "walk-away": boat.offer.walk_away,
        "target": boat.offer.target,
        "budget price": boat.offer.limit.budget_price,
        "worth price": boat.offer.limit.worth_price,
        "allowance": boat.allowance.mean,
        "cost to ready": boat.cost_to_ready.mean,
        "cost to ready, P80": boat.cost_to_ready.p80,
        "work, P80": boat.work.p80,
    }
    return {name: value for name, value in found.items() if value is not None}


def streams_of(made: bytes) -> Iterator[bytes]:
    """Every stream and every string of a PDF, decoded."""
    reader = PdfReader(io.BytesIO(made))
    seen: set[int] = set()
    waiting: list[object] = [reader.trailer]
    while waiting:
        one = waiting.pop()
        if isinstance(one, IndirectObject):
            if one.idnum in seen:
                continue
            seen.add(one.idnum)
            one = one.get_object()
        if isinstance(one, StreamObject):
            # A picture's own stream is a JPEG: kept as it stands.
            filters = str(one.get("/Filter", ""))
            yield one._data if "DCT" in filters else one.get_data()
        if isinstance(one, DictionaryObject):
            waiting += one.values()
        elif isinstance(one, ArrayObject):
            waiting += one
        else:
            yield str(one).encode("utf-8", "replace")


def texts_of(path: Path) -> list[str]:
    """What two readers read in a PDF, or the parts of a workbook, and the file's name."""
    made = path.read_bytes()
    if path.suffix == ".pdf":
        return [read_text(made), read_text_again(made), path.name]
    with zipfile.ZipFile(path) as book:
        parts = [book.read(name).decode("utf-8", "replace") for name in book.namelist()]
        return [*parts, *book.namelist(), path.name]


def haystack(path: Path) -> list[bytes]:
    """Everything a file could hide something in, its name included."""
    made = path.read_bytes()
    texts = texts_of(path)
    squeezed = [re.sub(r"\s+", "", text) for text in texts]
    return [
        made,
        *(streams_of(made) if path.suffix == ".pdf" else ()),
        *(text.encode("utf-8", "replace") for text in (*texts, *squeezed)),
    ]


def spellings(word: str) -> list[bytes]:
    """The ways in which a word could stand in a file."""
    plain = word.encode()
    return [plain, word.encode("utf-16-be"), word.encode("utf-16-le"), base64.b85encode(plain)[:16]]


def amount_spellings(amount: Decimal) -> list[bytes]:
    """The ways in which an amount could be printed; digits on either side make it another one."""
    whole = f"{amount:,.0f}"
    marks = {whole, whole.replace(",", "."), whole.replace(",", " "), whole.replace(",", "")}
    return [mark.encode() for mark in marks if len(mark) > 3]


def holds_amount(hay: bytes, spelled: bytes) -> bool:
    return re.search(rb"(?<![\d.,])" + re.escape(spelled) + rb"(?![\d])", hay) is not None


def found_in(path: Path, canary: Canary, figured: dict[str, Decimal]) -> list[str]:
    """What of the secrets stands in a file."""
    hay = haystack(path)
    found = [
        of
        for of, word in canary.words.items()
        if any(spelled in one for spelled in spellings(word) for one in hay)
    ]
    # Amounts are looked for in what can be read: in packed bytes any three digits turn up.
    texts = texts_of(path)
    for of, amount in {**canary.amounts, **figured}.items():
        spelled = amount_spellings(amount)
        if any(holds_amount(text.encode(), one) for text in texts for one in spelled):
            found.append(of)
    return found


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Path], Canary, Project]:
    """All sheets for others, with a canary in every secret field."""
    project, canary, shelf = planted()
    out = tmp_path_factory.mktemp("out")
    folder = tmp_path_factory.mktemp(canary.word("folder name")) / "search"
    photos = folder / "boats" / MARIGOLD / "photos"
    photos.mkdir(parents=True)
    for name, data in shelf.photos.items():
        (photos / name).write_bytes(data)
    sheets = list(FOR_OTHERS)
    made = export_sheets(assessed(project), folder, out, sheets, [MARIGOLD], on=DAY)
    canary.words["home"] = str(Path.home())
    canary.words["out"] = str(out)
    return made, canary, project


@pytest.mark.parametrize("sheet", FOR_OTHERS)
def test_no_sheet_for_others_carries_a_secret(
    sheet: str, written: tuple[list[Path], Canary, Project]
) -> None:
    # P2
    made, canary, project = written
    path = made[FOR_OTHERS.index(sheet)]
    allowed = {
        "photos": {"loose photo caption"},  # it shows every photo that is not private
    }

    found = set(found_in(path, canary, figured_secrets(project)))
    assert found <= allowed.get(sheet, set())


def test_the_search_finds_what_is_planted(tmp_path: Path, as_pdf: SetAs) -> None:
    """The search can fail: the same canaries are found where a sheet does print them."""
    canary = Canary()
    word, amount = canary.word("a word"), canary.money("an amount").amount
    for number, block in enumerate(
        (
            Prose(f"before {word} after {amount:,} end"),
            Heading(f"{word} {amount:,.2f}"),
            TitleBlock(word, f"{amount}", ""),
        )
    ):
        path = tmp_path / f"{number}.pdf"
        path.write_bytes(as_pdf(block))
        assert set(found_in(path, canary, {})) == {"a word", "an amount"}
    named = tmp_path / f"{word}.pdf"
    named.write_bytes(as_pdf(Prose("nothing")))
    assert found_in(named, canary, {}) == ["a word"]


def test_the_buyers_own_sheets_may_show_the_budget(
    tmp_path: Path, written: tuple[list[Path], Canary, Project]
) -> None:
    _, canary, project = written
    made = export_sheets(
        assessed(project), None, tmp_path, ["comparison"], [*project.boats], on=DAY
    )

    assert "budget" in found_in(made[0], canary, {})


@pytest.mark.parametrize("module", [offer_sheet, offer_pages, surveyor_brief, yard_request])
def test_what_builds_a_sheet_for_others_cannot_reach_the_project(module: object) -> None:
    # P1: it knows views, documents and words, and of the rest only grades.
    path = Path(str(getattr(module, "__file__", "")))
    imported = {
        node.module or ""
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
    }

    reaching = {name for name in imported if name.startswith("workbench.")}
    assert reaching <= {"workbench.domain.vocabulary", "workbench.domain.record"}
    assert not imported & {"shelf", "export", "sheet_builders"}


def test_a_new_field_of_a_record_is_not_shown_by_itself(
    written: tuple[list[Path], Canary, Project],
) -> None:
    # Every text of the records above carries a canary, so a field that is added later without one
    # would make the list of secrets shorter than the records: count them.
    _, canary, _ = written

    assert len(canary.words) >= 30
    assert len(canary.amounts) >= 6


def telling_jpeg() -> bytes:
    """A photo whose file says where, when, by what and by whom it was taken, and shows it again."""
    image = Image.new("RGB", (640, 480), "white")
    exif = Image.Exif()
    exif[0x010F] = "Kanarimaker"  # Make
    exif[0x013B] = "Kanariartist"
    exif[0x0112] = 6  # turned by a quarter
    place = exif.get_ifd(0x8825)
    place[1], place[2] = "N", (54.0, 19.0, 7.77)
    place[3], place[4] = "E", (10.0, 8.0, 3.33)
    details = exif.get_ifd(0x8769)
    details[0xA431] = "Kanariserial77"
    details[0x9003] = "2026:05:09 10:11:12"
    kept = io.BytesIO()
    image.save(
        kept, "JPEG", exif=exif, comment=b"Kanaricomment", xmp=b"<x:xmpmeta>Kanarixmp</x:xmpmeta>"
    )
    # An IPTC block as photo software writes it (application segment 13, "Photoshop 3.0").
    block = b"Photoshop 3.0\x008BIM\x04\x04\x00\x00\x00\x00\x00\x10\x1c\x02\x78\x00\x0bKanariiptc!"
    segment = b"\xff\xed" + (len(block) + 2).to_bytes(2, "big") + block
    data = kept.getvalue()
    return data[:2] + segment + data[2:]


TELLING = (b"Kanari", b"Exif", b"GPS", b"8BIM", b"xmpmeta", b"Photoshop", b"2026:05:09")


def test_the_telling_photo_tells() -> None:
    data = telling_jpeg()

    for sign in ("maker", "serial77", "comment", "xmp", "iptc", "artist"):
        assert f"Kanari{sign}".encode() in data
    assert Image.open(io.BytesIO(data)).getexif().get_ifd(0x8825)


def test_an_export_copy_holds_pixels_and_nothing_else() -> None:
    # P3
    copy = export_copy(telling_jpeg())

    assert not any(sign in copy.jpeg for sign in TELLING)
    found = Image.open(io.BytesIO(copy.jpeg))
    assert dict(found.getexif()) == {}
    assert set(found.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert (copy.width, copy.height) == (480, 640), "it stands upright"


@pytest.mark.parametrize("sheet", ["offer", "photos", "trade-briefs"])
def test_no_sheet_carries_what_a_camera_wrote(sheet: str, tmp_path: Path) -> None:
    # P3: looked for in the raw bytes, where the picture's own stream lies as it is.
    data = telling_jpeg()
    photo = photo_record(data, "Bearing")
    project = add_photo(two_boats(photos=False), MARIGOLD, photo)
    bearing = reading({"play": Quantity(Decimal("1.2"), "mm")}, photos=(photo.id,))
    project = done(project, [inspecting.record_reading(project, MARIGOLD, "bearing", bearing)])
    photos = tmp_path / "search" / "boats" / MARIGOLD / "photos"
    photos.mkdir(parents=True)
    (photos / photo.file).write_bytes(data)

    made = export_sheets(
        assessed(project), tmp_path / "search", tmp_path / "out", [sheet], [MARIGOLD], on=DAY
    )

    raw = made[0].read_bytes()
    assert b"/DCTDecode" in raw, "the photo is on the sheet"
    for hay in (raw, *streams_of(raw)):
        assert not any(sign in hay for sign in TELLING)


def test_dates_of_offers_stay_inside(written: tuple[list[Path], Canary, Project]) -> None:
    made, _, _ = written

    text = read_text(made[0].read_bytes())
    assert str(date.today().year + 1) not in text
