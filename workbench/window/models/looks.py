"""What to look at next as a table: every look on every boat still in the running, best first.

`looking_of` turns the figures into records that the page can show without figuring anything;
`LooksModel` shows them, less what the filter leaves out. Roles: DisplayRole the text of a column,
`LOOK_ROLE` the `LookRow`, ToolTipRole what the figure means, AccessibleTextRole cell and column.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from enum import Enum

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt
from PySide6.QtGui import QFont

from workbench.catalogue.model import Look
from workbench.domain.record import dataclass
from workbench.window import formatting
from workbench.window.texts import tr

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.assessment import Assessment
    from workbench.figures.next_look import Advice, Doubt, Visit

LOOK_ROLE = int(Qt.ItemDataRole.UserRole) + 1
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()
MOST_COVERED = 8


class Who(Enum):
    """Whose looks are shown."""

    ALL = "all"
    ME = "me"
    PROFESSIONALS = "professionals"


@dataclass(frozen=True, slots=True)
class Covered:
    """One doubtful check that a professional's look answers."""

    check: str
    title: str
    chance: float


@dataclass(frozen=True, slots=True)
class LookRow:
    """One look.

    Attributes
    ----------
    check
        The check it answers, or for a professional the weightiest of those.
    look
        The professional; empty for the buyer's own look.
    minutes
        How long the buyer's own look takes; 0 for a professional.
    if_found, if_clear
        What the boat is then worth beyond all that she costs; None for a professional.
    covered
        The weightiest doubtful checks that a professional or another visit answers.
    visit
        Whether it is another visit of the buyer's own: open checks looked at together.
    """

    boat: str
    boat_name: str
    check: str
    look: str
    title: str
    who: str
    chance: float
    worth: Decimal
    fee: Decimal
    net: Decimal
    if_found: Decimal | None
    if_clear: Decimal | None
    covers: int
    covered: tuple[Covered, ...] = ()
    minutes: int = 0
    needs_afloat: bool = False
    note: str = ""
    visit: bool = False

    @property
    def own(self) -> bool:
        """Whether the buyer looks and nobody is paid."""
        return not self.look

    @property
    def key(self) -> str:
        """By which it is found again after new figures."""
        return f"{self.boat}/{'visit' if self.visit else self.look or self.check}"


@dataclass(frozen=True, slots=True)
class Surveys:
    """Which boat to have surveyed first, by name; empty where no survey would answer anything.

    Attributes
    ----------
    first
        Where several are to be surveyed.
    only
        Where only one is; empty when no survey pays for itself.
    """

    first: str = ""
    only: str = ""


@dataclass(frozen=True, slots=True)
class Looking:
    """All looks and the conclusion.

    Attributes
    ----------
    gains
        What each boat in the running is worth beyond all that she costs, by her id.
    names
        Names of those boats.
    minute_worth
        What a minute of the buyer's own looking is taken to cost [currency].
    surveys
        Which boat to have surveyed first.
    """

    rows: tuple[LookRow, ...]
    stop: bool
    gains: Mapping[str, Decimal]
    names: Mapping[str, str]
    minute_worth: float
    surveys: Surveys = Surveys()


def looking_of(assessment: Assessment) -> Looking:
    """Every look ranked, ready to be shown; a job for beside the window."""
    from workbench.figures.next_look import (  # noqa: PLC0415 - numpy comes with it
        MINUTE_WORTH,
        doubts_of,
        next_looks,
    )

    found = next_looks(assessment)
    doubts = {one.id: doubts_of(one) for one in assessment.boats.values()}
    rows = [_row(one, assessment, doubts[one.boat]) for one in found.advice]
    rows += [_visit_row(one, assessment, doubts[one.boat]) for one in found.visits]
    rows.sort(key=lambda one: -one.net)
    running = [
        one
        for one in assessment.boats.values()
        if one.offer.gain is not None and not one.candidate.boat.archived
    ]
    return Looking(
        tuple(rows),
        found.stop,
        {one.id: one.offer.gain for one in running if one.offer.gain is not None},
        {one.id: one.candidate.boat.name for one in running},
        MINUTE_WORTH,
        _surveys(assessment),
    )


