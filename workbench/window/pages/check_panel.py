"""One check at a time: how to look, the reading, and what it makes of cost, at once."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from workbench.catalogue.wording import labels_in
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Overruling, Reading
from workbench.domain.vocabulary import Grade, Sight
from workbench.edits.costing import choose_remedy
from workbench.edits.inspecting import overrule, record_reading, remove_reading
from workbench.paths import ResourceError, resource, resources_root
from workbench.window.pages.check_words import (
    meaning_of_state,
    remedy_row,
    rule_words,
    with_article,
)
from workbench.window.pages.overruling_box import OverrulingBox
from workbench.window.pages.photos_panel import PhotosPanel
from workbench.window.pages.reading_form import ReadingForm
from workbench.window.pages.readings_so_far import ReadingsSoFar
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.caution_box import CautionBox
from workbench.window.widgets.drawing_view import DrawingView
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.grade_label import GradeLabel
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.remedy_list import RemedyList
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
)

if TYPE_CHECKING:
    from workbench.catalogue.model import Check
    from workbench.figures.assessment import BoatAssessment
    from workbench.figures.findings import Finding


class CheckPanel(QWidget):
    """The check that is looked at: how to look above, the reading and its consequence below.

    Signals
    -------
    next_requested()
        The reading is done and the next check may come.
    """

    next_requested = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._shown: Check | None = None
        self.setAccessibleName(tr("Check"))
        self._make_parts()
        self._lay_out()
        self._connect()
        self.refresh()

    def _make_parts(self) -> None:
        self.where = label("", "small", wrap=True)
        self.title = label("", "title", wrap=True)
        words = labels_in(resources_root(), self._session.catalogue.wording.language)
        self.drawing = DrawingView(most_width=360, words=words)
        self.steps = label("", wrap=True)
        self.feel = label("", "quiet", wrap=True)
        self.caution = CautionBox()
        self.form = ReadingForm()
        self.grade = GradeLabel(large=True)
        self.by_rule = label("", "small", wrap=True)
        self.meaning = label("", wrap=True)
        self.leads_heading = label(tr("What it leads to if left"), "small")
        self.leads_to = label("", wrap=True)
        self.remedies_heading = label(tr("Put right by"), "small")
        self.remedies = RemedyList(name=tr("Put right by"))
        self.handover = label("", "quiet", wrap=True)
        self.so_far = ReadingsSoFar(self._session, self._base)
        self.photos = PhotosPanel(self._session)
        self.unsure = QCheckBox(tr("not sure"))
        self.unsure.setToolTip(
            tr("The finding then counts as a chance until somebody confirms it.")
        )
        self.not_seen = button(
            tr("Not seen"), "quiet", tip=tr("Looked for and could not be seen; write why beside it")
        )
        self.not_fitted = button(tr("Not fitted"), "quiet", tip=tr("She has none of this"))
        self.overrule_button = button(tr("Overrule"), "quiet", tip=tr("Set the grade yourself"))
        self.overruling = OverrulingBox()
        self.problem = label("", "problem", wrap=True)
        self.next_button = button(tr("Next"), "primary", tip=tr("Next check (Ctrl+Return)"))

    def _lay_out(self) -> None:
        self.empty = EmptyState(
            tr("Nothing chosen"),
            tr("Choose a check in the tree. Each one says how to look and what a reading means."),
        )
        self.body = QWidget()
        column = QVBoxLayout(self.body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._how_to_look(), 1)
        column.addWidget(self._answer())
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.empty)
        whole.addWidget(self.body)

    def _how_to_look(self) -> QScrollArea:
        holder = surface("panel")
        column = QVBoxLayout(holder)
        column.setContentsMargins(SPACE_PAGE, SPACE_RELATED, SPACE_PAGE, SPACE_GROUPS)
        column.setSpacing(SPACE_RELATED)
        # What can hurt is read before the first step.
        for part in (self.where, self.title, self.drawing, self.caution, self.steps, self.feel):
            column.addWidget(part)
        later = (self.leads_heading, self.leads_to, self.handover, self.so_far, self.photos)
        for below in later:
            column.addWidget(below)
        column.addStretch(1)
        self.how_to_look = QScrollArea()
        self.how_to_look.setWidgetResizable(True)
        self.how_to_look.setFrameShape(QScrollArea.Shape.NoFrame)
        self.how_to_look.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.how_to_look.setAccessibleName(tr("How to look"))
        self.how_to_look.setWidget(holder)
        return self.how_to_look

    def _answer(self) -> QWidget:
        foot = surface("foot")
        column = QVBoxLayout(foot)
        column.setContentsMargins(SPACE_PAGE, SPACE_RELATED, SPACE_PAGE, SPACE_RELATED)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(self.form)
        verdict = QHBoxLayout()
        words = FlowLayout(spacing=SPACE_GROUPS)
        words.addWidget(self.grade)
        words.addWidget(self.unsure)
        verdict.addLayout(words, 1)
        verdict.addWidget(self.next_button, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(verdict)
        for part in (self.meaning, self.by_rule, self.problem, self.remedies_heading):
            column.addWidget(part)
        column.addWidget(self.remedies)
        column.addWidget(self.overruling)
        column.addLayout(self._buttons())
        return foot

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(SPACE_TIGHT)
        row.addWidget(self.not_seen)
        row.addWidget(self.not_fitted)
        row.addWidget(self.overrule_button)
        row.addStretch(1)
        return row

    def _connect(self) -> None:
        session = self._session
        # what the user does
        self.form.reading_entered.connect(self._on_reading)
        self.form.problem_found.connect(self._say_problem)
        self.so_far.problem_found.connect(self._say_problem)
        self.unsure.toggled.connect(self._on_unsure)
        self.remedies.chosen.connect(self._on_remedy)
        self.not_seen.clicked.connect(self._on_not_seen)
        self.form.note.returnPressed.connect(self._on_not_seen)
        self.not_fitted.clicked.connect(self._on_not_fitted)
        self.overrule_button.clicked.connect(self._on_overrule_asked)
        self.overruling.decided.connect(self._on_overruled)
        self.next_button.clicked.connect(self.next_requested)
        # what changed elsewhere
        session.check_selected.connect(lambda _: self.refresh())
        session.boat_selected.connect(lambda _: self.refresh())
        session.assessed.connect(self.refresh)
        session.changed.connect(self._show_reading)

    # --- Showing ---

    def refresh(self) -> None:
        """Show the check that is looked at, with its figures where they are there."""
        check = self._session.check
        shown = check is not None and self._session.candidate is not None
        self.body.setVisible(shown)
        self.empty.setVisible(not shown)
        if check is None or not shown:
            self._shown = None
            return
        if check is not self._shown:
            self._shown = check
            self._show_check(check)
            self.how_to_look.verticalScrollBar().setValue(0)
        self._show_reading()
        figures = self._session.boat
        finding = figures.finding(check.id) if figures else None
        if figures is not None and finding is not None:
            self._show_finding(figures, finding)

    def _show_check(self, check: Check) -> None:
        system = self._session.catalogue.systems[check.system]
        looks = {"ashore": tr("ashore"), "afloat": tr("afloat"), "either": tr("ashore or afloat")}
        minutes = tr("{n} minutes").format(n=check.minutes)
        tools = ", ".join(check.tools) or tr("bare eyes")
        self.where.setText(", ".join((system.title, looks[check.looks], minutes, tools)))
        self.title.setText(check.title)
        self._show_drawing(check.drawing)
        self.steps.setText("\n".join(f"{n}. {step}" for n, step in enumerate(check.steps, 1)))
        self.feel.setText(check.feel)
        cautions = [self._session.catalogue.cautions[name].text for name in check.cautions]
        self.caution.set_text(" ".join(cautions))
        self.caution.setVisible(bool(cautions))
        self.leads_to.setText(check.leads_to)
        self.handover.setText(
            tr("Call {who}: {when}").format(
                who=with_article(check.handover.who), when=check.handover.when
            )
        )
        self.form.set_check(check)
        self.overruling.hide()
        self.problem.hide()

    def _show_drawing(self, name: str) -> None:
        try:
            file = resource(f"drawings/{name}.svg") if name else None
        except ResourceError:
            file = None
        self.drawing.set_file(file)
        self.drawing.setVisible(file is not None)

    def _show_reading(self) -> None:
        reading = self._own_reading()
        self.form.set_reading(reading)
        own = reading if reading is not None and reading.by == self._session.observer else None
        self.so_far.show_reading(self._shown, own)
        self.unsure.blockSignals(True)
        self.unsure.setChecked(reading is not None and not reading.sure)
        self.unsure.blockSignals(False)

    def _show_finding(self, figures: BoatAssessment, finding: Finding) -> None:
        overruled = finding.overruling is not None
        self.grade.set_grade(finding.grade.value, overruled=overruled)
        self.by_rule.setText(rule_words(finding, self._session.catalogue.wording))
        self.meaning.setText(finding.check.meaning.get(finding.grade, meaning_of_state(finding)))
        serious = finding.grade.severity >= Grade.WORN.severity
        self.leads_heading.setVisible(serious)
        self.leads_to.setVisible(serious)
        self.overrule_button.setText(tr("Back to the rule") if overruled else tr("Overrule"))
        self._show_remedies(figures, finding)
        self.so_far.show_finding(finding)

    def _show_remedies(self, figures: BoatAssessment, finding: Finding) -> None:
        seen = finding.grade.severity >= Grade.WORN.severity
        rows = [remedy_row(self._session, figures, finding, one.id) for one in finding.offered]
        self.remedies_heading.setVisible(seen and bool(rows))
        self.remedies.setVisible(seen and bool(rows))
        self.remedies.set_rows(rows)
        self.remedies.set_choice(finding.remedy.id if finding.remedy else None)

    # --- What the user does ---

    def _own_reading(self) -> Reading | None:
        """The reading of this person on this day, which a new entry replaces; else the last."""
        candidate = self._session.candidate
        if candidate is None or self._shown is None:
            return None
        readings = candidate.inspection.readings.get(self._shown.id, ())
        own = [one for one in readings if one.by == self._session.observer]
        return own[-1] if own else (readings[-1] if readings else None)

    def _base(self) -> Reading:
        """The reading to change: today's own one, or a new one that starts from the last."""
        last = self._own_reading()
        today, observer = self._session.today(), self._session.observer
        if last is not None and last.by == observer and last.taken == today:
            return last
        return Reading("", taken=today, by=observer)

    def _record(self, reading: Reading) -> None:
        check, boat_id = self._shown, self._session.boat_id
        if check is None:
            return
        self._say_problem(
            self._session.attempt(
                lambda project: record_reading(project, boat_id, check.id, reading, check.title)
            )
        )

    def _on_reading(self, values: object) -> None:
        check = self._shown
        if check is None or not isinstance(values, dict):
            return
        base = self._base()
        if not values and base.id:
            boat_id = self._session.boat_id
            self._session.attempt(
                lambda project: remove_reading(project, boat_id, check.id, base.id, check.title)
            )
            return
        if values:
            self._record(
                dataclasses.replace(
                    base,
                    values=FrozenMap(values),
                    sight=Sight.SEEN,
                    sure=not self.unsure.isChecked(),
                )
            )

    def _on_unsure(self, checked: bool) -> None:
        last = self._own_reading()
        if last is not None:
            self._record(dataclasses.replace(last, sure=not checked))

    def _on_not_seen(self) -> None:
        if not self.form.note.isVisible():
            self.form.note.show()
            self.form.note.setFocus()
            return
        reason = self.form.note.text().strip() or tr("could not be seen")
        self._record(
            Reading(
                "",
                sight=Sight.NOT_SEEN,
                reason=reason,
                taken=self._session.today(),
                by=self._session.observer,
            )
        )

    def _on_not_fitted(self) -> None:
        self._record(
            Reading(
                "", sight=Sight.NOT_FITTED, taken=self._session.today(), by=self._session.observer
            )
        )

    def _on_remedy(self, key: object) -> None:
        check, boat_id = self._shown, self._session.boat_id
        if check is not None and isinstance(key, str):
            self._session.attempt(
                lambda project: choose_remedy(project, boat_id, check.id, key, check.title)
            )

    def _on_overrule_asked(self) -> None:
        check, candidate = self._shown, self._session.candidate
        if check is None or candidate is None:
            return
        if check.id in candidate.inspection.overrulings:
            boat_id = self._session.boat_id
            self._session.attempt(
                lambda project: overrule(project, boat_id, check.id, None, check.title)
            )
            return
        self.overruling.setVisible(not self.overruling.isVisible())
        self.overruling.reason.setFocus()

    def _on_overruled(self, grade: object, reason: str) -> None:
        check, boat_id = self._shown, self._session.boat_id
        if check is None or not isinstance(grade, Grade):
            return
        made = Overruling(grade, reason, self._session.observer, self._session.today())
        refused = self._session.attempt(
            lambda project: overrule(project, boat_id, check.id, made, check.title)
        )
        self._say_problem(refused)
        self.overruling.take_back(clear=not refused)

    def _say_problem(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
