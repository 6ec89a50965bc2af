"""How checks stand: three states apart, suspicions one step, and a memory that is faithful."""

from __future__ import annotations

import dataclasses
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.figures.small_yard import ALL_GOOD, AS_OF, NOT_SEEN, mm, search, seen, small_catalogue
from workbench.catalogue.model import Judgement
from workbench.domain.boat import Boat
from workbench.domain.inspection import Overruling, Reading
from workbench.domain.project import Candidate
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Grade, Sight
from workbench.edits import inspecting
from workbench.edits.edit import apply
from workbench.figures.findings import (
    Finding,
    Inspector,
    age_of,
    checks_of,
    facts_of,
    findings_of,
    shown_reading,
)

WORN_OUT = seen(play=mm("1.2"), sound="knocks")
NOT_FITTED = Reading("", sight=Sight.NOT_FITTED, taken=AS_OF, by="Robin")


def ann(readings: dict[str, Reading]) -> Candidate:
    return search(readings).boats["ann"]


def findings(candidate: Candidate) -> dict[str, Finding]:
    return {one.check.id: one for one in findings_of(candidate, small_catalogue(), AS_OF)}


def finding(readings: dict[str, Reading], check: str) -> Finding:
    return findings(ann(readings))[check]


def test_three_states_are_kept_apart() -> None:
    """Prior 0.2; sees 0.8, cries wolf 0.1: seen and good gives .25 x (.2 / .9) = .0526."""
    assert finding({}, "seal").chance == pytest.approx(0.2)
    assert finding({"seal": NOT_SEEN}, "seal").chance == pytest.approx(0.2)
    assert finding({"seal": seen(state="good")}, "seal").chance == pytest.approx(1 / 19)
    assert finding({"seal": seen(state="bad")}, "seal").chance == 1


def test_looked_for_and_not_seen_says_why() -> None:
    hidden = finding({"seal": NOT_SEEN}, "seal")

    assert hidden.grade is Grade.UNSEEN
    assert not hidden.looked
    assert hidden.reason_unseen == "locked"


def test_what_is_not_fitted_needs_nothing() -> None:
    gone = finding({"seal": NOT_FITTED}, "seal")

    assert gone.grade is Grade.ABSENT
    assert gone.chance == 0
    assert gone.remedy is None
    assert gone.offered == ()
    assert gone.looked


def test_where_a_layperson_can_only_partly_judge_a_sighting_is_a_chance() -> None:
    """Odds .25 x (.8 / .1) = 2."""
    catalogue = small_catalogue()
    check = catalogue.checks["seal"]
    partly = dataclasses.replace(
        check, judgement=Judgement("partly", check.judgement.sees, check.judgement.false_alarm)
    )
    changed = dataclasses.replace(catalogue, checks=catalogue.checks.set("seal", partly))
    found = findings_of(ann({"seal": seen(state="bad")}), changed, AS_OF)
    seal = next(one for one in found if one.check.id == "seal")

    assert seal.grade is Grade.DUE
    assert not seal.certain
    assert seal.chance == pytest.approx(2 / 3)


def test_the_worst_of_each_persons_last_word_counts() -> None:
    candidate = ann({"bearing": WORN_OUT})
    project = search({"bearing": WORN_OUT})
    again = dataclasses.replace(seen(play=mm("0.1"), sound="quiet"), taken=date(2026, 5, 2))
    corrected = apply(project, inspecting.record_reading(project, "ann", "bearing", again))[0]
    alex = dataclasses.replace(again, by="Alex")
    disputed = apply(project, inspecting.record_reading(project, "ann", "bearing", alex))[0]

    assert findings(candidate)["bearing"].grade is Grade.DUE
    assert findings(corrected.boats["ann"])["bearing"].grade is Grade.SOUND
    assert findings(disputed.boats["ann"])["bearing"].grade is Grade.DUE
    assert findings(disputed.boats["ann"])["bearing"].disagree


def test_an_overruling_stands_before_every_reading() -> None:
    project = search({"bearing": WORN_OUT})
    by_hand = Overruling(Grade.SOUND, "New last year.")
    edit = inspecting.overrule(project, "ann", "bearing", by_hand)
    found = findings(apply(project, edit)[0].boats["ann"])["bearing"]

    assert found.grade is Grade.SOUND
    assert found.overruling == by_hand


