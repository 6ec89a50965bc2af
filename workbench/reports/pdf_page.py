"""The page: its frame, its foot with page x of y, the outline, and the file's own data.

A file says its title, subject and language, and nothing of who made it, where or when: author and
creator are empty, and the same document always gives the same bytes.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import IO, Any

from reportlab.lib.pagesizes import A4, LETTER, landscape
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from .document import Document
from .pdf_base import MARGIN, MM
from .pdf_text import FONT, LINE, QUIET, fitted, plain
from .pdf_widgets import FormFields, Spot, tab_by_rows

PAPERS = {"a4": A4, "letter": LETTER}
FRAME_FOOT = 21 * MM
_FOOT_RULE = 16.5 * MM
_FOOT_TEXT = 12.4 * MM
_FOOT_SIZE = 7.2


def page_size(paper: str, turned: bool) -> tuple[float, float]:
    """Width and height of a sheet of paper.

    Raises
    ------
    KeyError
        For a paper that is neither a4 nor letter.
    """
    size = PAPERS[paper]
    wide, high = landscape(size) if turned else size
    return float(wide), float(high)


def frame_size(paper: str, turned: bool) -> tuple[float, float]:
    """Width and height of what a page can hold."""
    wide, high = page_size(paper, turned)
    return wide - 2 * MARGIN, high - MARGIN - FRAME_FOOT


class NumberedCanvas(Canvas):
    """A canvas that writes every foot when it knows how many pages there are."""

    foot = ""
    _pagesize: tuple[float, float]
    _doc: Any
    _annotationrefs: list[Any]
    _startPage: Callable[[], None]  # noqa: N815 - the library's name

    def __init__(self, *arguments: Any, **options: Any) -> None:
        super().__init__(*arguments, **options)
        self._pages: list[dict[str, Any]] = []
        self._places: list[tuple[str, int, float]] = []
        self._spots: list[Spot] = []

    def add_spot(self, spot: Spot) -> None:
        """Put a field here; its place is as far from the lower left corner of what is drawn."""
        left, foot = self.absolutePosition(spot.left, spot.foot)
        self._spots.append(dataclasses.replace(spot, left=float(left), foot=float(foot)))

    def add_place(self, text: str, level: int, height: float) -> None:
        """Put a place `height` above here into the outline."""
        _, top = self.absolutePosition(0, height + 4)
        self._places.append((text, level, float(top)))

    def showPage(self) -> None:  # noqa: N802 - the library's name
        """Keep the page until all are there."""
        self._pages.append(dict(self.__dict__))
        self._places = []
        self._spots = []
        self._startPage()

    def save(self) -> None:
        """Write every page with its foot and its places in the outline, then the file.

        Only now does the library know which page it is on, so places are marked here.
        """
        level = -1
        fields = FormFields(self._doc) if any(page["_spots"] for page in self._pages) else None
        for number, page in enumerate(self._pages, 1):
            self.__dict__.update(page)
            for place, (text, wanted, top) in enumerate(self._places):
                level = min(wanted, level + 1)  # an outline goes down one step at a time
                key = f"place-{number}-{place}"
                self.bookmarkPage(key, fit="XYZ", left=0, top=top)
                self.addOutlineEntry(text, key, level, closed=False)
            self._draw_foot(number, len(self._pages))
            if fields is not None:
                self._annotationrefs += fields.place(self._spots, self._doc.thisPageRef())
            Canvas.showPage(self)
            if self._spots:
                tab_by_rows(self._doc.Pages.pages[-1])
        if fields is not None:
            self._doc.Catalog.AcroForm = fields.finish()
        Canvas.save(self)

    def _draw_foot(self, number: int, pages: int) -> None:
        wide = float(self._pagesize[0])
        self.saveState()
        self.setStrokeColor(LINE)
        self.setLineWidth(0.6)
        self.line(MARGIN, _FOOT_RULE, wide - MARGIN, _FOOT_RULE)
        self.setFillColor(QUIET)
        self.setFont(FONT, _FOOT_SIZE)
        place = f"page {number} of {pages}"
        room = wide - 2 * MARGIN - 30 * MM
        self.drawString(MARGIN, _FOOT_TEXT, fitted(self.foot, FONT, _FOOT_SIZE, room))
        self.drawRightString(wide - MARGIN, _FOOT_TEXT, place)
        self.restoreState()


class Sheet(BaseDocTemplate):
    """One document being set, page after page.

    Parameters
    ----------
    after_page
        Called with the number of each page that is finished, so that a person can see or stop it.
    """

    def __init__(
        self,
        target: IO[bytes],
        document: Document,
        paper: str,
        after_page: Callable[[int], None],
    ) -> None:
        wide, high = size = page_size(paper, document.landscape)
        super().__init__(
            target,
            pagesize=size,
            title=plain(document.title),
            subject=plain(document.subject),
            author="",
            creator="",
            producer="Hardstand",
            keywords=[],
            lang="en",
            invariant=1,
            initialFontName=FONT,
            allowSplitting=1,
        )
        frame = Frame(
            MARGIN,
            FRAME_FOOT,
            wide - 2 * MARGIN,
            high - MARGIN - FRAME_FOOT,
            leftPadding=0,
            rightPadding=0,
            topPadding=0,
            bottomPadding=0,
        )
        self.addPageTemplates([PageTemplate(id="page", frames=[frame])])
        self._after_page = after_page

    def afterPage(self) -> None:  # noqa: N802 - the library's name
        """Say that a page is done."""
        self._after_page(self.page)
