"""The record decorator: `dataclass(frozen=True, slots=True)`, made in a fifth of the time.

    from workbench.domain.record import dataclass

    @dataclass(frozen=True, slots=True)
    class Span: ...

What is answered is a dataclass like any other: `fields`, `replace`, `asdict`, `match`, copying,
comparing and hashing work as the standard library says. The standard decorator writes and compiles
six methods for every class, half a millisecond each time; the program has some three hundred
records, and that was a third of its start. Here `__init__` alone is compiled, comparing and hashing
go through one `attrgetter`, and the rest is shared by all records.

A type checker sees the standard decorator. Only frozen, slotted records are made here; any other
wish (order, keyword-only fields, a mutable record) goes to the standard one.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError
from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass
else:

    def dataclass(
        *, frozen: bool = False, slots: bool = False, eq: bool = True, **others: bool
    ) -> Callable[[type], type]:
        """The decorator for a record; see the module."""
        if not (frozen and slots) or any(others.values()):
            return dataclasses.dataclass(frozen=frozen, slots=slots, eq=eq, **others)
        return lambda described: _record(described, compared=eq)


__all__ = ["dataclass"]

Fields = dict[str, Field[Any]]
_read_fields = dataclasses.dataclass(init=False, repr=False, eq=False, match_args=False)


def _record(described: type[Any], *, compared: bool) -> type[Any]:
    """The record class for a class that lists its fields."""
    _read_fields(described)
    fields: Fields = described.__dataclass_fields__
    body = {
        name: value
        for name, value in described.__dict__.items()
        if name not in fields and name not in ("__dict__", "__weakref__")
    }
    inherited = {name for base in described.__mro__[1:] for name in getattr(base, "__slots__", ())}
    body["__slots__"] = tuple(name for name in fields if name not in inherited)
    body["__match_args__"] = tuple(fields)
    body["__init__"] = _maker(described, fields)
    body["__setattr__"], body["__delattr__"] = _refuse_to_set, _refuse_to_delete
    body["__getstate__"], body["__setstate__"] = _state, _set_state
    body.setdefault("__repr__", _shown)
    if compared:
        body["__eq__"], body["__hash__"] = _comparing([n for n in fields if fields[n].compare])
    made: type[Any] = type(described.__name__, described.__bases__, body)
    made.__qualname__ = described.__qualname__
    _point_cells_at(made, described)
    return made


def _maker(described: type[Any], fields: Fields) -> Callable[..., None]:
    """`__init__`, which sets every field past the refusal to set any.

    Compiled from the names of the fields, as the standard decorator does: no data comes near it.
    """
    given, body = [], []
    known: dict[str, Any] = {"_set": object.__setattr__, "_missing": MISSING}
    for name, field in fields.items():
        value = name
        if field.default is not MISSING:
            known[f"_{name}"] = field.default
            given.append(f"{name}=_{name}")
        elif field.default_factory is not MISSING:
            known[f"_{name}"] = field.default_factory
            given.append(f"{name}=_missing")
            value = f"_{name}() if {name} is _missing else {name}"
        else:
            given.append(name)
        body.append(f" _set(self, {name!r}, {value})\n")
    if hasattr(described, "__post_init__"):
        body.append(" self.__post_init__()\n")
    text = f"def __init__(self, {', '.join(given)}):\n{''.join(body) or ' pass'}"
    exec(text, known)  # noqa: S102 - see above
    made: Callable[..., None] = known["__init__"]
    made.__qualname__ = f"{described.__qualname__}.__init__"
    made.__module__ = described.__module__
    made.__annotations__ = {name: field.type for name, field in fields.items()}
    return made


def _comparing(names: list[str]) -> tuple[Callable[..., Any], Callable[..., int]]:
    """`__eq__` and `__hash__` over the fields that count."""
    values: Callable[[object], object] = attrgetter(*names) if names else lambda _: ()

    def equals(self: object, other: object) -> Any:
        if self is other:
            return True
        if other.__class__ is self.__class__:
            return values(self) == values(other)
        return NotImplemented

    def hashed(self: object) -> int:
        return hash(values(self))

    return equals, hashed


def _shown(self: Any) -> str:
    values = (
        f"{name}={getattr(self, name)!r}"
        for name, field in self.__dataclass_fields__.items()
        if field.repr
    )
    return f"{self.__class__.__qualname__}({', '.join(values)})"


def _refuse_to_set(_self: object, name: str, _value: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(_self: object, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[object]:
    return [getattr(self, name) for name in self.__dataclass_fields__]


def _set_state(self: Any, state: list[object]) -> None:
    for name, value in zip(self.__dataclass_fields__, state, strict=True):
        object.__setattr__(self, name, value)


def _point_cells_at(made: type[Any], described: type[Any]) -> None:
    """Let `super()` and `__class__` in methods mean the class with slots."""
    for value in made.__dict__.values():
        function = getattr(value, "fget", None) or getattr(value, "__func__", value)
        for cell in getattr(function, "__closure__", None) or ():
            if cell.cell_contents is described:
                cell.cell_contents = made
