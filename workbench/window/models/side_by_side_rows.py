"""The matrix of the comparison as records: what matters, row by row, with a cell for each boat.

A row whose cells differ lights its best and its worst cell; the mark is a word of its own beside
the figure. Rows without a better or a worse end (sizes, design ratios, findings) are never marked.
Nothing here draws, and nothing is figured beyond picking the least and the greatest.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

from workbench.catalogue.model import Catalogue, Dimension
from workbench.domain.project import Project
from workbench.domain.vocabulary import Grade
from workbench.figures.findings import Finding
from workbench.window import formatting
from workbench.window.models.later_rows import later_rows
from workbench.window.models.ratio_rows import ratio_rows
from workbench.window.models.side_by_side_cells import (
    Better,
    Cell,
    Column,
    Matrix,
    Row,
    lit_cells,
)
from workbench.window.texts import tr

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.comparison import Comparison, Standing


def matrix_of(comparison: Comparison, catalogue: Catalogue, project: Project) -> Matrix:
    """The whole matrix; a job for beside the window."""
    standings = comparison.standings
    if not standings:
        return Matrix()
    groups = (
        (
            tr("Money"),
            [
                *_money_rows(standings),
                *_worth_rows(standings),
                *later_rows(standings, catalogue, project),
            ],
        ),
        (tr("Chances and regret"), _chance_rows(standings, project)),
        (tr("What was seen"), _seen_rows(standings, catalogue)),
        (tr("Design"), ratio_rows(standings, catalogue)),
        (tr("Sizes"), _size_rows(standings, catalogue)),
    )
    rows: list[Row] = []
    for title, group in groups:
        if group:
            rows += [Row(f"heading/{title}", title), *group]
    return Matrix(tuple(_column(one) for one in standings), tuple(rows))


def _column(standing: Standing) -> Column:
    boat = standing.boat.candidate.boat
    length = boat.dimensions.get("loa")
    about = [formatting.quantity(length) if length else "", str(boat.year) if boat.year else ""]
    return Column(boat.id, boat.name, ", ".join(part for part in about if part))


def _row(
    key: str,
    title: str,
    standings: Sequence[Standing],
    cell: Callable[[Standing], Cell],
    better: Better = Better.NEITHER,
    tip: str = "",
) -> Row:
    return Row(key, title, lit_cells([cell(one) for one in standings], better), tip)


# --- Money ---


def _amount(amount: Decimal | None, tip: str = "", *, exact: bool = False) -> Cell:
    """A sum; a dash says that it is not known."""
    if amount is None:
        return Cell("–", tip=tip or tr("Not known."))
    text = formatting.whole(amount) if exact else formatting.estimate(amount)
    return Cell(text, float(amount), tip=tip)


def _money_rows(standings: Sequence[Standing]) -> list[Row]:
    low = Better.LOW
    return [
        _row("asking", tr("Price asked"), standings, _asking, low),
        _row(
            "deferred",
            tr("Deferred maintenance"),
            standings,
            lambda one: _amount(
                one.boat.deferred.mean, _between(one.boat.deferred.p10, one.boat.deferred.p90)
            ),
            low,
            tr("Work that is due or unsafe now, and the used-up part of what is worn."),
        ),
        _row(
            "deferred-share",
            tr("Deferred, share of price"),
            standings,
            _deferred_share,
            low,
            tr("Deferred maintenance as a share of the price asked."),
        ),
        _row(
            "allowance",
            tr("Allowance for the unseen"),
            standings,
            lambda one: _amount(
                one.boat.allowance.mean, _between(one.boat.allowance.p10, one.boat.allowance.p90)
            ),
            low,
            tr("For each thing nobody saw: its chance times what it would cost."),
        ),
        _row(
            "ready",
            tr("Cost to ready"),
            standings,
            lambda one: _ready(one, one.boat.cost_to_ready.mean),
            low,
            tr("Price, what is paid on it, the work before sailing, and the allowance."),
        ),
        _row(
            "p50",
            tr("1 in 2 to stay under"),
            standings,
            lambda one: _ready(one, one.boat.cost_to_ready.p50),
            low,
            tr("P50: the cost to ready is not more than this in one case out of two."),
        ),
        _row(
            "p80",
            tr("4 in 5 to stay under"),
            standings,
            lambda one: _ready(one, one.boat.cost_to_ready.p80),
            low,
            tr("P80: the cost to ready is not more than this in four cases out of five."),
        ),
    ]


def _asking(standing: Standing) -> Cell:
    missing = tr("No asking price is known. Enter it, or the rate of its currency.")
    boat = standing.boat
    return _amount(boat.asking, "" if boat.asking is not None else missing, exact=True)


def _ready(standing: Standing, amount: Decimal) -> Cell:
    if standing.boat.purchase is None:
        return Cell("–", tip=tr("Without an asking price nothing can be added up."))
    total = standing.boat.cost_to_ready
    return _amount(amount, _between(total.p10, total.p90))


def _between(low: Decimal, high: Decimal) -> str:
    return tr("Eight times in ten between {low} and {high}.").format(
        low=formatting.estimate(low), high=formatting.estimate(high)
    )


def _deferred_share(standing: Standing) -> Cell:
    boat = standing.boat
    if not boat.asking:
        return Cell("–", tip=tr("No asking price is known."))
    share = float(boat.deferred.mean) / float(boat.asking)
    return Cell(formatting.percent(share), share)


def _worth_rows(standings: Sequence[Standing]) -> list[Row]:
    """What each boat is worth to the buyer beside her price, where anything was entered."""
    if not any(one.boat.candidate.boat.worth_to_me for one in standings):
        return []

    def cell(standing: Standing) -> Cell:
        items = standing.boat.candidate.boat.worth_to_me
        parts = [
            f"{one.label}: {formatting.exact(one.amount)} {one.amount.currency}" for one in items
        ]
        return _amount(standing.boat.worth_to_me, "\n".join(parts))

    return [
        _row(
            "worth",
            tr("Worth to you beside"),
            standings,
            cell,
            Better.HIGH,
            tr(
                "What you would pay for things she has. It counts in the order and the walk-away "
                "price."
            ),
        )
    ]


# --- Chances ---


def _chance_rows(standings: Sequence[Standing], project: Project) -> list[Row]:
    names = {one.boat.id: one.boat.candidate.boat.name for one in standings}
    return [
        *_budget_rows(standings, project),
        _row(
            "best",
            tr("Chance of being best"),
            standings,
            lambda one: _chance(one.chance_best),
            Better.HIGH,
            tr("In how many draws she is the cheapest to ready, her worth to you taken off."),
        ),
        _row(
            "worst",
            tr("Chance of being the dearest"),
            standings,
            lambda one: _chance(one.chance_worst),
            Better.LOW,
            tr("A boat that may turn out best may also turn out dearest: look at both."),
        ),
        _row(
            "beats",
            tr("Cheaper at every chance"),
            standings,
            lambda one: _beats(one, names),
            tip=tr(
                "Boats that cost more than she does at 1 in 10, at 1 in 2, at 9 in 10 and "
                "everywhere between: nobody who would rather pay less would take them for the cost."
            ),
        ),
        _row(
            "regret",
            tr("Expected regret"),
            standings,
            lambda one: _amount(one.regret),
            Better.LOW,
            tr("What choosing her costs on average against choosing with hindsight."),
        ),
    ]


def _budget_rows(standings: Sequence[Standing], project: Project) -> list[Row]:
    """The chance to stay inside the budget, where there is one."""
    budget = project.settings.budget
    if budget is None:
        return []
    tip = tr("Chance that price and work stay within the budget of {amount}.").format(
        amount=formatting.whole(budget)
    )
    return [
        _row(
            "inside",
            tr("Chance inside the budget"),
            standings,
            lambda one: _chance(one.boat.chance_within_budget),
            Better.HIGH,
            tip,
        )
    ]


def _beats(standing: Standing, names: Mapping[str, str]) -> Cell:
    """The boats that she beats whatever chance one looks at."""
    if standing.chance_best is None:
        return Cell("–", tip=tr("Without an asking price nothing can be added up."))
    beaten = [names[boat] for boat in standing.beats]
    if not beaten:
        return Cell(tr("none of them"))
    words = beaten[0] if len(beaten) == 1 else tr("{n} boats").format(n=len(beaten))
    return Cell(words, tip="\n".join(beaten))


def _chance(chance: float | None) -> Cell:
    if chance is None:
        return Cell("–", tip=tr("Without an asking price nothing can be added up."))
    if 0 < chance < 0.005:
        return Cell(tr("under {share}").format(share=formatting.percent(0.01)), chance)
    return Cell(formatting.percent(chance), chance)


# --- Seen ---


def _seen_rows(standings: Sequence[Standing], catalogue: Catalogue) -> list[Row]:
    coverage = _row(
        "coverage",
        tr("Looked at"),
        standings,
        _coverage,
        Better.HIGH,
        tr("Checks that somebody has looked at, of those that apply to her."),
    )
    must = _row(
        "must-haves",
        tr("Must-haves failed"),
        standings,
        _must_haves,
        Better.LOW,
        tr("Limits you set for the search that she does not keep."),
    )
    rows = [must, coverage]
    for system in catalogue.systems.values():
        cells = [_worst_of(one, system.id) for one in standings]
        if any(cell.text for cell in cells):
            rows.append(Row(f"system/{system.id}", system.title, tuple(cells)))
    return rows


def _coverage(standing: Standing) -> Cell:
    seen = standing.boat.coverage
    tip = tr("{looked} of {all} checks").format(looked=seen.looked, all=seen.checks)
    return Cell(formatting.percent(seen.share), round(seen.share, 2), tip=tip)


def _must_haves(standing: Standing) -> Cell:
    missed = standing.missing_must_haves
    if not missed:
        return Cell(tr("none"), 0.0)
    return Cell(str(len(missed)), float(len(missed)), tip="\n".join(missed), note=missed[0])


def _worst_of(standing: Standing, system: str) -> Cell:
    """The worst finding of a system; nothing where she has no check of it."""
    found = [one for one in standing.boat.findings if one.check.system == system]
    if not found:
        return Cell("", words=True)
    worst = max(found, key=lambda one: one.grade.severity)
    grade = worst.grade
    if grade is Grade.UNSEEN or not any(one.looked for one in found):
        return Cell(tr("nobody looked"), words=True, grade=Grade.UNSEEN.value, tip=_count(found))
    word = formatting.grade_word(grade)
    if grade.severity <= Grade.SOUND.severity:
        return Cell(word, words=True, grade=grade.value, tip=_count(found))
    return Cell(
        f"{word}: {worst.check.title}",
        words=True,
        grade=grade.value,
        tip=_tip_of(found),
        check=worst.check.id,
    )


def _count(found: Sequence[Finding]) -> str:
    looked = sum(1 for one in found if one.looked)
    return tr("{looked} of {all} checks").format(looked=looked, all=len(found))


def _tip_of(found: Sequence[Finding]) -> str:
    worse = [one for one in found if one.grade.severity > Grade.SOUND.severity]
    worse.sort(key=lambda one: -one.grade.severity)
    lines = [f"{formatting.grade_word(one.grade)}: {one.check.title}" for one in worse[:8]]
    return "\n".join([*lines, _count(found)])


# --- Sizes ---


def _size_rows(standings: Sequence[Standing], catalogue: Catalogue) -> list[Row]:
    rows = []
    for dimension in catalogue.dimensions.values():
        cells = tuple(_size(one, dimension) for one in standings)
        if any(cell.text != "–" for cell in cells):
            rows.append(Row(f"size/{dimension.id}", dimension.label, cells, dimension.help))
    return rows


def _size(standing: Standing, dimension: Dimension) -> Cell:
    value = standing.boat.candidate.boat.dimensions.get(dimension.id)
    if value is None:
        return Cell("–", tip=tr("Not entered."))
    other = dimension.imperial_unit if value.unit == dimension.unit else dimension.unit
    return Cell(formatting.quantity(value), tip=formatting.converted(value, other))
