"""Loans, dated work and keeping costs against numpy-financial, textbooks and worked examples."""

from decimal import Decimal

import numpy_financial
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from workbench.figures.finance import (
    CentsPolicy,
    DatedWork,
    KeepingTerms,
    future_value,
    inflate,
    irr,
    keeping_by_year,
    keeping_in_year,
    level_payment,
    loan_rate,
    loan_schedule,
    nominal_rate,
    npv,
    periods_to_repay,
    present_value,
    present_value_of_work,
    real_rate,
    recurring_years,
    round_money,
    spv,
    spv_star,
    straight_line_year,
    upv,
    upv_star,
)

# numpy-financial docstrings of ppmt and ipmt: 2500 at 8.24 % a year, 12 months.
# fmt: off
PUBLISHED_PRINCIPAL = [
    "200.58", "201.96", "203.35", "204.74", "206.15", "207.56",
    "208.99", "210.42", "211.87", "213.32", "214.79", "216.26",
]
PUBLISHED_INTEREST = [
    "17.17", "15.79", "14.40", "13.01", "11.60", "10.18",
    "8.76", "7.32", "5.88", "4.42", "2.96", "1.49",
]
PUBLISHED_BALANCE = [
    "2299.42", "2097.46", "1894.11", "1689.37", "1483.22", "1275.66",
    "1066.67", "856.25", "644.38", "431.05", "216.26", "0.00",
]
# fmt: on

rates = st.floats(-0.2, 0.5).filter(lambda rate: rate == 0 or abs(rate) > 1e-6)
# numpy-financial divides by the rate before it looks whether it is zero, and warns.
nonzero_rates = rates.filter(bool)
terms = st.integers(1, 360)


def test_level_payment_is_the_published_one_to_the_last_digit() -> None:
    # numpy-financial docstring of pmt: -1854.0247200054619 (money paid out is negative there).
    assert level_payment(200_000, 0.075 / 12, 180) == pytest.approx(1854.0247200054619, abs=1e-9)


def test_term_of_a_loan_is_the_published_one() -> None:
    # numpy-financial docstring of nper: 64.07335.
    assert periods_to_repay(8000, 150, 0.07 / 12) == pytest.approx(64.07334877066185, abs=1e-9)


def test_saving_grows_as_published_and_comes_back_to_its_start() -> None:
    # numpy-financial docstrings of fv and pv: 15692.92889433575 and -100.00067131625819.
    saved = future_value(100, 100, 0.05 / 12, 120)

    assert saved == pytest.approx(15692.92889433575, abs=1e-8)
    back = present_value(15692.93, -100, 0.05 / 12, 120)
    assert back == pytest.approx(100.00067131625819, abs=1e-9)


def test_net_present_value_does_not_discount_the_first_flow() -> None:
    # numpy-financial docstring of npv: 3065.22267. A spreadsheet's NPV discounts the first flow.
    flows = [-40_000, 5_000, 8_000, 12_000, 30_000]

    assert npv(0.08, flows) == pytest.approx(3065.22267, abs=5e-6)
    assert npv(0.08, flows) == pytest.approx(npv(0.08, [0, *flows[1:]]) - 40_000)
    assert npv(0.08, [0, *flows]) == pytest.approx(3065.222668179529 / 1.08)


@pytest.mark.parametrize(
    ("flows", "expected"),
    [([-100, 39, 59, 55, 20], 0.28095), ([-100, 0, 0, 74], -0.0955)],
)
def test_internal_rate_is_the_published_one(flows: list[float], expected: float) -> None:
    # numpy-financial docstring of irr.
    assert irr(flows) == pytest.approx(expected, abs=5e-6)


@pytest.mark.parametrize("flows", [[1, 2], [-5, 10.5, 1, -8, 1], [0, 0], []])
def test_internal_rate_is_refused_when_several_or_no_rates_answer(flows: list[float]) -> None:
    with pytest.raises(ValueError, match="change sign"):
        irr(flows)


