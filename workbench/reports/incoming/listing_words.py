"""Which words of an advertisement mean what: the table in `resources/listing/words.toml`, checked.

A phrase is one or more whole words, compared without regard to capitals; between its words may
stand a space, a hyphen or the dot of an abbreviation. `spots_in` finds every phrase of a text in
one pass over its words, the longest where they overlap, so that “tiller pilot” is not taken for a
tiller. The table is data: a new word needs no code.
"""

from __future__ import annotations

import functools
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from workbench.domain.problem import HardstandError, Problem
from workbench.domain.quantity import UNITS
from workbench.domain.record import dataclass
from workbench.paths import resource

FILE = "listing/words.toml"
UNCERTAIN_UNITS = ("ton", "gal")
"""Units of which there are several; a figure in one of them is shown and not taken."""
METRIC_HORSEPOWER = "PS"
_SIZE_ROLES = ("names", "first", "behind")
_TEXT_ROLES = ("labels", "openings")
_LISTS = ("about", "roughly", "not", "engine", "not_her", "not_price", "other")
_TEXTS = ("name", "design", "builder", "lies_at", "seller", "contact", "hull_number")
_WORD = re.compile(r"[^\W_]+")
_GAPS = frozenset((" ", "  ", "-", "‐", "–", "/", ".", ". ", "'", "’", " - ", "^"))


class Meaning(NamedTuple):
    """What a phrase is: its part (`size`, `text`, `fact` ...), whose it is, and how it stands."""

    part: str
    key: str
    role: str = ""


class Word(NamedTuple):
    """One word of a text, folded, and where it stands."""

    said: str
    start: int
    end: int


class Spot(NamedTuple):
    """A phrase found in a text."""

    start: int
    end: int
    meanings: tuple[Meaning, ...]

    def keys(self, part: str, *roles: str) -> tuple[str, ...]:
        """Whose the phrase is in one part, in any of some roles."""
        found = (one for one in self.meanings if one.part == part)
        return tuple(dict.fromkeys(one.key for one in found if not roles or one.role in roles))


@dataclass(frozen=True, slots=True)
class FactWords:
    """What one group of words says of a fit-out fact: one choice, or several that stay open."""

    fact: str
    among: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ListingWords:
    """The table, ready to be looked up.

    Attributes
    ----------
    phrases
        By the folded words of each phrase: what it means.
    facts
        By the key that a `fact` meaning has.
    rows
        Sizes in the order in which they stand in a row, by the key of a `row` meaning.
    contexts
        Dimensions that are only read in a line that has a word of some list.
    loose
        Dimensions whose figure is known by its unit alone in such a line.
    units
        By each spelling, folded: the unit.
    numbers
        Numbers written as words.
    """

    phrases: Mapping[tuple[str, ...], tuple[Meaning, ...]]
    facts: Mapping[str, FactWords]
    rows: Mapping[str, tuple[str, ...]]
    contexts: Mapping[str, str]
    loose: frozenset[str]
    units: Mapping[str, str]
    numbers: Mapping[str, int]
    longest: Mapping[str, int]

    def spots_in(self, words: Sequence[Word], text: str) -> tuple[Spot, ...]:
        """Every phrase of a text, the longest where several begin, none inside another."""
        found: list[Spot] = []
        place = 0
        while place < len(words):
            size = self._size_at(words, place, text)
            if size:
                said = tuple(word.said for word in words[place : place + size])
                end = words[place + size - 1].end
                found.append(Spot(words[place].start, end, self.phrases[said]))
            place += size or 1
        return tuple(found)

    def _size_at(self, words: Sequence[Word], place: int, text: str) -> int:
        """How many words the longest phrase has that begins with a word; 0 for none."""
        most = min(self.longest.get(words[place].said, 0), len(words) - place)
        said: list[str] = []
        best = 0
        for size in range(1, most + 1):
            word = words[place + size - 1]
            if size > 1 and text[words[place + size - 2].end : word.start] not in _GAPS:
                break
            said.append(word.said)
            if tuple(said) in self.phrases:
                best = size
        return best


def words_in(text: str) -> tuple[Word, ...]:
    """The words of a text: runs of letters and digits."""
    return tuple(
        Word(found[0].casefold(), found.start(), found.end()) for found in _WORD.finditer(text)
    )


def phrase_of(text: str) -> tuple[str, ...]:
    """The folded words of a phrase."""
    return tuple(word.said for word in words_in(text))


@functools.cache
def listing_words() -> ListingWords:
    """The shipped table; read once.

    Raises
    ------
    HardstandError
        When the file has faults, which means that the installation is damaged.
    """
    return read_words(resource(FILE).read_text(encoding="utf-8"))


