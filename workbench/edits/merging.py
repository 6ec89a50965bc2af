"""Two versions of a search that grew from one, put together field by field.

    put_together(before, theirs, mine, keep=()) -> Together(project, differences)

A field that only one of the two changed takes that one's value. Where both changed it, to different
values, it is listed as a clash, and `keep` says for which of those mine is taken; for the others
theirs is. Lists of things with an id (readings, quotes, jobs) are put together by the id, lists of
names by the name. What belongs together is one value: a range, an amount with its currency, a grade
with its reason. A reading that both entered under the same id is two readings.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Collection, Iterable
from typing import Any

from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection, Photo, Reading
from workbench.domain.ledger import Ledger, LineChange, OfferMade, OwnLine, Quote
from workbench.domain.project import Candidate, Comparable, Overrides, PriceOverride, Project
from workbench.domain.record import dataclass
from workbench.domain.settings import Fee, Settings, YearlyCost

from .edit import Edit, Path, Put
from .inspecting import in_order, new_reading_id

WHOLE = ("name", "settings", "boats", "comparables", "overrides", "extra")
"""The fields of a project that can be different in two versions of one."""
_BY_FIELD = (
    *(Project, Candidate, Boat, Inspection, Ledger, Settings, Overrides),
    *(Photo, Reading, LineChange, OfferMade, OwnLine, Quote, Comparable, PriceOverride),
    *(Fee, YearlyCost),
)
"""Records that are put together field by field; every other one is a value of its own."""
_ALWAYS_BY_FIELD = (Candidate, Boat, Inspection, Ledger)
"""Those even where both entered them anew: a boat of that name is the same boat."""


class _Missing:
    """The value of what is not there."""

    def __repr__(self) -> str:
        return "MISSING"


MISSING = _Missing()


@dataclass(frozen=True, slots=True)
class Difference:
    """One place where the two versions differ.

    Attributes
    ----------
    path
        From the project down: fields, keys and ids.
    before, theirs, mine
        What stood there, and what each has; MISSING for nothing.
    """

    path: Path
    before: object
    theirs: object
    mine: object

    @property
    def is_clash(self) -> bool:
        """Whether both changed it, so that somebody has to choose."""
        return self.before not in (self.theirs, self.mine)

    @property
    def is_mine(self) -> bool:
        """Whether only this side changed it."""
        return self.theirs == self.before


@dataclass(frozen=True, slots=True)
class Together:
    """Both versions in one, and every place where they differ."""

    project: Project
    differences: tuple[Difference, ...]

    @property
    def clashes(self) -> tuple[Difference, ...]:
        """The places that both changed."""
        return tuple(one for one in self.differences if one.is_clash)


def put_together(
    before: Project, theirs: Project, mine: Project, keep: Collection[Path] = ()
) -> Together:
    """Both versions in one; at clashes mine where `keep` names the place, theirs elsewhere."""
    weaver = _Weaver(keep)
    fields = {
        name: weaver.woven(
            (name,), getattr(before, name), getattr(theirs, name), getattr(mine, name)
        )
        for name in WHOLE
    }
    return Together(dataclasses.replace(theirs, **fields), tuple(weaver.found))


def take_over(project: Project, label: str) -> Edit:
    """The edit that makes a search what another version of it is."""
    return Edit(label, tuple(Put((name,), getattr(project, name)) for name in WHOLE))


class _Weaver:
    """Goes through both versions at once and notes where they differ."""

    def __init__(self, keep: Collection[Path]) -> None:
        self._keep = frozenset(keep)
        self.found: list[Difference] = []

    def woven(self, path: Path, before: Any, theirs: Any, mine: Any) -> Any:
        """What is to stand at a place."""
        if theirs is mine or theirs == mine:
            return theirs
        if isinstance(theirs, FrozenMap) and isinstance(mine, FrozenMap):
            return FrozenMap(self._by_key(path, _map_of(before), theirs, mine))
        if isinstance(theirs, tuple) and isinstance(mine, tuple):
            return self._list(path, before, theirs, mine)
        if type(theirs) is type(mine) and self._is_by_field(before, mine):
            return self._by_field(path, before, theirs, mine)
        return self._chosen(path, before, theirs, mine)

    @staticmethod
    def _is_by_field(before: Any, record: Any) -> bool:
        if isinstance(record, _ALWAYS_BY_FIELD):
            return True
        return isinstance(record, _BY_FIELD) and type(before) is type(record)

    def _by_field(self, path: Path, before: Any, theirs: Any, mine: Any) -> Any:
        fields = {
            field.name: self.woven(
                (*path, field.name),
                getattr(before, field.name, MISSING),
                getattr(theirs, field.name),
                getattr(mine, field.name),
            )
            for field in dataclasses.fields(theirs)
        }
        made = dataclasses.replace(theirs, **fields)
        return _answered_once(made) if isinstance(made, Ledger) else made

    def _by_key(self, path: Path, before: Any, theirs: Any, mine: Any) -> dict[Any, Any]:
        """The items of both: theirs in their order, then what only mine has."""
        made = {}
        for key in (*theirs, *(key for key in mine if key not in theirs)):
            value = self.woven(
                (*path, str(key)),
                before.get(key, MISSING),
                theirs.get(key, MISSING),
                mine.get(key, MISSING),
            )
            if value is not MISSING:
                made[key] = value
        return made

    def _list(self, path: Path, before: Any, theirs: Any, mine: Any) -> Any:
        earlier = before if isinstance(before, tuple) else ()
        everything = (*earlier, *theirs, *mine)
        if all(isinstance(one, str) for one in everything):
            return _names(earlier, theirs, mine)
        if not all(isinstance(one, _BY_FIELD) and hasattr(one, "id") for one in everything):
            return self._chosen(path, before, theirs, mine)
        known = {one.id: one for one in earlier}
        other = {one.id: one for one in theirs}
        own = {one.id: one for one in mine}
        if len(known) + len(other) + len(own) != len(everything):
            return self._chosen(path, before, theirs, mine)  # an id twice: not ours to untangle
        if any(isinstance(one, Reading) for one in everything):
            own = _beside(known, other, own)
        made = tuple(self._by_key(path, known, other, own).values())
        return in_order(made) if any(isinstance(one, Reading) for one in made) else made

    def _chosen(self, path: Path, before: Any, theirs: Any, mine: Any) -> Any:
        found = Difference(path, before, theirs, mine)
        self.found.append(found)
        if found.is_clash:
            return mine if path in self._keep else theirs
        return mine if found.is_mine else theirs


def _map_of(before: Any) -> Any:
    return before if isinstance(before, FrozenMap) else FrozenMap()


def _names(before: Iterable[str], theirs: Iterable[str], mine: Iterable[str]) -> tuple[str, ...]:
    """Names that both have or one added, less those that one took away."""
    earlier, other, own = (dict.fromkeys(names) for names in (before, theirs, mine))
    gone = {name for name in earlier if name not in other or name not in own}
    return tuple(name for name in {**other, **own} if name not in gone)


def _beside(before: dict[str, Any], theirs: dict[str, Any], mine: dict[str, Any]) -> dict[str, Any]:
    """My readings, with another id for those whose id they gave to another new reading."""
    made: dict[str, Any] = {}
    for id_, one in mine.items():
        if id_ in theirs and id_ not in before and theirs[id_] != one:
            taken = (*theirs.values(), *mine.values(), *made.values())
            one = dataclasses.replace(one, id=new_reading_id(taken, one.taken, one.by))  # noqa: PLW2901 - the same reading under another id
        made[one.id] = one
    return made


def _answered_once(ledger: Ledger) -> Ledger:
    """A line is answered by one quote; a later quote takes it from an earlier one."""
    taken: set[str] = set()
    made: list[Quote] = []
    for quote in reversed(ledger.quotes):
        kept = tuple(key for key in quote.answers if key not in taken)
        taken.update(quote.answers)
        made.append(quote if kept == quote.answers else dataclasses.replace(quote, answers=kept))
    return dataclasses.replace(ledger, quotes=tuple(reversed(made)))
