"""The charts of the window by their public names; each paints itself in the window's palette."""

from __future__ import annotations

from workbench.window.widgets.chart_axis import Axis, axis_for, ticks
from workbench.window.widgets.chart_bars import CostChart, CostRow, TornadoChart, TornadoRow
from workbench.window.widgets.chart_base import Chart, Mark
from workbench.window.widgets.chart_curves import Curve, CurvesChart
from workbench.window.widgets.chart_scatter import BandPoint, Point, ScatterChart

__all__ = [
    "Axis",
    "BandPoint",
    "Chart",
    "CostChart",
    "CostRow",
    "Curve",
    "CurvesChart",
    "Mark",
    "Point",
    "ScatterChart",
    "TornadoChart",
    "TornadoRow",
    "axis_for",
    "ticks",
]