def read_words(text: str) -> ListingWords:
    """The table written in a text.

    Raises
    ------
    HardstandError
        With every fault that was found.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise HardstandError((Problem(FILE, f"It is no TOML: {error}."),)) from error
    reader = _Reader()
    made = reader.read(data)
    if reader.problems:
        raise HardstandError(tuple(reader.problems))
    return made


class _Reader:
    """Takes the table apart and notes what is wrong with it."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self._phrases: dict[tuple[str, ...], list[Meaning]] = {}
        self._facts: dict[str, FactWords] = {}
        self._rows: dict[str, tuple[str, ...]] = {}
        self._contexts: dict[str, str] = {}
        self._loose: set[str] = set()

    def read(self, data: Mapping[str, object]) -> ListingWords:
        known = {"format", "sizes", "row", "texts", "year", "price", "words", "numbers", "units"}
        self._only(data, {*known, "fact"}, "the table")
        if data.get("format") != 1:
            self._fault("format", "It is not of format 1.")
        lists = _table(data.get("words"))
        self._only(lists, set(_LISTS), "words")
        for name in _LISTS:
            self._add(Meaning("list", name), lists.get(name), f"words.{name}")
        self._read_sizes(_table(data.get("sizes")))
        for number, row in enumerate(_tables(data.get("row"))):
            self._rows[str(number)] = self._texts(row.get("sizes"), f"row {number + 1}")
            self._add(Meaning("row", str(number)), row.get("names"), f"row {number + 1}")
        for key, entry in _table(data.get("texts")).items():
            if key not in _TEXTS:
                self._fault(f"texts.{key}", "No boat has such a particular.")
            self._roles("text", key, _table(entry), _TEXT_ROLES)
        self._roles("year", "year", _table(data.get("year")), _SIZE_ROLES)
        price_roles = ("names", "earlier", "later", "reduced")
        self._roles("price", "price", _table(data.get("price")), price_roles)
        self._read_facts(_tables(data.get("fact")))
        return self._made(data)

    def _made(self, data: Mapping[str, object]) -> ListingWords:
        longest: dict[str, int] = {}
        for phrase in self._phrases:
            longest[phrase[0]] = max(longest.get(phrase[0], 0), len(phrase))
        return ListingWords(
            {phrase: tuple(meanings) for phrase, meanings in self._phrases.items()},
            self._facts,
            self._rows,
            self._contexts,
            frozenset(self._loose),
            self._read_units(_table(data.get("units"))),
            self._read_numbers(_table(data.get("numbers"))),
            longest,
        )

    def _read_sizes(self, sizes: Mapping[str, object]) -> None:
        for key, entry in sizes.items():
            table = _table(entry)
            self._roles("size", key, table, _SIZE_ROLES, ("context", "loose"))
            context = table.get("context")
            if context is not None and context not in _LISTS:
                self._fault(f"sizes.{key}", f"There is no list “{context}”.")
            if isinstance(context, str):
                self._contexts[key] = context
            if table.get("loose") is True:
                self._loose.add(key)

    def _read_facts(self, facts: Iterable[Mapping[str, object]]) -> None:
        for number, entry in enumerate(facts):
            where = f"fact {number + 1}"
            self._only(entry, {"fact", "choice", "among", "words"}, where)
            fact, choice = entry.get("fact"), entry.get("choice")
            if not isinstance(fact, str) or ("among" in entry) == ("choice" in entry):
                self._fault(where, "It must name a fact, and one choice or several among which.")
                continue
            among = (choice,) if isinstance(choice, str) else self._texts(entry.get("among"), where)
            self._facts[str(number)] = FactWords(fact, among)
            self._add(Meaning("fact", str(number)), entry.get("words"), where)

    def _roles(
        self,
        part: str,
        key: str,
        table: Mapping[str, object],
        roles: Sequence[str],
        others: Sequence[str] = (),
    ) -> None:
        self._only(table, {*roles, *others}, key)
        for role in roles:
            if role in table:
                self._add(Meaning(part, key, role), table[role], f"{key}.{role}")

    def _add(self, meaning: Meaning, phrases: object, where: str) -> None:
        for text in self._texts(phrases, where):
            phrase = phrase_of(text)
            if not phrase:
                self._fault(where, f"“{text}” holds no word.")
                continue
            meanings = self._phrases.setdefault(phrase, [])
            if meaning not in meanings:
                meanings.append(meaning)
            self._settle(phrase, where)

    def _settle(self, phrase: tuple[str, ...], where: str) -> None:
        """A phrase can be one size only, and say one thing of a fact."""
        sizes = {one.key for one in self._phrases[phrase] if one.part == "size"}
        facts = [self._facts[one.key].fact for one in self._phrases[phrase] if one.part == "fact"]
        if len(sizes) > 1 or len(facts) != len(set(facts)):
            self._fault(where, f"“{' '.join(phrase)}” stands for two things.")

    def _read_units(self, table: Mapping[str, object]) -> Mapping[str, str]:
        spelled: dict[str, str] = {}
        for unit, spellings in table.items():
            if unit not in UNITS and unit not in (*UNCERTAIN_UNITS, METRIC_HORSEPOWER):
                self._fault(f"units.{unit}", "There is no such unit.")
            for text in self._texts(spellings, f"units.{unit}"):
                if spelled.setdefault(text.casefold(), unit) != unit:
                    self._fault(f"units.{unit}", f"“{text}” is a spelling of two units.")
        return spelled

    def _read_numbers(self, table: Mapping[str, object]) -> Mapping[str, int]:
        read = {word.casefold(): one for word, one in table.items() if isinstance(one, int)}
        if len(read) != len(table):
            self._fault("numbers", "Each word must have a whole number.")
        return read

    def _texts(self, value: object, where: str) -> tuple[str, ...]:
        if isinstance(value, list) and value and all(isinstance(one, str) for one in value):
            return tuple(value)
        self._fault(where, "A list of texts must stand here.")
        return ()

    def _only(self, table: Mapping[str, object], known: set[str], where: str) -> None:
        for key in table:
            if key not in known:
                self._fault(where, f"“{key}” means nothing here.")

    def _fault(self, where: str, message: str) -> None:
        self.problems.append(Problem(f"{FILE}: {where}", message))


def _table(value: object) -> Mapping[str, object]:
    return value if isinstance(value, dict) else {}


def _tables(value: object) -> Iterator[Mapping[str, object]]:
    return (one for one in value if isinstance(one, dict)) if isinstance(value, list) else iter(())
