"""The invented search of two boats, assessed once, and its sheets."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest

from tests.reports.invented import DAY, MARIGOLD, assessed, shelf
from workbench.figures.assessment import Assessment
from workbench.reports.document import Block, Document
from workbench.reports.offer_view import OfferView, offer_view
from workbench.reports.pdf import write_pdf

SetAs = Callable[..., bytes]


@pytest.fixture(scope="session")
def assessment() -> Assessment:
    """The figures of the two invented boats."""
    return assessed()


@pytest.fixture(scope="session")
def view(assessment: Assessment) -> OfferView:
    """What the seller of Marigold Rae may see."""
    return offer_view(assessment.boats[MARIGOLD], assessment.catalogue, DAY)


@pytest.fixture(scope="session")
def as_pdf() -> SetAs:
    """Set blocks, or a document, as the bytes of a PDF."""

    def set_as(*content: Block | Document, paper: str = "a4", landscape: bool = False) -> bytes:
        first = content[0]
        if isinstance(first, Document):
            document = first
        else:
            blocks = tuple(one for one in content if not isinstance(one, Document))
            document = Document("A title", "A subject", "A foot", blocks, landscape)
        kept = io.BytesIO()
        write_pdf(document, kept, paper, shelf())
        return kept.getvalue()

    return set_as
