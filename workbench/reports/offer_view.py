"""All that the offer-support sheet may know: a record of allowed fields, made from the figures.

The sheet goes to the seller. Its builder (`offer_sheet`) sees an `OfferView` and cannot reach the
project, so what is not named here cannot be printed. Kept back are the budget, the walk-away price
and what it rests on, the suggested opening and the target with their derivation, chances and
allowances, private notes, contacts, the names of people, the other boats, comparables, private and
unselected photos, jobs of the buyer's own that are not asked for, and findings the buyer left out.

The lower price on the sheet is the opening price that the buyer settled on. Where none was settled
it is the asking price less the claims, which the seller can add up from the sheet. Where that is
more than the buyer would pay, the sheet names no price and asks for the claims off whatever is
agreed: the suggested opening is then the walk-away price itself and must not be told.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from workbench.catalogue.model import Catalogue
from workbench.domain.frozen import FrozenMap
from workbench.domain.ledger import Quote
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Basis, Grade, When
from workbench.figures.assessment import BoatAssessment, ClaimLine, Line
from workbench.figures.findings import Finding
from workbench.figures.pricing import NOTHING, Limits
from workbench.figures.threepoint import LimitsReading, Shape, ThreePoint, quantile

from .views import Seen, boat_words, looked_on, price_book_words, seen
from .words import in_tens

_WHOLE_FROM = Decimal("0.97")
"""A claim in whole tens differs a little from the cost it claims whole."""


@dataclass(frozen=True, slots=True)
class ShownQuote:
    """A quote as it is named on the sheet."""

    yard: str
    on: date | None
    valid_until: date | None


@dataclass(frozen=True, slots=True)
class OfferItem:
    """One finding that is put to the seller.

    Attributes
    ----------
    seen
        None for a job that rests on no check.
    low, likely, high
        What the work costs with its share of the shared work, in tens: the likely cost, and what it
        stays above and below nine times in ten each.
    claimed
        What is asked, exactly as it counts in the claim.
    share
        Claimed over likely cost.
    wording
        The buyer's own words in place of the reason.
    quotes
        Where the cost comes from in place of the price book.
    """

    key: str
    title: str
    seen: Seen | None
    grade: Grade | None
    work: tuple[str, ...]
    when: When
    low: Decimal
    likely: Decimal
    high: Decimal
    claimed: Decimal
    share: float
    why: str
    wording: str
    basis: str
    quotes: tuple[ShownQuote, ...]

    @property
    def claimed_whole(self) -> bool:
        """Whether all of the work is asked for."""
        return self.claimed >= self.likely * _WHOLE_FROM and self.claimed > 0


@dataclass(frozen=True, slots=True)
class SharedWork:
    """Work that must be done first, and how many of the listed jobs it serves."""

    title: str
    jobs: int


@dataclass(frozen=True, slots=True)
class OfferView:
    """Everything the sheet may say.

    Attributes
    ----------
    on
        The day of the sheet.
    opening
        The price that the buyer settled on; None where it follows from asking price and claims.
    names_price
        False where asking price less claims is no price that the buyer would put in writing.
    items
        What is due or claimed, in the order in which it is put.
    wear
        Worn and not claimed.
    unseen
        What could not be seen, weightiest first.
    wording
        The buyer's own words for paragraphs, by the ids in `offer_sheet.WORDING`.
    """

    boat: str
    words: str
    lies_at: str
    currency: str
    on: date
    looked_on: tuple[date, ...]
    looked: int
    found_sound: int
    asking: Decimal | None
    opening: Decimal | None
    names_price: bool
    items: tuple[OfferItem, ...]
    claim_total: Decimal
    wear: tuple[OfferItem, ...]
    unseen: tuple[Seen, ...]
    shared: tuple[SharedWork, ...]
    quotes: tuple[ShownQuote, ...]
    price_book: str
    wording: FrozenMap[str, str]

    @property
    def lower_price(self) -> Decimal | None:
        """The price proposed for the boat as she lies.

        None where no price is known, none is to be named, or the claims eat it up.
        """
        if self.opening is not None:
            return self.opening
        if self.asking is None or not self.names_price or self.asking <= self.claim_total:
            return None
        return self.asking - self.claim_total

    @property
    def price_with_work(self) -> Decimal | None:
        """The price at which the wholly claimed work is done by the seller: of equal worth."""
        return None if self.lower_price is None else self.lower_price + self.claimed_whole

    @property
    def claimed_whole(self) -> Decimal:
        """What is claimed for work that is claimed whole."""
        return sum((one.claimed for one in self.items if one.claimed_whole), Decimal(0))


def offer_view(boat: BoatAssessment, catalogue: Catalogue, on: date) -> OfferView:
    """What of a boat's figures the seller may see, on a day."""
    record, ledger = boat.candidate.boat, boat.candidate.ledger
    shown = [one for one in boat.claim.lines if _is_put(one)]
    shared = _shared_costs(boat)
    items = [_item(one, boat, catalogue, shared) for one in shown]
    put = sorted(
        (one for one in items if one.claimed > 0 or (one.grade and one.grade.needs_work)),
        key=lambda one: (-_severity(one), -one.claimed, one.key),
    )
    wear = [one for one in items if one not in put]
    return OfferView(
        boat=record.name,
        words=boat_words(record, catalogue),
        lies_at=record.lies_at,
        currency=boat.currency,
        on=on,
        looked_on=looked_on(boat.candidate.inspection),
        looked=boat.coverage.looked,
        found_sound=boat.coverage.grades[Grade.SOUND],
        asking=boat.asking,
        opening=ledger.opening.amount if ledger.opening is not None else None,
        names_price=not boat.offer.held_down,
        items=tuple(put),
        claim_total=sum((one.claimed for one in put), Decimal(0)),
        wear=tuple(wear),
        unseen=_unseen(boat, catalogue),
        shared=_shared(boat, shown),
        quotes=_quotes(line for one in shown for line in one.lines),
        price_book=price_book_words(catalogue),
        wording=ledger.wording,
    )


