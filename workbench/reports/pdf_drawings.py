"""The program's line drawings set as vectors.

The drawings in `resources/drawings` keep to a small part of SVG: groups, paths of straight lines,
cubic and quadratic curves and elliptical arcs, the simple shapes, and labels of one line. That
part is read here; an element or a path command outside it raises, so that a drawing is never set
with something missing. Elliptical arcs become cubic curves by the conversion in appendix B.2.4
of W3C, Scalable Vector Graphics 2 (implementation notes).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from reportlab.lib.colors import HexColor

from workbench.paths import resource

from .pdf_base import Drawn
from .pdf_text import FONT, INK, plain

_NAMESPACE = "{http://www.w3.org/2000/svg}"
_NUMBERS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "Q": 4, "A": 7, "Z": 0}
_TOKEN = re.compile(r"[A-Za-z]|[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_INHERITED = ("stroke", "fill", "stroke-width", "stroke-dasharray", "stroke-linecap")
_CAPS = {"butt": 0, "round": 1, "square": 2}

Point = tuple[float, float]
Step = tuple[str, tuple[float, ...]]


@cache
def _root(name: str) -> Any:
    from defusedxml import ElementTree  # noqa: PLC0415 - only sheets with drawings read any

    return ElementTree.parse(resource(f"drawings/{name}.svg")).getroot()


class LineDrawing(Drawn):
    """A drawing of the program, at most `most_wide` points wide.

    `words` are translations of its labels by the English text; none where the sheet is English.
    """

    def __init__(
        self, name: str, most_wide: float, words: Mapping[str, str] = MappingProxyType({})
    ) -> None:
        super().__init__()
        self.words = words
        self.root, self.most_wide = _root(name), most_wide
        _, _, self.wide, self.high = (float(n) for n in self.root.attrib["viewBox"].split())

    def height_for(self, width: float) -> float:
        """The drawing's own shape."""
        return min(width, self.most_wide) * self.high / self.wide

    def paint(self, canvas: Any, width: float, height: float) -> None:
        """Every element in its order, y downwards."""
        scale = height / self.high
        canvas.translate(0, height)
        canvas.scale(scale, -scale)
        canvas.setLineJoin(1)
        _paint(canvas, self.root, {}, self.words)
        del width


def _paint(
    canvas: Any, element: Any, inherited: Mapping[str, str], words: Mapping[str, str]
) -> None:
    here = {**inherited, **{k: v for k, v in element.attrib.items() if k in _INHERITED}}
    name = element.tag.removeprefix(_NAMESPACE)
    if name in ("svg", "g"):
        for child in element:
            _paint(canvas, child, here, words)
    elif name == "text":
        _paint_label(canvas, element, here, words)
    elif name not in ("title", "desc"):
        _paint_shape(canvas, name, element.attrib, here)


def _paint_shape(
    canvas: Any, name: str, given: Mapping[str, str], paint: Mapping[str, str]
) -> None:
    stroke, fill = _colour(paint.get("stroke", "none")), _colour(paint.get("fill", "currentColor"))
    if stroke is not None:
        canvas.setStrokeColor(stroke)
        canvas.setLineWidth(float(paint.get("stroke-width", "1")))
        canvas.setLineCap(_CAPS[paint.get("stroke-linecap", "butt")])
        dashes = paint.get("stroke-dasharray", "none")
        canvas.setDash([] if dashes == "none" else [float(n) for n in re.split(r"[ ,]+", dashes)])
    if fill is not None:
        canvas.setFillColor(fill)
    path = canvas.beginPath()
    for command, numbers in _steps_of(name, given):
        _draw_step(path, command, numbers)
    canvas.drawPath(path, stroke=int(stroke is not None), fill=int(fill is not None))


def _colour(written: str) -> Any:
    if written == "none":
        return None
    return INK if written == "currentColor" else HexColor(written)


