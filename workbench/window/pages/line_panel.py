"""One work line unfolded: hours, rates, materials, number and chance, its quote, its switches."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from workbench.catalogue.names import trade_words
from workbench.domain.ledger import LineChange, Quote
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.project import Project
from workbench.domain.span import Ends, Span
from workbench.domain.vocabulary import When
from workbench.edits.costing import (
    change_line,
    put_own_line,
    put_quote,
    remove_own_line,
    remove_quote,
)
from workbench.edits.edit import Edit
from workbench.window import formatting
from workbench.window.models.both_ways import both_ways, both_ways_words
from workbench.window.pages import range_reading as ranges
from workbench.window.pages.job_needs import JobNeeds
from workbench.window.pages.line_trace import line_trace
from workbench.window.pages.quote_document import QuoteDocument
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.labels import label
from workbench.window.widgets.parsed_field import ParsedField
from workbench.window.widgets.surroundings import SPACE_RELATED, SPACE_TIGHT
from workbench.window.widgets.three_point_field import ThreePointField
from workbench.window.widgets.why_panel import WhyPanel

if TYPE_CHECKING:
    from workbench.figures.assessment import Line


class LinePanel(QWidget):
    """The figures of one work line, to be changed; every change is an edit at once.

    Signals
    -------
    closed()
        The user is done with the line.
    """

    closed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.key = ""
        self.title = label("", "strong", wrap=True)
        self.problem = label("", "problem", wrap=True)
        self.ways = label("", "small", wrap=True)
        self._fields: dict[str, ThreePointField | ParsedField] = {}
        self._job: QLineEdit | None = None
        self._needs: JobNeeds | None = None
        self._holder: QWidget | None = None
        self.own_work = QCheckBox(tr("Own work"))
        self.left_out = QCheckBox(tr("Leave out"))
        self.left_out.setToolTip(tr("The line stays and counts nothing until you take this back."))
        self.when = QComboBox()
        self.when.setAccessibleName(tr("When it is done"))
        for one in When:
            self.when.addItem(formatting.when_word(one), one)
        self.yard = QLineEdit()
        self.yard.setPlaceholderText(tr("Yard or trade"))
        self.yard.setAccessibleName(tr("Yard or trade that quoted"))
        self.quoted = ParsedField(
            ranges.read_positive,
            lambda value: formatting.whole(value) if isinstance(value, Decimal) else "",
            name=tr("Quoted price"),
            characters=8,
            placeholder=tr("price"),
        )
        self.reading = ranges.RangeReading()
        self.narrow = label("", "problem", wrap=True)
        self.document = QuoteDocument(session)
        self.why = WhyPanel()
        self.close_button = button(tr("Done"), "quiet")
        self.reset_button = button(tr("Back to the price book"), "quiet")
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, SPACE_RELATED, 0, SPACE_RELATED)
        self._column.setSpacing(SPACE_TIGHT)
        self._column.addWidget(self.title)
        self._column.addWidget(self.reading)
        self._column.addWidget(self.narrow)
        switches = FlowLayout(spacing=SPACE_RELATED)
        switches.addWidget(self.when)
        switches.addWidget(self.own_work)
        switches.addWidget(self.left_out)
        self._column.addLayout(switches)
        self._column.addWidget(self.ways)
        quote = QHBoxLayout()
        quote.addWidget(label(tr("Quote"), "small"))
        quote.addWidget(self.yard, 1)
        quote.addWidget(self.quoted)
        self._column.addLayout(quote)
        self._column.addWidget(self.document)
        self._column.addWidget(self.why)
        self._column.addWidget(self.problem)
        foot = QHBoxLayout()
        foot.addWidget(self.reset_button)
        foot.addStretch(1)
        foot.addWidget(self.close_button)
        self._column.addLayout(foot)
        self.problem.hide()

    def _connect(self) -> None:
        self.own_work.clicked.connect(lambda on: self._change(own_work=bool(on)))
        self.left_out.clicked.connect(lambda on: self._change(left_out=bool(on)))
        self.when.activated.connect(lambda _: self._change(when=self.when.currentData()))
        self.reading.ends_chosen.connect(self._on_ends)
        self.reading.shape_chosen.connect(lambda shape: self._change_job(shape=shape))
        self.quoted.value_entered.connect(self._on_quoted)
        self.document.said.connect(self._say)
        self.close_button.clicked.connect(self.closed)
        self.reset_button.clicked.connect(self._on_reset)
        self._session.assessed.connect(self.refresh)

    def show_line(self, key: str) -> None:
        """Unfold another line."""
        self.key = key
        self._say("")
        self.refresh(rebuild=True)

    def line(self) -> Line | None:
        """The line as it is figured now."""
        figures = self._session.boat
        if figures is None:
            return None
        return next((line for line in figures.lines if line.key == self.key), None)

    def refresh(self, *, rebuild: bool = False) -> None:
        """Show the line's figures as they are now."""
        line = self.line()
        self.setVisible(line is not None)
        if line is None:
            return
        self.title.setText(line.title)
        self.reset_button.setText(
            tr("Take the job away") if line.own is not None else tr("Back to the price book")
        )
        if rebuild or self._holder is None:
            self._build(line)
            self.reading.show_reading(Ends.ONE_IN_TEN, None)
        self._show_reading(line)
        self._fill(line)
        self.why.set_trace(lambda: line_trace(self._session, self.line()))

    def _build(self, line: Line) -> None:
        if self._holder is not None:
            self._column.removeWidget(self._holder)
            self._holder.deleteLater()
        self._holder = QWidget()
        grid = QGridLayout(self._holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(SPACE_TIGHT)
        self._fields, self._job = {}, None
        currency = self._session.project.settings.currency
        if line.priced is not None:
            for one in line.priced.labour:
                words = trade_words(self._session.catalogue, one.trade)
                self._add(grid, f"hours/{one.trade}", tr("Hours, {trade}").format(trade=words), "h")
                self._add_number(grid, f"rate/{one.trade}", tr("An hour costs"))
            self._add(grid, "materials", tr("Materials and services"), currency)
            self._add_number(grid, "count", tr("Number"))
        elif line.own is not None:
            self._add_job(grid)
        self._add_number(grid, "chance", tr("Chance that it is needed, %"))
        self._column.insertWidget(1, self._holder)

    def _add_job(self, grid: QGridLayout) -> None:
        """The fields of a job of the buyer's own: what it is, needs and costs."""
        words = label(tr("The job"), "small")
        self._job = QLineEdit()
        self._job.setAccessibleName(tr("The job"))
        self._job.editingFinished.connect(self._on_job_named)
        words.setBuddy(self._job)
        grid.addWidget(words, 0, 0)
        grid.addWidget(self._job, 1, 0)
        self._needs = JobNeeds(self._session)
        self._needs.changed.connect(lambda fields: self._change_job(**fields))
        grid.addWidget(self._needs, 2, 0)
        self._add(grid, "cost", tr("It costs"), self._session.project.settings.currency)

    def focus_job(self) -> None:
        """Put the keyboard into the name of a job of one's own."""
        if self._job is not None:
            self._job.setFocus()
            self._job.selectAll()

    def _add(self, grid: QGridLayout, key: str, words: str, unit: str) -> None:
        field = ThreePointField(
            ranges.read_positive, ranges.shown_number, unit=unit, name=words, characters=6
        )
        field.span_entered.connect(lambda span, key=key: self._on_span(key, span))
        self._place(grid, key, words, field)

    def _add_number(self, grid: QGridLayout, key: str, words: str) -> None:
        field = ParsedField(ranges.read_positive, ranges.shown_number, name=words, characters=7)
        field.value_entered.connect(lambda value, key=key: self._on_number(key, value))
        self._place(grid, key, words, field)

    def _place(
        self, grid: QGridLayout, key: str, words: str, field: ThreePointField | ParsedField
    ) -> None:
        # The words stand above: beside them three fields would not fit into the narrow ledger.
        name = label(words, "small", wrap=True)
        name.setBuddy(field)
        grid.addWidget(name, grid.rowCount(), 0)
        grid.addWidget(field, grid.rowCount(), 0)
        self._fields[key] = field

    def _fill(self, line: Line) -> None:
        ways = both_ways(self._session, line)
        self.ways.setText(both_ways_words(line, ways) if ways is not None else "")
        self.ways.setVisible(ways is not None)
        # The fields hold the yard's hours; own hours are made from them by the owner's share.
        priced = ways[0] if ways is not None else line.priced
        if priced is not None:
            for one in priced.labour:
                self._set_span(f"hours/{one.trade}", one.span)
                self._set(f"rate/{one.trade}", Decimal(repr(round(one.rate, 2))))
            self._set_span("materials", priced.materials_span)
            self._set("count", Decimal(repr(priced.count)))
        if line.own is not None:
            self._set_span("cost", line.own.cost)
            if self._job is not None and self._needs is not None:
                self._needs.show_job(line.own)
                self._job.setText(self._job.text() if self._job.hasFocus() else line.own.title)
        self._set("chance", Decimal(repr(round(line.chance * 100, 1))))
        self.own_work.setChecked(line.own_work)
        self.own_work.setEnabled(line.remedy is not None and line.remedy.own.may)
        if line.remedy is not None:
            tip = line.remedy.own.note or tr("Your own hours at your own rate.")
            self.own_work.setToolTip(tip if line.remedy.own.may else tr("Not work for an owner."))
        self.left_out.setChecked(line.left_out)
        self.when.setCurrentIndex(self.when.findData(line.when))
        if not self.yard.hasFocus():
            self.yard.setText(line.quote.yard if line.quote else "")
        self.quoted.set_value(line.quote.amount.amount if line.quote else None)
        self.document.show_quote(line.quote)

    def _set(self, key: str, value: Decimal) -> None:
        field = self._fields.get(key)
        if isinstance(field, ParsedField) and field.value() != value:
            field.set_value(value)

    def _set_span(self, key: str, span: Span) -> None:
        field = self._fields.get(key)
        ends = (round(span.low, 2), round(span.likely, 2), round(span.high, 2))
        if not isinstance(field, ThreePointField):
            return
        if field.span() != ends:
            field.set_span(ends)
        meant = self.reading.chosen_ends() if span.certain else span.ends
        field.set_limits(tr(ranges.LIMITS[meant]))

    def _show_reading(self, line: Line) -> None:
        """Say how own ranges are read, and which claim more than they can carry."""
        ends = ranges.ends_of(ranges.own_spans(line, self._now())) or self.reading.chosen_ends()
        self.reading.setVisible(line.priced is not None or line.own is not None)
        self.reading.show_reading(ends, line.own.shape if line.own is not None else None)
        self.narrow.setText(ranges.too_narrow_words(self._session, line))
        self.narrow.setVisible(bool(self.narrow.text()))

    # --- Changes ---

    def _now(self) -> LineChange:
        candidate = self._session.candidate
        if candidate is None:
            return LineChange()
        return candidate.ledger.changes.get(self.key, LineChange())

    def _change(self, **fields: object) -> None:
        key, title, boat_id = self.key, self.title.text(), self._session.boat_id
        what = ", ".join(fields).replace("_", " ")

        def make(project: Project) -> Edit:
            changed = dataclasses.replace(self._now(), **fields)  # type: ignore[arg-type]
            return change_line(project, boat_id, key, changed, title, what)

        self._say(self._session.attempt(make))

    def _change_job(self, **fields: object) -> None:
        """Change a job of the buyer's own; what the catalogue never knew is in the job itself."""
        line, boat_id = self.line(), self._session.boat_id
        if line is None or line.own is None:
            return
        changed = dataclasses.replace(line.own, **fields)  # type: ignore[arg-type]
        self._say(self._session.attempt(lambda project: put_own_line(project, boat_id, changed)))

    def _on_ends(self, ends: Ends) -> None:
        """Read the buyer's own ranges of the line in another way."""
        line, now = self.line(), self._now()
        if line is not None and line.own is not None:
            self._change_job(cost=dataclasses.replace(line.own.cost, ends=ends))
        elif now.hours or now.materials is not None:
            self._change(**ranges.reread(now, ends))
        self.refresh()

    def _on_job_named(self) -> None:
        line = self.line()
        named = self._job.text().strip() if self._job is not None else ""
        if line is not None and line.own is not None and named != line.own.title:
            self._change_job(title=named)

    def _on_span(self, key: str, ends: object) -> None:
        if not isinstance(ends, tuple):
            return
        try:
            low, likely, high = (Decimal(end) for end in ends)
            span = Span(low, likely, high, self.reading.chosen_ends())
        except EntryError as error:
            self._say(said(str(error)))
            return
        if key == "cost":
            self._change_job(cost=span)
        elif key == "materials":
            self._change(materials=span)
        else:
            trade = key.removeprefix("hours/")
            self._change(hours=self._now().hours.set(trade, span))

    def _on_number(self, key: str, value: object) -> None:
        number = value if isinstance(value, Decimal) else None
        if key == "count":
            self._change(count=number)
        elif key == "chance" and self.key.startswith("own/"):
            self._change_job(chance=Decimal(1) if number is None else number / 100)
        elif key == "chance":
            self._change(chance=None if number is None else number / 100)
        elif number is None:
            trade = key.removeprefix("rate/")
            self._change(rates=self._now().rates.drop(trade))
        else:
            trade = key.removeprefix("rate/")
            self._change(rates=self._now().rates.set(trade, number))

    def _on_quoted(self, value: object) -> None:
        line, boat_id = self.line(), self._session.boat_id
        if line is None:
            return
        before = line.quote
        if value is None:
            if before is not None:
                self._session.attempt(lambda project: remove_quote(project, boat_id, before.id))
            return
        if not isinstance(value, Decimal):
            return
        quote = Quote(
            before.id if before else "",
            self.yard.text(),
            Money(value, self._session.project.settings.currency),
            before.answers if before else (line.key,),
            self._session.today(),
            document=before.document if before and before.yard == self.yard.text() else "",
        )
        self._say(self._session.attempt(lambda project: put_quote(project, boat_id, quote)))

    def _on_reset(self) -> None:
        key, title, boat_id = self.key, self.title.text(), self._session.boat_id
        line = self.line()
        if line is not None and (own := line.own) is not None:
            self._session.attempt(lambda project: remove_own_line(project, boat_id, own.id))
            self.closed.emit()
            return
        self._say(
            self._session.attempt(
                lambda project: change_line(project, boat_id, key, LineChange(), title, tr("Reset"))
            )
        )

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
