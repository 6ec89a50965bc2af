"""Projects of every shape for the property tests, made from the type hints of the records.

Text holds no control signs and no half characters, because those are taken out when a person enters
text; ids that name folders follow their rule; numbers lie within the limits of their field, as what
a person enters does. Everything else is as wild as its type allows.
"""

from __future__ import annotations

import dataclasses
import functools
import types
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st

from workbench.domain.boat import Boat
from workbench.domain.currencies import DECIMALS
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection
from workbench.domain.ledger import Ledger
from workbench.domain.money import Money
from workbench.domain.project import Candidate, Comparable, PriceOverride, Project
from workbench.domain.quantity import UNITS, Quantity
from workbench.domain.settings import Settings
from workbench.domain.span import Ends, Span
from workbench.store.limits import LIMITS, Limit

TEXTS = st.text(
    st.characters(exclude_categories=["Cs", "Cc"], include_characters="\n\t"), max_size=12
)
KEYS = st.text(st.characters(codec="ascii", categories=["L", "N"]), min_size=1, max_size=6)
IDS = st.from_regex(r"[a-z0-9][a-z0-9-]{0,8}", fullmatch=True)
DECIMALS_ANY = st.decimals(
    min_value=-(10**9), max_value=10**9, allow_nan=False, allow_infinity=False, places=3
) | st.sampled_from([Decimal("1E+3"), Decimal("-0"), Decimal("0.10"), Decimal("1.60")])
DAYS = st.dates(date(1850, 1, 1), date(2200, 12, 31))
MOMENTS = st.datetimes(datetime(1900, 1, 1), datetime(2100, 1, 1))
LEAVES = st.none() | st.booleans() | st.integers(-(10**15), 10**15) | TEXTS
PLAIN = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=3).map(tuple)
        | st.dictionaries(KEYS, inner, max_size=3).map(FrozenMap)
    ),
    max_leaves=5,
)


def unknown_fields() -> st.SearchStrategy[FrozenMap[str, object]]:
    """What a newer version may have written beside the fields that are known."""
    keys = KEYS.map(lambda key: f"later_{key}")
    return st.dictionaries(keys, PLAIN, max_size=2).map(FrozenMap)


def _span() -> st.SearchStrategy[Span]:
    return st.builds(
        lambda ends, kind: Span(min(ends), sorted(ends)[1], max(ends), kind),
        st.tuples(DECIMALS_ANY, DECIMALS_ANY, DECIMALS_ANY),
        st.sampled_from(Ends),
    )


_OF_TYPE: Mapping[Any, Callable[[], st.SearchStrategy[Any]]] = {
    str: lambda: TEXTS,
    bool: st.booleans,
    int: lambda: st.integers(-(10**9), 10**9),
    float: lambda: st.floats(allow_nan=False, allow_infinity=False),
    Decimal: lambda: DECIMALS_ANY,
    date: lambda: DAYS,
    datetime: lambda: MOMENTS,
    Span: _span,
    Money: lambda: st.builds(Money, DECIMALS_ANY, st.sampled_from(sorted(DECIMALS))),
    Quantity: lambda: st.builds(Quantity, DECIMALS_ANY, st.sampled_from(sorted(UNITS))),
}


@cache
def of_type(hint: Any) -> st.SearchStrategy[Any]:
    """Values of one type."""
    origin = get_origin(hint)
    if hint in _OF_TYPE:
        return _OF_TYPE[hint]()
    if origin in (Union, types.UnionType):
        return st.one_of(*(st.none() if p is type(None) else of_type(p) for p in get_args(hint)))
    if origin is tuple:
        return st.lists(of_type(get_args(hint)[0]), max_size=2).map(tuple)
    if origin is FrozenMap:
        return st.dictionaries(KEYS, of_type(get_args(hint)[1]), max_size=2).map(FrozenMap)
    if issubclass(hint, Enum):
        return st.sampled_from(hint)
    return records(hint)


def fitting(value: Any, limit: Limit) -> Any:
    """A value like this one that its field may hold."""
    if isinstance(value, FrozenMap):
        return FrozenMap((key, fitting(one, limit)) for key, one in value.items())
    if isinstance(value, Money):
        return replace(value, amount=fitting(value.amount, limit))
    if isinstance(value, Quantity):
        return replace(value, number=fitting(value.number, limit))
    if isinstance(value, Span):
        low, likely, high = sorted(fitting(n, limit) for n in (value.low, value.likely, value.high))
        return Span(low, likely, high, value.ends)
    if value is None or isinstance(value, str) or not limit.fault(value):
        return value
    least = int(limit.low) if isinstance(value, int) else limit.low
    room = limit.high - limit.low
    most = room if limit.step == 1 else room // limit.step
    made = least + limit.step * (abs(value) % (int(most) if isinstance(value, int) else most))
    return made + 1 if limit.above and made == limit.low else made


@cache
def records(kind: type[Any]) -> st.SearchStrategy[Any]:
    """Records of one kind; a field with a default keeps it now and then."""
    hints = get_type_hints(kind)
    given: dict[str, st.SearchStrategy[Any]] = {}
    for item in dataclasses.fields(kind):
        values = unknown_fields() if item.name == "extra" else of_type(hints[item.name])
        limit = LIMITS.get((kind, item.name))
        if limit is not None:
            values = values.map(functools.partial(fitting, limit=limit))
        if item.default is not dataclasses.MISSING:
            values = st.just(item.default) | values
        given[item.name] = values
    return st.deferred(lambda: st.builds(kind, **given))


def candidates() -> st.SearchStrategy[Candidate]:
    """Boats with what was found and decided."""
    return st.builds(Candidate, records(Boat), records(Inspection), records(Ledger))


@st.composite
def projects(draw: st.DrawFn) -> Project:
    """Whole projects."""
    drawn = draw(st.dictionaries(IDS, candidates(), max_size=2))
    boats = {id_: replace(c, boat=replace(c.boat, id=id_)) for id_, c in drawn.items()}
    project = Project(
        draw(KEYS),
        draw(TEXTS),
        draw(records(Settings)),
        FrozenMap(boats),
        draw(st.lists(records(Comparable), max_size=2).map(tuple)),
        extra=draw(unknown_fields()),
    )
    prices = draw(st.dictionaries(KEYS, records(PriceOverride), max_size=2).map(FrozenMap))
    checks = draw(st.dictionaries(IDS.map(lambda i: f"{i}.toml"), TEXTS, max_size=2))
    overrides = replace(project.overrides, prices=prices, checks=FrozenMap(checks))
    return replace(project, overrides=replace(overrides, extra=draw(unknown_fields())))
