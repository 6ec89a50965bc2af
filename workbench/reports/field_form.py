"""The field form of one boat: every check that applies, in walking order, with places to write.

Stations follow the walk round the boat. Each begins with the cautions of that place, once; each
check carries marks for its hazards, its steps, the drawing where the station has not shown it
before, and its fields. It is the buyer's own sheet; an earlier reading is printed as a hint.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import TypeAlias

from workbench.catalogue.model import Catalogue, Check, Entry
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.figures.assessment import BoatAssessment
from workbench.figures.findings import Finding

from .document import (
    Block,
    Caution,
    Cautions,
    Cell,
    Column,
    Document,
    Fact,
    Facts,
    Field,
    FieldKind,
    Form,
    Heading,
    Kind,
    Points,
    Prose,
    Row,
    Table,
    TitleBlock,
    Together,
)
from .views import boat_words, reading_words
from .words import counted, day

FieldsOf: TypeAlias = Callable[[Check], tuple[Field, ...]]
"""What a form asks of one check."""

SEEN_CHOICES = ("not seen", "not fitted", "not sure")
_BRING = (
    "Torch, rag, mirror on a stick, steel rule, phone, pencil, gloves. Nothing else is needed "
    "unless a check names it."
)
RULES = (
    "Ask the owner before you turn, open or take apart anything, and put it back as it was.",
    "A boat ashore stands on props: never lean on, climb on or move one.",
    "Leave what you cannot reach; write why. What was not seen is not free, and not your fault.",
    "Write first, judge later: the number and the unit, or the nearest words.",
)


def form_document(
    boat: BoatAssessment, catalogue: Catalogue, on: date, *, imperial: bool
) -> Document:
    """The form of one boat."""
    record = boat.candidate.boat
    lies = f", lying at {record.lies_at}" if record.lies_at else ""
    minutes = sum(one.check.minutes for one in boat.findings)
    below = f"{boat_words(record, catalogue)}{lies}"
    blocks: list[Block] = [
        TitleBlock("Field form", record.name, below),
        _visit(),
        Facts((Fact("Bring", _BRING), Fact("In all", in_all(boat, minutes)))),
        Points(RULES),
    ]

    def fields_of(check: Check) -> tuple[Field, ...]:
        fields = (_field(check, entry, imperial=imperial) for entry in check.entries)
        return *fields, Field(f"{check.id}/sight", "", FieldKind.SIGHT, choices=SEEN_CHOICES)

    blocks += stations(boat, catalogue, fields_of)
    return Document(
        title=f"{record.name}: field form",
        subject="Field form",
        foot=f"{record.name}, field form, printed {day(on)}",
        blocks=tuple(blocks),
    )


def in_all(boat: BoatAssessment, minutes: int) -> str:
    """How many checks there are and how long they take."""
    takes = duration(minutes)
    return f"{counted(len(boat.findings), 'check')}, about {takes}. Nobody does them all at once."


def duration(minutes: int) -> str:
    """So many minutes as people say them."""
    return f"{minutes // 60} h {minutes % 60} min" if minutes >= 60 else f"{minutes} min"


def _visit() -> Table:
    titles = (("Who looked", 4), ("Date", 2), ("Ashore or afloat", 2.5), ("Weather and light", 3.5))
    columns = tuple(Column(title, Kind.BLANK, share) for title, share in titles)
    return Table(columns, (Row((Cell(),) * len(columns)),), row_height_mm=10)


def stations_of(
    findings: Sequence[Finding], catalogue: Catalogue
) -> Iterator[tuple[str, list[Finding]]]:
    """Station labels in walking order with their checks."""
    for station in sorted(catalogue.stations.values(), key=lambda one: one.order):
        here = [one for one in findings if one.check.station == station.id]
        if here:
            yield station.label, here


def stations(boat: BoatAssessment, catalogue: Catalogue, fields_of: FieldsOf) -> Iterator[Block]:
    """Every check that applies to a boat, in walking order, with the fields that it is given."""
    for station, findings in stations_of(boat.findings, catalogue):
        yield from _station(station, findings, catalogue, fields_of)


def _station(
    label: str, findings: Sequence[Finding], catalogue: Catalogue, fields_of: FieldsOf
) -> list[Block]:
    minutes = sum(one.check.minutes for one in findings)
    what = f"{counted(len(findings), 'check')}, about {minutes} min"
    wanted = dict.fromkeys(name for one in findings for name in one.check.cautions)
    known = [catalogue.cautions[name] for name in wanted if name in catalogue.cautions]
    forms: list[Block] = []
    shown: set[str] = set()
    for finding in findings:
        drawing = finding.check.drawing if finding.check.drawing not in shown else ""
        shown.add(drawing)
        forms.append(_form(finding, catalogue, drawing, fields_of))
    below: list[Block] = [Prose(f"{what}.")]
    if known:
        below.append(Cautions(tuple(Caution(f"{one.title}.", one.text) for one in known)))
    return [Heading(label), Together(tuple(below)), *forms]


def _form(finding: Finding, catalogue: Catalogue, drawing: str, fields_of: FieldsOf) -> Form:
    check = finding.check
    cautions = [catalogue.cautions[name] for name in check.cautions if name in catalogue.cautions]
    tools = f", {', '.join(check.tools)}" if check.tools else ""
    return Form(
        title=check.title,
        beside=f"{check.minutes} min{tools}",
        steps=check.steps,
        fields=fields_of(check),
        hazards=tuple(one.title for one in cautions),
        drawing=drawing,
        hint=hint_of(finding),
    )


def hint_of(finding: Finding) -> str:
    """The earlier reading, and what right and wrong feel like."""
    reading = finding.counting.reading if finding.counting else None
    if reading is None:
        return finding.check.feel
    on = f" on {day(reading.taken)}" if reading.taken else ""
    return f"{finding.check.feel} Read{on}: {reading_words(finding.check, reading)}."


def _field(check: Check, entry: Entry, *, imperial: bool) -> Field:
    unit = entry.imperial_unit if imperial and entry.imperial_unit else entry.unit
    name = f"{check.id}/{entry.id}"
    if entry.kind == "choice":
        choices = tuple(choice.label for choice in entry.choices)
        return Field(name, entry.label, FieldKind.CHOICE, choices=choices, help=entry.help)
    limits = limits_of(entry, unit) if entry.kind == "number" else ""
    return Field(
        name,
        entry.label,
        unit=unit_words(unit) if entry.kind in ("number", "year") else "",
        help=" ".join(part for part in (limits, entry.help) if part),
    )


def unit_words(unit: str) -> str:
    """A unit as a form names it."""
    return {"count": "pieces", "calendar year": "year", "index": "on its scale"}.get(unit, unit)


def limits_of(entry: Entry, unit: str) -> str:
    """The sensible limits in the unit that is asked for."""
    if entry.low is None or entry.high is None:
        return ""
    low, high = (_in(limit, entry.unit, unit) for limit in (entry.low, entry.high))
    return f"Between {low} and {high}."


def _in(limit: Decimal, unit: str, wanted: str) -> str:
    try:
        shown = limit if unit == wanted else Quantity(limit, unit).to(wanted).number
    except EntryError:
        shown = limit
    return f"{float(shown):.4g}"
