"""Records to plain data and back, by the type hints of the records themselves.

    encode(record) -> dict
    decode(Boat, plain, Faults("boats/x/boat.json")) -> Boat

In a file: a Decimal is a string; money is {"amount", "currency"}; a quantity {"number", "unit"}; a
span {"low", "likely", "high", "ends"}; dates are ISO 8601; an enum is its value; a tuple is a list;
a FrozenMap is an object. A field that says what its default says is left out, save those without a
default. Unknown fields of any record survive in its `extra`.

Reading never raises for what a file says: every fault is added to `Faults` with its place, the
field takes its default, and what the file said there is kept and written again (`kept.py`). Only
`decode` of a whole file may answer None, when what stands there is no record at all.
"""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from functools import cache
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from workbench.domain.frozen import FrozenMap
from workbench.domain.problem import EntryError, Severity
from workbench.domain.record import dataclass
from workbench.store import scalars
from workbench.store.faults import Faults, Place
from workbench.store.kept import ABSENT, Kept, Step, freeze, put_back
from workbench.store.limits import LIMITS, Limit
from workbench.store.scalars import UnreadableError, kind_of

T = TypeVar("T")
Decoder = Callable[[Any, Place, Faults], Any]
Encoder = Callable[[Any], Any]

ALWAYS_WRITTEN = frozenset({"ends", "currency", "units", "settings"})
"""Fields that say how to read the numbers beside them; written even at their default."""


def decode(record: type[T], plain: object, faults: Faults) -> T | None:
    """The record that `plain` describes; None, with a problem, when it is no record at all."""
    try:
        return cast(T, plan_of(record).decode(plain, None, faults))
    except UnreadableError as fault:
        faults.add(fault.place, fault.message, fault.remedy, Severity.REFUSED)
        return None


def encode(record: object) -> dict[str, object]:
    """The plain data of a record, ready to be written."""
    return plan_of(type(record)).encode(record)


@dataclass(frozen=True, slots=True)
class FieldPlan:
    """How one field is read and written."""

    name: str
    decode: Decoder
    encode: Encoder
    default: object = ABSENT
    default_plain: object = ABSENT
    always: bool = True

    @property
    def required(self) -> bool:
        """Whether a record cannot be made without it."""
        return self.default is ABSENT

    def written(self, value: object) -> object:
        """What is written for a value; ABSENT for a default that goes without saying."""
        plain = self.encode(value)
        return plain if self.always or plain != self.default_plain else ABSENT


