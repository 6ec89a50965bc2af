"""The rows of the comparison that look beyond the first season: later work, and keeping her."""

from __future__ import annotations

from collections.abc import Sequence

from workbench.catalogue.model import Catalogue
from workbench.domain.project import Project
from workbench.domain.settings import Settings
from workbench.window import formatting
from workbench.window.models.side_by_side_cells import Better, Cell, Row, lit_cells
from workbench.window.texts import tr

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.comparison import Standing
    from workbench.figures.keeping import Keeping

YEARS = 5
"""The years that work of "within five years" and keeping her are told for."""


def later_rows(standings: Sequence[Standing], catalogue: Catalogue, project: Project) -> list[Row]:
    """Later work, and what keeping each boat costs where yearly costs or a loan were entered."""
    settings = project.settings
    rows = [_later_work(standings, settings)]
    if settings.yearly_costs or settings.loan is not None:
        rows += _keeping(standings, catalogue, settings)
    return rows


def _later_work(standings: Sequence[Standing], settings: Settings) -> Row:
    rate = f"{settings.discount_percent:f}".replace(".", formatting.decimal_mark())

    def cell(standing: Standing) -> Cell:
        boat = standing.boat
        today = tr("Worth {amount} today, at {rate} % a year.").format(
            amount=formatting.estimate(boat.later_work_now), rate=rate
        )
        return Cell(formatting.estimate(boat.later_work), float(boat.later_work), tip=today)

    return Row(
        "later",
        tr("Work within five years"),
        lit_cells([cell(one) for one in standings], Better.LOW),
        tr("Found work that may wait, at today's prices; no part of the cost to ready."),
    )


def _keeping(standings: Sequence[Standing], catalogue: Catalogue, settings: Settings) -> list[Row]:
    from workbench.figures.keeping import keeping_of  # noqa: PLC0415 - numpy comes with it

    kept = [keeping_of(one.boat, settings, None, catalogue.wording) for one in standings]
    no_repairs = tr("Yearly costs from the settings and the loan's payments; no repairs.")
    return [
        Row(
            "keeping",
            tr("Keeping her, first year"),
            lit_cells([_first_year(one) for one in kept], Better.LOW),
            no_repairs,
        ),
        Row(
            "keeping-five",
            tr("Keeping her, five years"),
            lit_cells([_five_years(one) for one in kept], Better.LOW),
            no_repairs,
        ),
    ]


def _first_year(found: Keeping) -> Cell:
    parts = [f"{one.label}: {formatting.whole(one.amount)} ({one.how})" for one in found.parts]
    if found.loan is not None:
        words = tr("Loan: {amount} in the first year, {interest} interest over its whole life.")
        parts.append(
            words.format(
                amount=formatting.whole(found.loan.paid_in_year(1)),
                interest=formatting.whole(found.loan.total_interest),
            )
        )
    amount = found.first_year
    return Cell(formatting.estimate(amount), float(amount), tip="\n".join([*parts, *found.missing]))


def _five_years(found: Keeping) -> Cell:
    years = tr("Year {n}: {amount}")
    lines = [
        years.format(n=year, amount=formatting.whole(found.in_year(year)))
        for year in range(1, YEARS + 1)
    ]
    amount = found.over(YEARS)
    return Cell(formatting.estimate(amount), float(amount), tip="\n".join([*lines, *found.missing]))
