"""The brief for the surveyor, and those for the rigger, the engine mechanic and the other trades.

Each part holds what is theirs alone; in a document of several each begins a page and can be handed
over alone: what she is, what worries, the questions in the order of what their answers are worth,
what was found sound. It asks for findings in writing and tells nobody how to do their work.
"""

from __future__ import annotations

from collections.abc import Sequence

from .document import (
    Block,
    Caution,
    Cell,
    Column,
    Document,
    Heading,
    Kind,
    PageBreak,
    Photos,
    Points,
    Prose,
    Row,
    Table,
    TitleBlock,
    Tone,
)
from .parts import by_system, photo_of, she_is
from .survey_view import Part, Question, SurveyView
from .views import Seen
from .words import clipped, counted, day, days, listed, lower, sentence

MOST_QUESTIONS = 14
_MOST_PHOTOS = 8
_ASKS = (
    "Please look at the questions below first, in this order, and tell us for each what you saw, "
    "how sure you are, what is due now and what can wait, and what it takes. What you find "
    "besides is as welcome."
)
_CAUTION = (
    "A boat ashore stands on props: nobody leans on or moves one. Going aloft, opening machinery, "
    "moisture and destructive tests are for the owner to allow and for whoever is qualified to do."
)
_WHAT_IT_IS = (
    "Notes of a buyer who looked, felt and measured with simple tools, to save your time. They are "
    "no survey and no instruction how to do yours; where you see it otherwise, you are right."
)


def brief_document(view: SurveyView) -> Document:
    """The briefs of one boat."""
    blocks: list[Block] = []
    for part in view.parts:
        if blocks:
            blocks.append(PageBreak())
        blocks += _part(part, view)
    if not blocks:
        blocks = [_title("survey", view), Prose("There is nothing to ask about her yet.")]
    who = listed([f"the {one.who}" for one in view.parts]) or "the survey"
    return Document(
        title=f"{view.boat}: brief for {who}",
        subject=f"Brief for {who}",
        foot=f"{view.boat}, brief for {who}, {day(view.on)}",
        blocks=tuple(blocks),
    )


def _title(who: str, view: SurveyView) -> TitleBlock:
    lies = f", lying at {view.lies_at}" if view.lies_at else ""
    looked = f", looked over on {days(view.looked_on)}" if view.looked_on else ""
    return TitleBlock(f"Brief for the {who}", view.boat, f"{view.words}{lies}{looked}")


def _part(part: Part, view: SurveyView) -> tuple[Block, ...]:
    return (
        _title(part.who, view),
        Prose(_ASKS),
        Prose(_WHAT_IT_IS, Tone.QUIET),
        *_covers(part),
        Caution("Caution.", _CAUTION),
        she_is(part.particulars),
        *_questions(part),
        *_worries(part.worries),
        *_photos(part.worries),
        *_sound(part),
    )


def _covers(part: Part) -> tuple[Block, ...]:
    """What their look covers, and what must be there for it."""
    if not part.covers:
        return ()
    words = f"It is about {listed([lower(one) for one in part.covers])}."
    return (Prose(" ".join((words, *part.notes)), Tone.QUIET),)


def _questions(part: Part) -> tuple[Block, ...]:
    """The questions, most worth knowing first; a line each for the rest."""
    if not part.questions:
        return ()
    first, rest = part.questions[:MOST_QUESTIONS], part.questions[MOST_QUESTIONS:]
    more = (
        (
            Heading("Also not seen", 2),
            by_system([one.seen for one in rest], who=False),
        )
        if rest
        else ()
    )
    return (
        Heading("Questions, the weightiest first"),
        Prose("Where nothing else is said nobody has looked yet.", Tone.QUIET),
        Points(tuple(map(_question_words, first)), numbered=True),
        *more,
    )


def _question_words(question: Question) -> str:
    found = question.seen
    states: list[str] = []
    if found.why_unseen:
        states.append(f"not seen: {lower(found.why_unseen.rstrip('.'))}")
    elif found.reading:
        states.append(f"read as {lower(found.reading)}, but not certain")
    if question.afloat:
        states.append("to be seen afloat")
    state = f" ({'; '.join(states)})" if states else ""
    because = " ".join(sentence(one) for one in question.because[:2])
    return f"{found.title}{state}. {because}".rstrip()


def _worries(worries: Sequence[Seen]) -> tuple[Block, ...]:
    if not worries:
        return ()
    columns = (
        Column("", Kind.MARK),
        Column("What", share=3.4),
        Column("Seen or measured", share=4.4),
        Column("What it means", share=4.2),
    )
    rows = tuple(
        Row(
            (
                Cell(grade=one.grade),
                Cell(one.title, one.system, bold=True),
                Cell(
                    clipped(one.reading or "Graded by hand.", 160),
                    " ".join(
                        part
                        for part in (day(one.taken) if one.taken else "", clipped(one.note, 160))
                        if part
                    ),
                ),
                Cell(clipped(one.meaning, 160), "" if one.certain else "not certain"),
            )
        )
        for one in worries
    )
    return (Heading("What worries us"), Table(columns, rows, dense=True))


def _sound(part: Part) -> tuple[Block, ...]:
    if not part.sound:
        return ()
    head = f"Looked at and found sound: {counted(len(part.sound), 'thing')}"
    return (Heading(head, 2), by_system(part.sound, who=False))


def _photos(worries: Sequence[Seen]) -> tuple[Block, ...]:
    photos = [photo_of(photo) for one in worries for photo in one.photos][:_MOST_PHOTOS]
    return (Heading("Photos", 2), Photos(tuple(photos), across=4)) if photos else ()
