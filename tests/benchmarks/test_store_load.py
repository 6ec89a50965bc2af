"""How long opening and saving a large search take, as ratios to the bare JSON module (L1, L5).

The search is the reference load: 200 boats and 20,000 ledger lines, some 4 MiB of text in 400
files. The baseline for opening is the standard parser on the same bytes already in memory; for
saving it is the standard writer on the same plain data.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from time import perf_counter
from typing import Any

import pytest

from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.ledger import Ledger, OwnLine
from workbench.domain.project import Candidate, Project
from workbench.domain.span import Span
from workbench.store.folder import create_project, open_project, save_project
from workbench.store.parts import Listed, bytes_of, parts_of

BOATS, LINES = 200, 100


def large_project(project: Project) -> Project:
    """The reference load."""
    cost = Span(Decimal("80.00"), Decimal("120.00"), Decimal("200.00"))
    lines = tuple(
        OwnLine(f"line-{n}", f"Job number {n}", cost, "engine", access=("haul-out",), note="Seen.")
        for n in range(LINES)
    )
    boats = {
        f"boat-{n}": Candidate(Boat(f"boat-{n}", f"Boat {n}"), ledger=Ledger(own_lines=lines))
        for n in range(BOATS)
    }
    return replace(project, boats=FrozenMap(boats))


@pytest.fixture(scope="module")
def search(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The reference load on the disk."""
    path = tmp_path_factory.mktemp("load") / "search"
    opened = create_project(path, "Large")
    save_project(opened.folder, large_project(opened.project), opened.project)
    opened.folder.close()
    return path


def best_of(runs: int, work: Callable[[], object]) -> float:
    """The shortest time [s] of some runs; the shortest is the least disturbed."""
    times = []
    for _ in range(runs):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times)


def leave_ratio(
    benchmark: Any, work: Callable[[], object], bare: Callable[[], object], limit: float
) -> float:
    """Measure `work` and leave its ratio to `bare`, timed before and after it."""
    before = best_of(3, bare)
    benchmark.pedantic(work, rounds=5, iterations=1, warmup_rounds=1)
    base = min(before, best_of(3, bare))
    ratio = float(benchmark.stats.stats.min) / base
    benchmark.extra_info["ratio"] = ratio
    benchmark.extra_info["limit"] = limit
    return ratio


def test_opening_against_the_bare_parser(benchmark: Any, search: Path) -> None:
    """L1."""
    texts = [path.read_bytes() for path in sorted(search.rglob("*.json"))]

    def open_and_close() -> None:
        opened = open_project(search)
        assert len(opened.project.boats) == BOATS
        opened.folder.close()

    def parse() -> list[object]:
        return [json.loads(text) for text in texts]

    assert leave_ratio(benchmark, open_and_close, parse, limit=13) > 1


def test_encoding_all_boats_against_the_bare_writer(benchmark: Any, search: Path) -> None:
    """L5."""
    opened = open_project(search)
    opened.folder.close()
    plain = [json.loads(path.read_bytes()) for path in sorted(search.rglob("*.json"))]

    def encode_all() -> list[bytes | None]:
        return [bytes_of(record) for record in parts_of(opened.project, Listed()).values()]

    def write() -> list[str]:
        return [json.dumps(content, indent=1, sort_keys=True) for content in plain]

    assert leave_ratio(benchmark, encode_all, write, limit=1.4) > 0


def test_saving_one_boat_against_the_bare_parser(benchmark: Any, search: Path) -> None:
    """L5: the disk's flushes are in it, so the limit is wide."""
    texts = [path.read_bytes() for path in sorted(search.rglob("*.json"))]
    opened = open_project(search)
    saved = opened.project
    names = iter(range(10**6))

    def save_one() -> None:
        nonlocal saved
        found = saved.boats["boat-7"]
        boat = replace(found.boat, name=f"Name {next(names)}")
        changed = replace(saved, boats=saved.boats.set("boat-7", replace(found, boat=boat)))
        assert save_project(opened.folder, changed, saved).complete
        saved = changed

    def parse() -> list[object]:
        return [json.loads(text) for text in texts]

    assert leave_ratio(benchmark, save_one, parse, limit=2) > 0
    opened.folder.close()
