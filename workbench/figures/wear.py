"""How much of a part is used up, and what part of its renewal is reasonable to ask for.

An asking price already assumes ordinary wear. So a claim for a worn part is not its renewal cost
but the life it lacks against what is normal for the boat's age::

    claim = cost x max(0, L_ref - L_this) / L

with L the part's life, L_this the years left in it and L_ref the years that would normally be
left.

"New for old": a buyer who gets a new part for a worn one is better off than before, so a part of
the cost is not a loss. Rule XIII of the York-Antwerp Rules (1974, and later with 24 months for
bottom coatings) does this for ships: no deduction up to fifteen years, then one third, off new
material only. That is the law of general average; `new_for_old` is an **analogy** to show what
custom thought reasonable. A buyer of a boat has no such right, and each result says so.

Money is ``Decimal``, rounded half up to the minor unit; lives are years.
"""

from __future__ import annotations

from decimal import Decimal
from enum import Enum

from workbench.domain.record import dataclass
from workbench.figures.finance import round_money

_ZERO = Decimal(0)
_THIRD_AFTER_YEARS = 15
_COATING_MONTHS = 24


def _check_life(life_years: float) -> None:
    if not life_years > 0:
        raise ValueError(f"a life must be above zero years, not {life_years}")


def used_up_share(life_years: float, used_years: float) -> float:
    """Share of a part's life that is used up, from 0 (new) to 1 (at or past its life)."""
    _check_life(life_years)
    if used_years < 0:
        raise ValueError(f"years of use must not be negative: {used_years}")
    return min(used_years / life_years, 1.0)


def years_left(life_years: float, used_years: float) -> float:
    """Years left in a part; zero once its life is over."""
    return life_years * (1 - used_up_share(life_years, used_years))


def normal_years_left(life_years: float, boat_age_years: float) -> float:
    """Years one would expect to be left in such a part on a boat of this age.

    On a boat younger than the part's life it is the first one: life less age, but never less than
    half the life once renewals begin. On an older boat parts are met at any point of their cycle,
    so half the life is left on average (an assumption; common practice, no source).
    """
    _check_life(life_years)
    return max(life_years - max(boat_age_years, 0.0), life_years / 2)


@dataclass(frozen=True, slots=True)
class WearClaim:
    """What may be asked for one worn part, and the sum that says why."""

    amount: Decimal
    share: float
    life_years: float
    normal_years: float
    left_years: float

    @property
    def sentence(self) -> str:
        """The claim's reasoning in one sentence."""
        if self.share == 0:
            return "No claim: the part has at least as much life left as is normal."
        return (
            f"Normally {self.normal_years:g} of {self.life_years:g} years would be left; "
            f"here {self.left_years:g}. The claim is {self.share:.0%} of the renewal."
        )


def wear_claim(
    cost: Decimal,
    life_years: float,
    left_years: float,
    normal_years: float,
    minor_digits: int = 2,
) -> WearClaim:
    """Claim for one line: cost x max(0, normal - left) / life, never more than the cost."""
    _check_life(life_years)
    if not (0 <= left_years <= life_years and 0 <= normal_years <= life_years):
        raise ValueError(f"years left must lie between 0 and the life of {life_years}")
    share = max(0.0, normal_years - left_years) / life_years
    amount = round_money(cost * Decimal(share), minor_digits)
    return WearClaim(amount, share, life_years, normal_years, left_years)


def betterment(
    new_cost: Decimal,
    old_cost: Decimal,
    life_years: float,
    used_years: float,
    minor_digits: int = 2,
) -> Decimal:
    """How much better off one is with a new part: new cost less the old part's remaining worth.

    Straight line over the life (Kester, Accounting Theory and Practice).
    """
    remaining = old_cost * Decimal(1 - used_up_share(life_years, used_years))
    return max(_ZERO, round_money(new_cost - remaining, minor_digits))


# --- New for old, by analogy ---


class WorkKind(Enum):
    """How Rule XIII treats a kind of work."""

    ORDINARY = "ordinary repair with new material"
    ANCHOR_OR_CHAIN = "anchors and chain"
    STORES = "provisions, stores and gear not yet in use"
    BOTTOM_COATING = "cleaning, painting or coating the bottom"


@dataclass(frozen=True, slots=True)
class NewForOld:
    """Cost split into the part that stands and the deduction new for old; an analogy only."""

    allowed: Decimal
    deduction: Decimal
    rule: str
    caution: str = (
        "By analogy with York-Antwerp Rule XIII, which is law between ship and cargo. "
        "A buyer has no such right; it only shows what custom thought reasonable."
    )


def new_for_old(
    age_years: float,
    material: Decimal,
    labour: Decimal,
    docking: Decimal,
    kind: WorkKind = WorkKind.ORDINARY,
    *,
    coated_months_ago: float | None = None,
    minor_digits: int = 2,
) -> NewForOld:
    """Deduct new for old: one third of new material when older than fifteen years.

    Labour and the dues of dock, slip or haul-out stand in full. Nothing is deducted from
    anchors, chain and stores. Bottom coatings stand by half if the bottom was coated within the
    last 24 months and otherwise not at all. `age_years` is the boat's age, or the part's own
    for machinery, boats, navigation and communication gear.
    """
    if kind is WorkKind.BOTTOM_COATING:
        return _coating(material + labour, docking, coated_months_ago, minor_digits)
    if kind is not WorkKind.ORDINARY:
        return _split(material, labour + docking, _ZERO, f"{kind.value}: no deduction")
    if age_years <= _THIRD_AFTER_YEARS:
        return _split(material, labour + docking, _ZERO, "not over 15 years old: no deduction")
    third = round_money(material / 3, minor_digits)
    return _split(material, labour + docking, third, "over 15 years old: one third off material")


def _split(material: Decimal, other: Decimal, deduction: Decimal, rule: str) -> NewForOld:
    return NewForOld(material + other - deduction, deduction, rule)


def _coating(
    cost: Decimal, docking: Decimal, coated_months_ago: float | None, minor_digits: int
) -> NewForOld:
    recent = coated_months_ago is not None and coated_months_ago <= _COATING_MONTHS
    allowed = round_money(cost / 2, minor_digits) if recent else _ZERO
    when = "coated within 24 months: half stands" if recent else "not coated within 24 months: none"
    return NewForOld(allowed + docking, cost - allowed, when)
