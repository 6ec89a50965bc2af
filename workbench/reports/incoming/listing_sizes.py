"""Lengths, weights, areas and counts in an advertisement: each by its word, its figure and unit."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal

from workbench.catalogue.model import Dimension
from workbench.domain.quantity import UNITS, Quantity
from workbench.reports.words import measured

from .listing_measures import Measure, Sized, makes_sense, quantities
from .listing_page import Finding, Note, Page, Remark, Sure
from .listing_words import METRIC_HORSEPOWER, Spot

AGREE_WITHIN = 0.02
_NEXT = re.compile(
    r"[ \t]{0,3}(/|\(|\[|=|or\b|oder\b|bzw\.?|-|–|—|to\b|bis\b)?[ \t]{0,3}", re.IGNORECASE
)
_ROW = re.compile(r"[ \t]{0,3}[x×*][ \t]{0,3}", re.IGNORECASE)
_RANGE = ("-", "–", "—", "to", "bis", "/")
_BARE_KINDS = ("count", "time")


class Sizes:
    """Reads the sizes of one page."""

    def __init__(
        self, page: Page, dimensions: Mapping[str, Dimension], *, imperial: bool = False
    ) -> None:
        self._page, self._dimensions, self._imperial = page, dimensions, imperial
        self._claimed: set[int] = set()

    def findings(self) -> Iterator[Finding]:
        """Every size, in the order of the text."""
        for spot in self._page.spots:
            for row in spot.keys("row"):
                yield from self._row(spot, self._page.table.rows[row])
            for key in spot.keys("size"):
                dimension = self._dimensions.get(key)
                found = self._found(spot, dimension) if dimension is not None else None
                if found is not None:
                    yield found
        yield from self._loose()

    def _found(self, spot: Spot, dimension: Dimension) -> Finding | None:
        key = dimension.id
        names = bool(spot.keys("size", "names")) or (
            bool(spot.keys("size", "first")) and self._page.is_first(spot)
        )
        context = self._page.table.contexts.get(key, "")
        if context and not spot.keys("size", "names") and not self._in_line(context, spot):
            return None
        before = self._before(spot, dimension)
        place, marked, roughly = self._page.after(spot.end)
        chain = self._chain(place, dimension, marked=marked) if names else ()
        if before is not None and (not chain or not marked):
            self._claimed.add(before.start)
            return self._made(dimension, (before,), before.start, spot.end, roughly=False)
        if chain:
            self._claimed.update(one.start for one in chain)
            return self._made(dimension, chain, spot.start, chain[-1].end, roughly=roughly)
        return self._in_words(dimension, spot, place, names=names)

    def _in_line(self, name: str, spot: Spot) -> bool:
        line = self._page.start_of("line", spot.start), self._page.end_of("line", spot.end)
        return self._page.said_between(name, *line) is not None

    def _before(self, spot: Spot, dimension: Dimension) -> Measure | None:
        """The figure right before a word, unless another word has it."""
        one = self._page.measures.ending(self._page.text, spot.start)
        if one is None or one.start in self._claimed or not self._fits(one, dimension, bare=True):
            return None
        added = self._page.text[max(0, one.start - 2) : one.start].rstrip()[-1:] in ("+", "/")
        return None if added else one

    def _fits(self, one: Measure, dimension: Dimension, *, bare: bool) -> bool:
        kind = UNITS[dimension.unit][0]
        if not one.unit:
            return bare and kind in _BARE_KINDS
        return one.kind == kind

    def _chain(self, place: int, dimension: Dimension, *, marked: bool) -> tuple[Measure, ...]:
        """The figure at a place and those that say the same, or the other end, behind it."""
        first = self._page.measures.at(place)
        if first is None or first.start in self._claimed:
            return ()
        kind = UNITS[dimension.unit][0]
        if first.unit and first.kind != kind:
            return ()
        made = [first]
        while len(made) < 3:
            gap = _NEXT.match(self._page.text, made[-1].end)
            other = self._page.measures.at(gap.end()) if gap and gap[1] else None
            if other is None or not other.unit or other.kind != kind or not gap:
                break
            if not made[0].unit and gap[1].lower() in _RANGE and len(made) == 1:
                made[0] = made[0].with_unit(other.unit)
            made.append(other)
        bare = marked or kind in _BARE_KINDS
        return tuple(made) if made[0].unit or bare else ()

    def _in_words(
        self, dimension: Dimension, spot: Spot, place: int, *, names: bool
    ) -> Finding | None:
        """A count that is written as a word: six berths, sleeps four."""
        if UNITS[dimension.unit][0] != "count":
            return None
        numbers = self._page.table.numbers
        behind = re.compile(r"[^\W\d_]{1,12}").match(self._page.text, place) if names else None
        before = re.compile(r"([^\W\d_]{1,12})[ -]$").search(
            self._page.text[max(0, spot.start - 14) : spot.start]
        )
        for word, start, end in (
            (before[1] if before else "", spot.start - len(before[0]) if before else 0, spot.end),
            (behind[0] if behind else "", spot.start, behind.end() if behind else 0),
        ):
            number = numbers.get(word.casefold())
            if number is not None:
                quantity = Quantity(Decimal(number), dimension.unit)
                return Finding(f"size/{dimension.id}", quantity, start, end)
        return None

    def _row(self, spot: Spot, keys: tuple[str, ...]) -> Iterator[Finding]:
        """9,60 x 3,15 x 1,65 m: the last unit holds for all."""
        place, _, _ = self._page.after(spot.end)
        found: list[Measure] = []
        while len(found) < len(keys):
            one = self._page.measures.at(place)
            if one is None:
                return
            found.append(one)
            gap = _ROW.match(self._page.text, one.end)
            place = gap.end() if gap else -1
        unit = found[-1].unit
        for key, one in zip(keys, found, strict=True):
            dimension = self._dimensions.get(key)
            if dimension is None or not (one.unit or unit):
                continue
            self._claimed.add(one.start)
            whole = one if one.unit else one.with_unit(unit)
            yield self._made(dimension, (whole,), spot.start, found[-1].end, roughly=False)

    def _loose(self) -> Iterator[Finding]:
        """Figures known by their unit alone, such as the power of an engine."""
        for key in self._page.table.loose & self._dimensions.keys():
            dimension = self._dimensions[key]
            for one in self._page.measures.all:
                spot = Spot(one.start, one.end, ())
                context = self._page.table.contexts.get(key, "")
                if (
                    one.unit
                    and one.start not in self._claimed
                    and one.kind == UNITS[dimension.unit][0]
                    and self._in_line(context, spot)
                    and not self._is_said_before("other", one)
                ):
                    made = self._made(dimension, (one,), one.start, one.end, roughly=False)
                    note = (*made.notes, Note(Remark.NO_WORD))
                    sure = Sure.LIKELY if made.sure is Sure.SURE else made.sure
                    yield dataclasses.replace(made, sure=sure, notes=note)

    def _is_said_before(self, name: str, one: Measure) -> bool:
        begin = self._page.start_of("clause", one.start)
        return self._page.said_between(name, begin, one.start) is not None

    # --- The value ---

    def _made(
        self,
        dimension: Dimension,
        chain: tuple[Measure, ...],
        start: int,
        end: int,
        *,
        roughly: bool,
    ) -> Finding:
        blank = Finding(f"size/{dimension.id}", None, start, end, Sure.REFUSED)
        vague = next((one for one in chain if one.is_uncertain), None)
        certain = tuple(one for one in chain if not one.is_uncertain)
        if not certain:
            unit = vague.unit if vague else ""
            return dataclasses.replace(blank, notes=(_note(Remark.WHICH_UNIT, unit=unit),))
        notes: list[Note] = []
        if not certain[0].unit and UNITS[dimension.unit][0] not in _BARE_KINDS:
            certain = (self._with_own_unit(certain[0], dimension), *certain[1:])
            notes.append(_note(Remark.NO_UNIT, unit=certain[0].unit))
        read = [found[0] for found in (quantities(one, dimension) for one in certain) if found]
        if not read:
            return dataclasses.replace(blank, notes=tuple(notes))
        value, sure = self._settled(dimension, read, notes)
        if not makes_sense(value, dimension):
            low, high, unit = str(dimension.low), str(dimension.high), dimension.unit
            note = _note(
                Remark.TOO_BIG_OR_SMALL, value=measured(value), low=low, high=high, unit=unit
            )
            return dataclasses.replace(blank, notes=(note,))
        if any(one.remark is Remark.NO_UNIT for one in notes):
            sure = Sure.DOUBTFUL
        if roughly:
            notes.append(Note(Remark.ROUGHLY))
            sure = Sure.LIKELY if sure is Sure.SURE else sure
        if any(one.unit == METRIC_HORSEPOWER for one in certain) and value.unit == "kW":
            notes.append(Note(Remark.METRIC_POWER))
        text = self._page.text
        if "(" in text[start:end] and text[end : end + 1] == ")":
            end += 1
        return Finding(blank.field, value, start, end, sure, tuple(notes))

    def _with_own_unit(self, one: Measure, dimension: Dimension) -> Measure:
        bracket = re.compile(r"[(\[]([^)\]\n]{1,12})[)\]]").search(
            self._page.text[max(0, one.start - 24) : one.start]
        )
        unit = self._page.table.units.get(bracket[1].casefold(), "") if bracket else ""
        if unit and one.with_unit(unit).kind == UNITS[dimension.unit][0]:
            return one.with_unit(unit)
        return one.with_unit(dimension.imperial_unit if self._imperial else dimension.unit)

    def _settled(
        self, dimension: Dimension, read: list[Sized], notes: list[Note]
    ) -> tuple[Quantity, Sure]:
        """The value of several: the one written most finely, if they agree."""
        best = min(read, key=lambda one: one.step)
        values = [one.quantity for one in read]
        sizes = [float(one.exact(dimension.unit)) for one in values]
        low, high = min(sizes), max(sizes)
        if high - low <= AGREE_WITHIN * high:
            return best.quantity, Sure.SURE
        one, other = (
            measured(values[0]),
            measured(values[sizes.index(low if sizes[0] == high else high)]),
        )
        alike = len({one.unit for one in values}) == 1
        if alike and dimension.id == "draft":
            notes.append(Note(Remark.KEEL_DOWN))
            return values[sizes.index(high)], Sure.LIKELY
        remark = Remark.TWO_VALUES if alike else Remark.UNITS_DISAGREE
        notes.append(_note(remark, one=one, other=other))
        return best.quantity, Sure.DOUBTFUL


def _note(remark: Remark, **values: str) -> Note:
    return Note(remark, tuple(values.items()))
