"""What an advertisement says, as rows to be ticked and mended before a boat is made of it.

Roles: DisplayRole the text, EditRole the value as typed, CheckStateRole in the first column whether
it is taken, ToolTipRole the whole text and every remark. A value that cannot be read is refused by
`refusal`; one that is typed is taken.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)

from workbench.catalogue.model import Catalogue, Dimension
from workbench.domain.boat import Boat
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.quantity import Quantity
from workbench.domain.record import dataclass
from workbench.reports.incoming.listing_text import Finding, Listing, Note, Sure
from workbench.window import formatting
from workbench.window.models.boat_records import read_price
from workbench.window.said import said
from workbench.window.texts import marked, tr

Index = QModelIndex | QPersistentModelIndex
Value = str | int | Money | Quantity
_NOWHERE = QModelIndex()
TICK, WHAT, VALUE, HAS, WORDS, REMARKS = range(6)
_OLDEST = 1850

FIELDS = {
    "name": marked("Name"),
    "design": marked("Design"),
    "builder": marked("Builder"),
    "year": marked("Built in"),
    "price": marked("Asking price"),
    "earlier_price": marked("Asked before"),
    "lies_at": marked("Lies at"),
    "seller": marked("Seller"),
    "contact": marked("Contact, for you alone"),
    "hull_number": marked("Hull number"),
    "listing_address": marked("Address of the advertisement"),
}
REMARKS_SAID = (
    marked("{value} is outside {low} to {high} {unit}. Look at the unit."),
    marked("{one} and {other} are more than 2 % apart. One of them is wrong."),
    marked("Two values stand there: {one} and {other}. Look which is meant."),
    marked("Two values stand there; the larger is taken, with the keel down."),
    marked("No unit stands beside it; it is taken as {unit}. Look."),
    marked("“{unit}” can be one of several units. Write which is meant."),
    marked("The text says something else too: {other}."),
    marked("The words leave it open. Choose."),
    marked("Another thing is named before it, so it may not be meant of her."),
    marked("The text says “about”."),
    marked("No currency stands beside it; it is taken as {currency}."),
    marked("“{sign}” is used for several currencies; it is taken as {currency}."),
    marked("No word beside it says that it is this."),
    marked("Asked before; it goes into the history of her price."),
    marked("{year} cannot be the year she was built."),
    marked("It is not written as a hull number of twelve characters."),
    marked("Metric horsepower, turned into kilowatts."),
)
"""The remarks of the reading, for the list of texts; a test holds them to it."""


@dataclass(frozen=True, slots=True)
class ListingRow:
    """One particular on offer.

    Attributes
    ----------
    known
        What the boat has of it that is filled in; None for nothing, or for a new boat.
    """

    finding: Finding
    value: Value | None
    words: str
    known: Value | None = None
    taken: bool = False


def note_words(note: Note) -> str:
    """A remark in the language of the window."""
    text = note.remark.value
    return tr(text).format(**dict(note.values))


class ListingRows(QAbstractTableModel):
    """The particulars that were found, and which of them are taken.

    Signals
    -------
    taken_changed()
        Other particulars are taken, or one has another value.
    """

    taken_changed = Signal()

    def __init__(self, catalogue: Catalogue, currency: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._catalogue, self._currency = catalogue, currency
        self._rows: tuple[ListingRow, ...] = ()

    def show_listing(self, listing: Listing, boat: Boat | None) -> None:
        """Show what was found, for a new boat or beside what a boat has."""
        found = list(listing.findings)
        if not any(one.field == "name" for one in found) and found and boat is None:
            found.insert(0, Finding("name", None, 0, 0, Sure.DOUBTFUL))
        places = list(FIELDS)
        found.sort(key=lambda one: places.index(one.field) if one.field in places else len(places))
        self.beginResetModel()
        self._rows = tuple(_row(one, listing, boat) for one in found)
        self.endResetModel()
        self.taken_changed.emit()

    @property
    def rows(self) -> tuple[ListingRow, ...]:
        """All rows, in the order shown."""
        return self._rows

    def taken(self) -> Mapping[str, Value]:
        """The values taken, by field."""
        return {
            row.finding.field: row.value
            for row in self._rows
            if row.taken and row.value is not None
        }

    # --- Reading ---

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many particulars there are."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = _NOWHERE) -> int:
        """What is told of each."""
        return 0 if parent.isValid() else REMARKS + 1

    def title(self, field: str) -> str:
        """What a field is called."""
        kind, _, key = field.partition("/")
        if kind == "size":
            return self._catalogue.dimensions[key].label
        return self._catalogue.facts[key].label if kind == "fact" else tr(FIELDS[field])

    def shown(self, field: str, value: object) -> str:
        """A value as it is shown and typed."""
        if isinstance(value, Money):
            return f"{formatting.exact(value)} {value.currency}"
        if isinstance(value, Quantity):
            return formatting.quantity(value)
        if value is not None and field.startswith("fact/"):
            return next(words for key, words in self._fact_choices(field, ()) if key == value)
        return "" if value is None else str(value)

    def _fact_choices(self, field: str, among: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
        choices = self._catalogue.facts[field.partition("/")[2]].choices
        ordered = sorted(choices, key=lambda one: bool(among) and one.id not in among)
        return tuple((one.id, one.label) for one in ordered)

    def choices(self, index: QModelIndex) -> tuple[tuple[str, str], ...]:
        """The choices of a fit-out fact, those that the words allow first."""
        finding = self._rows[index.row()].finding
        if not finding.field.startswith("fact/"):
            return ()
        return (("", ""), *self._fact_choices(finding.field, finding.among))

    def remarks(self, row: ListingRow) -> str:
        """All that is to be said of a row."""
        notes = [note_words(note) for note in row.finding.notes]
        if row.known is not None:
            same = _is_same(row.known, row.value)
            notes.insert(0, tr("As she has it.") if same else tr("She has another value."))
        if row.finding.field == "name" and not row.words:
            notes.append(tr("The text names none. Write what you call her."))
        return " ".join(notes)

    def _text(self, row: ListingRow, column: int) -> str:
        field = row.finding.field
        if column == WHAT:
            return self.title(field)
        if column == VALUE:
            open_words = tr("choose …") if field.startswith("fact/") else "–"
            return self.shown(field, row.value) or open_words
        if column == HAS:
            return self.shown(field, row.known)
        return (
            f"“{row.words}”"
            if column == WORDS and row.words
            else (self.remarks(row) if column == REMARKS else "")
        )

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one cell shows."""
        if not index.isValid():
            return None
        row, column = self._rows[index.row()], index.column()
        if role == Qt.ItemDataRole.CheckStateRole and column == TICK:
            return Qt.CheckState.Checked if row.taken else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.EditRole and column == VALUE:
            is_fact = row.finding.field.startswith("fact/")
            return (row.value or "") if is_fact else self.shown(row.finding.field, row.value)
        return self._shown(row, column, role)

    def _shown(self, row: ListingRow, column: int, role: int) -> object:
        text = " ".join(self._text(row, column).split())
        if role == Qt.ItemDataRole.DisplayRole:
            return text[:200]
        if role == Qt.ItemDataRole.ToolTipRole:
            return "\n".join(one for one in (text, self.remarks(row)) if one) or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            title = str(self.headerData(column, Qt.Orientation.Horizontal))
            return f"{self.title(row.finding.field)}, {title}: {text or tr('empty')}"
        return None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> object:
        """Names of the columns."""
        if orientation != Qt.Orientation.Horizontal or role != Qt.ItemDataRole.DisplayRole:
            return None
        heads = (tr("What"), tr("Value"), tr("She has"), tr("From the words"), tr("To look at"))
        return heads[section - 1] if section else tr("Take")

    # --- Changing ---

    def flags(self, index: Index) -> Qt.ItemFlag:
        """The first column is ticked, the second typed in."""
        made = super().flags(index)
        if index.isValid() and index.column() == TICK:
            return made | Qt.ItemFlag.ItemIsUserCheckable
        if index.isValid() and index.column() == VALUE:
            return made | Qt.ItemFlag.ItemIsEditable
        return made

    def refusal(self, index: QModelIndex, text: str) -> str:
        """Why a text cannot be the value of a row; empty when it can."""
        try:
            self._read(self._rows[index.row()].finding.field, text)
        except EntryError as error:
            return said(str(error))
        return ""

    def _read(self, field: str, text: str) -> Value | None:
        tidy = text.strip()
        if not tidy:
            return None
        if field == "year":
            return _year(tidy)
        if field in ("price", "earlier_price"):
            return read_price(tidy, self._currency)
        if field.startswith("size/"):
            return _size(tidy, self._catalogue.dimensions[field.partition("/")[2]])
        return tidy

    def setData(self, index: Index, value: object, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Take a row or leave it; a value that is typed is taken, an emptied one is not."""
        if not index.isValid():
            return False
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.CheckStateRole and index.column() == TICK:
            wanted = Qt.CheckState(value) == Qt.CheckState.Checked
            return self._put(
                index.row(), dataclasses.replace(row, taken=wanted and row.value is not None)
            )
        if role != Qt.ItemDataRole.EditRole or index.column() != VALUE:
            return False
        try:
            read = self._read(row.finding.field, str(value or ""))
        except EntryError:
            return False
        return self._put(index.row(), dataclasses.replace(row, value=read, taken=read is not None))

    def _put(self, number: int, row: ListingRow) -> bool:
        rows = list(self._rows)
        rows[number] = row
        if row.taken:  # one value for each field
            for place, other in enumerate(rows):
                if place != number and other.finding.field == row.finding.field:
                    rows[place] = dataclasses.replace(other, taken=False)
        self._rows = tuple(rows)
        self.dataChanged.emit(self.index(0, 0), self.index(len(rows) - 1, REMARKS))
        self.taken_changed.emit()
        return True


def _row(finding: Finding, listing: Listing, boat: Boat | None) -> ListingRow:
    known = _known(finding.field, boat) if boat is not None else None
    words = listing.words(finding)
    taken = finding.is_taken and known is None
    return ListingRow(finding, finding.value, words, known, taken)


def _is_same(one: object, other: object) -> bool:
    """Whether two values say the same, lengths and weights to a thousandth."""
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        number = float(other.exact(one.unit))
        return abs(float(one.number) - number) <= abs(number) / 1000
    return one == other


def _known(field: str, boat: Boat) -> Value | None:
    """What a boat has of a field; None for nothing."""
    kind, _, key = field.partition("/")
    if kind == "size":
        return boat.dimensions.get(key)
    if kind == "fact":
        return boat.facts.get(key)
    if field == "price":
        return boat.asking_price
    if field == "earlier_price":
        return boat.asking[-2].price if len(boat.asking) > 1 else None
    found = getattr(boat, field)
    return found if isinstance(found, str | int) and found else None


def _year(text: str) -> int:
    number = formatting.read_number(text)
    if number != number.to_integral_value() or not _OLDEST <= number <= 2100:
        raise EntryError(tr("Write the year she was built, such as 1984."))
    return int(number)


def _size(text: str, dimension: Dimension) -> Quantity:
    value = formatting.read_quantity(text, dimension.unit)
    if not dimension.low <= value.exact(dimension.unit) <= dimension.high:
        raise EntryError(
            tr("That is outside {low} to {high} {unit}. Look at the unit.").format(
                low=dimension.low, high=dimension.high, unit=dimension.unit
            )
        )
    return value
