"""How long a whole assessment takes, as a ratio to a bare sum (see this folder's conftest).

`test_draws_ratio` measures the draws alone; here everything is figured that the window shows:
findings, lines, access work, draws, claims, offers. The figures of a boat are those of the shipped
catalogue, nobody having looked at half of her; sizes that no real boat reaches are made of the
buyer's own lines. Each test also checks what it timed.
"""

from __future__ import annotations

import dataclasses
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from itertools import count
from time import perf_counter
from typing import Any

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tests.figures.small_yard import small_catalogue
from workbench.catalogue.loading import load
from workbench.catalogue.model import Catalogue
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection, Overruling
from workbench.domain.ledger import Ledger, LineChange, OwnLine
from workbench.domain.money import Money
from workbench.domain.project import Candidate, Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings
from workbench.domain.span import Ends, Span
from workbench.domain.vocabulary import Grade
from workbench.edits import costing
from workbench.edits.edit import apply
from workbench.figures.assess import Assessor
from workbench.figures.comparison import compare
from workbench.figures.findings import checks_of
from workbench.figures.next_look import next_looks

pytestmark = pytest.mark.benchmark_ratio

# The benchmark fixture's own methods carry no types.
Measure = Callable[[BenchmarkFixture, Callable[[], object], float], float]
AS_OF = date(2026, 5, 1)
SETTINGS = Settings(as_of=AS_OF, budget=Decimal(60_000))


def boat_of(number: int) -> Boat:
    """An invented boat of 31 ft or so."""
    return Boat(
        f"boat-{number}",
        f"Boat {number}",
        year=1978 + number % 20,
        dimensions=FrozenMap({"loa": Quantity(Decimal("9.4"), "m")}),
        asking=(AskingPrice(Money(Decimal(20_000 + 700 * number), "USD"), AS_OF),),
        stream=number + 1,
    )


def own_lines(lines: int, seed: int) -> tuple[OwnLine, ...]:
    """Invented lines, every other one only likely, every tenth needing her hauled out."""
    source = np.random.default_rng(seed)
    made = []
    for number in range(lines):
        low, step, more = (int(source.integers(*ends)) for ends in ((50, 600), (1, 600), (1, 2000)))
        span = Span(Decimal(low), Decimal(low + step), Decimal(low + step + more), Ends.LIMITS)
        chance = Decimal(1) if number % 2 else Decimal(int(source.integers(2, 98))) / 100
        access = ("haul-out",) if number % 10 == 0 else ()
        made.append(OwnLine(f"line-{number}", f"Job {number}", span, chance=chance, access=access))
    return tuple(made)


def search_of(boats: int, lines: int) -> Project:
    """A search with so many boats of so many own lines each."""
    candidates = {
        f"boat-{number}": Candidate(
            boat_of(number), Inspection(), Ledger(own_lines=own_lines(lines, number))
        )
        for number in range(boats)
    }
    return Project("p", "Search", SETTINGS, boats=FrozenMap(candidates))


