"""Charts: round axes, marks where they belong, tips, keys, and a summary to be read out."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tests.window.widgets.acting import click, holds, near, press, spoken
from workbench.window.palette import DARK, LIGHT
from workbench.window.theme import Theme, ThemeMode
from workbench.window.widgets.chart_axis import axis_for, nice_step, ticks
from workbench.window.widgets.chart_base import DASHES, SERIES, Chart, series_pen
from workbench.window.widgets.charts import (
    BandPoint,
    CostChart,
    CostRow,
    Curve,
    CurvesChart,
    Point,
    ScatterChart,
    TornadoChart,
    TornadoRow,
)
from workbench.window.widgets.cost_bar import CostParts

Put = Callable[[QWidget], QWidget]


def show(amount: float) -> str:
    return f"{amount:,.0f}"


# axes


@given(low=st.floats(-1e7, 1e7), span=st.floats(1e-3, 1e7), most=st.integers(3, 8))
def test_ticks_are_round_even_and_hold_the_whole_span(low: float, span: float, most: int) -> None:
    high = low + span
    assume(high > low and span / max(abs(low), 1) > 1e-6)
    marks = ticks(low, high, most)
    step = nice_step(high - low, most)
    mantissa = step / 10 ** math.floor(math.log10(step) + 1e-9)

    assert round(mantissa) in {1, 2, 5}
    assert marks[0] <= low + step * 1e-6
    assert marks[-1] >= high - step * 1e-6
    assert 2 <= len(marks) <= most + 2
    assert all(
        math.isclose(after - before, step, rel_tol=1e-6)
        for before, after in itertools.pairwise(marks)
    )


def test_ticks_of_a_usual_sum() -> None:
    assert ticks(0, 38200) == (0, 10000, 20000, 30000, 40000)
    assert ticks(31300, 37600, 4) == (30000, 32000, 34000, 36000, 38000)


@pytest.mark.parametrize("span", [0.0, -1.0, math.nan, math.inf])
def test_an_axis_without_a_span_is_refused(span: float) -> None:
    with pytest.raises(ValueError, match="span above 0"):
        nice_step(span, 5)


def test_an_axis_stands_even_on_nothing_or_on_one_value() -> None:
    assert axis_for(()).high > axis_for(()).low
    one = axis_for((12.0,), from_zero=False)
    assert one.low < 12.0 < one.high
    assert axis_for((-3.0, math.nan, 8.0)).share(0.0) == pytest.approx(1 / 3, abs=0.1)


def test_an_axis_of_sums_begins_at_nothing() -> None:
    assert axis_for((31000.0, 38000.0)).low == 0
    assert axis_for((31000.0, 38000.0), from_zero=False).low == 30000


def test_lines_differ_by_dash_as_well_as_by_colour() -> None:
    pens = [series_pen(place, LIGHT) for place in range(len(SERIES))]

    assert len({pen.color().name() for pen in pens}) == len(SERIES)
    assert len({tuple(pen.dashPattern()) for pen in pens}) == len(DASHES)


# what all charts do


BOATS = (
    CostRow("rae", "Marigold Rae", CostParts(20000, 4000, 1000, 2000, 25000, 29000, 38000)),
    CostRow("barnaby", "Old Barnaby", CostParts(10000, 9000, 3000, 4000, 24000, 32000, 38000)),
)


@pytest.fixture
def boats(put: Put) -> CostChart:
    chart = CostChart(show)
    chart.set_rows(BOATS)
    chart.resize(640, chart.sizeHint().height())
    put(chart)
    return chart


def every_chart() -> list[Chart]:
    return [
        CostChart(show),
        CurvesChart(show),
        ScatterChart(show, show, name_x="built in", name_y="asked, USD"),
        TornadoChart(show),
    ]


def test_an_empty_chart_says_so_and_has_no_marks(put: Put) -> None:
    for chart in every_chart():
        chart.refresh()
        put(chart)
        assert chart.is_empty()
        assert chart.marks() == ()
        assert chart.accessibleDescription() == "Nothing to draw yet."
        assert spoken(chart) != ""
        chart.grab()


def test_a_chart_is_read_out_as_its_summary(boats: CostChart) -> None:
    assert spoken(boats) == "Cost to ready, boat by boat"
    assert boats.accessibleDescription() == (
        "Price and work together: Marigold Rae 27,000; Old Barnaby 26,000."
    )


# Qt says so of a tooltip on its platform without a screen; it means nothing.
@pytest.mark.qt_log_ignore(r"This plugin does not support raise\(\)")
def test_arrows_walk_through_the_marks_and_enter_chooses(boats: CostChart, qtbot: QtBot) -> None:
    boats.setFocus()
    press(boats, Qt.Key.Key_Down)
    assert boats.accessibleDescription().startswith("Marigold Rae\nPrice asked 20,000")
    press(boats, Qt.Key.Key_Up)
    assert boats.accessibleDescription().startswith("Old Barnaby\n")

    with qtbot.waitSignal(boats.mark_chosen) as chosen:
        press(boats, Qt.Key.Key_Return)
    assert chosen.args == ["barnaby"]

    boats.clearFocus()
    assert boats.accessibleDescription().startswith("Price and work together")


def test_enter_without_a_walk_chooses_nothing(boats: CostChart, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(boats.mark_chosen):
        press(boats, Qt.Key.Key_Return)


def test_a_click_chooses_the_mark_below_it_and_none_elsewhere(
    boats: CostChart, qtbot: QtBot
) -> None:
    mark = boats.mark_at("barnaby")
    assert mark is not None

    with qtbot.waitSignal(boats.mark_chosen) as chosen:
        click(boats, mark.place.center().toPoint())
    assert chosen.args == ["barnaby"]
    with qtbot.assertNotEmitted(boats.mark_chosen):
        click(boats, QPoint(2, 2))


def test_a_chart_follows_the_appearance(boats: CostChart, theme: Theme) -> None:
    assert holds(boats.grab().toImage(), LIGHT.due, 3)

    theme.set_mode(ThemeMode.DARK)

    image = boats.grab().toImage()
    assert holds(image, DARK.due, 3)
    assert not holds(image, LIGHT.due, 3)


# each chart


def test_boats_share_one_axis(boats: CostChart) -> None:
    boats.clearFocus()
    image = boats.grab().toImage()
    plot = boats.plot_rect()
    per_thousand = plot.width() / 40

    def colour(place: int, thousands: float) -> str:
        row = boats.row_rect(plot, place)
        y = round(row.center().y() - 4)
        return image.pixelColor(round(plot.left() + thousands * per_thousand), y).name()

    assert near(image.pixelColor(0, 0), image.pixelColor(0, 0).name())
    assert colour(0, 22).upper() == LIGHT.due
    assert colour(1, 12).upper() == LIGHT.due
    assert colour(0, 24.5).upper() == LIGHT.worn
    assert colour(1, 20).upper() == LIGHT.worn


CURVE = Curve("rae", "Marigold Rae", ((20000, 0.0), (30000, 0.5), (34000, 0.9), (40000, 1.0)))


@pytest.mark.parametrize(
    ("amount", "chance"),
    [(10000, 0.0), (20000, 0.0), (25000, 0.25), (30000, 0.5), (32000, 0.7), (50000, 1.0)],
)
def test_a_chance_is_read_off_between_the_points(amount: float, chance: float) -> None:
    assert CURVE.chance_under(amount) == pytest.approx(chance)


@pytest.mark.parametrize(
    ("chance", "amount"), [(0.25, 25000), (0.5, 30000), (0.8, 33000), (1.0, 40000)]
)
def test_a_sum_is_read_off_between_the_points(chance: float, amount: float) -> None:
    assert CURVE.amount_at(chance) == pytest.approx(amount)


@given(chance=st.floats(0.001, 1.0))
def test_reading_a_curve_there_and_back_gives_the_same_chance(chance: float) -> None:
    assert CURVE.chance_under(CURVE.amount_at(chance)) == pytest.approx(chance)


def test_curves_say_the_chance_inside_the_budget(put: Put) -> None:
    chart = CurvesChart(show)
    put(chart)

    chart.set_curves([CURVE, Curve("none", "Without points", ())], budget=32000)
    assert chart.accessibleDescription() == (
        "Chance to stay under the budget of 32,000: Marigold Rae 70 %."
    )
    assert "Marigold Rae\n80 % to stay under 33,000" in [mark.words for mark in chart.marks()]

    chart.set_curves([CURVE])
    assert chart.accessibleDescription() == (
        "One chance in two to stay under: Marigold Rae 30,000."
    )


def test_the_middle_of_a_curve_lies_half_way_up(put: Put) -> None:
    chart = CurvesChart(show)
    chart.set_curves([CURVE])
    chart.resize(500, 300)
    put(chart)

    plot = chart.plot_rect()
    assert chart.marks()[0].place.center().y() == pytest.approx(plot.center().y(), abs=0.5)


def test_points_lie_by_their_values_and_the_own_boat_is_marked(put: Put) -> None:
    chart = ScatterChart(show, show, name_x="built in", name_y="asked, USD")
    chart.set_points(
        [
            Point("old", "An older one", 1970, 10000),
            Point("own", "Marigold Rae", 1980, 20000, own=True),
            Point("new", "A newer one", 1990, 30000, faint=True),
        ],
        [BandPoint(1970, 8000, 10000, 12000), BandPoint(1990, 28000, 30000, 32000)],
    )
    chart.resize(500, 300)
    put(chart)
    chart.clearFocus()

    old, own, new = (mark.place.center() for mark in chart.marks())
    assert old.x() < own.x() < new.x()
    assert old.y() > own.y() > new.y()
    image = chart.grab().toImage()
    assert image.pixelColor(own.toPoint()).name().upper() == LIGHT.due
    assert chart.accessibleDescription() == (
        "2 boats to compare with. Marigold Rae: built in 1,980, asked, USD 20,000."
    )


def test_the_widest_swing_comes_first(put: Put) -> None:
    chart = TornadoChart(show)
    chart.set_rows(
        [
            TornadoRow("rate", "Yard rate", 31000, 34000, "60", "95"),
            TornadoRow("keel", "Keel bolts", 32000, 38000, "sound", "renewed"),
            TornadoRow("own", "Own work", 33600, 31900, "none", "two weekends"),
        ],
        base=33000,
    )
    chart.resize(500, 200)
    put(chart)

    assert chart.labels() == ("Keel bolts", "Yard rate", "Own work")
    assert chart.accessibleDescription().startswith("Around 33,000: Keel bolts 32,000 to 38,000;")
    own = chart.mark_at("own")
    assert own is not None
    assert own.words == "Own work\n33,600 none\n31,900 two weekends"


def test_what_lowers_the_figure_is_paler_than_what_raises_it(put: Put) -> None:
    chart = TornadoChart(show)
    chart.set_rows([TornadoRow("rate", "Yard rate", 30000, 36000)], base=33000)
    chart.resize(500, 120)
    put(chart)
    chart.clearFocus()

    mark = chart.mark_at("rate")
    assert mark is not None
    image = chart.grab().toImage()
    y = round(mark.place.center().y())
    lower = image.pixelColor(round(mark.place.left()) + 6, y)
    upper = image.pixelColor(round(mark.place.right()) - 6, y)
    assert near(upper, LIGHT.accent, 2)
    assert near(lower, LIGHT.tint(LIGHT.accent, 0.45), 3)
