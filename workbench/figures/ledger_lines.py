"""From findings to work lines: what each remedy takes on this boat, quotes put in, chances applied.

A finding that needs work gives the lines of its chosen remedy; a worn one gives them too, for
later; an unseen one gives the lines of the remedy that would be due, as a chance. Quotes replace
the estimates of the lines they answer, shared out to the cent. Nothing is drawn here.
"""

from __future__ import annotations

import dataclasses
import sys
from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal
from typing import NamedTuple

from workbench.catalogue.model import Catalogue, Check, Remedy, WorkLine
from workbench.domain.boat import Boat
from workbench.domain.ledger import Ledger, LineChange, OwnLine, Quote
from workbench.domain.money import cents, share_out
from workbench.domain.problem import Problem
from workbench.domain.project import Candidate
from workbench.domain.span import Shape
from workbench.domain.vocabulary import Basis, Grade, When

from . import threepoint
from .assessment import Line, Part
from .draws import stream_for
from .exchange import exchanged
from .findings import Finding
from .pricing import NOTHING, Limits, Priced, Tariff, access_prices, count_of, limits_of
from .sharing import closure

NO_CHANGE = LineChange()
_ZERO = Decimal(0)


class Workshop:
    """What is needed to turn findings of one boat into lines, with a memory of the lines made.

    A line rests on its finding, on what the buyer changed about it, and on the boat's particulars
    and the tariff, which stay for the workshop's life. Where neither finding nor changes are new
    the very same lines are answered.
    """

    def __init__(self, candidate: Candidate, catalogue: Catalogue, tariff: Tariff) -> None:
        self.boat: Boat = candidate.boat
        self.ledger = candidate.ledger
        self.catalogue = catalogue
        self.tariff = tariff
        self.currency = tariff.settings.currency
        self.needs = closure({one.id: one.requires for one in catalogue.access.values()})
        self._made: dict[str, tuple[Finding, tuple[LineChange | None, ...], list[Line]]] = {}
        self._own_made: dict[str, Line] = {}
        self._own_changes: dict[str, LineChange] = {}
        self._access: dict[tuple[str, ...], tuple[str, ...]] = {}
        self._access_prices: tuple[tuple[LineChange, ...], dict[str, Priced]] | None = None

    def reopened(self, ledger: Ledger) -> Workshop:
        """The same workshop for a later state of the ledger."""
        self.ledger = ledger
        return self

    def lines(self, findings: Iterable[Finding]) -> list[Line]:
        """All lines of the boat at their estimates, without quotes."""
        made: list[Line] = []
        for finding in findings:
            made += self._of_finding(finding)
        return made + [self._own_line(line) for line in self.ledger.own_lines]

    def access_prices(self) -> dict[str, Priced]:
        """Every access task priced for the boat, by task id."""
        keys = (f"access/{task}" for task in self.catalogue.access)
        changes = tuple(self.ledger.changes.get(key, NO_CHANGE) for key in keys)
        if self._access_prices is None or self._access_prices[0] != changes:
            priced = access_prices(self.catalogue, self.tariff, self.boat, self.ledger.changes)
            self._access_prices = (changes, priced)
        return self._access_prices[1]

    def _of_finding(self, finding: Finding) -> list[Line]:
        remedy, part = finding.remedy, part_of(finding)
        if part is None or remedy is None or not remedy.work:
            return []
        job = job_of(finding.check, remedy)
        changes = tuple(self.ledger.changes.get(f"{job}/{work.id}") for work in remedy.work)
        held = self._made.get(finding.check.id)
        if held is not None and held[0] is finding and held[1] == changes:
            return held[2]
        made = self._of_remedy(finding, remedy, part)
        self._made[finding.check.id] = (finding, changes, made)
        return made

    def _of_remedy(self, finding: Finding, remedy: Remedy, part: Part) -> list[Line]:
        access = self.access_of(remedy.access)
        return [self._line(finding, remedy, line, part, access) for line in remedy.work]

    def access_of(self, tasks: tuple[str, ...]) -> tuple[str, ...]:
        """Access tasks with all that they need, in the catalogue's order."""
        known = self._access.get(tasks)
        if known is None:
            wanted = {need for task in tasks for need in (task, *self.needs.get(task, ()))}
            known = tuple(name for name in self.catalogue.access if name in wanted)
            self._access[tasks] = known
        return known

    def _line(
        self,
        finding: Finding,
        remedy: Remedy,
        work: WorkLine,
        part: Part,
        access: tuple[str, ...],
    ) -> Line:
        job = job_of(finding.check, remedy)
        key = sys.intern(f"{job}/{work.id}")
        change = self._change_of(key, remedy)
        reading = finding.counting.reading if finding.counting else None
        count, note = count_of(work, self.boat, reading, self.catalogue)
        priced = self._priced(work, count, change, remedy)
        unpriced = self._why_unpriced(priced is not None)
        cost = priced.cost if priced is not None and not unpriced else NOTHING
        mean = cost.mean
        chance = finding.chance if change.chance is None else float(change.chance)
        when = change.when or remedy.when
        counts = not (change.left_out or unpriced or when is When.WISH)
        counted_for = cents(chance * mean, self.currency) if counts else _ZERO
        return Line(
            key=key,
            job=job,
            title=work.title,
            system=finding.check.system,
            grade=finding.grade,
            part=part,
            when=when,
            cost=cost,
            mean=mean,
            chance=chance,
            counted=counted_for,
            deferred=_deferred(part, finding, counted_for, self.currency),
            access=access,
            basis=priced.basis if priced else Basis.GUESS,
            driver=_driver(priced.labour_mean, priced.materials_mean, change.own_work)
            if priced
            else "",
            stream=stream_for(self.boat.stream, job),
            finding=finding,
            remedy=remedy,
            priced=priced,
            left_out=change.left_out,
            own_work=change.own_work,
            unpriced=unpriced,
            note=" ".join(part for part in (note, change.note) if part),
        )

    def _change_of(self, key: str, remedy: Remedy) -> LineChange:
        """What the buyer changed; own work only where a handy owner may do it."""
        change = self.ledger.changes.get(key, NO_CHANGE)
        if change.own_work and not remedy.own.may:
            return dataclasses.replace(change, own_work=False)
        return change

    def _priced(
        self, work: WorkLine, count: float, change: LineChange, remedy: Remedy
    ) -> Priced | None:
        item = self.catalogue.prices.items.get(work.item)
        if item is None:
            return None
        return self.tariff.priced(item, self.boat, count, change, remedy.own.hours_share)

    def cost_of(self, finding: Finding, remedy: Remedy) -> float:
        """Mean cost of a remedy on this boat, whether or not it is the chosen one."""
        part = part_of(finding) or Part.DUE
        return sum(line.mean for line in self._of_remedy(finding, remedy, part))

    def _why_unpriced(self, known: bool) -> str:
        if not known:
            return self.catalogue.wording.say("The price book has no price for it.")
        return self.tariff.missing

    def _own_line(self, own: OwnLine) -> Line:
        change = self.ledger.changes.get(f"own/{own.id}")
        held = self._own_made.get(own.id)
        if held is not None and held.own is own and self._own_changes.get(own.id) == change:
            return held
        made = self._own(own, change or NO_CHANGE)
        self._own_made[own.id] = made
        self._own_changes.pop(own.id, None)
        if change is not None:
            self._own_changes[own.id] = change
        return made

    def _own(self, own: OwnLine, change: LineChange) -> Line:
        key = sys.intern(f"own/{own.id}")  # boats share the keys of their lines
        if own.shape is Shape.TRIANGLE:
            cost = limits_of(own.cost, threepoint.Shape.TRIANGULAR)
            mean = cost.mean_of_triangle
        else:
            cost = limits_of(own.cost)
            mean = cost.mean
        chance, when = float(own.chance), change.when or own.when
        counts = not (change.left_out or when is When.WISH)
        amount = cents(chance * mean, self.currency) if counts else _ZERO
        return Line(
            key=key,
            job=key,
            title=own.title,
            system=own.system,
            grade=Grade.DUE,
            part=Part.OWN,
            when=when,
            cost=cost,
            mean=mean,
            chance=chance,
            counted=amount,
            deferred=amount,
            access=self.access_of(own.access),
            basis=own.basis,
            driver="yard",
            stream=stream_for(self.boat.stream, key),
            own=own,
            left_out=change.left_out,
            note=own.note,
        )


