"""The whole computation: `assess(project, catalogue)` gives everything that is figured.

It is pure: the same project and catalogue give the same figures bit for bit. A boat's figures
depend on her own record, the settings, the comparables and the buyer's own prices, and on nothing
of the other boats except the walk-away price, which looks at the best of them; so boats are figured
one by one and `Assessor` keeps those whose record did not change.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from workbench.catalogue.loading import with_overrides
from workbench.catalogue.model import Catalogue, Choice
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import cents
from workbench.domain.problem import Problem, Severity
from workbench.domain.project import Candidate, Project
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Grade, When

from . import taxes
from .access_charges import charges, total_of
from .anchor import anchor_of
from .assessment import (
    SAILING,
    AccessCharge,
    Assessment,
    BoatAssessment,
    Claim,
    Coverage,
    Draws,
    Line,
    Part,
    Total,
)
from .boat_draws import Accounts, draw_accounts, jobs_of
from .claims import claim_of
from .finance import spv
from .findings import Finding, age_of, facts_of, findings_of
from .ledger_lines import Workshop, by_job, quote_problems, with_quotes
from .offers import NO_OFFER, Figured, with_offers
from .ordinary import ordinary_work
from .percentiles import Floats, chance_within, estimate
from .pricing import Tariff, access_prices
from .purchase import asking_of, fee_draws, terms_for

_ZERO = Decimal(0)
_MIDDLE_OF_FIVE_YEARS = 3.0
"""Five-year work is taken as falling in the middle of years one to five."""


def assess(project: Project, catalogue: Catalogue) -> Assessment:
    """Everything that is figured for a project."""
    return Assessor().assess(project, catalogue)


class Assessor:
    """`assess` with a memory: boats whose record did not change are not figured again."""

    def __init__(self) -> None:
        self._frame: tuple[object, ...] = ()
        self._kept: dict[str, tuple[Candidate, Figured]] = {}
        self._catalogue: tuple[object, object, Catalogue, tuple[Problem, ...]] | None = None

    def catalogue_of(
        self, project: Project, catalogue: Catalogue
    ) -> tuple[Catalogue, tuple[Problem, ...]]:
        """The catalogue with the project's own checks, and what is wrong with them."""
        held = self._catalogue
        if held is None or held[0] is not catalogue or held[1] is not project.overrides.checks:
            loaded = with_overrides(catalogue, project.overrides)
            held = (catalogue, project.overrides.checks, loaded.catalogue, loaded.problems)
            self._catalogue = held
        return held[2], held[3]

    def assess(self, project: Project, catalogue: Catalogue) -> Assessment:
        """Everything that is figured for a project, reusing what did not change."""
        full, problems = self.catalogue_of(project, catalogue)
        frame = (full, project.settings, project.overrides, project.comparables)
        if len(frame) != len(self._frame) or any(
            new is not old for new, old in zip(frame, self._frame, strict=True)
        ):
            self._frame, self._kept = frame, {}
        tariff = Tariff(project, full)
        figured: dict[str, Figured] = {}
        for boat_id, candidate in project.boats.items():
            kept = self._kept.get(boat_id)
            fresh = kept is None or kept[0] is not candidate
            made = _figure(project, candidate, full, tariff) if fresh or kept is None else kept[1]
            figured[boat_id] = made
            self._kept[boat_id] = (candidate, made)
        self._kept = {boat_id: self._kept[boat_id] for boat_id in project.boats}
        boats = with_offers(project, figured)
        return Assessment(project, full, boats, (*_project_problems(tariff), *problems))


def _project_problems(tariff: Tariff) -> tuple[Problem, ...]:
    if not tariff.missing:
        return ()
    return (Problem("Settings, exchange rates", tariff.missing, "Add the rate."),)


def _figure(
    project: Project, candidate: Candidate, catalogue: Catalogue, tariff: Tariff
) -> Figured:
    """All figures of one boat that need no other boat."""
    settings, boat, ledger = project.settings, candidate.boat, candidate.ledger
    currency = settings.currency
    findings = findings_of(candidate, catalogue, settings.as_of)
    workshop = Workshop(candidate, catalogue, tariff)
    prices = access_prices(catalogue, tariff, boat, ledger.changes)
    means = {task: priced.cost.mean for task, priced in prices.items()}
    lines, quoted = with_quotes(workshop.lines(findings), ledger.quotes, means, tariff)
    jobs = by_job(lines)
    left_out = frozenset(
        key.removeprefix("access/")
        for key, change in ledger.changes.items()
        if change.left_out and key.startswith("access/")
    )
    access = charges(jobs, catalogue, prices, quoted, left_out, boat.stream, currency)
    accounts = draw_accounts(jobs_of(jobs), access, settings)
    claim = claim_of(jobs, access, ledger, age_of(boat, settings.as_of), currency)
    asking, asking_problem = asking_of(boat, tariff)
    terms = terms_for(settings, boat)
    purchase = taxes.purchase_total(asking, terms) if asking is not None else None
    fees = fee_draws(settings, boat, accounts.work)
    known = {line.key for line in lines} | {f"access/{task}" for task in prices}
    problems = (
        *asking_problem,
        *_assumed(boat, catalogue),
        *quote_problems(boat.name, boat.id, ledger.quotes, known, tariff),
    )
    anchor = anchor_of(project, boat, asking)
    assessment = _assembled(
        candidate, findings, lines, access, accounts, claim, purchase, fees, problems, settings
    )
    return Figured(assessment, anchor, terms, boat.archived)


