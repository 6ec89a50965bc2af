"""An assessor that remembers answers what one that remembers nothing would, bit for bit."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.figures.small_yard import AS_OF, NOT_SEEN, mm, search, seen, small_catalogue
from workbench.domain.boat import Boat
from workbench.domain.inspection import Overruling, Reading
from workbench.domain.ledger import ClaimChoice, LineChange, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.project import Comparable, PriceOverride, Project
from workbench.domain.quantity import Quantity
from workbench.domain.span import Span
from workbench.domain.vocabulary import Asked, Grade, When
from workbench.edits import boats, costing, inspecting, searching
from workbench.edits.edit import Edit, apply
from workbench.figures.assess import Assessor, assess
from workbench.figures.assessment import Assessment

Maker = Callable[[Project], Edit]


def usd(amount: int) -> Money:
    return Money(Decimal(amount), "USD")


def reading(check: str, what: Reading) -> Maker:
    return lambda p: inspecting.record_reading(p, "ann", check, what)


def line(change: LineChange) -> Maker:
    return lambda p: costing.change_line(p, "ann", "bearing/renew/work", change)


def size(name: str, amount: str, unit: str) -> Maker:
    return lambda p: boats.set_dimension(p, "ann", name, Quantity(Decimal(amount), unit), name)


def setting(**changes: object) -> Maker:
    return lambda p: searching.change_settings(p, "Settings", **changes)


COMPARABLE = Comparable(
    "", "Like her", usd(17_000), Asked.SOLD, 1984, Quantity(Decimal(9), "m"), AS_OF
)
OWN_LINE = OwnLine("", "Paint", Span.exactly(Decimal(90)), access=("haul-out",))
QUOTE = Quote("", "Wharf", usd(444), ("bearing/renew/work", "access/haul-out"))
OWN_PRICE = PriceOverride(materials=Span(Decimal(10), Decimal(20), Decimal(90)))
EDITS: dict[str, Maker] = {
    "worn out": reading("bearing", seen(play=mm("1.2"), sound="knocks")),
    "worn": reading("bearing", seen(play=mm("0.8"))),
    "rigging bad": reading("rigging", seen(state="bad")),
    "seal good": reading("seal", seen(state="good")),
    "seacocks hidden": reading("seacocks", NOT_SEEN),
    "overruled": lambda p: inspecting.overrule(
        p, "ann", "seal", Overruling(Grade.UNSAFE, "It drips.")
    ),
    "later": line(LineChange(when=When.FIVE_YEARS)),
    "three of them": line(LineChange(count=Decimal(3))),
    "left out": line(LineChange(left_out=True)),
    "half a chance": line(LineChange(chance=Decimal("0.5"))),
    "as in the book": line(LineChange()),
    "own line": lambda p: costing.put_own_line(p, "ann", OWN_LINE),
    "quote": lambda p: costing.put_quote(p, "ann", QUOTE),
    "claim": lambda p: costing.set_claim(p, "ann", "bearing", ClaimChoice(included=False)),
    "longer": size("loa", "12", "m"),
    "thicker shaft": size("shaft-diameter", "40", "mm"),
    "saildrive": lambda p: boats.set_fact(p, "ann", "drive", "saildrive", "Drive"),
    "shaft": lambda p: boats.set_fact(p, "ann", "drive", "shaft", "Drive"),
    "cheaper": lambda p: boats.set_asking_price(p, "ann", usd(15_000), AS_OF),
    "budget": setting(budget=Decimal(19_000)),
    "dear yard": setting(price_level=Decimal("1.3")),
    "confident": setting(confidence=Decimal("0.9")),
    "comparable": lambda p: searching.put_comparable(p, COMPARABLE),
    "own price": lambda p: searching.override_price(p, "bearing", OWN_PRICE),
    "another boat": lambda p: boats.add_boat(p, Boat("", "Bea", year=1990)),
}


def bits(assessment: Assessment) -> list[bytes]:
    return [boat.draws.ready.tobytes() for boat in assessment.boats.values()]


@settings(max_examples=40)
@given(st.lists(st.sampled_from(sorted(EDITS)), min_size=1, max_size=8))
def test_memory_changes_nothing(steps: list[str]) -> None:
    project = search({})
    assessor = Assessor()
    assessor.assess(project, small_catalogue())
    for step in steps:
        project, _ = apply(project, EDITS[step](project))
        remembered = assessor.assess(project, small_catalogue())
        fresh = assess(project, small_catalogue())
        assert remembered == fresh, step
        assert bits(remembered) == bits(fresh), step


@settings(max_examples=15)
@given(st.sampled_from(sorted(EDITS)))
def test_undo_gives_everything_back(step: str) -> None:
    project = search({"bearing": seen(play=mm("1.2"), sound="knocks")})
    assessor = Assessor()
    before = assessor.assess(project, small_catalogue())
    changed, undo = apply(project, EDITS[step](project))
    assessor.assess(changed, small_catalogue())
    after = assessor.assess(apply(changed, undo)[0], small_catalogue())

    assert after == before
    assert bits(after) == bits(before)


def test_a_duplicate_that_is_deleted_leaves_every_bit() -> None:
    project = search({"bearing": seen(play=mm("1.2"), sound="knocks")})
    assessor = Assessor()
    before = assessor.assess(project, small_catalogue())
    twice, _ = apply(project, boats.duplicate_boat(project, "ann"))
    copy = next(name for name in twice.boats if name != "ann")
    both = assessor.assess(twice, small_catalogue())
    once, _ = apply(twice, boats.remove_boat(twice, copy))

    assert bits(assessor.assess(once, small_catalogue())) == bits(before)
    assert both.boats[copy].draws.ready.tobytes() != before.boats["ann"].draws.ready.tobytes()


def test_what_a_budget_or_a_price_leaves_as_is_is_not_judged_again() -> None:
    project = search({"bearing": seen(play=mm("1.2"), sound="knocks")})
    assessor = Assessor()
    before = assessor.assess(project, small_catalogue()).boats["ann"]
    for step in ("budget", "cheaper", "comparable"):
        project, _ = apply(project, EDITS[step](project))
        after = assessor.assess(project, small_catalogue()).boats["ann"]
        assert all(new is old for new, old in zip(after.findings, before.findings, strict=True))
        assert all(new is old for new, old in zip(after.lines, before.lines, strict=True))


def test_the_order_of_the_own_lines_changes_no_total() -> None:
    lines = tuple(
        OwnLine(f"job-{number}", f"Job {number}", Span.exactly(Decimal(10 + number)))
        for number in range(6)
    )
    project = search({})
    ann = project.boats["ann"]

    def total(order: tuple[OwnLine, ...]) -> bytes:
        ledger = dataclasses.replace(ann.ledger, own_lines=order)
        candidate = dataclasses.replace(ann, ledger=ledger)
        changed = dataclasses.replace(project, boats=project.boats.set("ann", candidate))
        return assess(changed, small_catalogue()).boats["ann"].draws.ready.tobytes()

    assert total(lines) == total(lines[::-1])
