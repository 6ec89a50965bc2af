"""Figures that stand in a sentence of the catalogue agree with those who published them."""

from __future__ import annotations

import math
import re

import pytest

from tests.catalogue.shelf import catalogue, result
from workbench.domain.vocabulary import Grade

# 33 CFR 183.425, Table 5, conductors rated for 105 degrees Celsius: gauge to amperes, and the same
# in an engine space, as the table's own notes print them (0.85 of it, half to the even number).
AT_105 = {18: 20, 16: 25, 14: 35, 12: 45, 10: 60}
IN_ENGINE_SPACE = {18: 17, 16: 21, 14: 30, 12: 38, 10: 51}
LITRES_IN_A_GALLON = 231 * 16.387064 / 1000


def wire_sentence() -> str:
    """The step that tells a beginner what a wire may carry."""
    (step,) = (one for one in catalogue().checks["fuse-and-wire"].steps if "AWG 20 A" in one)
    return step


def test_the_wires_that_a_beginner_looks_up_carry_what_the_regulation_prints() -> None:
    told = {
        int(gauge): int(amps) for gauge, amps in re.findall(r"(\d+) AWG (\d+) A", wire_sentence())
    }

    assert told == AT_105


def test_the_share_for_an_engine_space_gives_the_printed_figures() -> None:
    share = re.search(r"take (0\.\d+) of it", wire_sentence())

    assert share is not None
    assert {
        gauge: round(amps * float(share[1])) for gauge, amps in AT_105.items()
    } == IN_ENGINE_SPACE


@pytest.mark.parametrize("amps", AT_105.values())
def test_a_fuse_is_sound_at_the_figure_of_its_wire_and_due_above_half_as_much_again(
    amps: int,
) -> None:
    def graded(fuse: float) -> Grade:
        found = result(
            "fuse-ratio", "fuse-and-wire", {"fuse": f"{fuse} A", "ampacity": f"{amps} A"}
        )
        assert found is not None
        assert "183.425" in found.rule.source.sentence()
        return found.grade

    # 33 CFR 183.455 (c)(1): not more than 150 per cent.
    assert graded(amps) is Grade.SOUND
    assert graded(amps + 1) is graded(1.5 * amps) is Grade.WORN
    assert graded(1.5 * amps + 1) is Grade.DUE


def test_what_an_open_hole_lets_in_is_the_published_figure() -> None:
    # A trade article of 2008: 34 US gallons a minute through a 1 in hole 3 ft down; Torricelli,
    # area times sqrt(2 g h), gives the same.
    told = re.search(r"some (\d+) litres", catalogue().systems["through-hulls"].intro)
    area_m2 = math.pi * 0.0127**2
    litres_a_minute = area_m2 * math.sqrt(2 * 9.80665 * 3 * 0.3048) * 60_000

    assert told is not None
    assert litres_a_minute == pytest.approx(34 * LITRES_IN_A_GALLON, rel=0.002)
    assert int(told[1]) == pytest.approx(litres_a_minute, rel=0.01)
