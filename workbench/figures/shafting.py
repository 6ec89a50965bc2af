"""Shafts, propellers and couplings: published tables and limits to hold a measurement against.

Tables and limits stand as printed, in inches, with the unit in every name. Where sources disagree,
every rule gives its own `RuleResult` and names itself; none is declared the right one. A
limit for larger or commercial craft is a yardstick, not law for a private yacht.

Indicator run-out is twice the eccentricity. The two are different classes here, so that 0.0015 in
read as run-out cannot be taken for the limit of eccentricity.

Measured ashore, alignment is provisional: a hull changes shape afloat. A result met ashore carries
"recheck afloat".
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from workbench.domain.record import dataclass

_ROUNDING_IN = 1e-9
AFLOAT = "Measured ashore: recheck afloat, at rest, tanks filled and normally laden."


@dataclass(frozen=True, slots=True)
class RuleResult:
    """One rule's view of one measurement; `met` is about this rule alone."""

    rule: str
    met: bool
    limit: str
    source: str
    caution: str = ""


def _at_most(value: float, limit: float) -> bool:
    return value <= limit + _ROUNDING_IN


# --- SAE J755 shaft ends ---


@dataclass(frozen=True, slots=True)
class SaeTaper:
    """Nominal shaft end of one shaft size; all lengths in inches."""

    shaft_in: float
    small_end_in: float
    taper_length_in: float
    bore_small_end_in: float
    keyway_width_in: float


@dataclass(frozen=True, slots=True)
class SaeLimits:
    """Limits of the same end: (min, max) in inches, and threads per inch."""

    small_end_in: tuple[float, float]
    keyway_width_in: tuple[float, float]
    keyway_side_depth_in: tuple[float, float]
    threads_per_inch: int


SAE_TAPER_SOURCE = "SAE J755, as listed in a propeller maker's machining dimensions"
SAE_LIMITS_SOURCE = "SAE J755, limits from a second listing of the standard"

SAE_TAPERS: tuple[SaeTaper, ...] = tuple(
    SaeTaper(*row)
    for row in (
        (0.750, 0.625, 2.000, 0.609, 0.1875),
        (0.875, 0.727, 2.375, 0.711, 0.2500),
        (1.000, 0.828, 2.750, 0.813, 0.2500),
        (1.125, 0.930, 3.125, 0.914, 0.2500),
        (1.250, 1.031, 3.500, 1.016, 0.3125),
        (1.375, 1.133, 3.875, 1.117, 0.3125),
        (1.500, 1.234, 4.250, 1.219, 0.3750),
        (1.750, 1.438, 5.000, 1.422, 0.4375),
        (2.000, 1.641, 5.750, 1.625, 0.5000),
        (2.250, 1.844, 6.500, 1.828, 0.5625),
        (2.500, 2.047, 7.250, 2.031, 0.6250),
        (2.750, 2.258, 7.875, 2.234, 0.6250),
        (3.000, 2.461, 8.625, 2.438, 0.7500),
    )
)

SAE_LIMITS: Mapping[float, SaeLimits] = MappingProxyType(
    {
        0.750: SaeLimits((0.624, 0.626), (0.1865, 0.1875), (0.095, 0.097), 13),
        0.875: SaeLimits((0.726, 0.728), (0.249, 0.250), (0.125, 0.127), 11),
        1.000: SaeLimits((0.827, 0.829), (0.249, 0.250), (0.125, 0.127), 10),
        1.125: SaeLimits((0.929, 0.931), (0.249, 0.250), (0.125, 0.127), 10),
        1.250: SaeLimits((1.030, 1.032), (0.3115, 0.3125), (0.157, 0.160), 9),
        1.375: SaeLimits((1.132, 1.134), (0.3115, 0.3125), (0.157, 0.160), 8),
        1.500: SaeLimits((1.233, 1.235), (0.374, 0.375), (0.189, 0.192), 7),
        1.750: SaeLimits((1.437, 1.439), (0.4365, 0.4375), (0.219, 0.222), 7),
        2.000: SaeLimits((1.640, 1.642), (0.499, 0.500), (0.251, 0.254), 6),
    }
)


def sae_taper(shaft_in: float) -> SaeTaper | None:
    """Row of the table for a shaft size [in]; None for a size the table does not hold."""
    return next((row for row in SAE_TAPERS if abs(row.shaft_in - shaft_in) < 1e-6), None)


def sae_taper_run(shaft_in: float) -> int | None:
    """Run of the SAE taper, 16 or 12 lengths to one diameter; None outside 3/4 to 8 in.

    3/4 in per foot (1:16) up to 5 1/2 in, 1 in per foot (1:12) from 6 in.
    """
    if 0.75 <= shaft_in <= 5.5:
        return 16
    return 12 if 6 <= shaft_in <= 8 else None


