"""From readings to findings: for every check that applies to a boat, its grade and how it stands.

Three states are kept apart: nobody looked, somebody looked and found nothing, somebody found
something. An unseen check is not free: it carries the chance that work is due, from how common the
fault is at her age, raised by what was found elsewhere. A look that found nothing lowers that
chance by how well a layperson sees such a fault, and never to nothing.

What was seen counts as seen where a layperson can judge it. Where they can only partly judge, or
are not sure, the finding counts by its likelihood ratio until somebody qualified confirms it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from workbench.catalogue.model import Catalogue, Check, Remedy
from workbench.catalogue.wording import ENGLISH_WORDING, Wording, marked
from workbench.domain.boat import Boat
from workbench.domain.inspection import Inspection, Overruling, Reading
from workbench.domain.ledger import Ledger
from workbench.domain.project import Candidate
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade, Sight, worst

from .evidence import Evidence, Look, LookState, Suspicion, updated
from .verdicts import Verdict, holds, judge


@dataclass(frozen=True, slots=True)
class Judged:
    """One reading and what the rules make of it."""

    reading: Reading
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Finding:
    """How one check stands on one boat.

    Attributes
    ----------
    grade
        The grade that counts: the overruling, or the worst among each person's last reading.
    judged
        Every reading with its verdict, oldest first.
    counting
        The reading behind the grade; None when nobody could see.
    disagree
        Whether the last readings of different people give different grades.
    evidence
        The chance that work is due, and each step that led to it.
    chance
        The chance the figures use: 1 for what is taken as seen.
    certain
        Whether the finding is taken as seen rather than as a chance.
    remedy
        The remedy that counts for the grade; for an unseen check the one that would be due. None
        where nothing is to be done.
    offered
        The remedies to choose among for the grade.
    used_share
        Share of life used up when worn.
    """

    check: Check
    grade: Grade
    judged: tuple[Judged, ...]
    counting: Judged | None
    disagree: bool
    overruling: Overruling | None
    evidence: Evidence
    chance: float
    certain: bool
    remedy: Remedy | None
    offered: tuple[Remedy, ...]
    used_share: Decimal
    reason_unseen: str

    @property
    def looked(self) -> bool:
        """Whether somebody saw enough to grade it (or that it is not fitted)."""
        return self.grade is not Grade.UNSEEN


def facts_of(boat: Boat, catalogue: Catalogue) -> dict[str, str]:
    """A boat's fit-out facts, with the catalogue's default where one is not stated."""
    return {name: boat.facts.get(name, fact.default) for name, fact in catalogue.facts.items()}


def checks_of(boat: Boat, catalogue: Catalogue) -> tuple[Check, ...]:
    """The checks that a boat gets by her fit-out, in the catalogue's order."""
    facts = facts_of(boat, catalogue)
    return tuple(
        check for check in catalogue.checks.values() if holds(check.applies, facts, boat.dimensions)
    )


def age_of(boat: Boat, as_of: date | None) -> int | None:
    """A boat's age in whole years on a day; None when either is unknown."""
    return None if boat.year is None or as_of is None else max(0, as_of.year - boat.year)


def findings_of(
    candidate: Candidate, catalogue: Catalogue, as_of: date | None
) -> tuple[Finding, ...]:
    """Every check that applies to a boat, with its grade and its chance.

    Suspicions go one step: a finding raises the chance of others, and what is only suspected
    raises nothing further.
    """
    return Inspector(candidate.boat, catalogue, as_of).findings(
        candidate.inspection, candidate.ledger
    )


