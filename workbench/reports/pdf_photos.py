"""Photos on the page: the picture, its rings, a frame with words where there is none."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable

from .document import Photo
from .pdf_base import GUTTER, Drawn, cells_in
from .pdf_text import ACCENT, BOLD, INK, LINE, PANEL, WHITE, fitted, prose
from .photos import Darkroom, ExportCopy

PIXELS_PER_POINT = 220 / 72
"""220 pixels to the inch: what a good printer shows and no more."""
_WORDS_SHAPE = 0.62
_TALLEST = 1.0


class _KnownJpeg(ImageReader):
    """A JPEG that is told apart by its own bytes, so that nothing is decoded to name it."""

    def __init__(self, jpeg: bytes) -> None:
        super().__init__(io.BytesIO(jpeg))
        self._bytes = jpeg
        self._dataA = None  # no transparency

    def getRGBData(self) -> bytes:  # noqa: N802 - the library's name
        """What the library names the picture by."""
        return self._bytes


class PhotoDrawing(Drawn):
    """One photo as wide as its place, or lower and centred where it is a tall one."""

    def __init__(self, photo: Photo, copy: ExportCopy) -> None:
        super().__init__()
        self.photo, self.copy = photo, copy

    def height_for(self, width: float) -> float:
        """The picture's own shape, at most as high as wide."""
        if not self.copy.jpeg:
            return width * _WORDS_SHAPE
        return width * min(self.copy.height / self.copy.width, _TALLEST)

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """The picture with its rings, or a frame with words."""
        if not self.copy.jpeg:
            _paint_words(canvas, self.copy.words, width, height)
            return
        wide = min(width, height * self.copy.width / self.copy.height)
        left = (width - wide) / 2
        if left > 1:
            canvas.setFillColor(PANEL)
            canvas.rect(0, 0, width, height, stroke=0, fill=1)
        canvas.drawImage(_KnownJpeg(self.copy.jpeg), left, 0, wide, height)
        canvas.setStrokeColor(LINE)
        canvas.setLineWidth(0.5)
        canvas.rect(0, 0, width, height, stroke=1, fill=0)
        _paint_rings(canvas, self.photo, left, wide, height)


def _paint_words(canvas: Any, words: str, width: float, height: float) -> None:
    canvas.setFillColor(PANEL)
    canvas.setStrokeColor(LINE)
    canvas.setDash([3, 2])
    canvas.rect(0.5, 0.5, width - 1, height - 1, stroke=1, fill=1)
    for part in prose(words, "caption"):
        wide, high = part.wrap(width - 16, height)
        part.drawOn(canvas, 8, (height - high) / 2)
        del wide


def _paint_rings(canvas: Any, photo: Photo, left: float, wide: float, high: float) -> None:
    """Rings in white with a dark core: they stand out on any picture, in black and white too."""
    clip = canvas.beginPath()
    clip.rect(left, 0, wide, high)
    canvas.saveState()
    canvas.clipPath(clip, stroke=0, fill=0)
    for mark in photo.marks:
        x, y, radius = left + mark.x * wide, high - mark.y * high, max(mark.radius * wide, 3.0)
        for colour, thickness in ((WHITE, 3.4), (ACCENT, 1.6)):
            canvas.setStrokeColor(colour)
            canvas.setLineWidth(thickness)
            canvas.circle(x, y, radius, stroke=1, fill=0)
        if mark.label:
            _paint_label(canvas, mark.label, x, y - radius - 9.5, left, wide)
    canvas.restoreState()


def _paint_label(canvas: Any, label: str, x: float, y: float, left: float, wide: float) -> None:
    size = 6.6
    text = fitted(label, BOLD, size, wide - 8)
    text_wide = canvas.stringWidth(text, BOLD, size) + 5
    start = min(max(x - text_wide / 2, left + 1), left + wide - text_wide - 1)
    base = max(y, 2.0)
    canvas.setFillColor(WHITE)
    canvas.roundRect(start, base, text_wide, 8.6, 1.5, stroke=0, fill=1)
    canvas.setFillColor(INK)
    canvas.setFont(BOLD, size)
    canvas.drawString(start + 2.5, base + 2.3, text)


_ROW_STYLE = [
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-2, -1), GUTTER),
    ("RIGHTPADDING", (-1, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]


def photo_row(
    photos: Sequence[Photo], across: int, width: float, darkroom: Darkroom
) -> list[Flowable]:
    """Photos with captions, `across` to a row; a row stays on one page."""
    place = (width - (across - 1) * GUTTER) / across
    made: list[Flowable] = []
    for start in range(0, len(photos), across):
        cells = [[captioned(one, place, darkroom) for one in photos[start : start + across]]]
        cells[0] += [[] for _ in range(across - len(cells[0]))]
        widths = [place + GUTTER] * (across - 1) + [place]
        made.append(cells_in(cells, widths, _ROW_STYLE))
    return made


def captioned(photo: Photo, width: float, darkroom: Darkroom) -> list[Flowable]:
    """A photo and its caption."""
    copy = darkroom.copy(photo.boat, photo.file, int(width * PIXELS_PER_POINT))
    return [PhotoDrawing(photo, copy), *prose(photo.caption[:300], "caption")]