@dataclass(frozen=True, slots=True)
class Plan:
    """How one kind of record is read and written."""

    record: type[Any]
    fields: dict[str, FieldPlan]
    has_extra: bool

    def decode(self, plain: object, place: Place, faults: Faults) -> Any:
        """The record, with faults noted and kept.

        Raises
        ------
        UnreadableError
            When no such record can be made of `plain`.
        """
        if type(plain) is not dict:
            raise UnreadableError(f"An object was expected, not {kind_of(plain)}.")
        values: dict[str, Any] = {}
        extra: dict[str, object] = {}
        mark = len(faults.kept)
        for name, written in plain.items():
            plan = self.fields.get(name)
            if plan is None:
                extra[name] = freeze(written)
            else:
                self._field(plan, written, (place, name), values, faults)
        for name, plan in self.fields.items():
            if plan.always and name not in values:
                self._missing(plan, (place, name), values, faults)
        if extra or len(faults.kept) > mark:
            self._keep_in(extra, mark, place, faults)
        return self._made(values, extra, place, faults)

    def _field(
        self,
        plan: FieldPlan,
        written: object,
        place: tuple[Place, Step],
        values: dict[str, Any],
        faults: Faults,
    ) -> None:
        mark = len(faults.kept)
        try:
            values[plan.name] = plan.decode(written, place, faults)
        except UnreadableError as fault:
            faults.forget(mark)
            if plan.required:
                values[plan.name] = self._stand_in(plan, fault, place, faults)
                faults.keep(place, written, values[plan.name])
                return
            faults.add(fault.place or place, fault.message, fault.remedy, Severity.PROBLEM)
            faults.keep(place, written, plan.default_plain if plan.always else ABSENT)
            values[plan.name] = plan.default
            return
        if faults.lossy:
            faults.forget(mark)
            faults.keep(place, written, plan.written(values[plan.name]))
        elif values[plan.name] == plan.default and plan.written(values[plan.name]) is ABSENT:
            faults.keep(place, written)

    def _stand_in(
        self, plan: FieldPlan, fault: UnreadableError, place: tuple[Place, Step], faults: Faults
    ) -> str:
        """Text in place of a required text; nothing can stand in for a price, a unit, a grade."""
        if plan.decode is not scalars.text or not self.has_extra:
            raise fault.at(place)
        faults.add(place, fault.message, fault.remedy, Severity.PROBLEM)
        return _identity(place[0]) if plan.name == "id" else ""

    def _missing(
        self, plan: FieldPlan, place: tuple[Place, Step], values: dict[str, Any], faults: Faults
    ) -> None:
        """Take the default of a field that would be written, or text in place of a required one."""
        if plan.required:
            fault = UnreadableError("It is missing.", "Add it.")
            values[plan.name] = self._stand_in(plan, fault, place, faults)
        if self.has_extra:
            faults.keep(place, ABSENT, values.get(plan.name, plan.default_plain))
        else:
            faults.lossy = True

    def _made(
        self, values: dict[str, Any], extra: dict[str, object], place: Place, faults: Faults
    ) -> Any:
        try:
            return self.record(**values, extra=FrozenMap(extra)) if extra else self.record(**values)
        except EntryError as error:
            raise UnreadableError(str(error)).at(place) from error

    def _keep_in(self, extra: dict[str, object], mark: int, place: Place, faults: Faults) -> None:
        """Move what was kept since `mark` into the record's extra, or tell the record around it."""
        if self.has_extra:
            for at, written, stand_in in faults.kept[mark:]:
                path = _path(at, place)
                before = cast("tuple[Kept, ...]", extra.get(str(path[0]), ()))
                extra[str(path[0])] = (*before, Kept(path, written, stand_in))
            faults.forget(mark)
        elif extra or len(faults.kept) > mark:
            faults.forget(mark)
            faults.lossy = True
            extra.clear()

    def encode(self, record: object) -> dict[str, object]:
        """The plain data of `record`."""
        plain: dict[str, object] = {}
        for name, plan in self.fields.items():
            value = getattr(record, name)
            if value is plan.default and not plan.always:
                continue
            written = plan.written(value)
            if written is not ABSENT:
                plain[name] = written
        if self.has_extra:
            _add_extra(plain, cast("FrozenMap[str, object]", getattr(record, "extra")))  # noqa: B009
        return plain


def _path(place: Place, record: Place) -> tuple[Step, ...]:
    """The steps from a record to a place within it."""
    steps: list[Step] = []
    while place is not None and place is not record:
        place, step = place
        steps.append(step)
    return tuple(reversed(steps))


def _identity(place: Place) -> str:
    """An id for a record whose own cannot be read: its key, or its position."""
    if place is None:
        return ""
    step = place[1]
    return step if isinstance(step, str) else str(step + 1)


def _add_extra(plain: dict[str, object], extra: FrozenMap[str, object]) -> None:
    for name, value in extra.items():
        if isinstance(value, tuple) and value and isinstance(value[0], Kept):
            for kept in value:
                put_back(plain, kept)
        else:
            plain.setdefault(name, value)


_PLANS: dict[type[Any], Plan] = {}


def plan_of(record: type[Any]) -> Plan:
    """The plan of one kind of record, made once."""
    if record not in _PLANS:
        _PLANS[record] = _plan(record)
    return _PLANS[record]


def _plan(record: type[Any]) -> Plan:
    hints = get_type_hints(record)
    fields = {
        item.name: _field_plan(item, hints[item.name], LIMITS.get((record, item.name)))
        for item in dataclasses.fields(record)
        if item.name != "extra"
    }
    return Plan(record, fields, "extra" in hints)


def _field_plan(item: dataclasses.Field[Any], hint: Any, limit: Limit | None) -> FieldPlan:
    read, write = codec_of(hint) if limit is None else _limited(hint, limit)
    if item.default is not dataclasses.MISSING:
        default = item.default
    elif item.default_factory is not dataclasses.MISSING:
        default = item.default_factory()
    else:
        return FieldPlan(item.name, read, write)
    always = item.name in ALWAYS_WRITTEN
    return FieldPlan(item.name, read, write, default, write(default), always)


