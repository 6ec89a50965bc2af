"""Offers made and what came back, as a table that is edited in place.

Roles: DisplayRole the text, EditRole the text as typed, `ID_ROLE` the id. What cannot be read is
refused with a sentence.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from decimal import Decimal

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from workbench.domain.ledger import OfferMade
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Status
from workbench.edits.boats import set_status
from workbench.edits.costing import put_offer, remove_offer
from workbench.edits.edit import Edit
from workbench.window import formatting
from workbench.window.models.typed_days import read_day
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import tr

ID_ROLE = int(Qt.ItemDataRole.UserRole) + 1
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()


def read_price(text: str) -> Decimal:
    """A price as typed.

    Raises
    ------
    EntryError
        When it is no number, or below zero.
    """
    amount = formatting.read_number(text)
    if amount < 0:
        raise EntryError(tr("An offer cannot be negative."))
    return amount


@dataclass(frozen=True, slots=True)
class _Column:
    title: Callable[[], str]
    show: Callable[[OfferMade], str]
    typed: Callable[[OfferMade], str]
    read: Callable[[OfferMade, str], OfferMade]
    figure: bool = False


def _iso(offer: OfferMade, name: str) -> str:
    day = getattr(offer, name)
    return day.isoformat() if day else ""


def _money(money: Money | None) -> str:
    return formatting.exact(money) if money is not None else ""


def _with_price(offer: OfferMade, text: str) -> OfferMade:
    return dataclasses.replace(offer, price=Money(read_price(text), offer.price.currency))


def _with_counter(offer: OfferMade, text: str) -> OfferMade:
    if not text.strip():
        return dataclasses.replace(offer, counter=None)
    return dataclasses.replace(offer, counter=Money(read_price(text), offer.price.currency))


COLUMNS = (
    _Column(
        lambda: tr("Made"),
        lambda one: formatting.day(one.on),
        lambda one: _iso(one, "on"),
        lambda one, text: dataclasses.replace(one, on=read_day(text)),
    ),
    _Column(
        lambda: tr("Price"),
        lambda one: _money(one.price),
        lambda one: _money(one.price),
        _with_price,
        figure=True,
    ),
    _Column(
        lambda: tr("Conditions"),
        lambda one: one.conditions,
        lambda one: one.conditions,
        lambda one, text: dataclasses.replace(one, conditions=text.strip()),
    ),
    _Column(
        lambda: tr("Answer"),
        lambda one: one.answer,
        lambda one: one.answer,
        lambda one, text: dataclasses.replace(one, answer=text.strip()),
    ),
    _Column(
        lambda: tr("Counter"),
        lambda one: _money(one.counter),
        lambda one: _money(one.counter),
        _with_counter,
        figure=True,
    ),
    _Column(
        lambda: tr("Answered"),
        lambda one: formatting.day(one.answered_on),
        lambda one: _iso(one, "answered_on"),
        lambda one, text: dataclasses.replace(one, answered_on=read_day(text)),
    ),
)
CONDITIONS, ANSWER = 2, 3


class OffersModel(QAbstractTableModel):
    """The offers for the boat that is looked at, oldest first.

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
        self._offers: tuple[OfferMade, ...] = ()
        session.changed.connect(self._follow)
        session.boat_selected.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        candidate = self._session.candidate
        boat = candidate.boat.id if candidate is not None else ""
        offers = candidate.ledger.offers if candidate is not None else ()
        if boat == self._boat and offers == self._offers:
            return
        same = boat == self._boat and [one.id for one in offers] == [o.id for o in self._offers]
        if not same:
            self.beginResetModel()
        before, self._boat, self._offers = self._offers, boat, offers
        if not same:
            self.endResetModel()
            return
        for number, (old, new) in enumerate(zip(before, offers, strict=True)):
            if old != new:
                last = self.index(number, len(COLUMNS) - 1)
                self.dataChanged.emit(self.index(number, 0), last)

    # --- Reading ---

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many offers were made."""
        return 0 if parent.isValid() else len(self._offers)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """What is told of each."""
        return 0 if parent.isValid() else len(COLUMNS)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one cell shows."""
        if not index.isValid():
            return None
        one, column = self._offers[index.row()], COLUMNS[index.column()]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _side(column)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{column.title()}: {column.show(one) or tr('empty')}"
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return column.show(one)
        if role == Qt.ItemDataRole.EditRole:
            return column.typed(one)
        return one.id if role == ID_ROLE else None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> object:
        """Names of the columns."""
        if orientation == Qt.Orientation.Vertical or not 0 <= section < len(COLUMNS):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return COLUMNS[section].title()
        return _side(COLUMNS[section]) if role == Qt.ItemDataRole.TextAlignmentRole else None

    # --- Changing ---

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Everything can be changed."""
        made = super().flags(index)
        if not index.isValid() or self._session.read_only:
            return made
        return made | Qt.ItemFlag.ItemIsEditable

    def refusal(self, index: Index, text: str) -> str:
        """Why a text cannot stand in a cell; empty when it can."""
        try:
            COLUMNS[index.column()].read(self._offers[index.row()], text)
        except EntryError as error:
            return said(str(error))
        return ""

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Change one field by an edit."""
        if not index.isValid() or role != Qt.ItemDataRole.EditRole:
            return False
        one = self._offers[index.row()]
        try:
            changed = COLUMNS[index.column()].read(one, str(value))
        except EntryError as error:
            self.refused.emit(said(str(error)))
            return False
        if changed == one:
            return True
        boat = self._boat
        refused = self._session.attempt(lambda project: put_offer(project, boat, changed))
        self.refused.emit(refused)
        return not refused

    def make(self, price: Decimal, conditions: str) -> str:
        """Put an offer on record as made today; the boat's status follows. A sentence if refused.

        A boat that is bought or dropped keeps her status.
        """
        boat, today = self._boat, self._session.today()
        currency = self._session.project.settings.currency
        offer = OfferMade("", Money(price, currency), today, conditions.strip())

        def made(project: Project) -> Edit:
            edit = put_offer(project, boat, offer)
            record = project.boats[boat].boat
            if record.status in (Status.LOOKING, Status.VISITED):
                status = set_status(project, boat, Status.OFFER_MADE, record.status_reason)
                return edit.then(status, edit.label)
            return edit

        return self._session.attempt(made)

    def remove(self, number: int) -> None:
        """Take an offer off record."""
        if 0 <= number < len(self._offers):
            boat, offer = self._boat, self._offers[number].id
            self.refused.emit(
                self._session.attempt(lambda project: remove_offer(project, boat, offer))
            )


def _side(column: _Column) -> int:
    side = Qt.AlignmentFlag.AlignRight if column.figure else Qt.AlignmentFlag.AlignLeft
    return int(side | Qt.AlignmentFlag.AlignVCenter)