def _draw_step(path: Any, command: str, numbers: tuple[float, ...]) -> None:
    if command == "M":
        path.moveTo(*numbers)
    elif command == "L":
        path.lineTo(*numbers)
    elif command == "C":
        path.curveTo(*numbers)
    else:
        path.close()


def _steps_of(name: str, given: Mapping[str, str]) -> Iterator[Step]:
    """The moves, lines, cubic curves and closings that a shape comes to."""
    if name == "path":
        return steps_of_path(given["d"])
    number = {key: float(text) for key, text in given.items() if _is_number(text)}
    if name == "line":
        points = [(number["x1"], number["y1"]), (number["x2"], number["y2"])]
        return _through(points, closed=False)
    if name in ("polyline", "polygon"):
        flat = [float(n) for n in re.split(r"[ ,]+", given["points"].strip())]
        return _through(list(zip(flat[::2], flat[1::2], strict=True)), closed=name == "polygon")
    if name == "rect":
        return _rectangle(number)
    if name == "circle":
        return _ellipse(number["cx"], number["cy"], number["r"], number["r"])
    if name == "ellipse":
        return _ellipse(number["cx"], number["cy"], number["rx"], number["ry"])
    raise ValueError(f"A drawing holds “{name}”, which is not drawn.")


def _is_number(text: str) -> bool:
    return re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)", text) is not None


def _through(points: list[Point], closed: bool) -> Iterator[Step]:
    yield "M", points[0]
    for point in points[1:]:
        yield "L", point
    if closed:
        yield "Z", ()


def _rectangle(at: Mapping[str, float]) -> Iterator[Step]:
    x, y, wide, high = at.get("x", 0.0), at.get("y", 0.0), at["width"], at["height"]
    r = min(at.get("rx", 0.0), wide / 2, high / 2)
    if r <= 0:
        corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
        yield from _through(corners, closed=True)
        return
    right, low = x + wide, y + high
    turns = (
        ((right - r, y), (right, y + r)),
        ((right, low - r), (right - r, low)),
        ((x + r, low), (x, low - r)),
        ((x, y + r), (x + r, y)),
    )
    yield "M", (x + r, y)
    for start, end in turns:
        yield "L", start
        yield from _arc(start, (r, r), 0.0, large=False, sweep=True, end=end)
    yield "Z", ()


def _ellipse(cx: float, cy: float, rx: float, ry: float) -> Iterator[Step]:
    left, right = (cx - rx, cy), (cx + rx, cy)
    yield "M", left
    yield from _arc(left, (rx, ry), 0.0, large=False, sweep=True, end=right)
    yield from _arc(right, (rx, ry), 0.0, large=False, sweep=True, end=left)
    yield "Z", ()


def steps_of_path(written: str) -> Iterator[Step]:
    """A path as absolute moves (M), lines (L), cubic curves (C) and closings (Z).

    Raises
    ------
    ValueError
        For a command outside M L H V C Q A Z and their relative forms.
    """
    tokens = _TOKEN.findall(written)
    at: Point = (0.0, 0.0)
    start = at
    position, command = 0, ""
    while position < len(tokens):
        if tokens[position].isalpha():
            command, position = tokens[position], position + 1
        elif command in "Mm":
            command = "L" if command == "M" else "l"  # further pairs after a move are lines
        count = _NUMBERS.get(command.upper())
        if count is None:
            raise ValueError(f"A path holds “{command}”, which is not drawn.")
        numbers = [float(token) for token in tokens[position : position + count]]
        position += count
        if command in "Zz":
            yield "Z", ()
            at = start
            continue
        steps, at = _absolute(command, numbers, at)
        yield from steps
        if command in "Mm":
            start = at