def looked_over(boats: int, catalogue: Catalogue) -> Project:
    """A search with boats of the shipped catalogue; every second check was graded."""
    candidates = {}
    grades = (Grade.SOUND, Grade.SOUND, Grade.WORN, Grade.DUE)
    for number in range(boats):
        boat = boat_of(number)
        graded = {
            check.id: Overruling(grades[(place // 2 + number) % 4], "seen")
            for place, check in enumerate(checks_of(boat, catalogue))
            if place % 2
        }
        inspection = Inspection(overrulings=FrozenMap(graded))
        candidates[boat.id] = Candidate(boat, inspection, Ledger())
    return Project("p", "Search", SETTINGS, boats=FrozenMap(candidates))


def typed(project: Project, boat: str, key: str) -> Iterator[Project]:
    """An endless run of edits of one line, so that nothing remembered helps."""
    for step in count():
        change = LineChange(count=Decimal(1 + step % 7) + Decimal(step) / 1000)
        yield apply(project, costing.change_line(project, boat, key, change))[0]


def test_one_edit_of_a_boat_of_the_catalogue_goes_right_through(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    """From the edit to new figures of all boats: 20 ms where the bare sum takes 10 ms."""
    catalogue = load()
    project = looked_over(4, catalogue)
    assessor = Assessor()
    before = assessor.assess(project, catalogue)
    line = next(one for one in before.boats["boat-1"].lines if one.counts and one.mean > 0)
    edits = typed(project, "boat-1", line.key)

    ratio_to_bare_sum(benchmark, lambda: assessor.assess(next(edits), catalogue), 2.0)
    after = assessor.assess(next(edits), catalogue)
    assert (
        after.boats["boat-1"].draws.ready.tobytes() != before.boats["boat-1"].draws.ready.tobytes()
    )
    assert after.boats["boat-2"].lines is before.boats["boat-2"].lines


def test_four_boats_of_the_catalogue_are_figured_afresh(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    catalogue = load()
    project = looked_over(4, catalogue)

    ratio_to_bare_sum(benchmark, lambda: Assessor().assess(project, catalogue), 20.0)
    boat = Assessor().assess(project, catalogue).boats["boat-0"]
    assert len(boat.findings) > 200
    error = Decimal(repr(4 * boat.cost_to_ready.standard_error))
    assert abs(boat.cost_to_ready.mean - boat.cost_to_ready.drawn_mean) < error + 1


def test_a_boat_of_two_thousand_lines_is_figured_afresh(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    """The draws alone are held to 8; records, claims and totals of the lines come on top."""
    project = search_of(1, 2_000)

    ratio_to_bare_sum(benchmark, lambda: Assessor().assess(project, small_catalogue()), 12.0)
    boat = Assessor().assess(project, small_catalogue()).boats["boat-0"]
    assert len([line for line in boat.lines if line.own is not None]) == 2_000


def test_looks_at_four_boats_are_ranked(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    """Every own look, every professional and another visit: 50 ms where the bare sum takes 10."""
    catalogue = load()
    assessment = Assessor().assess(looked_over(4, catalogue), catalogue)

    ratio_to_bare_sum(benchmark, lambda: next_looks(assessment), 5.0)
    assert len(next_looks(assessment).advice) > 100


def test_fifty_boats_are_held_against_each_other(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    assessment = Assessor().assess(search_of(50, 20), small_catalogue())

    ratio_to_bare_sum(benchmark, lambda: compare(assessment), 12.0)
    chances = [one.chance_best for one in compare(assessment).standings]
    assert sum(one for one in chances if one is not None) == pytest.approx(1.0)


def seconds(project: Project) -> float:
    """Shortest of three runs afresh [s]."""
    times = []
    for _ in range(3):
        start = perf_counter()
        Assessor().assess(project, small_catalogue())
        times.append(perf_counter() - start)
    return min(times)


def _growth(benchmark: Any, projects: list[Project], times_larger: float) -> None:
    """Leave how much faster than in a straight line time grows, between the last two sizes.

    1 is a straight line. The first size shows what is paid once and is only noted.
    """
    taken = [seconds(project) for project in projects]
    benchmark.pedantic(lambda: Assessor().assess(projects[0], small_catalogue()), rounds=1)
    benchmark.extra_info["seconds"] = [round(one, 4) for one in taken]
    benchmark.extra_info["ratio"] = taken[2] / taken[1] / times_larger
    benchmark.extra_info["limit"] = 1.0


def test_time_grows_no_faster_than_lines(benchmark: Any) -> None:
    _growth(benchmark, [search_of(1, lines) for lines in (250, 1_000, 4_000)], 4.0)


def test_time_grows_no_faster_than_boats(benchmark: Any) -> None:
    _growth(benchmark, [search_of(boats, 60) for boats in (3, 12, 48)], 4.0)


def kept_by(project: Project, catalogue: Catalogue) -> tuple[Assessor, int]:
    """An assessor with a project's figures, and the bytes that they keep."""
    Assessor().assess(project, catalogue)  # pools, tables and prices are loaded once for all
    tracemalloc.start()
    assessor = Assessor()
    assessor.assess(project, catalogue)
    kept, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return assessor, kept


def test_fifty_boats_of_the_catalogue_take_little_memory(benchmark: Any) -> None:
    """All figures of 50 boats, some 14,000 lines, in 100 MB; the ratio is to that."""
    catalogue = load()
    project = looked_over(50, catalogue)
    assessor, kept = kept_by(project, catalogue)

    benchmark.pedantic(lambda: assessor.assess(project, catalogue), rounds=1)
    benchmark.extra_info["ratio"] = kept / 1e6 / 100
    benchmark.extra_info["limit"] = 1.0
    assert len(assessor.assess(project, catalogue).boats) == 50


def test_fifty_boats_of_two_thousand_lines_take_little_memory(benchmark: Any) -> None:
    """All figures of 100,000 lines (no search has them) in 100 MB; the ratio is to that.

    Draws are kept as one total a boat, 8 MB; the rest are the records of lines and claims, about
    0.9 kB a line.
    """
    project = search_of(50, 2_000)
    assessor, kept = kept_by(project, small_catalogue())
    boats = assessor.assess(project, small_catalogue()).boats.values()

    benchmark.pedantic(lambda: assessor.assess(project, small_catalogue()), rounds=1)
    benchmark.extra_info["megabytes"] = round(kept / 1e6, 1)
    benchmark.extra_info["ratio"] = kept / 1e6 / 100
    benchmark.extra_info["limit"] = 1.0
    assert sum(boat.draws.ready.nbytes for boat in boats) == 50 * 20_000 * 8


def test_an_assessment_is_remembered_whole(
    benchmark: BenchmarkFixture, ratio_to_bare_sum: Measure
) -> None:
    """Figuring again what did not change costs the offers only."""
    project = search_of(50, 20)
    assessor = Assessor()
    first = assessor.assess(project, small_catalogue())

    ratio_to_bare_sum(benchmark, lambda: assessor.assess(project, small_catalogue()), 3.0)
    renamed = dataclasses.replace(project, name="Another name")
    assert assessor.assess(renamed, small_catalogue()).boats["boat-3"].lines is (
        first.boats["boat-3"].lines
    )
