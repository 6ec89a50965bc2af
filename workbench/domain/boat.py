"""A boat on the shortlist: what she is, what is asked for her, and where she lies."""

from __future__ import annotations

from datetime import date

from workbench.domain.record import dataclass

from .frozen import FrozenMap
from .money import Money
from .quantity import Quantity
from .vocabulary import Status


@dataclass(frozen=True, slots=True)
class AskingPrice:
    """A price asked from a day on.

    Attributes
    ----------
    on
        The day it was first seen; None when not known.
    price
        What is asked, not negative.
    """

    price: Money
    on: date | None = None
    note: str = ""
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class WorthToMe:
    """Something about a boat that is worth money to this buyer (a saving when negative)."""

    label: str
    amount: Money
    extra: FrozenMap[str, object] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Boat:
    """One candidate and her particulars.

    Attributes
    ----------
    id
        Lower-case letters, digits and hyphens, at most 40; the name of her folder.
    dimensions
        Lengths, weights and areas by the ids of `particulars.toml`, in the unit as entered. A
        missing one is unknown, never zero.
    facts
        Fit-out facts (what drives, steers and holds her) by the ids of `fitout.toml`. They decide
        which checks she gets. A missing one is taken as the catalogue's default and said so.
    asking
        The history of her asking price, oldest first; the last one counts.
    distance
        How far from the buyer she lies.
    contact, private_note
        For the buyer only; never leave the project folder.
    stream
        A number fixed when the boat is entered that fixes her random draws for good.
    """

    id: str
    name: str
    design: str = ""
    builder: str = ""
    year: int | None = None
    hull_number: str = ""
    dimensions: FrozenMap[str, Quantity] = FrozenMap()
    facts: FrozenMap[str, str] = FrozenMap()
    asking: tuple[AskingPrice, ...] = ()
    lies_at: str = ""
    distance: Quantity | None = None
    seller: str = ""
    contact: str = ""
    status: Status = Status.LOOKING
    status_reason: str = ""
    archived: bool = False
    listing: str = ""
    listing_address: str = ""
    equipment_note: str = ""
    private_note: str = ""
    worth_to_me: tuple[WorthToMe, ...] = ()
    portrait: str = ""
    stream: int = 0
    extra: FrozenMap[str, object] = FrozenMap()

    @property
    def asking_price(self) -> Money | None:
        """What is asked now; None when no price is known."""
        return self.asking[-1].price if self.asking else None
