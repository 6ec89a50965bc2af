"""Where a figure comes from: steps that unfold to lines, readings, rules, prices and sources.

The same trace feeds the window's "why?", the sheets' footnotes and the workbook's columns.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from workbench.domain.record import dataclass
from workbench.domain.vocabulary import When

from .assessment import SAILING, AccessCharge, BoatAssessment, Line
from .findings import Finding, Judged, shown_reading


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


def why_cost_to_ready(boat: BoatAssessment) -> TraceStep:
    """Price and what is paid on it, the work before sailing, the allowance."""
    bought = tuple(TraceStep(name, "", amount) for name, amount in _purchase_parts(boat))
    steps = (*bought, why_work(boat), why_allowance(boat))
    return TraceStep(
        "Cost to ready",
        "price, what is paid on it, the work before sailing, and the allowance",
        boat.cost_to_ready.mean,
        steps,
    )


def _purchase_parts(boat: BoatAssessment) -> Iterable[tuple[str, Decimal]]:
    if boat.purchase is None:
        return ()
    return ((_capital(name), amount) for name, amount in boat.purchase.parts)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def why_work(boat: BoatAssessment) -> TraceStep:
    """The work before launching and in the first season, with its access work."""
    lines = [line for line in boat.lines if not line.part.allowed_for and line.when in SAILING]
    steps = [why_line(line) for line in lines if line.counted]
    steps += [_access(one, one.counted_found) for one in boat.access if one.counted_found]
    return TraceStep("Work before sailing", f"{len(steps)} lines", boat.work.mean, tuple(steps))


def why_deferred(boat: BoatAssessment) -> TraceStep:
    """What is due now and the used-up part of what is worn."""
    steps = [why_line(line, line.deferred) for line in boat.lines if line.deferred]
    steps += [_access(one, one.deferred) for one in boat.access if one.deferred]
    return TraceStep(
        "Deferred maintenance",
        "work that is due, and the used-up part of what is worn",
        boat.deferred.mean,
        tuple(steps),
    )


def why_allowance(boat: BoatAssessment) -> TraceStep:
    """Every unseen item's chance times its cost, dearest first."""
    lines = sorted(
        (line for line in boat.lines if line.part.allowed_for and line.counted),
        key=lambda line: (-line.counted, line.key),
    )
    steps = [why_line(line) for line in lines]
    steps += [_access(one, one.counted_allowed) for one in boat.access if one.counted_allowed]
    return TraceStep(
        "Allowance for the unseen",
        "the chance of each times what it would cost",
        boat.allowance.mean,
        tuple(steps),
    )


def why_later(boat: BoatAssessment) -> TraceStep:
    """The work planned within five years, with its access work; no part of the cost to ready."""
    steps = [
        why_line(line)
        for line in boat.lines
        if line.when is When.FIVE_YEARS and not line.part.allowed_for and line.counted
    ]
    steps += [_access(one, one.counted_later) for one in boat.access if one.counted_later]
    return TraceStep(
        "Work within five years",
        "found work that may wait; no part of the cost to ready",
        boat.later_work,
        tuple(steps),
    )


def why_line(line: Line, amount: Decimal | None = None) -> TraceStep:
    """One work line: its finding, its prices or its quote, its chance."""
    steps: list[TraceStep] = []
    if line.finding is not None:
        steps.append(why_finding(line.finding))
    steps += _prices(line)
    if line.chance < 1:
        steps.append(TraceStep("Chance that it is needed", f"{line.chance:.0%}"))
    if line.note:
        steps.append(TraceStep("Note", line.note))
    if amount is not None and line.finding is not None and amount != line.counted:
        share = f"{line.finding.used_share:.0%} of its life is used up"
        steps.append(TraceStep("Worn, not due", share))
    shown = line.counted if amount is None else amount
    return TraceStep(line.title, _line_detail(line), shown, tuple(steps), line.key)


def _line_detail(line: Line) -> str:
    if line.left_out:
        return "left out"
    if line.covered_by:
        return f"done with: {line.covered_by}"
    if line.unpriced:
        return "not priced"
    if line.quote is not None:
        return f"quote of {line.quote.yard}"
    if line.part.allowed_for:
        return f"{line.chance:.0%} × {line.mean:,.0f}"
    return line.grade.value