class Inspector:
    """`findings_of` for one boat with a memory: a check is judged again only when it changed.

    What a check comes to depends on the boat's particulars and the day, which stay for the
    inspector's life, and on its own readings, its overruling, its chosen remedy and the suspicions
    that other checks raise. A finding none of whose grounds changed is answered as the very same
    record, so that whatever rests on it can tell.
    """

    def __init__(self, boat: Boat, catalogue: Catalogue, as_of: date | None) -> None:
        self.boat, self.catalogue, self.as_of = boat, catalogue, as_of
        self._ground = Ground(facts_of(boat, catalogue), as_of, catalogue)
        self._checks = checks_of(boat, catalogue)
        self._priors = {
            check.id: float(check.prior.at(age_of(boat, as_of))) for check in self._checks
        }
        self._seen: dict[str, tuple[object, object, _Seen]] = {}
        self._found: dict[str, tuple[object, object, object, Finding]] = {}

    def findings(self, inspection: Inspection, ledger: Ledger) -> tuple[Finding, ...]:
        """Every check with its grade and its chance, in the catalogue's order."""
        looked = [self._look(check, inspection) for check in self._checks]
        suspicions = _suspicions(self._checks, looked, self.catalogue.wording)
        return tuple(
            self._finding(check, seen, suspicions.get(check.id, ()), ledger)
            for check, seen in zip(self._checks, looked, strict=True)
        )

    def _look(self, check: Check, inspection: Inspection) -> _Seen:
        readings = inspection.readings.get(check.id, ())
        overruling = inspection.overrulings.get(check.id)
        held = self._seen.get(check.id)
        if held is not None and held[0] is readings and held[1] is overruling:
            return held[2]
        seen = _look_up(check, self.boat, readings, overruling, self._ground)
        self._seen[check.id] = (readings, overruling, seen)
        return seen

    def _finding(
        self, check: Check, seen: _Seen, suspicions: tuple[Suspicion, ...], ledger: Ledger
    ) -> Finding:
        choice = ledger.choices.get(check.id, "")
        held = self._found.get(check.id)
        if held is not None and held[0] is seen and held[1:3] == (suspicions, choice):
            return held[3]
        prior, wording = self._priors[check.id], self.catalogue.wording
        found = _finding(check, seen, suspicions, prior, choice, wording)
        self._found[check.id] = (seen, suspicions, choice, found)
        return found


class Ground(NamedTuple):
    """What a boat's readings are judged on beside her particulars."""

    facts: Mapping[str, str]
    as_of: date | None
    catalogue: Catalogue


@dataclass(frozen=True, slots=True)
class _Seen:
    """What the readings of one check come to."""

    grade: Grade
    judged: tuple[Judged, ...]
    counting: Judged | None
    disagree: bool
    overruling: Overruling | None
    reason: str


_NOBODY_LOOKED = _Seen(Grade.UNSEEN, (), None, disagree=False, overruling=None, reason="")


def _look_up(
    check: Check,
    boat: Boat,
    readings: tuple[Reading, ...],
    overruling: Overruling | None,
    ground: Ground,
) -> _Seen:
    if not readings and overruling is None:
        return _NOBODY_LOOKED
    judged = tuple(
        Judged(reading, judge(check, reading, boat, ground.facts, ground.as_of, ground.catalogue))
        for reading in readings
    )
    last = _last_of_each(judged)
    graded = [(_grade_of(one), one) for one in last]
    grade = worst([one for one, _ in graded])
    counting = next((one for g, one in graded if g is grade and g is not Grade.UNSEEN), None)
    seen_grades = {one for one, _ in graded if one is not Grade.UNSEEN}
    reason = next((one.reading.reason for one in reversed(last) if one.reading.reason), "")
    if overruling is not None:
        grade = overruling.grade
    return _Seen(grade, judged, counting, len(seen_grades) > 1, overruling, reason)


def _last_of_each(judged: Sequence[Judged]) -> list[Judged]:
    """The last reading of each person."""
    return list({one.reading.by.strip().casefold(): one for one in judged}.values())


def _grade_of(judged: Judged) -> Grade:
    if judged.reading.sight is Sight.NOT_FITTED:
        return Grade.ABSENT
    if judged.reading.sight is Sight.NOT_SEEN:
        return Grade.UNSEEN
    return judged.verdict.grade


def _suspicions(
    checks: Sequence[Check], looked: Sequence[_Seen], wording: Wording
) -> dict[str, tuple[Suspicion, ...]]:
    raised: dict[str, tuple[Suspicion, ...]] = {}
    for check, seen in zip(checks, looked, strict=True):
        for link in check.suspicions:
            if seen.grade in link.at:
                grade = wording.word(seen.grade.value)
                step = Suspicion(f"{check.title}: {grade}. {link.why}", float(link.factor))
                raised[link.check] = (*raised.get(link.check, ()), step)
    return raised


