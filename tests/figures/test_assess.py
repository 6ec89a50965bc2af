"""The whole computation on a catalogue that can be worked out by hand, and laws it always keeps."""

from __future__ import annotations

import dataclasses
import math
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import triang

from tests.figures.small_yard import (
    ALL_GOOD,
    AS_OF,
    NOT_SEEN,
    mm,
    search,
    seen,
    small_catalogue,
)
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.ledger import ClaimChoice, LineChange, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import ExchangeRate, Settings, Tax, TaxBand
from workbench.domain.span import Ends, Shape, Span
from workbench.domain.vocabulary import Grade, When
from workbench.edits import boats, costing
from workbench.edits.edit import apply
from workbench.figures.assess import Assessor, assess
from workbench.figures.assessment import Assessment, BoatAssessment
from workbench.figures.frames import ledger_frame, totals_frame

WORN_OUT = seen(play=mm("1.2"), sound="knocks")
TWO_FROZEN = seen(state="bad", number=Quantity(Decimal(2), "count"))


def ann(project: Project) -> BoatAssessment:
    """The figures of the one boat."""
    return assess(project, small_catalogue()).boats["ann"]


def test_a_due_finding_costs_its_work_and_its_access_once() -> None:
    """Bearing 2 h x 100 + 100 = 300, draw the shaft 400, haul out 600: 1,300 by hand."""
    boat = ann(search({**ALL_GOOD, "bearing": WORN_OUT}))

    assert boat.finding("bearing").grade is Grade.DUE  # type: ignore[union-attr]
    assert boat.deferred.mean == Decimal("1300.00")
    assert boat.work.mean == Decimal("1300.00")


def test_a_second_finding_shares_the_haul_out() -> None:
    """Two seacocks of 250 more, and no second haul-out: 1,800."""
    boat = ann(search({**ALL_GOOD, "bearing": WORN_OUT, "seacocks": TWO_FROZEN}))

    assert boat.deferred.mean == Decimal("1800.00")
    assert [one.task.id for one in boat.access if one.chance_found == 1] == [
        "haul-out",
        "draw-shaft",
    ]


def test_an_unseen_check_is_not_free() -> None:
    """Nobody saw the rigging: 40 % of (2,000 + 900 for the mast) = 1,160 by hand."""
    boat = ann(search({**ALL_GOOD, "rigging": NOT_SEEN}))
    rigging = [line for line in boat.lines if line.key.startswith("rigging")]
    mast = [one for one in boat.access if one.task.id == "unstep-mast"]

    assert rigging[0].counted == Decimal("800.00")
    assert mast[0].counted_allowed == Decimal("360.00")


def test_a_look_that_found_nothing_lowers_the_chance_and_never_to_nothing() -> None:
    """Prior 0.2, sees 0.8, false alarm 0.1: odds .25 x (.2/.9) = .0556, so 5.26 %."""
    boat = ann(search(ALL_GOOD))
    seal = boat.finding("seal")

    assert seal is not None
    assert seal.chance == pytest.approx(0.0526, abs=1e-4)
    assert boat.allowance.mean > 0


def test_a_finding_raises_the_suspicion_of_another() -> None:
    """Odds .25 x 4 = 1, so an unseen seal beside a worn-out bearing is as likely bad as not."""
    boat = ann(search({"bearing": WORN_OUT}))
    seal = boat.finding("seal")

    assert seal is not None
    assert seal.chance == pytest.approx(0.5)
    assert seal.evidence.steps[0].label.startswith("bearing: due")


def test_what_a_person_is_not_sure_of_counts_as_a_chance() -> None:
    """Odds .25 x (.8/.1) = 2: two chances in three."""
    doubtful = dataclasses.replace(WORN_OUT, sure=False)
    boat = ann(search({**ALL_GOOD, "bearing": doubtful}))

    assert boat.lines_of("bearing")[0].chance == pytest.approx(2 / 3)


