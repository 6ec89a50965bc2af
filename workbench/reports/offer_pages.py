"""The pages behind the summary of the offer-support sheet: findings one by one, and the end.

What is claimed has its reading, its meaning, its work and cost with what the cost rests on, and
the reason. What is ordinary wear is named and not claimed. What could not be seen is listed with
who should see it. Then conditions and dates. What the sheet is not stands on its first page.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from decimal import Decimal

from workbench.domain.vocabulary import Grade

from .document import (
    Block,
    Cell,
    Column,
    Fact,
    Finding,
    Heading,
    Kind,
    Points,
    Prose,
    RangeBar,
    Row,
    Table,
    Together,
    Tone,
)
from .offer_view import OfferItem, OfferView, ShownQuote
from .parts import by_system, photo_of
from .views import Seen
from .words import (
    WHEN_WORDS,
    a_or_an,
    capital,
    clipped,
    day,
    listed,
    percent,
    price,
    sentence,
    whole,
)

HOLDS_DAYS = 21
WHAT_IT_IS = (
    "Notes of a careful buyer, made with simple tools. It is not a survey, gives no warranty, and "
    "replaces neither a qualified surveyor nor licensed trades. Local codes and the contract of "
    "sale come first."
)
_HOW_TO_READ = (
    "Likely costs and ranges are rounded to tens and include each line's share of the shared "
    "work. A range is what the work stays above, and below, nine times in ten each. The range "
    "of a sum adds the ends up, so the sum itself will rarely come near them. Claims are asked "
    "exactly as they stand. Grades: sound, worn (serviceable, plan for it), due (work due "
    "now), unsafe (not to be used until put right)."
)


def cost_words(item: OfferItem) -> tuple[str, str]:
    """The likely cost, and its range or that it is a quote."""
    if item.quotes and item.low == item.high:
        return whole(item.likely), "by quote"
    spread = f"{whole(item.low)} to {whole(item.high)}" if item.high > item.low else ""
    return whole(item.likely), spread


def findings(view: OfferView) -> tuple[Block, ...]:
    """The findings, one by one."""
    if not view.items:
        return (Heading("Findings"), Prose("Nothing was found that is due."))
    most = max(one.high for one in view.items)
    blocks: list[Block] = [
        Heading("The findings, one by one"),
        Prose(_HOW_TO_READ, Tone.SMALL, lead="How to read the figures."),
    ]
    blocks += [_finding(one, view, most) for one in view.items]
    return tuple(blocks)


def _finding(item: OfferItem, view: OfferView, most: Decimal) -> Finding:
    found = item.seen
    bar = RangeBar(item.low, item.likely, item.high, most) if item.high > item.low else None
    facts: list[Fact] = _seen_facts(found) if found else []
    facts.append(Fact("Work", _work_words(listed(item.work) or item.title, WHEN_WORDS[item.when])))
    facts.append(Fact("Cost", _cost_sentence(item, view), bar))
    facts.append(Fact("Claimed", _claim_sentence(item, view)))
    return Finding(
        title=item.title,
        grade=item.grade,
        facts=tuple(facts),
        figure=f"{price(item.claimed, view.currency)} claimed" if item.claimed else "not claimed",
        photos=tuple(map(photo_of, found.photos)) if found else (),
        drawing=found.drawing if found and not found.photos else "",
    )


def _work_words(work: str, when: str) -> str:
    """The work and when it is due; said once where the work's own words say when."""
    return f"{work}." if work.endswith(when) else f"{work}, {when}."


def _seen_facts(found: Seen) -> list[Fact]:
    """Reading, meaning and what follows, each where there is something to say."""
    taken = f" ({day(found.taken)})" if found.taken else ""
    by_hand = " Graded by hand, not by the rule." if found.by_hand else ""
    facts = [Fact("Found", f"{found.reading or capital(found.part)}{taken}.{by_hand}")]
    if found.note:
        facts.append(Fact("Note", found.note))
    if found.meaning:
        facts.append(Fact("Meaning", f"{capital(found.grade.value)}. {sentence(found.meaning)}"))
    if found.grade is Grade.UNSAFE:
        facts.append(Fact("Caution", "Not to be used until it is put right."))
    if not found.certain:
        who = a_or_an(found.who) if found.who else "somebody qualified"
        facts.append(Fact("To confirm", f"Seen by a layperson and not certain: {who} to confirm."))
    return facts