def _finding(
    check: Check,
    seen: _Seen,
    suspicions: tuple[Suspicion, ...],
    prior: float,
    choice: str,
    wording: Wording,
) -> Finding:
    evidence = updated(prior, _looks(check, seen, wording), suspicions, wording)
    certain = _taken_as_seen(check, seen)
    grade = seen.grade
    asked = Grade.DUE if grade in (Grade.UNSEEN, Grade.SOUND) else grade
    offered = tuple(remedy for remedy in check.remedies if asked in remedy.grades)
    return Finding(
        check=check,
        grade=grade,
        judged=seen.judged,
        counting=seen.counting,
        disagree=seen.disagree,
        overruling=seen.overruling,
        evidence=evidence,
        chance=_chance(grade, evidence, certain),
        certain=certain,
        remedy=_chosen(check, choice, offered) if grade is not Grade.ABSENT else None,
        offered=offered if grade is not Grade.ABSENT else (),
        used_share=_used_share(check, seen),
        reason_unseen=seen.reason,
    )


def _chance(grade: Grade, evidence: Evidence, certain: bool) -> float:
    if grade is Grade.ABSENT:
        return 0.0
    return 1.0 if certain else evidence.chance


def _taken_as_seen(check: Check, seen: _Seen) -> bool:
    """Whether a fault counts as seen rather than as a chance."""
    if seen.grade in (Grade.UNSEEN, Grade.SOUND, Grade.ABSENT):
        return False
    if seen.overruling is not None:
        return True
    reading = seen.counting.reading if seen.counting else None
    return reading is not None and reading.sure and check.judgement.judges == "yes"


def _looks(check: Check, seen: _Seen, wording: Wording) -> tuple[Look, ...]:
    """The looks as evidence for work being due; one pair of eyes counts once."""
    return tuple(
        Look(
            method=check.title,
            eyes=one.reading.by or wording.say("somebody"),
            state=_state(one),
            sensitivity=_inside(check.judgement.sees),
            specificity=_inside(1 - check.judgement.false_alarm),
        )
        for one in seen.judged
    )


def _inside(chance: Decimal) -> float:
    return min(max(float(chance), 0.001), 0.999)


def _state(judged: Judged) -> LookState:
    grade = _grade_of(judged)
    if grade.needs_work:
        return LookState.SEEN
    return LookState.NOT_LOOKED if grade is Grade.UNSEEN else LookState.NOT_SEEN


def _chosen(check: Check, choice: str, offered: tuple[Remedy, ...]) -> Remedy | None:
    """The remedy the buyer chose, where it is offered for the grade; else the first."""
    chosen = check.remedy(choice)
    if chosen is not None and chosen in offered:
        return chosen
    return offered[0] if offered else None


def _used_share(check: Check, seen: _Seen) -> Decimal:
    if seen.grade.needs_work:
        return Decimal(1)
    if seen.grade is not Grade.WORN:
        return Decimal(0)
    known = seen.counting.verdict.used_share if seen.counting else None
    return check.worn_share if known is None else known


GRADE_WORDS = (
    *(marked("sound"), marked("worn"), marked("due")),
    *(marked("unsafe"), marked("unseen"), marked("absent")),
)
"""The values of the grades, by which they are said."""
UNIT_WORDS = (
    *(marked("day"), marked("month"), marked("year"), marked("share")),
    *(marked("long ton"), marked("short ton"), marked("US gal"), marked("imp gal"), marked("deg")),
)
"""Units that are words, and are said in words."""


def shown_value(value: Quantity | str, wording: Wording = ENGLISH_WORDING) -> str:
    """A reading's value as it was entered; a mere count or a year without a unit."""
    if not isinstance(value, Quantity):
        return value
    bare = value.unit in ("count", "calendar year", "index")
    number = wording.number(value.number, "f")
    return number if bare else f"{number} {wording.word(value.unit)}"


def shown_reading(check: Check, reading: Reading, wording: Wording = ENGLISH_WORDING) -> str:
    """A reading in one short line: values with units, choices by their label."""
    if reading.sight is Sight.NOT_FITTED:
        return wording.say("not fitted")
    if reading.sight is Sight.NOT_SEEN:
        return reading.reason or wording.say("could not be seen")
    parts: list[str] = []
    for entry in check.entries:
        value = reading.values.get(entry.id)
        if value is None:
            continue
        label = next((choice.label for choice in entry.choices if choice.id == value), "")
        parts.append(label or shown_value(value, wording))
    return ", ".join(parts)