def test_two_rules_that_differ_show_their_spread_and_the_lead_decides() -> None:
    """0.8 mm on a 25 mm shaft: worn by the millimetre rule, due by three per cent (0.75 mm)."""
    finding = ann(search({**ALL_GOOD, "bearing": seen(play=mm("0.8"))})).finding("bearing")

    assert finding is not None
    assert finding.grade is Grade.WORN
    verdict = finding.counting.verdict  # type: ignore[union-attr]
    assert (verdict.best, verdict.worst) == (Grade.WORN, Grade.DUE)
    assert "A handbook" in verdict.results[1].rule.source.sentence()


def test_a_worn_part_defers_only_the_life_that_is_used_up() -> None:
    """0.8 of 1.0 mm: four fifths of 300 is deferred, though all of it is spent before sailing."""
    boat = ann(search({**ALL_GOOD, "bearing": seen(play=mm("0.8"))}))

    assert boat.lines_of("bearing")[0].deferred == Decimal("240.00")


def test_a_saildrive_boat_is_not_asked_about_the_stern_bearing() -> None:
    project = search(ALL_GOOD)
    edit = boats.set_fact(project, "ann", "drive", "saildrive", "Drive")
    boat = ann(apply(project, edit)[0])

    assert boat.finding("bearing") is None
    assert boat.coverage.checks == 3


def test_two_people_who_disagree_are_both_kept_and_the_worse_counts() -> None:
    alex = Reading("", seen(play=mm("0.2")).values, taken=date(2026, 5, 2), by="Alex")
    project = search({**ALL_GOOD, "bearing": WORN_OUT})
    from workbench.edits.inspecting import record_reading  # noqa: PLC0415 - beside its use

    finding = ann(apply(project, record_reading(project, "ann", "bearing", alex))[0]).finding(
        "bearing"
    )

    assert finding is not None
    assert finding.disagree
    assert finding.grade is Grade.DUE
    assert len(finding.judged) == 2


def test_a_quote_replaces_the_estimates_it_answers_to_the_cent() -> None:
    """1,000.01 for seacocks (500) and haul-out (600) is shared five to six."""
    project = search(
        {**ALL_GOOD, "seacocks": TWO_FROZEN},
        more=[
            lambda p: costing.put_quote(
                p,
                "ann",
                Quote(
                    "",
                    "Wharf",
                    Money(Decimal("1000.01"), "USD"),
                    ("seacocks/renew/work", "access/haul-out"),
                ),
            )
        ],
    )
    boat = ann(project)
    line = boat.lines_of("seacocks")[0]
    haul = next(one for one in boat.access if one.task.id == "haul-out")

    assert line.counted + Decimal(repr(haul.mean)) == Decimal("1000.01")
    assert line.counted in (Decimal("454.55"), Decimal("454.54"))


def test_a_quote_in_a_currency_without_a_rate_is_left_out_aloud() -> None:
    quote = Quote("", "Quai", Money(Decimal(10), "EUR"), ("seacocks/renew/work",))
    project = search(
        {**ALL_GOOD, "seacocks": TWO_FROZEN},
        more=[lambda p: costing.put_quote(p, "ann", quote)],
    )
    boat = ann(project)

    assert boat.lines_of("seacocks")[0].quote is None
    assert any("no rate for EUR" in problem.message for problem in boat.problems)


def test_a_line_left_out_stays_and_counts_nothing() -> None:
    change = LineChange(left_out=True)
    project = search(
        {**ALL_GOOD, "bearing": WORN_OUT},
        more=[lambda p: costing.change_line(p, "ann", "bearing/renew/work", change)],
    )
    boat = ann(project)

    assert boat.lines_of("bearing")[0].left_out
    assert boat.deferred.mean == 0