def test_suspicions_go_one_step_and_only_from_what_was_seen() -> None:
    """The bearing raises the seal fourfold; the bearing's own chance raises nothing."""
    raised = finding({"bearing": WORN_OUT}, "seal")

    assert raised.evidence.steps[0].label == "bearing: due. It shakes."
    assert raised.chance == pytest.approx(0.5)
    assert finding({"bearing": NOT_SEEN}, "seal").evidence.steps == ()


def test_age_and_fit_out_decide_the_checks() -> None:
    boat = ann({}).boat
    saildrive = dataclasses.replace(boat, facts=boat.facts.set("drive", "saildrive"))
    unstated = dataclasses.replace(boat, facts=boat.facts.drop("drive"))

    assert [one.id for one in checks_of(saildrive, small_catalogue())] == [
        "seacocks",
        "rigging",
        "seal",
    ]
    assert facts_of(unstated, small_catalogue()) == {"drive": "shaft"}
    assert len(checks_of(unstated, small_catalogue())) == 4


def test_an_age_is_never_below_nothing_and_may_be_unknown() -> None:
    assert age_of(Boat("a", "A", year=1986), AS_OF) == 40
    assert age_of(Boat("a", "A", year=2030), AS_OF) == 0
    assert age_of(Boat("a", "A"), AS_OF) is None
    assert age_of(Boat("a", "A", year=1986), None) is None


def test_the_remedy_chosen_counts_where_it_is_offered_for_the_grade() -> None:
    """“Later” is offered for worn; on a due finding it is not, and the first for due counts."""
    worn = seen(play=mm("0.8"))

    assert finding({"bearing": worn}, "bearing").remedy is not None
    assert finding({"bearing": worn}, "bearing").remedy.id == "later"  # type: ignore[union-attr]
    candidate = ann({"bearing": WORN_OUT})
    ledger = dataclasses.replace(
        candidate.ledger, choices=candidate.ledger.choices.set("bearing", "later")
    )
    chosen = findings(dataclasses.replace(candidate, ledger=ledger))["bearing"].remedy
    assert chosen is not None
    assert chosen.id == "renew"


def test_a_reading_is_shown_with_its_words_and_units() -> None:
    check = small_catalogue().checks["bearing"]

    assert shown_reading(check, WORN_OUT) == "1.2 mm, knocks"
    assert shown_reading(check, NOT_SEEN) == "locked"
    assert shown_reading(check, dataclasses.replace(NOT_SEEN, reason="")) == "could not be seen"
    assert shown_reading(check, NOT_FITTED) == "not fitted"


# --- The memory of an inspector ---


def readings() -> st.SearchStrategy[dict[str, Reading]]:
    state = st.sampled_from([seen(state="good"), seen(state="bad"), NOT_SEEN, NOT_FITTED])
    play = st.sampled_from([seen(play=mm("0.1")), seen(play=mm("0.8")), WORN_OUT, NOT_SEEN])
    return st.fixed_dictionaries(
        {}, optional={"bearing": play, "seacocks": state, "rigging": state, "seal": state}
    )


@settings(max_examples=30)
@given(st.lists(readings(), min_size=1, max_size=4))
def test_an_inspector_remembers_and_never_misremembers(states: list[dict[str, Reading]]) -> None:
    boat = ann({}).boat
    inspector = Inspector(boat, small_catalogue(), AS_OF)
    for state in states:
        candidate = ann(state)
        remembered = inspector.findings(candidate.inspection, candidate.ledger)
        assert remembered == findings_of(candidate, small_catalogue(), AS_OF)


def test_what_did_not_change_is_the_very_same_record() -> None:
    project = search({**ALL_GOOD, "bearing": seen(play=mm("0.1"))})
    inspector = Inspector(project.boats["ann"].boat, small_catalogue(), AS_OF)

    def look(candidate: Candidate) -> dict[str, Finding]:
        found = inspector.findings(candidate.inspection, candidate.ledger)
        return {one.check.id: one for one in found}

    before = look(project.boats["ann"])
    edit = inspecting.record_reading(project, "ann", "bearing", WORN_OUT)
    after = look(apply(project, edit)[0].boats["ann"])

    assert after["rigging"] is before["rigging"]
    assert after["bearing"] is not before["bearing"]
    assert after["seal"] is not before["seal"], "the bearing raised its suspicion"


def test_a_count_of_pieces_is_kept_with_the_reading_that_counts() -> None:
    two = seen(state="bad", number=Quantity(Decimal(2), "count"))
    found = finding({"seacocks": two}, "seacocks")

    assert found.counting is not None
    assert found.counting.reading.values["number"] == Quantity(Decimal(2), "count")
