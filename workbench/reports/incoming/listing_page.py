"""The text of an advertisement, taken apart once: words, phrases, figures, clauses, lines."""

from __future__ import annotations

import bisect
import re
import unicodedata
from enum import Enum

from workbench.domain.money import Money
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass

from .listing_measures import measures_in
from .listing_words import ListingWords, Spot, words_in
from .text_values import clean

LONGEST_READ = 100_000
"""Characters of an advertisement that are looked at; a long one has a few thousand."""
_CLAUSES = re.compile(r"[\n\t;|•·*()]|,(?!\d)|[.!?](?=\s)|\s[-–—]\s")
_SENTENCES = re.compile(r"[\n]|[.!?](?=\s)")
_LINES = re.compile(r"\n")
_GAP = re.compile(
    r"[ \t]{0,8}(?:[(\[](?:m2|m²|ft2|[^)\]\n\d]{1,24})[)\]])?[ \t]{0,8}\.{0,60}[ \t]{0,8}[:=|]?"
    r"[ \t]{0,12}[-–—]?[ \t]{0,4}[(\[]?"
)


class Sure(Enum):
    """How sure it is that a value was read as it was meant."""

    SURE = "stands beside its own word"
    LIKELY = "probably meant"
    DOUBTFUL = "look at it"
    REFUSED = "not taken"


class Remark(Enum):
    """What is to be said of a finding; the parts in braces are filled with its values."""

    TOO_BIG_OR_SMALL = "{value} is outside {low} to {high} {unit}. Look at the unit."
    UNITS_DISAGREE = "{one} and {other} are more than 2 % apart. One of them is wrong."
    TWO_VALUES = "Two values stand there: {one} and {other}. Look which is meant."
    KEEL_DOWN = "Two values stand there; the larger is taken, with the keel down."
    NO_UNIT = "No unit stands beside it; it is taken as {unit}. Look."
    WHICH_UNIT = "“{unit}” can be one of several units. Write which is meant."
    SAID_OTHERWISE = "The text says something else too: {other}."
    OPEN = "The words leave it open. Choose."
    OTHER_THING = "Another thing is named before it, so it may not be meant of her."
    ROUGHLY = "The text says “about”."
    NO_CURRENCY = "No currency stands beside it; it is taken as {currency}."
    SHARED_SIGN = "“{sign}” is used for several currencies; it is taken as {currency}."
    NO_WORD = "No word beside it says that it is this."
    EARLIER = "Asked before; it goes into the history of her price."
    NO_YEAR = "{year} cannot be the year she was built."
    HULL_NUMBER = "It is not written as a hull number of twelve characters."
    METRIC_POWER = "Metric horsepower, turned into kilowatts."


@dataclass(frozen=True, slots=True)
class Note:
    """A remark with what fills it."""

    remark: Remark
    values: tuple[tuple[str, str], ...] = ()

    def sentence(self) -> str:
        """The remark in English."""
        return self.remark.value.format(**dict(self.values))


@dataclass(frozen=True, slots=True)
class Finding:
    """A particular that the text gives.

    Attributes
    ----------
    field
        `name`, `year`, `price`, `size/loa`, `fact/keel` and so on, as the headings of a table.
    value
        None where the words leave it open or it is refused.
    start, end
        The words it was read from, in the text of the listing.
    among
        Choices of a fit-out fact that the words allow, where there are several.
    """

    field: str
    value: str | int | Money | Quantity | None
    start: int
    end: int
    sure: Sure = Sure.SURE
    notes: tuple[Note, ...] = ()
    among: tuple[str, ...] = ()

    @property
    def is_taken(self) -> bool:
        """Whether it is taken unless the person says otherwise."""
        return self.value is not None and self.sure in (Sure.SURE, Sure.LIKELY)


def tidy(text: str) -> str:
    """Text without control signs, with plain spaces, its letters in one form."""
    plain = re.sub("[\u00a0\u2007\u202f\u2009]", " ", clean(text))
    return unicodedata.normalize(
        "NFC", re.sub("[\u200b\u200c\u200d\u2060\u00ad\u202a-\u202e]", "", plain)
    )


