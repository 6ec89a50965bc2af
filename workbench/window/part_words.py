"""What a file of the search holds, in words, and where two versions of it differ, in lines."""

from __future__ import annotations

import re
from collections.abc import Iterable

from workbench.domain.project import Project
from workbench.store import layout
from workbench.store.watching import Difference, differences
from workbench.window.texts import tr

MOST_NAMED = 4
_STEP = re.compile(r"\[(\d+)\]")


def part_words(path: str, project: Project) -> str:
    """A file by what it holds: 'Marigold Rae, readings' for `boats/.../inspection.json`."""
    boat_id = layout.boat_of(path)
    if boat_id:
        known = project.boats.get(boat_id)
        name = known.boat.name if known is not None else boat_id
        what = {
            "boat.json": tr("particulars"),
            "inspection.json": tr("readings and photos"),
            "ledger.json": tr("ledger and offers"),
        }.get(path.rpartition("/")[2], path.rpartition("/")[2])
        return f"{name}, {what}"
    if path.startswith(f"{layout.CHECKS}/"):
        return tr("own checks, {file}").format(file=path.rpartition("/")[2])
    return {
        layout.PROJECT: tr("settings and list of boats"),
        layout.COMPARABLES: tr("comparables"),
        layout.PRICES: tr("own prices"),
    }.get(path, path)


def parts_in_words(paths: Iterable[str], project: Project) -> str:
    """Several files in one line, the first few by name."""
    named = [part_words(path, project) for path in paths]
    shown = "; ".join(named[:MOST_NAMED])
    more = len(named) - MOST_NAMED
    return f"{shown}; {tr('{n} more').format(n=more)}" if more > 0 else shown


def difference_lines(theirs: bytes | None, mine: bytes | None) -> tuple[tuple[str, str, str], ...]:
    """Where two versions of a file differ: place, theirs, mine; a whole file where one is none."""
    if theirs is None or mine is None:
        words = (tr("there"), tr("not there"))
        one, other = words if mine is None else reversed(words)
        return ((tr("the whole file"), one, other),)
    return tuple(_line(one) for one in differences(theirs, mine)) if theirs != mine else ()


def _line(one: Difference) -> tuple[str, str, str]:
    place = _STEP.sub(lambda found: f" {found[1]}", one.place.replace(".", ", "))
    place = place.replace("-", " ").replace("_", " ")
    return place or tr("the whole file"), _value(one.theirs), _value(one.mine)


def _value(value: object) -> str:
    """A value of a file in a few words."""
    if value is None:
        return "–"
    if isinstance(value, dict):
        return tr("an entry with {n} fields").format(n=len(value))
    if isinstance(value, list):
        return tr("{n} entries").format(n=len(value))
    text = " ".join(str(value).split())
    return text if len(text) <= 80 else f"{text[:79]}…"