def _is_put(line: ClaimLine) -> bool:
    """Whether a claim line is any of the seller's business."""
    if not line.choice.included:
        return False
    if line.finding is None:
        return line.amount > 0  # a job of the buyer's own is shown only where it is asked for
    return line.finding.grade in (Grade.WORN, Grade.DUE, Grade.UNSAFE)


def _severity(item: OfferItem) -> int:
    return item.grade.severity if item.grade else Grade.DUE.severity


def _item(
    line: ClaimLine, boat: BoatAssessment, catalogue: Catalogue, shared: Mapping[str, Limits]
) -> OfferItem:
    inspection = boat.candidate.inspection
    finding = line.finding
    remedy = line.lines[0].remedy
    part = shared.get(line.lines[0].job, NOTHING)
    low, likely, high = _range(line, part)
    return OfferItem(
        key=line.key,
        title=line.title,
        seen=seen(finding, boat.id, inspection, catalogue) if finding else None,
        grade=finding.grade if finding else None,
        work=(remedy.title,) if remedy else (),
        when=line.lines[0].when,
        low=low,
        likely=likely,
        high=high,
        claimed=line.amount,
        share=float(line.amount / line.full) if line.full else 0.0,
        why=line.why,
        wording=line.choice.wording,
        basis=_basis(line.lines, price_book_words(catalogue), shared=part != NOTHING),
        quotes=_quotes(line.lines),
    )


def _range(line: ClaimLine, shared: Limits) -> tuple[Decimal, Decimal, Decimal]:
    """Low, likely and high cost of a claim line in tens, the ends passed one time in ten each."""
    cost = functools.reduce(Limits.plus, (one.cost for one in line.lines), shared)
    likely = in_tens(line.full)
    if cost.lowest == cost.highest:
        return likely, likely, likely
    point = ThreePoint(*cost, Shape.PERT, LimitsReading.ABSOLUTE)
    low, high = (in_tens(Decimal(repr(float(quantile(point, at))))) for at in (0.1, 0.9))
    return min(low, likely), likely, max(high, likely)


def _shared_costs(boat: BoatAssessment) -> dict[str, Limits]:
    """Each found job's equal part of the access work that found jobs need, as the claim has it."""
    allowed = {one.job for one in boat.lines if one.part.allowed_for}
    shares: dict[str, Limits] = {}
    for charge in boat.access:
        users = [job for job in charge.users if job not in allowed]
        for job in users if not charge.left_out else ():
            part = charge.cost.times(1 / len(users))
            shares[job] = shares.get(job, NOTHING).plus(part)
    return shares


def _basis(lines: Iterable[Line], price_book: str, *, shared: bool) -> str:
    """What the costs of some lines rest on, quotes apart."""
    words = {
        Basis.PRICE_BOOK: price_book,
        Basis.OWN_ENTRY: "our own estimate",
        Basis.INVOICE: "an invoice for like work",
        Basis.GUESS: "a rough estimate",
    }
    found = dict.fromkeys(words[one.basis] for one in lines if one.basis in words)
    if shared and not found:
        return f"its part of the shared work from the {price_book}"
    return " and ".join(found)


def _quotes(lines: Iterable[Line]) -> tuple[ShownQuote, ...]:
    found: dict[str, Quote] = {one.quote.id: one.quote for one in lines if one.quote is not None}
    return tuple(ShownQuote(one.yard, one.on, one.valid_until) for one in found.values())


def _shared(boat: BoatAssessment, shown: Iterable[ClaimLine]) -> tuple[SharedWork, ...]:
    """The access work inside the listed costs, each task once however often it is charged."""
    jobs = {one.lines[0].job for one in shown}
    served: dict[str, set[str]] = {}
    for charge in boat.access:
        if not charge.left_out:
            served.setdefault(charge.task.title, set()).update(jobs.intersection(charge.users))
    return tuple(SharedWork(title, len(users)) for title, users in served.items() if users)


def _unseen(boat: BoatAssessment, catalogue: Catalogue) -> tuple[Seen, ...]:
    """What nobody could see, the weightiest first; the weights themselves stay here."""
    weights: dict[str, Decimal] = {}
    for line in boat.lines:
        if line.finding is not None:
            key = line.finding.check.id
            weights[key] = weights.get(key, Decimal(0)) + line.counted
    unseen = [one for one in boat.findings if _is_condition(one)]
    unseen.sort(key=lambda one: -weights.get(one.check.id, Decimal(0)))
    inspection = boat.candidate.inspection
    return tuple(seen(one, boat.id, inspection, catalogue) for one in unseen)


def _is_condition(finding: Finding) -> bool:
    return finding.grade is Grade.UNSEEN and not finding.check.not_claimed_unseen
