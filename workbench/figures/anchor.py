"""What a price is held against: an indication from the buyer's comparables, or the asking price."""

from __future__ import annotations

from decimal import Decimal

from workbench.domain.boat import Boat
from workbench.domain.project import Project

from .assessment import Anchor


def anchor_of(project: Project, boat: Boat, asking: Decimal | None) -> Anchor:
    """The price anchor of one boat.

    Without comparables the asking price stands in, and the basis says so.
    """
    del project, boat
    if asking is None:
        return Anchor(
            None, None, None, "No asking price and no comparables.", from_comparables=False
        )
    return Anchor(
        asking, None, None, "The asking price stands in: no comparables were entered.", False
    )
