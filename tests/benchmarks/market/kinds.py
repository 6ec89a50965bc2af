"""Kinds of boats for the simulated market, read off the catalogue by the program itself.

A kind is a boat with particulars, an age and a fit-out, assessed by the program before anybody has
looked at her. Her jobs, their chances, ranges, access work and looks become columns, so that
thousands of boats of the kind can be drawn and judged at once. Nothing here has figures of its own
but what such a boat is taken to be worth: the market's levels are invented.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np
import numpy.typing as npt

from workbench.catalogue.loading import load
from workbench.catalogue.model import Catalogue, Look
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Grade
from workbench.edits import boats
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.figures.assessment import BoatAssessment, Line
from workbench.figures.boat_draws import DRIVERS
from workbench.figures.findings import Finding
from workbench.figures.line_shares import columns_of
from workbench.figures.ordinary import ordinary_chance
from workbench.figures.pricing import Limits, limits_of

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

AS_OF = date(2026, 5, 1)


@dataclass(frozen=True, slots=True)
class Particulars:
    """What tells one kind from another: length overall [m], displacement [kg], year, fit-out."""

    loa: str
    displacement: str
    year: int
    facts: tuple[tuple[str, str], ...] = ()


PARTICULARS = (
    Particulars("8.4", "3100", 1979),
    Particulars("9.4", "5000", 1981, (("keel", "encapsulated"),)),
    Particulars("9.4", "4600", 1998, (("drive", "saildrive"),)),
    Particulars("10.6", "6200", 1986, (("steering", "wheel-cable"),)),
    Particulars("12.2", "9400", 1989, (("steering", "wheel-cable"), ("windlass", "electric"))),
)


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """Columns of one kind of boat; money in the price book's currency.

    Attributes
    ----------
    worth
        What a boat of the kind in ordinary condition is worth, before tax.
    prior, sees, false_alarm, certain, ashore, minutes : ndarray, shape (jobs,)
        Chance when nobody looked, how well a layperson sees it, whether a sure reading counts as
        seen, whether it can be looked at ashore, and how long that takes.
    ends : ndarray, shape (jobs, 3)
        Lowest, likely, highest cost of each job without access work.
    driver : ndarray of int, shape (jobs,)
        Row of the shared factor in `DRIVERS`.
    needs : ndarray of bool, shape (tasks, jobs)
        Who needs which access task in which lay-up.
    task_ends : ndarray, shape (tasks, 3)
        Range of each access task.
    links
        (source, target, factor): a fault found at the source multiplies the target's odds.
    looks
        Professionals and events that answer many checks.
    covers : ndarray of bool, shape (looks, jobs)
        What each answers.
    fees : ndarray, shape (looks,)
        What each costs.
    """

    worth: float
    keys: tuple[str, ...]
    prior: Floats
    sees: Floats
    false_alarm: Floats
    certain: Flags
    ashore: Flags
    minutes: Floats
    ends: Floats
    driver: npt.NDArray[np.intp]
    needs: Flags
    task_ends: Floats
    links: tuple[tuple[int, int, float], ...]
    looks: tuple[Look, ...]
    covers: Flags
    fees: Floats

    @property
    def mean(self) -> Floats:
        """Mean cost of each job; shape (jobs,)."""
        return (self.ends[:, 0] + 4 * self.ends[:, 1] + self.ends[:, 2]) / 6

    @property
    def task_mean(self) -> Floats:
        """Mean cost of each access task; shape (tasks,)."""
        return (self.task_ends[:, 0] + 4 * self.task_ends[:, 1] + self.task_ends[:, 2]) / 6


def bill(kind: Kind, chance: Floats) -> Floats:
    """Expected bill of boats of a kind, access work once; chances of shape (boats, jobs)."""
    total = chance @ kind.mean
    for needs, cost in zip(kind.needs, kind.task_mean.tolist(), strict=True):
        total += cost * (1.0 - np.prod(1.0 - chance[:, needs], axis=1))
    return np.asarray(total, dtype=np.float64)


@functools.cache
def kinds() -> tuple[Kind, ...]:
    """The kinds of the market, from the catalogue as it is shipped."""
    catalogue = load()
    return tuple(kind_of(one, catalogue) for one in PARTICULARS)


def unseen_boat(particulars: Particulars, catalogue: Catalogue) -> BoatAssessment:
    """A boat of the kind as the program figures her before anybody has looked."""
    boat = Boat(
        "",
        "Unseen",
        year=particulars.year,
        dimensions=FrozenMap(
            {
                "loa": Quantity(Decimal(particulars.loa), "m"),
                "displacement": Quantity(Decimal(particulars.displacement), "kg"),
            }
        ),
        facts=FrozenMap(particulars.facts),
        asking=(AskingPrice(Money(Decimal(1), catalogue.prices.currency), AS_OF),),
    )
    project = Project("market", "Market", Settings(catalogue.prices.currency, as_of=AS_OF))
    project, _ = apply(project, boats.add_boat(project, boat))
    return next(iter(assess(project, catalogue).boats.values()))


def worth_of(particulars: Particulars) -> float:
    """An invented level: dearer with length, cheaper with age."""
    age = AS_OF.year - particulars.year
    return float(900.0 * float(particulars.loa) ** 1.9 * np.exp(-0.022 * age))


def kind_of(particulars: Particulars, catalogue: Catalogue) -> Kind:
    """A kind as columns."""
    boat = unseen_boat(particulars, catalogue)
    columns = columns_of(boat)
    findings = [_finding(line) for line in columns.first]
    judgement = [finding.check.judgement for finding in findings]
    place = {finding.check.id: number for number, finding in enumerate(findings)}
    looks = tuple(catalogue.looks.values())
    needs = np.zeros((len(columns.work.keys), len(findings)), dtype=np.bool_)
    needs[columns.work.task_of, columns.work.item_of] = True
    charges = {(one.task.id, one.when.value): one.cost for one in boat.access}
    return Kind(
        worth=worth_of(particulars),
        keys=columns.keys,
        prior=np.array([ordinary_chance(finding) for finding in findings]),
        sees=np.array([float(one.sees) for one in judgement]),
        false_alarm=np.array([float(one.false_alarm) for one in judgement]),
        certain=np.array([one.judges == "yes" for one in judgement]),
        ashore=np.array([finding.check.looks != "afloat" for finding in findings]),
        minutes=np.array([float(finding.check.minutes) for finding in findings]),
        ends=_ends(boat, columns.keys),
        driver=np.array([DRIVERS.index(line.driver) for line in columns.first]),
        needs=needs,
        task_ends=np.array([charges[key.task, key.lay_up] for key in columns.work.keys]),
        links=tuple(
            (place[finding.check.id], place[link.check], float(link.factor))
            for finding in findings
            for link in finding.check.suspicions
            if link.check in place and Grade.DUE in link.at
        ),
        looks=looks,
        covers=np.array(
            [
                [
                    finding.check.system in look.systems or finding.check.id in look.checks
                    for finding in findings
                ]
                for look in looks
            ]
        ),
        fees=np.array([limits_of(look.fee).mean for look in looks]),
    )


def _finding(line: Line) -> Finding:
    assert line.finding is not None, "an unseen boat has no lines of the buyer's own"
    return line.finding


def _ends(boat: BoatAssessment, keys: tuple[str, ...]) -> Floats:
    """Ranges of the jobs: those of their lines end to end."""
    limits = dict.fromkeys(keys, Limits(0.0, 0.0, 0.0))
    for line in boat.lines:
        if line.counts:
            limits[line.job] = limits[line.job].plus(line.cost)
    return np.array([limits[key] for key in keys], dtype=np.float64)
