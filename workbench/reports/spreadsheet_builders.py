"""Which function writes which spreadsheet; sheets that are set as PDF stand in `sheet_builders`.

A spreadsheet is written into an open file, whole; `export` names and places it.
"""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import IO

from .sheet_builders import Order
from .spreadsheet_form import write_form
from .spreadsheet_quote import write_request
from .workbook import write_workbook
from .yard_view import yard_view


def _field_form(order: Order, target: IO[bytes]) -> None:
    imperial = order.assessment.project.settings.units == "imperial"
    write_form(order.boat, order.assessment.catalogue, order.on, target, imperial=imperial)


def _yard_request(order: Order, target: IO[bytes]) -> None:
    view = yard_view(order.boat, order.assessment.catalogue, order.on)
    write_request(view, order.boat.id, order.assessment.catalogue, target)


def _workbook(order: Order, target: IO[bytes]) -> None:
    """The workbook of the wanted boats, without what is for the buyer alone."""
    _write_workbook(order, target, private=False)


def _private_workbook(order: Order, target: IO[bytes]) -> None:
    """The workbook of the wanted boats with offers, limits, private notes and contacts."""
    _write_workbook(order, target, private=True)


def _write_workbook(order: Order, target: IO[bytes], *, private: bool) -> None:
    boats = {name: order.assessment.boats[name] for name in order.boats}
    wanted = dataclasses.replace(order.assessment, boats=boats)
    with tempfile.TemporaryDirectory(prefix="hardstand-") as folder:
        made = write_workbook(wanted, Path(folder) / "workbook.xlsx", private=private)
        target.write(made.read_bytes())


SPREADSHEETS: dict[str, Callable[[Order, IO[bytes]], None]] = {
    "field-sheet": _field_form,
    "yard-sheet": _yard_request,
    "workbook": _workbook,
    "workbook-private": _private_workbook,
}
