"""Strict JSON: what a project file may say, and a sentence with line and remedy when it may not.

    read_json(data) -> Document(value, notices)     raises JsonRefusedError

The standard parser takes duplicate keys, NaN, infinities, lone surrogates and any depth; each of
those loses data or breaks a later save, so they are refused or mended here with a notice. Numbers
keep the text they were written with (`WrittenNumber`), so that saving does not turn 1.10 into 1.1.
Values are plain: dict, list, str, int, WrittenNumber, bool, None.
"""

from __future__ import annotations

import codecs
import json
import re
from collections.abc import Iterator
from math import isfinite

from workbench.domain.record import dataclass

LARGEST_FILE = 16 * 2**20
MOST_ENTRIES = 20_000
DEEPEST = 64
LONGEST_INTEGER = 18

RESTORE = "Restore it from a backup, or repair it in a text editor."
_SIGN = re.compile(r'"(?:[^"\\]|\\.)*"|[^\s"\[\]{},:]+|[\[\]{},:]')
_SURROGATE = re.compile("[\ud800-\udfff]")
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class WrittenNumber(float):
    """A number that remembers how it was written."""

    __slots__ = ("text",)

    text: str

    def __new__(cls, text: str) -> WrittenNumber:
        """Read `text`, which must be a JSON number."""
        number = super().__new__(cls, text)
        number.text = text
        return number


class JsonRefusedError(ValueError):
    """A file that is not JSON this program will read.

    Attributes
    ----------
    place
        Line and column, or byte, as words; empty when it is the file as a whole.
    message, remedy
        What is wrong and what to do, as sentences.
    """

    def __init__(self, place: str, message: str, remedy: str = RESTORE) -> None:
        super().__init__(f"{place}: {message} {remedy}".lstrip(": "))
        self.place = place
        self.message = message
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class Document:
    """What a file says, and what was mended while reading it, as sentences."""

    value: object
    notices: tuple[str, ...] = ()


def read_json(data: bytes, largest: int = LARGEST_FILE) -> Document:
    """Read the bytes of one file of at most `largest` bytes.

    Raises
    ------
    JsonRefusedError
        When the bytes are too many, not text, not JSON, or JSON that would lose something.
    """
    if len(data) > largest:
        raise JsonRefusedError("", f"The file is larger than {largest // 2**20} MiB.", RESTORE)
    text, notices = _decoded(data)
    value = _parsed(text)
    _check_extent(value)
    if "\\u" in text:
        value, mended = _mended(value)
        notices += mended
    return Document(value, notices)


def cp1252_preview(data: bytes) -> str:
    """How the bytes would read in the old western code page, to show before anything is kept."""
    return data[:4096].decode("cp1252", errors="replace")


def _decoded(data: bytes) -> tuple[str, tuple[str, ...]]:
    """The text of a file, and a notice when it was not UTF-8."""
    if not data.strip(b"\0 \t\r\n"):
        kind = "holds nothing but NUL bytes" if b"\0" in data else "is empty"
        raise JsonRefusedError("", f"The file {kind}; it was probably cut off by a loss of power.")
    if data.startswith(codecs.BOM_UTF8):
        data = data[3:]
    encoding = json.detect_encoding(data)
    try:
        text = data.decode(encoding if encoding != "utf-8-sig" else "utf-8")
    except UnicodeDecodeError as error:
        raise JsonRefusedError(
            f"byte {error.start}",
            "This is not UTF-8 text.",
            "Save it as UTF-8 in a text editor; it may be in an older code page.",
        ) from error
    if encoding.startswith("utf-8"):
        return text, ()
    return text, (f"The file was in {encoding}; it will be saved as UTF-8.",)


def _parsed(text: str) -> object:
    try:
        return json.loads(
            text,
            object_pairs_hook=_object,
            parse_float=_number,
            parse_int=_integer,
            parse_constant=_constant,
        )
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise JsonRefusedError(place, _syntax_message(error)) from error
    except RecursionError as error:
        raise JsonRefusedError("", f"Values are nested more than {DEEPEST} deep.") from error
    except _LossyError as error:
        line = _line_of(text, error)
        raise JsonRefusedError(
            f"line {line}", str(error), "Correct it in a text editor."
        ) from error