@pytest.mark.parametrize(
    ("flows", "published_percent"),
    [
        ([-5000, *[230.0] * 24], 9.69),
        ([-5000, 250.0, *[230.0] * 23], 10.08),
        ([-5000, *[230.0] * 23, 280.0], 10.50),
        ([-5000, 250.0, *[230.0] * 22, 280.0], 10.90),
    ],
)
def test_yearly_rate_is_that_of_the_regulation(
    flows: list[float], published_percent: float
) -> None:
    # 12 CFR 1026 Appendix J, examples (c)(1)(i), (c)(2)(i), (c)(3)(i), (c)(4)(i): 5000 advanced,
    # monthly payments, rate stated to two decimals. Figures as reproduced in public test suites.
    assert round(1200 * irr(flows), 2) == published_percent


def test_loan_rate_is_the_rate_of_its_level_payments() -> None:
    # 12 CFR 1026 Appendix J (c)(1)(i): 5000, 24 payments of 230.00, 9.69 %.
    assert round(1200 * loan_rate(5000, 230, 24), 2) == 9.69


def test_exact_schedule_prints_the_published_rows() -> None:
    schedule = loan_schedule(Decimal(2500), Decimal("0.0824"), 12, CentsPolicy.EXACT)

    printed = [
        tuple(str(round_money(amount)) for amount in (row.principal, row.interest, row.balance))
        for row in schedule.rows
    ]
    expected = list(zip(PUBLISHED_PRINCIPAL, PUBLISHED_INTEREST, PUBLISHED_BALANCE, strict=True))
    assert printed == expected
    assert round_money(schedule.total_interest) == Decimal("112.98")


def test_printed_parts_of_the_exact_schedule_do_not_add_up_but_the_schedule_does() -> None:
    # The trap in the published table: rounded principals add to 2499.99.
    assert sum(map(Decimal, PUBLISHED_PRINCIPAL)) == Decimal("2499.99")
    schedule = loan_schedule(Decimal(2500), Decimal("0.0824"), 12, CentsPolicy.EXACT)
    assert round_money(sum((row.principal for row in schedule.rows), Decimal(0))) == 2500


def test_cents_schedule_ends_with_a_smaller_payment_and_one_cent_less_interest() -> None:
    # Decimal arithmetic on the same loan: 11 payments of 217.75, one of 217.72, interest 112.97.
    schedule = loan_schedule(Decimal(2500), Decimal("0.0824"), 12, CentsPolicy.ROUNDED)

    payments = [row.payment for row in schedule.rows]
    assert payments == [Decimal("217.75")] * 11 + [Decimal("217.72")]
    assert schedule.total_interest == Decimal("112.97")
    assert schedule.policy is CentsPolicy.ROUNDED


@given(st.integers(1, 50_000_000), st.integers(0, 3000), terms, st.sampled_from(list(CentsPolicy)))
def test_a_schedule_always_pays_back_exactly_what_was_lent(
    cents: int, rate_bp: int, months: int, policy: CentsPolicy
) -> None:
    principal = Decimal(cents) / 100
    schedule = loan_schedule(principal, Decimal(rate_bp) / 10_000, months, policy)

    assert len(schedule.rows) == months
    assert schedule.rows[-1].balance == 0
    repaid = sum((row.principal for row in schedule.rows), Decimal(0))
    # Sums of hundreds of parts are taken in the 28 digits of ordinary decimals.
    assert abs(repaid - principal) <= Decimal("1e-18")
    assert abs(schedule.total_paid - schedule.total_interest - principal) <= Decimal("1e-18")
    if policy is CentsPolicy.ROUNDED:
        assert repaid == principal
        assert all(row.payment == row.interest + row.principal for row in schedule.rows)


def test_a_negative_loan_is_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        loan_schedule(Decimal(-1), Decimal(0), 12)


# Textbook Table A.1, present value of 1.
PRESENT_VALUE_OF_ONE = {
    0.03: {
        1: 0.9709, 2: 0.9426, 3: 0.9151, 4: 0.8885, 5: 0.8626, 6: 0.8375,
        7: 0.8131, 8: 0.7894, 9: 0.7664, 10: 0.7441, 20: 0.5537,
    },
    0.05: {5: 0.7835, 10: 0.6139, 20: 0.3769},
    0.07: {5: 0.7130, 10: 0.5083, 20: 0.2584},
}  # fmt: skip
# Textbook Table B.3, present value of an annuity of 1.
PRESENT_VALUE_OF_ANNUITY = {
    0.03: {1: 0.9709, 5: 4.5797, 10: 8.5302, 15: 11.9379},
    0.05: {5: 4.3295, 10: 7.7217, 15: 10.3797},
    0.07: {10: 7.0236},
}


