"""What to write: which sheets, about which boats, on what paper, into which folder."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFileDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QProgressBar,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from workbench.reports.export import PAPERS, SHEETS, Progress, count_files
from workbench.window.pages.sheet_writing import SheetOrder
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
    row_height,
)
from workbench.window.widgets.tables import set_up_list

EXPORTS = "exports"
MOST_BOATS_SHOWN = 6


def sheet_words(name: str) -> str:
    """What a sheet is for, in a line."""
    return {
        "offer": tr("For the seller: the claim, line by line."),
        "surveyor-brief": tr("What to look at first, and why."),
        "trade-briefs": tr("Rigger, mechanic and others: each their own part."),
        "yard-request": tr("The jobs, with room for prices."),
        "photos": tr("With their rings and captions."),
        "comparison": tr("Side by side, with your budget in it."),
        "field-form": tr("To write on at the boat."),
        "field-form-fillable": tr("A PDF to fill in on a screen, and to bring in again."),
        "field-sheet": tr("A spreadsheet to fill in at the boat."),
        "yard-sheet": tr("A spreadsheet for prices, to bring in again."),
        "walk-list": tr("What nobody has seen yet, in walking order."),
        "season-list": tr("The jobs of her first season."),
        "workbook": tr("Every figure, as live formulas."),
        "workbook-private": tr("The same with your limits, offers, private notes and contacts."),
    }.get(name, "")


class SheetChoice(QWidget):
    """The choices, the button that writes, and how far it is.

    Signals
    -------
    write_requested(SheetOrder)
        The user wants the sheets.
    stop_requested()
        The user wants the writing to end.
    """

    write_requested = Signal(object)
    stop_requested = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._out: Path | None = None
        self._boats_shown: tuple[tuple[str, str], ...] = ()
        self.sheets: dict[str, QCheckBox] = {}
        self.boats = QListWidget()
        set_up_list(self.boats, name=tr("Boats to write about"))
        self.boats.setToolTip(tr("Space ticks a boat."))
        self.all_boats = SectionHeader(tr("Which boats"), action=tr("all"))
        self.paper = ChoiceRow(
            [(name, tr(words)) for name, words in zip(PAPERS, ("A4", "Letter"), strict=True)],
            name=tr("Paper"),
        )
        self.place = label("", "quiet", wrap=True)
        self.choose_button = button(
            tr("Choose …"), "link", tip=tr("Another folder for what is written")
        )
        self.write_button = button("", "primary", tip=tr("Write the chosen sheets (Ctrl+P)"))
        self.stop_button = button(tr("Stop"), "", tip=tr("End here; finished sheets stay"))
        self.progress = QProgressBar()
        self.progress.setAccessibleName(tr("How far the writing is"))
        self.doing = label("", "small", wrap=True)
        self.problem = label("", "problem", wrap=True)
        self._lay_out()
        self._connect()
        self.paper.set_choice(self._usual_paper())
        self.set_busy(None, busy=False)
        self.refresh()

    def _usual_paper(self) -> str:
        preferences = self._session.preferences
        kept = str(preferences.value("paper", "")) if preferences is not None else ""
        if kept in PAPERS:
            return kept
        return "letter" if self._session.project.settings.units == "imperial" else "a4"

    # --- Parts ---

    def _lay_out(self) -> None:
        holder = surface("page")
        column = QVBoxLayout(holder)
        column.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_GROUPS, SPACE_GROUPS)
        column.setSpacing(SPACE_RELATED)
        self._add_sheets(column, tr("To hand over"), for_others=True)
        self._add_sheets(column, tr("For yourself"), for_others=False)
        column.addWidget(self.all_boats)
        column.addWidget(self.boats)
        column.addSpacing(SPACE_TIGHT)
        column.addWidget(SectionHeader(tr("Paper and place")))
        column.addWidget(self.paper)
        place = QHBoxLayout()
        place.addWidget(self.place, 1)
        place.addWidget(self.choose_button, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(place)
        column.addStretch(1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setAccessibleName(tr("What to write"))
        area.setWidget(holder)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(area, 1)
        whole.addWidget(self._foot())

    def _add_sheets(self, column: QVBoxLayout, title: str, *, for_others: bool) -> None:
        column.addWidget(SectionHeader(title))
        for name, sheet in SHEETS.items():
            if sheet.for_others is not for_others:
                continue
            box = QCheckBox(tr(sheet.title))
            box.setChecked(name == "offer")
            words = sheet_words(name)
            box.setAccessibleDescription(words)
            box.setToolTip(words)
            box.toggled.connect(lambda _: self.refresh())
            self.sheets[name] = box
            pair = QVBoxLayout()
            pair.setSpacing(0)
            pair.addWidget(box)
            if words:
                small = label(words, "small", wrap=True)
                small.setContentsMargins(26, 0, 0, 0)
                pair.addWidget(small)
            column.addLayout(pair)
        column.addSpacing(SPACE_TIGHT)

    def _foot(self) -> QWidget:
        foot = surface("foot")
        column = QVBoxLayout(foot)
        column.setContentsMargins(SPACE_PAGE, SPACE_RELATED, SPACE_GROUPS, SPACE_GROUPS)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(self.problem)
        column.addWidget(self.doing)
        column.addWidget(self.progress)
        row = QHBoxLayout()
        row.addWidget(self.write_button)
        row.addWidget(self.stop_button)
        row.addStretch(1)
        column.addLayout(row)
        return foot

    def _connect(self) -> None:
        self.boats.itemChanged.connect(lambda _: self._say())
        self.all_boats.action_requested.connect(self._tick_all)
        self.paper.chosen.connect(self._on_paper)
        self.choose_button.clicked.connect(self.choose_folder)
        self.write_button.clicked.connect(self._on_write)
        self.stop_button.clicked.connect(self.stop_requested)
        self._session.changed.connect(self.refresh)
        self._session.assessed.connect(self.refresh)

    # --- What is chosen ---

    @property
    def out(self) -> Path:
        """The folder that is written to."""
        return self._out or self._session.place / EXPORTS

    def chosen_sheets(self) -> tuple[str, ...]:
        """The sheets that are ticked, by name."""
        return tuple(name for name, box in self.sheets.items() if box.isChecked())

    def chosen_boats(self) -> tuple[str, ...]:
        """The boats that are ticked, by id."""
        items = (self.boats.item(row) for row in range(self.boats.count()))
        return tuple(
            str(item.data(Qt.ItemDataRole.UserRole))
            for item in items
            if item.checkState() is Qt.CheckState.Checked
        )

    def count(self) -> int:
        """How many files the choice makes."""
        if self._session.assessment is not None:
            chosen = self.chosen_sheets(), self.chosen_boats()
            return count_files(self._session.assessment, *chosen)
        boats = len(self.chosen_boats())
        kinds = [SHEETS[name] for name in self.chosen_sheets()]
        return sum(boats if kind.per_boat else min(boats, 1) for kind in kinds)

    def order(self) -> SheetOrder:
        """What is chosen."""
        paper = str(self.paper.choice() or PAPERS[0])
        return SheetOrder(self.chosen_sheets(), self.chosen_boats(), paper, self.out)

    def refresh(self) -> None:
        """Follow the search: its boats, its folder."""
        known = self._session.project.boats
        boats = tuple((id_, one.boat.name) for id_, one in known.items() if not one.boat.archived)
        if boats != self._boats_shown:
            self._fill_boats(boats)
        self._say()

    def _fill_boats(self, boats: tuple[tuple[str, str], ...]) -> None:
        before = self.chosen_boats() or (self._session.boat_id,)
        self._boats_shown = boats
        self.boats.blockSignals(True)
        self.boats.clear()
        for id_, name in boats:
            item = QListWidgetItem(name)
            item.setData(Qt.ItemDataRole.UserRole, id_)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            ticked = id_ in before
            item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
            self.boats.addItem(item)
        self.boats.blockSignals(False)
        rows = min(max(len(boats), 1), MOST_BOATS_SHOWN)
        self.boats.setFixedHeight(rows * row_height(self) + 4)

    def _tick_all(self) -> None:
        every = len(self.chosen_boats()) == self.boats.count()
        state = Qt.CheckState.Unchecked if every else Qt.CheckState.Checked
        for row in range(self.boats.count()):
            self.boats.item(row).setCheckState(state)

    def _say(self) -> None:
        """Say how many files it will be and where they go."""
        files = self.count()
        every = self.boats.count() > 0 and len(self.chosen_boats()) == self.boats.count()
        self.all_boats.set_action(tr("none") if every else tr("all"))
        words = tr("Write one sheet") if files == 1 else tr("Write {n} sheets").format(n=files)
        self.write_button.setText(words if files else tr("Write"))
        ready = files > 0 and self._session.assessment is not None
        self.write_button.setEnabled(ready)
        own = self._out is None
        self.place.setText(
            tr("In the folder “exports” of this search. Nothing is written over.")
            if own
            else str(self._out)
        )

    # --- What the user does ---

    def choose_folder(self) -> None:
        """Ask for another folder."""
        chosen = QFileDialog.getExistingDirectory(self, tr("Where to write"), str(self.out.parent))
        if chosen:
            self.set_folder(Path(chosen))

    def set_folder(self, folder: Path | None) -> None:
        """Write to another folder; None for the search's own."""
        self._out = folder
        self.say_problem("")
        self._say()

    def _on_paper(self, choice: object) -> None:
        if choice is None:
            self.paper.set_choice(PAPERS[0])
        preferences = self._session.preferences
        if preferences is not None:
            preferences.setValue("paper", str(self.paper.choice()))

    def _on_write(self) -> None:
        self.say_problem("")
        self.write_requested.emit(self.order())

    # --- How far it is ---

    def set_busy(self, progress: Progress | None, *, busy: bool) -> None:
        """Show how far the writing is, or the button that begins it."""
        self.write_button.setVisible(not busy)
        self.stop_button.setVisible(busy)
        self.progress.setVisible(busy)
        self.doing.setVisible(busy)
        if progress is not None:
            self.progress.setRange(0, max(progress.of, 1))
            self.progress.setValue(progress.done)
            self.doing.setText(
                tr("{n} of {all}: {sheet}").format(
                    n=progress.done + 1, all=progress.of, sheet=progress.sheet
                )
            )

    def say_problem(self, sentence: str) -> None:
        """Say what is wrong where the writing begins."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
