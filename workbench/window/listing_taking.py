"""An advertisement taken in: what was ticked becomes a boat, or fills what is not known of one."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from datetime import date
from typing import Any

from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.edits.boats import add_boat
from workbench.edits.edit import Edit, Put
from workbench.window.texts import tr

_PLAIN = (
    *("name", "design", "builder", "year", "lies_at", "seller", "contact", "hull_number"),
    "listing_address",
)


def boat_with(boat: Boat, taken: Mapping[str, object], today: date) -> Boat:
    """A boat with the particulars taken put over what she has; prices go into the history."""
    plain: dict[str, Any] = {key: taken[key] for key in _PLAIN if key in taken}
    dimensions, facts = boat.dimensions, boat.facts
    for field, value in taken.items():
        kind, _, key = field.partition("/")
        if kind == "size" and isinstance(value, Quantity):
            dimensions = dimensions.set(key, value)
        elif kind == "fact" and isinstance(value, str):
            facts = facts.set(key, value)
    asking = _asking(boat.asking, taken, today)
    return dataclasses.replace(boat, **plain, dimensions=dimensions, facts=facts, asking=asking)


def _asking(
    history: tuple[AskingPrice, ...], taken: Mapping[str, object], today: date
) -> tuple[AskingPrice, ...]:
    earlier, now = taken.get("earlier_price"), taken.get("price")
    made = list(history)
    if isinstance(earlier, Money) and all(one.price != earlier for one in made):
        made.insert(0, AskingPrice(earlier, None, tr("earlier, says the advertisement")))
    if isinstance(now, Money) and (not made or made[-1].price != now):
        made = [one for one in made if one.on != today]
        made.append(AskingPrice(now, today, tr("from the advertisement")))
    return tuple(made)


def edit_of(project: Project, boat: Boat) -> Edit:
    """The one step that puts a boat on the list, or what changed of one that is there.

    Raises
    ------
    EntryError
        When she has no name, or her id was taken meanwhile.
    """
    if boat.id not in project.boats:
        return add_boat(project, boat)
    before, path = project.boats[boat.id].boat, ("boats", boat.id, "boat")
    names = [field.name for field in dataclasses.fields(Boat)]
    puts = tuple(
        Put((*path, name), getattr(boat, name))
        for name in names
        if getattr(before, name) != getattr(boat, name)
    )
    return Edit(tr("Fill in {name}").format(name=before.name), puts)
