"""Which boat to survey first: the index against its equation, and what the order is worth.

The index solves fee = E[max(gain - z, 0)] (Weitzman 1979, Econometrica 47(3)); the published
example of that paper is in the tests of `knowing`.
"""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import numpy as np
import pytest

from tests.figures.small_yard import ALL_GOOD, mm, search, seen, small_catalogue
from workbench.domain.boat import WorthToMe
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.edits import boats
from workbench.edits.edit import apply
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment
from workbench.figures.best_survey import BestSurvey, best_survey
from workbench.figures.draws import pool_for
from workbench.figures.packages import (
    PATTERNS,
    answer_ranks,
    answers_to,
    doubt_columns,
    gains_after,
)


def liked(project: Project, boat: str, amount: int) -> Project:
    worth = (WorthToMe("liked", Money(Decimal(amount), "USD")),)
    return apply(project, boats.set_worth_to_me(project, boat, worth))[0]


def two_boats() -> Project:
    """Ann, looked over and good, and Bea whom nobody looked at and who is a little less liked."""
    project = search(ALL_GOOD)
    ann = project.boats["ann"].boat
    bea = dataclasses.replace(ann, id="", name="Bea")
    project = apply(project, boats.add_boat(project, bea))[0]
    return liked(project, "ann", -2_000)


def survey(project: Project) -> tuple[Assessment, BestSurvey]:
    assessment = assess(project, small_catalogue())
    return assessment, best_survey(assessment)


def test_the_look_that_answers_most_is_the_survey_that_is_meant() -> None:
    _, found = survey(two_boats())

    assert (found.look, found.title) == ("survey", "Survey")
    assert {one.boat for one in found.order} == {"ann", "bea"}
    assert {one.covers for one in found.order} == {4}


def test_the_index_solves_its_equation() -> None:
    assessment, found = survey(two_boats())

    for one in found.order:
        boat = assessment.boats[one.boat]
        doubts = doubt_columns(boat)
        ranks = answer_ranks(boat, doubts, pool_for(1, PATTERNS))
        answers = answers_to(doubts, range(4), 0.9, 0.05, ranks)
        gains = gains_after(doubts, answers, float(one.gain))
        assert np.maximum(gains - float(one.index), 0).mean() == pytest.approx(500, rel=0.02)


def test_order_is_by_index_and_each_survey_says_what_it_is_worth() -> None:
    _, found = survey(two_boats())
    indexes = [one.index for one in found.order]

    assert indexes == sorted(indexes, reverse=True)
    assert all(one.net == one.worth - one.fee for one in found.order)
    assert all(one.worth >= 0 for one in found.order)
    assert found.first == found.order[0].boat


def test_a_boat_that_may_turn_out_very_good_is_opened_before_one_that_is_as_good_now() -> None:
    """Bea is unseen, so a survey can tell much of her; Ann's is known and can tell little."""
    project = two_boats()
    assessment, _ = survey(project)
    gains = {one.id: one.offer.gain or Decimal(0) for one in assessment.boats.values()}
    even = liked(project, "ann", -2_000 + int(gains["bea"] - gains["ann"]))
    _, found = survey(even)

    assert abs(found.order[0].gain - found.order[1].gain) < 2
    assert found.first == "bea"


def test_following_the_order_is_worth_no_less_than_opening_the_first_alone() -> None:
    _, found = survey(two_boats())
    first = found.order[0]

    assert found.expected_worth >= max(Decimal(0), first.gain - first.fee) - 1


def test_where_no_survey_pays_it_says_so_and_still_names_the_first() -> None:
    _, found = survey(liked(two_boats(), "ann", 90_000))

    assert found.greedy == ""
    assert "pays for itself" in found.sentence
    assert found.order[0].name in found.sentence


def test_nothing_in_doubt_needs_no_survey() -> None:
    bad = {check: seen(state="bad") for check in ("seacocks", "rigging", "seal")}
    known = search({**bad, "bearing": seen(play=mm("1.2"), sound="knocks")})
    _, found = survey(known)

    assert found.order == ()
    assert found.first == found.greedy == found.look == ""
    assert found.sentence == "No survey would answer anything."


def test_a_boat_without_a_price_or_put_away_is_not_surveyed() -> None:
    project = two_boats()
    away = apply(project, boats.archive_boat(project, "ann", archived=True))[0]

    assert [one.boat for one in survey(away)[1].order] == ["bea"]
