"""Which function builds which sheet; for a sheet that leaves the house, by way of its view."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from workbench.domain.record import dataclass
from workbench.figures.assessment import Assessment, BoatAssessment

from .comparison_sheet import comparison_document
from .document import Document
from .field_form import form_document
from .offer_sheet import offer_document
from .offer_view import offer_view
from .pdf import fits_one_page
from .photo_sheet import photo_document, photo_view
from .photos import Shelf
from .screen_form import screen_form_document
from .season_list import season_document
from .survey_view import survey_view, surveyors, trades_with_a_part
from .surveyor_brief import brief_document
from .walk_list import walk_document
from .yard_request import request_document
from .yard_view import yard_view


@dataclass(frozen=True, slots=True)
class Order:
    """What a sheet is to be about: boats by id, the day, the paper; for a brief, who gets it."""

    assessment: Assessment
    boats: tuple[str, ...]
    on: date
    paper: str
    shelf: Shelf
    who: str = ""

    @property
    def boat(self) -> BoatAssessment:
        """The one boat of a sheet about one."""
        return self.assessment.boats[self.boats[0]]


def _offer(order: Order) -> Document:
    view = offer_view(order.boat, order.assessment.catalogue, order.on)
    return offer_document(view, lambda blocks: fits_one_page(blocks, order.paper, order.shelf))


def _comparison(order: Order) -> Document:
    return comparison_document(order.assessment, order.boats, order.on)


def _surveyor_brief(order: Order) -> Document:
    asked = surveyors(order.assessment.catalogue)
    return brief_document(survey_view(order.assessment, order.boats[0], order.on, asked))


def _trade_briefs(order: Order) -> Document:
    trades = trades_with_a_part(order.boat, order.assessment.catalogue)
    asked = (order.who,) if order.who else trades
    return brief_document(survey_view(order.assessment, order.boats[0], order.on, asked))


def _yard_request(order: Order) -> Document:
    return request_document(yard_view(order.boat, order.assessment.catalogue, order.on))


def _field_form(order: Order) -> Document:
    imperial = order.assessment.project.settings.units == "imperial"
    return form_document(order.boat, order.assessment.catalogue, order.on, imperial=imperial)


def _screen_form(order: Order) -> Document:
    imperial = order.assessment.project.settings.units == "imperial"
    return screen_form_document(order.boat, order.assessment.catalogue, order.on, imperial=imperial)


def _walk_list(order: Order) -> Document:
    imperial = order.assessment.project.settings.units == "imperial"
    return walk_document(order.boat, order.assessment.catalogue, order.on, imperial=imperial)


def _photos(order: Order) -> Document:
    return photo_document(photo_view(order.boat, order.assessment.catalogue, order.on))


def _season_list(order: Order) -> Document:
    return season_document(order.boat, order.assessment.catalogue, order.on)


BUILDERS: dict[str, Callable[[Order], Document]] = {
    "offer": _offer,
    "comparison": _comparison,
    "surveyor-brief": _surveyor_brief,
    "trade-briefs": _trade_briefs,
    "yard-request": _yard_request,
    "field-form": _field_form,
    "field-form-fillable": _screen_form,
    "walk-list": _walk_list,
    "photos": _photos,
    "season-list": _season_list,
}
