"""The same edit of several lines or checks of one boat, as one step to undo."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from workbench.domain.inspection import Reading
from workbench.domain.ledger import LineChange
from workbench.domain.problem import EntryError
from workbench.domain.project import Project

from .costing import change_line
from .edit import Edit
from .inspecting import record_reading


def change_lines(
    project: Project,
    boat_id: str,
    keys: tuple[str, ...],
    change: Callable[[LineChange], LineChange],
) -> Edit:
    """Change several work lines alike: `change` is given what the buyer changed of each before.

    Raises
    ------
    EntryError
        When no line is named.
    """
    if not keys:
        raise EntryError("Choose the lines first.")
    held = project.boats[boat_id].ledger.changes
    puts = [
        put
        for key in keys
        for put in change_line(project, boat_id, key, change(held.get(key, LineChange()))).puts
    ]
    return Edit(f"Change {len(keys)} lines", tuple(puts))


def record_readings(project: Project, boat_id: str, readings: Mapping[str, Reading]) -> Edit:
    """Put a reading of each of several checks on record.

    Raises
    ------
    EntryError
        When no check is named.
    """
    if not readings:
        raise EntryError("Choose the checks first.")
    puts = [
        put
        for check, reading in readings.items()
        for put in record_reading(project, boat_id, check, reading).puts
    ]
    return Edit(f"Readings of {len(readings)} checks", tuple(puts))