def job_of(check: Check, remedy: Remedy) -> str:
    """Key of the lines that a remedy's work makes: they are needed together."""
    return sys.intern(f"{check.id}/{remedy.id}")


_PARTS = {
    Grade.DUE: Part.DUE,
    Grade.UNSAFE: Part.DUE,
    Grade.WORN: Part.WORN,
    Grade.UNSEEN: Part.UNSEEN,
    Grade.SOUND: Part.HIDDEN,
}


def part_of(finding: Finding) -> Part | None:
    """Which part of the account a finding's work belongs to; None when there is none."""
    return _PARTS.get(finding.grade)


def _driver(labour: float, materials: float, own_work: bool) -> str:
    """The shared factor a line moves with: that of its larger part."""
    if own_work:
        return "own"
    return "yard" if labour >= materials else "parts"


def counted(line: Line, currency: str) -> Line:
    """The line with what it counts for, from its mean, chance and part."""
    amount = cents(line.chance * line.mean, currency) if line.counts else _ZERO
    deferred = _deferred(line.part, line.finding, amount, currency)
    return dataclasses.replace(line, counted=amount, deferred=deferred)


def _deferred(part: Part, finding: Finding | None, amount: Decimal, currency: str) -> Decimal:
    """The part of an amount that is deferred maintenance."""
    if part in (Part.DUE, Part.OWN):
        return amount
    if part is Part.WORN and finding is not None:
        return cents(amount * finding.used_share, currency)
    return _ZERO


