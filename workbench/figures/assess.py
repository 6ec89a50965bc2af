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
from workbench.catalogue.model import Catalogue
from workbench.catalogue.names import fact_words
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import cents
from workbench.domain.problem import Problem, Severity
from workbench.domain.project import Candidate, Project
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Grade, When

from . import taxes
from .access_charges import access_left_out, charges, total_of
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
from .findings import Finding, Inspector, age_of, facts_of
from .ledger_lines import Workshop, by_job, quote_problems, with_quotes
from .narrow_ranges import narrow_problems
from .offers import NO_OFFER, Figured, with_offers
from .ordinary import ordinary_work
from .overlaps import without_doubles
from .percentiles import Floats, chance_within, estimate, percentiles
from .pricing import Tariff
from .purchase import asking_of, fee_draws, terms_for, worth_of

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
        self._desks: dict[str, Desk] = {}
        self._tariff: Tariff | None = None
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
        tariff = self._tariff_for(project, full)
        desks: dict[str, Desk] = {}
        for boat_id, candidate in project.boats.items():
            desk = self._desks.get(boat_id)
            if desk is None or desk.boat is not candidate.boat or desk.tariff is not tariff:
                desk = Desk(project, candidate, full, tariff, desk)
            desks[boat_id] = desk
        self._desks = desks
        figured = {boat_id: desk.figured(project.boats[boat_id]) for boat_id, desk in desks.items()}
        boats = with_offers(project, figured, full.wording)
        return Assessment(project, full, boats, (*_project_problems(tariff), *problems))

    def _tariff_for(self, project: Project, full: Catalogue) -> Tariff:
        """The tariff; a new one when anything is new that it or every boat rests on."""
        frame = (full, project.settings, project.overrides, project.comparables)
        same = len(frame) == len(self._frame) and all(
            new is old for new, old in zip(frame, self._frame, strict=True)
        )
        if self._tariff is None or not same:
            self._frame, self._tariff = frame, Tariff(project, full)
        return self._tariff


def _project_problems(tariff: Tariff) -> tuple[Problem, ...]:
    if not tariff.missing:
        return ()
    wording = tariff.wording
    where, remedy = wording.say("Settings, exchange rates"), wording.say("Add the rate.")
    return (Problem(where, tariff.missing, remedy),)


class Desk:
    """One boat's place at which she is figured, with what an edit of her readings leaves as is.

    Her particulars, the settings, the comparables and the tariff stay for the desk's life; what
    rests on them alone is worked out once. Findings and lines are made again where a reading or
    the ledger changed; everything that is added up from them is added up anew, in a fixed order.
    What an asking price, a budget or a comparable leaves as is is taken over from an earlier desk.
    """

    def __init__(
        self,
        project: Project,
        candidate: Candidate,
        catalogue: Catalogue,
        tariff: Tariff,
        before: Desk | None = None,
    ) -> None:
        self.boat, self.catalogue, self.tariff = candidate.boat, catalogue, tariff
        self.settings = project.settings
        self._ground = _ground_of(project, candidate.boat, catalogue)
        self._tools: tuple[Inspector, Workshop]
        if before is None or before._ground != self._ground:
            inspector = Inspector(candidate.boat, catalogue, project.settings.as_of)
            self._tools = (inspector, Workshop(candidate, catalogue, tariff))
        else:
            self._tools = before._tools
        self._abroad = catalogue.prices.currency != project.settings.currency
        self._asking, asking_problem = asking_of(candidate.boat, tariff)
        self._terms = terms_for(project.settings, candidate.boat)
        self._anchor = anchor_of(project, candidate.boat, self._asking, catalogue.wording)
        self._worth, worth_problems = worth_of(candidate.boat, project.settings, catalogue.wording)
        assumed = _assumed(candidate.boat, catalogue)
        self._problems = (*asking_problem, *worth_problems, *assumed)
        self._kept: tuple[Candidate, Figured] | None = None

    def figured(self, candidate: Candidate) -> Figured:
        """All figures of the boat that need no other boat."""
        if self._kept is None or self._kept[0] is not candidate:
            boat = self._assessed(candidate)
            made = Figured(boat, self._anchor, self._terms, candidate.boat.archived)
            self._kept = (candidate, made)
        return self._kept[1]

    def _assessed(self, candidate: Candidate) -> BoatAssessment:
        settings, ledger = self.settings, candidate.ledger
        currency = settings.currency
        inspector, workshop = self._tools[0], self._tools[1].reopened(ledger)
        findings = inspector.findings(candidate.inspection, ledger)
        prices = workshop.access_prices()
        means = {task: priced.cost.mean for task, priced in prices.items()}
        lines, quoted = with_quotes(workshop.lines(findings), ledger.quotes, means, self.tariff)
        lines = without_doubles(lines)
        jobs = by_job(lines)
        left_out = access_left_out(ledger)
        access = charges(jobs, self.catalogue, prices, quoted, left_out, self.boat.stream, currency)
        known = {line.key for line in lines} | {f"access/{task}" for task in prices}
        faults = quote_problems(self.boat.name, self.boat.id, ledger.quotes, known, self.tariff)
        return _assembled(
            candidate,
            findings,
            lines,
            access,
            draw_accounts(jobs_of(jobs), access, settings, abroad=self._abroad),
            claim_of(
                *(jobs, access, ledger, age_of(self.boat, settings.as_of), currency),
                self.catalogue.wording,
            ),
            None if self._asking is None else taxes.purchase_total(self._asking, self._terms),
            fee_draws(settings, self.boat),
            self._worth,
            (*self._problems, *faults, *narrow_problems(self.boat, lines, self.catalogue)),
            settings,
        )


