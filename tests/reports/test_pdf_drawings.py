"""The program's drawings as vectors: every one can be set, arcs lie on their ellipses.

Path commands and arcs: W3C, Scalable Vector Graphics (SVG) 2, sections 9.3 and appendix B.2.
"""

from __future__ import annotations

import itertools
import math
import re
from pathlib import Path
from typing import Any

import pytest
from defusedxml import ElementTree
from hypothesis import given
from hypothesis import strategies as st

from tests.reports.conftest import SetAs
from tests.reports.invented import read_text
from workbench.paths import resource, resource_names
from workbench.reports.document import Drawing
from workbench.reports.pdf_drawings import LineDrawing, steps_of_path

NAMES = [Path(name).stem for name in resource_names("drawings", ".svg")]
Point = tuple[float, float]


def curve_points(written: str, pieces: int = 24) -> list[Point]:
    """Points along a path's curves and lines."""
    points: list[Point] = []
    at = start = (0.0, 0.0)
    for command, numbers in steps_of_path(written):
        if command == "M":
            at = start = (numbers[0], numbers[1])
        elif command == "L":
            at = (numbers[0], numbers[1])
        elif command == "Z":
            at = start
        else:
            (x1, y1, x2, y2, x3, y3), (x0, y0) = numbers, at
            for step in range(pieces + 1):
                t = step / pieces
                a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
                points.append(
                    (a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3)
                )
            at = (x3, y3)
        points.append(at)
    return points


@pytest.mark.parametrize("name", NAMES)
def test_every_drawing_is_set_with_its_labels(name: str, as_pdf: SetAs) -> None:
    text = re.sub(r"\s+", "", read_text(as_pdf(Drawing(name))))
    root = ElementTree.parse(resource(f"drawings/{name}.svg")).getroot()
    labels = [
        re.sub(r"\s+", "", "".join(one.itertext()))
        for one in root.iter("{http://www.w3.org/2000/svg}text")
    ]

    assert labels
    assert all(label in text for label in labels)


@pytest.mark.parametrize(
    ("written", "steps"),
    [
        ("M1 2 L3 4", [("M", (1, 2)), ("L", (3, 4))]),
        ("m1 2 3 4", [("M", (1, 2)), ("L", (4, 6))]),  # further pairs after a move are lines
        (
            "M1 2H5V7h-1v-2",
            [("M", (1, 2)), ("L", (5, 2)), ("L", (5, 7)), ("L", (4, 7)), ("L", (4, 5))],
        ),
        ("M0 0l1-2.5.5.5", [("M", (0, 0)), ("L", (1, -2.5)), ("L", (1.5, -2))]),
        ("M1 1 L2 1 Z l0 1", [("M", (1, 1)), ("L", (2, 1)), ("Z", ()), ("L", (1, 2))]),
        ("M0 0c1 0 2 1 2 2", [("M", (0, 0)), ("C", (1, 0, 2, 1, 2, 2))]),
        ("M0 0Q3 0 3 3", [("M", (0, 0)), ("C", (2, 0, 3, 1, 3, 3))]),
        ("M1 1A2 2 0 0 1 1 1", [("M", (1, 1))]),  # an arc to where it starts is left out (B.2.5)
        ("M1 1A0 2 0 0 1 5 1", [("M", (1, 1)), ("L", (5, 1))]),  # no radius: a line (B.2.5)
    ],
)
def test_paths_are_read_as_the_standard_says(
    written: str, steps: list[tuple[str, tuple[float, ...]]]
) -> None:
    found = list(steps_of_path(written))

    assert [one[0] for one in found] == [one[0] for one in steps]
    for one, two in zip(found, steps, strict=True):
        assert one[1] == pytest.approx(two[1])


def test_the_standards_own_arcs_end_where_they_should() -> None:
    # SVG 2, section 9.3.8: "M300,200 h-150 a150,150 0 1,0 150,-150 z", three quarters of a circle.
    points = curve_points("M300,200 h-150 a150,150 0 1,0 150,-150 z")

    on_arc = [point for point in points if point != (300.0, 200.0)]
    assert all(math.dist(point, (300, 200)) == pytest.approx(150, rel=3e-4) for point in on_arc)
    assert min(point[1] for point in points) == pytest.approx(50, abs=0.1)
    assert max(point[0] for point in points) == pytest.approx(450, abs=0.1)
    assert max(point[1] for point in points) == pytest.approx(350, abs=0.1)


@given(
    st.floats(5, 80),
    st.floats(5, 80),
    st.floats(0, 180),
    st.floats(-50, 50),
    st.floats(-50, 50),
    st.booleans(),
    st.booleans(),
)
def test_an_arc_lies_on_its_ellipse_and_takes_the_wanted_side(
    rx: float, ry: float, turn: float, x: float, y: float, large: bool, sweep: bool
) -> None:
    if math.hypot(x, y) < 1:
        return
    points = curve_points(f"M0 0A{rx:.6f} {ry:.6f} {turn:.6f} {large:d} {sweep:d} {x:.6f} {y:.6f}")
    assert points[-1] == pytest.approx((float(f"{x:.6f}"), float(f"{y:.6f}")))

    # Turned back and squeezed to a circle, all points are equally far from one centre.
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    round_points = [((cos * a + sin * b) / rx, (cos * b - sin * a) / ry) for a, b in points]
    chord = math.dist(round_points[0], round_points[-1])
    radius = max(1.0, chord / 2)
    middle = round_points[len(round_points) // 2]
    for point in round_points:
        assert math.dist(point, middle) <= 2 * radius * 1.01
    # The way along the arc is longer than half the round exactly when the large one is wanted.
    way = sum(math.dist(a, b) for a, b in itertools.pairwise(round_points))
    if chord / 2 < 0.98:
        assert (way > math.pi) == large
    # A sweep turns from x to y, so the ground between arc and chord has a positive area.
    area = sum(ax * by - bx * ay for (ax, ay), (bx, by) in itertools.pairwise(round_points))
    if abs(area) > 1e-3:
        assert (area > 0) == sweep


@pytest.mark.parametrize("written", ["M0 0T1 1", "M0 0S1 1 2 2", "M0 0 X"])
def test_a_command_that_is_not_drawn_is_refused(written: str) -> None:
    with pytest.raises(ValueError, match="which is not drawn"):
        list(steps_of_path(written))


def test_an_element_that_is_not_drawn_is_refused(as_pdf: SetAs, monkeypatch: Any) -> None:
    root = ElementTree.fromstring(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><image x="1" y="1"/></svg>'
    )
    monkeypatch.setattr("workbench.reports.pdf_drawings._root", lambda name: root)

    with pytest.raises(ValueError, match="“image”"):
        as_pdf(Drawing("anything"))


def test_labels_are_set_in_the_words_of_the_sheet(as_pdf: SetAs, monkeypatch: Any) -> None:
    words = {"strut": "Wellenbock"}
    monkeypatch.setattr(
        "workbench.reports.pdf_flow.LineDrawing", lambda name, wide: LineDrawing(name, wide, words)
    )
    text = read_text(as_pdf(Drawing("stern-bearing")))

    assert "Wellenbock" in text
    assert "strut" not in text
    assert "stern bearing" in text  # no translation handed in


def test_a_drawing_keeps_its_shape() -> None:
    drawing = LineDrawing("stern-bearing", 180.0)

    assert drawing.height_for(500) == pytest.approx(100.0)  # 360 by 200 units
    assert drawing.height_for(90) == pytest.approx(50.0)
