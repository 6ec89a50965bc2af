"""Planks, ranges, charts and photos, looked at as pixels: told apart without colour."""

from __future__ import annotations

import io
import itertools
from decimal import Decimal

import numpy as np
import numpy.typing as npt
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from tests.reports.conftest import SetAs
from tests.reports.invented import FakeShelf, jpeg, read_text
from workbench.domain.inspection import PhotoMark
from workbench.domain.vocabulary import Grade
from workbench.reports.document import (
    Cell,
    Column,
    CostBar,
    CostBars,
    Curve,
    Curves,
    Document,
    Fact,
    Facts,
    Kind,
    Photo,
    Photos,
    RangeBar,
    Row,
    Table,
)
from workbench.reports.pdf import write_pdf
from workbench.reports.pdf_base import MARGIN
from workbench.reports.pdf_charts import nice_step

Pixels = npt.NDArray[np.float64]
SCALE = 3.0


def grey(made: bytes, page: int = 0) -> Pixels:
    """A page without colour, 0 black to 1 white, three pixels to the point."""
    bitmap = pypdfium2.PdfDocument(made)[page].render(scale=SCALE)
    return np.asarray(bitmap.to_pil().convert("L"), dtype=np.float64) / 255


def mark(grade: Grade, as_pdf: SetAs) -> Pixels:
    """The pixels of one mark."""
    columns = (Column("", Kind.MARK), Column(""))
    image = grey(as_pdf(Table(columns, (Row((Cell(grade=grade), Cell())),))))
    left = int(MARGIN * SCALE)
    return image[left + 15 : left + 75, left - 4 : left + 50]


def test_grades_are_told_apart_by_shape_alone(as_pdf: SetAs) -> None:
    # The silhouettes, with every shade of grey made black: no two grades are alike.
    shapes = {grade: mark(grade, as_pdf) < 0.75 for grade in Grade}

    for one, two in itertools.combinations(Grade, 2):
        differing = np.count_nonzero(shapes[one] ^ shapes[two])
        larger = max(np.count_nonzero(shapes[one]), np.count_nonzero(shapes[two]))
        assert differing > 0.05 * larger, (one, two)


def test_the_word_of_a_grade_stands_beside_its_mark_in_the_findings(as_pdf: SetAs) -> None:
    from workbench.reports.document import Finding  # noqa: PLC0415 - only here

    made = as_pdf(Finding("Bearing", Grade.DUE, (Fact("Meaning", "Due. Worn out."),)))

    assert "Due." in read_text(made)


def test_a_range_is_drawn_to_its_scale(as_pdf: SetAs) -> None:
    bar = RangeBar(Decimal(250), Decimal(500), Decimal(750), Decimal(1000))
    image = grey(as_pdf(Facts((Fact("Cost", "x", bar),))))

    # The band is the longest dark run of any row; it lies in the middle half of the 60 mm scale.
    dark = image < 0.5
    row = int(np.argmax(dark.sum(axis=1)))
    places = np.flatnonzero(dark[row])
    wide = 60 / 25.4 * 72 * SCALE
    assert places[-1] - places[0] == pytest.approx(wide / 2, abs=6)


BARS = (
    CostBar("One", *map(Decimal, (20_000, 1_000, 4_000, 2_000, 3_000, 29_500, 33_000))),
    CostBar("Two", None, *map(Decimal, (0, 100, 100, 100, 300, 400))),
)


def test_the_parts_of_a_bar_are_told_apart_without_colour(as_pdf: SetAs) -> None:
    image = grey(as_pdf(CostBars(BARS[:1], "USD", Decimal(38_000))))

    legend = image[int(MARGIN * SCALE) : int((MARGIN + 14) * SCALE)]
    columns = (legend < 0.9).any(axis=0)
    starts = np.flatnonzero(columns & ~np.roll(columns, 1))
    assert starts.size >= 6, "a swatch for each part and the whisker"


