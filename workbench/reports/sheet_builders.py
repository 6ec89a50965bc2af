"""Which function builds which sheet; for a sheet that leaves the house, by way of its view."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from workbench.figures.assessment import Assessment, BoatAssessment

from .comparison_sheet import comparison_document
from .document import Document
from .offer_sheet import offer_document
from .offer_view import offer_view
from .pdf import fits_one_page
from .photos import Shelf


@dataclass(frozen=True, slots=True)
class Order:
    """What a sheet is to be about: boats by id, the day, the paper it will be set on."""

    assessment: Assessment
    boats: tuple[str, ...]
    on: date
    paper: str
    shelf: Shelf

    @property
    def boat(self) -> BoatAssessment:
        """The one boat of a sheet about one."""
        return self.assessment.boats[self.boats[0]]


def _offer(order: Order) -> Document:
    view = offer_view(order.boat, order.assessment.catalogue, order.on)
    return offer_document(view, lambda blocks: fits_one_page(blocks, order.paper, order.shelf))


def _comparison(order: Order) -> Document:
    return comparison_document(order.assessment, order.boats, order.on)


BUILDERS: dict[str, Callable[[Order], Document]] = {
    "offer": _offer,
    "comparison": _comparison,
}
