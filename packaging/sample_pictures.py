"""Pictures for the sample project: plain drawings made by program, clearly no photographs.

Each picture is a page of the surveyor's notebook with a few strokes, a caption and a date, saved as
a JPEG with the time it was "taken", so that everything that handles photos has something to handle.
"""

from __future__ import annotations

import io
import random
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

SIZE = (1200, 900)
PAPER, INK, WATER, RUST, SHADE = "#EFEBE2", "#1D2A35", "#0B5C7A", "#A33A00", "#D5D0C6"
_FONT = Path(__file__).resolve().parent.parent / "resources" / "fonts" / "DejaVuSans.ttf"
_TAKEN = 0x9003
_EXIF = 0x8769

Pen = ImageDraw.ImageDraw


def picture(scene: str, caption: str, taken: datetime, seed: int) -> bytes:
    """One picture as JPEG bytes; the same arguments give the same bytes."""
    image = Image.new("RGB", SIZE, PAPER)
    pen = ImageDraw.Draw(image)
    _paper(pen, random.Random(seed))  # noqa: S311 - for looks only
    SCENES[scene](pen, random.Random(seed + 1))  # noqa: S311 - for looks only
    font, small = ImageFont.truetype(str(_FONT), 34), ImageFont.truetype(str(_FONT), 22)
    pen.text((60, 790), caption, fill=INK, font=font)
    pen.text((60, 842), f"drawn, not photographed · {taken:%d %B %Y}", fill="#56636E", font=small)
    exif = Image.Exif()
    exif.get_ifd(_EXIF)[_TAKEN] = taken.strftime("%Y:%m:%d %H:%M:%S")
    out = io.BytesIO()
    image.save(out, "JPEG", quality=82, exif=exif.tobytes())
    return out.getvalue()


def _paper(pen: Pen, chance: random.Random) -> None:
    for y in range(60, 780, 48):
        pen.line([(40, y), (1160, y)], fill=SHADE, width=1)
    for _ in range(120):
        x, y = chance.randrange(1200), chance.randrange(900)
        pen.ellipse([x, y, x + 3, y + 2], fill="#E3DDD0")


def _stern_bearing(pen: Pen, _: random.Random) -> None:
    pen.polygon([(120, 120), (760, 220), (700, 420), (560, 420), (120, 300)], fill="#FFFFFF")
    pen.line([(120, 120), (760, 220), (700, 420)], fill=INK, width=6)
    pen.rectangle([470, 400, 700, 520], outline=INK, width=6)
    for x in range(500, 700, 40):
        pen.line([(x, 405), (x, 515)], fill=INK, width=2)
    pen.line([(160, 445), (1060, 445)], fill=INK, width=5)
    pen.line([(160, 475), (1060, 475)], fill=INK, width=5)
    pen.polygon([(820, 430), (950, 410), (950, 510), (820, 490)], outline=INK, width=5)
    pen.ellipse([840, 130, 920, 430], outline=INK, width=5)
    pen.ellipse([840, 490, 920, 780], outline=INK, width=5)
    _arrow(pen, (760, 620), (760, 500))
    _arrow(pen, (760, 300), (760, 420))


def _arrow(pen: Pen, start: tuple[int, int], end: tuple[int, int]) -> None:
    pen.line([start, end], fill=RUST, width=8)
    turn = 1 if end[1] > start[1] else -1
    pen.polygon(
        [(end[0] - 18, end[1] - turn * 24), (end[0] + 18, end[1] - turn * 24), end], fill=RUST
    )


def _seacock(pen: Pen, chance: random.Random) -> None:
    pen.rectangle([420, 620, 780, 660], fill=SHADE, outline=INK, width=5)
    pen.rectangle([520, 420, 680, 620], fill="#FFFFFF", outline=INK, width=6)
    pen.rectangle([560, 250, 640, 420], outline=INK, width=6)
    pen.line([(600, 480), (860, 430)], fill=INK, width=18)
    for _ in range(26):
        x, y = chance.randrange(520, 690), chance.randrange(430, 640)
        pen.ellipse([x, y, x + 18, y + 12], fill="#4F8A6B")