@pytest.mark.parametrize(
    ("rate", "years", "factor"),
    [(r, n, v) for r, row in PRESENT_VALUE_OF_ONE.items() for n, v in row.items()],
)
def test_single_present_value_is_the_table_value(rate: float, years: int, factor: float) -> None:
    assert spv(rate, years) == pytest.approx(factor, abs=5.1e-5)


@pytest.mark.parametrize(
    ("rate", "years", "factor"),
    [(r, n, v) for r, row in PRESENT_VALUE_OF_ANNUITY.items() for n, v in row.items()],
)
def test_uniform_present_value_is_the_table_value(rate: float, years: int, factor: float) -> None:
    assert upv(rate, years) == pytest.approx(factor, abs=5.1e-5)


@pytest.mark.parametrize(("years", "growth"), [(5, 1.1593), (10, 1.3439)])
def test_growth_table_is_the_reciprocal_of_present_value(years: int, growth: float) -> None:
    # Textbook table, future value of 1 at 3 %.
    assert 1 / spv(0.03, years) == pytest.approx(growth, abs=5e-5)


def test_factors_named_in_handbook_135_have_their_closed_values() -> None:
    # ASTM E917 and NIST Handbook 135 factor names; values computed from the formulas.
    assert spv(0.03, 10) == pytest.approx(0.744094, abs=5e-7)
    assert upv(0.03, 20) == pytest.approx(14.877475, abs=5e-7)
    assert spv_star(0.03, 0.01, 10) == pytest.approx(0.821943, abs=5e-7)


@given(rates, terms)
def test_escalation_equal_to_the_rate_gives_the_number_of_years(rate: float, years: int) -> None:
    assert upv_star(rate, rate, years) == years
    assert spv_star(rate, rate, years) == 1.0


@given(st.floats(0.0, 0.2), st.floats(-0.05, 0.2), st.integers(1, 60))
def test_escalating_factor_is_the_sum_of_its_years(
    rate: float, escalation: float, years: int
) -> None:
    assume(rate == escalation or abs(rate - escalation) > 1e-6)
    summed = sum(spv_star(rate, escalation, year) for year in range(1, years + 1))

    assert upv_star(rate, escalation, years) == pytest.approx(summed, rel=1e-7)


def test_nearly_equal_escalation_does_not_jump() -> None:
    assert upv_star(0.03, 0.03 + 1e-9, 25) == pytest.approx(25, rel=1e-6)


def test_work_due_later_costs_less_today() -> None:
    # Formula SPV; a spreadsheet engine's PV gave 4464.56348938 for the second.
    five = present_value_of_work([DatedWork("rigging", 6000, 5)], 0.03)
    ten = present_value_of_work([DatedWork("rigging", 6000, 10)], 0.03)

    assert five == pytest.approx(5175.65, abs=0.005)
    assert ten == pytest.approx(4464.56348938, abs=1e-7)


def test_work_every_ten_years_falls_due_twice_within_twenty_five() -> None:
    years = recurring_years(10, 25)
    work = [DatedWork("rigging", 4000, year) for year in years]

    assert list(years) == [10, 20]
    assert present_value_of_work(work, 0.03) == pytest.approx(5191.08, abs=0.005)


@pytest.mark.parametrize(
    ("every", "within", "count"),
    [(10, 30, 2), (10, 30.5, 3), (10, 10, 0), (10, 4, 0), (0.1, 0.3, 2)],
)
def test_work_on_the_last_day_is_not_counted(every: float, within: float, count: int) -> None:
    assert len(recurring_years(every, within)) == count


def test_inflation_and_real_rates_agree() -> None:
    # 6000 at 2 % for 10 years: 7313.97; (1+i)(1+r)-1 with 3 % real and 2 % inflation.
    assert inflate(6000, 0.02, 10) == pytest.approx(7313.97, abs=0.005)
    assert nominal_rate(0.03, 0.02) == pytest.approx(0.0506)
    assert real_rate(0.0506, 0.02) == pytest.approx(0.03)


def test_straight_line_year_counts_months() -> None:
    # IRS Publication 534, method and inputs: 5600 over 10 years, bought in April.
    assert straight_line_year(5600, 0, 10) == 560.0
    assert straight_line_year(5600, 0, 10, months=9) == 420.0


