"""Shaft tables and limits: two listings of one standard, worked sizes, rules that disagree."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.figures.shafting import (
    AFLOAT,
    SAE_LIMITS,
    SAE_TAPERS,
    CouplingGaps,
    Eccentricity,
    RunOut,
    SaeTaper,
    aft_bearing_result,
    anode_gap_result,
    bearing_spacing_results,
    coupling_results,
    sae_taper,
    sae_taper_run,
    shaft_diameter_in,
    straightness_result,
    taper_half_angle_deg,
    taper_result,
    thumb_shaft_in,
    tip_clearance_results,
    whirling_span_ft,
)


def test_the_table_holds_thirteen_shaft_sizes_once_each() -> None:
    sizes = [row.shaft_in for row in SAE_TAPERS]

    assert len(sizes) == 13
    assert sizes == sorted(set(sizes))


@pytest.mark.parametrize("row", SAE_TAPERS, ids=lambda row: f"{row.shaft_in} in")
def test_every_small_end_is_the_diameter_less_a_sixteenth_of_the_taper(row: SaeTaper) -> None:
    # Geometry of 3/4 in per foot: needs no source.
    assert row.small_end_in == pytest.approx(row.shaft_in - row.taper_length_in / 16, abs=5e-4)


@pytest.mark.parametrize("size", SAE_LIMITS, ids=lambda size: f"{size} in")
def test_nominal_sizes_lie_inside_the_limits_of_a_second_listing(size: float) -> None:
    # SAE J755: nominal rows from a propeller maker's list, limits from another listing.
    row, limits = sae_taper(size), SAE_LIMITS[size]

    assert row is not None
    assert limits.small_end_in[0] <= row.small_end_in <= limits.small_end_in[1]
    assert limits.keyway_width_in[0] <= row.keyway_width_in <= limits.keyway_width_in[1]
    assert row.bore_small_end_in < row.small_end_in


@pytest.mark.parametrize("size", SAE_LIMITS, ids=lambda size: f"{size} in")
def test_a_keyway_is_half_as_deep_as_wide(size: float) -> None:
    # A square key lies half in the shaft: needs no source.
    limits = SAE_LIMITS[size]

    assert limits.keyway_side_depth_in[0] == pytest.approx(limits.keyway_width_in[1] / 2, abs=2e-3)
    assert 0.002 <= limits.keyway_side_depth_in[1] - limits.keyway_side_depth_in[0] <= 0.0031
    assert limits.small_end_in[1] - limits.small_end_in[0] == pytest.approx(0.002)
    assert limits.keyway_width_in[1] - limits.keyway_width_in[0] == pytest.approx(0.001)


def test_thread_pitch_is_that_of_the_coarse_series() -> None:
    # Unified coarse threads: 1/2-13, 5/8-11, 3/4-10, 7/8-9, 1-8, 1 1/8-7, 1 1/4-7, 1 1/2-6
    # (from memory); major diameters of the threads on the shafts likewise.
    coarse = {0.5: 13, 0.625: 11, 0.75: 10, 0.875: 9, 1.0: 8, 1.125: 7, 1.25: 7, 1.5: 6}
    thread = {
        0.75: 0.5, 0.875: 0.625, 1.0: 0.75, 1.125: 0.75, 1.25: 0.875,
        1.375: 1.0, 1.5: 1.125, 1.75: 1.25, 2.0: 1.5,
    }  # fmt: skip

    assert {size: limits.threads_per_inch for size, limits in SAE_LIMITS.items()} == {
        size: coarse[diameter] for size, diameter in thread.items()
    }


def test_a_size_outside_the_table_has_no_row() -> None:
    assert sae_taper(1.0) is not None
    assert sae_taper(1.0001) is None


@pytest.mark.parametrize(
    ("size", "run"), [(0.75, 16), (5.5, 16), (6, 12), (8, 12), (0.5, None), (5.75, None), (9, None)]
)
def test_taper_run_changes_with_the_shaft_size(size: float, run: int | None) -> None:
    # SAE J755-2015: 3/4 in per foot to 5 1/2 in, 1 in per foot from 6 to 8 in.
    assert sae_taper_run(size) == run


@pytest.mark.parametrize(
    ("run", "degrees"),
    [(16, 1 + 47 / 60 + 23 / 3600), (12, 2 + 23 / 60 + 9 / 3600), (10, 2.86241)],
)
def test_half_angles_are_those_printed(run: float, degrees: float) -> None:
    # Tapers page of a propeller publisher: 1 deg 47' 23" and 2 deg 23' 9"; 1:10 by atan(1/20).
    assert taper_half_angle_deg(run) == pytest.approx(degrees, abs=2e-4)


def test_a_metric_taper_on_an_inch_shaft_is_flagged() -> None:
    assert not taper_result(1.0, 10).met
    assert "one standard" in taper_result(1.0, 10).caution
    assert taper_result(1.0, 16.1).met
    assert not taper_result(10.0, 16).met


def test_a_taper_without_run_is_refused() -> None:
    with pytest.raises(ValueError, match="run"):
        taper_half_angle_deg(0)


def test_shaft_size_is_the_published_worked_case() -> None:
    # 42 shp, 2000 rpm, factor 3, 20,000 psi: "ideal shaft diameter of one inch".
    assert shaft_diameter_in(42, 2000, 3, 20_000) == pytest.approx(1.0037, rel=5e-5)
    assert shaft_diameter_in(42, 2000, 3, 20_000) == pytest.approx(1.0, rel=5e-3)


@pytest.mark.parametrize(("power", "rpm", "size"), [(20, 1000, 0.98751), (30, 1200, 1.06376)])
def test_further_shaft_sizes(power: float, rpm: float, size: float) -> None:
    # Computed from the published formula.
    assert shaft_diameter_in(power, rpm, 3, 20_000) == pytest.approx(size, abs=5e-6)


def test_the_constant_comes_from_the_horsepower_and_the_round_section() -> None:
    # Westlawn, The Masthead 18, p. 15: 16 x 63025 / pi = 320983.7, rounded to 321,000.
    assert 16 * 63_025 / math.pi == pytest.approx(320_983.7, abs=0.05)
    exact = math.cbrt(16 * 63_025 / math.pi * 42 * 3 / (20_000 * 2000))
    assert shaft_diameter_in(42, 2000, 3, 20_000) == pytest.approx(exact, rel=2e-5)


@given(st.floats(1, 500), st.floats(100, 5000), st.floats(1, 8), st.floats(1e4, 1e5))
def test_twice_the_speed_takes_the_cube_root_of_two_off_the_shaft(
    power: float, rpm: float, factor: float, shear: float
) -> None:
    slow = shaft_diameter_in(power, rpm, factor, shear)
    fast = shaft_diameter_in(power, 2 * rpm, factor, shear)

    assert slow / fast == pytest.approx(2 ** (1 / 3))


@pytest.mark.parametrize("bad", [(0, 1, 1, 1), (1, 0, 1, 1), (1, 1, -1, 1), (1, 1, 1, 0)])
def test_impossible_shaft_inputs_are_refused(bad: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        shaft_diameter_in(*bad)
    with pytest.raises(ValueError, match="above zero"):
        whirling_span_ft(*bad)


def test_whirling_span_and_the_thumb_rule_are_kept_apart() -> None:
    # Published formula and material data for stainless steel 304; value computed: 5.636 ft.
    span = whirling_span_ft(1, 1000, 28e6, 0.286)
    results = {one.rule: one.met for one in bearing_spacing_results(1, 60, span)}

    assert span == pytest.approx(5.636, abs=5e-4)
    assert results == {"whirling limit": True, "20 to 40 shaft diameters": False}


def test_run_out_is_twice_the_eccentricity() -> None:
    # US Army TM 55-1905-221-14-3, p. 6-184: run-out below 0.003 in at the tapers.
    assert RunOut(0.003).eccentricity == Eccentricity(0.0015)
    assert straightness_result(RunOut(0.0029), at_taper=True).met
    assert not straightness_result(RunOut(0.003), at_taper=True).met


def test_the_same_figure_is_judged_differently_as_run_out_and_as_eccentricity() -> None:
    assert straightness_result(RunOut(0.002), at_taper=True).met
    assert not straightness_result(Eccentricity(0.002), at_taper=True).met


def test_run_out_and_eccentricity_cannot_be_mixed_up() -> None:
    swing: object = RunOut(0.0015)
    offset: object = Eccentricity(0.0015)

    assert swing != offset
    with pytest.raises(TypeError):
        RunOut(0.0015) < Eccentricity(0.003)  # type: ignore[operator]  # noqa: B015


def test_along_the_shaft_twice_as_much_is_kept() -> None:
    # Same manual, p. 6-185: eccentricity about 0.003 in.
    assert straightness_result(RunOut(0.006), at_taper=False).met
    assert not straightness_result(RunOut(0.0061), at_taper=False).met


def verdicts(gaps: CouplingGaps, flange: float, *, hull_hogs: bool = False) -> dict[str, bool]:
    results = coupling_results(gaps, flange, afloat=True, hull_hogs=hull_hogs)
    return {one.rule[0]: one.met for one in results}


def test_four_coupling_rules_disagree_on_a_four_inch_flange() -> None:
    # Gap 0.0035 in on a 4 in flange: two published rules are met and two are not.
    gaps = CouplingGaps(0.0035, 0.0, 0.0, 0.0)

    assert verdicts(gaps, 4) == {"a": False, "b": True, "c": True, "d": False}


@pytest.mark.parametrize(("gap", "met"), [(0.004, True), (0.0041, False)])
def test_the_rule_per_inch_grows_with_the_flange(gap: float, met: bool) -> None:
    # 0.001 in per inch of flange diameter (owners' association page).
    assert verdicts(CouplingGaps(gap, gap, gap, gap), 4)["c"] is met
    assert verdicts(CouplingGaps(gap, gap, gap, gap), 5)["c"]


def test_the_workboat_rule_lets_the_bottom_open_where_the_hull_hogs() -> None:
    gaps = CouplingGaps(0.001, 0.002, 0.006, 0.002)

    assert not verdicts(gaps, 6)["d"]
    assert verdicts(gaps, 6, hull_hogs=True)["d"]


def test_a_coupling_measured_ashore_is_always_to_be_rechecked() -> None:
    gaps = CouplingGaps(0.001, 0.001, 0.001, 0.001)

    assert all(one.caution == AFLOAT for one in coupling_results(gaps, 4, afloat=False))
    assert all(not one.caution for one in coupling_results(gaps, 4, afloat=True))


def test_a_flange_without_a_diameter_is_refused() -> None:
    with pytest.raises(ValueError, match="flange"):
        coupling_results(CouplingGaps(0, 0, 0, 0), 0, afloat=True)


@pytest.mark.parametrize(
    ("gap", "met"),
    [
        (1.5, [False, False, False]),
        (2.0, [True, False, False]),
        (2.5, [True, False, False]),
        (3.4, [True, True, False]),
    ],
)
def test_tip_clearance_is_held_against_each_rule_by_name(gap: float, met: list[bool]) -> None:
    # 20 in propeller: 10 % of two makers, 17 % of a handbook (3.4 in), 20 % for ships.
    results = tip_clearance_results(20, gap)

    assert [one.met for one in results] == met
    assert len({one.rule for one in results}) == 3


def test_an_impossible_propeller_is_refused() -> None:
    with pytest.raises(ValueError, match="diameter"):
        tip_clearance_results(0, 1)


def test_thumb_rule_gives_a_shaft_of_a_fourteenth() -> None:
    assert thumb_shaft_in(14) == 1.0


@pytest.mark.parametrize(("gap", "met"), [(5.9, False), (6.0, True)])
def test_an_anode_against_the_bearing_is_flagged(gap: float, met: bool) -> None:
    # A sailing magazine's shaft-bearing tips: 6 in for displacement craft, 12 in planing.
    assert anode_gap_result(gap).met is met
    assert not anode_gap_result(gap, planing=True).met


@pytest.mark.parametrize(("length", "met"), [(3.9, False), (4.0, True)])
def test_aft_bearing_is_held_against_four_diameters(length: float, met: bool) -> None:
    # ABS steel vessel rules 2017, 4-3-2/5.15.1, as quoted by two pages.
    assert aft_bearing_result(1.0, length).met is met


@given(st.floats(0, 0.02), st.floats(0, 0.02), st.floats(2, 10))
def test_a_wider_gap_never_meets_a_rule_that_a_narrower_one_misses(
    one: float, other: float, flange: float
) -> None:
    narrow, wide = sorted((one, other))
    tight = verdicts(CouplingGaps(narrow, 0, 0, 0), flange)
    loose = verdicts(CouplingGaps(wide, 0, 0, 0), flange)

    assert all(tight[rule] or not loose[rule] for rule in tight)
