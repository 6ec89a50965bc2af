"""Where two versions of a search differ, in words: the part, the place in it, and the values."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from enum import Enum
from types import UnionType
from typing import TYPE_CHECKING, Any

from workbench.domain.frozen import FrozenMap
from workbench.domain.money import Money
from workbench.domain.project import Candidate, Project
from workbench.domain.quantity import Quantity
from workbench.domain.span import Span
from workbench.edits.merging import MISSING, Difference
from workbench.store import layout
from workbench.window import formatting
from workbench.window.part_words import part_words
from workbench.window.texts import tr

if TYPE_CHECKING:
    from workbench.catalogue.model import Catalogue

_LONGEST = 120
_FILES = {"boat": "boat.json", "inspection": "inspection.json", "ledger": "ledger.json"}
_BESIDE = {"comparables": layout.COMPARABLES, "overrides": layout.PRICES}
_NAMED_BY = ("title", "name", "original_name", "id")
_MOST_NAMED = 3
_SILENT: tuple[object, ...] = ("", (), FrozenMap())


def place_words(one: Difference, project: Project, catalogue: Catalogue | None) -> str:
    """Where it is: 'Marigold Rae, readings and photos: Cutless bearing, values, play'."""
    path = one.path
    if path[0] == "boats" and len(path) > 1:
        if len(path) == 2:
            known = project.boats.get(path[1])
            name = known.boat.name if known is not None else _thing(one.theirs)
            return tr("{boat}, the whole boat").format(boat=name or path[1])
        part, rest = layout.boat_path(path[1], _FILES[path[2]]), path[3:]
    else:
        part, rest = _BESIDE.get(path[0], layout.PROJECT), path[path[0] == "settings" :]
    steps = ", ".join(_step(step, catalogue) for step in rest if step != path[0] or len(rest) == 1)
    return f"{part_words(part, project)}: {steps}"


def _step(step: str, catalogue: Catalogue | None) -> str:
    check = catalogue.checks.get(step) if catalogue is not None else None
    return check.title if check is not None else step.replace("_", " ").replace("-", " ")


def value_words(value: object, beside: object = MISSING) -> str:
    """A value of either version; of a list, only what the other's list `beside` it has not."""
    if isinstance(value, tuple) and isinstance(beside, tuple):
        value = tuple(one for one in value if one not in beside) or value
    words = _value(value)
    return words if len(words) <= _LONGEST else f"{words[: _LONGEST - 1]}…"


def _value(value: object) -> str:
    if value is MISSING or value is None or value == "":
        return "–"
    said = next((words(value) for kind, words in _WORDS if isinstance(value, kind)), None)
    return _thing(value) if said is None else said


def _span(span: Span) -> str:
    return " / ".join(formatting.estimate(end) for end in (span.low, span.likely, span.high))


def _several(held: tuple[object, ...]) -> str:
    if not held or len(held) > _MOST_NAMED:
        return tr("{n} entries").format(n=len(held))
    return "; ".join(_value(one) for one in held)


def _pairs(held: Mapping[object, object]) -> str:
    if not held or len(held) > _MOST_NAMED:
        return tr("{n} entries").format(n=len(held))
    return "; ".join(f"{key}: {_value(one)}" for key, one in held.items())


_WORDS: tuple[tuple[type | UnionType, Callable[[Any], str]], ...] = (
    (bool, lambda yes: tr("yes") if yes else tr("no")),
    (Quantity, formatting.quantity),
    (Money, lambda money: f"{formatting.exact(money)} {money.currency}"),
    (Span, _span),
    (Enum, lambda one: str(one.value)),
    (date, date.isoformat),
    (str | int | float | Decimal, lambda plain: " ".join(str(plain).split())),
    (tuple, _several),
    (Mapping, _pairs),
)
"""How a value of each kind is written; a yes is a number too, so it comes first."""


def _thing(value: object) -> str:
    """A record by what it is called, or by what stands in it."""
    if isinstance(value, Candidate):
        return value.boat.name
    texts = (getattr(value, name, "") for name in _NAMED_BY)
    said = next((text for text in texts if isinstance(text, str) and text), "")
    if said or not dataclasses.is_dataclass(value):
        return said
    held = (getattr(value, field.name) for field in dataclasses.fields(value))
    return ", ".join(_value(one) for one in held if _says_something(one))


def _says_something(value: object) -> bool:
    return value is not None and value is not False and value not in _SILENT