@given(st.floats(1, 1e6), nonzero_rates, terms)
def test_payment_agrees_with_numpy_financial(principal: float, rate: float, periods: int) -> None:
    expected = -numpy_financial.pmt(rate, periods, principal)

    assert level_payment(principal, rate, periods) == pytest.approx(expected, rel=1e-6)


@given(st.floats(-1e5, 1e5), st.floats(-1e4, 1e4), nonzero_rates, st.integers(1, 120))
def test_growth_and_present_value_agree_with_numpy_financial(
    now: float, each: float, rate: float, periods: int
) -> None:
    grown = -numpy_financial.fv(rate, periods, each, now)
    worth = -numpy_financial.pv(rate, periods, each, now)

    assert future_value(now, each, rate, periods) == pytest.approx(grown, rel=1e-6, abs=1e-3)
    assert present_value(now, each, rate, periods) == pytest.approx(worth, rel=1e-6, abs=1e-3)


@given(st.floats(100, 1e5), st.floats(0.0005, 0.05), st.integers(1, 240))
def test_term_and_rate_undo_the_payment(principal: float, rate: float, periods: int) -> None:
    payment = level_payment(principal, rate, periods)

    assert periods_to_repay(principal, payment, rate) == pytest.approx(periods, rel=1e-6)
    assert loan_rate(principal, payment, periods) == pytest.approx(rate, rel=1e-6)


def test_a_loan_without_interest_is_divided_evenly() -> None:
    assert level_payment(1200, 0.0, 12) == 100.0
    assert periods_to_repay(1200, 100, 0.0) == 12


def test_a_payment_below_the_interest_never_ends() -> None:
    with pytest.raises(ValueError, match="does not cover"):
        periods_to_repay(1000, 10, 0.01)


@pytest.mark.parametrize("periods", [0, -3])
def test_no_periods_are_refused(periods: int) -> None:
    with pytest.raises(ValueError, match="above zero"):
        level_payment(100, 0.01, periods)


def test_a_rate_that_loses_everything_is_refused() -> None:
    with pytest.raises(ValueError, match="loses everything"):
        spv(-1.0, 3)


@pytest.mark.parametrize(
    ("amount", "digits", "rounded"),
    [("0.125", 2, "0.13"), ("0.135", 2, "0.14"), ("2.5", 0, "3"), ("1.2345", 3, "1.235")],
)
def test_money_is_rounded_half_up(amount: str, digits: int, rounded: str) -> None:
    assert str(round_money(Decimal(amount), digits)) == rounded


KEEPING = KeepingTerms(
    mooring=Decimal(1800),
    insurance_share=Decimal("0.012"),
    insurance_minimum=Decimal(300),
    haul_outs_per_year=Decimal("0.5"),
    haul_out_each=Decimal("650.55"),
    upkeep_share=Decimal("0.05"),
    inflation=Decimal("0.03"),
)


def test_first_year_of_keeping_is_its_parts() -> None:
    # Invented boat worth 20,000: insurance the minimum of 300 against 240, haul-out 325.275.
    loan = loan_schedule(Decimal(10_000), Decimal("0.06"), 24)
    first = keeping_in_year(1, KEEPING, Decimal(20_000), loan)

    assert first.mooring == 1800
    assert first.insurance == 300
    assert first.haul_out == Decimal("325.28")
    assert first.upkeep == 1000
    assert first.loan == 12 * Decimal("443.21")
    assert first.total == sum(amount for _, amount in first.parts)


def test_keeping_is_in_whole_cents_unless_told_otherwise() -> None:
    (year,) = keeping_by_year(1, KEEPING, Decimal("20000.01"))
    (whole,) = keeping_by_year(1, KEEPING, Decimal("20000.01"), minor_digits=0)

    assert year.haul_out == Decimal("325.28")
    assert whole.haul_out == 325


def test_the_loan_ends_and_prices_rise() -> None:
    loan = loan_schedule(Decimal(10_000), Decimal("0.06"), 24)
    years = keeping_by_year(3, KEEPING, Decimal(20_000), loan)

    assert [year.year for year in years] == [1, 2, 3]
    assert years[0].loan + years[1].loan == loan.total_paid
    assert years[2].loan == 0
    assert years[2].mooring == round_money(Decimal(1800) * Decimal("1.03") ** 2)
