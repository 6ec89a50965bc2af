"""The work list after the purchase: what to do when, what must be done first, what it will cost.

It is the owner's own sheet. Sums are those of the assessment: what a line counts for is its chance
times its cost, and the work before launching and in the first season adds up to the work before
sailing.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from workbench.catalogue.model import Catalogue
from workbench.domain.vocabulary import Grade, When
from workbench.figures.assessment import SAILING, AccessCharge, BoatAssessment, Line

from .document import (
    Block,
    Caution,
    Cell,
    Column,
    Document,
    Heading,
    KeyFigure,
    KeyFigures,
    Kind,
    Prose,
    Row,
    Table,
    TitleBlock,
    Tone,
    Weight,
)
from .parts import by_system
from .views import boat_words, seen
from .words import WHEN_WORDS, capital, counted, day, listed, lower, percent, whole

_ZERO = Decimal(0)
_COLUMNS = (
    Column("", Kind.TICK),
    Column("", Kind.MARK),
    Column("Job", share=4.6),
    Column("Who, and hours", share=3),
    Column("Cost", Kind.FIGURE, 1.8),
    Column("Done on, by, for", Kind.BLANK, 3),
)
_LOOKS = (("ashore", "While ashore"), ("either", "At any time"), ("afloat", "Once afloat"))
_WHAT_IT_IS = (
    "A list made from a buyer's own notes. It is not a survey. Gas, mains, structure, rigging "
    "aloft and lifting are for licensed trades and whoever is qualified, under the local code."
)


def season_document(boat: BoatAssessment, catalogue: Catalogue, on: date) -> Document:
    """The work list of one boat."""
    record = boat.candidate.boat
    found = [one for one in boat.lines if not one.part.allowed_for and not one.left_out]
    blocks: list[Block] = [
        TitleBlock("Work list", record.name, boat_words(record, catalogue)),
        _figures(boat),
    ]
    for when in When:
        lines = [one for one in found if one.when is when]
        access = [one for one in boat.access if one.when is when and _used(one, lines)]
        if lines:
            blocks += _part(when, lines, access)
    blocks += _to_look_at(boat, catalogue)
    blocks.append(Caution("What this sheet is.", _WHAT_IT_IS))
    return Document(
        title=f"{record.name}: work list",
        subject="Work list",
        foot=f"{record.name}, work list, {day(on)}",
        blocks=tuple(blocks),
    )


def _figures(boat: BoatAssessment) -> KeyFigures:
    work = boat.work
    return KeyFigures(
        (
            KeyFigure("Work before sailing", whole(work.mean), f"P80 {whole(work.p80)}"),
            KeyFigure("Kept for what nobody saw", whole(boat.allowance.mean)),
            KeyFigure("Later, within five years", whole(boat.later_work)),
        )
    )


def _used(charge: AccessCharge, lines: Sequence[Line]) -> bool:
    return not charge.left_out and any(one.job in charge.users for one in lines)


def _part(when: When, lines: Sequence[Line], access: Sequence[AccessCharge]) -> tuple[Block, ...]:
    """The work of one time: what must be done first, then the jobs, then what they count for."""
    ordered = sorted(lines, key=lambda one: (-one.grade.severity, one.system, one.key))
    rows = [_access_row(one, lines) for one in access]
    rows += [_line_row(one) for one in ordered]
    total = sum((one.counted for one in lines), _ZERO)
    if when is not When.WISH:
        total += sum((_charged(one) for one in access), _ZERO)
    if when is not When.WISH:
        rows.append(_total_row(total))
    return (Heading(capital(WHEN_WORDS[when])), Table(_COLUMNS, tuple(rows), dense=True))


def _access_row(charge: AccessCharge, lines: Sequence[Line]) -> Row:
    jobs = len({one.job for one in lines if one.job in charge.users})
    return Row(
        (
            Cell(),
            Cell(),
            Cell(charge.task.title, f"first, for {counted(jobs, 'job')}", bold=True),
            Cell(_quote_words(charge.quote.yard) if charge.quote else "yard"),
            Cell(whole(_charged(charge))),
            Cell(),
        )
    )


def _charged(charge: AccessCharge) -> Decimal:
    """What an access task counts for: in the work before sailing, or in the work after that."""
    return charge.counted_found if charge.when in SAILING else charge.counted_later


def _line_row(line: Line) -> Row:
    found = line.finding
    title = found.check.part if found else line.title
    return Row(
        (
            Cell(),
            Cell(grade=line.grade if found else None),
            Cell(title, line.title if found else line.note, bold=True),
            Cell(*_who(line)),
            Cell(*_cost(line)),
            Cell(),
        )
    )


def _cost(line: Line) -> tuple[str, str]:
    """What a line counts for, and why it is not its whole cost."""
    if line.unpriced:
        return "not priced", ""
    if line.covered_by:
        return "–", ""
    if not line.counts:
        return "–", "not counted"
    chance = f"{percent(line.chance)} of {whole(line.mean)}" if line.chance < 1 else ""
    return whole(line.counted), chance


def _who(line: Line) -> tuple[str, str]:
    """Who does it, and how long it takes."""
    if line.covered_by:
        return "with another job", lower(line.covered_by)
    if line.quote is not None:
        return _quote_words(line.quote.yard), ""
    labour = line.priced.labour if line.priced else ()
    hours = sum(one.hours.mean for one in labour) * (line.priced.count if line.priced else 1)
    trades = listed([one.trade.replace("-", " ") for one in labour])
    who = "own hands" if line.own_work else capital(trades)
    return who, f"about {hours:.1f} h" if hours else ""


def _quote_words(yard: str) -> str:
    return f"quote of {yard}"


def _total_row(total: Decimal) -> Row:
    blank = Cell()
    return Row((blank, blank, Cell("Counts for"), blank, Cell(whole(total)), blank), Weight.TOTAL)


def _to_look_at(boat: BoatAssessment, catalogue: Catalogue) -> tuple[Block, ...]:
    """What is still to be looked at, ashore and afloat, by system."""
    unseen = [one for one in boat.findings if one.grade is Grade.UNSEEN]
    if not unseen:
        return ()
    inspection = boat.candidate.inspection
    blocks: list[Block] = [
        Heading("Still to be looked at"),
        Prose("Each that turns out sound frees its part of what was kept.", Tone.QUIET),
    ]
    for looks, words in _LOOKS:
        those = [seen(f, boat.id, inspection, catalogue) for f in unseen if f.check.looks == looks]
        if those:
            blocks += [Heading(words, 2), by_system(those, who=False)]
    return tuple(blocks)
