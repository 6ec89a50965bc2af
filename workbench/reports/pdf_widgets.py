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
_TYPED_LOOK = f"(/{FONT_NAME} {TYPED_SIZE:g} Tf {_INK} rg)"
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
        fonts = Entries({"Font": Entries({FONT_NAME: typed_font(document)})})
        self._resources = document.Reference(fonts)
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
            choice.field.entries["Kids"] = pdfdoc.PDFArray(choice.boxes)
        fields = pdfdoc.PDFArray(self._fields)
        form = {"Fields": fields, "DR": self._resources, "DA": _TYPED_LOOK}
        return self._document.Reference(Entries(form))

    def _field(self, spot: Spot, page: Any) -> Any:
        # Each has a look of its own, because programs write what is typed into it.
        look = Picture("/Tx BMC\nEMC\n", spot.width, spot.height, self._resources)
        made = {
            **_widget(spot, page),
            "T": pdfdoc.PDFString(spot.name),
            "DA": _TYPED_LOOK,
            "AP": Entries({"N": self._document.Reference(look)}),
            **_asked(spot),
        }
        self._fields.append(self._document.Reference(Entries(made)))
        return self._fields[-1]

    def _box(self, spot: Spot, page: Any) -> Any:
        """One box of a choice, below the field that all its boxes belong to."""
        choice = self._choices.get(spot.name) or self._new_choice(spot)
        ticked, empty = self._tick(spot.height)
        made = {
            **_widget(spot, page),
            "Parent": choice.reference,
            "AS": "/Off",
            "AP": Entries({"N": Entries({spot.value: ticked, "Off": empty})}),
            "MK": f"<< /CA ({_CHECK_MARK}) >>",
        }
        choice.boxes.append(self._document.Reference(Entries(made)))
        return choice.boxes[-1]

    def _new_choice(self, spot: Spot) -> _Choice:
        field = Entries(
            {
                "FT": "/Btn",
                "T": pdfdoc.PDFString(spot.name),
                "TU": pdfdoc.PDFString(plain(spot.group_tip)),
                "V": "/Off",
            }
        )
        made = self._choices[spot.name] = _Choice(field, self._document.Reference(field), [])
        self._fields.append(made.reference)
        return made

    def _tick(self, side: float) -> tuple[Any, Any]:
        """The looks of a ticked and of an empty box, the same for all of one size."""
        if side not in self._ticks:
            drawn = _TICK.format(*(round(side * share, 2) for share in _TICK_SHARES), ink=_INK)
            pair = (Picture(drawn, side, side), Picture("q\nQ\n", side, side))
            self._ticks[side] = (
                self._document.Reference(pair[0]),
                self._document.Reference(pair[1]),
            )
        return self._ticks[side]


class _Choice(NamedTuple):
    """A field with several boxes: what it says, a reference to it, and its boxes."""

    field: Entries
    reference: Any
    boxes: list[Any]


class Entries(pdfdoc.PDFObject):
    """A dictionary of the file. A string stands there as it is written, a name with its slash."""

    def __init__(self, entries: dict[str, Any]) -> None:
        self.entries = entries

    def format(self, document: Any) -> bytes:
        """As it is written, in the order in which it was given."""
        told = (
            f"/{key} ".encode("latin-1") + pdfdoc.format(value, document)
            for key, value in self.entries.items()
        )
        return b"<< " + b" ".join(told) + b" >>"


class Picture(pdfdoc.PDFObject):
    """What a field looks like: marks in a box of some size [pt]."""

    __RefOnly__ = 1  # a stream is never written inside another object

    def __init__(self, drawn: str, width: float, height: float, resources: Any = "<< >>") -> None:
        self.drawn = drawn.encode("ascii")
        self.size, self.resources = (width, height), resources

    def format(self, document: Any) -> bytes:
        """As it is written."""
        head = Entries(
            {
                "Type": "/XObject",
                "Subtype": "/Form",
                "BBox": f"[0 0 {self.size[0]:.2f} {self.size[1]:.2f}]",
                "Resources": self.resources,
                "Length": len(self.drawn),
            }
        )
        return head.format(document) + b"\nstream\n" + self.drawn + b"endstream\n"


def _widget(spot: Spot, page: Any) -> dict[str, Any]:
    """What every spot has: where it is, and what it says of itself."""
    corners = (spot.left, spot.foot, spot.left + spot.width, spot.foot + spot.height)
    return {
        "Type": "/Annot",
        "Subtype": "/Widget",
        "P": page,
        "Rect": f"[{' '.join(f'{one:.2f}' for one in corners)}]",
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
        return {"FT": "/Ch", "Ff": _DROP_DOWN, "Opt": pdfdoc.PDFArray(pairs)}
    made: dict[str, Any] = {"FT": "/Tx"}
    if spot.ask is Ask.LINES:
        made["Ff"] = _SEVERAL_LINES
    if spot.ask is Ask.MARK:
        made |= {"Ff": _READ_ONLY, "V": pdfdoc.PDFString(plain(spot.value))}
    return made


def tab_by_rows(page: Any) -> None:
    """Let the tab key go along the rows of a page, from the top; the library knows no such key."""
    page.__NoDefault__ = [*page.__NoDefault__, "Tabs"]
    page.Tabs = pdfdoc.PDFName("R")
