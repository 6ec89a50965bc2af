"""Edits of the shortlist: entering boats and changing what is known of them."""

from __future__ import annotations

import dataclasses
import hashlib
import itertools
import re
import unicodedata
from datetime import date

from workbench.domain.boat import AskingPrice, Boat, WorthToMe
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.project import Candidate, Project
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Status

from .edit import NOTHING, Edit, Put
from .words import is_blank


def new_boat_id(project: Project, name: str) -> str:
    """An id for a boat of that name that no boat of the project has."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:34] or "boat"
    if stem not in project.boats:
        return stem
    numbered = (f"{stem}-{number}" for number in itertools.count(2))
    return next(one for one in numbered if one not in project.boats)


def stream_of(project_id: str, boat_id: str) -> int:
    """The number that fixes a boat's random draws for good (48 bits)."""
    digest = hashlib.blake2b(f"{project_id}/{boat_id}".encode(), digest_size=6)
    return int.from_bytes(digest.digest(), "big")


def add_boat(project: Project, boat: Boat) -> Edit:
    """Put a boat on the shortlist; an empty id or stream is made here.

    Raises
    ------
    EntryError
        When she has no name or the id is taken.
    """
    if is_blank(boat.name):
        raise EntryError("Give the boat a name, or what you call her.")
    boat_id = boat.id or new_boat_id(project, boat.name)
    if boat_id in project.boats:
        raise EntryError(f"There is a boat “{boat_id}” already.")
    made = dataclasses.replace(
        boat,
        id=boat_id,
        name=boat.name.strip(),
        stream=boat.stream or stream_of(project.id, boat_id),
    )
    return Edit(f"Add {made.name}", (Put(("boats", boat_id), Candidate(made)),))


def duplicate_boat(project: Project, boat_id: str, name: str = "") -> Edit:
    """Put a copy of a boat, with all that was found, on the shortlist.

    Her record names photos and documents by their files, which the caller keeps for the copy too.
    """
    found = project.boats[boat_id]
    name = name or f"{found.boat.name} (copy)"
    copy_id = new_boat_id(project, name)
    boat = dataclasses.replace(
        found.boat, id=copy_id, name=name, stream=stream_of(project.id, copy_id)
    )
    put = Put(("boats", copy_id), dataclasses.replace(found, boat=boat))
    return Edit(f"Duplicate {found.boat.name}", (put,))


def remove_boat(project: Project, boat_id: str) -> Edit:
    """Take a boat off the shortlist; undo brings her back with everything."""
    return Edit(f"Remove {project.boats[boat_id].boat.name}", (Put(("boats", boat_id), NOTHING),))


def remove_boats(project: Project, boat_ids: tuple[str, ...]) -> Edit:
    """Take several boats off the shortlist in one step."""
    if len(boat_ids) == 1:
        return remove_boat(project, boat_ids[0])
    puts = tuple(put for boat_id in boat_ids for put in remove_boat(project, boat_id).puts)
    return Edit(f"Remove {len(boat_ids)} boats", puts)


def change_boat(project: Project, boat_id: str, field: str, value: object, what: str) -> Edit:
    """Change one field of a boat's record; `what` names it in the undo command."""
    name = project.boats[boat_id].boat.name
    return Edit(
        f"{what} of {name}", (Put(("boats", boat_id, "boat", field), value),), f"{boat_id}/{field}"
    )


def rename_boat(project: Project, boat_id: str, name: str) -> Edit:
    """Give a boat another name; her id and folder stay.

    Raises
    ------
    EntryError
        When the name is empty.
    """
    if is_blank(name):
        raise EntryError("Give the boat a name, or what you call her.")
    return change_boat(project, boat_id, "name", name.strip(), "Name")


def set_dimension(
    project: Project, boat_id: str, dimension: str, value: Quantity | None, what: str
) -> Edit:
    """Set or clear one measured particular."""
    path = ("boats", boat_id, "boat", "dimensions", dimension)
    label = f"{what} of {project.boats[boat_id].boat.name}"
    return Edit(label, (Put(path, NOTHING if value is None else value),), "/".join(path))


def set_fact(project: Project, boat_id: str, fact: str, value: str | None, what: str) -> Edit:
    """Set or clear one fit-out fact."""
    path = ("boats", boat_id, "boat", "facts", fact)
    label = f"{what} of {project.boats[boat_id].boat.name}"
    return Edit(label, (Put(path, NOTHING if value is None else value),))


def set_asking_price(
    project: Project, boat_id: str, price: Money, on: date | None, note: str = ""
) -> Edit:
    """Add a price to the asking history; on the day of the last one it replaces that.

    Raises
    ------
    EntryError
        When the price is negative.
    """
    if price.amount < 0:
        raise EntryError("An asking price cannot be negative.")
    boat = project.boats[boat_id].boat
    history = boat.asking
    if history and history[-1].on == on:
        history = history[:-1]
    asked = (*history, AskingPrice(price, on, note))
    return Edit(
        f"Asking price of {boat.name}",
        (Put(("boats", boat_id, "boat", "asking"), asked),),
        f"{boat_id}/asking/{on}",
    )


def set_asking_history(project: Project, boat_id: str, history: tuple[AskingPrice, ...]) -> Edit:
    """Set all prices that were asked, in the order of their days; those without one come first.

    Raises
    ------
    EntryError
        When a price is negative.
    """
    if any(one.price.amount < 0 for one in history):
        raise EntryError("An asking price cannot be negative.")
    in_order = tuple(sorted(history, key=lambda one: one.on or date.min))
    return change_boat(project, boat_id, "asking", in_order, "Asking price")


def set_status(project: Project, boat_id: str, status: Status, reason: str) -> Edit:
    """Say where a boat stands, and why."""
    path = ("boats", boat_id, "boat")
    return Edit(
        f"Status of {project.boats[boat_id].boat.name}",
        (Put((*path, "status"), status), Put((*path, "status_reason"), reason)),
    )


def set_portrait(project: Project, boat_id: str, photo_id: str) -> Edit:
    """Let a photo on record stand for a boat; '' for none."""
    return change_boat(project, boat_id, "portrait", photo_id, "Picture")


def archive_boat(project: Project, boat_id: str, archived: bool) -> Edit:
    """Put a boat away without losing anything, or bring her back."""
    name = project.boats[boat_id].boat.name
    return Edit(
        f"Put away {name}" if archived else f"Bring back {name}",
        (Put(("boats", boat_id, "boat", "archived"), archived),),
    )


def archive_boats(project: Project, boat_ids: tuple[str, ...], *, archived: bool) -> Edit:
    """Put several boats away, or bring them back, in one step."""
    if len(boat_ids) == 1:
        return archive_boat(project, boat_ids[0], archived)
    edits = [archive_boat(project, boat_id, archived) for boat_id in boat_ids]
    count = len(boat_ids)
    label = f"Put away {count} boats" if archived else f"Bring back {count} boats"
    return Edit(label, tuple(put for one in edits for put in one.puts))


def set_worth_to_me(project: Project, boat_id: str, items: tuple[WorthToMe, ...]) -> Edit:
    """Set what about a boat is worth money to this buyer."""
    return change_boat(project, boat_id, "worth_to_me", items, "Worth to me")
