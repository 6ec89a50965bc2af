"""Every edit has an inverse, and bad figures are refused before anything changes."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbench.domain.boat import AskingPrice, Boat, WorthToMe
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Overruling, Photo, Reading
from workbench.domain.ledger import ClaimChoice, LineChange, OfferMade, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable, PriceOverride, Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import ExchangeRate, Fee, Loan, Tax, TaxBand
from workbench.domain.span import Span
from workbench.domain.vocabulary import Grade, Status, When
from workbench.edits import boats, costing, inspecting, searching, several
from workbench.edits.edit import NOTHING, Edit, Put, apply, value_at

Maker = Callable[[Project], Edit]
TEN = Money(Decimal(10), "USD")
SPAN = Span(Decimal(1), Decimal(2), Decimal(4))
PHOTO = Photo("0" * 40, "0.jpg", "0" * 64)
READING = Reading("", FrozenMap({"play": Quantity(Decimal(1), "mm")}), by="Robin")


def begun() -> Project:
    """A search with one boat that has a reading and a photo."""
    project = Project("p", "Search")
    begin: tuple[Maker, ...] = (
        lambda p: boats.add_boat(p, Boat("", "Ann")),
        lambda p: inspecting.record_reading(p, "ann", "play", READING),
        lambda p: inspecting.add_photo(p, "ann", PHOTO, "play", "undated-1"),
    )
    for make in begin:
        project, _ = apply(project, make(project))
    return project


EDITS: tuple[Maker, ...] = (
    lambda p: boats.add_boat(p, Boat("", "Bea", year=1984)),
    lambda p: boats.duplicate_boat(p, "ann"),
    lambda p: boats.remove_boat(p, "ann"),
    lambda p: boats.rename_boat(p, "ann", "Annie"),
    lambda p: boats.set_dimension(p, "ann", "loa", Quantity(Decimal(9), "m"), "Length"),
    lambda p: boats.set_dimension(p, "ann", "loa", None, "Length"),
    lambda p: boats.set_fact(p, "ann", "drive", "saildrive", "Drive"),
    lambda p: boats.set_asking_price(p, "ann", TEN, date(2026, 5, 1)),
    lambda p: boats.set_status(p, "ann", Status.DROPPED, "too deep"),
    lambda p: boats.archive_boat(p, "ann", archived=True),
    lambda p: boats.archive_boats(p, ("ann",), archived=True),
    lambda p: boats.remove_boats(p, ("ann",)),
    lambda p: boats.set_asking_history(p, "ann", (AskingPrice(TEN, date(2026, 5, 1)),)),
    lambda p: boats.set_portrait(p, "ann", PHOTO.id),
    lambda p: boats.set_worth_to_me(p, "ann", (WorthToMe("sails", TEN),)),
    lambda p: inspecting.record_reading(p, "ann", "play", READING),
    lambda p: inspecting.remove_reading(p, "ann", "play", "undated-1"),
    lambda p: inspecting.overrule(p, "ann", "play", Overruling(Grade.SOUND, "new last week")),
    lambda p: inspecting.change_photo(p, "ann", PHOTO.id, caption="x", private=True),
    lambda p: inspecting.remove_photo(p, "ann", PHOTO.id),
    lambda p: costing.choose_remedy(p, "ann", "play", "renew"),
    lambda p: costing.change_line(p, "ann", "a/b/c", LineChange(count=Decimal(2))),
    lambda p: costing.put_quote(p, "ann", Quote("", "Wharf", TEN, ("a/b/c",))),
    lambda p: costing.put_own_line(p, "ann", OwnLine("", "Paint", SPAN)),
    lambda p: costing.set_claim(p, "ann", "play", ClaimChoice(included=False)),
    lambda p: costing.set_opening(p, "ann", TEN),
    lambda p: costing.set_wording(p, "ann", "intro", "Dear owner"),
    lambda p: costing.put_offer(p, "ann", OfferMade("", TEN)),
    lambda p: searching.rename_project(p, "Other"),
    lambda p: searching.change_settings(p, "Budget", budget=Decimal(100)),
    lambda p: searching.put_comparable(p, Comparable("", "Sister", TEN)),
    lambda p: searching.override_price(p, "item", PriceOverride(materials=SPAN)),
    lambda p: searching.put_own_checks(p, "mine.toml", "x"),
    lambda p: several.change_lines(
        p, "ann", ("a/b/c", "a/b/d"), lambda one: dataclasses.replace(one, left_out=True)
    ),
    lambda p: several.record_readings(p, "ann", {"play": READING, "sound": READING}),
)


@given(st.lists(st.sampled_from(EDITS), max_size=12))
def test_undoing_any_sequence_of_edits_gives_the_first_project_back(makers: list[Maker]) -> None:
    start = project = begun()
    inverses: list[Edit] = []
    for make in makers:
        if "ann" not in project.boats:
            break
        try:
            edit = make(project)
        except KeyError:
            continue  # a photo or reading that an earlier edit took away
        project, inverse = apply(project, edit)
        inverses.append(inverse)

    for inverse in reversed(inverses):
        project, _ = apply(project, inverse)

    assert project == start


@pytest.mark.parametrize("make", EDITS)
def test_an_edit_names_what_was_done_and_leaves_the_project_it_was_given(make: Maker) -> None:
    before = begun()
    copy = begun()

    after, _ = apply(before, make(before))

    assert before == copy
    assert after != before or make is EDITS[5]
    assert make(before).label


def test_what_an_edit_does_not_touch_is_shared() -> None:
    before, _ = apply(begun(), boats.add_boat(begun(), Boat("", "Bea")))

    after, _ = apply(before, boats.rename_boat(before, "bea", "Beatrice"))

    assert after.boats["ann"] is before.boats["ann"]
    assert after.settings is before.settings
    assert after.boats["bea"].inspection is before.boats["bea"].inspection


def test_a_missing_key_is_put_and_taken_out_again() -> None:
    project = begun()
    path = ("boats", "ann", "boat", "facts", "drive")

    after, inverse = apply(project, Edit("Drive", (Put(path, "saildrive"),)))

    assert value_at(project, path) is NOTHING
    assert value_at(after, path) == "saildrive"
    assert apply(after, inverse)[0] == project


def line(project: Project, change: LineChange) -> Edit:
    """A change of some line of the boat."""
    return costing.change_line(project, "ann", "k", change)


def exchanged(project: Project, rate: str) -> Edit:
    """A rate of exchange."""
    rates = (ExchangeRate("EUR", Decimal(rate)),)
    return searching.change_settings(project, "Exchange", exchange=rates)


def taxed(project: Project, percent: str) -> Edit:
    """A tax of one band."""
    taxes = (Tax("tax", (TaxBand(Decimal(0), Decimal(percent)),)),)
    return searching.change_settings(project, "Tax", taxes=taxes)


def fee(percent: str) -> Fee:
    """A fee that is a share of the price."""
    return Fee("broker", "Broker", percent=Decimal(percent))


REFUSED: tuple[tuple[str, Maker], ...] = (
    ("a nameless boat", lambda p: boats.add_boat(p, Boat("", "  "))),
    ("a negative price", lambda p: boats.set_asking_price(p, "ann", TEN * -1, None)),
    ("an empty name", lambda p: boats.rename_boat(p, "ann", "")),
    ("no reason", lambda p: inspecting.overrule(p, "ann", "x", Overruling(Grade.SOUND, " "))),
    ("a zero rate", lambda p: line(p, LineChange(rates=FrozenMap({"rigger": Decimal(0)})))),
    ("a chance above one", lambda p: line(p, LineChange(chance=Decimal("1.01")))),
    ("a negative count", lambda p: line(p, LineChange(count=Decimal(-1)))),
    ("a negative quote", lambda p: costing.put_quote(p, "ann", Quote("", "Y", TEN * -1))),
    ("a quote of nobody", lambda p: costing.put_quote(p, "ann", Quote("", " ", TEN))),
    ("a job without title", lambda p: costing.put_own_line(p, "ann", OwnLine("", "", SPAN))),
    ("a negative offer", lambda p: costing.put_offer(p, "ann", OfferMade("", TEN * -1))),
    ("a negative opening", lambda p: costing.set_opening(p, "ann", TEN * -1)),
    ("a negative budget", lambda p: searching.change_settings(p, "B", budget=Decimal(-1))),
    ("an unknown currency", lambda p: searching.change_settings(p, "C", currency="ABC")),
    ("too sure", lambda p: searching.change_settings(p, "C", confidence=Decimal(1))),
    ("a seed below nought", lambda p: searching.change_settings(p, "S", seed=-1)),
    ("draws between the steps", lambda p: searching.change_settings(p, "D", draws=12_345)),
    ("more draws than are made", lambda p: searching.change_settings(p, "D", draws=65_600)),
    # B80
    ("an exchange at nought", lambda p: exchanged(p, "0")),
    ("a negative exchange", lambda p: exchanged(p, "-1")),
    ("an exchange that is no number", lambda p: exchanged(p, "NaN")),
    ("an exchange next to nought", lambda p: exchanged(p, "1e-9")),
    # B87
    ("a tax above all of it", lambda p: taxed(p, "101")),
    ("a tax below nothing", lambda p: taxed(p, "-1")),
    ("a fee above all of it", lambda p: searching.change_settings(p, "F", fees=(fee("101"),))),
    ("a loan of more than all", lambda p: searching.change_settings(
        p, "L", loan=Loan(share_of_price=Decimal("1.01")))),
    ("a free comparable", lambda p: searching.put_comparable(p, Comparable("", "x", TEN * 0))),
)  # fmt: skip


@pytest.mark.parametrize(("what", "make"), REFUSED, ids=[what for what, _ in REFUSED])
def test_a_figure_that_cannot_be_is_refused_with_a_sentence(what: str, make: Maker) -> None:
    del what
    with pytest.raises(EntryError) as refused:
        make(begun())

    assert str(refused.value).endswith(".")


@pytest.mark.parametrize("percent", ["0", "100"])
def test_none_and_all_of_it_are_percentages(percent: str) -> None:
    # B87
    project = begun()

    after, _ = apply(project, taxed(project, percent))
    after, _ = apply(after, searching.change_settings(after, "Fee", fees=(fee(percent),)))

    assert after.settings.taxes[0].bands[0].percent == after.settings.fees[0].percent


def test_a_second_price_on_the_same_day_replaces_the_first() -> None:
    project = begun()
    for amount in (10, 12):
        price = Money(Decimal(amount), "USD")
        project, _ = apply(project, boats.set_asking_price(project, "ann", price, date(2026, 5, 1)))
    project, _ = apply(project, boats.set_asking_price(project, "ann", TEN, date(2026, 6, 1)))

    assert [one.price.amount for one in project.boats["ann"].boat.asking] == [12, 10]


def test_a_newer_quote_takes_a_line_from_an_older_one() -> None:
    project = begun()
    for yard in ("Wharf", "Creek"):
        quote = Quote("", yard, TEN, ("a/b/c",))
        project, _ = apply(project, costing.put_quote(project, "ann", quote))

    assert [one.answers for one in project.boats["ann"].ledger.quotes] == [(), ("a/b/c",)]


def test_two_boats_of_one_name_get_different_ids_and_draws() -> None:
    project = begun()
    project, _ = apply(project, boats.add_boat(project, Boat("", "Ann")))

    assert list(project.boats) == ["ann", "ann-2"]
    assert project.boats["ann"].boat.stream != project.boats["ann-2"].boat.stream


def test_a_change_that_says_nothing_is_taken_off_the_ledger() -> None:
    project = begun()
    project, _ = apply(
        project, costing.change_line(project, "ann", "k", LineChange(when=When.WISH))
    )
    project, _ = apply(project, costing.change_line(project, "ann", "k", LineChange()))

    assert "k" not in project.boats["ann"].ledger.changes


def test_there_is_an_id_however_many_of_one_name_there_are() -> None:
    """L10."""
    project = begun()
    ann = project.boats["ann"]
    many = {"ann": ann, **{f"ann-{number}": ann for number in range(2, 12_001)}}
    readings = tuple(dataclasses.replace(READING, id=f"undated-{n}") for n in range(1, 12_001))
    inspection = dataclasses.replace(ann.inspection, readings=FrozenMap({"play": readings}))
    many["ann"] = dataclasses.replace(ann, inspection=inspection)
    crowded = dataclasses.replace(project, boats=FrozenMap(many))

    assert boats.new_boat_id(crowded, "Ann") == "ann-12001"
    assert inspecting.new_reading_id(readings, None, "Robin") == "undated-12001"


def test_a_new_name_is_looked_up_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """L10: entering a boat takes no longer for the names that she does not need."""
    project = begun()
    asked: list[object] = []

    def contains(boats_of: FrozenMap[str, object], key: object) -> bool:
        asked.append(key)
        return key in boats_of._items

    monkeypatch.setattr(FrozenMap, "__contains__", contains)

    assert boats.new_boat_id(project, "Bea") == "bea"
    assert asked == ["bea"]


NAMED: tuple[Callable[[str], Edit], ...] = (
    lambda text: boats.add_boat(begun(), Boat("", text)),
    lambda text: boats.rename_boat(begun(), "ann", text),
    lambda text: searching.rename_project(begun(), text),
    lambda text: searching.put_comparable(begun(), Comparable("", text, TEN)),
    lambda text: costing.put_own_line(begun(), "ann", OwnLine("", text, SPAN)),
    lambda text: costing.put_quote(begun(), "ann", Quote("", text, TEN)),
    lambda text: inspecting.overrule(begun(), "ann", "x", Overruling(Grade.SOUND, text)),
)


@pytest.mark.parametrize("make", NAMED)
@pytest.mark.parametrize("text", ["", " \t\n", "\u00a0", "\u200b\u200d\ufeff", "\u2060", "\u3164"])
def test_a_name_of_which_nothing_can_be_seen_is_refused(
    make: Callable[[str], Edit], text: str
) -> None:
    # B77
    with pytest.raises(EntryError):
        make(text)
    assert make(f"{text}Ann").puts


def test_several_lines_are_changed_in_one_step_and_none_is_refused() -> None:
    project = begun()
    edit = several.change_lines(
        project, "ann", ("a/b/c", "a/b/d"), lambda one: dataclasses.replace(one, left_out=True)
    )

    changed, back = apply(project, edit)

    held = changed.boats["ann"].ledger.changes
    assert [held[key].left_out for key in ("a/b/c", "a/b/d")] == [True, True]
    assert apply(changed, back)[0] == project
    with pytest.raises(EntryError, match="Choose the lines"):
        several.change_lines(project, "ann", (), lambda one: one)
    with pytest.raises(EntryError, match="Choose the checks"):
        several.record_readings(project, "ann", {})
