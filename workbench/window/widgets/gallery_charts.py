"""One sample of every chart, with invented figures, for the gallery."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtWidgets import QWidget

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
from workbench.window.widgets.gallery_layout import column, show_money
from workbench.window.widgets.section_header import SectionHeader


def cost_chart() -> QWidget:
    """Four boats under each other."""
    chart = CostChart(show_money)
    chart.set_rows(
        [
            CostRow(1, "Marigold Rae", CostParts(24500, 3780, 1245, 2310, 31200, 34900, 38000)),
            CostRow(2, "Saltmarsh Penny", CostParts(31000, 1300, 2600, 1400, 35600, 37300, 38000)),
            CostRow(3, "Old Barnaby", CostParts(16800, 9100, 3300, 4800, 31800, 40200, 38000)),
            CostRow(4, "Linden Lea", CostParts(36500, 700, 2100, 1900, 40600, 42300, 38000)),
        ]
    )
    return column(SectionHeader("Cost to ready", beside="budget 38,000"), chart)


def _curve(key: int, name: str, middle: float, spread: float) -> Curve:
    steps = [place / 20 for place in range(-50, 51)]
    points = tuple(
        (middle + step * spread, 0.5 * (1 + math.erf(step / math.sqrt(2)))) for step in steps
    )
    return Curve(key, name, points)


def curves_chart() -> QWidget:
    """Chances of three boats."""
    chart = CurvesChart(show_money)
    chart.set_curves(
        [
            _curve(1, "Marigold Rae", 31800, 2700),
            _curve(2, "Saltmarsh Penny", 35900, 1500),
            _curve(3, "Old Barnaby", 33800, 5200),
        ],
        budget=38000,
    )
    return column(SectionHeader("Chance to stay under a sum"), chart)


def scatter_chart() -> QWidget:
    """Boats to compare with, by the year they were built."""
    chart = ScatterChart(
        lambda year: f"{year:.0f}", show_money, name_x="built in", name_y="asked, USD"
    )
    years = (1971, 1973, 1976, 1978, 1980, 1981, 1984, 1987, 1990)
    sums = (15200, 19800, 18900, 23600, 22100, 27800, 27500, 31800, 34200)
    points = [
        Point(place, f"boat {place + 1}", year, amount, faint=place == 1)
        for place, (year, amount) in enumerate(zip(years, sums, strict=True))
    ]
    points.append(Point("own", "Marigold Rae", 1979, 24500, own=True))
    band = [
        BandPoint(year, line - 3400, line, line + 3400)
        for year, line in ((year, 15800 + (year - 1971) * 960) for year in range(1970, 1992))
    ]
    chart.set_points(points, band)
    return column(SectionHeader("Price anchor", beside="9 boats"), chart)


def tornado_chart() -> QWidget:
    """What moves the cost to ready most."""
    chart = TornadoChart(show_money)
    chart.set_rows(
        [
            TornadoRow(1, "Yard rate", 31300, 34900, "60 an hour", "95 an hour"),
            TornadoRow(2, "Keel bolts", 32400, 37600, "sound", "drawn and renewed"),
            TornadoRow(3, "Engine", 32100, 35800, "starts well", "rebuilt"),
            TornadoRow(4, "Own work", 33600, 31900, "none", "two weekends"),
        ],
        base=32900,
    )
    return column(SectionHeader("What moves the cost to ready most"), chart)


CHART_SAMPLES: dict[str, Callable[[], QWidget]] = {
    "cost-chart": cost_chart,
    "curves-chart": curves_chart,
    "scatter-chart": scatter_chart,
    "tornado-chart": tornado_chart,
}
"""Name of a sample -> function that makes it."""