def test_own_work_is_charged_at_the_owners_hours_and_rate() -> None:
    """2 h x 1.6 at 15 an hour and 100 of parts: 148."""
    project = search(
        {**ALL_GOOD, "bearing": WORN_OUT},
        settings=Settings(as_of=AS_OF, own_rate=Decimal(15)),
        more=[
            lambda p: costing.change_line(p, "ann", "bearing/renew/work", LineChange(own_work=True))
        ],
    )

    assert ann(project).lines_of("bearing")[0].counted == Decimal("148.00")


def test_a_price_scales_with_the_boat() -> None:
    """Rigging of 2,000 at 10 m is 2,400 at 12 m."""
    project = search({**ALL_GOOD, "rigging": seen(state="bad")})
    longer = boats.set_dimension(project, "ann", "loa", Quantity(Decimal(12), "m"), "Length")

    assert ann(project).lines_of("rigging")[0].counted == Decimal("2000.00")
    assert ann(apply(project, longer)[0]).lines_of("rigging")[0].counted == Decimal("2400.00")


def test_a_missing_size_leaves_the_price_unscaled_and_says_so() -> None:
    project = search({**ALL_GOOD, "rigging": seen(state="bad")})
    unknown = boats.set_dimension(project, "ann", "loa", None, "Length")
    line = ann(apply(project, unknown)[0]).lines_of("rigging")[0]

    assert line.counted == Decimal("2000.00")
    assert "Not scaled to her length" in line.priced.scaling[0]  # type: ignore[union-attr]


def test_an_unpriced_finding_is_counted_aloud_and_is_never_zero_silently() -> None:
    project = search(
        {**ALL_GOOD, "bearing": WORN_OUT}, settings=Settings(currency="EUR", as_of=AS_OF)
    )
    assessment = assess(project, small_catalogue())
    boat = assessment.boats["ann"]

    assert boat.coverage.unpriced == len(boat.lines)
    assert any("there is no rate to EUR" in problem.message for problem in assessment.problems)


def test_a_rate_turns_the_price_book_into_the_projects_currency() -> None:
    rates = (ExchangeRate("USD", Decimal("0.5")),)
    project = search(
        {**ALL_GOOD, "bearing": WORN_OUT},
        settings=Settings(currency="EUR", as_of=AS_OF, exchange=rates),
    )

    boat = ann(project)

    assert boat.deferred.mean == Decimal("650.00")
    assert boat.asking == Decimal("10000.00")


def test_cost_to_ready_adds_price_tax_work_and_allowance() -> None:
    tax = Tax("sales tax", (TaxBand(Decimal(0), Decimal(6)),))
    boat = ann(
        search({**ALL_GOOD, "bearing": WORN_OUT}, settings=Settings(as_of=AS_OF, taxes=(tax,)))
    )

    assert boat.cost_to_ready.mean == Decimal("21200.00") + boat.work.mean + boat.allowance.mean


def test_wishes_are_listed_and_not_counted() -> None:
    wish = OwnLine("", "Teak", Span(Decimal(5), Decimal(5), Decimal(5)), when=When.WISH)
    boat = ann(search(ALL_GOOD, more=[lambda p: costing.put_own_line(p, "ann", wish)]))

    assert boat.lines[-1].counted == 0
    assert boat.deferred.mean == 0


def test_the_claim_is_due_work_with_its_share_of_the_shared_work() -> None:
    """Haul-out shared by two jobs: 300 + 400 + 300 = 1,000 and 500 + 300 = 800."""
    boat = ann(search({**ALL_GOOD, "bearing": WORN_OUT, "seacocks": TWO_FROZEN}))

    assert {line.key: line.amount for line in boat.claim.lines if line.included} == {
        "bearing": Decimal(1000),
        "seacocks": Decimal(800),
    }
    assert boat.claim.total == boat.deferred.mean


def test_a_claim_left_out_lowers_the_total_and_raises_the_opening() -> None:
    """20,000 asked less 1,300 claimed is 18,700; without the claim the walk-away holds it down."""
    project = search({**ALL_GOOD, "bearing": WORN_OUT})
    out = costing.set_claim(project, "ann", "bearing", ClaimChoice(included=False))
    before, after = ann(project), ann(apply(project, out)[0])

    assert (before.claim.total, after.claim.total) == (Decimal(1300), Decimal(0))
    assert before.offer.opening == Decimal(18_700)
    assert after.offer.held_down
    assert after.offer.opening == after.offer.walk_away


