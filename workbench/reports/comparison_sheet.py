"""The boats side by side, for the buyer's eyes alone: a landscape sheet with charts.

Each boat is a column: what she is, what is asked, the maintenance that was put off and its share of
the price, the allowance for what nobody saw, the cost to have her ready with its spread, the chance
that this stays inside the budget, how much was looked at, her worst findings, her proportions and
what was not seen. Two charts show the same: bars stacked in one fixed order, and chance curves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from decimal import Decimal

from workbench.domain.vocabulary import Grade, When
from workbench.figures.assessment import Assessment, BoatAssessment, Total
from workbench.figures.comparison import Standing, compare
from workbench.figures.design_ratios import Missing, Ratio
from workbench.figures.findings import Finding

from .document import (
    Block,
    Caution,
    Cell,
    Column,
    CostBar,
    CostBars,
    Curve,
    Curves,
    Document,
    Fact,
    Facts,
    Heading,
    KeyFigure,
    KeyFigures,
    Kind,
    Prose,
    Row,
    Table,
    TitleBlock,
    Together,
    Tone,
)
from .views import reading_words
from .words import (
    UNKNOWN,
    capital,
    clipped,
    counted,
    day,
    listed,
    lower,
    measured,
    percent,
    price,
    sentence,
    whole,
)

ACROSS = 5
"""Boats beside each other in one table; more go into a further table."""
WORST = 6
_ZERO = Decimal(0)
_DIMENSIONS = ("loa", "lwl", "beam", "draft", "displacement", "sail-area", "engine-hours")
_FACTS = ("hull-material", "keel", "rudder", "drive", "propeller", "rig", "engine")


def comparison_document(assessment: Assessment, boats: Sequence[str], on: date) -> Document:
    """The comparison of some boats, least expected cost first, as it stood on a day."""
    wanted = set(boats)
    standings = [one for one in compare(assessment).standings if one.boat.id in wanted]
    project = assessment.project
    title = f"{counted(len(standings), 'boat')} side by side"
    below = f"{project.name}, {day(on)}. All sums in {project.settings.currency}."
    return Document(
        title=f"{project.name}: {title}",
        subject="Comparison",
        foot=f"{project.name}, comparison, {day(on)}: for the buyer only",
        landscape=True,
        blocks=(
            TitleBlock("For the buyer's eyes only", capital(title), below),
            *_body(assessment, standings),
        ),
    )


def _body(assessment: Assessment, standings: Sequence[Standing]) -> tuple[Block, ...]:
    if not standings:
        return (Prose("There is no boat to compare."),)
    curves = (Heading("Chance of staying at or below a cost"), _curves(assessment, standings))
    return (
        *_first_figures(assessment, standings),
        _bars(assessment, standings),
        *_tables("What it comes to", _money_rows(), standings),
        Together(curves),
        *_tables("Your choice and your offer, for nobody else", _offer_rows(), standings),
        *_tables("What was looked at", _look_rows(), standings),
        *_tables("What she is", _particulars_rows(assessment), standings),
        *_tables("Proportions", _ratio_rows(), standings),
        *_worst(standings),
        *_unseen(standings),
        *_notes(),
    )


def _first_figures(assessment: Assessment, standings: Sequence[Standing]) -> tuple[Block, ...]:
    """The boat of least expected cost, and the budget."""
    best = standings[0]
    cost = best.boat.cost_to_ready
    figures = [
        KeyFigure(
            "Least expected cost to ready",
            whole(cost.mean),
            f"{clipped(best.boat.candidate.boat.name, 24)}, P80 {whole(cost.p80)}",
        )
    ]
    if best.chance_best is not None and len(standings) > 1:
        share = percent(best.chance_best)
        figures.append(KeyFigure("Chance that she turns out the cheapest", share))
    budget = assessment.project.settings.budget
    if budget is not None:
        within = best.boat.chance_within_budget
        beside = f"held with {percent(within)}" if within is not None else ""
        figures.append(KeyFigure("Budget", whole(budget), beside))
    return (KeyFigures(tuple(figures)),)


def _bars(assessment: Assessment, standings: Sequence[Standing]) -> CostBars:
    settings = assessment.project.settings
    return CostBars(tuple(_bar(one.boat) for one in standings), settings.currency, settings.budget)


def _bar(boat: BoatAssessment) -> CostBar:
    """The parts of one boat's cost; they add up to the mean of her cost to ready."""
    launch = sum(
        (
            line.counted
            for line in boat.lines
            if _before_launching(line.when, line.part.allowed_for)
        ),
        _ZERO,
    ) + sum((one.counted_found for one in boat.access if one.when is When.BEFORE_LAUNCHING), _ZERO)
    bought = boat.purchase.total if boat.purchase else _ZERO
    return CostBar(
        label=boat.candidate.boat.name,
        asking=boat.asking,
        fees=bought - (boat.asking or _ZERO) if boat.purchase else _ZERO,
        before_launching=launch,
        first_season=boat.work.mean - launch,
        allowance=boat.allowance.mean,
        p50=boat.cost_to_ready.p50,
        p80=boat.cost_to_ready.p80,
    )


