"""The paragraphs of the offer sheet that can be put in other words, and what they say now."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from datetime import date

from workbench.domain.frozen import FrozenMap
from workbench.domain.record import dataclass

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.assessment import Assessment


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One paragraph.

    Attributes
    ----------
    what
        Which paragraph it is, in words.
    usual
        What the program would say; empty where nothing stands there without the buyer's words.
    own
        The buyer's words; empty where the program's stand.
    """

    id: str
    what: str
    usual: str
    own: str


def paragraphs_of(assessment: Assessment, boat_id: str, on: date) -> tuple[Paragraph, ...]:
    """All paragraphs of one boat's sheet; a job for beside the window."""
    from workbench.reports.offer_sheet import WORDING, offer_document  # noqa: PLC0415
    from workbench.reports.offer_view import offer_view  # noqa: PLC0415 - when a page asks
    from workbench.reports.sheet_language import for_sheets  # noqa: PLC0415 - when a page asks

    assessment = for_sheets(assessment)
    boat = assessment.boats[boat_id]
    own = boat.candidate.ledger.wording
    plain = dataclasses.replace(
        boat,
        candidate=dataclasses.replace(
            boat.candidate,
            ledger=dataclasses.replace(boat.candidate.ledger, wording=FrozenMap()),
        ),
    )
    view = offer_view(plain, assessment.catalogue, on)
    usual = dict(_prose(offer_document(view, lambda _: True).blocks))
    return tuple(
        Paragraph(key, what, usual.get(key, ""), own.get(key, "")) for key, what in WORDING.items()
    )


def _prose(blocks: Iterable[object]) -> Iterator[tuple[str, str]]:
    """Every paragraph with an id, also inside what holds blocks together; points as lines."""
    from workbench.reports.document import Points, Prose, Together, TwoColumns  # noqa: PLC0415

    for block in blocks:
        if isinstance(block, Prose) and block.id:
            yield block.id, block.text
        elif isinstance(block, Together):
            points = [one for one in block.blocks if isinstance(one, Points)]
            if points:
                yield "conditions", "\n".join(points[0].items)
            yield from _prose(block.blocks)
        elif isinstance(block, TwoColumns):
            yield from _prose((*block.left, *block.right))
