"""The tables of the comparison: a topic each, boats as columns, a teller for every row.

A teller makes the cell of one boat. A row in which no boat has anything to say is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal

from workbench.domain.vocabulary import Grade
from workbench.figures.assessment import Assessment, Total
from workbench.figures.comparison import Standing
from workbench.figures.design_ratios import Missing, Ratio

from .document import Block, Cell, Column, Heading, Kind, Row, Table
from .words import UNKNOWN, capital, clipped, listed, measured, percent, price, whole

ACROSS = 5
"""Boats beside each other in one table; more go into a further table."""
_DIMENSIONS = ("loa", "lwl", "beam", "draft", "displacement", "sail-area", "engine-hours")
_FACTS = ("hull-material", "keel", "rudder", "drive", "propeller", "rig", "engine")

Teller = Callable[[Standing], Cell]


def tables(
    title: str, rows: Sequence[tuple[str, Teller]], standings: Sequence[Standing]
) -> Iterable[Block]:
    """One topic with the boats as columns, as many to a table as stand beside each other."""
    for start in range(0, len(standings), ACROSS):
        some = standings[start : start + ACROSS]
        more = f", boats {start + 1} to {start + len(some)}" if len(standings) > ACROSS else ""
        told = [
            Row((Cell(label), *(teller(one) for one in some)))
            for label, teller in rows
            if any(_says_something(teller(one)) for one in some)
        ]
        if told:
            yield Heading(f"{title}{more}")
            yield Table(_boat_columns(some), tuple(told), dense=True)


def _boat_columns(some: Sequence[Standing]) -> tuple[Column, ...]:
    """A column of labels and one for each boat, a boat's no wider when there are few of them."""
    names = (Column(one.boat.candidate.boat.name, Kind.FIGURE, 2) for one in some)
    return (Column("", share=2.2 + 2 * max(0, 4 - len(some))), *names)


def _says_something(cell: Cell) -> bool:
    return bool(cell.text) and cell.text != "–"


def money_rows() -> list[tuple[str, Teller]]:
    """What she costs."""
    return [
        ("Price asked", lambda one: _amount(one.boat.asking, one.boat.currency)),
        ("Taxes and fees", _fees_cell),
        ("Maintenance put off", _deferred_cell),
        ("Work before sailing", lambda one: Cell(whole(one.boat.work.mean))),
        ("Allowance for the unseen", lambda one: Cell(whole(one.boat.allowance.mean))),
        ("Cost to ready, mean", lambda one: Cell(whole(one.boat.cost_to_ready.mean), bold=True)),
        ("Cost to ready, P50 and P80", lambda one: Cell(_spread(one.boat.cost_to_ready))),
        ("Chance inside the budget", lambda one: _share(one.boat.chance_within_budget)),
    ]


def offer_rows() -> list[tuple[str, Teller]]:
    """What is for the buyer alone."""
    return [
        ("Worth to you beside", _worth_cell),
        ("Chance of being the best choice", lambda one: _share(one.chance_best)),
        ("Work within five years", lambda one: Cell(whole(one.boat.later_work))),
        ("Claims", lambda one: Cell(price(one.boat.claim.total, one.boat.currency))),
        ("Opening", lambda one: _estimate(one.boat.offer.opening)),
        ("Target", lambda one: _estimate(one.boat.offer.target)),
        ("Walk away at", lambda one: _estimate(one.boat.offer.walk_away)),
    ]


def _amount(amount: Decimal | None, currency: str) -> Cell:
    return Cell(UNKNOWN if amount is None else price(amount, currency))


def _estimate(amount: Decimal | None) -> Cell:
    return Cell(UNKNOWN if amount is None else whole(amount))


def _fees_cell(one: Standing) -> Cell:
    bought = one.boat.purchase
    return Cell("–" if bought is None else whole(bought.total - bought.price))


def _deferred_cell(one: Standing) -> Cell:
    """Deferred maintenance, and its share of the price asked."""
    deferred, asking = one.boat.deferred.mean, one.boat.asking
    share = f"{percent(float(deferred / asking))} of the price" if asking else ""
    return Cell(whole(deferred), share)


