"""Reading catalogue text with the line of everything, so that a fault can be named where it stands.

`read_text` turns one TOML text into a `Table`: the plain data plus the line of each table, exact
for the way catalogue files are written (every `[[check]]` and `[[check.rule]]` on its own line).
A `Table` answers typed values and notes every fault as a `Problem` instead of stopping at the
first. What a person reads is asked for as `words` and answered in the catalogue's language; ids and
whatever else the program matches on is asked for as `text` and is what stands in the file.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal, InvalidOperation
from enum import Enum
from types import MappingProxyType
from typing import TypeVar

from workbench.domain.problem import EntryError, Problem, Severity
from workbench.domain.quantity import Quantity, unit_named
from workbench.domain.span import Ends, Span
from workbench.domain.written_numbers import parse_decimal

E = TypeVar("E", bound=Enum)
T = TypeVar("T")
Translations = Mapping[str, str]
"""Texts of another language by the English text."""
AS_WRITTEN: Translations = MappingProxyType({})
_HEADER = re.compile(r"^\s*\[\[?\s*([\w.-]+)\s*\]\]?\s*(#.*)?$")
_ID = re.compile(r"^[a-z0-9][a-z0-9-]{0,39}$")


class Faults:
    """Every fault found so far."""

    def __init__(self) -> None:
        self.found: list[Problem] = []

    def note(self, where: str, message: str, remedy: str = "", key: str = "") -> None:
        """Add one fault."""
        self.found.append(Problem(where, message, remedy, Severity.PROBLEM, key=key))


class Table:
    """One table of a catalogue file, with its place and the faults found in it."""

    def __init__(
        self,
        data: dict[str, object],
        file: str,
        line: int,
        lines: list[str],
        faults: Faults,
        translations: Translations = AS_WRITTEN,
    ) -> None:
        self.data = data
        self.file = file
        self.line = line
        self._lines = lines
        self.faults = faults
        self._translations = translations
        self._asked: set[str] = set()

    def fault(self, message: str, remedy: str = "", key: str = "") -> None:
        """Note a fault of this table, at the line of `key` where it stands."""
        self.faults.note(f"{self.file}:{self._line_of(key)}", message, remedy, key)

    def _line_of(self, key: str) -> int:
        if not key:
            return self.line
        pattern = re.compile(rf"^\s*\"?{re.escape(key)}\"?\s*=")
        for number in range(self.line, min(len(self._lines), self.line + 120)):
            if pattern.match(self._lines[number]):
                return number + 1
            if number > self.line and _HEADER.match(self._lines[number]):
                break
        return self.line

    def raw(self, key: str) -> object:
        """The value as it stands, None when there is none."""
        self._asked.add(key)
        return self.data.get(key)

    def text(self, key: str, default: str | None = None) -> str:
        """A text; a missing one is a fault unless there is a default."""
        value = self.raw(key)
        if value is None and default is not None:
            return default
        if not isinstance(value, str) or (not value.strip() and default is None):
            self.fault(f"“{key}” must be a text.", f'Write {key} = "...".', key)
            return default or ""
        return value.strip()

    def words(self, key: str, default: str | None = None) -> str:
        """A text that a person reads, in the catalogue's language."""
        return self._translated(self.text(key, default))

    def _translated(self, text: str) -> str:
        return self._translations.get(text) or text

    def id(self, key: str = "id") -> str:
        """An id: lower-case letters, digits and hyphens, at most 40."""
        value = self.text(key)
        if value and not _ID.match(value):
            self.fault(f"“{value}” cannot be an id.", "Use a-z, 0-9 and hyphens, at most 40.", key)
        return value

    def whole(self, key: str, default: int | None = None) -> int:
        """A whole number."""
        value = self.raw(key)
        if value is None and default is not None:
            return default
        if not isinstance(value, int) or isinstance(value, bool):
            self.fault(f"“{key}” must be a whole number.", "", key)
            return default or 0
        return value

    def flag(self, key: str, default: bool) -> bool:
        """True or false."""
        value = self.raw(key)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.fault(f"“{key}” must be true or false.", "", key)
            return default
        return value

    def decimal(self, key: str, default: str | None = None) -> Decimal:
        """A number written as text, so that it stays exact."""
        value = self.raw(key)
        if value is None and default is not None:
            return Decimal(default)
        return self._to_decimal(value, key)

    def optional_decimal(self, key: str) -> Decimal | None:
        """A number that may be missing."""
        return None if self.raw(key) is None else self.decimal(key)

    def _to_decimal(self, value: object, key: str) -> Decimal:
        if isinstance(value, int | str) and not isinstance(value, bool):
            try:
                number = Decimal(value)
            except InvalidOperation:
                number = Decimal("NaN")
            if number.is_finite():
                return number
        self.fault(f"“{key}” must hold a number.", 'Write it as text, such as "0.5".', key)
        return Decimal(0)

    def choice(self, key: str, allowed: Iterable[str], default: str | None = None) -> str:
        """One of a few words."""
        value = self.text(key, default)
        words = tuple(allowed)
        if value not in words:
            self.fault(f"“{value}” is not a {key}.", f"Use one of {', '.join(words)}.", key)
            return default or words[0]
        return value

    def member(self, key: str, kind: type[E], default: E | None = None) -> E:
        """A member of an enumeration, by its value."""
        words = [str(member.value) for member in kind]
        return kind(self.choice(key, words, None if default is None else str(default.value)))

    def texts(self, key: str, default: tuple[str, ...] | None = None) -> tuple[str, ...]:
        """A list of texts."""
        value = self.raw(key)
        if value is None and default is not None:
            return default
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.fault(f"“{key}” must be a list of texts.", f'Write {key} = ["..."].', key)
            return default or ()
        return tuple(one.strip() for one in value)

    def word_list(self, key: str, default: tuple[str, ...] | None = None) -> tuple[str, ...]:
        """A list of texts that a person reads, in the catalogue's language."""
        return tuple(self._translated(one) for one in self.texts(key, default))

    def span(self, key: str) -> Span:
        """Low, likely, high as a list of three numbers, passed one time in ten on each side."""
        value = self.raw(key)
        if not isinstance(value, list) or len(value) != 3:
            self.fault(f"“{key}” must be low, likely and high.", "", key)
            return Span.exactly(Decimal(0))
        low, likely, high = (self._to_decimal(one, key) for one in value)
        return self.made(lambda: Span(low, likely, high, Ends.ONE_IN_TEN), key) or Span.exactly(
            likely
        )

    def quantity(self, value: object, key: str) -> Quantity | None:
        """A measurement such as "25 mm"; None for an empty one."""
        if value in (None, ""):
            return None
        number, _, unit = value.partition(" ") if isinstance(value, str) else ("", "", "")
        name = unit_named(unit.strip())
        if not name:
            self.fault(f"“{key}” must be a measurement.", 'Write it as "25 mm".', key)
            return None
        return self.made(lambda: Quantity(parse_decimal(number), name), key)

    def made(self, make: Callable[[], T], key: str) -> T | None:
        """What `make` answers, or None with the fault noted."""
        try:
            return make()
        except EntryError as error:
            self.fault(str(error), "", key)
            return None

    def table(self, key: str, required: bool = False) -> Table:
        """A table inside this one; an empty one when it is missing."""
        value = self.raw(key)
        if value is None and not required:
            value = {}
        if not isinstance(value, dict):
            self.fault(f"“{key}” must be a table.", "", key)
            value = {}
        return self._inner(value, self._line_of(key))

    def _inner(self, data: dict[str, object], line: int) -> Table:
        return Table(data, self.file, line, self._lines, self.faults, self._translations)

    def tables(
        self, key: str, path: str = "", lines: dict[str, list[int]] | None = None
    ) -> list[Table]:
        """The tables of a list of tables, each with its own line where `lines` knows it."""
        value = self.raw(key)
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            self.fault(f"“{key}” must be a list of tables.", "", key)
            return []
        known = (lines or {}).get(path, [])
        start = self._line_of(key)
        return [
            self._inner(one, self._nth(known, number, start)) for number, one in enumerate(value)
        ]

    def _nth(self, known: list[int], number: int, start: int) -> int:
        after = [line for line in known if line >= self.line]
        return after[number] if number < len(after) else start

    def nothing_else(self) -> None:
        """Note every key that nobody asked for: a misspelt key must not be lost silently."""
        for key in self.data:
            if key not in self._asked:
                close = _closest(key, self._asked)
                self.fault(f"“{key}” is not known here.", close and f"Did you mean {close}?", key)


def _closest(word: str, known: Iterable[str]) -> str:
    import difflib  # noqa: PLC0415 - only on a fault

    found = difflib.get_close_matches(word, list(known), 1)
    return found[0] if found else ""


def read_text(
    text: str, file: str, faults: Faults, translations: Translations = AS_WRITTEN
) -> tuple[Table, dict[str, list[int]]]:
    """One TOML text as a table, with the lines of every table header by its dotted name."""
    lines = text.splitlines()
    headers: dict[str, list[int]] = {}
    for number, line in enumerate(lines, start=1):
        match = _HEADER.match(line)
        if match:
            headers.setdefault(match[1], []).append(number)
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        faults.note(file, f"This is not readable TOML: {error}.", "Mend it at that place.")
        data = {}
    return Table(data, file, 0, lines, faults, translations), headers
