"""Price anchors: the comparables, how each is adjusted to the boat, and what they indicate."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QScrollArea,
    QSplitter,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.project import Comparable
from workbench.window import formatting
from workbench.window.models.anchor_reading import AnchorReading, read_anchor
from workbench.window.models.comparable_fields import KINDS, Field
from workbench.window.models.comparables_table import COLUMN, ComparablesModel
from workbench.window.models.copying import let_copy
from workbench.window.pages.adjustment_list import rows_of, shares_words
from workbench.window.pages.anchor_words import basis_words, notes, why_not
from workbench.window.pages.boat_choice import BoatChoice
from workbench.window.pages.cell_editing import CellEditing
from workbench.window.pages.comparable_entry import ComparableEntry
from workbench.window.pages.page_figures import Job, PageFigures
from workbench.window.pages.parts_list import PartsList
from workbench.window.pages.paste_panel import PastePanel
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.charts import Point, ScatterChart
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
)
from workbench.window.widgets.tables import set_up_table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence


class AnchorsPage(QWidget):
    """The comparables of the search, read for the boat that is looked at."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._reading: AnchorReading | None = None
        self.boat = BoatChoice(session)
        self.sentence = label("", "heading", wrap=True)
        self.basis = label("", "quiet", wrap=True)
        self.model = ComparablesModel(session, self)
        self.view = QTableView()
        self.entry = ComparableEntry(session)
        self.paste = PastePanel(session)
        self.paste_button = button(
            tr("Paste rows"), tip=tr("Rows copied from a spreadsheet (Ctrl+V in the table)")
        )
        self.remove_button = button(
            tr("Remove"), "quiet", tip=tr("Take the chosen comparables away (Del)")
        )
        self.problem = label("", "problem", wrap=True)
        self.empty = label(
            tr(
                "No comparables yet, so the price asked stands in for what she would fetch. Enter "
                "boats like yours that were sold or are advertised: four give a range, five and "
                "more a band. You can paste them from a spreadsheet."
            ),
            "quiet",
            wrap=True,
        )
        self.adjusting = SectionHeader(tr("Adjusted to her"))
        self.adjustments = PartsList(tr("Adjustments of the comparable"))
        self.shares = label("", "small", wrap=True)
        self.scatter = ScatterChart(
            lambda year: f"{year:.0f}",
            formatting.estimate,
            name_x=tr("built in"),
            name_y=tr("adjusted to her in all but age"),
            name=tr("Comparables by the year they were built"),
        )
        self.notes = label("", "", wrap=True)
        self.errors = label("", "small", wrap=True)
        self._set_up_views()
        self._lay_out()
        self.figures = PageFigures(self, session, self._prepare, self._take)
        self._connect()
        self._show_emptiness()

    # --- Parts ---

    def _set_up_views(self) -> None:
        self.view.setModel(self.model)
        set_up_table(self.view, name=tr("Comparables"), stretch_column=COLUMN[Field.TITLE])
        self.view.setFrameShape(QTableView.Shape.NoFrame)
        self.view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.view.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.view.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.editing = CellEditing(self.view, self.model.refusal, _choices)
        self.view.setItemDelegate(self.editing)
        head = self.view.horizontalHeader()
        for field, wide in ((Field.SOURCE, 110), (Field.NOTE, 130)):
            head.setSectionResizeMode(COLUMN[field], QHeaderView.ResizeMode.Interactive)
            head.resizeSection(COLUMN[field], wide)
        let_copy(self.view)

    def _lay_out(self) -> None:
        head = surface("page")
        words = QVBoxLayout(head)
        words.setContentsMargins(SPACE_PAGE, SPACE_RELATED, SPACE_PAGE, SPACE_RELATED)
        words.setSpacing(2)
        line = QHBoxLayout()
        line.setSpacing(SPACE_GROUPS)
        line.addWidget(self.boat)
        line.addWidget(self.sentence, 1)
        words.addLayout(line)
        words.addWidget(self.basis)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(self._table_part())
        self.splitter.addWidget(self._reading_part())
        self.splitter.setSizes([350, 290])
        self.splitter.setStretchFactor(0, 1)
        self.splitter.setStretchFactor(1, 1)
        self.splitter.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(self.splitter, 1)

    def _table_part(self) -> QWidget:
        part = surface("panel")
        inner = QVBoxLayout(part)
        inner.setContentsMargins(0, 0, 0, SPACE_RELATED)
        inner.setSpacing(SPACE_RELATED)
        inner.addWidget(self.view, 1)
        below = QVBoxLayout()
        below.setContentsMargins(SPACE_GROUPS, 0, SPACE_GROUPS, 0)
        below.setSpacing(SPACE_TIGHT)
        below.addWidget(self.empty)
        below.addWidget(self.problem)
        below.addWidget(self.paste)
        self._entering = QWidget()
        row = QHBoxLayout(self._entering)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(SPACE_RELATED)
        row.addWidget(self.entry, 1)
        row.addWidget(self.paste_button, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.remove_button, 0, Qt.AlignmentFlag.AlignTop)
        below.addWidget(self._entering)
        inner.addLayout(below)
        self.problem.hide()
        self.paste.hide()
        return part

    def _reading_part(self) -> QWidget:
        part = surface("page")
        inner = QHBoxLayout(part)
        inner.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_PAGE, SPACE_RELATED)
        inner.setSpacing(SPACE_PAGE)
        left = (self.adjusting, self.adjustments, self.shares)
        right = (SectionHeader(tr("What to know of it")), self.notes, self.errors)
        inner.addWidget(_column(left, SPACE_TIGHT), 4)
        inner.addWidget(self.scatter, 6)
        inner.addWidget(_column(right, SPACE_RELATED), 4)
        return part

    def _connect(self) -> None:
        # what the user does
        self.entry.add_requested.connect(self._on_add)
        self.paste_button.clicked.connect(lambda _=False: self.paste_rows())
        self.paste.add_requested.connect(self._on_add_pasted)
        self.paste.closed.connect(self._close_paste)
        self.remove_button.clicked.connect(lambda _=False: self.remove_chosen())
        self.model.refused.connect(self._say)
        self.view.selectionModel().currentRowChanged.connect(self._on_current)
        self.scatter.mark_chosen.connect(self._on_mark)
        for keys, do in (
            (QKeySequence.StandardKey.Paste, self.paste_rows),
            (QKeySequence.StandardKey.Delete, self.remove_chosen),
        ):
            shortcut = QShortcut(QKeySequence(keys), self.view)
            shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
            shortcut.activated.connect(do)
        # the search
        self._session.changed.connect(self._on_changed)
        self._session.assessed.connect(self.figures.refresh)
        self._session.boat_selected.connect(self.figures.refresh)

    # --- What the user does ---

    def _on_add(self, made: object) -> None:
        if isinstance(made, Comparable):
            refused = self.model.add([made])
            self.entry.say(refused)
            if not refused:
                self.entry.clear()
                self._show_last()

    def _show_last(self) -> None:
        last = self.model.rowCount() - 1
        self.view.setCurrentIndex(self.model.index(last, COLUMN[Field.TITLE]))
        self.view.scrollToBottom()

    def paste_rows(self) -> None:
        """Take what is on the clipboard apart and show it to be looked over."""
        text = QGuiApplication.clipboard().text()
        if not self.paste.show_text(text):
            self._say(tr("There is no table on the clipboard. Copy its rows first."))
            return
        self._say("")
        self.paste.show()
        self._entering.hide()
        self.paste.add_button.setFocus()

    def _on_add_pasted(self, made: object) -> None:
        if not isinstance(made, tuple) or not made:
            return
        refused = self.model.add(made)
        self._say(refused)
        if not refused:
            self._close_paste()
            self._show_last()

    def _close_paste(self) -> None:
        self.paste.hide()
        self._entering.show()
        self.view.setFocus()

    def remove_chosen(self) -> None:
        """Take the comparables with a chosen cell away."""
        numbers = sorted({index.row() for index in self.view.selectionModel().selectedIndexes()})
        if numbers:
            self.model.remove(numbers)
        else:
            self._say(tr("Choose a comparable in the table first."))

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def _on_current(self, current: QModelIndex) -> None:
        self._show_adjustments(self.model.comparable(current.row()))

    def _on_mark(self, key: object) -> None:
        number = self.model.number_of(str(key))
        if number >= 0:
            self.view.setCurrentIndex(self.model.index(number, COLUMN[Field.TITLE]))

    # --- Figures ---

    def _on_changed(self) -> None:
        self._show_emptiness()
        if self.view.currentIndex().row() < 0:
            self._show_adjustments(None)

    def _show_emptiness(self) -> None:
        self.empty.setVisible(not self.model.rowCount())

    def _prepare(self) -> Job | None:
        candidate = self._session.candidate
        if candidate is None:
            return None
        project, figures = self._session.project, self._session.boat
        wording = self._session.catalogue.wording
        asking = figures.asking if figures is not None else None
        return lambda: read_anchor(project, candidate.boat, asking, wording)

    def _take(self, reading: AnchorReading | None) -> None:
        self._reading = reading
        self.model.take(reading)
        self._say_indication(reading)
        self._draw(reading)
        self._say_notes(reading)
        current = self.view.currentIndex()
        if not current.isValid() and self.model.rowCount():
            self.view.setCurrentIndex(self.model.index(0, COLUMN[Field.TITLE]))
        else:
            self._show_adjustments(self.model.comparable(current.row()))

    def _say_indication(self, reading: AnchorReading | None) -> None:
        if reading is None:
            self.sentence.setText(tr("Enter a boat first; then comparables can be read for her."))
            self.basis.setText("")
            return
        currency = self._session.project.settings.currency
        asked = tr("The price asked is not known.")
        if reading.asking is not None:
            asked = tr("{amount} is asked.").format(amount=formatting.whole(reading.asking))
        found = reading.indication
        if found is None:
            self.sentence.setText(f"{reading.why_none} {asked}")
            self.basis.setText("")
            return
        self.sentence.setText(
            tr("{value} {currency} is indicated, {low} to {high}. {asked}").format(
                value=formatting.estimate(found.value),
                currency=currency,
                low=formatting.estimate(found.low),
                high=formatting.estimate(found.high),
                asked=asked,
            )
        )
        self.basis.setText(found.sentence(self._session.catalogue.wording))

    def _draw(self, reading: AnchorReading | None) -> None:
        if reading is None:
            self.scatter.set_points(())
            return
        used = {one.id: one for one in self._session.project.comparables}
        points = [
            _point(used[key], adjusted.adjusted - _of_age(adjusted.lines))
            for key, adjusted in reading.adjusted.items()
            if key in used and used[key].year is not None
        ]
        if reading.boat.year is not None and reading.asking is not None:
            name = tr("{boat}, asked").format(boat=reading.boat.name)
            year, price = float(reading.boat.year), float(reading.asking)
            points.append(Point("own", name, year, price, own=True))
        self.scatter.set_points(points, reading.band)

    def _say_notes(self, reading: AnchorReading | None) -> None:
        found = reading.indication if reading is not None else None
        self.notes.setText("\n".join(notes(found)) if found is not None else "")
        wording = self._session.catalogue.wording
        self.errors.setText(basis_words(reading, wording) if reading is not None else "")

    def _show_adjustments(self, one: Comparable | None) -> None:
        reading = self._reading
        adjusted = reading.adjusted.get(one.id) if reading is not None and one is not None else None
        if one is None or reading is None or adjusted is None:
            self.adjustments.take(())
            self.shares.setText(why_not(one, reading))
            self.adjusting.set_beside("")
            return
        self.adjusting.set_beside(one.title)
        self.adjustments.take(rows_of(one, reading))
        self.shares.setText(shares_words(adjusted))


def _column(parts: Sequence[QWidget], spacing: int) -> QScrollArea:
    """Parts one below the other that scroll where there is no room for all of them."""
    ground = QWidget()
    lines = QVBoxLayout(ground)
    lines.setContentsMargins(0, 0, 0, 0)
    lines.setSpacing(spacing)
    for part in parts:
        lines.addWidget(part)
    lines.addStretch(1)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(ground)
    return area


def _choices(index: QModelIndex) -> tuple[tuple[str, str], ...]:
    choices = KINDS[index.column()].choices
    return choices() if choices is not None else ()


def _point(one: Comparable, amount: float) -> Point:
    return Point(one.id, one.title, float(one.year or 0), amount, faint=not one.used)


def _of_age(lines: object) -> float:
    assert isinstance(lines, tuple)  # noqa: S101 - adjustments are made by our own figures
    return float(sum(line.amount for line in lines if line.name == "age"))