def _surveys(assessment: Assessment) -> Surveys:
    from workbench.figures.best_survey import best_survey  # noqa: PLC0415 - numpy comes with it

    found = best_survey(assessment)
    names = {one.boat: one.name for one in found.order}
    return Surveys(names.get(found.first, ""), names.get(found.greedy, ""))


def _row(advice: Advice, assessment: Assessment, doubts: tuple[Doubt, ...]) -> LookRow:
    look = assessment.catalogue.looks.get(advice.look)
    covered = _covered(look, doubts) if look is not None else ()
    check = advice.check or (covered[0].check if covered else "")
    minutes = assessment.catalogue.checks[check].minutes if advice.check else 0
    return LookRow(
        boat=advice.boat,
        boat_name=assessment.boats[advice.boat].candidate.boat.name,
        check=check,
        look=advice.look,
        title=advice.title,
        who=advice.who,
        chance=advice.chance,
        worth=advice.worth,
        fee=advice.fee,
        net=advice.net,
        if_found=advice.if_found,
        if_clear=advice.if_clear,
        covers=advice.covers,
        covered=covered,
        minutes=minutes,
        needs_afloat=advice.needs_afloat,
        note=look.note if look is not None else "",
    )


def _visit_row(visit: Visit, assessment: Assessment, doubts: tuple[Doubt, ...]) -> LookRow:
    chances = {one.line.finding.check.id: one.chance for one in doubts if one.line.finding}
    checks, count = assessment.catalogue.checks, len(visit.checks)
    covered = tuple(
        Covered(check, checks[check].title, chances[check]) for check in visit.checks[:MOST_COVERED]
    )
    many = tr("Another visit, {n} open checks").format(n=count)
    return LookRow(
        boat=visit.boat,
        boat_name=assessment.boats[visit.boat].candidate.boat.name,
        check=visit.checks[0],
        look="",
        title=tr("Another visit, one open check") if count == 1 else many,
        who="you",
        chance=max(chances[check] for check in visit.checks),
        worth=visit.worth,
        fee=visit.fee,
        net=visit.net,
        if_found=None,
        if_clear=None,
        covers=count,
        covered=covered,
        minutes=visit.minutes,
        visit=True,
    )


def _covered(look: Look, doubts: tuple[Doubt, ...]) -> tuple[Covered, ...]:
    """The doubtful checks of a look, those that could cost most first."""
    from workbench.figures.next_look import covered_by  # noqa: PLC0415 - numpy comes with it

    answered = [doubts[place] for place in covered_by(look, doubts)]
    answered.sort(key=lambda one: (-one.chance * one.loss, one.line.key))
    return tuple(
        Covered(one.line.finding.check.id, one.line.finding.check.title, one.chance)
        for one in answered[:MOST_COVERED]
        if one.line.finding is not None
    )


@dataclass(frozen=True, slots=True)
class _Column:
    title: Callable[[], str]
    text: Callable[[LookRow], str]
    tip: Callable[[], str]
    figure: bool = True


def _who(row: LookRow) -> str:
    return tr("me") if row.own else row.who


