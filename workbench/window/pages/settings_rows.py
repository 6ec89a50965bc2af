"""A list of records in the settings, each a row of fields; a new one is a draft until it is whole.

The rows show what the search holds and announce what the user does to them; they keep nothing but
the draft. A sentence below a row says what is wrong in it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QApplication,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from workbench.window.pages.settings_cells import Cell, ParsedCell
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_RELATED, SPACE_TIGHT

Values = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Column:
    """A column of the list.

    Attributes
    ----------
    key
        By which its value is known.
    words
        Its heading.
    make
        Makes the field of one row.
    needed
        Whether a record without it is not whole.
    tip
        What the word means.
    """

    key: str
    words: str
    make: Callable[[], Cell]
    needed: bool = False
    tip: str = ""


class _Row:
    """The parts of one row."""

    def __init__(self, cells: dict[str, Cell], remove: QPushButton) -> None:
        self.cells = cells
        self.remove = remove
        self.problem = label("", "problem", wrap=True)
        self.problem.hide()

    def say(self, sentence: str) -> None:
        """Say what is wrong in the row."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def parts(self) -> list[QWidget]:
        """Every widget of the row."""
        return [*(cell.widget for cell in self.cells.values()), self.remove, self.problem]


class RecordRows(QWidget):
    """Rows of fields with a heading above each column.

    Parameters
    ----------
    what
        One record in a word, such as 'fee'; for names and buttons.
    add
        Words of the button that begins a new one.
    nothing
        Sentence shown while there is none.

    Signals
    -------
    changed(place, key, value)
        The user changed one field of a record.
    added(values)
        A new record is whole: a dict by key.
    removed(place)
        The user takes a record away.
    """

    changed = Signal(int, str, object)
    added = Signal(object)
    removed = Signal(int)

    def __init__(
        self,
        columns: Sequence[Column],
        *,
        what: str,
        add: str,
        nothing: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._columns = tuple(columns)
        self._what = what
        self._rows: list[_Row] = []
        self._draft: _Row | None = None
        self._headings: list[QWidget] = []
        self.nothing = label(nothing, "quiet", wrap=True)
        self.add_button = button(add, "link")
        self.add_button.clicked.connect(self.begin)
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(SPACE_RELATED)
        self._grid.setVerticalSpacing(SPACE_TIGHT)
        self._grid.setColumnStretch(len(self._columns) + 1, 1)
        below = QHBoxLayout()
        below.addWidget(self.add_button)
        below.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addWidget(self.nothing)
        column.addLayout(self._grid)
        column.addLayout(below)
        for place, one in enumerate(self._columns):
            heading = label(one.words, "small")
            heading.setToolTip(one.tip)
            self._headings.append(heading)
            self._grid.addWidget(heading, 0, place)
        self._mind_emptiness()

    # --- What the caller sets and reads ---

    def cell(self, place: int, key: str) -> Cell:
        """A field of a record."""
        return self._rows[place].cells[key]

    def draft_cell(self, key: str) -> Cell:
        """A field of the record that is being entered.

        Raises
        ------
        KeyError
            When none is being entered.
        """
        if self._draft is None:
            raise KeyError(key)
        return self._draft.cells[key]

    def count(self) -> int:
        """How many records are shown, the draft left out."""
        return len(self._rows)

    def set_records(self, records: Sequence[Values]) -> None:
        """Show these records; nothing is announced."""
        while len(self._rows) > len(records):
            self._take_down(self._rows.pop())
        while len(self._rows) < len(records):
            self._rows.append(self._make_row(len(self._rows)))
        for row, values in zip(self._rows, records, strict=True):
            for key, cell in row.cells.items():
                cell.put(values.get(key))
        self._place_all()

    def say(self, place: int, sentence: str) -> None:
        """Say what is wrong with a record."""
        self._rows[place].say(sentence)

    def say_draft(self, sentence: str) -> None:
        """Say what is wrong with the record that is being entered."""
        if self._draft is not None:
            self._draft.say(sentence)

    def draft_taken(self) -> None:
        """The record that was being entered is in the search now; the keyboard goes with it."""
        key = self._key_in_focus()
        self.cancel()
        if key and self._rows:
            self._rows[-1].cells[key].widget.setFocus(Qt.FocusReason.OtherFocusReason)

    def _key_in_focus(self) -> str:
        """The field of the draft that the keyboard is in, or is going to."""
        here = QApplication.focusWidget()
        cells = self._draft.cells if self._draft is not None else {}
        for key, cell in cells.items():
            if here is not None and (cell.widget is here or cell.widget.isAncestorOf(here)):
                return key
        return ""

    # --- What the user does ---

    def begin(self) -> None:
        """Begin a new record, with the keyboard in its first field."""
        if self._draft is None:
            self._draft = self._make_row(-1)
            self._place_all()
        first = next(iter(self._draft.cells.values()))
        first.widget.setFocus(Qt.FocusReason.OtherFocusReason)

    def cancel(self) -> None:
        """Drop the record that is being entered."""
        if self._draft is not None:
            self._take_down(self._draft)
            self._draft = None
            self._place_all()

    def _make_row(self, place: int) -> _Row:
        cells = {one.key: one.make() for one in self._columns}
        remove = button("×", "quiet", tip=tr("Take it away"))
        row = _Row(cells, remove)
        number = place + 1 if place >= 0 else self.count() + 1
        for one, cell in zip(self._columns, cells.values(), strict=True):
            cell.set_name(f"{self._what} {number}, {one.words}")
            cell.entered.connect(lambda value, key=one.key: self._on_entered(row, key, value))
            if isinstance(cell, ParsedCell):
                cell.on_problem(row.say)
        remove.setAccessibleName(tr("Take away {what} {n}").format(what=self._what, n=number))
        remove.clicked.connect(lambda: self._on_remove(row))
        return row

    def _on_entered(self, row: _Row, key: str, value: object) -> None:
        if row is self._draft:
            self._try_draft(row)
            return
        column = next(one for one in self._columns if one.key == key)
        if value is None and column.needed:
            row.say(tr("“{what}” cannot stay empty.").format(what=column.words))
            return
        row.say("")
        self.changed.emit(self._rows.index(row), key, value)

    def _try_draft(self, row: _Row) -> None:
        values = {key: cell.value() for key, cell in row.cells.items()}
        missing = [one.words for one in self._columns if one.needed and values[one.key] is None]
        if not missing:
            self.added.emit(values)
        else:
            row.say(tr("Still needed: {words}").format(words=", ".join(missing)))

    def _on_remove(self, row: _Row) -> None:
        if row is self._draft:
            self.cancel()
        else:
            self.removed.emit(self._rows.index(row))

    # --- Layout ---

    def _take_down(self, row: _Row) -> None:
        for part in row.parts():
            self._grid.removeWidget(part)
            part.hide()
            part.deleteLater()

    def _place_all(self) -> None:
        rows = [*self._rows, *([self._draft] if self._draft is not None else [])]
        width = len(self._columns)
        for number, row in enumerate(rows):
            top = Qt.AlignmentFlag.AlignTop
            for place, cell in enumerate(row.cells.values()):
                self._grid.addWidget(cell.widget, 1 + 2 * number, place, top)
                cell.widget.show()  # at once, so that it can take the keyboard
            self._grid.addWidget(row.remove, 1 + 2 * number, width, top)
            row.remove.show()
            self._grid.addWidget(row.problem, 2 + 2 * number, 0, 1, width + 2)
        self._mind_emptiness()

    def _mind_emptiness(self) -> None:
        empty = not self._rows and self._draft is None
        self.nothing.setVisible(empty and bool(self.nothing.text()))
        for heading in self._headings:
            heading.setVisible(not empty)
        self.add_button.setVisible(self._draft is None)
