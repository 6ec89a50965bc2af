"""All that the briefs for surveyor, rigger and engine mechanic may know.

They are asked to look, so they get what was seen, what worries and what could not be reached, with
the questions in the order of what their answers are worth to the buyer. The worths themselves stay
inside, as do prices, budget, claims, the other boats, private notes and everybody's name.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from workbench.catalogue.model import Catalogue
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade
from workbench.figures.assessment import Assessment, BoatAssessment
from workbench.figures.findings import Finding
from workbench.figures.next_look import doubts_of, next_looks

from .views import Seen, boat_words, looked_on, particulars, seen

WHO = ("surveyor", "rigger", "engine mechanic")
"""The professionals that get a part of their own, in this order."""


@dataclass(frozen=True, slots=True)
class Question:
    """Something to be settled: what, and what found elsewhere makes it suspect."""

    seen: Seen
    because: tuple[str, ...]
    afloat: bool


@dataclass(frozen=True, slots=True)
class Part:
    """What one professional is asked.

    Attributes
    ----------
    worries
        Unsafe, due and worn findings of their trade, the worst first.
    questions
        What nobody saw or could judge, most worth knowing first.
    sound
        What was looked at and found sound.
    """

    who: str
    worries: tuple[Seen, ...]
    questions: tuple[Question, ...]
    sound: tuple[Seen, ...]


@dataclass(frozen=True, slots=True)
class SurveyView:
    """Everything the briefs may say."""

    boat: str
    words: str
    lies_at: str
    on: date
    looked_on: tuple[date, ...]
    particulars: tuple[tuple[str, str], ...]
    parts: tuple[Part, ...]


def survey_view(assessment: Assessment, boat_id: str, on: date) -> SurveyView:
    """What of a boat the professionals may see, on a day."""
    boat, catalogue = assessment.boats[boat_id], assessment.catalogue
    record = boat.candidate.boat
    rank = _ranks(assessment, boat)
    systems = {who: _systems(catalogue, who) for who in WHO}
    parts = [
        _part(who, [f for f in boat.findings if _for(f, who, systems)], boat, catalogue, rank)
        for who in WHO
    ]
    return SurveyView(
        boat=record.name,
        words=boat_words(record, catalogue),
        lies_at=record.lies_at,
        on=on,
        looked_on=looked_on(boat.candidate.inspection),
        particulars=particulars(record, catalogue),
        parts=tuple(one for one in parts if one.worries or one.questions),
    )


def _systems(catalogue: Catalogue, who: str) -> frozenset[str]:
    """The systems that a professional's looks cover."""
    return frozenset(
        system for look in catalogue.looks.values() if look.who == who for system in look.systems
    )


def _for(finding: Finding, who: str, systems: dict[str, frozenset[str]]) -> bool:
    """Whether a finding is handed over to them, or is of their systems and of none of the three."""
    named = finding.check.handover.who
    return named == who or (named not in WHO and finding.check.system in systems[who])


def _ranks(assessment: Assessment, boat: BoatAssessment) -> dict[str, tuple[float, float]]:
    """For each check the worth of knowing, and the spread that is behind it where that is equal."""
    worth = {
        one.check: float(one.worth)
        for one in next_looks(assessment).advice
        if one.boat == boat.id and one.check
    }
    spread = {
        doubt.line.finding.check.id: doubt.loss * (doubt.chance * (1 - doubt.chance)) ** 0.5
        for doubt in doubts_of(boat)
        if doubt.line.finding is not None
    }
    return {key: (worth.get(key, 0.0), value) for key, value in spread.items()}


def _part(
    who: str,
    findings: Sequence[Finding],
    boat: BoatAssessment,
    catalogue: Catalogue,
    rank: dict[str, tuple[float, float]],
) -> Part:
    inspection = boat.candidate.inspection

    def shown(finding: Finding) -> Seen:
        return seen(finding, boat.id, inspection, catalogue)

    bad = [f for f in findings if f.grade in (Grade.UNSAFE, Grade.DUE, Grade.WORN)]
    bad.sort(key=lambda f: (-f.grade.severity, f.check.system, f.check.order))
    asked = [f for f in findings if _is_open(f)]
    asked.sort(key=lambda f: rank.get(f.check.id, (0.0, 0.0)), reverse=True)
    return Part(
        who=who,
        worries=tuple(map(shown, bad)),
        questions=tuple(
            Question(shown(f), _because(f, boat), f.check.looks == "afloat") for f in asked
        ),
        sound=tuple(shown(f) for f in findings if f.grade is Grade.SOUND),
    )


def _is_open(finding: Finding) -> bool:
    """Whether a finding still is a question: unseen, or seen without certainty."""
    if finding.grade is Grade.UNSEEN:
        return True
    return finding.grade.needs_work and not finding.certain


def _because(finding: Finding, boat: BoatAssessment) -> tuple[str, ...]:
    """What found elsewhere makes this one suspect, in the catalogue's words."""
    return tuple(
        f"{other.check.title}: {suspicion.why}"
        for other in boat.findings
        for suspicion in other.check.suspicions
        if suspicion.check == finding.check.id and other.grade in suspicion.at
    )
