"""What a work line costs: hours times rate and materials, scaled, counted, exchanged."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from tests.figures.small_yard import AS_OF, mm, small_catalogue
from workbench.catalogue.model import PriceItem, Scale, WorkLine
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.ledger import LineChange
from workbench.domain.project import Overrides, PriceOverride, Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import ExchangeRate, Settings
from workbench.domain.span import Ends, Span
from workbench.domain.vocabulary import Basis
from workbench.figures.pricing import (
    NOTHING,
    Limits,
    Priced,
    Tariff,
    access_prices,
    count_of,
    limits_of,
)

NO_CHANGE = LineChange()
TEN_METRES = Boat("ann", "Ann", dimensions=FrozenMap({"loa": Quantity(Decimal(10), "m")}))

CATALOGUE = small_catalogue()


def tariff(settings: Settings | None = None, **overrides: PriceOverride) -> Tariff:
    own = Overrides(prices=FrozenMap(overrides))
    project = Project("p", "Search", settings or Settings(as_of=AS_OF), overrides=own)
    return Tariff(project, small_catalogue())


def item(name: str) -> PriceItem:
    return small_catalogue().prices.items[name]


def priced(
    name: str,
    *,
    count: float = 1.0,
    change: LineChange = NO_CHANGE,
    boat: Boat = TEN_METRES,
    by: Tariff | None = None,
    hours_share: str = "1",
) -> Priced:
    return (by or tariff()).priced(item(name), boat, count, change, Decimal(hours_share))


def span(low: float, likely: float, high: float, ends: Ends = Ends.LIMITS) -> Span:
    return Span(Decimal(repr(low)), Decimal(repr(likely)), Decimal(repr(high)), ends)


# --- Ranges ---


def test_limits_are_taken_as_they_are_and_one_in_ten_as_tenths() -> None:
    """600 / 900 / 2,400: PERT mean 1,100 as limits; as tenths the mean is 1,410.60.

    The two figures are those of the method's worked example; SciPy's beta gives the tenths back.
    """
    as_limits = limits_of(span(600, 900, 2400))
    as_tenths = limits_of(span(600, 900, 2400, Ends.ONE_IN_TEN))
    width = as_tenths.highest - as_tenths.lowest
    mode = (as_tenths.likely - as_tenths.lowest) / width
    curve = stats.beta(1 + 4 * mode, 5 - 4 * mode, loc=as_tenths.lowest, scale=width)

    assert as_limits.mean == 1_100
    assert as_tenths.mean == pytest.approx(1410.6, abs=0.1)
    assert curve.ppf([0.1, 0.9]) == pytest.approx([600, 2400], abs=0.5)


def test_a_range_of_one_in_ten_never_goes_below_nothing() -> None:
    assert limits_of(span(1, 50, 4000, Ends.ONE_IN_TEN)).lowest == 0


def test_ranges_scale_and_add_end_to_end() -> None:
    one, other = Limits(1, 2, 3), Limits(10, 20, 40)

    assert one.times(2).plus(other) == Limits(12, 24, 46)
    assert NOTHING.plus(other) == other


# --- Lines ---


def test_hours_times_rate_and_materials_make_the_cost() -> None:
    """A bearing: 2 h at 100 and 100 of parts."""
    bearing = priced("bearing")

    assert bearing.cost == Limits(300, 300, 300)
    assert (bearing.labour_mean, bearing.materials_mean) == pytest.approx((200, 100))
    assert bearing.basis is Basis.PRICE_BOOK


def test_several_pieces_cost_several_times_as_much() -> None:
    assert priced("seacock", count=3).cost.mean == 750
    assert priced("seacock", count=3, change=LineChange(count=Decimal(2))).cost.mean == 500


def test_changed_hours_rates_and_materials_stand_before_the_book() -> None:
    change = LineChange(
        hours=FrozenMap({"mechanic": span(3, 3, 3)}),
        rates=FrozenMap({"mechanic": Decimal(80)}),
        materials=span(50, 50, 50),
    )
    bearing = priced("bearing", change=change)

    assert bearing.cost.mean == 3 * 80 + 50
    assert bearing.basis is Basis.OWN_ENTRY
    assert bearing.overridden
    assert bearing.own_materials
    assert bearing.labour[0].own


def test_an_own_price_stands_before_the_book_and_a_change_before_both() -> None:
    own = PriceOverride(hours=FrozenMap({"mechanic": span(5, 5, 5)}), materials=span(10, 10, 10))
    by = tariff(bearing=own)

    assert priced("bearing", by=by).cost.mean == 510
    change = LineChange(materials=span(1, 1, 1))
    assert priced("bearing", by=by, change=change).cost.mean == 501


def test_rates_follow_the_settings_and_the_price_level() -> None:
    dear = Settings(as_of=AS_OF, price_level=Decimal("1.2"))
    own = Settings(as_of=AS_OF, rates=FrozenMap({"mechanic": Decimal(60)}))

    assert tariff(dear).rate("mechanic") == pytest.approx(120)
    assert tariff(own).rate("mechanic") == 60
    assert tariff().rate("no such trade") == 0


def test_own_work_takes_the_owners_hours_at_the_owners_rate() -> None:
    """2 h x half of them x 1.6 for slowness at 15, and 100 of parts."""
    rules = Settings(as_of=AS_OF, own_rate=Decimal(15))
    own = priced("bearing", by=tariff(rules), change=LineChange(own_work=True), hours_share="0.5")

    assert own.cost.mean == pytest.approx(2 * 0.5 * 1.6 * 15 + 100)
    assert own.own_work


def test_the_book_is_turned_into_the_projects_currency() -> None:
    rates = (ExchangeRate("USD", Decimal("0.5")),)
    euros = tariff(Settings("EUR", as_of=AS_OF, exchange=rates))

    assert priced("bearing", by=euros).cost.mean == 150
    assert euros.missing == ""


def test_without_a_rate_of_exchange_it_says_so() -> None:
    euros = tariff(Settings("EUR", as_of=AS_OF))

    assert euros.missing == "The price book is in USD and there is no rate to EUR."


# --- Scaling ---


def test_a_price_grows_with_the_power_of_the_size() -> None:
    """Rigging goes with length to the first power: 2,000 at 10 m, 2,400 at 12 m."""
    longer = dataclasses.replace(
        TEN_METRES, dimensions=FrozenMap({"loa": Quantity(Decimal(12), "m")})
    )

    assert priced("rigging", boat=longer).cost.mean == pytest.approx(2_400)
    assert priced("rigging", boat=longer).scaling == ("all × 1.20 for her length against 10 m.",)


@pytest.mark.parametrize(("of", "cost"), [("labour", 500), ("materials", 400), ("all", 600)])
def test_a_scale_may_hold_for_labour_or_materials_alone(of: str, cost: float) -> None:
    """A boat twice as long, a power of one, 200 of labour and 100 of parts."""
    scale = Scale("loa", Quantity(Decimal(5), "m"), Decimal(1), of)
    scaled = dataclasses.replace(item("bearing"), scales=(scale,))
    found = tariff().priced(scaled, TEN_METRES, 1.0, NO_CHANGE, Decimal(1))

    assert found.cost.mean == pytest.approx(cost)


def test_a_figure_of_ones_own_is_for_this_boat_and_is_not_scaled() -> None:
    scale = Scale("loa", Quantity(Decimal(5), "m"), Decimal(1), "all")
    scaled = dataclasses.replace(item("bearing"), scales=(scale,))
    change = LineChange(hours=FrozenMap({"mechanic": span(1, 1, 1)}), materials=span(10, 10, 10))

    assert tariff().priced(scaled, TEN_METRES, 1.0, change, Decimal(1)).cost.mean == 110


def test_an_unknown_size_leaves_the_price_as_it_is_and_says_so() -> None:
    nothing = Boat("ann", "Ann")

    assert priced("rigging", boat=nothing).cost.mean == 2_000
    assert "not known" in priced("rigging", boat=nothing).scaling[0]


# --- Counting ---


def test_a_count_comes_from_the_reading() -> None:
    line = WorkLine("work", "Renew", "seacock", count_entry="number")
    reading = Reading("", FrozenMap({"number": Quantity(Decimal(3), "count")}))

    assert count_of(line, TEN_METRES, reading, CATALOGUE) == (3.0, "")
    assert count_of(line, TEN_METRES, None, CATALOGUE)[0] == 1
    assert "taken as one" in count_of(line, TEN_METRES, None, CATALOGUE)[1]


def test_a_count_comes_from_a_size_in_its_unit() -> None:
    line = WorkLine("work", "Chain", "seacock", Decimal(2), count_dimension="loa", count_unit="ft")

    assert count_of(line, TEN_METRES, None, CATALOGUE)[0] == pytest.approx(2 * 32.8084, abs=1e-3)
    assert "not known" in count_of(line, Boat("ann", "Ann"), None, CATALOGUE)[1]
    shaft = dataclasses.replace(line, count_dimension="shaft-diameter", count_unit="mm")
    thick = Boat("ann", "Ann", dimensions=FrozenMap({"shaft-diameter": mm("25")}))
    assert count_of(shaft, thick, None, CATALOGUE)[0] == 50


def test_every_access_task_is_priced_with_what_was_changed_about_it() -> None:
    cheaper = FrozenMap({"access/haul-out": LineChange(materials=span(100, 100, 100))})
    prices = access_prices(small_catalogue(), tariff(), TEN_METRES, cheaper)

    assert {task: one.cost.mean for task, one in prices.items()} == pytest.approx(
        {"haul-out": 100, "draw-shaft": 400, "unstep-mast": 900}
    )


# --- Laws ---


@given(hours=st.floats(0.1, 50), materials=st.floats(0, 5_000), times=st.integers(1, 9))
def test_cost_is_linear_in_everything(hours: float, materials: float, times: int) -> None:
    change = LineChange(
        hours=FrozenMap({"mechanic": span(hours, hours, hours)}),
        materials=span(materials, materials, materials),
    )
    found = priced("bearing", count=times, change=change)

    assert found.cost.mean == pytest.approx(times * (hours * 100 + materials))
    assert found.labour_mean + found.materials_mean == pytest.approx(found.cost.mean)
