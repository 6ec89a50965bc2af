"""Every save survives errors, kills and loss of power at every step (H1 to H7, D2 to D9, V5).

The ordinary suite injects at least 5,000 faults into each scenario. For a night, raise the number
of kinds of damage that each step gets:

    HARDSTAND_FAULT_SEEDS=900 python -m pytest tests/store/test_faults.py

which injects more than a million.
"""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest

from tests.store.fault_harness import SCENARIOS, Scenario, Sweep

SEEDS = int(os.environ.get("HARDSTAND_FAULT_SEEDS", "30"))
FLOOR_EACH = 5_000


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda scenario: scenario.name)
def test_a_save_is_whole_whatever_goes_wrong_at_whatever_step(
    scenario: Scenario, record_property: Callable[[str, object], None]
) -> None:
    """D2, D3, D4: those that save several files are most of the scenarios."""
    sweep = Sweep(scenario)
    sweep.learn()
    # A short save has few steps; it gets more kinds of damage at each.
    seeds = max(SEEDS, FLOOR_EACH // (2 * len(sweep.versions)))

    sweep.kill_everywhere()
    sweep.fail_everywhere()
    sweep.lose_power_everywhere(seeds)
    sweep.lose_power_while_recovering(1 + seeds // 30)

    record_property("faults", sweep.injected)
    assert sweep.injected >= FLOOR_EACH


def test_there_are_scenarios_enough_for_the_floor() -> None:
    assert len({scenario.name for scenario in SCENARIOS}) >= 12
    assert len(SCENARIOS) * FLOOR_EACH >= 60_000