def _prices(line: Line) -> list[TraceStep]:
    if line.quote is not None:
        on = f", {line.quote.on.isoformat()}" if line.quote.on else ""
        return [TraceStep(f"Quote of {line.quote.yard}{on}", "replaces the estimate")]
    priced = line.priced
    if priced is None:
        text = (
            f"{line.cost.lowest:,.0f} to {line.cost.highest:,.0f}, likely {line.cost.likely:,.0f}"
        )
        return [TraceStep("Own figure", text)]
    steps = [
        TraceStep(
            f"Labour, {one.trade.replace('-', ' ')}",
            f"{one.span.low:.1f} to {one.span.high:.1f} h, likely {one.span.likely:.1f}, "
            f"at {one.rate:,.2f} an hour",
            Decimal(repr(round(one.cost.mean * priced.count, 2))),
        )
        for one in priced.labour
    ]
    span = priced.materials_span
    if span.high:
        steps.append(
            TraceStep(
                "Materials and services",
                f"{span.low:,.0f} to {span.high:,.0f}, likely {span.likely:,.0f}",
                Decimal(repr(round(priced.materials_mean, 2))),
            )
        )
    if priced.count != 1:
        steps.append(TraceStep("Number", f"{priced.count:g}"))
    steps += [TraceStep("Scaled", note) for note in priced.scaling]
    source = "own figures" if priced.overridden else priced.source
    steps.append(TraceStep("Price from", source))
    return steps


def why_finding(finding: Finding) -> TraceStep:
    """One finding: its readings, the rules behind the grade, what raised its chance."""
    steps = [_reading(finding, one) for one in finding.judged]
    if finding.overruling is not None:
        steps.append(TraceStep("Overruled by hand", finding.overruling.reason))
    if finding.disagree:
        steps.append(TraceStep("People disagree", "the worst of their last readings counts"))
    if not finding.certain and finding.chance > 0:
        prior = (
            finding.evidence.steps[0].chance_before if finding.evidence.steps else finding.chance
        )
        steps.append(
            TraceStep("How common it is when nobody looked", f"{prior:.0%} at her age, assumed")
        )
        steps += [
            TraceStep(step.label, f"{step.chance_before:.0%} becomes {step.chance_after:.0%}")
            for step in finding.evidence.steps
        ]
    return TraceStep(finding.check.title, finding.grade.value, None, tuple(steps), finding.check.id)


def _reading(finding: Finding, judged: Judged) -> TraceStep:
    reading = judged.reading
    said = ", ".join(
        part for part in (reading.taken.isoformat() if reading.taken else "", reading.by) if part
    )
    rules = tuple(
        TraceStep(
            result.rule.says or result.rule.id.replace("-", " "),
            ". ".join(
                part
                for part in (
                    result.missing or f"{result.compared} → {result.grade.value}".lstrip(" →"),
                    result.rule.source.sentence(),
                    result.rule.scope,
                )
                if part
            ),
        )
        for result in judged.verdict.results
    )
    return TraceStep(shown_reading(finding.check, reading) or "read", said, None, rules)


def _access(charge: AccessCharge, amount: Decimal) -> TraceStep:
    users = len(charge.users)
    chance = "" if charge.chance_any >= 1 else f", needed with {charge.chance_any:.0%}"
    detail = f"once for {users} {'job' if users == 1 else 'jobs'}{chance}"
    return TraceStep(charge.task.title, detail, amount, (), charge.key)


def why_offer(boat: BoatAssessment) -> TraceStep:
    """The three prices and what they rest on."""
    offer = boat.offer
    limit = offer.limit
    return TraceStep(
        "Offer",
        "",
        offer.target,
        (
            TraceStep("Price anchor", offer.anchor.basis, offer.anchor.value),
            TraceStep("Claims", f"{len(boat.claim.lines)} findings", boat.claim.total),
            TraceStep("Opening", "asking price less claims, or your own", offer.opening),
            TraceStep("Target", "half-way from opening to walk-away", offer.target),
            TraceStep(
                "Walk-away",
                limit.why,
                limit.price,
                (
                    TraceStep("Budget allows", "at the chosen confidence", limit.budget_price),
                    TraceStep("Worth allows", "before another choice is better", limit.worth_price),
                ),
            ),
        ),
    )
