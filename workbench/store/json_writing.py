"""JSON as the project folder holds it: sorted keys, one entry a line, a newline at the end.

    write_json({"name": "Northern search"}) -> bytes

One change to a record is then a small difference between two files. Dictionaries and `FrozenMap`,
lists and tuples are written alike; a `WrittenNumber` is written as it was read.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from json.encoder import encode_basestring
from math import isfinite

from workbench.domain.frozen import FrozenMap
from workbench.store.json_reading import WrittenNumber

_SURROGATE = re.compile("[\ud800-\udfff]")


def write_json(value: object) -> bytes:
    """The bytes of a file that holds `value`.

    Raises
    ------
    ValueError
        When the value holds what JSON cannot: a number that is not finite, a key that is no text.
    """
    pieces: list[str] = []
    _write(value, "\n", pieces.append)
    pieces.append("\n")
    text = "".join(pieces)
    try:
        return text.encode()
    except UnicodeEncodeError:
        return _SURROGATE.sub("\ufffd", text).encode()


def _write(value: object, margin: str, put: Callable[[str], None]) -> None:
    """Put the pieces of `value`; `margin` is the line break before whatever encloses it."""
    if isinstance(value, str):
        put(encode_basestring(value))
    elif isinstance(value, (dict, FrozenMap)):
        _write_object(value, margin, put)
    elif isinstance(value, (list, tuple)):
        _write_list(value, margin, put)
    else:
        put(_scalar(value))


def _write_object(
    value: dict[str, object] | FrozenMap[str, object], margin: str, put: Callable[[str], None]
) -> None:
    inner = margin + " "
    before = "{"
    for key in sorted(value):
        put(before + inner + encode_basestring(key) + ": ")
        _write(value[key], inner, put)
        before = ","
    put(margin + "}" if value else "{}")


def _write_list(
    value: list[object] | tuple[object, ...], margin: str, put: Callable[[str], None]
) -> None:
    inner = margin + " "
    before = "["
    for item in value:
        put(before + inner)
        _write(item, inner, put)
        before = ","
    put(margin + "]" if value else "[]")


def _scalar(value: object) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, WrittenNumber):
        return value.text
    if isinstance(value, float) and isfinite(value):
        return repr(value)
    raise ValueError(f"{value!r} cannot be written in a file.")
