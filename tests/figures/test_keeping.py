"""What keeping a boat costs: the buyer's yearly costs, and a loan by its published schedule."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.figures.small_yard import ALL_GOOD, AS_OF, mm, search, seen, small_catalogue
from workbench.domain.settings import Loan, Settings, YearlyCost
from workbench.edits import boats
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.figures.keeping import Keeping, keeping_by_boat, keeping_of

MOORING = YearlyCost("mooring", "mooring", per_metre=Decimal(150))
INSURANCE = YearlyCost("insurance", "insurance", percent_of_price=Decimal("1.5"))
HAUL_OUT = YearlyCost("haul-out", "haul-out", amount=Decimal(900))


def kept(
    *costs: YearlyCost, loan: Loan | None = None, asking: int = 20_000, price: Decimal | None = None
) -> Keeping:
    """Ann, 10 m long, with these yearly costs."""
    settings = Settings(as_of=AS_OF, yearly_costs=costs, loan=loan)
    project = search(ALL_GOOD, settings=settings, asking=asking)
    boat = assess(project, small_catalogue()).boats["ann"]
    return keeping_of(boat, settings, price)


def test_amounts_lengths_and_shares_of_the_price_add_up() -> None:
    """10 m x 150 + 1.5 % of 20,000 + 900 = 1,500 + 300 + 900."""
    ann = kept(MOORING, INSURANCE, HAUL_OUT)

    assert [part.amount for part in ann.parts] == [1500, 300, 900]
    assert ann.yearly == ann.first_year == 2700
    assert ann.over(3) == 8100


def test_a_loan_follows_the_published_schedule() -> None:
    """200,000 at 7.5 % over 180 months is 1,854.02 a month (a common textbook example)."""
    loan = Loan(Decimal("0.5"), Decimal("7.5"), 180)
    ann = kept(loan=loan, asking=400_000)

    assert ann.loan is not None
    assert ann.loan.rows[0].payment == Decimal("1854.02")
    assert ann.first_year == 12 * Decimal("1854.02")
    assert ann.in_year(16) == 0
    assert ann.over(15) == ann.loan.total_paid


def test_shares_are_taken_of_another_price_where_one_is_given() -> None:
    ann = kept(INSURANCE, loan=Loan(Decimal("0.5"), Decimal(0), 10), price=Decimal(10_000))

    assert ann.yearly == 150
    assert ann.first_year == 150 + 5_000
    assert ann.price == 10_000


@pytest.mark.parametrize(
    "loan",
    [Loan(Decimal(0), Decimal(7), 60), Loan(Decimal("0.5"), Decimal(7), 0)],
    ids=["of nothing", "over no months"],
)
def test_no_loan_is_no_loan(loan: Loan) -> None:
    assert kept(loan=loan).loan is None


def test_what_is_not_known_is_left_out_aloud() -> None:
    settings = Settings(as_of=AS_OF, yearly_costs=(MOORING, INSURANCE))
    project = search(ALL_GOOD, settings=settings)
    project, _ = apply(project, boats.set_dimension(project, "ann", "loa", None, "Length"))
    ann = keeping_by_boat(assess(project, small_catalogue()))["ann"]

    assert ann.yearly == 300
    assert ann.missing == ("mooring: her length is not known.",)


def test_without_a_price_shares_of_it_are_left_out_aloud() -> None:
    settings = Settings(
        as_of=AS_OF, yearly_costs=(INSURANCE,), loan=Loan(Decimal("0.5"), Decimal(7), 60)
    )
    project = search(ALL_GOOD, settings=settings)
    project, _ = apply(project, boats.change_boat(project, "ann", "asking", (), "Price"))
    ann = keeping_by_boat(assess(project, small_catalogue()))["ann"]

    assert ann.price is None
    assert ann.loan is None
    assert ann.missing == ("insurance: her price is not known.",)


def test_work_within_five_years_stands_beside_as_a_yearly_average() -> None:
    """A worn bearing is planned before launching here, so nothing is left for later."""
    settings = Settings(as_of=AS_OF, yearly_costs=(HAUL_OUT,))
    project = search({**ALL_GOOD, "bearing": seen(play=mm("0.8"))}, settings=settings)
    boat = assess(project, small_catalogue()).boats["ann"]

    assert keeping_of(boat, settings).later_work_yearly == boat.later_work / 5 == 0
    assert keeping_of(boat, settings).yearly == 900