def _before_launching(when: When, allowed_for: bool) -> bool:
    return when is When.BEFORE_LAUNCHING and not allowed_for


def _curves(assessment: Assessment, standings: Sequence[Standing]) -> Curves:
    settings = assessment.project.settings
    return Curves(
        tuple(
            Curve(
                one.boat.candidate.boat.name,
                tuple((point.cost, point.chance) for point in one.s_curve),
            )
            for one in standings
        ),
        settings.currency,
        settings.budget,
    )


Teller = Callable[[Standing], Cell]


def _tables(
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


def _money_rows() -> list[tuple[str, Teller]]:
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


def _offer_rows() -> list[tuple[str, Teller]]:
    return [
        ("Chance of being the cheapest", lambda one: _share(one.chance_best)),
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


def _share(chance: float | None) -> Cell:
    return Cell("–" if chance is None else percent(chance))


def _look_rows() -> list[tuple[str, Teller]]:
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


def _particulars_rows(assessment: Assessment) -> list[tuple[str, Teller]]:
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
    rows.append(("Fails of what she must have", _must_have_cell))
    return rows


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


def _ratio_rows() -> list[tuple[str, Teller]]:
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


def _worst(standings: Sequence[Standing]) -> tuple[Block, ...]:
    """The worst findings of each boat, by grade and then by what they count for."""
    columns = (
        Column("", Kind.MARK),
        Column("What", share=3.2),
        Column("Found", share=4.5),
        Column("Work", share=3.2),
        Column("Counts for", Kind.FIGURE, 1.6),
    )
    blocks: list[Block] = [Heading("Worst findings")]
    for one in standings:
        bad = sorted(
            (found for found in one.boat.findings if found.grade.needs_work),
            key=lambda found: (-found.grade.severity, -_counted(one.boat, found), found.check.id),
        )
        more = f", {WORST} of {len(bad)}" if len(bad) > WORST else ""
        blocks.append(Heading(f"{one.boat.candidate.boat.name}{more}", 2))
        if bad:
            rows = tuple(_worst_row(one.boat, found) for found in bad[:WORST])
            blocks.append(Table(columns, rows, dense=True))
        else:
            blocks.append(Prose("Nothing was found that is due.", Tone.QUIET))
    return tuple(blocks)


def _counted(boat: BoatAssessment, finding: Finding) -> Decimal:
    return sum((line.counted for line in boat.lines_of(finding.check.id)), _ZERO)


def _worst_row(boat: BoatAssessment, found: Finding) -> Row:
    reading = found.counting.reading if found.counting else None
    return Row(
        (
            Cell(grade=found.grade),
            Cell(found.check.title, bold=True),
            Cell(clipped(reading_words(found.check, reading), 110) if reading else ""),
            Cell(clipped(found.remedy.title, 70) if found.remedy else ""),
            Cell(whole(_counted(boat, found))),
        )
    )


def _unseen(standings: Sequence[Standing]) -> tuple[Block, ...]:
    """What was not seen on each boat, the dearest allowance first."""
    facts = [Fact(one.boat.candidate.boat.name, _unseen_words(one.boat)) for one in standings]
    return (Heading("What was not seen, dearest allowance first"), Facts(tuple(facts)))


def _unseen_words(boat: BoatAssessment) -> str:
    unseen = sorted(
        (one for one in boat.findings if one.grade is Grade.UNSEEN),
        key=lambda one: (-_counted(boat, one), one.check.id),
    )
    if not unseen:
        return "Everything was seen."
    named = [f"{lower(one.check.title)} ({whole(_counted(boat, one))})" for one in unseen[:12]]
    left = len(unseen) - len(named)
    return sentence("; ".join(named) + (f"; {left} more" if left else ""))


def _notes() -> tuple[Block, ...]:
    words = (
        "Sums are made from cents and shown in whole units, so a shown sum can differ by one from "
        "its shown parts. P50 and P80: half, and four in five, of the drawn outcomes stay at or "
        "below. The whisker under each bar runs from P50 to P80. Proportions compare hull shapes "
        "of one kind: they measure neither stability nor strength nor condition, and published "
        "bands disagree."
    )
    what = (
        "Notes of a buyer who looked, felt and measured. It is not a survey, and replaces neither "
        "a qualified surveyor nor licensed trades."
    )
    return (Together((Prose(words, Tone.SMALL), Caution("What this sheet is.", what))),)