@cache
def codec_of(hint: Any) -> tuple[Decoder, Encoder]:
    """How values of one type are read and written."""
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        return _union(get_args(hint))
    if origin is tuple:
        return _tuple(get_args(hint))
    if origin is FrozenMap:
        return _map(get_args(hint)[1])
    if isinstance(hint, type) and issubclass(hint, Enum):
        return scalars.choice(hint), lambda value: value.value
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        plan = plan_of(hint)
        return plan.decode, plan.encode
    return _SCALARS[hint]


def _same(value: Any) -> Any:
    return value


_SCALARS: dict[Any, tuple[Decoder, Encoder]] = {
    str: (scalars.text, _same),
    bool: (scalars.truth, _same),
    int: (scalars.whole, _same),
    float: (scalars.share, _same),
    Decimal: (scalars.decimal, str),
    date: (scalars.day, date.isoformat),
    datetime: (scalars.moment, datetime.isoformat),
}


def _union(parts: tuple[Any, ...]) -> tuple[Decoder, Encoder]:
    """`X | None`, and a record or text (`Quantity | str`)."""
    known = [part for part in parts if part is not type(None)]
    if len(known) == 1:
        return _optional(*codec_of(known[0]))
    record = next(part for part in known if part is not str)
    read, write = codec_of(record)

    def read_either(plain: Any, place: Place, faults: Faults) -> Any:
        return plain if type(plain) is str else read(plain, place, faults)

    def write_either(value: Any) -> Any:
        return value if isinstance(value, str) else write(value)

    return read_either, write_either


def _optional(read: Decoder, write: Encoder) -> tuple[Decoder, Encoder]:
    def read_optional(plain: Any, place: Place, faults: Faults) -> Any:
        return None if plain is None else read(plain, place, faults)

    def write_optional(value: Any) -> Any:
        return None if value is None else write(value)

    return read_optional, write_optional


def _tuple(parts: tuple[Any, ...]) -> tuple[Decoder, Encoder]:
    read, write = codec_of(parts[0])

    def read_list(plain: Any, place: Place, faults: Faults) -> tuple[Any, ...]:
        if type(plain) is not list:
            raise UnreadableError(f"A list was expected, not {kind_of(plain)}.")
        entries = enumerate(plain)
        return tuple(value for _, value in _entries(entries, read, write, place, faults))

    def write_list(value: tuple[Any, ...]) -> list[Any]:
        return [write(item) for item in value]

    return read_list, write_list


def _limited(hint: Any, limit: Limit) -> tuple[Decoder, Encoder]:
    """Values of one type, or a mapping of them, within limits."""
    is_map = get_origin(hint) is FrozenMap
    read, write = codec_of(get_args(hint)[1] if is_map else hint)

    def read_within(plain: Any, place: Place, faults: Faults) -> Any:
        value = read(plain, place, faults)
        fault = limit.fault(value)
        if fault:
            raise UnreadableError(fault)
        return value

    return _map_of(read_within, write) if is_map else (read_within, write)


def _map(part: Any) -> tuple[Decoder, Encoder]:
    return _map_of(*codec_of(part))


def _map_of(read: Decoder, write: Encoder) -> tuple[Decoder, Encoder]:
    def read_map(plain: Any, place: Place, faults: Faults) -> FrozenMap[str, Any]:
        if type(plain) is not dict:
            raise UnreadableError(f"An object was expected, not {kind_of(plain)}.")
        return FrozenMap(_entries(plain.items(), read, write, place, faults))

    def write_map(value: FrozenMap[str, Any]) -> dict[str, Any]:
        return {key: write(item) for key, item in value.items()}

    return read_map, write_map


def _entries(
    entries: Any, read: Decoder, write: Encoder, place: Place, faults: Faults
) -> list[tuple[Any, Any]]:
    """The entries of a list or map that can be read; the others are kept."""
    out: list[tuple[Any, Any]] = []
    for key, written in entries:
        here, mark = (place, key), len(faults.kept)
        try:
            value = read(written, here, faults)
        except UnreadableError as fault:
            faults.forget(mark)
            at = fault.place or here
            faults.add(at, fault.message + " It is left out.", fault.remedy, Severity.PROBLEM)
            faults.keep(here, written)
            continue
        if faults.lossy:
            faults.forget(mark)
            faults.keep(here, written, write(value))
        out.append((key, value))
    return out
