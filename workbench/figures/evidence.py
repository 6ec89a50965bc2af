"""How likely a fault is after looking, and how each look moved that chance.

A chance is carried as odds, and every piece of evidence multiplies them by its likelihood ratio:
``Se / (1 - Sp)`` where the fault was seen and ``(1 - Se) / Sp`` where somebody looked and saw
nothing. With a prior of 0.3, Se 0.7 and Sp 0.8 a fault seen is 0.60 likely and one looked for in
vain 0.138. Three states are kept apart: not looked leaves the prior alone; looked and not seen
lowers it, never to nothing; looked and seen raises it, never to certainty.

Two looks by the same method and the same pair of eyes are one look: the later counts and the
earlier is listed as not counted. Related findings raise suspicion by factors on the odds.

How well an amateur's look detects and how often it cries wolf are assumptions; each carries its
source or is flagged as assumed. Trained eyes scatter too: among 49 bridge inspectors two thirds of
ratings lay within one point of the mean on a 0-9 scale (FHWA-RD-01-020).
"""

from collections.abc import Sequence
from enum import Enum

from workbench.catalogue.wording import ENGLISH_WORDING, Wording, marked
from workbench.domain.record import dataclass

LEAST_CHANCE, GREATEST_CHANCE = 0.001, 0.999
"""No evidence takes a chance outside these: our own bounds, no source."""


class LookState(Enum):
    """What is known from looking."""

    NOT_LOOKED = marked("not looked")
    SEEN = marked("looked and seen")
    NOT_SEEN = marked("looked and not seen")


@dataclass(frozen=True, slots=True)
class Look:
    """One look for one fault.

    Attributes
    ----------
    method : str
        How: by eye, by hand, tapping, moisture meter.
    eyes : str
        Who looked. Same method and same eyes count once.
    state : LookState
        What came of it.
    sensitivity : float
        Chance that such a look sees the fault where it is there; above 0, below 1.
    specificity : float
        Chance that such a look sees nothing where nothing is; above 0, below 1.
    source : str
        Where the two figures come from; empty means assumed.

    Raises
    ------
    ValueError
        If a figure lies outside 0..1, or if seeing the fault would speak against it
        (sensitivity + specificity below 1).
    """

    method: str
    eyes: str
    state: LookState
    sensitivity: float
    specificity: float
    source: str = ""

    def __post_init__(self) -> None:
        if not (0.0 < self.sensitivity < 1.0 and 0.0 < self.specificity < 1.0):
            raise ValueError(f"sensitivity and specificity lie between 0 and 1: {self}")
        if self.sensitivity + self.specificity < 1.0:
            raise ValueError(f"seeing the fault would speak against it: {self}")

    @property
    def assumed(self) -> bool:
        """Whether the two figures have no source."""
        return not self.source

    @property
    def likelihood_ratio(self) -> float:
        """Factor on the odds: above 1 where seen, below 1 where not, 1 where nobody looked."""
        if self.state is LookState.SEEN:
            return self.sensitivity / (1.0 - self.specificity)
        if self.state is LookState.NOT_SEEN:
            return (1.0 - self.sensitivity) / self.specificity
        return 1.0


@dataclass(frozen=True, slots=True)
class Suspicion:
    """A related finding that raises or lowers the odds of a fault.

    Attributes
    ----------
    cause : str
        The finding behind it, in words.
    factor : float
        Factor on the odds, above 0.
    source : str
        Where the factor comes from; empty means assumed.
    """

    cause: str
    factor: float
    source: str = ""

    def __post_init__(self) -> None:
        if not self.factor > 0.0:
            raise ValueError(f"a suspicion factor must be above 0: {self}")


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the trace.

    Attributes
    ----------
    label : str
        What the step rests on.
    factor : float
        Factor on the odds; 1 where the step does not count.
    chance_before, chance_after : float
        The chance on either side of the step.
    counted : bool
        False for a look not made, or superseded by a later one of the same method and eyes.
    assumed : bool
        Whether the factor has no source.
    """

    label: str
    factor: float
    chance_before: float
    chance_after: float
    counted: bool = True
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class Evidence:
    """A chance and how it came about.

    Attributes
    ----------
    chance : float
        After all steps, from ``LEAST_CHANCE`` to ``GREATEST_CHANCE``.
    state : LookState
        What the looks that count say together: seen if any saw it.
    steps : tuple of Step
        In the order they were taken.
    held : bool
        Whether a bound stopped the chance.
    """

    chance: float
    state: LookState
    steps: tuple[Step, ...]
    held: bool


def odds(chance: float) -> float:
    """Odds of a chance below 1."""
    return chance / (1.0 - chance)


def chance_of(odds_for: float) -> float:
    """Chance of finite odds."""
    return odds_for / (1.0 + odds_for)


def within_bounds(chance: float) -> float:
    """Keep a chance off certainty either way."""
    return min(max(chance, LEAST_CHANCE), GREATEST_CHANCE)


def updated(
    prior: float,
    looks: Sequence[Look] = (),
    suspicions: Sequence[Suspicion] = (),
    wording: Wording = ENGLISH_WORDING,
) -> Evidence:
    """Chance of a fault after suspicions and looks.

    Bounds are applied to the prior and to the result, not between steps, so the order of the
    evidence changes the trace and not the chance.

    Parameters
    ----------
    prior : float
        Chance before, 0 to 1.
    looks : sequence of Look
        In the order they happened.
    suspicions : sequence of Suspicion
        In any order.

    Raises
    ------
    ValueError
        If the prior lies outside 0..1.
    """
    if not 0.0 <= prior <= 1.0:
        raise ValueError(f"a prior chance must lie between 0 and 1: {prior}")
    counted = _counted(looks)
    running = odds(within_bounds(prior))
    steps: list[Step] = []
    for label, factor, counts, assumed in _factors(looks, counted, suspicions, wording):
        before, running = running, running * factor
        steps.append(Step(label, factor, chance_of(before), chance_of(running), counts, assumed))
    reached = chance_of(running)
    chance = within_bounds(reached)
    held = within_bounds(prior) != prior or chance != reached
    return Evidence(chance, state_of(one_look_each(looks)), tuple(steps), held)


def _factors(
    looks: Sequence[Look],
    counted: frozenset[int],
    suspicions: Sequence[Suspicion],
    wording: Wording,
) -> list[tuple[str, float, bool, bool]]:
    """Label, factor, whether it counts and whether it is assumed, for every step."""
    factors = [(s.cause, s.factor, True, not s.source) for s in suspicions]
    for number, look in enumerate(looks):
        counts = number in counted
        label = f"{look.method}, {look.eyes}: {wording.word(look.state.value)}"
        factors.append((label, look.likelihood_ratio if counts else 1.0, counts, look.assumed))
    return factors


def _counted(looks: Sequence[Look]) -> frozenset[int]:
    """Places in ``looks`` of those that count."""
    last = {
        (look.method, look.eyes): number
        for number, look in enumerate(looks)
        if look.state is not LookState.NOT_LOOKED
    }
    return frozenset(last.values())


def one_look_each(looks: Sequence[Look]) -> tuple[Look, ...]:
    """The looks that count: the last that was made by each method and pair of eyes.

    Not having looked again does not undo an earlier look.
    """
    return tuple(looks[number] for number in sorted(_counted(looks)))


def state_of(counted: Sequence[Look]) -> LookState:
    """What counted looks say together: seen if any saw it, not looked if there are none."""
    if not counted:
        return LookState.NOT_LOOKED
    seen = any(look.state is LookState.SEEN for look in counted)
    return LookState.SEEN if seen else LookState.NOT_SEEN