def _absolute(command: str, numbers: list[float], at: Point) -> tuple[list[Step], Point]:
    """One command's steps and where it ends."""
    x, y = at if command.islower() else (0.0, 0.0)
    kind = command.upper()
    if kind == "H":
        end = (x + numbers[0], at[1])
    elif kind == "V":
        end = (at[0], y + numbers[0])
    else:
        end = (x + numbers[-2], y + numbers[-1])
    if kind in "HVL":
        return [("L", end)], end
    if kind == "M":
        return [("M", end)], end
    if kind == "A":
        rx, ry, turn, large, sweep = numbers[:5]
        return list(_arc(at, (rx, ry), turn, large=large != 0, sweep=sweep != 0, end=end)), end
    handles = [(x + a, y + b) for a, b in zip(numbers[:-2:2], numbers[1:-2:2], strict=True)]
    if kind == "Q":
        handles = [_two_thirds(at, handles[0]), _two_thirds(end, handles[0])]
    return [("C", (*handles[0], *handles[1], *end))], end


def _two_thirds(start: Point, to: Point) -> Point:
    """A quadratic's handle as one of the cubic's two."""
    return start[0] + 2 / 3 * (to[0] - start[0]), start[1] + 2 / 3 * (to[1] - start[1])


def _arc(
    start: Point, radii: Point, turn: float, *, large: bool, sweep: bool, end: Point
) -> Iterator[Step]:
    """An elliptical arc as cubic curves of at most a quarter turn each (SVG 2, B.2.4)."""
    if start == end:
        return
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0:
        yield "L", end
        return
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    half = ((start[0] - end[0]) / 2, (start[1] - end[1]) / 2)
    px, py = cos * half[0] + sin * half[1], cos * half[1] - sin * half[0]
    grow = math.sqrt(max(1.0, (px / rx) ** 2 + (py / ry) ** 2))
    rx, ry = rx * grow, ry * grow
    below = (rx * py) ** 2 + (ry * px) ** 2
    factor = math.sqrt(max(0.0, (rx * ry) ** 2 / below - 1)) * (-1 if large == sweep else 1)
    qx, qy = factor * rx * py / ry, -factor * ry * px / rx
    first = math.atan2((py - qy) / ry, (px - qx) / rx)
    sweep_by = math.atan2((-py - qy) / ry, (-px - qx) / rx) - first
    if sweep and sweep_by < 0:
        sweep_by += 2 * math.pi
    elif not sweep and sweep_by > 0:
        sweep_by -= 2 * math.pi
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    centre = (cos * qx - sin * qy + middle[0], sin * qx + cos * qy + middle[1])

    def place(u: float, v: float) -> Point:
        return centre[0] + cos * rx * u - sin * ry * v, centre[1] + sin * rx * u + cos * ry * v

    parts = max(1, math.ceil(abs(sweep_by) / (math.pi / 2) - 1e-9))
    step = sweep_by / parts
    handle = 4 / 3 * math.tan(step / 4)
    for part in range(parts):
        a, b = first + part * step, first + (part + 1) * step
        one = place(math.cos(a) - handle * math.sin(a), math.sin(a) + handle * math.cos(a))
        two = place(math.cos(b) + handle * math.sin(b), math.sin(b) - handle * math.cos(b))
        to = end if part == parts - 1 else place(math.cos(b), math.sin(b))
        yield "C", (*one, *two, *to)


def _paint_label(
    canvas: Any, element: Any, paint: Mapping[str, str], words: Mapping[str, str]
) -> None:
    """A label, upright again, in the words of the sheet."""
    given = element.attrib
    written = " ".join("".join(element.itertext()).split())
    text = plain(words.get(written, written))
    canvas.saveState()
    canvas.translate(float(given["x"]), float(given["y"]))
    canvas.scale(1, -1)
    canvas.setFillColor(_colour(paint.get("fill", "currentColor")) or INK)
    canvas.setFont(FONT, float(given.get("font-size", "11")))
    anchor = given.get("text-anchor", "start")
    if anchor == "middle":
        canvas.drawCentredString(0, 0, text)
    elif anchor == "end":
        canvas.drawRightString(0, 0, text)
    else:
        canvas.drawString(0, 0, text)
    canvas.restoreState()
