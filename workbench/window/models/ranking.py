"""What would change which boat comes first: jobs whose cost could close the gap between boats.

Every boat has a gap to the best of the others: what she costs to ready less what the other costs,
each less what she is worth to the buyer. A job swings its boat's cost, so it swings the gap; where
the swing crosses nothing, the order of the first two could turn round on that job alone.
"""

from __future__ import annotations

from collections.abc import Sequence

from workbench.domain.record import dataclass

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.assessment import BoatAssessment, Line
    from workbench.figures.comparison import Comparison, Standing
    from workbench.figures.sensitivity import Swing

_NEAR = 0.01
"""Within a cent two totals are the same [money]."""


@dataclass(frozen=True, slots=True)
class GapSwing:
    """One job and how far it swings its boat's gap.

    Attributes
    ----------
    low, high
        The gap with the job at its least and at its most; below nothing she comes first.
    """

    boat: str
    name: str
    line: Line
    low: float
    high: float

    @property
    def decides(self) -> bool:
        """Whether the job alone could change which boat comes first."""
        return min(self.low, self.high) < 0 < max(self.low, self.high)


def net_cost(boat: BoatAssessment) -> float:
    """Expected cost to ready less what the buyer would pay for things she has [money]."""
    return float(boat.cost_to_ready.mean - boat.worth_to_me)


def gap_swings(comparison: Comparison, most: int = 10) -> tuple[GapSwing, ...]:
    """The jobs that could change the first place, widest first; the widest others after them."""
    priced = [one for one in comparison.standings if one.boat.purchase is not None]
    if len(priced) < 2:
        return ()
    found = [made for swing in comparison.swings if (made := _placed(swing, priced)) is not None]
    found.sort(key=lambda one: (not one.decides, -abs(one.high - one.low), one.line.key))
    return tuple(found[:most])


def _placed(swing: Swing, priced: Sequence[Standing]) -> GapSwing | None:
    """The swing as one of its boat's gap; None where its boat or job cannot be told."""
    for standing in priced:
        boat = standing.boat
        name = boat.candidate.boat.name
        if not swing.key.startswith(f"{name}: "):
            continue
        for line in boat.lines:
            if f"{name}: {line.title}" == swing.key and _is_of(swing, line, boat):
                gap = _less_best_other(boat, priced)
                mean = float(boat.cost_to_ready.mean)
                low, high = swing.low - mean + gap, swing.high - mean + gap
                return GapSwing(boat.id, name, line, low, high)
    return None


def _is_of(swing: Swing, line: Line, boat: BoatAssessment) -> bool:
    if not line.counts:
        return False
    least = 0.0 if line.part.allowed_for else line.cost.lowest
    base = float(boat.cost_to_ready.mean) - float(line.counted)
    return abs(base + least - swing.low) < _NEAR


def _less_best_other(boat: BoatAssessment, priced: Sequence[Standing]) -> float:
    others = [net_cost(one.boat) for one in priced if one.boat.id != boat.id]
    return net_cost(boat) - min(others)
