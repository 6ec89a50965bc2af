"""What the shipped catalogue holds: nothing out of reach, unpriced, uncautioned or hard to read."""

from __future__ import annotations

import itertools
import re
import statistics
from collections.abc import Callable, Iterator
from decimal import Decimal

import pytest

from tests.catalogue.reading_ease import reading_ease
from tests.catalogue.shelf import boat, catalogue, rules
from workbench.catalogue.model import Check, PriceItem, Remedy, WorkLine
from workbench.domain.ledger import LineChange
from workbench.domain.project import Project
from workbench.domain.span import Span
from workbench.domain.vocabulary import Grade
from workbench.figures.findings import checks_of
from workbench.figures.pricing import Tariff
from workbench.figures.sharing import closure
from workbench.paths import resources_root

CHECKS = tuple(catalogue().checks.values())
REMEDIES = [(check, remedy) for check in CHECKS for remedy in check.remedies]
LEAST_CHECKS = 330
LEAST_MEASURED = 250


def measured(check: Check) -> bool:
    """Whether a number with a unit decides something."""
    return any(
        rule.kind == "bands" and (entry := check.entry(rule.entry)) is not None and entry.unit
        for rule in check.rules
    )


# --- How much there is, and whether it can be reached ---


def test_there_are_as_many_checks_as_promised_and_enough_of_them_measured() -> None:
    assert len(CHECKS) >= LEAST_CHECKS
    assert sum(measured(check) for check in CHECKS) >= LEAST_MEASURED


def test_every_check_is_asked_of_some_boat() -> None:
    def asked(check: Check) -> bool:
        facts = {name: values[0] for name, values in check.applies.facts.items()}
        return check in checks_of(boat(facts=facts), catalogue())

    assert [check.id for check in CHECKS if not asked(check)] == []


def test_every_rule_holds_for_some_boat_that_gets_its_check() -> None:
    out_of_reach = [
        f"{check.id} / {rule.id}: {fact}"
        for check, rule in rules()
        for fact, values in rule.only_if.facts.items()
        if not set(values) & set(check.applies.facts.get(fact, values))
    ]

    assert out_of_reach == []


def test_every_check_can_be_done_by_a_beginner_in_a_few_steps() -> None:
    def plain(check: Check) -> bool:
        sentences = all(step[0].isupper() and step[-1] in ".?!" for step in check.steps)
        once = len({step.casefold() for step in check.steps}) == len(check.steps)
        return sentences and once and 3 <= len(check.steps) <= 7 and 1 <= check.minutes <= 45

    assert [check.id for check in CHECKS if not plain(check)] == []


def test_a_meaning_is_written_for_sound_and_for_each_grade_that_a_rule_gives() -> None:
    def unwritten(check: Check) -> set[Grade]:
        bands = {band.grade for rule in check.rules for band in rule.bands}
        choices = {grade for rule in check.rules for grade in rule.grades.values()}
        return {Grade.SOUND, *bands, *choices} - {Grade.UNSEEN, *check.meaning}

    assert {check.id: unwritten(check) for check in CHECKS if unwritten(check)} == {}


def test_no_two_checks_ask_the_same_words_or_bear_the_same_title() -> None:
    titles = [check.title.casefold() for check in CHECKS]
    openings = [(check.steps, check.feel) for check in CHECKS]

    assert len(set(titles)) == len(titles)
    assert len(set(openings)) == len(openings)


def test_every_system_has_a_place_of_its_own_so_that_its_checks_stay_together() -> None:
    places = [system.order for system in catalogue().systems.values()]
    systems = [system for system, _ in itertools.groupby(check.system for check in CHECKS)]

    assert sorted(set(places)) == sorted(places)
    assert len(set(systems)) == len(systems)


def test_every_chance_grows_or_stays_with_age() -> None:
    falling = [
        check.id
        for check in CHECKS
        if [chance for _, chance in check.prior.bands]
        != sorted(chance for _, chance in check.prior.bands)
    ]

    assert falling == []


# --- Links ---


def test_what_a_finding_makes_likelier_is_another_check() -> None:
    wrong = [
        f"{check.id} -> {suspicion.check}"
        for check in CHECKS
        for suspicion in check.suspicions
        if suspicion.check not in catalogue().checks
        or suspicion.check == check.id
        or suspicion.factor <= 1
    ]

    assert wrong == []


def test_every_drawing_that_is_named_is_there_and_none_lies_unused() -> None:
    there = {path.stem for path in (resources_root() / "drawings").glob("*.svg")}

    assert {check.drawing for check in CHECKS} - {""} == there


