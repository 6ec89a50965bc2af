"""The field form of one boat to be filled in on a screen: the paper form with fields in its boxes.

The fields are named as the rows of a field form are (`incoming.row_names`), so that it comes back
as readings. It says of itself for which boat it was made and which units its bare numbers are in.
It is the buyer's own sheet and holds no price, no budget and no private note.
"""

from __future__ import annotations

from datetime import date

from workbench.catalogue.model import Catalogue, Check, Entry
from workbench.figures.assessment import BoatAssessment

from .document import Block, Document, Fact, Facts, Field, FieldKind, Form, Points, TitleBlock
from .field_form import RULES, SEEN_CHOICES, in_all, limits_of, stations, unit_words
from .incoming import row_names as names
from .views import boat_words
from .words import day

_HOW_TO_FILL = (
    "Your name and the day, once for the whole form.",
    "Leave empty what you did not look at. Where you could not see, tick it and say why.",
    "A bare number is in the unit beside its box. Another may be typed behind it: 1/32 in, 0,8 mm.",
    "Notes may be shown to others, such as the seller.",
    "Save the form itself and bring it in. Printed to a new PDF it has no fields any more.",
)


def screen_form_document(
    boat: BoatAssessment, catalogue: Catalogue, on: date, *, imperial: bool
) -> Document:
    """The form of one boat.

    Parameters
    ----------
    on
        The day it is written.
    imperial
        Whether lengths and the like are asked for in inches and feet.
    """
    record = boat.candidate.boat
    lies = f", lying at {record.lies_at}" if record.lies_at else ""
    minutes = sum(one.check.minutes for one in boat.findings)

    def fields_of(check: Check) -> tuple[Field, ...]:
        return (
            *(_field(check, entry, imperial=imperial) for entry in check.entries),
            *_remarks(check),
        )

    blocks: list[Block] = [
        TitleBlock(
            "Field form for a screen", record.name, f"{boat_words(record, catalogue)}{lies}"
        ),
        Facts((Fact("In all", in_all(boat, minutes)),)),
        Points((*RULES, "This is a look by a buyer, not a survey.")),
        _visit(boat, imperial=imperial),
        *stations(boat, catalogue, fields_of),
    ]
    return Document(
        title=f"{record.name}: field form for a screen",
        subject="Field form for a screen",
        foot=f"{record.name}, field form for a screen, made {day(on)}",
        blocks=tuple(blocks),
    )


def _visit(boat: BoatAssessment, *, imperial: bool) -> Form:
    """Who looks and when, and what the form says of itself."""
    record = boat.candidate.boat
    return Form(
        title="Who looks, and when",
        beside="",
        steps=_HOW_TO_FILL,
        fields=(
            _mark(names.readings_form(record.id), record.name),
            _mark(names.UNITS, names.IMPERIAL if imperial else names.METRIC),
            Field(names.BY, "Who looks", tip="Who looks: your name, once for the whole form."),
            Field(
                names.DATE,
                "On which day",
                help="As in 2026-05-31.",
                tip="On which day you look, as in 2026-05-31, once for the whole form.",
            ),
        ),
    )


def _mark(name: str, value: str) -> Field:
    return Field(name, "", FieldKind.MARK, tip="Says which form this is.", values=(value,))


def _field(check: Check, entry: Entry, *, imperial: bool) -> Field:
    name = names.answer(check.id, entry.id)
    asked = f"{check.title.rstrip('.')}: {entry.label.rstrip('.')}"
    if entry.kind == "choice":
        return Field(
            name,
            entry.label,
            FieldKind.CHOICE,
            choices=tuple(choice.label for choice in entry.choices),
            help=entry.help,
            tip=f"{asked}:",
            values=tuple(choice.id for choice in entry.choices),
        )
    if entry.kind == "text":
        return Field(name, entry.label, help=entry.help, tip=_sentences(asked, entry.help))
    unit = entry.imperial_unit if imperial and entry.imperial_unit else entry.unit
    words = unit_words(unit)
    limits = limits_of(entry, unit) if entry.kind == "number" else ""
    beside = limits.rstrip(".").replace("Between ", "").replace(" and ", " to ")
    return Field(
        name,
        entry.label,
        unit=", ".join(part for part in (words, beside) if part),
        help=entry.help,
        tip=_sentences(f"{asked}, in {words}" if words else asked, limits, entry.help),
    )


def _sentences(*parts: str) -> str:
    return " ".join(f"{part.rstrip('.')}." for part in parts if part)


def _remarks(check: Check) -> tuple[Field, ...]:
    """What belongs to a whole check: whether it was seen, why not, and a note."""
    title = check.title.rstrip(".")
    return (
        Field(
            names.answer(check.id, names.SIGHT),
            "",
            FieldKind.SIGHT,
            choices=SEEN_CHOICES,
            tip=f"{title}:",
            values=(names.NOT_SEEN, _as_value(names.NOT_FITTED), names.NOT_SURE),
        ),
        Field(
            names.answer(check.id, names.NOT_SEEN),
            "why it could not be seen",
            FieldKind.WHY,
            tip=f"{title}: why it could not be seen.",
        ),
        Field(
            names.answer(check.id, names.NOTE),
            "Note",
            FieldKind.LINES,
            tip=f"{title}: a note that may be shown to others.",
        ),
    )


def _as_value(words: str) -> str:
    return words.replace(" ", "-")
