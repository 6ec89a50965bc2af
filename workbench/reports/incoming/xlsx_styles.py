"""What a workbook's number formats say of a number: that it is a day, a percentage, a price.

A workbook stores a day as a number; only the number format tells it from any other. The numbers of
the built-in formats and the signs of the others are those of ECMA-376, part 1, 18.8.30 and 18.8.31
(cited from memory).
"""

from __future__ import annotations

import re
from xml.etree.ElementTree import Element

from workbench.domain.record import dataclass

_DAYS_BUILT_IN = {*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)}
_TIMES_BUILT_IN = {18, 19, 20, 21, 32, 33, 34, 35, 45, 46, 47, 55, 56}
_PERCENT_BUILT_IN = {9, 10}
_MONEY_BUILT_IN = {5, 6, 7, 8, 42, 44}
_NAMED = re.compile(r"\[\$([^\]-]+)(?:-[^\]]*)?\]")
_LITERAL = re.compile(r'"([^"]*)"|\\(.)|[_*].')
_BRACKETS = re.compile(r"\[[^\]]*\]")
_SIGNS = re.compile(r"[$€£¥]")
_CODE_OR_SIGN = re.compile(r"^(?:[A-Z]{3}|kr\.?|zł|[$€£¥])$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Look:
    """How the numbers of a cell are shown."""

    is_day: bool = False
    percent: bool = False
    currency: str = ""
    quoted: bool = False


PLAIN = Look()


def local(element: Element) -> str:
    """An element's name without its namespace, which differs between two kinds of workbook."""
    return element.tag.rpartition("}")[2]


def looks_of(root: Element) -> tuple[Look, ...]:
    """The looks of a style sheet, in the order in which cells name them."""
    patterns: dict[int, str] = {}
    made: list[Look] = []
    for part in root:
        if local(part) == "numFmts":
            for one in part:
                patterns[_number(one, "numFmtId")] = one.get("formatCode", "")
        if local(part) == "cellXfs":
            made += [
                look_of(
                    _number(one, "numFmtId"),
                    patterns.get(_number(one, "numFmtId"), ""),
                    quoted=one.get("quotePrefix") in ("1", "true"),
                )
                for one in part
            ]
    return tuple(made)


def _number(element: Element, name: str) -> int:
    text = element.get(name, "0")
    return int(text) if text.isdigit() and len(text) < 9 else 0


def look_of(number: int, pattern: str, *, quoted: bool = False) -> Look:
    """The look of a number format by its number and, where it is not built in, its pattern."""
    if not pattern:
        return Look(
            is_day=number in _DAYS_BUILT_IN - _TIMES_BUILT_IN,
            percent=number in _PERCENT_BUILT_IN,
            currency="$" if number in _MONEY_BUILT_IN else "",
            quoted=quoted,
        )
    first = pattern.partition(";")[0]
    bare = _BRACKETS.sub("", _LITERAL.sub("", first)).lower()
    is_day = bool(re.search(r"[yd]", bare)) and "general" not in bare
    return Look(is_day, "%" in bare, "" if is_day else _currency_of(first), quoted)


def _currency_of(pattern: str) -> str:
    """The sign or code of a currency that a pattern writes; empty for none."""
    named = _NAMED.search(pattern)
    if named:
        return named[1].strip()
    for literal in _LITERAL.finditer(pattern):
        words = (literal[1] or literal[2] or "").strip()
        if _CODE_OR_SIGN.match(words):
            return words
    sign = _SIGNS.search(_BRACKETS.sub("", pattern))
    return sign[0] if sign else ""
