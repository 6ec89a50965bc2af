"""Two versions that grew from one are put together, and what both changed is listed (C4)."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from datetime import date
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from tests.edits.test_edits import EDITS, PHOTO, SPAN, TEN, begun
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Overruling, Reading
from workbench.domain.ledger import LineChange, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Grade
from workbench.edits import boats, costing, inspecting, searching
from workbench.edits.edit import Edit, apply
from workbench.edits.merging import MISSING, put_together, take_over

Maker = Callable[[Project], Edit]
NAME = ("boats", "ann", "boat", "name")


def after(project: Project, *makers: Maker) -> Project:
    for make in makers:
        try:
            project, _ = apply(project, make(project))
        except KeyError:
            continue  # what an earlier edit took away
    return project


def reading(by: str, play: int) -> Reading:
    return Reading("", FrozenMap({"play": Quantity(Decimal(play), "mm")}), by=by)


def test_what_only_one_side_changed_is_taken_from_that_side() -> None:
    start = begun()
    theirs = after(start, lambda p: boats.rename_boat(p, "ann", "Annabel"))
    mine = after(
        start,
        lambda p: boats.set_fact(p, "ann", "drive", "shaft", "Drive"),
        lambda p: boats.add_boat(p, Boat("", "Bea")),
        lambda p: searching.change_settings(p, "Budget", budget=Decimal(9000)),
    )

    made = put_together(start, theirs, mine)

    assert made.clashes == ()
    assert made.project.boats["ann"].boat.name == "Annabel"
    assert made.project.boats["ann"].boat.facts["drive"] == "shaft"
    assert list(made.project.boats) == ["ann", "bea"]
    assert made.project.settings.budget == 9000
    assert [one.is_mine for one in made.differences if one.path == NAME] == [False]


def test_what_both_changed_is_listed_and_taken_as_chosen() -> None:
    start = begun()
    theirs = after(start, lambda p: boats.rename_boat(p, "ann", "Annabel"))
    mine = after(start, lambda p: boats.rename_boat(p, "ann", "Annika"))

    (clash,) = put_together(start, theirs, mine).clashes

    assert (clash.path, clash.before, clash.theirs, clash.mine) == (
        NAME,
        "Ann",
        "Annabel",
        "Annika",
    )
    kept = [put_together(start, theirs, mine, keep) for keep in ((), (NAME,))]
    assert [one.project.boats["ann"].boat.name for one in kept] == ["Annabel", "Annika"]


def test_a_boat_that_one_took_away_and_the_other_changed_is_a_clash() -> None:
    start = begun()
    theirs = after(start, lambda p: boats.remove_boat(p, "ann"))
    mine = after(start, lambda p: boats.rename_boat(p, "ann", "Annika"))

    made = put_together(start, theirs, mine)

    assert [one.path for one in made.clashes] == [("boats", "ann")]
    assert made.clashes[0].theirs is MISSING
    assert "ann" not in made.project.boats
    kept = put_together(start, theirs, mine, [("boats", "ann")]).project
    assert kept.boats["ann"].boat.name == "Annika"


def test_two_readings_of_one_day_are_both_kept_whole() -> None:
    """Values of two people are never mixed into one reading."""
    start = begun()
    theirs = after(start, lambda p: inspecting.record_reading(p, "ann", "rig", reading("Kim", 3)))
    mine = after(start, lambda p: inspecting.record_reading(p, "ann", "rig", reading("Robin", 5)))

    made = put_together(start, theirs, mine)

    found = made.project.boats["ann"].inspection.readings["rig"]
    assert [(one.id, one.by) for one in found] == [("undated-1", "Kim"), ("undated-2", "Robin")]
    assert [one.values["play"] for one in found] == [
        Quantity(Decimal(3), "mm"),
        Quantity(Decimal(5), "mm"),
    ]
    assert made.clashes == ()


def test_two_values_of_one_reading_go_together() -> None:
    start = begun()
    first = start.boats["ann"].inspection.readings["play"][0]

    def with_note(p: Project) -> Edit:
        changed = dataclasses.replace(first, note="by hand")
        return inspecting.record_reading(p, "ann", "play", changed)

    def with_value(p: Project) -> Edit:
        values = first.values.set("wear", "none")
        return inspecting.record_reading(
            p, "ann", "play", dataclasses.replace(first, values=values)
        )

    made = put_together(start, after(start, with_note), after(start, with_value))

    (found,) = made.project.boats["ann"].inspection.readings["play"]
    assert (found.note, found.values["wear"]) == ("by hand", "none")


def test_what_belongs_together_is_never_mixed() -> None:
    """A price with its currency, a range with its ends, a grade with its reason."""
    start = after(
        begun(),
        lambda p: costing.set_opening(p, "ann", TEN),
        lambda p: costing.put_own_line(p, "ann", OwnLine("", "Paint", SPAN)),
        lambda p: inspecting.overrule(p, "ann", "x", Overruling(Grade.SOUND, "new")),
    )
    other = Money(Decimal(20), "EUR")
    wide = dataclasses.replace(SPAN, high=Decimal(90))
    lower = dataclasses.replace(SPAN, low=Decimal(0))
    theirs = after(
        start,
        lambda p: costing.set_opening(p, "ann", other),
        lambda p: costing.put_own_line(p, "ann", OwnLine("job-1", "Paint", wide)),
        lambda p: inspecting.overrule(p, "ann", "x", Overruling(Grade.DUE, "new")),
    )
    mine = after(
        start,
        lambda p: costing.set_opening(p, "ann", TEN * 3),
        lambda p: costing.put_own_line(p, "ann", OwnLine("job-1", "Paint", lower)),
        lambda p: inspecting.overrule(p, "ann", "x", Overruling(Grade.SOUND, "old")),
    )

    made = put_together(start, theirs, mine)

    assert len(made.clashes) == 3
    assert {one.path[-1] for one in made.clashes} == {"opening", "cost", "x"}
    assert made.project.boats["ann"].ledger.opening == other


def test_a_line_is_answered_by_one_quote_afterwards_too() -> None:
    start = begun()
    theirs = after(
        start, lambda p: costing.put_quote(p, "ann", Quote("kim", "Wharf", TEN, ("a/b/c", "d")))
    )
    mine = after(start, lambda p: costing.put_quote(p, "ann", Quote("me", "Creek", TEN, ("d",))))

    quotes = put_together(start, theirs, mine).project.boats["ann"].ledger.quotes

    assert [one.answers for one in quotes] == [("a/b/c",), ("d",)]


def test_a_change_of_one_line_that_both_entered_anew_is_chosen_whole() -> None:
    start = begun()
    one = LineChange(count=Decimal(2), note="two of them")
    other = LineChange(count=Decimal(3))
    theirs = after(start, lambda p: costing.change_line(p, "ann", "k", one))
    mine = after(start, lambda p: costing.change_line(p, "ann", "k", other))

    made = put_together(start, theirs, mine, [("boats", "ann", "ledger", "changes", "k")])

    assert made.project.boats["ann"].ledger.changes["k"] == other
    assert len(made.clashes) == 1


def test_photos_of_a_reading_that_either_added_are_there() -> None:
    start = begun()
    theirs = after(
        start,
        lambda p: inspecting.add_photo(
            p, "ann", dataclasses.replace(PHOTO, id="1" * 40), "play", "undated-1"
        ),
    )
    mine = after(
        start,
        lambda p: inspecting.add_photo(
            p, "ann", dataclasses.replace(PHOTO, id="2" * 40), "play", "undated-1"
        ),
    )

    made = put_together(start, theirs, mine)

    inspection = made.project.boats["ann"].inspection
    assert set(inspection.photos) == {PHOTO.id, "1" * 40, "2" * 40}
    assert set(inspection.readings["play"][0].photos) == {PHOTO.id, "1" * 40, "2" * 40}
    assert made.clashes == ()


def test_a_boat_that_both_entered_is_one_boat_with_her_differences_to_choose() -> None:
    start = begun()
    theirs = after(start, lambda p: boats.add_boat(p, Boat("", "Bea", year=1984)))
    mine = after(start, lambda p: boats.add_boat(p, Boat("", "Bea", year=1985, lies_at="Creek")))

    made = put_together(start, theirs, mine)

    assert {one.path[-1] for one in made.clashes} == {"year", "lies_at"}
    assert list(made.project.boats) == ["ann", "bea"]


def test_a_price_of_the_same_day_is_chosen() -> None:
    start = begun()
    price = (Money(Decimal(1000 * n), "USD") for n in (1, 2))
    theirs, mine = (
        after(
            start,
            lambda p, asked=one: boats.set_asking_price(  # type: ignore[misc]
                p, "ann", asked, date(2026, 5, 1)
            ),
        )
        for one in price
    )

    assert [one.path[-1] for one in put_together(start, theirs, mine).clashes] == ["asking"]


SOME = st.lists(st.sampled_from(EDITS), max_size=8)


@given(SOME)
def test_a_version_together_with_the_start_is_that_version(makers: list[Maker]) -> None:
    start = begun()
    changed = after(start, *makers)

    assert put_together(start, changed, start).project == changed
    assert put_together(start, start, changed).project == changed
    assert put_together(start, changed, changed).differences == ()


@given(SOME, SOME)
def test_nothing_that_either_side_says_is_lost_without_being_listed(
    one: list[Maker], other: list[Maker]
) -> None:
    """With every clash taken from one side, all that this side changed is there as it has it.

    But for which quote answers a line: that is the later one, whoever entered it.
    """
    start = begun()
    theirs, mine = after(start, *one), after(start, *other)
    made = put_together(start, theirs, mine)
    clashes = [clash.path for clash in made.clashes]

    all_mine = put_together(start, theirs, mine, clashes)

    for difference in made.differences:
        assert difference.theirs != difference.mine
        if difference.is_clash:
            assert difference.path in clashes
    again = put_together(start, all_mine.project, mine)
    left = [one.path for one in again.differences if one.is_clash or one.is_mine]
    assert [path for path in left if path[3:4] != ("quotes",)] == []


@given(SOME)
def test_taking_a_version_over_is_one_step_that_leads_back(makers: list[Maker]) -> None:
    start = begun()
    changed = after(start, *makers)

    there, back = apply(start, take_over(changed, "Take over"))

    assert there == changed
    assert apply(there, back)[0] == start
