"""A text table (CSV) read with its encoding and separator found out, and said.

The encoding is taken from a byte order mark, else UTF-8 where the bytes are that, else the Windows
western code page; lines of both kinds in one file are each read as what they are. The separator is
the one under which the rows agree best. Quoting follows RFC 4180.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping

from workbench.domain.problem import Problem, Severity

from .cells import (
    LARGEST_TEXT,
    MOST_CELLS,
    MOST_COLUMNS,
    MOST_ROWS,
    Cell,
    Holds,
    Incoming,
    Row,
    Sheet,
    refused,
)
from .text_values import clean, undefused

SEPARATORS: Mapping[str, str] = {";": "semicolons", "\t": "tabs", "|": "bars", ",": "commas"}
_MARKS = (
    (b"\xef\xbb\xbf", "utf-8", "UTF-8"),
    (b"\xff\xfe", "utf-16-le", "UTF-16"),
    (b"\xfe\xff", "utf-16-be", "UTF-16"),
)
_SEPARATOR_LINE = re.compile(r"^sep=(.)\r?\n|^sep=(.)\r", re.IGNORECASE)
_LOOKED_AT = 60


def read_csv(name: str, data: bytes, stop: Callable[[], None], separator: str = "") -> Incoming:
    """The rows of a text table; `separator` overrules what is found out.

    Raises
    ------
    HardstandError
        When a quotation mark is never closed, a field is too long, or it is no text.
    """
    text, encoding, notices = _decoded(name, data)
    stated = _SEPARATOR_LINE.match(text)
    first_line = 1
    if stated:
        separator = separator or stated[1] or stated[2]
        text, first_line = text[stated.end() :], 2
    fitting = (separator,) if separator else _likeliest(text)
    mark = fitting[0]
    rows = tuple(_rows(name, text, mark, first_line, stop))
    divided = SEPARATORS.get(mark, f"“{mark}”")
    return Incoming(
        name,
        "csv",
        (Sheet("", rows),),
        read_as=f"Text in {encoding}, columns divided by {divided}.",
        notices=tuple(notices),
        separator=mark,
        may_be=fitting if len(fitting) > 1 else (),
        data=data,
    )


def _decoded(name: str, data: bytes) -> tuple[str, str, list[Problem]]:
    """The text, its encoding in words, and what is odd about it."""
    for mark, codec, words in _MARKS:
        if data.startswith(mark):
            return _strictly(name, data[len(mark) :], codec), words, []
    codec = _unmarked_wide(data)
    if codec:
        return _strictly(name, data, codec), "UTF-16", []
    if b"\x00" in data:
        raise refused(
            name,
            f"It is no text: byte {data.index(0):,} is nought.",
            "Save it again as .xlsx or .csv.",
        )
    try:
        return data.decode("utf-8"), "UTF-8", []
    except UnicodeDecodeError:
        return _line_by_line(name, data)


def _unmarked_wide(data: bytes) -> str:
    """The wide encoding that text without a mark is in: every other byte of it is nought."""
    start = data[:400]
    half = len(start) // 2
    if half < 4:
        return ""
    if start[1::2].count(0) > half * 0.8 and not start[0::2].count(0):
        return "utf-16-le"
    if start[0::2].count(0) > half * 0.8 and not start[1::2].count(0):
        return "utf-16-be"
    return ""


def _strictly(name: str, data: bytes, codec: str) -> str:
    try:
        return data.decode(codec)
    except UnicodeDecodeError as error:
        raise refused(
            name,
            f"Byte {error.start:,} cannot be read as the text it says it is.",
            "Save it again as CSV in UTF-8.",
        ) from error


def _line_by_line(name: str, data: bytes) -> tuple[str, str, list[Problem]]:
    """Text that is not all UTF-8: each line is read as UTF-8 or the Windows code page."""
    lines: list[str] = []
    wide: list[int] = []
    for number, line in enumerate(data.splitlines(keepends=True), 1):
        try:
            decoded = line.decode("utf-8")
            if not line.isascii():
                wide.append(number)
        except UnicodeDecodeError:
            decoded = line.decode("cp1252", errors="replace")
        lines.append(decoded)
    text = "".join(lines)
    if not wide:
        return text, "the Windows western code page", []
    mixed = Problem(
        f"{name}, line {wide[0]}",
        "The lines are in two encodings, UTF-8 and the Windows western code page.",
        "Look at the names with accents before you take it in.",
        Severity.NOTICE,
    )
    return text, "two encodings, line by line", [mixed]


def _likeliest(text: str) -> tuple[str, ...]:
    """The separator under which most of the first rows have the same number of fields.

    Others under which as many rows agree come after it.
    """
    found: dict[str, tuple[int, int]] = {}
    for mark in SEPARATORS:
        widths = Counter(width for width in _widths(text, mark) if width > 1)
        if widths:
            width, rows = max(widths.items(), key=lambda pair: (pair[1], pair[0]))
            found[mark] = (rows, width)
    if not found:
        return (",",)
    best = max(found, key=lambda mark: found[mark])
    return (best, *(mark for mark in found if mark != best and found[mark][0] == found[best][0]))


def _widths(text: str, mark: str) -> list[int]:
    made: list[int] = []
    reader = csv.reader(io.StringIO(text[:200_000], newline=""), delimiter=mark)
    try:
        for row in reader:
            made.append(len(row))
            if len(made) >= _LOOKED_AT:
                break
    except csv.Error:
        return made
    return made


def _rows(
    name: str, text: str, mark: str, first_line: int, stop: Callable[[], None]
) -> Iterator[Row]:
    csv.field_size_limit(LARGEST_TEXT)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    start, cells = first_line, 0
    while True:
        try:
            fields = next(reader, None)
        except csv.Error as error:
            raise _broken(name, start, str(error)) from error
        if fields is None:
            return
        row = _row(start, fields)
        cells += len(row.cells)
        _refuse_too_much(name, start, len(fields), cells)
        if row.cells:
            yield row
        start = first_line + reader.line_num
        stop()


def _broken(name: str, line: int, words: str) -> Exception:
    if "field larger" in words:
        return refused(
            f"{name}, line {line}",
            f"A field is longer than {LARGEST_TEXT:,} signs.",
            "Look for a quotation mark that is never closed, or shorten the text.",
        )
    return refused(
        f"{name}, line {line}",
        "A quotation mark that opens in this row is never closed, or text follows its end.",
        "Close it, or write it twice where it is meant as it stands, and save again.",
    )


def _refuse_too_much(name: str, line: int, width: int, cells: int) -> None:
    if line > MOST_ROWS or width > MOST_COLUMNS or cells > MOST_CELLS:
        raise refused(
            f"{name}, line {line}",
            f"{MOST_ROWS:,} rows of {MOST_COLUMNS} columns are the limit.",
            "Keep only the rows that are to come in.",
        )


def _row(line: int, fields: list[str]) -> Row:
    cells: dict[int, Cell] = {}
    for column, field in enumerate(fields, 1):
        text = clean(undefused(field))
        if text.strip():
            cells[column] = Cell(f"line {line}, field {column}", Holds.TEXT, text)
    return Row(line, cells, len(fields))