def test_the_target_lies_half_way_from_the_opening_to_the_walk_away_price() -> None:
    offer = ann(search({**ALL_GOOD, "bearing": WORN_OUT})).offer
    assert offer.opening is not None
    assert offer.target is not None
    assert offer.walk_away is not None

    assert offer.opening < offer.target < offer.walk_away
    middle = (offer.opening + offer.walk_away) / 2
    assert abs(offer.target - middle) < Decimal("0.01")


def test_without_comparables_the_asking_price_stands_in_and_is_called_so() -> None:
    anchor = ann(search(ALL_GOOD)).offer.anchor

    assert anchor.value == Decimal(20_000)
    assert "asking price stands in" in anchor.basis


def test_the_walk_away_price_is_the_lower_of_budget_and_worth() -> None:
    rich = ann(search(ALL_GOOD, settings=Settings(as_of=AS_OF, budget=Decimal(90_000))))
    poor = ann(search(ALL_GOOD, settings=Settings(as_of=AS_OF, budget=Decimal(12_000))))

    assert rich.offer.limit.binding.value == "worth"
    assert poor.offer.limit.binding.value == "budget"
    assert poor.offer.walk_away < rich.offer.walk_away  # type: ignore[operator]
    assert poor.offer.target == poor.offer.walk_away


def test_a_boat_nobody_looked_at_is_neither_better_nor_worse_than_her_price() -> None:
    """What she needs beyond the ordinary for her kind is nothing, to the cents of each line."""
    assert abs(ann(search({})).excess_work) < 1


# --- Laws ---


def readings() -> st.SearchStrategy[dict[str, Reading]]:
    """Any mixture of looked and not looked, good and bad."""
    play = st.decimals(0, 9, places=1).map(lambda number: seen(play=mm(str(number))))
    state = st.sampled_from(["good", "bad"]).map(lambda word: seen(state=word))
    return st.fixed_dictionaries(
        {},
        optional={
            "bearing": st.one_of(play, st.just(NOT_SEEN)),
            "seacocks": state,
            "rigging": st.one_of(state, st.just(NOT_SEEN)),
            "seal": state,
        },
    )


@settings(max_examples=25, deadline=None)
@given(readings())
def test_shown_totals_are_the_sums_of_their_shown_parts(found: dict[str, Reading]) -> None:
    boat = ann(search(found))

    lines = sum((one.deferred for one in boat.lines), Decimal(0))
    access = sum((one.deferred for one in boat.access), Decimal(0))
    assert boat.deferred.mean == lines + access
    assert boat.cost_to_ready.mean == 20_000 + boat.work.mean + boat.allowance.mean
    assert sum((one.amount for one in boat.claim.lines), Decimal(0)) == boat.claim.total


@settings(max_examples=15, deadline=None)
@given(readings())
def test_the_drawn_mean_agrees_with_the_closed_form(found: dict[str, Reading]) -> None:
    boat = ann(search(found))

    for total in (boat.deferred, boat.allowance, boat.cost_to_ready):
        cents_of_lines = Decimal("0.5")
        room = Decimal(repr(4 * total.standard_error)) + cents_of_lines
        assert abs(total.mean - total.drawn_mean) <= room


@settings(max_examples=10, deadline=None)
@given(readings())
def test_the_pandas_totals_are_the_same_to_the_cent(found: dict[str, Reading]) -> None:
    assessment = assess(search(found), small_catalogue())
    boat = assessment.boats["ann"]
    frame = totals_frame(assessment)
    row = frame.to_dict("index")["ann"]

    assert (row["deferred"], row["allowance"], row["cost_to_ready"]) == (
        boat.deferred.mean,
        boat.allowance.mean,
        boat.cost_to_ready.mean,
    )
    assert len(ledger_frame(assessment)) == len(boat.lines) + len(boat.access)


