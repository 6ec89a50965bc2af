"""What belongs to a reading beside its values: notes, its day, the readings before it.

A note may stand on a sheet that goes out; the other one is for the buyer alone. A reading of
another day or person stays beside a new one; each can be taken back.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from workbench.domain.inspection import Reading
from workbench.domain.project import Project
from workbench.edits.edit import Edit
from workbench.edits.inspecting import record_reading, remove_reading
from workbench.window import formatting
from workbench.window.models.typed_days import read_day
from workbench.window.pages.check_words import earlier_words
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.form import Form
from workbench.window.widgets.labels import label
from workbench.window.widgets.parsed_field import ParsedField
from workbench.window.widgets.surroundings import SPACE_TIGHT

if TYPE_CHECKING:
    from workbench.catalogue.model import Check
    from workbench.figures.findings import Finding


class ReadingsSoFar(QWidget):
    """Notes and day of one's own reading of a check, and all its readings.

    Parameters
    ----------
    base
        Begins a reading of today where this person has none yet.

    Signals
    -------
    problem_found(sentence)
        What was refused; empty once something was taken.
    """

    problem_found = Signal(str)

    def __init__(
        self, session: Session, base: Callable[[], Reading], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._base = base
        self._check: Check | None = None
        self._own: Reading | None = None
        self.form = Form(labels_above=True)
        self.note = QLineEdit()
        self.private_note = QLineEdit()
        self.day = ParsedField(read_day, _iso, characters=11)
        self.form.add_row(
            "note", tr("Note"), self.note, hint=tr("May stand on a sheet that you hand over.")
        )
        self.form.add_row("private", tr("For you alone"), self.private_note)
        self.form.add_row("day", tr("Looked on"), self.day)
        self.heading = label(tr("Readings so far"), "small")
        self.rows = QVBoxLayout()
        self.rows.setSpacing(SPACE_TIGHT)
        self.disagree = label(
            tr("These people disagree. The worst of their last readings counts."),
            "strong",
            wrap=True,
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.heading)
        column.addLayout(self.rows)
        column.addWidget(self.disagree)
        column.addWidget(self.form)
        self.note.editingFinished.connect(self._on_notes)
        self.private_note.editingFinished.connect(self._on_notes)
        self.day.value_entered.connect(self._on_day)

    # --- Showing ---

    def show_reading(self, check: Check | None, reading: Reading | None) -> None:
        """Show the notes and the day of the reading that stands in the fields."""
        self._check, self._own = check, reading
        for field, text in (
            (self.note, reading.note if reading else ""),
            (self.private_note, reading.private_note if reading else ""),
        ):
            if not field.hasFocus():
                field.setText(text)
        self.day.set_value(reading.taken if reading else None)
        self.day.setEnabled(reading is not None)

    def show_finding(self, finding: Finding) -> None:
        """Show every reading with its grade, and whether people disagree."""
        while self.rows.count():
            item = self.rows.takeAt(0)
            part = item.widget() if item is not None else None
            if part is not None:
                part.deleteLater()
        wording = self._session.catalogue.wording
        for judged in finding.judged:
            words = earlier_words(finding.check, judged, wording)
            self.rows.addWidget(self._row(words, judged.reading.id))
        self.heading.setVisible(bool(finding.judged))
        self.disagree.setVisible(finding.disagree)

    def _row(self, words: str, reading_id: str) -> QWidget:
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(label(words, "quiet", wrap=True), 1)
        back = button(tr("Take back"), "link", tip=tr("Only this reading; undo brings it back"))
        back.setAccessibleName(tr("Take back: {reading}").format(reading=words))
        back.clicked.connect(lambda _=False: self._on_taken_back(reading_id))
        line.addWidget(back)
        return row

    # --- What the user does ---

    def _on_notes(self) -> None:
        note, private = self.note.text().strip(), self.private_note.text().strip()
        own = self._own
        if (note, private) == ((own.note, own.private_note) if own else ("", "")):
            return
        self._record(dataclasses.replace(own or self._base(), note=note, private_note=private))

    def _on_day(self, day: object) -> None:
        if self._own is not None and (day is None or isinstance(day, date)):
            self._record(dataclasses.replace(self._own, taken=day))

    def _on_taken_back(self, reading_id: str) -> None:
        check, boat = self._check, self._session.boat_id
        if check is not None:
            self._try(lambda p: remove_reading(p, boat, check.id, reading_id, check.title))

    def _record(self, reading: Reading) -> None:
        check, boat = self._check, self._session.boat_id
        if check is not None:
            self._try(lambda p: record_reading(p, boat, check.id, reading, check.title))

    def _try(self, make: Callable[[Project], Edit]) -> None:
        self.problem_found.emit(self._session.attempt(make))


def _iso(value: object) -> str:
    return formatting.day(value) if isinstance(value, date) else ""
