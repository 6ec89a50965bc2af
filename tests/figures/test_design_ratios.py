"""Design ratios against the published worked example, and in feet and pounds against metres."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.figures.design_ratios import (
    BALLAST_TABLES,
    CAPSIZE_TABLES,
    COMFORT_TABLES,
    DISPLACEMENT_LENGTH_TABLES,
    SAIL_AREA_TABLES,
    SEA_WATER_KG_M3,
    Band,
    BandTable,
    Dimensions,
    Missing,
    Ratio,
    ballast_ratio,
    capsize_screening,
    design_ratios,
    displacement_length,
    hull_speed,
    motion_comfort,
    sail_area_displacement,
    sail_area_from_rig,
)

FOOT, POUND = 0.3048, 0.45359237
ALL_TABLES = (
    *DISPLACEMENT_LENGTH_TABLES,
    *SAIL_AREA_TABLES,
    *BALLAST_TABLES,
    *CAPSIZE_TABLES,
    *COMFORT_TABLES,
)

# An invented boat, 30 ft over all; values by the formulas in feet and pounds.
LOA, LWL, BEAM = 30 * FOOT, 25 * FOOT, 10 * FOOT
DISPLACEMENT, BALLAST, SAIL = 10_000 * POUND, 4_000 * POUND, 450 * FOOT**2


def test_displacement_length_is_the_worked_example_at_full_precision() -> None:
    # A published article works 12,000 lb on 28 ft to 243.6 by rounding 5.36 and 0.022 on the way;
    # unrounded, and by two spreadsheet engines, it is 244.03894210745514.
    ratio = displacement_length(12_000 * POUND, 28 * FOOT)

    assert ratio.value == pytest.approx(244.03894210745514, rel=1e-12)
    assert round(5.36 / 0.022, 1) == 243.6


def test_hull_speed_is_the_published_value() -> None:
    assert hull_speed(28 * FOOT).value == pytest.approx(7.0906, abs=5e-5)
    assert hull_speed(28 * FOOT).unit == "kn"
    assert hull_speed(LWL).value == pytest.approx(6.7)


def test_all_ratios_of_the_example_boat() -> None:
    # Formula values in feet and pounds.
    assert displacement_length(DISPLACEMENT, LWL).value == pytest.approx(285.714, abs=5e-4)
    assert sail_area_displacement(SAIL, DISPLACEMENT).value == pytest.approx(15.5119, abs=5e-5)
    assert ballast_ratio(BALLAST, DISPLACEMENT).value == pytest.approx(0.4)
    assert capsize_screening(BEAM, DISPLACEMENT).value == pytest.approx(1.85664, abs=5e-6)
    comfort = motion_comfort(DISPLACEMENT, LWL, LOA, BEAM)
    assert comfort.value == pytest.approx(26.9468, abs=5e-5)


@pytest.mark.parametrize(("exponent", "value"), [(1.333, 26.97), (4 / 3, 26.95), (1.33, 27.15)])
def test_printed_exponents_of_motion_comfort_differ(exponent: float, value: float) -> None:
    ratio = motion_comfort(DISPLACEMENT, LWL, LOA, BEAM, exponent=exponent)

    assert ratio.value == pytest.approx(value, abs=0.01)


def test_sea_water_is_sixty_four_pounds_per_cubic_foot() -> None:
    # 64 lb/ft3 = 1025.181656 kg/m3 (pint registry).
    assert pytest.approx(1025.181656, abs=1e-6) == SEA_WATER_KG_M3


@given(st.floats(5, 200), st.floats(500, 50_000))
def test_unit_free_ratios_agree_in_feet_and_metres(sail_m2: float, mass_kg: float) -> None:
    volume_ft3 = mass_kg / POUND / 64
    in_feet = sail_m2 / FOOT**2 / volume_ft3 ** (2 / 3)

    assert sail_area_displacement(sail_m2, mass_kg).value == pytest.approx(in_feet, rel=1e-12)
    beam_ft = (volume_ft3 ** (1 / 3)) * 1.9
    assert capsize_screening(beam_ft * FOOT, mass_kg).value == pytest.approx(1.9, rel=1e-12)


def test_sail_area_by_long_tons_is_refused() -> None:
    # One glossary divides by long tons to the 2/3: a different number entirely.
    with pytest.raises(ValueError, match="different number"):
        sail_area_displacement(SAIL, DISPLACEMENT, divisor="long tons")


def test_published_tables_disagree_about_a_displacement_length_of_190() -> None:
    labels = {table.name: table.reading(190).label for table in DISPLACEMENT_LENGTH_TABLES}

    assert labels == {"three bands": "racing", "hundreds": "light", "nineties": "moderate"}


@pytest.mark.parametrize(
    ("table", "limits"),
    [
        (DISPLACEMENT_LENGTH_TABLES[0], [200, 300]),
        (DISPLACEMENT_LENGTH_TABLES[1], [100, 200, 300, 400]),
        (DISPLACEMENT_LENGTH_TABLES[2], [90, 180, 270, 360]),
        (BALLAST_TABLES[0], [0.2, 0.35, 0.45, 0.6]),
        (COMFORT_TABLES[0], [20, 30, 40, 50, 60]),
    ],
)
def test_words_change_exactly_at_the_published_limits(
    table: BandTable, limits: list[float]
) -> None:
    # Limits as printed: 200/300; steps of 100; steps of 90; cruising ballast .35 to .45; comfort.
    changes = [
        limit
        for limit in limits
        if table.reading(math.nextafter(limit, 0)).label != table.reading(limit).label
    ]

    assert changes == limits
    assert len(table.bands) == len(limits) + 1


def test_comfort_of_45_falls_in_the_gap_and_says_so() -> None:
    assert "left open" in COMFORT_TABLES[0].reading(45).label


@given(st.sampled_from(ALL_TABLES), st.floats(0, 1e6))
def test_no_band_table_has_a_hole(table: BandTable, value: float) -> None:
    reading = table.reading(value)

    assert reading.label
    assert reading.table == table.name
    assert reading.source


def test_a_value_on_a_limit_belongs_to_the_upper_band() -> None:
    table = DISPLACEMENT_LENGTH_TABLES[1]

    assert table.reading(200).label == "moderate"
    assert table.reading(math.nextafter(200, 0)).label == "light"


def test_exactly_two_is_still_within_the_capsize_limit() -> None:
    assert CAPSIZE_TABLES[0].reading(2.0).label.startswith("within")
    assert CAPSIZE_TABLES[0].reading(2.0001).label.startswith("above")


@pytest.mark.parametrize(
    "bands", [(Band(1, "a"),), (Band(2, "a"), Band(1, "b"), Band(math.inf, "c"))]
)
def test_a_table_that_does_not_cover_the_line_is_refused(bands: tuple[Band, ...]) -> None:
    with pytest.raises(ValueError, match="rise and end"):
        BandTable("own", "from memory", bands)


def test_ballast_outside_the_usual_range_asks_for_a_check() -> None:
    assert "check both weights" in ballast_ratio(1900, 10_000).bands[0].label
    assert "check both weights" in ballast_ratio(6100, 10_000).bands[0].label
    assert "about" in ballast_ratio(4000, 10_000).bands[0].label


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_impossible_dimensions_are_refused(bad: float) -> None:
    with pytest.raises(ValueError, match="positive"):
        displacement_length(bad, 8.0)


def test_ballast_heavier_than_the_boat_is_refused() -> None:
    with pytest.raises(ValueError, match="less than"):
        ballast_ratio(5000, 5000)


def test_sail_area_is_half_of_both_triangles() -> None:
    assert sail_area_from_rig(12, 4, 10, 3) == 39.0


def test_a_missing_particular_is_named_and_the_rest_is_given() -> None:
    results = design_ratios(Dimensions(lwl_m=LWL, loa_m=LOA, beam_m=BEAM, sail_area_m2=SAIL))

    missing = {one.name: one.needs for one in results if isinstance(one, Missing)}
    assert missing["sail area/displacement"] == ("displacement_kg",)
    assert missing["ballast ratio"] == ("ballast_kg", "displacement_kg")
    assert [one.name for one in results if isinstance(one, Ratio)] == ["hull speed"]


def test_full_particulars_give_six_ratios_with_formula_and_source() -> None:
    results = design_ratios(Dimensions(LOA, LWL, BEAM, DISPLACEMENT, BALLAST, SAIL))

    assert len(results) == 6
    assert all(isinstance(one, Ratio) and one.formula and one.source for one in results)


@given(st.floats(500, 50_000), st.floats(4, 20))
def test_a_heavier_boat_on_the_same_waterline_has_the_higher_ratio(mass: float, lwl: float) -> None:
    assert displacement_length(mass * 1.1, lwl).value > displacement_length(mass, lwl).value
