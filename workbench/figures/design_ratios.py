"""What a boat's proportions say about her: six design ratios with formula, source and bands.

Inputs are SI (m, kg, m2). Displacement/length and motion comfort are defined in feet and pounds
and are converted by exact factors; sail area/displacement and capsize screening carry no unit when
the displaced volume is taken in sea water of 64 lb/ft3 (1025.18 kg/m3), so feet and metres agree.

The words that go with a number ("light", "moderate") come from named band tables. Published tables
disagree: a displacement/length of 190 is light in one and moderate in another. So every
`BandReading` names its table and `Ratio.bands` holds all of them. Every table covers the whole
line; where a published one leaves a hole, the hole is a band of its own that says so.

A ratio is a comparison between hull shapes of one kind. It is not a measure of stability, strength
or seaworthiness, and says nothing of a boat's condition.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from workbench.catalogue.wording import marked
from workbench.domain.record import dataclass

SEA_WATER_KG_M3 = 64 * 0.45359237 / 0.028316846592
"""Sea water at 64 lb/ft3, the figure the published ratios are built on."""

_FOOT_M = 0.3048
_POUND_KG = 0.45359237
_LONG_TON_KG = 2240 * _POUND_KG
_RULE_SOURCE = marked("common design-ratio formula, as printed by several public pages that agree")


@dataclass(frozen=True, slots=True)
class Band:
    """One step of a band table: values below `below` (and not in an earlier step)."""

    below: float
    label: str


@dataclass(frozen=True, slots=True)
class BandTable:
    """A published reading of one ratio; the last band reaches to infinity."""

    name: str
    source: str
    bands: tuple[Band, ...]

    def __post_init__(self) -> None:
        limits = [band.below for band in self.bands]
        if limits != sorted(set(limits)) or limits[-1] != math.inf:
            raise ValueError(f"{self.name}: band limits must rise and end at infinity")

    def reading(self, value: float) -> BandReading:
        """Label of this table for a value; a value on a limit belongs to the upper band."""
        label = next(band.label for band in self.bands if value < band.below)
        return BandReading(self.name, label, self.source)


@dataclass(frozen=True, slots=True)
class BandReading:
    """What one table calls a value."""

    table: str
    label: str
    source: str


@dataclass(frozen=True, slots=True)
class Ratio:
    """A ratio's value with the formula and source to show beside it."""

    name: str
    value: float
    unit: str
    formula: str
    source: str
    bands: tuple[BandReading, ...]


def _table(name: str, source: str, *steps: tuple[float, str]) -> BandTable:
    return BandTable(name, source, tuple(Band(below, label) for below, label in steps))


DISPLACEMENT_LENGTH_TABLES = (
    _table(
        marked("three bands"),
        marked("encyclopaedia text on the displacement-length ratio"),
        (200, marked("racing")),
        (300, marked("between racing and heavy cruising")),
        (math.inf, marked("heavy cruising")),
    ),
    _table(
        marked("hundreds"),
        marked("published article on design ratios (worked example 12,000 lb on 28 ft)"),
        (100, marked("ultralight")),
        (200, marked("light")),
        (300, marked("moderate")),
        (400, marked("heavy")),
        (math.inf, marked("very heavy")),
    ),
    _table(
        marked("nineties"),
        marked("published table in steps of 90"),
        (90, marked("ultralight")),
        (180, marked("light")),
        (270, marked("moderate")),
        (360, marked("heavy")),
        (math.inf, marked("very heavy")),
    ),
)
SAIL_AREA_TABLES = (
    _table(
        marked("three bands"),
        marked("from memory"),
        (16, marked("under-canvassed for light winds")),
        (20, marked("usual for a cruising yacht")),
        (math.inf, marked("high: a performance boat")),
    ),
    _table(
        marked("four bands"),
        marked("from memory"),
        (14, marked("motor sailer")),
        (16, marked("ocean cruiser")),
        (18, marked("coastal cruiser")),
        (math.inf, marked("racing")),
    ),
)
BALLAST_TABLES = (
    _table(
        marked("cruising average"),
        marked(
            "glossary page: cruising average 0.35 to 0.45; outer limits common practice, no source"
        ),
        (0.2, marked("unusually low: check both weights")),
        (0.35, marked("below the cruising average")),
        (0.45, marked("about the cruising average")),
        (0.6, marked("above the cruising average")),
        (math.inf, marked("unusually high: check both weights")),
    ),
)
CAPSIZE_TABLES = (
    _table(
        marked("offshore limit"),
        marked("glossary page: 2.0 or less for offshore work"),
        (math.nextafter(2.0, 3.0), marked("within the offshore screening limit")),
        (math.inf, marked("above the offshore screening limit")),
    ),
)
COMFORT_TABLES = (
    _table(
        marked("comfort bands"),
        marked("glossary page, which leaves 40 to 50 open"),
        (20, marked("light racer")),
        (30, marked("coastal")),
        (40, marked("moderate offshore")),
        (50, marked("between moderate offshore and heavy (left open by the table)")),
        (60, marked("heavy")),
        (math.inf, marked("extremely heavy")),
    ),
)


def _check_positive(**dimensions: float) -> None:
    for name, value in dimensions.items():
        if not value > 0 or math.isinf(value):
            raise ValueError(f"{name} must be a positive number, not {value}")


def _ratio(
    name: str,
    value: float,
    formula: str,
    tables: tuple[BandTable, ...],
    *,
    source: str = _RULE_SOURCE,
    unit: str = "",
) -> Ratio:
    return Ratio(name, value, unit, formula, source, tuple(t.reading(value) for t in tables))


