"""The shortlist as a table: every boat with what decides whether she deserves another look.

`ShortlistModel` holds all boats, put-away ones too; `ShortlistOrder` sorts them and leaves out what
is not wanted. Roles: DisplayRole the cell in words, `SUB_ROLE` the quieter line below it,
`SORT_ROLE` what a column is sorted by (unknown last), `ROW_ROLE` the `ShortlistRow`, `ID_ROLE` the
boat's id.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from enum import IntEnum
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSortFilterProxyModel,
    Qt,
)

from workbench.domain.boat import Boat
from workbench.domain.project import Candidate
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Status
from workbench.window import formatting
from workbench.window.models.boat_list import BoatCard, card_of, what_she_is
from workbench.window.session import Session
from workbench.window.texts import tr

if TYPE_CHECKING:
    from workbench.figures.assessment import BoatAssessment

SUB_ROLE = int(Qt.ItemDataRole.UserRole) + 1
SORT_ROLE = int(Qt.ItemDataRole.UserRole) + 2
ROW_ROLE = int(Qt.ItemDataRole.UserRole) + 3
ID_ROLE = int(Qt.ItemDataRole.UserRole) + 4
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


class Column(IntEnum):
    """What is told of each boat, from left to right."""

    BOAT = 0
    STATUS = 1
    LIES_AT = 2
    ASKED = 3
    SEEN = 4
    DEFERRED = 5
    READY = 6


@dataclass(frozen=True, slots=True)
class ShortlistRow:
    """One boat as the table shows her; figures are None until they arrive.

    Attributes
    ----------
    photo
        Id of the photo that stands for her; empty for none.
    asked, deferred, ready
        [money, the search's currency].
    seen
        Share of her checks that somebody looked at.
    """

    id: str
    card: BoatCard
    boat: Boat
    photo: str
    asked: float | None
    seen: float | None
    deferred: float | None
    ready: float | None


def row_of(candidate: Candidate, figures: BoatAssessment | None) -> ShortlistRow:
    """The row of a boat."""
    boat = candidate.boat
    photo = boat.portrait if boat.portrait in candidate.inspection.photos else ""
    known = figures is not None and figures.asking is not None
    return ShortlistRow(
        id=boat.id,
        card=card_of(candidate, figures),
        boat=boat,
        photo=photo,
        asked=float(figures.asking) if figures and figures.asking is not None else None,
        seen=figures.coverage.share if figures else None,
        deferred=float(figures.deferred.mean) if figures else None,
        ready=float(figures.cost_to_ready.mean) if figures and known else None,
    )


def status_words(boat: Boat) -> str:
    """Where she stands, and that she is put away."""
    word = formatting.status_word(boat.status)
    return tr("{status}, put away").format(status=word) if boat.archived else word


def price_change(boat: Boat) -> str:
    """What was asked before, where the price has moved; empty where it has not."""
    if len(boat.asking) < 2:
        return ""
    before = boat.asking[-2].price
    return tr("was {price}").format(price=formatting.exact(before))


def price_history(boat: Boat) -> str:
    """All prices asked, the newest first, a line each."""
    lines = [
        " ".join(part for part in (formatting.day(one.on), formatting.exact(one.price)) if part)
        for one in reversed(boat.asking)
    ]
    return "\n".join(lines)


def _unseen(row: ShortlistRow) -> str:
    left = row.boat.status is Status.LOOKING and row.seen == 0
    return tr("nobody has looked") if left else ""


@dataclass(frozen=True, slots=True)
class _Kind:
    """How one column is headed, shown and sorted."""

    title: Callable[[], str]
    show: Callable[[ShortlistRow], str]
    sort: Callable[[ShortlistRow], object]
    sub: Callable[[ShortlistRow], str] = lambda row: ""
    tip: Callable[[ShortlistRow], str] | None = None
    figure: bool = False

    def spoken(self, row: ShortlistRow) -> str:
        """The cell with its head, for a screen reader."""
        words = ", ".join(part for part in (self.show(row), self.sub(row)) if part)
        return f"{self.title()}: {words or tr('empty')}"

    def tips(self, row: ShortlistRow) -> str:
        """What is said under the pointer."""
        if self.tip is not None:
            return self.tip(row)
        return self.sub(row) or self.show(row)


def _share(row: ShortlistRow) -> str:
    if not row.asked or row.deferred is None:
        return ""
    return tr("{share} of the price").format(share=formatting.percent(row.deferred / row.asked))


_ORDER = {status: number for number, status in enumerate(Status)}

KINDS: dict[Column, _Kind] = {
    Column.BOAT: _Kind(
        lambda: tr("Boat"),
        lambda row: row.boat.name,
        lambda row: row.boat.name.casefold(),
        lambda row: what_she_is(row.boat),
    ),
    Column.STATUS: _Kind(
        lambda: tr("Stands at"),
        lambda row: status_words(row.boat),
        lambda row: (row.boat.archived, _ORDER[row.boat.status]),
        lambda row: row.boat.status_reason,
    ),
    Column.LIES_AT: _Kind(
        lambda: tr("Lies at"),
        lambda row: row.boat.lies_at,
        lambda row: (
            row.boat.distance.value("km") if row.boat.distance else math.inf,
            row.boat.lies_at.casefold(),
        ),
        lambda row: formatting.quantity(row.boat.distance) if row.boat.distance else "",
    ),
    Column.ASKED: _Kind(
        lambda: tr("Asked"),
        lambda row: row.card.asked,
        lambda row: math.inf if row.asked is None else row.asked,
        lambda row: price_change(row.boat),
        lambda row: price_history(row.boat),
        figure=True,
    ),
    Column.SEEN: _Kind(
        lambda: tr("Looked at"),
        lambda row: "" if row.seen is None else formatting.percent(row.seen),
        lambda row: math.inf if row.seen is None else row.seen,
        _unseen,
        lambda row: row.card.coverage,
        figure=True,
    ),
    Column.DEFERRED: _Kind(
        lambda: tr("Price and work"),
        lambda row: "" if row.deferred is None else formatting.estimate(row.deferred),
        lambda row: math.inf if not row.asked or row.deferred is None else row.deferred / row.asked,
        _share,
        lambda row: (
            tr("Deferred maintenance: {deferred}").format(deferred=row.card.deferred)
            if row.card.deferred
            else ""
        ),
    ),
    Column.READY: _Kind(
        lambda: tr("Cost to ready"),
        lambda row: row.card.ready,
        lambda row: math.inf if row.ready is None else row.ready,
        figure=True,
    ),
}


class ShortlistModel(QAbstractTableModel):
    """All boats of the search, in the order in which they were entered."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: list[ShortlistRow] = []
        self.maximum = 1.0
        session.changed.connect(self.refresh)
        session.assessed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Take over the boats and their figures with the smallest change."""
        assessment = self._session.assessment
        figures = assessment.boats if assessment else {}
        rows = [
            row_of(one, figures.get(boat_id))
            for boat_id, one in self._session.project.boats.items()
        ]
        reaches = [row.card.parts.reach() for row in rows if row.card.parts is not None]
        maximum = max([*reaches, 1.0])
        if [row.id for row in rows] != [row.id for row in self._rows]:
            self.beginResetModel()
            self._rows, self.maximum = rows, maximum
            self.endResetModel()
            return
        before, self._rows = self._rows, rows
        rescaled, self.maximum = maximum != self.maximum, maximum
        last = len(Column) - 1
        for number, (old, new) in enumerate(zip(before, rows, strict=True)):
            if rescaled or old != new:
                self.dataChanged.emit(self.index(number, 0), self.index(number, last))

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many boats there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """What is told of each."""
        return 0 if parent.isValid() else len(Column)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one cell shows."""
        if not index.isValid():
            return None
        row, kind = self._rows[index.row()], KINDS[Column(index.column())]
        tellers: dict[int, Callable[[ShortlistRow], object]] = {
            int(Qt.ItemDataRole.DisplayRole): kind.show,
            int(Qt.ItemDataRole.AccessibleTextRole): kind.spoken,
            int(Qt.ItemDataRole.ToolTipRole): kind.tips,
            int(Qt.ItemDataRole.TextAlignmentRole): lambda _: _side(kind),
            SUB_ROLE: kind.sub,
            SORT_ROLE: kind.sort,
            ROW_ROLE: lambda one: one,
            ID_ROLE: lambda one: one.id,
        }
        tell = tellers.get(role)
        return tell(row) if tell is not None else None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Names of the columns."""
        if orientation == Qt.Orientation.Vertical or not 0 <= section < len(Column):
            return None
        kind = KINDS[Column(section)]
        if role == Qt.ItemDataRole.DisplayRole:
            return kind.title()
        return _side(kind) if role == Qt.ItemDataRole.TextAlignmentRole else None


def _side(kind: _Kind) -> int:
    side = Qt.AlignmentFlag.AlignRight if kind.figure else Qt.AlignmentFlag.AlignLeft
    return int(side | Qt.AlignmentFlag.AlignVCenter)


class ShortlistOrder(QSortFilterProxyModel):
    """The shortlist sorted by a column, with only the boats that are wanted."""

    def __init__(self, model: ShortlistModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._words: tuple[str, ...] = ()
        self._status: Status | None = None
        self._put_away = False
        self.setSourceModel(model)
        self.setDynamicSortFilter(True)

    def want(self, words: str, status: Status | None, *, put_away: bool) -> None:
        """Show boats with all these words, of one status or of any, put-away ones too or not."""
        self._words = tuple(words.casefold().split())
        self._status, self._put_away = status, put_away
        self.invalidate()

    def filterAcceptsRow(self, source_row: int, source_parent: Index) -> bool:
        """Whether a boat is wanted."""
        del source_parent
        row = self.sourceModel().index(source_row, 0).data(ROW_ROLE)
        if not isinstance(row, ShortlistRow):
            return False
        boat = row.boat
        if boat.archived and not self._put_away:
            return False
        if self._status is not None and boat.status is not self._status:
            return False
        told = (boat.name, boat.design, boat.builder, boat.lies_at, boat.seller, str(boat.year))
        text = " ".join((*told, boat.status_reason, boat.equipment_note)).casefold()
        return all(word in text for word in self._words)

    def lessThan(self, left: Index, right: Index) -> bool:
        """Order by what the column is sorted by."""
        first, second = left.data(SORT_ROLE), right.data(SORT_ROLE)
        return bool(first < second)

    def id_at(self, row: int) -> str:
        """The id of the boat in a row; empty beyond the last."""
        return str(self.index(row, 0).data(ID_ROLE) or "")

    def row_of(self, boat_id: str) -> int:
        """The row of a boat; -1 when she is not shown."""
        rows = range(self.rowCount())
        return next((row for row in rows if self.id_at(row) == boat_id), -1)
