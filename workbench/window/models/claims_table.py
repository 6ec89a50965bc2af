"""What the seller is asked to carry as a table: included or left, full cost, proposal, asked.

Roles: DisplayRole the text, EditRole the amount as typed, CheckStateRole whether a line is put to
the seller, `LINE_ROLE` the `ClaimLine`. The lines that are asked for stand first, dearest first;
what is not asked for follows quietly. What cannot be read is refused with a sentence.
"""

from __future__ import annotations

import dataclasses
from decimal import Decimal

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from workbench.domain.ledger import ClaimChoice
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.edits.costing import set_claim
from workbench.window import formatting
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import tr

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.assessment import ClaimLine

LINE_ROLE = int(Qt.ItemDataRole.UserRole) + 1
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()

PUT, TITLE, FULL, PROPOSED, ASKED, WHY = range(6)


def column_words() -> tuple[tuple[str, str], ...]:
    """Title and tip of each column."""
    return (
        (tr("Put"), tr("Whether it is put to the seller.")),
        (tr("What was found"), ""),
        (
            tr("Work costs"),
            tr("The whole of the work with its share of work that serves several jobs."),
        ),
        (
            tr("Proposed"),
            tr("Due work whole, worn parts by the life they lack at her age, upkeep nothing."),
        ),
        (tr("Asked"), tr("What you ask. Type another amount, or empty it for the proposal.")),
        (tr("Why"), ""),
    )


def in_order(lines: tuple[ClaimLine, ...]) -> tuple[ClaimLine, ...]:
    """Lines asked for first, dearest first; the same order whatever is typed in a row left out."""
    return tuple(
        sorted(lines, key=lambda one: (not _worth_asking(one), -one.proposed, -one.full, one.key))
    )


def _worth_asking(line: ClaimLine) -> bool:
    return line.proposed > 0 or line.choice.amount is not None


class ClaimsModel(QAbstractTableModel):
    """The claim of the boat that is looked at.

    Signals
    -------
    refused(sentence)
        What was typed cannot be; empty once a change was made.
    """

    refused = Signal(str)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._boat = ""
        self._lines: tuple[ClaimLine, ...] = ()
        session.assessed.connect(self._follow)
        session.boat_selected.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        figures = self._session.boat
        boat = figures.id if figures is not None else ""
        lines = in_order(figures.claim.lines) if figures is not None else ()
        same = boat == self._boat and [one.key for one in lines] == [o.key for o in self._lines]
        before = self._lines
        if not same:
            self.beginResetModel()
        self._boat, self._lines = boat, lines
        if not same:
            self.endResetModel()
            return
        for number, (old, new) in enumerate(zip(before, lines, strict=True)):
            if old != new:
                self.dataChanged.emit(self.index(number, PUT), self.index(number, WHY))

    def line(self, number: int) -> ClaimLine | None:
        """One line; None where there is none."""
        return self._lines[number] if 0 <= number < len(self._lines) else None

    def number_of(self, key: str) -> int:
        """The row of a line; -1 when it is gone."""
        return next((place for place, one in enumerate(self._lines) if one.key == key), -1)

    # --- Reading ---

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many lines there are."""
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """What is told of each."""
        return 0 if parent.isValid() else WHY + 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one cell shows."""
        if not index.isValid():
            return None
        line, column = self._lines[index.row()], index.column()
        if role == LINE_ROLE:
            return line
        if role == Qt.ItemDataRole.DisplayRole:
            return text_of(line, column)
        if role == Qt.ItemDataRole.CheckStateRole and column == PUT:
            return Qt.CheckState.Checked if line.included else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.EditRole and column == ASKED:
            return f"{line.amount:f}".replace(".", formatting.decimal_mark())
        return self._about(line, column, role)

    @staticmethod
    def _about(line: ClaimLine, column: int, role: int) -> object:
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(column)
        if role == Qt.ItemDataRole.ToolTipRole:
            return text_of(line, column) or column_words()[column][1]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            put = tr("put to the seller") if line.included else tr("not asked")
            shown = put if column == PUT else text_of(line, column)
            return f"{line.title}, {column_words()[column][0]}: {shown}"
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Names of the columns, with what they mean."""
        if orientation == Qt.Orientation.Vertical or not 0 <= section <= WHY:
            return None
        title, tip = column_words()[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return title
        if role == Qt.ItemDataRole.ToolTipRole:
            return tip or None
        return _side(section) if role == Qt.ItemDataRole.TextAlignmentRole else None

    # --- Changing ---

    def flags(self, index: Index) -> Qt.ItemFlag:
        """The amount asked can be typed, the tick be changed."""
        made = super().flags(index)
        if not index.isValid() or self._session.read_only:
            return made
        if index.column() == PUT:
            return made | Qt.ItemFlag.ItemIsUserCheckable
        return made | Qt.ItemFlag.ItemIsEditable if index.column() == ASKED else made

    def refusal(self, index: Index, text: str) -> str:
        """Why a text cannot be what is asked; empty when it can."""
        del index
        try:
            read_amount(text)
        except EntryError as error:
            return said(str(error))
        return ""

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Put a line to the seller or leave it, or ask another amount."""
        if not index.isValid():
            return False
        line = self._lines[index.row()]
        if role == Qt.ItemDataRole.CheckStateRole and index.column() == PUT:
            return self._put(line, included=Qt.CheckState(value) == Qt.CheckState.Checked)
        if role != Qt.ItemDataRole.EditRole or index.column() != ASKED:
            return False
        try:
            amount = read_amount(str(value))
        except EntryError as error:
            self.refused.emit(said(str(error)))
            return False
        money = None if amount is None else Money(amount, self._currency())
        return self.choose(line, dataclasses.replace(line.choice, amount=money, included=True))

    def _currency(self) -> str:
        return self._session.project.settings.currency

    def _put(self, line: ClaimLine, *, included: bool) -> bool:
        nothing = line.proposed <= 0 and line.choice.amount is None
        if included and nothing:
            self.refused.emit(
                tr("Nothing is proposed for it. Write what you ask in its row to put it.")
            )
            return False
        return self.choose(line, dataclasses.replace(line.choice, included=included))

    def choose(self, line: ClaimLine, choice: ClaimChoice) -> bool:
        """Make one line's choice an edit."""
        boat = self._boat
        refused = self._session.attempt(
            lambda project: set_claim(project, boat, line.key, choice, line.title)
        )
        self.refused.emit(refused)
        return not refused


def text_of(line: ClaimLine, column: int) -> str:
    """What stands in one column of a line."""
    if column == TITLE:
        return line.title
    if column == FULL:
        return formatting.whole(line.full)
    if column == PROPOSED:
        return formatting.whole(line.proposed)
    if column == ASKED:
        return formatting.whole(line.amount)
    return line.why if column == WHY else ""


def read_amount(text: str) -> Decimal | None:
    """An amount as typed; None for nothing.

    Raises
    ------
    EntryError
        When it is no number, or below zero.
    """
    if not text.strip():
        return None
    amount = formatting.read_number(text)
    if amount < 0:
        raise EntryError(tr("A claim cannot be negative."))
    return amount


def _side(column: int) -> int:
    figure = column in (FULL, PROPOSED, ASKED)
    side = Qt.AlignmentFlag.AlignRight if figure else Qt.AlignmentFlag.AlignLeft
    return int(side | Qt.AlignmentFlag.AlignVCenter)
