"""Text on paper: the fonts, the styles, and the one doorway through which every text passes.

reportlab reads a paragraph's text as markup: a stray `<b>` stops a whole export, and an `<img>`
would open a file of whoever wrote it. So **no text reaches it except through `prose`**, which
makes plain characters of everything: control signs and lone halves of surrogate pairs are taken
out, signs that turn or hide text are written out, the rest is escaped. Very long texts are cut
into paragraphs and very long words are broken, because both would take minutes to set.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from typing import Any, TypeAlias
from xml.sax.saxutils import escape

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Paragraph

from workbench.paths import resource

FONT = "HardstandSans"
BOLD = "HardstandSans-Bold"
INK = HexColor("#1D2A35")
QUIET = HexColor("#56636E")
LINE = HexColor("#D5D0C6")
ACCENT = HexColor("#0B5C7A")
PANEL = HexColor("#E7E3DA")
WHITE = HexColor("#FFFFFF")

LONGEST_PARAGRAPH = 1_000
LONGEST_WORD = 80
_MOST_WIDTHS = 50_000

Style: TypeAlias = ParagraphStyle
# Binary streams instead of base-85 text: a quarter smaller and many times faster with photos.
rl_config.useA85 = 0

_BREAKS = re.compile("\r\n|[\n\r\v\f\x1c-\x1e\x85\u2028\u2029]")
_REMOVED = re.compile("[\x00-\x08\x0e-\x1b\x1f\x7f-\x84\x86-\x9f\ufeff\ufffe\uffff]")
_SURROGATE = re.compile("[\ud800-\udfff]")
_TURNING = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\U000e0000-\U000e007f]")
_LONG_WORD = re.compile(rf"(\S{{{LONGEST_WORD}}})(?=\S)")


class MeasuredFont(TTFont):
    """A font that measures each text once: the same words come again and again on a sheet."""

    def __init__(self, name: str, file: str) -> None:
        super().__init__(name, file)
        self._widths: dict[str, float] = {}

    def stringWidth(  # noqa: N802 - the library's name
        self, text: str, size: float, encoding: str = "utf8"
    ) -> float:
        """Width of a text at a size, in points."""
        width = self._widths.get(text)
        if width is None:
            if len(self._widths) > _MOST_WIDTHS:
                self._widths.clear()
            width = float(super().stringWidth(text, 1000, encoding))
            self._widths[text] = width
        return width * size / 1000


@cache
def fonts() -> tuple[str, str]:
    """Make the program's own fonts known to reportlab, once; answers their names."""
    pdfmetrics.registerFont(MeasuredFont(FONT, str(resource("fonts/DejaVuSans.ttf"))))
    pdfmetrics.registerFont(MeasuredFont(BOLD, str(resource("fonts/DejaVuSans-Bold.ttf"))))
    pdfmetrics.registerFontFamily(FONT, normal=FONT, bold=BOLD, italic=FONT, boldItalic=BOLD)
    return FONT, BOLD


def style(
    size: float,
    leading: float,
    *,
    bold: bool = False,
    quiet: bool = False,
    right: bool = False,
    before: float = 0,
    after: float = 0,
    indent: float = 0,
) -> Style:
    """A paragraph style in points; no first or last line stands alone on a page."""
    fonts()
    return ParagraphStyle(
        name=f"{size}/{leading}{'b' if bold else ''}",
        fontName=BOLD if bold else FONT,
        fontSize=size,
        leading=leading,
        textColor=QUIET if quiet else INK,
        alignment=TA_RIGHT if right else 0,
        spaceBefore=before,
        spaceAfter=after,
        leftIndent=indent,
        bulletFontName=FONT,
        allowWidows=0,
        allowOrphans=0,
        splitLongWords=1,
    )


@cache
def styles() -> dict[str, Style]:
    """The styles of the sheets by role."""
    return {
        "above": style(8, 11, quiet=True),
        "title": style(18, 23, bold=True, after=1),
        "below": style(9, 13),
        "heading-1": style(10.8, 14, bold=True, before=14, after=5),
        "heading-2": style(9.2, 12.5, bold=True, before=9, after=3),
        "body": style(8.6, 12.6, after=5),
        "quiet": style(7.8, 11, quiet=True, after=4),
        "small": style(7.2, 9.8, quiet=True, after=3),
        "point": style(8.6, 12.4, after=2.5, indent=17),
        "figure-label": style(7.8, 11, quiet=True),
        "figure": style(15.5, 20, bold=True),
        "head": style(7.4, 9.6, quiet=True),
        "head-right": style(7.4, 9.6, quiet=True, right=True),
        "cell": style(8.1, 10.8),
        "cell-bold": style(8.1, 10.8, bold=True),
        "cell-right": style(8.1, 10.8, right=True),
        "cell-right-bold": style(8.1, 10.8, bold=True, right=True),
        "cell-small": style(7.2, 9.4, quiet=True),
        "cell-small-right": style(7.2, 9.4, quiet=True, right=True),
        "finding": style(9.6, 12.5, bold=True),
        "finding-figure": style(9.6, 12.5, bold=True, right=True),
        "fact-label": style(7.4, 10.6, quiet=True),
        "fact": style(8.4, 11.8, after=1.5),
        "caption": style(7.2, 9.4, quiet=True, before=2, after=2),
        "caution": style(8.2, 11.6),
        "form-title": style(10, 13, bold=True),
        "form-step": style(7.9, 10.2, indent=11),
        "form-hint": style(7.2, 9.2, quiet=True),
        "form-label": style(8.0, 10.2),
        "form-unit": style(8.2, 10.2, quiet=True),
    }


