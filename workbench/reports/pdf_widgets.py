"""Fields to be filled in on a screen, as they stand in a PDF (ISO 32000-2, 12.7).

What is drawn on a page says where a field is (`Spot`); `FormFields` makes the objects of the file
from that when the pages are written. A field has its name, a tip that says what is asked, with unit
and limits, and a look of its own for when it is empty, so that it shows in every program. The page
itself draws the boxes: a field is only what is put into them.

Spots of one name are the boxes of one choice. One of them can be ticked at a time, and unticked.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from typing import Any, NamedTuple

from reportlab.pdfbase import pdfdoc

from workbench.domain.record import dataclass

from .pdf_text import plain
from .pdf_typed_font import typed_font

FONT_NAME = "TypedSans"
TYPED_SIZE = 9.0
_PRINTED, _HIDDEN = 4, 2
_READ_ONLY, _SEVERAL_LINES, _DROP_DOWN = 1, 1 << 12, 1 << 17
_INK = "0.114 0.165 0.208"
"""The ink of the sheets as shares of red, green and blue."""
_CHECK_MARK = "4"
"""By this sign viewers know which mark a box is ticked with (ISO 32000-2, 12.5.6.19)."""
_TICK = "q\n{ink} RG {6} w 1 J 1 j\n{0} {1} m {2} {3} l {4} {5} l S\nQ\n"
_TICK_SHARES = (0.2, 0.52, 0.42, 0.24, 0.82, 0.8, 0.13)


class Ask(Enum):
    """What a field asks for: words on one line or several, a tick, one of a list; or nothing."""

    LINE = "line"
    LINES = "lines"
    TICK = "tick"
    LIST = "list"
    MARK = "mark"


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a page where something can be put in.

    Attributes
    ----------
    left, foot, width, height
        On the page [pt].
    tip
        What a person sees who rests on the field, and hears who does not see it.
    group_tip
        What the whole choice is about, for one box of it.
    value
        What a ticked box stands for; what a mark says.
    options
        What can be chosen from a list: values with their words.
    """

    ask: Ask
    name: str
    tip: str
    left: float = 0.0
    foot: float = 0.0
    width: float = 0.0
    height: float = 0.0
    group_tip: str = ""
    value: str = ""
    options: tuple[tuple[str, str], ...] = ()