def taper_half_angle_deg(run: float) -> float:
    """Half the cone's angle [deg] for a taper of 1 in `run` on the diameter."""
    if run <= 0:
        raise ValueError(f"a taper needs a run above zero, not {run}")
    return math.degrees(math.atan(1 / (2 * run)))


def taper_result(shaft_in: float, measured_run: float, tolerance: float = 0.02) -> RuleResult:
    """Hold a measured taper against SAE J755; 1:10 is the metric taper of ISO 4566."""
    run = sae_taper_run(shaft_in)
    met = run is not None and abs(measured_run / run - 1) <= tolerance
    limit = f"1:{run}" if run else "the standard covers shafts of 3/4 to 8 in"
    note = "" if met else "Not an SAE taper; propeller and shaft must be of one standard."
    return RuleResult("SAE J755 taper", met, limit, SAE_TAPER_SOURCE, note)


# --- Shaft size and bearings ---

SHEAR_YIELD_PSI: Mapping[str, float] = MappingProxyType(
    {
        "stainless steel 304": 20_000,
        "tobin bronze": 20_000,
        "precipitation-hardened stainless, lower": 60_000,
        "precipitation-hardened stainless, higher": 70_000,
    }
)
"""Yield in torsional shear [psi], as printed by two public pages."""


def shaft_diameter_in(
    shaft_horsepower: float, rpm: float, safety_factor: float, shear_yield_psi: float
) -> float:
    """Shaft diameter [in] for a power and speed; ``cbrt(321000 hp SF / (St rpm))``.

    321,000 is 16 x 63,025 / pi rounded. Safety factor 3 for yachts, 2 for light pleasure craft,
    5 to 8 commercial, as printed by three public pages that agree.
    """
    if min(shaft_horsepower, rpm, safety_factor, shear_yield_psi) <= 0:
        raise ValueError("power, speed, safety factor and yield must be above zero")
    return math.cbrt(321_000 * shaft_horsepower * safety_factor / (shear_yield_psi * rpm))


def whirling_span_ft(
    shaft_in: float, rpm: float, modulus_psi: float, density_lb_in3: float
) -> float:
    """Bearing spacing [ft] at which a shaft would whirl: ``sqrt(3.21 D/rpm) (E/density)^(1/4)``."""
    if min(shaft_in, rpm, modulus_psi, density_lb_in3) <= 0:
        raise ValueError("diameter, speed, modulus and density must be above zero")
    stiffness = math.sqrt(modulus_psi / density_lb_in3)
    return math.sqrt(3.21 * shaft_in / rpm * stiffness)


def bearing_spacing_results(
    shaft_in: float, spacing_in: float, whirling_ft: float
) -> tuple[RuleResult, ...]:
    """Two rules that must be kept apart: a whirling limit, and a band of shaft diameters."""
    diameters = spacing_in / shaft_in
    return (
        RuleResult(
            "whirling limit",
            spacing_in <= whirling_ft * 12,
            f"at most {whirling_ft * 12:.1f} in",
            "bearing spacing formula, as printed by one public page",
        ),
        RuleResult(
            "20 to 40 shaft diameters",
            20 <= diameters <= 40,
            f"{20 * shaft_in:g} to {40 * shaft_in:g} in",
            "from memory",
        ),
    )


# --- Straightness: run-out is not eccentricity ---


@dataclass(frozen=True, slots=True)
class Eccentricity:
    """Distance of the shaft's centre from its axis [in]."""

    inches: float


@dataclass(frozen=True, slots=True)
class RunOut:
    """Whole swing of a dial indicator over one turn [in]; twice the eccentricity."""

    inches: float

    @property
    def eccentricity(self) -> Eccentricity:
        """Half of the indicator's swing."""
        return Eccentricity(self.inches / 2)


TAPER_RUN_OUT = RunOut(0.003)
SHAFT_ECCENTRICITY = Eccentricity(0.003)
_ARMY_SOURCE = "US Army TM 55-1905-221-14-3, pp. 6-184 and 6-185"


