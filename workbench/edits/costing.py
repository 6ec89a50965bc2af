"""Edits of the ledger: remedies, changed figures, quotes, own lines, claims and offers."""

from __future__ import annotations

import dataclasses
import itertools

from workbench.domain.ledger import ClaimChoice, LineChange, OfferMade, OwnLine, Quote
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.project import Project

from .edit import NOTHING, Edit, Put
from .words import is_blank


def _path(boat_id: str, *rest: str) -> tuple[str, ...]:
    return ("boats", boat_id, "ledger", *rest)


def choose_remedy(
    project: Project, boat_id: str, check: str, remedy: str | None, title: str = ""
) -> Edit:
    """Choose among the remedies of a check; None goes back to the catalogue's first."""
    del project  # the signature is that of every other edit
    put = Put(_path(boat_id, "choices", check), NOTHING if remedy is None else remedy)
    return Edit(f"Remedy for {title or check}", (put,))


def change_line(
    project: Project, boat_id: str, key: str, change: LineChange, title: str = "", what: str = ""
) -> Edit:
    """Change the figures of a work line; a change that says nothing is taken off.

    Raises
    ------
    EntryError
        When a figure is negative, a chance is not one, or a rate is zero.
    """
    del project  # the signature is that of every other edit
    _refuse_bad_figures(change)
    value = NOTHING if change == LineChange() else change
    return Edit(
        f"{what or 'Figures'} of {title or key}",
        (Put(_path(boat_id, "changes", key), value),),
        f"{boat_id}/{key}/{what}",
    )


def _refuse_bad_figures(change: LineChange) -> None:
    spans = [*change.hours.values(), *([change.materials] if change.materials else [])]
    if any(span.low < 0 for span in spans):
        raise EntryError("Hours and materials cannot be negative.")
    if any(rate <= 0 for rate in change.rates.values()):
        raise EntryError("An hour costs more than nothing. Write a rate above 0.")
    if change.count is not None and change.count < 0:
        raise EntryError("There cannot be fewer than none of them.")
    if change.chance is not None and not 0 <= change.chance <= 1:
        raise EntryError("A chance lies between 0 and 100 %.")


def put_quote(project: Project, boat_id: str, quote: Quote) -> Edit:
    """Add a quote, or replace the one with its id; an empty id is made here.

    Raises
    ------
    EntryError
        When the amount is negative or no yard is named.
    """
    if quote.amount.amount < 0:
        raise EntryError("A quote cannot be negative.")
    if is_blank(quote.yard):
        raise EntryError("Say which yard or trade the quote is from.")
    quotes = project.boats[boat_id].ledger.quotes
    made = quote
    if not quote.id:
        made = dataclasses.replace(quote, id=_free_id("quote", {one.id for one in quotes}))
    others = tuple(_less_answered(one, made) for one in quotes if one.id != made.id)
    return Edit(f"Quote of {made.yard}", (Put(_path(boat_id, "quotes"), (*others, made)),))


def _less_answered(quote: Quote, newer: Quote) -> Quote:
    """A line is answered by one quote: the newer one takes it from the older."""
    kept = tuple(key for key in quote.answers if key not in newer.answers)
    return quote if kept == quote.answers else dataclasses.replace(quote, answers=kept)


def remove_quote(project: Project, boat_id: str, quote_id: str) -> Edit:
    """Take a quote away; the estimates of its lines come back."""
    quotes = project.boats[boat_id].ledger.quotes
    kept = tuple(one for one in quotes if one.id != quote_id)
    return Edit("Remove quote", (Put(_path(boat_id, "quotes"), kept),))


def put_own_line(project: Project, boat_id: str, line: OwnLine) -> Edit:
    """Add a job by hand, or replace the one with its id; an empty id is made here.

    Raises
    ------
    EntryError
        When it has no title or costs less than nothing.
    """
    if is_blank(line.title):
        raise EntryError("Say what the job is.")
    if line.cost.low < 0:
        raise EntryError("A job cannot cost less than nothing.")
    if not 0 <= line.chance <= 1 or not 0 <= line.claim_share <= 1:
        raise EntryError("A chance or a share lies between 0 and 100 %.")
    lines = project.boats[boat_id].ledger.own_lines
    made = line
    if not line.id:
        made = dataclasses.replace(line, id=_free_id("job", {one.id for one in lines}))
    known = any(one.id == made.id for one in lines)
    after = tuple(made if one.id == made.id else one for one in lines)
    word = "Change" if known else "Add"
    return Edit(
        f"{word} {made.title}",
        (Put(_path(boat_id, "own_lines"), after if known else (*lines, made)),),
        f"{boat_id}/own/{made.id}" if known else "",
    )


def remove_own_line(project: Project, boat_id: str, line_id: str) -> Edit:
    """Take an own job away."""
    lines = project.boats[boat_id].ledger.own_lines
    title = next((one.title for one in lines if one.id == line_id), "job")
    kept = tuple(one for one in lines if one.id != line_id)
    return Edit(f"Remove {title}", (Put(_path(boat_id, "own_lines"), kept),))


def set_claim(
    project: Project, boat_id: str, key: str, claim: ClaimChoice | None, title: str = ""
) -> Edit:
    """Include a finding in the claim or leave it, for another amount or in other words."""
    del project  # the signature is that of every other edit
    if claim is not None and claim.amount is not None and claim.amount.amount < 0:
        raise EntryError("A claim cannot be negative.")
    value = NOTHING if claim is None or claim == ClaimChoice() else claim
    return Edit(
        f"Claim for {title or key}",
        (Put(_path(boat_id, "claims", key), value),),
        f"{boat_id}/claim/{key}",
    )


def set_opening(project: Project, boat_id: str, price: Money | None) -> Edit:
    """Settle the opening price, or go back to the suggested one.

    Raises
    ------
    EntryError
        When it is negative.
    """
    del project  # the signature is that of every other edit
    if price is not None and price.amount < 0:
        raise EntryError("An opening price cannot be negative.")
    return Edit("Opening price", (Put(_path(boat_id, "opening"), price),), f"{boat_id}/opening")


def set_wording(project: Project, boat_id: str, paragraph: str, text: str | None) -> Edit:
    """Edit a paragraph of the offer sheet, or go back to the program's wording."""
    del project  # the signature is that of every other edit
    value = NOTHING if text is None else text
    path = _path(boat_id, "wording", paragraph)
    return Edit("Wording of the offer", (Put(path, value),), "/".join(path))


def put_offer(project: Project, boat_id: str, offer: OfferMade) -> Edit:
    """Add an offer that was made, or replace the one with its id.

    Raises
    ------
    EntryError
        When the price is negative.
    """
    if offer.price.amount < 0:
        raise EntryError("An offer cannot be negative.")
    offers = project.boats[boat_id].ledger.offers
    made = offer
    if not offer.id:
        made = dataclasses.replace(offer, id=_free_id("offer", {one.id for one in offers}))
    known = any(one.id == made.id for one in offers)
    after = tuple(made if one.id == made.id else one for one in offers)
    return Edit("Offer made", (Put(_path(boat_id, "offers"), after if known else (*offers, made)),))


def remove_offer(project: Project, boat_id: str, offer_id: str) -> Edit:
    """Take an offer off record."""
    offers = project.boats[boat_id].ledger.offers
    kept = tuple(one for one in offers if one.id != offer_id)
    return Edit("Remove offer", (Put(_path(boat_id, "offers"), kept),))


def _free_id(stem: str, taken: set[str]) -> str:
    numbered = (f"{stem}-{number}" for number in itertools.count(1))
    return next(one for one in numbered if one not in taken)
