"""All that the briefs for the surveyor and for each trade may know.

Who gets a brief is what the catalogue says: everybody who makes one of its looks and to whom one of
its checks is handed over (surveyor, rigger, engine mechanic, electrician, gas fitter, sailmaker).
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

from .views import Particulars, Seen, boat_words, looked_on, particulars, seen

SURVEYOR = "surveyor"
"""Id of the look whose maker gets the brief for the survey; the others are the trades."""

_SIZE = ("loa", "beam", "draft", "displacement", "sail-area")


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
    covers
        What their looks cover, in the catalogue's words.
    notes
        What the catalogue says of their looks, such as what must be there for them.
    particulars
        What of her matters to them; all that is known for the surveyor.
    worries
        Unsafe, due and worn findings of their trade, the worst first.
    questions
        What nobody saw or could judge, most worth knowing first.
    sound
        What was looked at and found sound.
    """

    who: str
    covers: tuple[str, ...]
    notes: tuple[str, ...]
    particulars: Particulars
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
    parts: tuple[Part, ...]


def professionals(catalogue: Catalogue) -> tuple[str, ...]:
    """Who gets a brief, in the order of their looks."""
    handed_over = {check.handover.who for check in catalogue.checks.values()}
    makers = dict.fromkeys(look.who for look in catalogue.looks.values())
    return tuple(who for who in makers if who in handed_over)


def surveyors(catalogue: Catalogue) -> tuple[str, ...]:
    """Who gets the brief for the survey; nobody where the catalogue knows no survey."""
    look = catalogue.looks.get(SURVEYOR)
    return (look.who,) if look is not None and look.who in professionals(catalogue) else ()


def trades_with_a_part(boat: BoatAssessment, catalogue: Catalogue) -> tuple[str, ...]:
    """The trades, the surveyor aside, who have something to look at on a boat."""
    trades = (who for who in professionals(catalogue) if who not in surveyors(catalogue))
    return tuple(
        who for who in trades if any(_is_asked(f) for f in _findings(boat, who, catalogue))
    )


def survey_view(
    assessment: Assessment, boat_id: str, on: date, who: Sequence[str] | None = None
) -> SurveyView:
    """What of a boat the professionals may see, on a day; the parts of `who` alone where given."""
    boat, catalogue = assessment.boats[boat_id], assessment.catalogue
    record = boat.candidate.boat
    wanted = professionals(catalogue) if who is None else tuple(who)
    rank = _ranks(assessment, boat)
    parts = [_part(one, _findings(boat, one, catalogue), boat, catalogue, rank) for one in wanted]
    return SurveyView(
        boat=record.name,
        words=boat_words(record, catalogue),
        lies_at=record.lies_at,
        on=on,
        looked_on=looked_on(boat.candidate.inspection),
        parts=tuple(one for one in parts if one.worries or one.questions),
    )


def _systems(catalogue: Catalogue, who: str) -> frozenset[str]:
    """The systems that a professional's looks cover."""
    return frozenset(
        system for look in catalogue.looks.values() if look.who == who for system in look.systems
    )


def _findings(boat: BoatAssessment, who: str, catalogue: Catalogue) -> list[Finding]:
    """The findings that are handed over to them, or are of their systems and of no one else."""
    known, systems = professionals(catalogue), _systems(catalogue, who)
    checks = {
        check for look in catalogue.looks.values() if look.who == who for check in look.checks
    }

    def is_theirs(finding: Finding) -> bool:
        named = finding.check.handover.who
        if named in known:
            return named == who
        return finding.check.system in systems or finding.check.id in checks

    return [finding for finding in boat.findings if is_theirs(finding)]


def _matters(findings: Sequence[Finding]) -> frozenset[str]:
    """The particulars that a trade's own checks turn on, and her size."""
    named = set(_SIZE)
    for check in (finding.check for finding in findings):
        for condition in (check.applies, *(rule.only_if for rule in check.rules)):
            named.update(condition.facts, condition.between)
        named.update(rule.of for rule in check.rules)
    return frozenset(named)


def _is_asked(finding: Finding) -> bool:
    """Whether a finding is a worry or a question."""
    return finding.grade.needs_work or finding.grade is Grade.WORN or _is_open(finding)


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
    wanted = None if who in surveyors(catalogue) else _matters(findings)
    looks = [look for look in catalogue.looks.values() if look.who == who]
    systems = dict.fromkeys(system for look in looks for system in look.systems)

    def shown(finding: Finding) -> Seen:
        return seen(finding, boat.id, inspection, catalogue)

    bad = [f for f in findings if f.grade in (Grade.UNSAFE, Grade.DUE, Grade.WORN)]
    bad.sort(key=lambda f: (-f.grade.severity, f.check.system, f.check.order))
    asked = [f for f in findings if _is_open(f)]
    asked.sort(key=lambda f: rank.get(f.check.id, (0.0, 0.0)), reverse=True)
    return Part(
        who=who,
        covers=tuple(catalogue.systems[one].title for one in systems if one in catalogue.systems),
        notes=tuple(dict.fromkeys(look.note for look in looks[:1] if look.note)),
        particulars=particulars(boat.candidate.boat, catalogue, wanted),
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
