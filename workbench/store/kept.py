"""What a file says and this program could not read, kept so that saving does not lose it.

A field that cannot be read falls back to its default and the record goes on; an entry of a list or
a map that cannot be read is left out. What the file said there is `Kept` in the record's `extra`
under the field's own name, where no unknown field can ever stand, and is put back when the record
is written, as long as the record still says there what stood in for it. The same goes for what can
be read and would be written in another way: a bare number for money, a default that is spelled out.
"""

from __future__ import annotations

from enum import Enum

from workbench.domain.frozen import FrozenMap
from workbench.domain.record import dataclass

Step = str | int


class Absent(Enum):
    """Nothing stands there."""

    ABSENT = "absent"


ABSENT = Absent.ABSENT


@dataclass(frozen=True, slots=True)
class Kept:
    """One thing that could not be read.

    Attributes
    ----------
    path
        From the record to the place: a field's name, then keys and positions.
    written
        What the file says, frozen; ABSENT when a field is missing that is otherwise written.
    stand_in
        What the program would write there for the value it uses instead, frozen; ABSENT when it
        would write nothing.
    """

    path: tuple[Step, ...]
    written: object
    stand_in: object = ABSENT


def freeze(value: object) -> object:
    """Plain data that cannot change: FrozenMap for dict, tuple for list."""
    if type(value) is dict:
        return FrozenMap({key: freeze(inner) for key, inner in value.items()})
    if type(value) is list:
        return tuple(map(freeze, value))
    return value


def thaw(value: object) -> object:
    """The opposite of `freeze`."""
    if isinstance(value, FrozenMap):
        return {key: thaw(inner) for key, inner in value.items()}
    if isinstance(value, tuple):
        return list(map(thaw, value))
    return value


def put_back(plain: dict[str, object], kept: Kept) -> None:
    """Write what was kept into `plain`, a record ready to be written, where it still belongs."""
    holder: object = plain
    for step, following in zip(kept.path, kept.path[1:], strict=False):
        holder = _entered(holder, step, [] if isinstance(following, int) else {})
    last = kept.path[-1]
    if isinstance(holder, dict) and isinstance(last, str):
        if not _same(holder.get(last, ABSENT), kept.stand_in):
            return
        if kept.written is ABSENT:
            del holder[last]
        else:
            holder[last] = thaw(kept.written)
    elif isinstance(holder, list) and isinstance(last, int):
        _put_in_list(holder, last, kept)


def _put_in_list(holder: list[object], position: int, kept: Kept) -> None:
    if kept.stand_in is ABSENT:
        holder.insert(position, thaw(kept.written))
    elif position < len(holder) and _same(holder[position], kept.stand_in):
        holder[position] = thaw(kept.written)


def _entered(holder: object, step: Step, empty: object) -> object:
    """The list or map at `step`, made when the record no longer has one; None when misfitting."""
    if isinstance(holder, dict) and isinstance(step, str):
        return holder.setdefault(step, empty)
    if isinstance(holder, list) and isinstance(step, int) and step < len(holder):
        return holder[step]
    return None


def _same(plain: object, stand_in: object) -> bool:
    return plain is ABSENT if stand_in is ABSENT else plain == thaw(stand_in)
