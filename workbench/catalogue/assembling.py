"""Catalogue texts to linked records: all files read and built, faults reported at once.

`build` makes a catalogue of texts; `with_own` adds a project's own checks to one. A fault never
stops the rest: it is noted with its file and line, and what cannot be made is left out.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

from workbench.domain.frozen import FrozenMap
from workbench.domain.problem import Problem
from workbench.domain.project import Overrides

from . import building, price_building
from .linking import faults_of
from .model import Catalogue, Check, Loaded, PriceBook, PriceItem, System
from .reading import AS_WRITTEN, Faults, Table, Translations, read_text
from .wording import ENGLISH_WORDING, Wording

R = TypeVar("R")


def build(
    texts: Mapping[str, str],
    translations: Translations = AS_WRITTEN,
    wording: Wording = ENGLISH_WORDING,
) -> Loaded:
    """The catalogue written in `texts`, by file name relative to the resources folder.

    Parameters
    ----------
    translations
        What its texts are in the language of `wording`, by the English text.
    """
    faults = Faults()
    read = {name: read_text(text, name, faults, translations) for name, text in texts.items()}
    systems: dict[str, System] = {}
    checks: dict[str, Check] = {}
    items: dict[str, PriceItem] = {}
    for name, (table, lines) in read.items():
        if name.startswith("catalogue/checks/"):
            _add_system(table, lines, systems, checks)
        elif name.startswith("prices/items/"):
            _add_items(table, lines, items)
    shared = _Shared(read)
    rates = shared.table("prices/rates.toml")
    book = rates.table("book")
    catalogue = Catalogue(
        systems=FrozenMap(sorted(systems.items(), key=lambda pair: pair[1].order)),
        stations=shared.records("catalogue/stations.toml", "station", building.station),
        facts=shared.records("catalogue/fitout.toml", "fact", building.fact),
        dimensions=shared.records("catalogue/fitout.toml", "dimension", building.dimension),
        cautions=shared.records("catalogue/cautions.toml", "caution", building.caution),
        checks=_in_order(checks.values(), systems),
        access=shared.records("catalogue/access.toml", "task", building.access_task),
        looks=shared.records("catalogue/looks.toml", "look", building.look),
        prices=PriceBook(
            currency=book.text("currency", "USD"),
            region=book.words("region", ""),
            dated=book.text("dated", ""),
            items=FrozenMap(items),
            trades=shared.records("prices/rates.toml", "trade", price_building.trade),
        ),
        wording=wording,
    )
    return Loaded(catalogue, (*faults.found, *faults_of(catalogue, _places(read))))


_KINDS = {"check": "check", "item": "price", "task": "access task", "look": "look"}


def _places(read: Mapping[str, tuple[Table, dict[str, list[int]]]]) -> dict[str, str]:
    """File and line of every record that a fault of linking can name."""
    return {
        f"{word} {one.data.get('id')}": f"{one.file}:{one.line}"
        for table, lines in read.values()
        for key, word in _KINDS.items()
        for one in table.tables(key, key, lines)
    }


class _Shared:
    """The tables that all systems share, by file name."""

    def __init__(self, read: dict[str, tuple[Table, dict[str, list[int]]]]) -> None:
        self._read = read

    def table(self, file: str) -> Table:
        """The whole of one file; an empty table when it is missing."""
        if file in self._read:
            return self._read[file][0]
        faults = Faults()
        return Table({}, file, 0, [], faults)

    def records(self, file: str, key: str, make: Callable[[Table], R]) -> FrozenMap[str, R]:
        """The records of one kind, by id; a second one of the same id is a fault."""
        table = self.table(file)
        lines = self._read[file][1] if file in self._read else {}
        made: dict[str, R] = {}
        for one in table.tables(key, key, lines):
            _put(made, str(one.data.get("id", "")), make(one), one)
        return FrozenMap(made)


def _put(into: dict[str, R], name: str, record: R, table: Table) -> None:
    if name in into:
        table.fault(f"“{name}” is there already.", "Give one of the two another id.", "id")
    into[name] = record


def _add_system(
    table: Table,
    lines: dict[str, list[int]],
    systems: dict[str, System],
    checks: dict[str, Check],
) -> None:
    head = table.table("system", required=True)
    made = building.system(head)
    _put(systems, made.id, made, head)
    for order, one in enumerate(table.tables("check", "check", lines)):
        check = building.check(one, made.id, lines, order)
        _put(checks, check.id, check, one)
    table.nothing_else()


def _add_items(table: Table, lines: dict[str, list[int]], items: dict[str, PriceItem]) -> None:
    book = table.table("book").text("system", "")
    for one in table.tables("item", "item", lines):
        item = price_building.price_item(one, book)
        _put(items, item.id, item, one)
    table.nothing_else()


def _in_order(checks: Iterable[Check], systems: Mapping[str, System]) -> FrozenMap[str, Check]:
    def place(check: Check) -> tuple[int, int]:
        return (systems[check.system].order, check.order)

    return FrozenMap((check.id, check) for check in sorted(checks, key=place))


def with_own(catalogue: Catalogue, overrides: Overrides) -> Loaded:
    """The catalogue with a project's own checks and their prices added.

    An own check file is written like a shipped one and may hold `[[item]]` prices beside its
    checks. A file with a fault is left out and its faults are answered.
    """
    problems: list[Problem] = []
    for name, text in overrides.checks.items():
        loaded = _with_own(catalogue, f"overrides/checks/{name}", text)
        problems += loaded.problems
        if not loaded.problems:
            catalogue = loaded.catalogue
    return Loaded(catalogue, tuple(problems))


def _with_own(catalogue: Catalogue, name: str, text: str) -> Loaded:
    faults = Faults()
    table, lines = read_text(text, name, faults)
    systems: dict[str, System] = {}
    checks: dict[str, Check] = {}
    items: dict[str, PriceItem] = {}
    for one in table.tables("item", "item", lines):
        _put(items, str(one.data.get("id", "")), price_building.price_item(one, "own"), one)
    _add_system(table, lines, systems, checks)
    own = {key: _marked(check) for key, check in checks.items()}
    merged_systems = {**systems, **catalogue.systems}
    merged = _replace(catalogue, merged_systems, {**catalogue.checks, **own}, items)
    known = set(faults_of(catalogue))
    new = [problem for problem in faults_of(merged) if problem not in known]
    return Loaded(merged, (*faults.found, *new))


def _marked(check: Check) -> Check:
    return dataclasses.replace(check, own=True)


def _replace(
    catalogue: Catalogue,
    systems: dict[str, System],
    checks: dict[str, Check],
    items: dict[str, PriceItem],
) -> Catalogue:
    prices = dataclasses.replace(
        catalogue.prices, items=FrozenMap({**catalogue.prices.items, **items})
    )
    return dataclasses.replace(
        catalogue,
        systems=FrozenMap(sorted(systems.items(), key=lambda pair: pair[1].order)),
        checks=_in_order(checks.values(), systems),
        prices=prices,
    )