COLUMNS = (
    _Column(lambda: tr("Look at"), lambda row: row.title, lambda: "", figure=False),
    _Column(lambda: tr("Boat"), lambda row: row.boat_name, lambda: "", figure=False),
    _Column(lambda: tr("Who looks"), _who, lambda: "", figure=False),
    _Column(
        lambda: tr("Chance"),
        lambda row: formatting.percent(row.chance),
        lambda: tr("Chance that work is due there, as far as anybody knows now."),
    ),
    _Column(
        lambda: tr("Worth"),
        lambda row: formatting.whole(row.worth),
        lambda: tr("What knowing is expected to save in choosing among your boats and none."),
    ),
    _Column(
        lambda: tr("Fee"),
        lambda row: formatting.whole(row.fee),
        lambda: tr("What the look costs: the fee, or your own minutes at an assumed worth."),
    ),
    _Column(
        lambda: tr("Worth less fee"),
        lambda row: formatting.whole(row.net),
        lambda: tr("Above nothing the look pays."),
    ),
)
BOAT, WHO, CHANCE, WORTH, NET = 1, 2, 3, 4, len(COLUMNS) - 1


class LooksModel(QAbstractTableModel):
    """The looks that the filter lets through, best first.

    Attributes
    ----------
    greatest
        The greatest worth of all looks, shown or not: the end of the bars' axis.
    paying
        How many of those shown are worth more than their fee.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._all: tuple[LookRow, ...] = ()
        self._shown: tuple[LookRow, ...] = ()
        self._boat = ""
        self._who = Who.ALL
        self.greatest = Decimal(0)
        self.paying = 0
        self._strong = QFont()
        self._strong.setBold(True)

    def take(self, rows: tuple[LookRow, ...]) -> None:
        """Show other looks."""
        self._all = rows
        self.greatest = max((row.worth for row in rows), default=Decimal(0))
        self._sift()

    def set_filter(self, boat: str, who: Who) -> None:
        """Show the looks at one boat ('' for all) by some people only."""
        self._boat, self._who = boat, who
        self._sift()

    def _sift(self) -> None:
        shown = tuple(row for row in self._all if self._passes(row))
        self.paying = sum(1 for row in shown if row.net > 0)
        if [row.key for row in shown] == [row.key for row in self._shown]:
            before, self._shown = self._shown, shown
            for number, (old, new) in enumerate(zip(before, shown, strict=True)):
                if old != new:
                    self.dataChanged.emit(self.index(number, 0), self.index(number, NET))
            return
        self.beginResetModel()
        self._shown = shown
        self.endResetModel()

    def _passes(self, row: LookRow) -> bool:
        if self._boat and row.boat != self._boat:
            return False
        return self._who is Who.ALL or row.own == (self._who is Who.ME)

    def look_at(self, number: int) -> LookRow | None:
        """One look shown; None where there is none."""
        return self._shown[number] if 0 <= number < len(self._shown) else None

    def number_of(self, key: str) -> int:
        """The row of a look; -1 when it is not shown."""
        return next((place for place, row in enumerate(self._shown) if row.key == key), -1)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many looks are shown."""
        return 0 if parent.isValid() else len(self._shown)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """What is told of each."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one cell shows."""
        if not index.isValid():
            return None
        row, column = self._shown[index.row()], COLUMNS[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.text(row)
        if role == LOOK_ROLE:
            return row
        if role == Qt.ItemDataRole.ToolTipRole:
            return column.tip() or column.text(row)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{column.title()}: {column.text(row)}"
        return self._look_of(index, role, row)

    def _look_of(self, index: Index, role: int, row: LookRow) -> object:
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(COLUMNS[index.column()])
        if role == Qt.ItemDataRole.FontRole and index.column() == NET and row.net > 0:
            return self._strong
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Names of the columns, with what they mean; ranks at the left."""
        if orientation == Qt.Orientation.Vertical:
            return section + 1 if role == Qt.ItemDataRole.DisplayRole else None
        if not 0 <= section < len(COLUMNS):
            return None
        column = COLUMNS[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title()
        if role == Qt.ItemDataRole.ToolTipRole:
            return column.tip() or None
        return _side(column) if role == Qt.ItemDataRole.TextAlignmentRole else None


def _side(column: _Column) -> int:
    side = Qt.AlignmentFlag.AlignRight if column.figure else Qt.AlignmentFlag.AlignLeft
    return int(side | Qt.AlignmentFlag.AlignVCenter)
