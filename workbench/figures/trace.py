"""Where a figure comes from: steps that unfold to lines, readings, rules, prices and sources.

The same trace feeds the window's "why?", the sheets' footnotes and the workbook's columns.
"""

from __future__ import annotations

from decimal import Decimal

from workbench.catalogue.model import Catalogue
from workbench.catalogue.names import trade_words
from workbench.catalogue.wording import Wording
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import When

from .assessment import SAILING, AccessCharge, BoatAssessment, Line
from .bargaining import WalkAway
from .findings import Finding, Judged, shown_reading
from .pricing import LabourCost
from .verdicts import RuleResult


@dataclass(frozen=True, slots=True)
class TraceStep:
    """One step of a trace.

    Attributes
    ----------
    label
        What it is.
    detail
        Where it comes from: a reading, a rule, a price, a source, an assumption.
    amount
        Its figure in the project's currency; None where it has none.
    key
        The line or check it leads to; empty for none.
    """

    label: str
    detail: str = ""
    amount: Decimal | None = None
    children: tuple[TraceStep, ...] = ()
    key: str = ""


def why_cost_to_ready(boat: BoatAssessment, catalogue: Catalogue) -> TraceStep:
    """Price and what is paid on it, the work before sailing, the allowance."""
    wording = catalogue.wording
    bought = tuple(
        TraceStep(_capital(wording.word(name)), "", amount)
        for name, amount in (boat.purchase.parts if boat.purchase is not None else ())
    )
    steps = (*bought, why_work(boat, catalogue), why_allowance(boat, catalogue))
    return TraceStep(
        wording.say("Cost to ready"),
        wording.say("price, what is paid on it, the work before sailing, and the allowance"),
        boat.cost_to_ready.mean,
        steps,
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def why_work(boat: BoatAssessment, catalogue: Catalogue) -> TraceStep:
    """The work before launching and in the first season, with its access work."""
    wording = catalogue.wording
    lines = [line for line in boat.lines if not line.part.allowed_for and line.when in SAILING]
    steps = [why_line(line, catalogue) for line in lines if line.counted]
    steps += [_access(one, one.counted_found, wording) for one in boat.access if one.counted_found]
    return TraceStep(
        wording.say("Work before sailing"),
        wording.one_or_many(len(steps), "one line", "{n} lines"),
        boat.work.mean,
        tuple(steps),
    )


def why_deferred(boat: BoatAssessment, catalogue: Catalogue) -> TraceStep:
    """What was put off: work that is due, and the used-up part of what is worn."""
    wording = catalogue.wording
    steps = [why_line(line, catalogue, line.deferred) for line in boat.lines if line.deferred]
    steps += [_access(one, one.deferred, wording) for one in boat.access if one.deferred]
    return TraceStep(
        wording.say("Deferred maintenance"),
        wording.say("work that is due, and the used-up part of what is worn"),
        boat.deferred.mean,
        tuple(steps),
    )


def why_allowance(boat: BoatAssessment, catalogue: Catalogue) -> TraceStep:
    """Every unseen item's chance times its cost, dearest first."""
    wording = catalogue.wording
    lines = sorted(
        (line for line in boat.lines if line.part.allowed_for and line.counted),
        key=lambda line: (-line.counted, line.key),
    )
    steps = [why_line(line, catalogue) for line in lines]
    steps += [
        _access(one, one.counted_allowed, wording) for one in boat.access if one.counted_allowed
    ]
    return TraceStep(
        wording.say("Allowance for the unseen"),
        wording.say("the chance of each times what it would cost"),
        boat.allowance.mean,
        tuple(steps),
    )


def why_later(boat: BoatAssessment, catalogue: Catalogue) -> TraceStep:
    """The work planned within five years, with its access work; no part of the cost to ready."""
    wording = catalogue.wording
    steps = [
        why_line(line, catalogue)
        for line in boat.lines
        if line.when is When.FIVE_YEARS and not line.part.allowed_for and line.counted
    ]
    steps += [_access(one, one.counted_later, wording) for one in boat.access if one.counted_later]
    return TraceStep(
        wording.say("Work within five years"),
        wording.say(
            "found work that may wait; no part of the cost to ready; {now:,.0f} today, if paid in "
            "the middle of the five years",
            now=boat.later_work_now,
        ),
        boat.later_work,
        tuple(steps),
    )


def why_line(line: Line, catalogue: Catalogue, amount: Decimal | None = None) -> TraceStep:
    """One work line: its finding, its prices or its quote, its chance."""
    wording = catalogue.wording
    steps: list[TraceStep] = []
    if line.finding is not None:
        steps.append(why_finding(line.finding, wording))
    steps += _prices(line, catalogue)
    if line.chance < 1:
        chance = wording.number(line.chance, ".0%")
        steps.append(TraceStep(wording.say("Chance that it is needed"), chance))
    if line.note:
        steps.append(TraceStep(wording.say("Note"), line.note))
    if amount is not None and line.finding is not None and amount != line.counted:
        share = wording.say("{share:.0%} of its life is used up", share=line.finding.used_share)
        steps.append(TraceStep(wording.say("Worn, not due"), share))
    shown = line.counted if amount is None else amount
    return TraceStep(line.title, _line_detail(line, wording), shown, tuple(steps), line.key)


def _line_detail(line: Line, wording: Wording) -> str:
    if line.left_out:
        return wording.say("left out")
    if line.covered_by:
        return wording.say("done with: {title}", title=line.covered_by)
    if line.unpriced:
        return wording.say("not priced")
    if line.quote is not None:
        return wording.say("quote of {yard}", yard=line.quote.yard)
    if line.part.allowed_for:
        return f"{wording.number(line.chance, '.0%')} × {wording.number(line.mean, ',.0f')}"
    return wording.word(line.grade.value)


def _prices(line: Line, catalogue: Catalogue) -> list[TraceStep]:
    wording = catalogue.wording
    if line.quote is not None:
        on = f", {line.quote.on.isoformat()}" if line.quote.on else ""
        label = wording.say("Quote of {yard}", yard=f"{line.quote.yard}{on}")
        return [TraceStep(label, wording.say("replaces the estimate"))]
    priced = line.priced
    if priced is None:
        cost = line.cost
        text = wording.say(
            "{low:,.0f} to {high:,.0f}, likely {likely:,.0f}",
            low=cost.lowest,
            high=cost.highest,
            likely=cost.likely,
        )
        return [TraceStep(wording.say("Own figure"), text)]
    steps = [_labour(one, priced.count, catalogue) for one in priced.labour]
    span = priced.materials_span
    if span.high:
        text = wording.say(
            "{low:,.0f} to {high:,.0f}, likely {likely:,.0f}",
            low=span.low,
            high=span.high,
            likely=span.likely,
        )
        cents = Decimal(repr(round(priced.materials_mean, 2)))
        steps.append(TraceStep(wording.say("Materials and services"), text, cents))
    if priced.count != 1:
        steps.append(TraceStep(wording.say("Number"), wording.number(priced.count, "g")))
    steps += [TraceStep(wording.say("Scaled"), note) for note in priced.scaling]
    source = wording.say("own figures") if priced.overridden else priced.source
    steps.append(TraceStep(wording.say("Price from"), source))
    return steps


def _labour(one: LabourCost, count: float, catalogue: Catalogue) -> TraceStep:
    wording = catalogue.wording
    return TraceStep(
        wording.say("Labour, {trade}", trade=trade_words(catalogue, one.trade)),
        wording.say(
            "{low:.1f} to {high:.1f} h, likely {likely:.1f}, at {rate:,.2f} an hour",
            low=one.span.low,
            high=one.span.high,
            likely=one.span.likely,
            rate=one.rate,
        ),
        Decimal(repr(round(one.cost.mean * count, 2))),
    )


def why_finding(finding: Finding, wording: Wording) -> TraceStep:
    """One finding: its readings, the rules behind the grade, what raised its chance."""
    steps = [_reading(finding, one, wording) for one in finding.judged]
    if finding.overruling is not None:
        steps.append(TraceStep(wording.say("Overruled by hand"), finding.overruling.reason))
    if finding.disagree:
        counts = wording.say("the worst of their last readings counts")
        steps.append(TraceStep(wording.say("People disagree"), counts))
    if not finding.certain and finding.chance > 0:
        steps += _doubt(finding, wording)
    grade = wording.word(finding.grade.value)
    return TraceStep(finding.check.title, grade, None, tuple(steps), finding.check.id)


def _doubt(finding: Finding, wording: Wording) -> list[TraceStep]:
    """How common the fault is, and what raised or lowered its chance."""
    evidence = finding.evidence
    prior = evidence.steps[0].chance_before if evidence.steps else finding.chance
    common = TraceStep(
        wording.say("How common it is when nobody looked"),
        wording.say("{chance:.0%} at her age, assumed", chance=prior),
    )
    moved = [
        TraceStep(
            step.label,
            wording.say(
                "{before:.0%} becomes {after:.0%}",
                before=step.chance_before,
                after=step.chance_after,
            ),
        )
        for step in evidence.steps
    ]
    return [common, *moved]


def _reading(finding: Finding, judged: Judged, wording: Wording) -> TraceStep:
    reading = judged.reading
    said = ", ".join(
        part for part in (reading.taken.isoformat() if reading.taken else "", reading.by) if part
    )
    rules = tuple(
        TraceStep(
            result.rule.says or result.rule.id.replace("-", " "),
            ". ".join(part for part in _rule(result, wording) if part),
        )
        for result in judged.verdict.results
    )
    shown = shown_reading(finding.check, reading, wording) or wording.say("read")
    return TraceStep(shown, said, None, rules)


def _rule(result: RuleResult, wording: Wording) -> tuple[str, str, str]:
    """What a rule made of a reading, where the rule is from, and where it holds."""
    grade = wording.word(result.grade.value)
    said = result.missing or f"{result.compared} → {grade}".lstrip(" →")
    return said, wording.source(result.rule.source), result.rule.scope


def _access(charge: AccessCharge, amount: Decimal, wording: Wording) -> TraceStep:
    detail = wording.one_or_many(len(charge.users), "once for one job", "once for {n} jobs")
    if charge.chance_any < 1:
        chance = wording.say("needed with {chance:.0%}", chance=charge.chance_any)
        detail = f"{detail}, {chance}"
    return TraceStep(charge.task.title, detail, amount, (), charge.key)


def why_offer(boat: BoatAssessment, catalogue: Catalogue) -> TraceStep:
    """The three prices and what they rest on."""
    wording, offer = catalogue.wording, boat.offer
    limit = offer.limit
    findings = wording.one_or_many(len(boat.claim.lines), "one finding", "{n} findings")
    return TraceStep(
        wording.say("Offer"),
        "",
        offer.target,
        (
            TraceStep(wording.say("Price anchor"), offer.anchor.basis, offer.anchor.value),
            TraceStep(wording.say("Claims"), findings, boat.claim.total),
            TraceStep(
                wording.say("Opening"),
                wording.say("asking price less claims, or your own"),
                offer.opening,
            ),
            TraceStep(
                wording.say("Target"),
                wording.say("half-way from opening to walk-away"),
                offer.target,
            ),
            TraceStep(wording.say("Walk-away"), limit.why, limit.price, _limits(limit, wording)),
        ),
    )


def _limits(limit: WalkAway, wording: Wording) -> tuple[TraceStep, TraceStep]:
    budget = wording.say("at the chosen confidence")
    worth = wording.say("before another choice is better")
    return (
        TraceStep(wording.say("Budget allows"), budget, limit.budget_price),
        TraceStep(wording.say("Worth allows"), worth, limit.worth_price),
    )
