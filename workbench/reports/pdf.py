"""Setting a document as a PDF: `write_pdf(document, target, paper, shelf)`.

The `pdf*` modules are the only users of reportlab. A sheet is set on A4 or Letter, with the
program's own fonts embedded, page x of y in the foot and an outline of its headings; the same
document gives the same bytes. Signs that the font has no shape for print as open boxes and are
listed at the end. `hooks.stop_if_asked` is called between photos and pages and may raise `Stopped`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import IO, Any

from workbench.domain.record import dataclass

from .document import Block, Document, Prose, Tone
from .document_text import as_text
from .pdf_base import Gap
from .pdf_flow import Setting, height_of, story
from .pdf_page import NumberedCanvas, Sheet, frame_size
from .pdf_text import lacking
from .photos import Darkroom, NoPhotos, Shelf

_MOST_LISTED = 40


class Stopped(Exception):  # noqa: N818 - nothing went wrong: a person stopped it
    """Somebody stopped the export."""


@dataclass(frozen=True, slots=True)
class Hooks:
    """What is called while a sheet is set.

    Attributes
    ----------
    stop_if_asked
        Called between photos and between pages; raises `Stopped` to end it.
    page_done
        Called with the number of each page that is set.
    """

    stop_if_asked: Callable[[], None] = lambda: None
    page_done: Callable[[int], None] = lambda page: None


def write_pdf(
    document: Document,
    target: IO[bytes],
    paper: str = "a4",
    shelf: Shelf | None = None,
    hooks: Hooks | None = None,
) -> None:
    """Set a document on `paper` (`a4` or `letter`) and write it to `target`.

    Raises
    ------
    Stopped
        When a hook says so; what was written until then is no whole file.
    """
    calls = hooks or Hooks()

    def after_page(page: int) -> None:
        calls.page_done(page)
        calls.stop_if_asked()

    setting = _setting(document, paper, shelf, calls)
    blocks = (*document.blocks, *_lacking_signs(document))
    sheet = Sheet(target, document, paper, after_page)
    # A document that says nothing still is a page: without one the file could not be opened.
    sheet.build(story(blocks, setting) or [Gap(1)], canvasmaker=_with_foot(document.foot))


def _with_foot(foot: str) -> Callable[..., NumberedCanvas]:
    """What makes the canvas, with the words for its foot."""

    def made(*arguments: Any, **options: Any) -> NumberedCanvas:
        canvas = NumberedCanvas(*arguments, **options)
        canvas.foot = foot
        return canvas

    return made


def _setting(document: Document, paper: str, shelf: Shelf | None, calls: Hooks) -> Setting:
    wide, high = frame_size(paper, document.landscape)
    return Setting(wide, high, Darkroom(shelf or NoPhotos(), calls.stop_if_asked))


def fits_one_page(blocks: Sequence[Block], paper: str, shelf: Shelf | None = None) -> bool:
    """Whether some blocks fit on one upright page."""
    wide, high = frame_size(paper, turned=False)
    return height_of(blocks, Setting(wide, high, Darkroom(shelf or NoPhotos()))) <= high


def _lacking_signs(document: Document) -> tuple[Block, ...]:
    """A note on the signs that print as boxes; nothing when there are none."""
    signs = lacking(as_text(document))
    if not signs:
        return ()
    numbers = ", ".join(f"U+{ord(sign):04X}" for sign in signs[:_MOST_LISTED])
    more = f" and {len(signs) - _MOST_LISTED} more" if len(signs) > _MOST_LISTED else ""
    words = f"Signs without a shape in this sheet's font, shown as boxes: {numbers}{more}."
    return (Prose(words, Tone.SMALL),)