def _spread(total: Total) -> str:
    return f"{whole(total.p50)} and {whole(total.p80)}"


def _worth_cell(one: Standing) -> Cell:
    """What the buyer would pay for things she has; nothing where nothing was entered."""
    return Cell(whole(one.boat.worth_to_me) if one.boat.candidate.boat.worth_to_me else "–")


def _share(chance: float | None) -> Cell:
    return Cell("–" if chance is None else percent(chance))


def look_rows() -> list[tuple[str, Teller]]:
    """How much was looked at, and what became of it."""
    rows: list[tuple[str, Teller]] = [("Looked at", _looked_cell)]
    rows += [
        (capital(grade.value), _grade_teller(grade))
        for grade in (Grade.UNSAFE, Grade.DUE, Grade.WORN, Grade.SOUND)
    ]
    return rows


def _looked_cell(one: Standing) -> Cell:
    coverage = one.boat.coverage
    return Cell(f"{coverage.looked} of {coverage.checks}", percent(coverage.share))


def _grade_teller(grade: Grade) -> Teller:
    return lambda one: Cell(str(one.boat.coverage.grades[grade]))


def particulars_rows(assessment: Assessment) -> list[tuple[str, Teller]]:
    """What she is and how she is fitted out."""
    catalogue = assessment.catalogue
    rows: list[tuple[str, Teller]] = [
        ("Design", lambda one: Cell(clipped(one.boat.candidate.boat.design, 40) or "–")),
        ("Year", lambda one: Cell(str(one.boat.candidate.boat.year or "–"))),
        ("Lies at", lambda one: Cell(clipped(one.boat.candidate.boat.lies_at, 40) or "–")),
    ]
    rows += [
        (catalogue.dimensions[name].label, _dimension_teller(name))
        for name in _DIMENSIONS
        if name in catalogue.dimensions
    ]
    rows += [
        (catalogue.facts[name].label, _fact_teller(assessment, name))
        for name in _FACTS
        if name in catalogue.facts
    ]
    rows.append(("Equipment", _equipment_cell))
    rows.append(("Fails of what she must have", _must_have_cell))
    return rows


def _equipment_cell(one: Standing) -> Cell:
    """Equipment worth mentioning, as it was entered."""
    return Cell(clipped(one.boat.candidate.boat.equipment_note, 80) or "–")


def _dimension_teller(name: str) -> Teller:
    def tell(one: Standing) -> Cell:
        value = one.boat.candidate.boat.dimensions.get(name)
        return Cell("–" if value is None else measured(value))

    return tell


def _fact_teller(assessment: Assessment, name: str) -> Teller:
    fact = assessment.catalogue.facts[name]

    def tell(one: Standing) -> Cell:
        stated = one.boat.candidate.boat.facts.get(name)
        label = next((choice.label for choice in fact.choices if choice.id == stated), "–")
        return Cell(label)

    return tell


def _must_have_cell(one: Standing) -> Cell:
    return Cell("; ".join(one.missing_must_haves) or "–")


def ratio_rows() -> list[tuple[str, Teller]]:
    """The six design ratios."""
    names = (
        "displacement/length",
        "sail area/displacement",
        "ballast ratio",
        "capsize screening",
        "motion comfort",
        "hull speed",
    )
    return [(capital(name), _ratio_teller(name)) for name in names]


def _ratio_teller(name: str) -> Teller:
    def tell(one: Standing) -> Cell:
        ratio = next((found for found in one.ratios if found.name == name), None)
        return Cell("–") if ratio is None else _ratio_cell(ratio)

    return tell


def _ratio_cell(ratio: Ratio | Missing) -> Cell:
    """The value with the word of the first band table, or what is missing for it."""
    if isinstance(ratio, Missing):
        return Cell("–", f"needs {listed([_plain_name(one) for one in ratio.needs])}")
    digits = 0 if ratio.value >= 100 else 1 if ratio.value >= 10 else 2
    words = ratio.bands[0].label if ratio.bands else ""
    return Cell(f"{ratio.value:.{digits}f} {ratio.unit}".strip(), clipped(words, 44))


def _plain_name(field: str) -> str:
    return field.rsplit("_", 1)[0].replace("_", " ")
