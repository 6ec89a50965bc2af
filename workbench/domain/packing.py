"""Records as plain lists and back, by their own type hints, quickly.

    pack(Band(Grade.DUE, Decimal("1.0"))) -> ["due", "1.0", true]
    unpack(Band, ["due", "1.0", true])    -> Band(Grade.DUE, Decimal("1.0"))

A record is the list of its fields in their order; a Decimal is a string, so that it stays exact;
an enum is its value; a tuple is a list; a FrozenMap is an object. There are no names, no defaults
and no mending: this is a form for a machine that wrote it itself a moment ago, not for people. What
does not fit is an error, and whoever reads throws the whole away.
"""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from enum import Enum
from functools import cache
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from .frozen import FrozenMap
from .problem import EntryError

R = TypeVar("R")
Turn = Callable[[Any], Any]

_AS_IT_IS = frozenset((str, int, bool, float))


class UnpackError(ValueError):
    """What stands there is not what `pack` wrote for such a record."""


def pack(record: object) -> list[Any]:
    """The plain data of a record."""
    kind: Any = type(record)
    write, _ = _turns_of(kind)
    return cast("list[Any]", write(record))


def unpack(record: type[R], plain: object) -> R:
    """The record that `pack` turned into `plain`.

    Raises
    ------
    UnpackError
        When `plain` is something else.
    """
    kind: Any = record
    _, read = _turns_of(kind)
    try:
        return cast(R, read(plain))
    except (TypeError, ValueError, KeyError, AttributeError, InvalidOperation) as error:
        raise UnpackError(f"not a {record.__name__}") from error
    except EntryError as error:
        raise UnpackError(str(error)) from error


@cache
def _turns(hint: Any) -> tuple[Turn | None, Turn | None]:
    """How values of one type are packed and unpacked; None for those that stay as they are."""
    origin, parts = get_origin(hint), get_args(hint)
    if hint in _AS_IT_IS:
        return None, None
    if hint is Decimal:
        return str, Decimal
    if origin in (Union, types.UnionType):
        return _optional(parts)
    if origin is FrozenMap:
        return _map(*parts)
    if origin is tuple:
        return _list_of(parts[0]) if parts[1:] == (...,) else _few(parts)
    return _turns_of(hint)


@cache
def _turns_of(kind: Any) -> tuple[Turn, Turn]:
    """How members of an enumeration and records are packed and unpacked."""
    if issubclass(kind, Enum):
        members = {member.value: member for member in kind}
        return lambda member: member.value, members.__getitem__
    return _record(kind)


def _optional(parts: tuple[Any, ...]) -> tuple[Turn | None, Turn | None]:
    (known,) = (part for part in parts if part is not type(None))
    write, read = _turns(known)
    if write is None or read is None:
        return None, None
    return (
        lambda value: None if value is None else write(value),
        lambda plain: None if plain is None else read(plain),
    )


def _list_of(part: Any) -> tuple[Turn, Turn]:
    write, read = _turns(part)
    if write is None or read is None:
        return list, tuple
    return (
        lambda values: [write(value) for value in values],
        lambda plain: tuple([read(one) for one in plain]),
    )


def _few(parts: tuple[Any, ...]) -> tuple[Turn, Turn]:
    """A tuple whose places each have a type of their own."""
    turns = [_turns(part) for part in parts]

    def write_few(values: Any) -> list[Any]:
        return [
            value if write is None else write(value)
            for (write, _), value in zip(turns, values, strict=True)
        ]

    def read_few(plain: Any) -> tuple[Any, ...]:
        return tuple(
            [
                one if read is None else read(one)
                for (_, read), one in zip(turns, plain, strict=True)
            ]
        )

    return write_few, read_few


def _map(key: Any, part: Any) -> tuple[Turn, Turn]:
    write_key, read_key = _turns(key)
    write, read = _turns(part)

    def write_map(value: Any) -> dict[str, Any]:
        return {
            (k if write_key is None else write_key(k)): (v if write is None else write(v))
            for k, v in value.items()
        }

    def read_map(plain: Any) -> FrozenMap[Any, Any]:
        pairs = plain.items()
        if read is not None:
            pairs = [(k, read(v)) for k, v in pairs]
        return FrozenMap(pairs if read_key is None else [(read_key(k), v) for k, v in pairs])

    return write_map, read_map


def _record(record: type[Any]) -> tuple[Turn, Turn]:
    hints = get_type_hints(record)
    names = [item.name for item in dataclasses.fields(record)]
    turns = [_turns(hints[name]) for name in names]
    fields = [(name, write) for name, (write, _) in zip(names, turns, strict=True)]
    turned = [(place, read) for place, (_, read) in enumerate(turns) if read is not None]
    number = len(names)

    def write_record(value: Any) -> list[Any]:
        held = [(getattr(value, name), write) for name, write in fields]
        return [one if write is None else write(one) for one, write in held]

    def read_record(plain: Any) -> Any:
        if len(plain) != number:
            raise UnpackError(f"{record.__name__} has {number} fields")
        values = list(plain)
        for place, read in turned:
            values[place] = read(values[place])
        return record(*values)

    return write_record, read_record