def _cost_sentence(item: OfferItem, view: OfferView) -> str:
    likely, beside = cost_words(item)
    spread = f"{beside}, likely {likely}" if beside and beside != "by quote" else likely
    sources = [*map(quote_words, item.quotes), *([item.basis] if item.basis else [])]
    rest = f" {capital(listed(sources))}." if sources else ""
    return f"{spread} {view.currency}.{rest}"


def quote_words(quote: ShownQuote) -> str:
    """A quote as it is named."""
    on = f" of {day(quote.on)}" if quote.on else ""
    return f"quote of {quote.yard}{on}"


def _claim_sentence(item: OfferItem, view: OfferView) -> str:
    if item.claimed == 0:
        return sentence(item.wording or item.why)
    amount = price(item.claimed, view.currency)
    part = "the whole" if item.claimed_whole else percent(item.share)
    why = item.why.partition(": ")[2] if item.why[:1].isdigit() else item.why
    return f"{amount}, {part} of it. {sentence(item.wording or capital(why))}"


def end(view: OfferView) -> tuple[Block, ...]:
    """Ordinary wear, what was not seen, conditions and dates."""
    return (*_wear(view), *_unseen(view), *_conditions(view))


def _wear(view: OfferView) -> tuple[Block, ...]:
    if not view.wear and "wear" not in view.wording:
        return ()
    words = view.wording.get("wear") or (
        "These are worn as is usual at her age, or are ordinary upkeep. They are the buyer's to "
        "plan for and nothing is asked for them."
    )
    head = (Heading("Ordinary wear, not claimed"), Prose(words, id="wear"))
    if not view.wear:
        return head
    columns = (
        Column("", Kind.MARK),
        Column("Where and what", share=4),
        Column("Found", share=4),
        Column("Work in time", share=3),
    )
    rows = tuple(
        Row(
            (
                Cell(grade=one.grade),
                Cell(one.title, bold=True),
                Cell(clipped(one.seen.reading, 110) if one.seen else ""),
                Cell(listed(one.work)),
            )
        )
        for one in view.wear
    )
    return (*head, Table(columns, rows, dense=True))


def _unseen(view: OfferView) -> tuple[Block, ...]:
    """What was out of reach with its reason, then what nobody looked at, by system."""
    if not view.unseen:
        return ()
    tried = [one for one in view.unseen if one.why_unseen]
    not_looked = [one for one in view.unseen if not one.why_unseen]
    blocks: list[Block] = [
        Heading("What was not seen"),
        Prose("Nothing is claimed for it. Each is to be seen by the trade named."),
    ]
    if tried:
        blocks.append(_tried_table(tried))
    if not_looked:
        blocks += [Heading("Not looked at so far", 2), by_system(not_looked, who=True)]
    return tuple(blocks)


def _tried_table(tried: Sequence[Seen]) -> Table:
    columns = (
        Column("Out of reach", share=5),
        Column("Why", share=4),
        Column("Who should see it", share=3),
    )
    rows = tuple(
        Row((Cell(one.title), Cell(clipped(one.why_unseen, 120)), Cell(one.who))) for one in tried
    )
    return Table(columns, rows, dense=True)


def _conditions(view: OfferView) -> tuple[Block, ...]:
    own = view.wording.get("conditions")
    heading = Heading("Conditions and dates")
    last = (Prose(view.wording["closing"], id="closing"),) if "closing" in view.wording else ()
    if own:
        return (heading, Prose(own, id="conditions"), *last)
    until = view.on + timedelta(days=HOLDS_DAYS)
    points = [
        "A survey by a surveyor of our choice, at our cost, with a result we can accept.",
        "What could not be seen is seen as named above; what it shows is talked over anew.",
        "Clear title, the papers that belong to her, and no debts on her.",
        "Gas and mains electrics are looked at by licensed trades under the local code.",
        f"This sheet holds until {day(until)}. Estimates rest on the {view.price_book}.",
        *(_quote_point(one) for one in view.quotes),
    ]
    return (Together((heading, Points(tuple(points)))), *last)


def _quote_point(quote: ShownQuote) -> str:
    until = f", valid until {day(quote.valid_until)}" if quote.valid_until else ""
    return f"{capital(quote_words(quote))}{until}."
