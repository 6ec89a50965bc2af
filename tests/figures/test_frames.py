"""The ledger and the totals in pandas: fixed columns, and sums that are the assessment's own."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.figures.small_yard import ALL_GOOD, AS_OF, NOT_SEEN, mm, search, seen, small_catalogue
from workbench.domain.boat import Boat
from workbench.domain.inspection import Reading
from workbench.domain.ledger import LineChange
from workbench.domain.project import Project
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import When
from workbench.edits import boats, costing
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment
from workbench.figures.frames import (
    LEDGER_COLUMNS,
    TOTAL_COLUMNS,
    account_sums,
    by_when,
    ledger_frame,
    totals_frame,
)

WORN_OUT = seen(play=mm("1.2"), sound="knocks")


def assessed(readings: dict[str, Reading], change: LineChange | None = None) -> Assessment:
    """Ann with readings, and Bea without a price whom nobody looked at."""
    project = search(readings)
    project = apply(project, boats.add_boat(project, Boat("", "Bea", year=1990)))[0]
    if change is not None:
        edit = costing.change_line(project, "ann", "bearing/renew/work", change)
        project = apply(project, edit)[0]
    return assess(project, small_catalogue())


def readings() -> st.SearchStrategy[dict[str, Reading]]:
    state = st.sampled_from([seen(state="good"), seen(state="bad"), NOT_SEEN])
    play = st.sampled_from([seen(play=mm("0.1")), seen(play=mm("0.8")), WORN_OUT, NOT_SEEN])
    return st.fixed_dictionaries(
        {}, optional={"bearing": play, "seacocks": state, "rigging": state, "seal": state}
    )


def test_columns_are_fixed_and_every_line_and_access_charge_has_a_row() -> None:
    assessment = assessed({"bearing": WORN_OUT})
    ledger, totals = ledger_frame(assessment), totals_frame(assessment)
    counted = sum(len(one.lines) + len(one.access) for one in assessment.boats.values())

    assert list(ledger.columns) == list(LEDGER_COLUMNS)
    assert list(totals.columns) == list(TOTAL_COLUMNS)
    assert len(ledger) == counted
    assert totals.index.tolist() == ["ann", "bea"]


@settings(max_examples=15)
@given(readings(), st.none() | st.sampled_from(list(When)))
def test_sums_are_the_assessments_own_to_the_cent(
    looked: dict[str, Reading], when: When | None
) -> None:
    assessment = assessed(looked, None if when is None else LineChange(when=when))
    totals = totals_frame(assessment).to_dict("index")
    sums = account_sums(ledger_frame(assessment))

    for boat in assessment.boats.values():
        row = totals[boat.id]
        assert row["deferred"] == sums[boat.id]["deferred"] == boat.deferred.mean
        assert row["allowance"] == boat.allowance.mean
        assert row["work"] == boat.work.mean
        assert row["cost_to_ready"] == boat.cost_to_ready.mean
        assert row["claim"] == boat.claim.total


def test_deferred_maintenance_stands_against_the_asking_price() -> None:
    """1,300 of 20,000 is 6.5 %; without a price there is no share."""
    totals = totals_frame(assessed({**ALL_GOOD, "bearing": WORN_OUT})).to_dict("index")

    assert totals["ann"]["deferred_share"] == Decimal("0.065")
    assert totals["bea"]["deferred_share"] is None
    assert totals["bea"]["asking"] is None


def test_what_is_counted_when_adds_up_to_work_and_later_work() -> None:
    later = LineChange(when=When.FIVE_YEARS)
    assessment = assessed({**ALL_GOOD, "bearing": WORN_OUT}, later)
    boat = assessment.boats["ann"]
    row = by_when(assessment).loc["ann"]

    assert row["five-years"] == boat.later_work == 1_300
    assert row["before-launching"] + row["first-season"] == boat.work.mean == 0
    assert list(row.index) == [when.value for when in When]


@settings(max_examples=15)
@given(readings(), st.sampled_from(list(When)))
def test_the_allowance_is_no_part_of_what_is_planned_when(
    looked: dict[str, Reading], when: When
) -> None:
    assessment = assessed(looked, LineChange(when=when))
    boat = assessment.boats["ann"]
    table = by_when(assessment)
    planned = sum(table.loc["ann"], Decimal(0)) if "ann" in table.index else Decimal(0)

    assert planned == boat.work.mean + boat.later_work


def test_a_search_without_boats_gives_empty_frames() -> None:
    empty = assess(Project("p", "Search", Settings(as_of=AS_OF)), small_catalogue())

    assert ledger_frame(empty).empty
    assert totals_frame(empty).empty
