"""A filled field form becomes readings: one for each check, person and day.

Rows are known by their names (`row_names`), so they may be sorted, left out or come back with more
columns. An empty cell says nothing: what is on record stays. The form of a second person, or of
another day, adds readings beside the first; where the two differ the preview says so.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from workbench.catalogue.model import Check
from workbench.domain.inspection import Reading
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Sight
from workbench.edits.inspecting import record_reading
from workbench.figures.findings import checks_of
from workbench.reports.views import reading_words

from . import row_names as names
from .asking import Scales
from .cells import Cell, Sheet
from .entry_values import entry_value, shown
from .form_rows import FormRows, Said, form_rows
from .preview import Change, Draft, Preview, Question, Request
from .text_values import folded


def preview_of_form(request: Request, sheet: Sheet, boat_id: str) -> Preview:
    """What a filled field form would change on one boat."""
    boat = request.project.boats[boat_id].boat
    draft = Draft(request, f"Field form of {boat.name}")
    rows = form_rows(draft, sheet)
    if rows is not None:
        _Form(draft, rows, boat_id).take_in()
    by = rows.by.text.strip() if rows is not None and rows.by is not None else ""
    whose = f" by {by}" if by else ""
    return draft.preview(f"Bring in a field form of {boat.name}{whose}")


@dataclass(slots=True)
class _Answers:
    """What one person said about one check on one day."""

    check: Check
    by: str
    on: date
    values: dict[str, Quantity | str] = field(default_factory=dict)
    places: dict[str, str] = field(default_factory=dict)
    reasons: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    unsure: bool = False
    not_fitted: bool = False
    not_seen: bool = False
    at: str = ""


_YES_NO = {"": False, "no": False, "n": False, "off": False, "false": False, "0": False}


class _Form:
    """Turns the rows of one form into readings."""

    def __init__(self, draft: Draft, rows: FormRows, boat_id: str) -> None:
        self._draft, self._rows, self._boat_id = draft, rows, boat_id
        self._checks: Mapping[str, Check] = draft.request.catalogue.checks
        self._boat = draft.request.project.boats[boat_id].boat
        self._applying = {check.id for check in checks_of(self._boat, draft.request.catalogue)}
        self._groups: dict[tuple[str, str, date], _Answers] = {}
        days = [rows.on, *(said.on for said in rows.said)]
        self._scales = Scales(draft, self._number_cells(), days)
        self._by = draft.answer("by") or (rows.by.text.strip() if rows.by else "")
        self._on = self._form_day()

    def _number_cells(self) -> Iterable[Cell | None]:
        for said in self._rows.said:
            entry = (
                self._checks[said.check].entry(said.entry) if said.check in self._checks else None
            )
            if entry is not None and entry.kind in ("number", "year"):
                yield said.value

    def _where(self, cell: Cell | str) -> str:
        at = cell if isinstance(cell, str) else cell.at
        return self._draft.request.incoming.where(self._rows.sheet, at)

    def _fault(self, cell: Cell, error: EntryError | str) -> None:
        message, _, remedy = str(error).partition(". ")
        self._draft.problem(self._where(cell), f"{message.rstrip('.')}.", remedy)

    # --- Who and when ---

    def _form_day(self) -> date | None:
        answered = self._draft.answer("date")
        try:
            if answered:
                return self._scales.day_in(answered)
            return self._scales.day(self._rows.on) if self._rows.on is not None else None
        except EntryError as error:
            if self._rows.on is not None and not self._scales.is_open:
                self._fault(self._rows.on, error)
            return None

    def _person(self, said: Said) -> str | None:
        by = said.by.text.strip() if said.by is not None else self._by
        if not by:
            known = _people(self._draft, self._boat_id)
            also = f" On record: {', '.join(known)}." if known else ""
            self._draft.ask(Question("by", f"Who filled this form in?{also}"))
            return None
        return " ".join(by.split())

    def _day(self, said: Said) -> date | None:
        if said.on is not None:
            try:
                return self._scales.day(said.on)
            except EntryError as error:
                if not self._scales.is_open:
                    self._fault(said.on, error)
                return None
        if self._on is None and (self._rows.on is None or not self._draft.answer("date")):
            self._draft.ask(Question("date", "On which day was it filled in? As in 2026-05-31."))
        return self._on

    # --- Rows ---

    def take_in(self) -> None:
        """Gather what was said, check by check, and put it on record."""
        for said in self._rows.said:
            self._draft.rows += 1
            if self._scales.is_open:
                continue
            self._gather(said)
        self._scales.say_stored_as_text(self._where(""))
        for answers in self._groups.values():
            self._record(answers)

    def _gather(self, said: Said) -> None:
        check = self._checks.get(said.check)
        if check is None or (said.entry and check.entry(said.entry) is None):
            what = f"check “{said.check}”" if check is None else f"entry “{said.entry}”"
            self._fault(
                said.name, f"There is no {what} in the catalogue. Leave the first column as it was."
            )
            return
        by, on = self._person(said), self._day(said)
        if by is None or on is None:
            return
        key = (check.id, folded(by), on)
        answers = self._groups.setdefault(key, _Answers(check, by, on, at=said.name.at))
        self._answer(answers, said)
        self._remarks(answers, said)

    def _answer(self, answers: _Answers, said: Said) -> None:
        entry = answers.check.entry(said.entry)
        if entry is None or said.value is None:
            return
        if said.value.is_fault:
            self._fault(
                said.value,
                f"It holds {said.value.text}. Type the value itself over it.",
            )
            return
        if folded(said.value.text) == names.NOT_FITTED:
            answers.not_fitted = True
            return
        try:
            value = entry_value(entry, said.value, said.unit, self._scales)
        except EntryError as error:
            self._fault(said.value, error)
            return
        earlier = answers.values.get(entry.id)
        if earlier is not None and earlier != value:
            self._fault(
                said.value,
                f"The same row stands there twice with two answers "
                f"({shown(entry, earlier)}; {shown(entry, value)}). Keep one.",
            )
            return
        answers.values[entry.id] = value
        answers.places[entry.id] = said.value.at

    def _remarks(self, answers: _Answers, said: Said) -> None:
        for cell in (said.why, said.note, said.unsure):
            if cell is not None and cell.is_fault:
                self._fault(cell, f"It holds {cell.text}. Type the words themselves over it.")
                return
        why = " ".join(said.why.text.split()) if said.why is not None else ""
        answers.not_fitted = answers.not_fitted or said.sight == names.NOT_FITTED
        answers.not_seen = answers.not_seen or said.sight == names.WAS_NOT_SEEN
        answers.unsure = answers.unsure or said.sight == names.WAS_NOT_SURE
        if folded(why) == names.NOT_FITTED:
            answers.not_fitted = True
        elif why and why not in answers.reasons:
            answers.reasons.append(why)
        note = said.note.text.strip() if said.note is not None else ""
        if note and note not in answers.notes:
            answers.notes.append(note)
        unsure = folded(said.unsure.text) if said.unsure is not None else ""
        answers.unsure = answers.unsure or _YES_NO.get(unsure, True)

    # --- Readings ---

    def _record(self, answers: _Answers) -> None:
        check = answers.check
        readings = self._draft.project.boats[self._boat_id].inspection.readings.get(check.id, ())
        before = next(
            (
                one
                for one in reversed(readings)
                if folded(one.by) == folded(answers.by) and one.taken == answers.on
            ),
            None,
        )
        after = _merged(before, answers)
        if after == before:
            self._draft.unchanged += 1
            return
        if check.id not in self._applying:
            self._draft.notice(
                self._where(answers.at),
                f"“{check.title}” does not apply to her as she is entered; the reading is kept.",
                "Look at her fit-out.",
            )
        self._say_differences(readings, after, answers)
        edit = record_reading(self._draft.project, self._boat_id, check.id, after, check.title)
        self._draft.change(edit, self._changes(before, after, answers))

    def _changes(self, before: Reading | None, after: Reading, answers: _Answers) -> list[Change]:
        check = answers.check
        where = f"{self._boat.name}, {check.title} ({after.by}, {after.taken})"
        old = before or Reading("")
        made = [
            Change(
                where,
                entry.label,
                shown(entry, old.values.get(entry.id)),
                shown(entry, after.values.get(entry.id)) or "nothing",
                answers.places.get(entry.id, answers.at),
            )
            for entry in check.entries
            if old.values.get(entry.id) != after.values.get(entry.id)
        ]
        words: Sequence[tuple[str, str, str]] = (
            ("seen", _sight_words(before), _sight_words(after)),
            ("could not see", old.reason, after.reason),
            ("note", old.note, after.note),
            ("sure", _sure_words(before), _sure_words(after)),
        )
        made += [
            Change(where, what, was, now, answers.at) for what, was, now in words if was != now
        ]
        return made

    def _say_differences(
        self, readings: tuple[Reading, ...], after: Reading, answers: _Answers
    ) -> None:
        """Tell of others who read the same check otherwise; both readings are kept."""
        last: dict[str, Reading] = {folded(one.by): one for one in readings}
        mine = reading_words(answers.check, after)
        for other in last.values():
            theirs = reading_words(answers.check, other)
            if folded(other.by) != folded(after.by) and _differ(other, after):
                self._draft.notice(
                    f"{self._boat.name}, {answers.check.title}",
                    f"{other.by or 'Somebody'} reads “{theirs}”, {after.by} reads “{mine}”. "
                    "Both are kept, and the worse one counts.",
                )


def _differ(one: Reading, other: Reading) -> bool:
    shared = set(one.values) & set(other.values)
    return any(one.values[name] != other.values[name] for name in shared)


def _merged(before: Reading | None, answers: _Answers) -> Reading:
    """The reading on record with what the form says put over it."""
    base = before or Reading("", taken=answers.on, by=answers.by)
    values, sight = base.values, base.sight
    if answers.values:
        sight = Sight.SEEN
        for name, value in answers.values.items():
            values = values if values.get(name) == value else values.set(name, value)
    elif answers.not_fitted or answers.not_seen or answers.reasons:
        sight = Sight.NOT_FITTED if answers.not_fitted else Sight.NOT_SEEN
        for name in base.values:
            values = values.drop(name)
    return dataclasses.replace(
        base,
        values=values,
        sight=sight,
        reason="; ".join(answers.reasons) or ("" if answers.values else base.reason),
        note="\n".join(answers.notes) or base.note,
        sure=base.sure and not answers.unsure,
    )


def _sight_words(reading: Reading | None) -> str:
    if reading is None or reading.sight is Sight.SEEN:
        return ""
    return names.NOT_FITTED if reading.sight is Sight.NOT_FITTED else "could not be seen"


def _sure_words(reading: Reading | None) -> str:
    return "" if reading is None or reading.sure else "not sure"


def _people(draft: Draft, boat_id: str) -> list[str]:
    readings = draft.request.project.boats[boat_id].inspection.readings.values()
    return sorted({one.by for all_of in readings for one in all_of if one.by})