def _syntax_message(error: json.JSONDecodeError) -> str:
    if error.msg.startswith("Extra data"):
        return "Something follows after the end."
    if error.pos >= len(error.doc.rstrip()):
        return "The file ends too early; it was probably cut off."
    return f"This is not JSON ({error.msg[:1].lower()}{error.msg[1:]})."


class _LossyError(ValueError):
    """JSON that the standard parser would take at a loss."""

    def __init__(self, message: str, written: str) -> None:
        super().__init__(message)
        self.written = written


class _RepeatedError(_LossyError):
    """A key that stands twice in one object."""


def _object(pairs: list[tuple[str, object]]) -> dict[str, object]:
    made = dict(pairs)
    if len(made) != len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for place, key in enumerate(keys) if key in keys[:place])
        raise _RepeatedError(f"“{twice}” stands twice in one object.", twice)
    return made


def _number(text: str) -> WrittenNumber:
    number = WrittenNumber(text) if len(text) <= 64 else None
    if number is None or not isfinite(number):
        raise _LossyError(f"{text[:20]} is not a number this program can hold.", text)
    return number


def _integer(text: str) -> int | WrittenNumber:
    if len(text) > LONGEST_INTEGER:
        raise _LossyError(f"{text[:20]}… has {len(text)} digits.", text)
    return int(text) if text != "-0" else WrittenNumber(text)


def _constant(text: str) -> object:
    raise _LossyError(f"{text} is not a number.", text)


def _line_of(text: str, fault: _LossyError) -> int:
    """The line on which the parser met `fault`; the parser itself does not say."""
    keys: list[set[str]] = []
    before = ""
    for place, sign in _signs(text):
        found = False
        match sign:
            case "{" | "[":
                keys.append(set())
            case "}" | "]":
                keys.pop()
            case ":" if isinstance(fault, _RepeatedError):
                key = json.loads(before, strict=False)
                found = key == fault.written and key in keys[-1]
                keys[-1].add(key)
            case _:
                found = sign == fault.written
        if found:
            return text.count("\n", 0, place) + 1
        before = sign
    return text.count("\n") + 1


def _signs(text: str) -> Iterator[tuple[int, str]]:
    for match in _SIGN.finditer(text):
        yield match.start(), match.group()


def _check_extent(value: object) -> None:
    """Refuse what is nested too deep or holds too much.

    Raises
    ------
    JsonRefusedError
        When it does.
    """
    level: list[object] = [value]
    depth = 1
    while level:
        if depth > DEEPEST:
            raise JsonRefusedError("", f"Values are nested more than {DEEPEST} deep.")
        below: list[object] = []
        for item in level:
            inner = item.values() if type(item) is dict else item if type(item) is list else ()
            if len(inner) > MOST_ENTRIES:
                raise JsonRefusedError("", f"One list holds more than {MOST_ENTRIES} entries.")
            below.extend(part for part in inner if type(part) is dict or type(part) is list)
        level, depth = below, depth + 1


def _mended(value: object) -> tuple[object, tuple[str, ...]]:
    """The value without characters that no later save or report could take."""
    notices: set[str] = set()

    def mend(item: object) -> object:
        if type(item) is str:
            return text(item)
        if type(item) is dict:
            return {_SURROGATE.sub("\ufffd", key): mend(inner) for key, inner in item.items()}
        if type(item) is list:
            return [mend(inner) for inner in item]
        return item

    def text(written: str) -> str:
        whole = _SURROGATE.sub("\ufffd", written)
        if whole != written:
            notices.add("Half of a character stood alone and was replaced by “\ufffd”.")
        clean = _CONTROL.sub("", whole)
        if clean != whole:
            notices.add("Control characters in the text were left out.")
        return clean

    return mend(value), tuple(sorted(notices))