def test_every_hazard_is_cautioned_at_its_place() -> None:
    def uncovered(check: Check) -> set[str]:
        cautions = [catalogue().cautions[name] for name in check.cautions]
        return set(check.hazards) - {hazard for one in cautions for hazard in one.hazards}

    assert {check.id: uncovered(check) for check in CHECKS if uncovered(check)} == {}


def test_every_caution_is_needed_somewhere() -> None:
    used = {name for check in CHECKS for name in check.cautions}

    assert set(catalogue().cautions) - used == set()


def test_every_station_is_visited() -> None:
    assert set(catalogue().stations) - {check.station for check in CHECKS} == set()


def test_every_access_task_serves_some_remedy() -> None:
    needs = closure({one.id: one.requires for one in catalogue().access.values()})
    named = {task for _, remedy in REMEDIES for task in remedy.access}
    used = named | {need for task in named for need in needs.get(task, ())}

    assert set(catalogue().access) - used == set()


def test_every_look_resolves_a_check() -> None:
    for look in catalogue().looks.values():
        covered = [
            check for check in CHECKS if check.system in look.systems or check.id in look.checks
        ]
        assert covered, look.id


# --- Prices ---


def test_every_line_of_a_remedy_is_priced_above_nothing() -> None:
    tariff = Tariff(Project(id="p", name="P"), catalogue())

    def likely(remedy: Remedy, line: WorkLine) -> float:
        item = catalogue().prices.items[line.item]
        priced = tariff.priced(item, boat(), 1, LineChange(), remedy.own.hours_share)
        return priced.cost.likely

    free = [
        f"{check.id} / {remedy.id} / {line.id}"
        for check, remedy in REMEDIES
        for line in remedy.work
        if likely(remedy, line) <= 0
    ]
    assert free == []


def test_every_price_is_as_wide_as_a_price_book_must_be() -> None:
    def total(item: PriceItem, end: Callable[[Span], Decimal]) -> Decimal:
        trades = catalogue().prices.trades
        labour = [end(one.hours) * end(trades[one.trade].rate) for one in item.labour]
        return end(item.materials) + sum(labour)

    def wide(item: PriceItem) -> bool:
        low = total(item, lambda span: span.low)
        likely = total(item, lambda span: span.likely)
        high = total(item, lambda span: span.high)
        return low < likely < high and high >= Decimal("1.5") * low

    assert [item.id for item in catalogue().prices.items.values() if not wide(item)] == []


def test_every_price_is_used_by_a_remedy_or_an_access_task() -> None:
    used = {line.item for _, remedy in REMEDIES for line in remedy.work}
    used |= {task.item for task in catalogue().access.values()}

    assert set(catalogue().prices.items) - used == set()


# --- Words ---


def beginner_texts(check: Check) -> Iterator[str]:
    """What somebody reads beside the boat."""
    yield from check.steps
    yield check.feel
    yield check.leads_to
    yield from check.meaning.values()


def all_texts(check: Check) -> Iterator[str]:
    """Everything of a check that is shown."""
    yield from (check.title, check.part, check.handover.when, *beginner_texts(check))
    for entry in check.entries:
        yield from (entry.label, entry.help, *(choice.label for choice in entry.choices))
    for rule in check.rules:
        yield from (rule.scope, rule.says, rule.source.note)
    for suspicion in check.suspicions:
        yield suspicion.why
    for remedy in check.remedies:
        yield from (remedy.title, remedy.detail, remedy.claim_why, remedy.own.note)
        yield from (line.title for line in remedy.work)


def ease(check: Check) -> float:
    """Reading ease of what a beginner reads of a check."""
    return reading_ease(" ".join(beginner_texts(check)))


def test_the_texts_for_beginners_are_plain_english_or_easier() -> None:
    figures = [ease(check) for check in CHECKS]

    # Flesch (1948): 60 and above is plain English, 80 and above easy.
    assert statistics.median(figures) >= 85
    assert statistics.quantiles(figures, n=20)[0] >= 75


def test_no_check_reads_like_a_standard() -> None:
    # Flesch (1948): below 60 is no longer plain English.
    assert {check.id: ease(check) for check in CHECKS if ease(check) < 60} == {}


FORBIDDEN = re.compile(
    r"\bguarante\w+|\bfair price|\bsafe to\b|\bperfectly safe|\bno risk\b"
    r"|\b(she|boat|it|part) passed\b",
    re.IGNORECASE,
)


