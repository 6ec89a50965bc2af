"""Ranges, cost bars and sketches: what is painted where, and what is read out."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QWidget

from tests.window.widgets.acting import holds, near, spoken
from workbench.window.palette import DARK, LIGHT
from workbench.window.theme import Theme
from workbench.window.widgets.boat_silhouette import (
    KEELS,
    RIGS,
    RUDDERS,
    BoatSilhouette,
    BoatSketch,
    paint_boat,
)
from workbench.window.widgets.cost_bar import (
    CostBar,
    CostParts,
    describe_cost,
    paint_cost_bar,
)
from workbench.window.widgets.range_bar import (
    Range,
    RangeBar,
    paint_range_bar,
    place_on_axis,
)

Put = Callable[[QWidget], QWidget]
PARTS = CostParts(
    asked=20000,
    before_launching=4000,
    first_season=2000,
    allowance=3000,
    p50=28000,
    p80=34000,
    budget=38000,
)


def canvas(width: int = 400, height: int = 24) -> QImage:
    image = QImage(width, height, QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.white)
    return image


def show(amount: float) -> str:
    return f"{amount:,.0f}"


@given(
    value=st.floats(-1e6, 1e6),
    low=st.floats(-1e5, 1e5),
    span=st.floats(0, 1e5),
)
def test_a_value_never_lies_outside_its_axis(value: float, low: float, span: float) -> None:
    rect = QRectF(10, 0, 100, 20)

    assert 10 <= place_on_axis(value, (low, low + span), rect) <= 110


def test_a_range_is_pale_from_low_to_high_with_a_dot_at_the_likely_value(theme: Theme) -> None:
    del theme
    image = canvas(200)
    with QPainter(image) as painter:
        paint_range_bar(
            painter,
            QRectF(0, 0, 200, 24),
            Range(50, 80, 150),
            (0, 200),
            colour=LIGHT.due,
            palette=LIGHT,
        )

    assert near(image.pixelColor(80, 12), LIGHT.due, 4)
    assert near(image.pixelColor(120, 12), LIGHT.tint(LIGHT.due, 0.34), 4)
    assert image.pixelColor(20, 12).name() == "#ffffff"
    assert image.pixelColor(180, 12).name() == "#ffffff"


def test_a_single_value_is_a_dot_alone(theme: Theme) -> None:
    del theme
    image = canvas(200)
    with QPainter(image) as painter:
        paint_range_bar(
            painter,
            QRectF(0, 0, 200, 24),
            Range(80, 80, 80),
            (0, 200),
            colour=LIGHT.due,
            palette=LIGHT,
        )

    assert near(image.pixelColor(80, 12), LIGHT.due, 4)
    assert not holds(image, LIGHT.tint(LIGHT.due, 0.34), 2)


def test_a_range_is_read_out_in_words(put: Put) -> None:
    bar = RangeBar(Range(740, 980, 1450), (0, 2000), role="due", words="740 to 1,450")
    put(bar)

    assert spoken(bar) == "range 740 to 1,450"
    assert bar.toolTip() == "740 to 1,450"
    assert holds(bar.grab().toImage(), LIGHT.due, 4)


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda palette: palette.name)
def test_the_parts_of_a_cost_bar_keep_their_order(theme: Theme, palette: object) -> None:
    del theme
    wanted = LIGHT if palette is LIGHT else DARK
    image = canvas()
    image.fill(wanted.panel)
    with QPainter(image) as painter:
        # One pixel for each hundred.
        paint_cost_bar(painter, QRectF(0, 0, 401, 24), PARTS, 40000, wanted)

    row = 8
    assert near(image.pixelColor(0, row), wanted.accent, 40)
    assert near(image.pixelColor(220, row), wanted.due, 3)
    assert near(image.pixelColor(250, row), wanted.worn, 3)
    assert near(image.pixelColor(275, row), wanted.panel, 3)
    assert holds(image.copy(262, 2, 28, 12), wanted.unseen, 40)


def test_the_whisker_runs_from_p50_to_p80_below_the_bar(theme: Theme) -> None:
    del theme
    image = canvas()
    with QPainter(image) as painter:
        paint_cost_bar(painter, QRectF(0, 0, 401, 24), PARTS, 40000, LIGHT)

    below = image.copy(0, 16, 400, 5)
    dark = [x for x in range(370) if below.pixelColor(x, 2).lightness() < 120]
    assert min(dark) == pytest.approx(280, abs=2)
    assert max(dark) == pytest.approx(340, abs=2)


def test_the_budget_is_an_upright_line_at_its_place(theme: Theme) -> None:
    del theme
    image = canvas()
    with QPainter(image) as painter:
        paint_cost_bar(painter, QRectF(0, 0, 401, 24), PARTS, 40000, LIGHT)

    assert holds(image.copy(379, 0, 4, 24), LIGHT.text, 30)
    assert not holds(image.copy(360, 0, 15, 24), LIGHT.text, 30)


def test_a_cost_bar_says_every_part_with_its_figure(put: Put) -> None:
    bar = CostBar(show, PARTS)
    put(bar)

    assert bar.toolTip().splitlines() == [
        "Price asked 20,000",
        "Work before launching 4,000",
        "First season 2,000",
        "Allowance for the unseen 3,000",
        "One chance in two to stay under 28,000",
        "Four chances in five to stay under 34,000",
        "Budget 38,000",
    ]
    assert spoken(bar) == "Cost to ready"
    assert "Budget 38,000" in bar.accessibleDescription()


def test_what_is_not_known_is_not_said() -> None:
    assert "Budget" not in describe_cost(CostParts(asked=20000), show)


def test_the_bars_reach_is_the_farthest_thing_drawn() -> None:
    assert PARTS.total() == 29000
    assert PARTS.reach() == 38000
    assert CostParts(asked=0).reach() == 1


def test_a_cost_bar_without_parts_paints_nothing(put: Put) -> None:
    bar = CostBar(show)
    put(bar)
    assert not holds(bar.grab().toImage(), LIGHT.accent, 3)

    bar.set_parts(PARTS)
    assert holds(bar.grab().toImage(), LIGHT.due, 3)


def sketch_picture(sketch: BoatSketch) -> bytes:
    image = canvas(100, 84)
    with QPainter(image) as painter:
        paint_boat(painter, QRectF(0, 0, 100, 84), sketch, LIGHT)
    return bytes(image.constBits())


@pytest.mark.parametrize(("kind", "words"), [("rig", RIGS), ("keel", KEELS), ("rudder", RUDDERS)])
def test_each_rig_keel_and_rudder_is_drawn_differently(
    theme: Theme, kind: str, words: tuple[str, ...]
) -> None:
    del theme
    pictures = {sketch_picture(BoatSketch(**{kind: word})) for word in words}

    assert len(pictures) == len(words)


def test_an_unknown_word_is_drawn_as_the_first_of_its_kind(theme: Theme) -> None:
    del theme
    assert sketch_picture(BoatSketch(keel="bilge board")) == sketch_picture(BoatSketch(keel="fin"))


def test_a_sketch_is_read_out_as_what_it_shows(put: Put) -> None:
    assert spoken(put(BoatSilhouette(BoatSketch("ketch", "long", "keel")))) == (
        "ketch, long keel, keel rudder"
    )