def plain(text: str) -> str:
    """`text` as it is printed: no control signs, one kind of line break, nothing hidden."""
    text = _BREAKS.sub("\n", text)
    text = _SURROGATE.sub("\ufffd", text)
    text = _REMOVED.sub("", text).replace("\t", "    ")
    return _TURNING.sub(lambda sign: f"‹U+{ord(sign.group()):04X}›", text)


def pieces(text: str) -> list[str]:
    """Plain text cut at its line breaks, and again where a piece is too long to set quickly."""
    made: list[str] = []
    for line in plain(text).split("\n"):
        rest = _LONG_WORD.sub(r"\1 ", line.strip())
        while len(rest) > LONGEST_PARAGRAPH:
            at = rest.rfind(" ", 0, LONGEST_PARAGRAPH)
            cut = at if at > 0 else LONGEST_PARAGRAPH
            made.append(rest[:cut].rstrip())
            rest = rest[cut:].lstrip()
        if rest:
            made.append(rest)
    return made


class Printed(Paragraph):
    """A paragraph that puts itself into the outline when it is drawn, where it should."""

    canv: Any
    outline_entry: tuple[str, int] | None = None
    _broken_for: float | None = None
    _size: tuple[float, float] = (0.0, 0.0)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Break into lines, once for a width: a table asks for the same again and again."""
        # A split that cannot be made throws the lines away.
        if self._broken_for != width or not hasattr(self, "blPara"):
            self._size = super().wrap(width, height)
            self._broken_for = width
        return self._size

    def draw(self) -> None:
        """Draw, and mark the place."""
        if self.outline_entry is not None:
            self.canv.add_place(*self.outline_entry, self.height)
        super().draw()


def prose(
    text: str, role: str | Style, lead: str = "", outline: int | None = None
) -> list[Printed]:
    """Paragraphs of one text; `lead` is set bold before the first. The only way to make one.

    With `outline` the first stands in the outline at that level.
    """
    set_in = styles()[role] if isinstance(role, str) else role
    made = [escape(piece) for piece in pieces(text)]
    if lead:
        bold = f'<font name="{BOLD}">{escape(" ".join(pieces(lead)))}</font>'
        made[:1] = [f"{bold} {made[0]}" if made else bold]
    paragraphs = [Printed(piece, set_in) for piece in made]
    if outline is not None and paragraphs:
        paragraphs[0].outline_entry = (" ".join(plain(text[:200]).split()), outline)
    return paragraphs


def numbered(text: str, role: str, sign: str) -> list[Printed]:
    """Paragraphs of one point of a list, with its sign hanging at the left of the first."""
    made = prose(text, role)
    for first in made[:1]:
        first.bulletText = plain(sign)
        first.style = _hanging(first.style)
    return made


def _hanging(base: Style) -> Style:
    return ParagraphStyle(
        base.name + "-hanging",
        parent=base,
        bulletFontName=FONT,
        bulletFontSize=base.fontSize,
        bulletColor=QUIET,
        bulletIndent=0,
    )


def fitted(text: str, font: str, size: float, width: float) -> str:
    """`text` on one line, cut with an ellipsis where it is wider than `width` [pt]."""
    line = " ".join(plain(text[: LONGEST_PARAGRAPH * 2]).split())
    if width_of(line, font, size) <= width:
        return line
    while line and width_of(line + "…", font, size) > width:
        line = line[: -max(1, len(line) // 20)]
    return line.rstrip() + "…"


def width_of(text: str, font: str, size: float) -> float:
    """Width of one line of plain text [pt]."""
    fonts()
    return float(pdfmetrics.stringWidth(text, font, size))


def lacking(text: str) -> tuple[str, ...]:
    """The signs of `text` that the sheets' font has no shape for, in order of their number."""
    fonts()
    font: Any = pdfmetrics.getFont(FONT)
    known = font.face.charToGlyph
    signs = set(plain(text)) - {"\n"}
    return tuple(
        sorted(sign for sign in signs if ord(sign) not in known and not _combines_into(sign))
    )


def _combines_into(sign: str) -> bool:
    """Whether a sign only joins its neighbours and has no shape of its own."""
    return unicodedata.category(sign) == "Cf"