def _ground_of(project: Project, boat: Boat, catalogue: Catalogue) -> tuple[object, ...]:
    """All that findings and lines rest on beside the readings and the ledger."""
    settings = project.settings
    return (
        catalogue,
        project.overrides.prices,
        (boat.dimensions, boat.facts, boat.year, boat.stream),
        (settings.as_of, settings.currency, settings.exchange, settings.rates),
        (settings.price_level, settings.own_rate, settings.own_hours_factor),
    )


def _assembled(
    candidate: Candidate,
    findings: tuple[Finding, ...],
    lines: list[Line],
    access: tuple[AccessCharge, ...],
    accounts: Accounts,
    claim: Claim,
    purchase: taxes.PurchaseTotal | None,
    fees: Floats,
    worth: Decimal,
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
    ) + total_of(access, "counted_later")
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
        bill_at_confidence=cents(
            percentiles(accounts.work + accounts.allowance, (float(settings.confidence),))[0],
            currency,
        ),
        worth_to_me=worth,
        chance_within_budget=None
        if settings.budget is None or purchase is None
        else chance_within(ready_draws, float(settings.budget)),
        problems=problems,
        currency=currency,
        draws=Draws(ready_draws),
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
    named = ", ".join(fact_words(catalogue, fact.id, facts[fact.id]) for fact in unstated[:4])
    more, wording = len(unstated) - 4, catalogue.wording
    return (
        Problem(
            wording.say("{boat}, fit-out", boat=boat.name),
            wording.say(
                "Not stated and taken as usual: {facts} and {n} more."
                if more > 0
                else "Not stated and taken as usual: {facts}.",
                facts=named,
                n=more,
            ),
            wording.say("State them: they decide which checks she gets."),
            Severity.NOTICE,
            boat.id,
            "facts",
        ),
    )


def _coverage(findings: tuple[Finding, ...], lines: list[Line]) -> Coverage:
    counts = dict.fromkeys(Grade, 0)
    for finding in findings:
        counts[finding.grade] += 1
    looked = sum(1 for finding in findings if finding.looked)
    left = sum(finding.check.minutes for finding in findings if not finding.looked)
    unpriced = sum(1 for line in lines if line.unpriced and not line.left_out)
    return Coverage(len(findings), looked, left, FrozenMap(counts), unpriced)