class FormFields:
    """All fields of one file, in the order in which they stand."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self._font = typed_font(document)
        self._fields: list[Any] = []
        self._choices: dict[str, _Choice] = {}
        self._ticks: dict[float, tuple[Any, Any]] = {}

    def place(self, spots: Sequence[Spot], page: Any) -> list[Any]:
        """References to what stands on a page for its spots, in their order."""
        return [
            self._box(spot, page) if spot.ask is Ask.TICK else self._field(spot, page)
            for spot in spots
        ]

    def finish(self) -> Any:
        """A reference to the form, when all its spots are placed."""
        for choice in self._choices.values():
            choice.field.dict["Kids"] = pdfdoc.PDFArray(choice.boxes)
        fonts = _dictionary({FONT_NAME: self._font})
        return self._document.Reference(
            _dictionary(
                {
                    "Fields": pdfdoc.PDFArray(self._fields),
                    "DR": _dictionary({"Font": fonts}),
                    "DA": _typed_look(),
                }
            )
        )

    def _field(self, spot: Spot, page: Any) -> Any:
        look = self._picture(
            "/Tx BMC\nEMC\n",
            spot.width,
            spot.height,
            {"Font": _dictionary({FONT_NAME: self._font})},
        )
        made = {
            **_widget(spot, page),
            "T": pdfdoc.PDFString(spot.name),
            "DA": _typed_look(),
            # Each has a look of its own, because programs write what is typed into it.
            "AP": _dictionary({"N": look}),
            **_asked(spot),
        }
        self._fields.append(self._document.Reference(_dictionary(made)))
        return self._fields[-1]

    def _box(self, spot: Spot, page: Any) -> Any:
        """One box of a choice, below the field that all its boxes belong to."""
        choice = self._choices.get(spot.name) or self._new_choice(spot)
        ticked, empty = self._tick(spot.height)
        made = {
            **_widget(spot, page),
            "Parent": choice.reference,
            "AS": pdfdoc.PDFName("Off"),
            "AP": _dictionary({"N": _dictionary({spot.value: ticked, "Off": empty})}),
            "MK": _dictionary({"CA": pdfdoc.PDFString(_CHECK_MARK)}),
        }
        choice.boxes.append(self._document.Reference(_dictionary(made)))
        return choice.boxes[-1]

    def _new_choice(self, spot: Spot) -> _Choice:
        field = _dictionary(
            {
                "FT": pdfdoc.PDFName("Btn"),
                "T": pdfdoc.PDFString(spot.name),
                "TU": pdfdoc.PDFString(plain(spot.group_tip)),
                "V": pdfdoc.PDFName("Off"),
            }
        )
        made = self._choices[spot.name] = _Choice(field, self._document.Reference(field), [])
        self._fields.append(made.reference)
        return made

    def _tick(self, side: float) -> tuple[Any, Any]:
        """The looks of a ticked and of an empty box, the same for all of one size."""
        if side not in self._ticks:
            drawn = _TICK.format(*(round(side * share, 2) for share in _TICK_SHARES), ink=_INK)
            self._ticks[side] = (
                self._picture(drawn, side, side, {}),
                self._picture("q\nQ\n", side, side, {}),
            )
        return self._ticks[side]

    def _picture(self, drawn: str, width: float, height: float, resources: dict[str, Any]) -> Any:
        stream = pdfdoc.PDFStream(content=drawn, filters=[])
        stream.dictionary["Type"] = pdfdoc.PDFName("XObject")
        stream.dictionary["Subtype"] = pdfdoc.PDFName("Form")
        stream.dictionary["BBox"] = pdfdoc.PDFArray([0, 0, round(width, 2), round(height, 2)])
        stream.dictionary["Resources"] = _dictionary(resources)
        return self._document.Reference(stream)


class _Choice(NamedTuple):
    """A field with several boxes: what it says, a reference to it, and its boxes."""

    field: Any
    reference: Any
    boxes: list[Any]


def _widget(spot: Spot, page: Any) -> dict[str, Any]:
    """What every spot has: where it is, and what it says of itself."""
    corners = (spot.left, spot.foot, spot.left + spot.width, spot.foot + spot.height)
    return {
        "Type": pdfdoc.PDFName("Annot"),
        "Subtype": pdfdoc.PDFName("Widget"),
        "P": page,
        "Rect": pdfdoc.PDFArray([round(one, 2) for one in corners]),
        "F": _HIDDEN if spot.ask is Ask.MARK else _PRINTED,
        "TU": pdfdoc.PDFString(plain(spot.tip)),
    }


def _asked(spot: Spot) -> dict[str, Any]:
    """What a field asks for."""
    if spot.ask is Ask.LIST:
        options = (("", ""), *spot.options)
        pairs = [
            pdfdoc.PDFArray([pdfdoc.PDFString(value), pdfdoc.PDFString(plain(words))])
            for value, words in options
        ]
        return {"FT": pdfdoc.PDFName("Ch"), "Ff": _DROP_DOWN, "Opt": pdfdoc.PDFArray(pairs)}
    made: dict[str, Any] = {"FT": pdfdoc.PDFName("Tx")}
    if spot.ask is Ask.LINES:
        made["Ff"] = _SEVERAL_LINES
    if spot.ask is Ask.MARK:
        made |= {"Ff": _READ_ONLY, "V": pdfdoc.PDFString(plain(spot.value))}
    return made


def tab_by_rows(page: Any) -> None:
    """Let the tab key go along the rows of a page, from the top; the library knows no such key."""
    page.__NoDefault__ = [*page.__NoDefault__, "Tabs"]
    page.Tabs = pdfdoc.PDFName("R")


def _typed_look() -> Any:
    return pdfdoc.PDFString(f"/{FONT_NAME} {TYPED_SIZE:g} Tf {_INK} rg")


def _dictionary(parts: dict[str, Any]) -> Any:
    return pdfdoc.PDFDictionary(parts)