class QuotedAccess(NamedTuple):
    """The share of a quote that is for an access task."""

    quote: Quote
    amount: Decimal


def with_quotes(
    lines: list[Line],
    quotes: tuple[Quote, ...],
    access_means: Mapping[str, float],
    tariff: Tariff,
) -> tuple[list[Line], dict[str, QuotedAccess]]:
    """The lines with quotes in place of the estimates they answer, and the quoted access tasks.

    A quote is shared among what it answers in proportion to the estimates. One that also answers
    work that is no longer in the ledger is left out whole, because nobody can say which part of it
    still holds; `quote_problems` says so.
    """
    made = {line.key: line for line in lines}
    access: dict[str, QuotedAccess] = {}
    currency = tariff.settings.currency
    for quote in quotes:
        amount = quote_amount(quote, tariff)
        means = [_mean_of(key, made, access_means) for key in quote.answers]
        known = [Decimal(repr(mean)) for mean in means if mean is not None]
        if amount is None or not known or len(known) != len(means):
            continue
        for key, share in zip(quote.answers, share_out(amount, known, currency), strict=True):
            if key in made:
                made[key] = _quoted(made[key], quote, share, currency)
            else:
                access[key.removeprefix("access/")] = QuotedAccess(quote, share)
    return list(made.values()), access


def _mean_of(
    key: str, lines: Mapping[str, Line], access_means: Mapping[str, float]
) -> float | None:
    if key in lines:
        return lines[key].mean
    return access_means.get(key.removeprefix("access/")) if key.startswith("access/") else None


def quote_problems(
    boat_name: str, boat_id: str, quotes: tuple[Quote, ...], known: Collection[str], tariff: Tariff
) -> list[Problem]:
    """Quotes that cannot be put in: for work that is not there, or in an unknown currency."""
    found: list[Problem] = []
    wording = tariff.wording
    for quote in quotes:
        where = wording.say("{boat}, quote of {yard}", boat=boat_name, yard=quote.yard)
        if quote_amount(quote, tariff) is None:
            code = quote.amount.currency
            found.append(
                Problem(
                    where,
                    wording.say("It is in {code} and there is no rate for {code}.", code=code),
                    wording.say("Add the rate in the settings."),
                    boat=boat_id,
                    key=quote.id,
                )
            )
        elif not quote.answers:
            found.append(
                Problem(
                    where,
                    wording.say("It answers no line, so it counts nothing."),
                    wording.say("Tick the lines that it is for."),
                    boat=boat_id,
                    key=quote.id,
                )
            )
        elif any(key not in known for key in quote.answers):
            found.append(
                Problem(
                    where,
                    wording.say(
                        "It answers work that is no longer in the ledger, so it is left out."
                    ),
                    wording.say("Tick the lines that it is for."),
                    boat=boat_id,
                    key=quote.id,
                )
            )
    return found


def _quoted(line: Line, quote: Quote, share: Decimal, currency: str) -> Line:
    fixed = Limits(float(share), float(share), float(share))
    replaced = dataclasses.replace(
        line,
        cost=fixed,
        mean=float(share),
        quote=quote,
        basis=Basis.QUOTE,
        driver="",
        unpriced="",
        own_work=False,
    )
    return counted(replaced, currency)


def quote_amount(quote: Quote, tariff: Tariff) -> Decimal | None:
    """A quote in the project's currency; None where there is no exchange rate for it."""
    return exchanged(quote.amount, tariff.settings)


def by_job(lines: Iterable[Line]) -> Mapping[str, tuple[Line, ...]]:
    """Lines that count, by the job that they belong to, in order."""
    made: dict[str, tuple[Line, ...]] = {}
    for line in lines:
        if line.counts:
            made[line.job] = (*made.get(line.job, ()), line)
    return made