def bits(assessment: Assessment) -> dict[str, bytes]:
    """The draws behind every boat's cost to ready."""
    return {name: boat.draws.ready.tobytes() for name, boat in assessment.boats.items()}


def test_the_same_project_gives_the_same_figures_bit_for_bit() -> None:
    project = search({"bearing": WORN_OUT})

    assert bits(assess(project, small_catalogue())) == bits(assess(project, small_catalogue()))


def test_undo_gives_every_bit_back_and_leaves_the_other_boat_alone() -> None:
    project = search({"bearing": WORN_OUT})
    project, _ = apply(project, boats.add_boat(project, Boat("", "Bea", year=1990)))
    assessor = Assessor()
    before = assessor.assess(project, small_catalogue())
    edit = costing.change_line(project, "ann", "bearing/renew/work", LineChange(count=Decimal(3)))
    changed, inverse = apply(project, edit)
    between = assessor.assess(changed, small_catalogue())
    after = assessor.assess(apply(changed, inverse)[0], small_catalogue())

    assert bits(between)["ann"] != bits(before)["ann"]
    assert bits(between)["bea"] == bits(before)["bea"]
    assert between.boats["bea"].findings is before.boats["bea"].findings
    assert bits(after) == bits(before)


def test_adding_a_job_moves_no_other_jobs_draws() -> None:
    project = search({"bearing": WORN_OUT})
    job = OwnLine("", "Paint", Span(Decimal(100), Decimal(100), Decimal(100), Ends.LIMITS))
    more, _ = apply(project, costing.put_own_line(project, "ann", job))
    quiet = Settings(
        as_of=AS_OF,
        spreads=project.settings.spreads.set("yard", Decimal(0))
        .set("parts", Decimal(0))
        .set("optimism", Decimal(0))
        .set("own", Decimal(0)),
    )
    first = dataclasses.replace(project, settings=quiet)
    second = dataclasses.replace(more, settings=quiet)
    one, two = ann(first).draws.ready, ann(second).draws.ready

    assert np.allclose(two - one, 100.0, atol=1e-6)


def test_raising_a_cost_lowers_no_percentile() -> None:
    project = search({"bearing": WORN_OUT, "rigging": NOT_SEEN})
    dearer = costing.change_line(project, "ann", "bearing/renew/work", LineChange(count=Decimal(4)))
    low, high = ann(project), ann(apply(project, dearer)[0])

    for name in ("p10", "p50", "p80", "p90"):
        assert getattr(high.cost_to_ready, name) >= getattr(low.cost_to_ready, name)


def own_job(shape: Shape, ends: Ends = Ends.LIMITS) -> BoatAssessment:
    """A boat with nothing but a job of the buyer's own for 600/900/2,400, all prices steady."""
    span = Span(Decimal(600), Decimal(900), Decimal(2400), ends)
    quiet = dict.fromkeys(("yard", "parts", "optimism", "own"), Decimal(0))
    project = search(ALL_GOOD, settings=Settings(as_of=AS_OF, spreads=FrozenMap(quiet)))
    job = OwnLine("", "Paint", span, shape=shape)
    return ann(apply(project, costing.put_own_line(project, "ann", job))[0])


def test_a_triangular_job_has_the_triangles_mean_and_tenths() -> None:
    """Mean 1,300; P10/50/80/90 832.38/1,238.10/1,665.15/1,880.38: scipy.stats.triang."""
    boat, curve = own_job(Shape.TRIANGLE), own_job(Shape.PERT)
    expected = [float(triang.ppf(p, 300 / 1800, 600, 1800)) for p in (0.1, 0.5, 0.8, 0.9)]

    assert boat.deferred.mean == Decimal(1300)
    assert curve.deferred.mean == Decimal(1100)
    shown = (boat.deferred.p10, boat.deferred.p50, boat.deferred.p80, boat.deferred.p90)
    assert [float(one) for one in shown] == pytest.approx(expected, rel=2e-3)