class Page:
    """A text with everything that its parts are asked for."""

    def __init__(self, text: str, words: ListingWords) -> None:
        self.text = text[:LONGEST_READ]
        self.table = words
        self.words = words_in(self.text)
        self.spots = words.spots_in(self.words, self.text)
        self.measures = measures_in(self.text, words)
        self._spot_starts = [spot.start for spot in self.spots]
        self._word_starts = [word.start for word in self.words]
        self._ends = {
            kind: [found.end() for found in pattern.finditer(self.text)]
            for kind, pattern in (("clause", _CLAUSES), ("sentence", _SENTENCES), ("line", _LINES))
        }
        self._starts_of_ends = {
            kind: [found.start() for found in pattern.finditer(self.text)]
            for kind, pattern in (("clause", _CLAUSES), ("sentence", _SENTENCES), ("line", _LINES))
        }
        self._about = {phrase for phrase in words.phrases if _is(words, phrase, "about")}

    def start_of(self, kind: str, place: int) -> int:
        """Where the clause, sentence or line begins that a place is in."""
        ends = self._ends[kind]
        at = bisect.bisect_right(ends, place)
        return ends[at - 1] if at else 0

    def end_of(self, kind: str, place: int) -> int:
        """Where the clause, sentence or line ends that a place is in."""
        starts = self._starts_of_ends[kind]
        at = bisect.bisect_left(starts, place)
        return starts[at] if at < len(starts) else len(self.text)

    def said_between(self, name: str, start: int, end: int) -> Spot | None:
        """The first phrase of a list that stands in a part of the text."""
        first = bisect.bisect_left(self._spot_starts, start)
        for spot in self.spots[first : first + 200]:
            if spot.start >= end:
                return None
            if name in spot.keys("list"):
                return spot
        return None

    def spots_between(self, start: int, end: int) -> tuple[Spot, ...]:
        """The phrases that begin in a part of the text; at most two hundred."""
        first = bisect.bisect_left(self._spot_starts, start)
        last = bisect.bisect_left(self._spot_starts, end)
        return self.spots[first : min(last, first + 200)]

    def after(self, place: int) -> tuple[int, bool, bool]:
        """Where the value of a label begins, whether a mark parts them, whether it is 'about'.

        A label that has its line to itself has its value in the next line.
        """
        gap = _GAP.match(self.text, place)
        end = gap.end() if gap else place
        marked = bool(re.search(r"[:=|\t]", self.text[place:end]))
        if self.text[end : end + 1] == "\n":
            # the next line, past spaces
            found = re.compile(r"\n[ \t]{0,8}").match(self.text, end)
            return (found.end() if found else end), True, False
        roughly = False
        for _ in range(3):
            size = self._filler_at(end)
            if not size:
                break
            roughly = roughly or self.said_between("roughly", end, end + size) is not None
            found = re.compile(r"\.?[ \t:]{0,4}").match(self.text, end + size)
            end = found.end() if found else end + size
        return end, marked, roughly

    def _filler_at(self, place: int) -> int:
        """How long the word is that begins there, if it may stand between label and value."""
        at = bisect.bisect_left(self._word_starts, place)
        if at >= len(self.words) or self.words[at].start != place:
            return 0
        best = 0
        for size in (1, 2, 3):
            part = self.words[at : at + size]
            if len(part) == size and tuple(word.said for word in part) in self._about:
                best = part[-1].end - place
        return best

    def is_first(self, spot: Spot) -> bool:
        """Whether nothing of the clause stands before a phrase."""
        begin = self.start_of("clause", spot.start)
        return not self.text[begin : spot.start].strip(" \t-–•*")


def _is(words: ListingWords, phrase: tuple[str, ...], name: str) -> bool:
    return any(one.part == "list" and one.key == name for one in words.phrases[phrase])
