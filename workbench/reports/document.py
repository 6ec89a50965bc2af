"""What a sheet says, before anybody decides how it is set: a frozen tree of blocks.

The builders of the sheets make a `Document`, the writers (`pdf`) set it, and the tests read it as
plain text with `document_text.as_text`. Nothing here knows a page, a font or a file, and nothing
here is markup: every text is plain and printed as it stands.

A table says what its columns hold (text, figures, a grade mark, a blank to write in), so that a
writer can align them; a photo names the boat and the file, and whoever writes the sheet fetches it.
"""

from __future__ import annotations

from decimal import Decimal
from enum import Enum

from workbench.domain.inspection import PhotoMark
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade


class Kind(Enum):
    """What a table column holds."""

    TEXT = "text"
    FIGURE = "figure"
    MARK = "mark"
    BLANK = "blank"
    TICK = "tick"


class Tone(Enum):
    """How loudly a paragraph speaks."""

    BODY = "body"
    QUIET = "quiet"
    SMALL = "small"


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """The head of a sheet: a line above, the name, a line below, and the accent rule."""

    above: str
    title: str
    below: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; `level` 1 or 2. It stands in the outline unless `outline` is off."""

    text: str
    level: int = 1
    outline: bool = True


@dataclass(frozen=True, slots=True)
class Prose:
    """A paragraph, or several where the text has line breaks.

    Attributes
    ----------
    lead
        Words set bold before the text.
    id
        The id by which the buyer can put other words in its place; empty where they cannot.
    """

    text: str
    tone: Tone = Tone.BODY
    lead: str = ""
    id: str = ""


@dataclass(frozen=True, slots=True)
class Points:
    """A list of short points, numbered or not."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, slots=True)
class KeyFigure:
    """A figure that is to be seen first, with its label and a few words beside it."""

    label: str
    figure: str
    beside: str = ""


@dataclass(frozen=True, slots=True)
class KeyFigures:
    """Two to four key figures side by side."""

    items: tuple[KeyFigure, ...]


@dataclass(frozen=True, slots=True)
class RangeBar:
    """A range drawn on a scale from nothing to `most`: low to high as a band, likely as a tick."""

    low: Decimal
    likely: Decimal
    high: Decimal
    most: Decimal


@dataclass(frozen=True, slots=True)
class Column:
    """A table column: its heading, what it holds, and its share of the width in twelfths."""

    title: str
    kind: Kind = Kind.TEXT
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: a text, a smaller one below it, a grade mark, a range."""

    text: str = ""
    small: str = ""
    bold: bool = False
    grade: Grade | None = None
    bar: RangeBar | None = None


class Weight(Enum):
    """How a table row is set."""

    PLAIN = "plain"
    TOTAL = "total"
    GROUP = "group"


@dataclass(frozen=True, slots=True)
class Row:
    """One table row, a cell for each column; a group row has only its first text."""

    cells: tuple[Cell, ...]
    weight: Weight = Weight.PLAIN


@dataclass(frozen=True, slots=True)
class Table:
    """A table whose head is repeated on every page it reaches.

    Attributes
    ----------
    dense
        Less space between rows, for many short ones.
    row_height_mm
        Least height of a row, for tables to be written in by hand; 0 for as the text needs.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    dense: bool = False
    row_height_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo of a boat: the file below her photos, its caption, and the rings drawn on it."""

    boat: str
    file: str
    caption: str = ""
    marks: tuple[PhotoMark, ...] = ()


@dataclass(frozen=True, slots=True)
class Photos:
    """Photos side by side, at most `across` to a row."""

    items: tuple[Photo, ...]
    across: int = 3


@dataclass(frozen=True, slots=True)
class Fact:
    """A label and what belongs to it, and a range drawn below that."""

    label: str
    text: str
    bar: RangeBar | None = None


@dataclass(frozen=True, slots=True)
class Facts:
    """Labels with what belongs to them, one below the other."""

    items: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding: its mark and title, what was found and what it takes, its photos.

    Attributes
    ----------
    figure
        What stands at the right of the title, such as the sum that is claimed.
    drawing
        A drawing of the program that shows the place; empty for none.
    """

    title: str
    grade: Grade | None
    facts: tuple[Fact, ...]
    figure: str = ""
    photos: tuple[Photo, ...] = ()
    drawing: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution in a ruled box."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Cautions:
    """Several cautions in one ruled box."""

    items: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A line drawing that came with the program, by its name."""

    name: str
    caption: str = ""
    width_mm: float = 72.0


@dataclass(frozen=True, slots=True)
class CostBar:
    """One boat's costs in the fixed order of every bar; None for a price that is not known."""

    label: str
    asking: Decimal | None
    fees: Decimal
    before_launching: Decimal
    first_season: Decimal
    allowance: Decimal
    p50: Decimal
    p80: Decimal


@dataclass(frozen=True, slots=True)
class CostBars:
    """Stacked cost bars with whiskers from P50 to P80 and the budget as a line."""

    bars: tuple[CostBar, ...]
    currency: str
    budget: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    """The chance that a cost stays at or below each amount: (amount, chance), rising."""

    label: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Curves:
    """Chance curves of several boats on one pair of axes."""

    curves: tuple[Curve, ...]
    currency: str
    budget: Decimal | None = None


class FieldKind(Enum):
    """How an answer is written: on a line or two, by a box to tick, or why nothing was seen.

    A mark is not written at all: it says to whoever reads the form again what it is.
    """

    LINE = "line"
    LINES = "lines"
    CHOICE = "choice"
    SIGHT = "sight"
    WHY = "why"
    MARK = "mark"


@dataclass(frozen=True, slots=True)
class Field:
    """One place to write in: a label, a unit, the limits or choices as help.

    Attributes
    ----------
    id
        The name of the field in a form that is filled in on a screen.
    tip
        What such a field says of itself; empty on paper.
    values
        What its choices are called in the file, each beside its words; what a mark says.
    """

    id: str
    label: str
    kind: FieldKind = FieldKind.LINE
    unit: str = ""
    choices: tuple[str, ...] = ()
    help: str = ""
    tip: str = ""
    values: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Form:
    """One thing to look at and its fields, kept together on a page.

    Attributes
    ----------
    beside
        What stands at the right of the title, such as the minutes.
    hazards
        Short words for the dangers at this very place.
    """

    title: str
    beside: str
    steps: tuple[str, ...]
    fields: tuple[Field, ...]
    hazards: tuple[str, ...] = ()
    drawing: str = ""
    hint: str = ""


@dataclass(frozen=True, slots=True)
class TwoColumns:
    """Two runs of blocks side by side, short enough for one page."""

    left: tuple[Block, ...]
    right: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that stay on one page where they fit on one."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows begins a new page."""


Block = (
    TitleBlock
    | Heading
    | Prose
    | Points
    | KeyFigures
    | Table
    | Photos
    | Facts
    | Finding
    | Caution
    | Cautions
    | Drawing
    | CostBars
    | Curves
    | Form
    | TwoColumns
    | Together
    | PageBreak
)


@dataclass(frozen=True, slots=True)
class Document:
    """A whole sheet.

    Attributes
    ----------
    title
        In the file's metadata and on a reader's window.
    foot
        At the left of every page's foot: boat, sheet and date.
    """

    title: str
    subject: str
    foot: str
    blocks: tuple[Block, ...]
    landscape: bool = False
