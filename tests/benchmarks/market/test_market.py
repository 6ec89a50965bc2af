"""Does the advice pay? 500 buyers, when the program's model is right (see packaging/market.py).

A ratio here is no time: it is the loss left by following the advice over the loss left by price
and visible findings. The aim of 0.2 is out of reach with the catalogue's sensitivities: knowing all
that every look can tell, free of charge, still leaves about 0.35.

What is spared does not hang on when to stop: taking every worth as one and a half, two or three
times as much, with a purse of 2,500 or of 6,000, spares 48 to 51 % where the program's own rule
spares 50 % (300 buyers). It hangs on prices: a surveyor's look at the best boat of each buyer would
save 230 by the choice alone and costs 1,030. What it finds may lower the price too; no boat here is
bargained for.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.benchmarks.market.kinds import kinds
from tests.benchmarks.market.results import LEFT_BY, run, table
from tests.benchmarks.market.truth import Wrong

pytestmark = pytest.mark.benchmark_ratio

BUYERS_OF_EACH_KIND = 100


def test_following_the_advice_loses_less_than_price_and_visible_findings(benchmark: Any) -> None:
    result = benchmark.pedantic(
        lambda: run(kinds(), BUYERS_OF_EACH_KIND, Wrong()), rounds=1, iterations=1
    )
    loss = {one.label: one.loss for one in result.standings}

    benchmark.extra_info["ratio"] = loss["our order, next looks"] / loss[LEFT_BY]
    benchmark.extra_info["limit"] = 0.6
    benchmark.extra_info["table"] = table(result)
    assert loss["everything known"] == 0
    assert loss["everything known"] < loss["faults known"] < loss["everything looked at"]
    assert loss["everything looked at"] < loss["our order, next looks"] < loss["our order"]
    assert loss["our order"] < loss["our ranking"] < loss["lowest asking"]
    assert loss["with next looks"] < loss[LEFT_BY] < loss["lowest asking"]
    assert result.of("with next looks").over_budget < result.of(LEFT_BY).over_budget
    assert 0.78 <= result.held <= 0.82