def test_the_forbidden_words_are_found_when_they_are_there() -> None:
    for planted in ("It is guaranteed.", "A fair price.", "She is safe to sail.", "She passed."):
        assert FORBIDDEN.search(planted)


def test_no_text_promises_what_nobody_can_promise() -> None:
    found = [text for check in CHECKS for text in all_texts(check) if FORBIDDEN.search(text)]

    assert found == []


def test_no_caution_system_or_price_promises_it_either() -> None:
    known = catalogue()
    texts = [
        *(f"{one.title} {one.text}" for one in known.cautions.values()),
        *(f"{one.title} {one.intro}" for one in known.systems.values()),
        *(f"{one.title} {one.note}" for one in known.prices.items.values()),
    ]

    assert [text for text in texts if FORBIDDEN.search(text)] == []


# --- What a layperson is never told to do ---

NOT_FOR_LAYPEOPLE = (
    # Gas fittings
    re.compile(
        r"\b(undo|unscrew|loosen|tighten|disconnect|refit|replace)\b[^.;:]*"
        r"\b(gas (pipe|hose|joint|fitting|line)s?|regulator|jets?|burners?)\b",
        re.IGNORECASE,
    ),
    # Mains
    re.compile(
        r"\b(undo|unscrew|open|touch|measure|rewire|test)\b[^.;:]*"
        r"\b(mains|shore[ -]power|consumer unit|(110|120|230|240) ?v)",
        re.IGNORECASE,
    ),
    # Aloft
    re.compile(
        r"\b(climb|go|get|be hoisted|send \w+)\b[^.;:]*\b(the mast|aloft|masthead)\b", re.IGNORECASE
    ),
    # A loaded rig
    re.compile(
        r"\b(undo|unscrew|loosen|slacken|take out)\b[^.;:]*"
        r"\b(turnbuckle|clevis|split pin|shroud|forestay|backstay)",
        re.IGNORECASE,
    ),
)
SAID_NOT_TO = re.compile(
    r"\b(never|not|no|leave|nothing|without|unplugged|qualified|rigger|gas fitter|electrician)\b",
    re.IGNORECASE,
)


def told_to(step: str) -> bool:
    """Whether a step tells a layperson to work on gas, mains, aloft or a loaded rig."""
    return any(rule.search(step) for rule in NOT_FOR_LAYPEOPLE) and not SAID_NOT_TO.search(step)


@pytest.mark.parametrize(
    "planted",
    [
        "Unscrew the regulator and look inside.",
        "Tighten the gas hose by a turn.",
        "Open the shore-power inlet.",
        "Measure the voltage at the mains socket.",
        "Climb the mast with a camera.",
        "Slacken the turnbuckle by three turns.",
    ],
)
def test_a_step_that_is_not_for_laypeople_is_noticed(planted: str) -> None:
    assert told_to(planted)
    assert not told_to(f"Never do it yourself: {planted}")


def test_no_step_tells_a_layperson_to_do_licensed_or_deadly_work() -> None:
    assert [step for check in CHECKS for step in check.steps if told_to(step)] == []


def licensed_trades(remedy: Remedy) -> set[str]:
    """Trades of a remedy that need a licence."""
    prices = catalogue().prices
    trades = {one.trade for line in remedy.work for one in prices.items[line.item].labour}
    return {trade for trade in trades if prices.trades[trade].licensed}


OWN_WORK = [
    (check, remedy) for check, remedy in REMEDIES if remedy.own.may and licensed_trades(remedy)
]


def test_gas_work_is_never_own_work() -> None:
    gas = [check.id for check, remedy in OWN_WORK if "gas-fitter" in licensed_trades(remedy)]

    assert gas == []


def test_near_a_deadly_hazard_own_work_says_where_it_ends() -> None:
    deadly = {"mains", "aloft", "rig-load", "gas"}
    silent = [
        f"{check.id} / {remedy.id}"
        for check, remedy in OWN_WORK
        if deadly & {*check.hazards} and not remedy.own.note
    ]

    assert silent == []


def test_where_mains_is_near_own_work_keeps_to_low_voltage() -> None:
    beyond = [
        f"{check.id} / {remedy.id}"
        for check, remedy in OWN_WORK
        if "mains" in check.hazards and "volt" not in remedy.own.note.casefold()
    ]

    assert beyond == []


def test_somebody_qualified_is_named_for_every_check() -> None:
    assert [check.id for check in CHECKS if not check.handover.who.strip()] == []