def _chainplate(pen: Pen, chance: random.Random) -> None:
    pen.line([(120, 420), (1080, 420)], fill=INK, width=6)
    pen.rectangle([560, 180, 640, 720], fill="#FFFFFF", outline=INK, width=6)
    pen.ellipse([580, 210, 620, 250], outline=INK, width=6)
    for y in (520, 600, 680):
        pen.ellipse([585, y - 15, 615, y + 15], fill=INK)
    for step in range(14):
        x = 600 + chance.randrange(-40, 40)
        pen.line(
            [(x, 430 + step * 20), (x + chance.randrange(-8, 8), 470 + step * 20)],
            fill=RUST,
            width=6,
        )


def _shroud(pen: Pen, _: random.Random) -> None:
    for offset in range(-18, 19, 9):
        pen.line([(200, 140 + offset), (760, 460 + offset)], fill=INK, width=4)
    pen.polygon(
        [(740, 400), (1000, 550), (970, 610), (710, 470)], fill="#FFFFFF", outline=INK, width=6
    )
    pen.line([(690, 405), (640, 330), (655, 300)], fill=RUST, width=5)


def _sail(pen: Pen, _: random.Random) -> None:
    pen.polygon([(380, 120), (380, 740), (900, 740)], fill="#FFFFFF", outline=INK, width=6)
    for y in range(220, 740, 90):
        pen.line([(380, y), (380 + (y - 120) * 520 // 620, y)], fill=SHADE, width=3)
    pen.line([(520, 290), (610, 400), (640, 430)], fill=RUST, width=8)
    pen.line([(650, 445), (760, 575)], fill=RUST, width=8)


def _anode(pen: Pen, chance: random.Random) -> None:
    pen.line([(120, 430), (1080, 430)], fill=INK, width=6)
    pen.line([(120, 480), (1080, 480)], fill=INK, width=6)
    pen.rounded_rectangle([480, 380, 720, 530], 40, fill="#C9C9C4", outline=INK, width=6)
    for _ in range(30):
        x, y = chance.randrange(490, 690), chance.randrange(385, 515)
        pen.ellipse([x, y, x + 20, y + 14], fill=PAPER)


def _saildrive(pen: Pen, _: random.Random) -> None:
    pen.line([(120, 260), (1080, 200)], fill=INK, width=8)
    pen.polygon(
        [(540, 230), (720, 220), (700, 520), (600, 520)], fill="#FFFFFF", outline=INK, width=6
    )
    pen.rounded_rectangle([480, 500, 800, 600], 50, fill="#FFFFFF", outline=INK, width=6)
    pen.line([(800, 550), (900, 470)], fill=INK, width=14)
    pen.line([(800, 550), (900, 640)], fill=INK, width=14)
    pen.arc([520, 180, 740, 260], 0, 360, fill=RUST, width=6)


def _hull(pen: Pen, _: random.Random) -> None:
    pen.line([(100, 330), (1100, 300)], fill=INK, width=6)
    pen.arc([80, 100, 1120, 640], 10, 170, fill=INK, width=6)
    pen.polygon(
        [(520, 600), (700, 600), (680, 740), (560, 740)], fill="#FFFFFF", outline=INK, width=6
    )
    pen.line([(300, 560), (220, 770)], fill=INK, width=10)
    pen.line([(920, 540), (1000, 770)], fill=INK, width=10)
    pen.line([(330, 300), (330, 80)], fill=INK, width=8)
    pen.line([(330, 90), (720, 300)], fill=INK, width=3)
    pen.line([(60, 780), (1140, 780)], fill=WATER, width=4)


def _engine(pen: Pen, chance: random.Random) -> None:
    pen.rectangle([350, 320, 850, 620], fill="#FFFFFF", outline=INK, width=6)
    pen.ellipse([260, 380, 420, 540], outline=INK, width=6)
    pen.ellipse([250, 560, 350, 660], outline=INK, width=6)
    pen.line([(262, 460), (252, 610)], fill=INK, width=6)
    pen.line([(418, 460), (348, 610)], fill=INK, width=6)
    for _ in range(18):
        x = chance.randrange(420, 840)
        pen.line(
            [(x, 620), (x + chance.randrange(-10, 10), 640 + chance.randrange(60))],
            fill=RUST,
            width=4,
        )


SCENES: dict[str, Callable[[Pen, random.Random], None]] = {
    "stern-bearing": _stern_bearing,
    "seacock": _seacock,
    "chainplate": _chainplate,
    "shroud": _shroud,
    "sail": _sail,
    "anode": _anode,
    "saildrive": _saildrive,
    "hull": _hull,
    "engine": _engine,
}
