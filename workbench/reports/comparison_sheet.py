"""The boats side by side, for the buyer's eyes alone: a landscape sheet with charts.

Each boat is a column: what she is, what is asked, the maintenance that was put off and its share of
the price, the allowance for what nobody saw, the cost to have her ready with its spread, the chance
that this stays inside the budget, how much was looked at, her worst findings, her proportions and
what was not seen. Two charts show the same: bars stacked in one fixed order, and chance curves.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from workbench.domain.vocabulary import Grade, When
from workbench.figures.assessment import Assessment, BoatAssessment
from workbench.figures.comparison import Standing, compare
from workbench.figures.findings import Finding

from .comparison_rows import look_rows, money_rows, offer_rows, particulars_rows, ratio_rows, tables
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
    capital,
    clipped,
    counted,
    day,
    lower,
    percent,
    sentence,
    whole,
)

WORST = 6
_ZERO = Decimal(0)
_CURVES_END = 0.985
"""The last draws in a hundred would stretch the axis over everything else."""


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
        *tables("What it comes to", money_rows(), standings),
        Together(curves),
        *tables("Your choice and your offer, for nobody else", offer_rows(), standings),
        *_notes(),
        *tables("What was looked at", look_rows(), standings),
        *tables("What she is", particulars_rows(assessment), standings),
        *tables("Proportions", ratio_rows(), standings),
        *_worst(standings),
        *_unseen(standings),
    )


def _first_figures(assessment: Assessment, standings: Sequence[Standing]) -> tuple[Block, ...]:
    """The boat of least expected cost, the likeliest best choice, and the budget."""
    cheapest = min(standings, key=lambda one: one.boat.cost_to_ready.mean)
    cost = cheapest.boat.cost_to_ready
    figures = [
        KeyFigure(
            "Least expected cost to ready",
            whole(cost.mean),
            f"{_name(cheapest, 22)}, P80 {whole(cost.p80)}",
        )
    ]
    ranked = [one for one in standings if one.chance_best is not None]
    if len(ranked) > 1:
        best = max(ranked, key=lambda one: one.chance_best or 0.0)
        chance = percent(best.chance_best or 0.0)
        figures.append(KeyFigure("Likeliest to be the best choice", chance, _name(best, 30)))
    budget = assessment.project.settings.budget
    if budget is not None:
        within = cheapest.boat.chance_within_budget
        beside = f"held by {_name(cheapest, 18)}: {percent(within)}" if within is not None else ""
        figures.append(KeyFigure("Budget", whole(budget), beside))
    return (KeyFigures(tuple(figures)),)


def _name(one: Standing, most: int) -> str:
    return clipped(one.boat.candidate.boat.name, most)


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
                tuple(
                    (point.cost, point.chance)
                    for point in one.s_curve
                    if point.chance <= _CURVES_END
                ),
            )
            for one in standings
        ),
        settings.currency,
        settings.budget,
    )


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
    named = [f"{lower(one.check.title)} ({whole(_counted(boat, one))})" for one in unseen[:8]]
    left = len(unseen) - len(named)
    return sentence("; ".join(named) + (f"; {left} more" if left else ""))


def _notes() -> tuple[Block, ...]:
    words = (
        "Sums are made from cents and shown in whole units, so a shown sum can differ by one from "
        "its shown parts. P50 and P80: half, and four in five, of the drawn outcomes stay at or "
        "below. The whisker under each bar runs from P50 to P80; curves end at 98 %. The best "
        "choice is the least cost less what the buyer would pay for what she has. Proportions "
        "compare hull shapes of one kind: they measure neither stability nor strength nor "
        "condition, and published bands disagree."
    )
    what = (
        "Notes of a buyer who looked, felt and measured. It is not a survey, and replaces neither "
        "a qualified surveyor nor licensed trades."
    )
    return (Together((Prose(words, Tone.SMALL), Caution("What this sheet is.", what))),)
