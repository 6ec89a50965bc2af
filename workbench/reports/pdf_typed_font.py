"""The font in which a reader's program sets what is typed into a form: whole, inside the file.

Sheets carry only the signs they print. What somebody will type is not known, so a form carries the
program's font whole, as a composite font whose codes are its glyph numbers, with a table from the
codes back to the signs (ISO 32000-2, 9.7 and 9.10.3). Accents, Greek and fractions show wherever
the form is opened, and no program has to put another font in their place.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import groupby, pairwise
from typing import Any

from reportlab.pdfbase import pdfdoc, pdfmetrics

from workbench.paths import resource

from .pdf_text import FONT, fonts

NAME = "DejaVuSans"
_HEAD = (
    "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
    "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
    "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
    "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
)
_FOOT = "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
_MOST_IN_A_BLOCK = 100
"""Entries of one block of a table of signs, by the CMap specification."""


def typed_font(document: Any) -> Any:
    """A reference to the font, put into a document of reportlab."""
    program = pdfdoc.PDFStream(content=_program(), filters=[pdfdoc.PDFZCompress])
    program.dictionary["Length1"] = len(_program())
    face = _face()
    descriptor = pdfdoc.PDFDictionary(
        {
            "Type": pdfdoc.PDFName("FontDescriptor"),
            "FontName": pdfdoc.PDFName(NAME),
            "Flags": face.flags,
            "FontBBox": pdfdoc.PDFArray(face.bbox),
            "ItalicAngle": face.italicAngle,
            "Ascent": face.ascent,
            "Descent": face.descent,
            "CapHeight": face.capHeight,
            "StemV": face.stemV,
            "FontFile2": document.Reference(program),
        }
    )
    below = pdfdoc.PDFDictionary(
        {
            "Type": pdfdoc.PDFName("Font"),
            "Subtype": pdfdoc.PDFName("CIDFontType2"),
            "BaseFont": pdfdoc.PDFName(NAME),
            "CIDSystemInfo": pdfdoc.PDFDictionary(
                {
                    "Registry": pdfdoc.PDFString("Adobe"),
                    "Ordering": pdfdoc.PDFString("Identity"),
                    "Supplement": 0,
                }
            ),
            "FontDescriptor": document.Reference(descriptor),
            "DW": 600,
            "W": document.Reference(pdfdoc.PDFArray(list(_widths()))),
            "CIDToGIDMap": pdfdoc.PDFName("Identity"),
        }
    )
    signs = pdfdoc.PDFStream(content=_signs(), filters=[pdfdoc.PDFZCompress])
    return document.Reference(
        pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("Font"),
                "Subtype": pdfdoc.PDFName("Type0"),
                "BaseFont": pdfdoc.PDFName(NAME),
                "Encoding": pdfdoc.PDFName("Identity-H"),
                "DescendantFonts": pdfdoc.PDFArray([document.Reference(below)]),
                "ToUnicode": document.Reference(signs),
            }
        )
    )


def _face() -> Any:
    fonts()
    font: Any = pdfmetrics.getFont(FONT)
    return font.face


@cache
def _program() -> bytes:
    return resource("fonts/DejaVuSans.ttf").read_bytes()


def _widths() -> Iterator[int]:
    """The widths of all codes as `first last width` [thousandths of the size]."""
    face = _face()
    scale = 1000 / face.unitsPerEm
    rounded = (round(wide * scale) for wide, _ in face.hmetrics)
    for wide, run in groupby(enumerate(rounded), key=lambda one: one[1]):
        codes = [code for code, _ in run]
        yield from (codes[0], codes[-1], wide)


@cache
def _signs() -> str:
    """The table from codes to signs; of two signs with one shape the lower."""
    by_code: dict[int, int] = {}
    for sign, code in sorted(_face().charToGlyph.items()):
        if code:
            by_code.setdefault(code, sign)
    lines = [f"<{code:04X}> <{_utf16(sign)}>" for code, sign in sorted(by_code.items())]
    starts = [*range(0, len(lines), _MOST_IN_A_BLOCK), len(lines)]
    blocks = [_block(lines[start:end]) for start, end in pairwise(starts)]
    return _HEAD + "".join(blocks) + _FOOT


def _block(lines: Sequence[str]) -> str:
    return f"{len(lines)} beginbfchar\n" + "\n".join(lines) + "\nendbfchar\n"


def _utf16(sign: int) -> str:
    return chr(sign).encode("utf-16-be").hex().upper()