def displacement_length(displacement_kg: float, lwl_m: float) -> Ratio:
    """Long tons over the cube of a hundredth of the waterline in feet."""
    _check_positive(displacement_kg=displacement_kg, lwl_m=lwl_m)
    value = (displacement_kg / _LONG_TON_KG) / (0.01 * lwl_m / _FOOT_M) ** 3
    formula = marked("(displacement in long tons of 2240 lb) / (0.01 x LWL in ft)^3")
    return _ratio("displacement/length", value, formula, DISPLACEMENT_LENGTH_TABLES)


def sail_area_displacement(
    sail_area_m2: float, displacement_kg: float, *, divisor: str = "volume"
) -> Ratio:
    """Sail area over the displaced volume to the power 2/3; free of units.

    Raises
    ------
    ValueError
        For ``divisor="long tons"``: one glossary prints that variant, and its numbers cannot be
        held against any band table.
    """
    if divisor != "volume":
        raise ValueError(
            f"sail area/displacement by {divisor} is a different number from the published "
            "ratio; use the displaced volume"
        )
    _check_positive(sail_area_m2=sail_area_m2, displacement_kg=displacement_kg)
    value = sail_area_m2 / (displacement_kg / SEA_WATER_KG_M3) ** (2 / 3)
    formula = marked("sail area / (displaced volume of sea water)^(2/3)")
    return _ratio("sail area/displacement", value, formula, SAIL_AREA_TABLES)


def sail_area_from_rig(i_m: float, j_m: float, p_m: float, e_m: float) -> float:
    """Sail area [m2]: 100 % foretriangle I x J / 2 plus mainsail P x E / 2."""
    _check_positive(i_m=i_m, j_m=j_m, p_m=p_m, e_m=e_m)
    return i_m * j_m / 2 + p_m * e_m / 2


def ballast_ratio(ballast_kg: float, displacement_kg: float) -> Ratio:
    """Ballast over displacement; says nothing of how deep the ballast lies."""
    _check_positive(ballast_kg=ballast_kg, displacement_kg=displacement_kg)
    if ballast_kg >= displacement_kg:
        raise ValueError("ballast_kg must be less than displacement_kg")
    value = ballast_kg / displacement_kg
    return _ratio("ballast ratio", value, marked("ballast / displacement"), BALLAST_TABLES)


def capsize_screening(beam_m: float, displacement_kg: float) -> Ratio:
    """Beam over the cube root of the displaced volume; free of units."""
    _check_positive(beam_m=beam_m, displacement_kg=displacement_kg)
    value = beam_m / (displacement_kg / SEA_WATER_KG_M3) ** (1 / 3)
    formula = marked("beam / (displaced volume of sea water)^(1/3)")
    return _ratio("capsize screening", value, formula, CAPSIZE_TABLES)


_COMFORT = marked("displacement in lb / (0.65 (0.7 LWL + 0.3 LOA) beam^1.333), lengths in ft")


def motion_comfort(
    displacement_kg: float, lwl_m: float, loa_m: float, beam_m: float, *, exponent: float = 4 / 3
) -> Ratio:
    """Motion comfort ratio, in pounds and feet; pages print the exponent as 4/3, 1.333 or 1.33."""
    _check_positive(displacement_kg=displacement_kg, lwl_m=lwl_m, loa_m=loa_m, beam_m=beam_m)
    length_ft = (0.7 * lwl_m + 0.3 * loa_m) / _FOOT_M
    value = displacement_kg / _POUND_KG / (0.65 * length_ft * (beam_m / _FOOT_M) ** exponent)
    formula = _COMFORT if exponent == 4 / 3 else _COMFORT.replace("1.333", f"{exponent:.4g}")
    source = marked("designer's magazine formula as quoted on a boatbuilding forum")
    return _ratio("motion comfort", value, formula, COMFORT_TABLES, source=source)


def hull_speed(lwl_m: float) -> Ratio:
    """Hull speed [kn]: 1.34 times the root of the waterline in feet."""
    _check_positive(lwl_m=lwl_m)
    value = 1.34 * math.sqrt(lwl_m / _FOOT_M)
    return _ratio("hull speed", value, "1.34 x sqrt(LWL in ft)", (), unit="kn")


@dataclass(frozen=True, slots=True)
class Dimensions:
    """What is known of a boat's size; None: not known."""

    loa_m: float | None = None
    lwl_m: float | None = None
    beam_m: float | None = None
    displacement_kg: float | None = None
    ballast_kg: float | None = None
    sail_area_m2: float | None = None


@dataclass(frozen=True, slots=True)
class Missing:
    """A ratio that cannot be given yet, and the particulars that would bring it back."""

    name: str
    needs: tuple[str, ...]


_RATIOS: tuple[tuple[str, Callable[..., Ratio], tuple[str, ...]], ...] = (
    ("displacement/length", displacement_length, ("displacement_kg", "lwl_m")),
    ("sail area/displacement", sail_area_displacement, ("sail_area_m2", "displacement_kg")),
    ("ballast ratio", ballast_ratio, ("ballast_kg", "displacement_kg")),
    ("capsize screening", capsize_screening, ("beam_m", "displacement_kg")),
    ("motion comfort", motion_comfort, ("displacement_kg", "lwl_m", "loa_m", "beam_m")),
    ("hull speed", hull_speed, ("lwl_m",)),
)


def design_ratios(dimensions: Dimensions) -> tuple[Ratio | Missing, ...]:
    """All six ratios in fixed order; one that lacks a particular says which."""
    return tuple(_one_ratio(dimensions, *entry) for entry in _RATIOS)


def _one_ratio(
    dimensions: Dimensions, name: str, formula: Callable[..., Ratio], fields: tuple[str, ...]
) -> Ratio | Missing:
    missing = tuple(field for field in fields if getattr(dimensions, field) is None)
    if missing:
        return Missing(name, missing)
    return formula(**{field: getattr(dimensions, field) for field in fields})