def test_a_triangle_whose_ends_are_tenths_reaches_beyond_them() -> None:
    """The triangle with P10, mode and P90 600, 900, 2,400 runs from 94.56 to 3,266.34."""
    line = next(one for one in own_job(Shape.TRIANGLE, Ends.ONE_IN_TEN).lines if one.own)

    assert (line.cost.lowest, line.cost.highest) == pytest.approx((94.56, 3266.34), rel=1e-3)
    assert line.mean == pytest.approx((94.56 + 900 + 3266.34) / 3, rel=1e-3)


def test_a_quote_ends_the_triangle() -> None:
    boat = own_job(Shape.TRIANGLE)
    line = next(one for one in boat.lines if one.own)
    quote = Quote("", "A yard", Money(Decimal(1500), "USD"), (line.key,))
    project = search(ALL_GOOD)
    made = dataclasses.replace(project.boats["ann"], ledger=boat.candidate.ledger)
    project = dataclasses.replace(project, boats=project.boats.set("ann", made))
    quoted = ann(apply(project, costing.put_quote(project, "ann", quote))[0])
    line = next(one for one in quoted.lines if one.own)

    assert not line.triangular
    assert (line.cost.lowest, line.mean, line.cost.highest) == (1500.0, 1500.0, 1500.0)


def abroad(spread: str, book: bool = False) -> BoatAssessment:
    """Ann asked for in pounds at 1.25 dollars, or the price book in dollars and all else in pounds.

    Nothing is uncertain but the rate.
    """
    steady = dict.fromkeys(("yard", "parts", "optimism", "own"), Decimal(0))
    spreads = FrozenMap({**steady, "exchange": Decimal(spread)})
    home, other, rate = ("GBP", "USD", "0.8") if book else ("USD", "GBP", "1.25")
    rates = (ExchangeRate(other, Decimal(rate), AS_OF),)
    project = search(
        {**ALL_GOOD, "bearing": WORN_OUT},
        settings=Settings(home, as_of=AS_OF, spreads=spreads, exchange=rates),
    )
    price = Money(Decimal(20_000), "GBP")
    return ann(apply(project, boats.set_asking_price(project, "ann", price, AS_OF))[0])


def test_a_price_asked_in_another_currency_moves_with_the_rate_about_the_same_mean() -> None:
    """20,000 at 1.25 is 25,000; 5 % of it is a deviation of 1,250 beside that of the work."""
    still, moving = abroad("0"), abroad("0.05")
    spread = math.sqrt(moving.draws.ready.var() - still.draws.ready.var())

    assert moving.purchase == still.purchase
    assert moving.cost_to_ready.mean == still.cost_to_ready.mean
    assert spread == pytest.approx(1250, rel=0.03)
    assert moving.draws.ready.mean() == pytest.approx(still.draws.ready.mean(), rel=1e-3)


def test_a_price_book_in_another_currency_moves_the_work_with_the_rate() -> None:
    """All work shares the factor, so its share of the spread does not average out."""
    still, moving = abroad("0", book=True), abroad("0.2", book=True)
    mean = float(still.deferred.mean)
    wide = moving.deferred.p90 - moving.deferred.p10

    assert moving.deferred.mean == still.deferred.mean
    assert float(wide) > 2 * 1.28 * 0.2 * mean * 0.95


def test_at_home_the_rate_moves_nothing() -> None:
    quiet = Settings(as_of=AS_OF)
    loud = dataclasses.replace(quiet, spreads=FrozenMap({"exchange": Decimal(1)}))
    boats_of = [ann(search({"bearing": WORN_OUT}, settings=one)) for one in (quiet, loud)]

    assert boats_of[0].draws.ready.tobytes() == boats_of[1].draws.ready.tobytes()