def straightness_result(reading: RunOut | Eccentricity, *, at_taper: bool) -> RuleResult:
    """Hold a reading against the limit at the tapers or the one along the shaft.

    At the tapers the indicator must swing less than 0.003 in; along the shaft an eccentricity of
    about 0.003 in (0.006 in on the indicator) is kept.
    """
    off_axis = (reading.eccentricity if isinstance(reading, RunOut) else reading).inches
    if at_taper:
        met = off_axis < TAPER_RUN_OUT.eccentricity.inches - _ROUNDING_IN
        limit = "indicator run-out below 0.003 in (eccentricity below 0.0015 in)"
        return RuleResult("straightness at the taper", met, limit, _ARMY_SOURCE)
    met = _at_most(off_axis, SHAFT_ECCENTRICITY.inches)
    limit = "eccentricity up to 0.003 in (indicator run-out up to 0.006 in)"
    return RuleResult("straightness along the shaft", met, limit, _ARMY_SOURCE)


# --- Coupling faces ---


@dataclass(frozen=True, slots=True)
class CouplingGaps:
    """Feeler readings between coupling faces [in] at four points a quarter turn apart."""

    top_in: float
    starboard_in: float
    bottom_in: float
    port_in: float

    @property
    def widest_in(self) -> float:
        """Widest of the four."""
        return max(self.top_in, self.starboard_in, self.bottom_in, self.port_in)

    @property
    def opposite_difference_in(self) -> float:
        """Greater difference between points half a turn apart."""
        return max(abs(self.top_in - self.bottom_in), abs(self.port_in - self.starboard_in))


def coupling_results(
    gaps: CouplingGaps, flange_in: float, *, afloat: bool, hull_hogs: bool = False
) -> tuple[RuleResult, ...]:
    """Four published rules on the same readings; they differ, so each names itself.

    `flange_in` is the flange's diameter. `hull_hogs` allows a wider gap at the bottom by rule d.
    """
    if flange_in <= 0:
        raise ValueError(f"a flange needs a diameter above zero, not {flange_in}")
    note = "" if afloat else AFLOAT
    widest, across = gaps.widest_in, gaps.opposite_difference_in
    per_inch = 0.001 * flange_in
    rows = (
        ("a: 0.003 in all round", _at_most(widest, 0.003), "0.003 in", "engine supplier's guide"),
        ("b: opposite points", _at_most(across, 0.004), "0.004 in apart", "public repair guide"),
        (
            "c: per inch of flange",
            _at_most(widest, per_inch),
            f"{per_inch:.4f} in",
            "owners' association page",
        ),
        _army_row(gaps, hull_hogs=hull_hogs),
    )
    return tuple(RuleResult(*row, caution=note) for row in rows)


def _army_row(gaps: CouplingGaps, *, hull_hogs: bool) -> tuple[str, bool, str, str]:
    sides = max(gaps.top_in, gaps.port_in, gaps.starboard_in)
    bottom_limit = 0.007 if hull_hogs else 0.002
    met = _at_most(sides, 0.002) and _at_most(gaps.bottom_in, bottom_limit)
    limit = f"0.002 in, at the bottom {bottom_limit} in"
    return "d: workboat manual", met, limit, "US Army TM 55-1905-219-14-11, p. 6-23"


# --- Propeller ---

_TIP_SHARES = (
    (0.10, "two propeller makers' pages"),
    (0.17, "handbook figure as quoted on a forum"),
    (0.20, "marine encyclopaedia, ships: 20 to 25 %"),
)


def tip_clearance_results(propeller_in: float, clearance_in: float) -> tuple[RuleResult, ...]:
    """Hold the gap between blade tip and hull [in] against shares of the propeller's diameter."""
    if propeller_in <= 0 or clearance_in < 0:
        raise ValueError("a propeller has a diameter, and a gap is not negative")
    return tuple(
        RuleResult(
            f"{share:.0%} of diameter",
            clearance_in >= share * propeller_in - _ROUNDING_IN,
            f"at least {share * propeller_in:.2f} in",
            source,
        )
        for share, source in _TIP_SHARES
    )


def thumb_shaft_in(propeller_in: float) -> float:
    """Old thumb rule: a shaft of about one fourteenth of the propeller's diameter."""
    return propeller_in / 14


def anode_gap_result(gap_in: float, *, planing: bool = False) -> RuleResult:
    """Gap between shaft anode and bearing: water must reach the bearing."""
    least = 12.0 if planing else 6.0
    return RuleResult(
        "anode to bearing",
        gap_in >= least - _ROUNDING_IN,
        f"at least {least:g} in",
        "sailing magazine's shaft-bearing tips",
    )


def aft_bearing_result(shaft_in: float, length_in: float) -> RuleResult:
    """Length of a water-lubricated aft bearing: at least four shaft diameters (ships)."""
    return RuleResult(
        "four shaft diameters",
        length_in >= 4 * shaft_in - _ROUNDING_IN,
        f"at least {4 * shaft_in:g} in",
        "ABS steel vessel rules 2017, 4-3-2/5.15.1, as quoted by two public pages",
    )
