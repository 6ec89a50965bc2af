"""Ratios are read, compared with their limits, and shown."""

from __future__ import annotations

import json
from typing import Any

import benchmark
import pytest


def results(**extra: dict[str, Any]) -> tuple[benchmark.Measured, ...]:
    """Return what is read out of a result file with these benchmarks and their extra figures."""
    entries = [{"name": name, "extra_info": info, "stats": {}} for name, info in extra.items()]
    return benchmark.read_results(json.dumps({"benchmarks": entries}))


@pytest.mark.parametrize(
    ("ratio", "in_order"), [(0.5, True), (2.0, True), (3.0, True), (3.01, False)]
)
def test_a_ratio_up_to_one_and_a_half_times_its_limit_is_in_order(
    ratio: float, in_order: bool
) -> None:
    (measured,) = results(opening={"ratio": ratio, "limit": 2.0})

    assert measured.in_order == in_order


@pytest.mark.parametrize("extra", [{}, {"ratio": 1.0}, {"limit": 2.0}])
def test_a_benchmark_without_ratio_or_limit_is_not_in_order(extra: dict[str, Any]) -> None:
    (measured,) = results(opening=extra)

    assert not measured.in_order
    assert "leaves no ratio" in benchmark.table((measured,))


def test_the_table_has_a_line_for_each_benchmark() -> None:
    text = benchmark.table(
        results(
            opening_a_project={"ratio": 1.25, "limit": 2.0},
            saving={"ratio": 2.5, "limit": 2.0},
            exporting={"ratio": 9.0, "limit": 2.0},
        )
    )

    _, opening, saving, exporting = text.splitlines()
    assert opening.split() == ["opening_a_project", "1.25", "2", "in", "order"]
    assert saving.endswith("above the limit, within tolerance")
    assert exporting.endswith("MORE THAN 1.5 TIMES THE LIMIT")
