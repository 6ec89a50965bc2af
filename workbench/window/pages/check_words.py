"""The words beside a check: the rule that decided, what a state means, remedies with their cost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbench.domain.vocabulary import Grade
from workbench.window import formatting
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.remedy_list import RemedyRow

if TYPE_CHECKING:
    from workbench.catalogue.model import Check
    from workbench.catalogue.wording import Wording
    from workbench.figures.assessment import BoatAssessment
    from workbench.figures.findings import Finding, Judged


def with_article(who: str) -> str:
    """A person with the article that belongs before it."""
    return tr("an {who}" if who[:1].lower() in "aeiou" else "a {who}").format(who=who)


def rule_words(finding: Finding, wording: Wording) -> str:
    """The rule that decided, and the spread where people or sources differ."""
    if finding.counting is None:
        return ""
    told = _rule_of(finding, wording)
    if not finding.disagree:
        return told
    reading = earlier_words(finding.check, finding.counting, wording)
    counts = tr("People disagree and the worst counts: {reading}.").format(reading=reading)
    return f"{counts} {told}"


def _rule_of(finding: Finding, wording: Wording) -> str:
    assert finding.counting is not None  # noqa: S101 - its one caller has asked
    verdict = finding.counting.verdict
    missing = [one.missing for one in verdict.results if one.missing]
    if verdict.deciding is None:
        return " ".join(missing)
    rule = verdict.deciding.rule
    words = tr("By rule: {says} ({source}).").format(
        says=rule.says or verdict.deciding.compared or rule.id.replace("-", " "),
        source=wording.source(rule.source),
    )
    if verdict.split:
        words += " " + tr("Sources differ: {best} by one, {worst} by another.").format(
            best=formatting.grade_word(verdict.best), worst=formatting.grade_word(verdict.worst)
        )
    return " ".join((words, *missing))


def meaning_of_state(finding: Finding) -> str:
    """What an unseen or absent check means for the figures."""
    if finding.grade is Grade.ABSENT:
        return tr("She has none of this, so it costs nothing.")
    if finding.grade is Grade.UNSEEN:
        words = tr("Nobody has seen this. {chance} of such boats need work here (assumed).").format(
            chance=formatting.percent(finding.chance)
        )
        raised = "; ".join(step.label for step in finding.evidence.steps if step.factor > 1)
        return f"{words} {tr('Raised by')}: {raised}" if raised else words
    return ""


def remedy_row(
    session: Session, figures: BoatAssessment, finding: Finding, remedy_id: str
) -> RemedyRow:
    """A remedy with what it would cost on this boat."""
    from workbench.figures.ledger_lines import Workshop  # noqa: PLC0415 - numpy comes with it
    from workbench.figures.pricing import Tariff  # noqa: PLC0415 - numpy comes with it

    remedy = finding.check.remedy(remedy_id)
    if remedy is None:
        return RemedyRow(remedy_id, remedy_id)
    if finding.remedy is not None and remedy.id == finding.remedy.id:
        cost = sum(line.mean for line in figures.lines_of(finding.check.id))
    else:
        tariff = Tariff(session.project, session.catalogue)
        shop = Workshop(figures.candidate, session.catalogue, tariff)
        cost = shop.cost_of(finding, remedy)
    figure = formatting.estimate(cost) if remedy.work else tr("nothing")
    notes = [formatting.in_a_sentence(formatting.when_word(remedy.when))]
    access = [session.catalogue.access[task].title.lower() for task in remedy.access]
    if access:
        notes.append(tr("shared work: {tasks}").format(tasks=", ".join(access)))
    if remedy.work and not remedy.own.may:
        notes.append(tr("not work for an owner"))
    return RemedyRow(remedy.id, remedy.title, "; ".join(notes), figure)


def earlier_words(check: Check, judged: Judged, wording: Wording) -> str:
    """An earlier reading in a line: when, who, what, and the grade it got."""
    from workbench.figures.findings import shown_reading  # noqa: PLC0415 - there with the reading

    reading = judged.reading
    grade = formatting.grade_word(judged.verdict.grade)
    said = ", ".join(part for part in (formatting.day(reading.taken), reading.by) if part)
    return f"{said}: {shown_reading(check, reading, wording)} – {grade}"
