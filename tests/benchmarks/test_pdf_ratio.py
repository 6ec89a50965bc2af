"""How much longer a sheet takes than the same paper made without any of its design.

Ratios taken in one process, so that they hold on any machine:

- an offer-support sheet of about 20 pages, with a photo a page, against as many plain pages of the
  bare library with as many words and the same pictures: at most 1.5 times;
- 60 photos of 12 megapixels on a photo sheet, against opening and scaling them and nothing else: at
  most 1.3 times, and the file at most 20 MB;
- a finding with a note of one megabyte, against as many words by the bare library, cut into the
  same paragraphs: at most 1.5 times (one paragraph of that length would take minutes);
- how long a stop may take: the longest time between two questions whether to stop, at most 1 s.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from decimal import Decimal
from time import perf_counter
from typing import Any

import numpy as np
import pytest
from PIL import Image
from reportlab.lib.styles import getSampleStyleSheet
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Image as Picture
from reportlab.platypus import PageBreak, Paragraph, SimpleDocTemplate

from workbench.domain.vocabulary import Grade
from workbench.reports.document import (
    Cell,
    Column,
    Document,
    Fact,
    Finding,
    Heading,
    Kind,
    Photo,
    Photos,
    RangeBar,
    Row,
    Table,
    TitleBlock,
)
from workbench.reports.pdf import Hooks, write_pdf
from workbench.reports.pdf_text import pieces
from workbench.reports.photos import SMALL_SIDE

PAGES, FINDINGS = 20, 60
WORDS = "The stern bearing has play at the shaft and knocks when it is let drop. " * 2
SMALL_BUDGET, PHOTO_BUDGET, STOP_SECONDS = 1.5, 1.3, 1.0


class Shelf:
    """Photos held in memory."""

    def __init__(self, photos: dict[str, bytes]) -> None:
        self.photos = photos

    def photo(self, boat: str, file: str) -> bytes | None:
        """The bytes of a file."""
        del boat
        return self.photos.get(file)


def phone_photo(seed: int, width: int, height: int) -> bytes:
    """A JPEG with about as much detail as a photo has."""
    noise = np.random.default_rng(seed).integers(0, 256, (height // 8, width // 8, 3), np.uint8)
    soft = Image.fromarray(noise).resize((width, height), Image.Resampling.BICUBIC)
    kept = io.BytesIO()
    soft.save(kept, "JPEG", quality=88)
    return kept.getvalue()


def small_photos() -> dict[str, bytes]:
    return {f"{number}.jpg": phone_photo(number, 1200, 900) for number in range(PAGES)}


def offer_like() -> Document:
    """A sheet with the blocks of an offer-support sheet, about twenty pages of them."""
    columns = (
        Column("", Kind.MARK),
        Column("Where and what", share=4.3),
        Column("Cost", Kind.FIGURE, 2.2),
        Column("Why", share=3),
    )
    rows = tuple(
        Row((Cell(grade=Grade.DUE), Cell(f"Bearing {n}", "knocks"), Cell("1,150"), Cell("due")))
        for n in range(FINDINGS)
    )
    bar = RangeBar(Decimal(400), Decimal(700), Decimal(1200), Decimal(2000))
    facts = (
        *(Fact(label, WORDS) for label in ("Found", "Meaning", "If it is left", "Work")),
        Fact("Cost", WORDS, bar),
    )
    findings = [
        Finding(
            f"Bearing {n}",
            Grade.DUE,
            facts,
            "1,150 claimed",
            photos=(Photo("b", f"{n // 3}.jpg", "The bearing"),) if n % 3 == 0 else (),
        )
        for n in range(FINDINGS)
    ]
    head = (TitleBlock("Offer support", "A boat", "31 ft"), Table(columns, rows))
    return Document("t", "s", "f", (*head, Heading("Findings"), *findings))


def set_sheet(document: Document, shelf: Shelf) -> bytes:
    kept = io.BytesIO()
    write_pdf(document, kept, "a4", shelf)
    return kept.getvalue()


def bare_pages(photos: dict[str, bytes], words_a_page: str, pages: int) -> bytes:
    """As many pages with as many words and the same pictures by the library alone."""
    styles = getSampleStyleSheet()
    story: list[Any] = []
    for number in range(pages):
        data = photos.get(f"{number}.jpg")
        if data is not None:
            with Image.open(io.BytesIO(data)) as opened:
                opened.thumbnail((SMALL_SIDE, SMALL_SIDE))
                kept = io.BytesIO()
                opened.convert("RGB").save(kept, "JPEG", quality=82)
            story.append(Picture(kept, 160, 120))
        story += [Paragraph(line, styles["BodyText"]) for line in words_a_page.split("\n")]
        story.append(PageBreak())
    made = io.BytesIO()
    SimpleDocTemplate(made).build(story)
    return made.getvalue()


def _best(runs: int, work: Callable[[], object]) -> float:
    times = []
    for _ in range(runs):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times)


def test_an_offer_sheet_takes_little_longer_than_plain_pages(benchmark: Any) -> None:
    from pypdf import PdfReader  # noqa: PLC0415 - only to count what was made

    photos = small_photos()
    document, shelf = offer_like(), Shelf(photos)
    read = PdfReader(io.BytesIO(set_sheet(document, shelf)))
    pages = len(read.pages)
    text = "\n".join(page.extract_text() for page in read.pages)
    lines = [line.replace("&", "").replace("<", "") for line in text.split("\n")]
    a_page = "\n".join(lines[: len(lines) // pages])

    def bare() -> object:
        return bare_pages(photos, a_page, pages)

    before = _best(3, bare)
    benchmark.pedantic(lambda: set_sheet(document, shelf), rounds=5, iterations=1)
    base = min(before, _best(3, bare))
    ratio = benchmark.stats.stats.min / base

    benchmark.extra_info.update(ratio=ratio, limit=SMALL_BUDGET, pages=pages)
    assert ratio <= SMALL_BUDGET


def test_a_note_of_a_megabyte_takes_little_longer_than_its_words(benchmark: Any) -> None:
    words = " ".join(f"word{number}" for number in range(110_000))
    finding = Finding("Long", Grade.DUE, (Fact("Found", "x"), Fact("Note", words)), "1")
    document = Document("t", "s", "f", (finding,))
    a_page = "\n".join(pieces(words))

    def bare() -> object:
        return bare_pages({}, a_page, 1)

    before = _best(1, bare)
    benchmark.pedantic(lambda: set_sheet(document, Shelf({})), rounds=2, iterations=1)
    base = min(before, _best(1, bare))
    ratio = benchmark.stats.stats.min / base

    benchmark.extra_info.update(ratio=ratio, limit=SMALL_BUDGET, seconds=benchmark.stats.stats.min)
    assert ratio <= SMALL_BUDGET


@pytest.fixture(scope="module")
def twelve_megapixels() -> Shelf:
    """Sixty photos of 4,000 by 3,000 pixels; six different ones, each under ten names."""
    different = [phone_photo(seed, 4000, 3000) for seed in range(6)]
    return Shelf({f"{n}.jpg": different[n % 6] for n in range(60)})


def scaled_only(shelf: Shelf) -> None:
    """Open and scale every photo, and save the small picture: what nobody can do without."""
    for data in shelf.photos.values():
        with Image.open(io.BytesIO(data)) as opened:
            opened.draft("RGB", (SMALL_SIDE, SMALL_SIDE))
            opened.thumbnail((SMALL_SIDE, SMALL_SIDE))
            ImageReader(opened.convert("RGB"))
            opened.save(io.BytesIO(), "JPEG", quality=82)


def test_sixty_photos_take_little_longer_than_scaling_them(
    benchmark: Any, twelve_megapixels: Shelf
) -> None:
    items = tuple(Photo("b", name, f"Photo {name}") for name in twelve_megapixels.photos)
    document = Document("t", "s", "f", (Photos(items, 2),))
    size = len(set_sheet(document, twelve_megapixels))

    before = _best(2, lambda: scaled_only(twelve_megapixels))
    benchmark.pedantic(lambda: set_sheet(document, twelve_megapixels), rounds=3, iterations=1)
    base = min(before, _best(2, lambda: scaled_only(twelve_megapixels)))
    ratio = benchmark.stats.stats.min / base

    benchmark.extra_info.update(ratio=ratio, limit=PHOTO_BUDGET, megabytes=size / 1e6)
    assert size <= 20e6
    assert ratio <= PHOTO_BUDGET


def test_a_stop_is_asked_for_at_least_once_a_second(
    benchmark: Any, twelve_megapixels: Shelf
) -> None:
    items = tuple(Photo("b", name, f"Photo {name}") for name in twelve_megapixels.photos)
    document = Document("t", "s", "f", (*offer_like().blocks, Photos(items, 2)))
    waits: list[float] = []

    def measured() -> None:
        last = perf_counter()

        def asked() -> None:
            nonlocal last
            waits.append(perf_counter() - last)
            last = perf_counter()

        write_pdf(document, io.BytesIO(), "a4", twelve_megapixels, Hooks(asked))

    benchmark.pedantic(measured, rounds=1, iterations=1)
    ratio = max(waits) / STOP_SECONDS

    benchmark.extra_info.update(ratio=ratio, limit=1.0, seconds=max(waits))
    assert ratio <= 1.0