def test_bars_without_a_price_or_budget_are_drawn(as_pdf: SetAs) -> None:
    text = read_text(as_pdf(CostBars(BARS, "USD")))

    assert "One" in text
    assert "Two" in text
    assert "budget" not in text


def test_charts_of_nothing_are_drawn(as_pdf: SetAs) -> None:
    zero = CostBar("Zero", Decimal(0), *[Decimal(0)] * 6)

    assert read_text(as_pdf(CostBars((zero,), "USD"), CostBars((), "USD"), Curves((), "USD")))
    assert read_text(as_pdf(Curves((Curve("Flat", ((5.0, 0.0), (5.0, 1.0))),), "USD")))


@given(st.floats(1e-6, 1e12))
def test_gridlines_stand_at_round_amounts(most: float) -> None:
    step = nice_step(most)
    power = 10.0 ** np.floor(np.log10(step) + 1e-9)

    assert round(step / power, 6) in (1, 2, 5)
    assert 2 <= most / step <= 6 + 1e-6


def with_photo(photo: Photo, data: bytes | None, across: int = 2) -> bytes:
    shelf = FakeShelf({photo.file: data} if data is not None else {})
    kept = io.BytesIO()
    write_pdf(Document("t", "s", "f", (Photos((photo,), across),)), kept, "a4", shelf)
    return kept.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (None, "The photo is not in the folder."),
        (b"", "The photo cannot be read."),
        (b"no picture at all", "The photo cannot be read."),
        (jpeg()[:400], "The photo cannot be read."),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "The photo cannot be read."),  # B60
        (b"%PDF-1.4 %%EOF", "The photo cannot be read."),
    ],
)
def test_a_photo_that_cannot_be_shown_is_a_frame_with_words(data: bytes | None, words: str) -> None:
    made = with_photo(Photo("b", "p.jpg", "Its caption"), data)

    assert words in read_text(made)
    assert "Its caption" in read_text(made)
    assert b"/DCTDecode" not in made


def test_a_ring_is_drawn_where_the_mark_is() -> None:
    white = io.BytesIO()
    Image.new("RGB", (600, 400), "white").save(white, "JPEG")
    ring = Photo("b", "p.jpg", "", (PhotoMark(0.75, 0.25, 0.1),))

    with_ring, without = (
        grey(with_photo(photo, white.getvalue())) for photo in (ring, Photo("b", "p.jpg"))
    )
    differing = np.argwhere(np.abs(with_ring - without) > 0.1)
    top, left = differing.mean(axis=0)
    wide = (595.28 - 2 * MARGIN - 4 / 25.4 * 72) / 2 * SCALE
    assert left == pytest.approx(MARGIN * SCALE + 0.75 * wide, abs=4)
    assert top == pytest.approx((MARGIN + 2) * SCALE + 0.25 * wide * 400 / 600, abs=4)


def test_a_ring_at_the_edge_stays_inside_the_picture() -> None:
    white = io.BytesIO()
    Image.new("RGB", (600, 400), "white").save(white, "JPEG")
    edge = Photo("b", "p.jpg", "", (PhotoMark(1.0, 0.0, 0.3, "far out"),))

    made, without = (
        grey(with_photo(photo, white.getvalue())) for photo in (edge, Photo("b", "p.jpg"))
    )
    differing = np.argwhere(np.abs(made - without) > 0.1)
    wide = (595.28 - 2 * MARGIN - 4 / 25.4 * 72) / 2 * SCALE
    assert differing[:, 1].max() <= MARGIN * SCALE + wide + 3
    assert differing[:, 0].min() >= MARGIN * SCALE - 3


def test_a_photo_used_twice_is_in_the_file_once() -> None:
    photo = Photo("b", "p.jpg", "twice")
    kept = io.BytesIO()
    blocks = (Photos((photo,), 4), Photos((photo,), 2), Photos((photo, photo), 3))
    write_pdf(Document("t", "s", "f", blocks), kept, "a4", FakeShelf({"p.jpg": jpeg(3000, 2000)}))

    assert kept.getvalue().count(b"/DCTDecode") == 1
