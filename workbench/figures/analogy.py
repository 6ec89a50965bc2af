"""What custom in another trade would leave of a claim: new for old, shown as an analogy only.

Rule XIII of the York-Antwerp Rules (1974) takes a third off new material on ships over fifteen
years old, nothing off labour and the dues of slip and dock, nothing off anchors and chain. A buyer
has no such right in a sale and a seller no such duty; nothing here changes a claim. See `wear`.

Anchors and chain are told by the check's system; bottom coatings have a rule of their own that asks
when the bottom was coated last, which nobody enters, so paint is left to the ordinary rule.
"""

from __future__ import annotations

from decimal import Decimal

from workbench.domain.money import cents, decimals_of

from .assessment import ClaimLine
from .wear import NewForOld, WorkKind, new_for_old

_ANCHORS = "ground-tackle"


def new_for_old_of(line: ClaimLine, age: int | None, currency: str) -> NewForOld | None:
    """What the custom would leave of a claim's full cost; None where it cannot be said.

    It cannot without her age, and where a quote, or the buyer's own figure for the whole, hides how
    much of the cost is material.
    """
    if age is None or any(one.priced is None or one.quote is not None for one in line.lines):
        return None
    material = cents(sum(one.priced.materials_mean for one in line.lines if one.priced), currency)
    work = cents(sum(one.mean for one in line.lines), currency)
    anchors = line.finding is not None and line.finding.check.system == _ANCHORS
    return new_for_old(
        age,
        material,
        max(work - material, Decimal(0)),
        max(line.full - work, Decimal(0)),
        WorkKind.ANCHOR_OR_CHAIN if anchors else WorkKind.ORDINARY,
        minor_digits=decimals_of(currency),
    )