def _assembled(
    candidate: Candidate,
    findings: tuple[Finding, ...],
    lines: list[Line],
    access: tuple[AccessCharge, ...],
    accounts: Accounts,
    claim: Claim,
    purchase: taxes.PurchaseTotal | None,
    fees: Floats,
    problems: tuple[Problem, ...],
    settings: Settings,
) -> BoatAssessment:
    currency = settings.currency
    deferred = _sum(line.deferred for line in lines) + total_of(access, "deferred")
    allowed = [line for line in lines if line.part.allowed_for]
    allowance = _sum(line.counted for line in allowed) + total_of(access, "counted_allowed")
    sailing = [line for line in lines if not line.part.allowed_for and line.when in SAILING]
    work = _sum(line.counted for line in sailing) + total_of(access, "counted_found")
    found = [line for line in lines if line.part in (Part.DUE, Part.OWN)]
    due = _sum(line.counted for line in found) + total_of(access, "deferred")
    ordinary = cents(ordinary_work(by_job(lines), access), currency)
    bought = purchase.total if purchase else _ZERO
    ready_draws = float(bought) + fees + accounts.work + accounts.allowance
    later = _sum(
        line.counted for line in lines if line.when is When.FIVE_YEARS and not line.part.allowed_for
    )
    return BoatAssessment(
        candidate=candidate,
        findings=findings,
        lines=tuple(lines),
        access=access,
        coverage=_coverage(findings, lines),
        purchase=purchase,
        deferred=total_from(deferred, accounts.deferred, currency),
        allowance=total_from(allowance, accounts.allowance, currency),
        work=total_from(work, accounts.work, currency),
        cost_to_ready=total_from(bought + work + allowance, ready_draws, currency),
        later_work=later,
        later_work_now=cents(
            float(later) * spv(float(settings.discount_percent) / 100, _MIDDLE_OF_FIVE_YEARS),
            currency,
        ),
        claim=claim,
        offer=NO_OFFER,
        ordinary_work=ordinary,
        excess_work=due + allowance - ordinary,
        chance_within_budget=None
        if settings.budget is None or purchase is None
        else chance_within(ready_draws, float(settings.budget)),
        problems=problems,
        currency=currency,
        draws=Draws(accounts.deferred, accounts.allowance, accounts.work, ready_draws),
    )


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, _ZERO)


def total_from(mean: Decimal, draws: Floats, currency: str) -> Total:
    """A total from the sum of its shown parts and its draws."""
    found = estimate(draws, float(mean))
    p10, p50, p80, p90, drawn = (
        cents(one, currency)
        for one in (found.p10, found.p50, found.p80, found.p90, found.drawn_mean)
    )
    return Total(mean, p10, p50, p80, p90, drawn, found.standard_error, found.p80_standard_error)


def _assumed(boat: Boat, catalogue: Catalogue) -> tuple[Problem, ...]:
    """A notice for the fit-out facts that were not stated and are taken as the usual."""
    unstated = [fact for name, fact in catalogue.facts.items() if name not in boat.facts]
    if not unstated:
        return ()
    facts = facts_of(boat, catalogue)
    named = ", ".join(
        f"{fact.label.lower()} {_label(fact.choices, facts[fact.id])}" for fact in unstated[:4]
    )
    more = f" and {len(unstated) - 4} more" if len(unstated) > 4 else ""
    return (
        Problem(
            f"{boat.name}, fit-out",
            f"Not stated and taken as usual: {named}{more}.",
            "State them: they decide which checks she gets.",
            Severity.NOTICE,
            boat.id,
            "facts",
        ),
    )


def _label(choices: Iterable[Choice], wanted: str) -> str:
    return next((one.label for one in choices if one.id == wanted), wanted)


def _coverage(findings: tuple[Finding, ...], lines: list[Line]) -> Coverage:
    counts = dict.fromkeys(Grade, 0)
    for finding in findings:
        counts[finding.grade] += 1
    looked = sum(1 for finding in findings if finding.looked)
    left = sum(finding.check.minutes for finding in findings if not finding.looked)
    unpriced = sum(1 for line in lines if line.unpriced and not line.left_out)
    return Coverage(len(findings), looked, left, FrozenMap(counts), unpriced)
