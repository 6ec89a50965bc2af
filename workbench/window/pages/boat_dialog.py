"""A boat and her particulars: entering one, and changing what is known of her.

Everything is optional but the name; what is missing dims the figures that need it. Errors stand at
their field, and nothing is closed or lost because of one. The whole dialog is one step to undo.
"""

from __future__ import annotations

import dataclasses
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from workbench.catalogue.model import Catalogue, Dimension
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.hull_number import read_hull_number
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.edits.boats import add_boat, change_boat
from workbench.edits.edit import Edit, Put
from workbench.window import formatting
from workbench.window.models.boat_records import read_price
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.form import Form
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.parsed_field import ParsedField
from workbench.window.widgets.quantity_field import QuantityField
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_PAGE, SPACE_RELATED

_TEXTS = (
    "name",
    "design",
    "builder",
    "lies_at",
    "hull_number",
    "equipment_note",
    "seller",
    "contact",
)
_OLDEST, _NEWEST = 1850, 2100
T = TypeVar("T")


class BoatDialog(QDialog):
    """The particulars of one boat."""

    def __init__(self, session: Session, boat: Boat, title: str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self._session = session
        self._boat = boat
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.resize(940, 760)
        catalogue = session.catalogue
        self.about = Form()
        self.sizes = Form()
        self.fitout = Form()
        for form in (self.about, self.sizes, self.fitout):
            form.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self._fill_about()
        self._fill_sizes(catalogue)
        self._fill_fitout(catalogue)
        self.note = QPlainTextEdit(boat.private_note)
        self.note.setAccessibleName(tr("Your own note"))
        self.note.setTabChangesFocus(True)
        self.note.setMaximumHeight(80)
        self.done_button = button(tr("Done"), "primary")
        self.cancel_button = button(tr("Cancel"), "quiet")
        self._lay_out(title)
        self.done_button.setDefault(True)
        self.done_button.clicked.connect(self._on_done)
        self.cancel_button.clicked.connect(self.reject)
        self.field("name").setFocus()

    @classmethod
    def enter_new(cls, session: Session, parent: QWidget | None) -> BoatDialog:
        """Ask for a new boat; she is on the list when the user is done."""
        made = cls(session, Boat("", ""), tr("Add a boat"), parent)
        made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        made.open()
        return made

    @classmethod
    def change(cls, session: Session, boat_id: str, parent: QWidget | None) -> BoatDialog:
        """Show what is known of a boat, to be changed."""
        boat = session.project.boats[boat_id].boat
        made = cls(session, boat, tr("Particulars of {name}").format(name=boat.name), parent)
        made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        made.open()
        return made

    # --- Making ---

    def _lay_out(self, title: str) -> None:
        left, right = QVBoxLayout(), QVBoxLayout()
        left.addWidget(label(tr("What she is"), "heading"))
        left.addWidget(self.about)
        left.addWidget(label(tr("For you alone, never on a sheet"), "small"))
        left.addWidget(self.note)
        left.addWidget(label(tr("Size"), "heading"))
        left.addWidget(self.sizes)
        left.addStretch(1)
        right.addWidget(label(tr("Fit-out: decides which checks she gets"), "heading"))
        right.addWidget(self.fitout)
        right.addStretch(1)
        holder = surface("panel")
        columns = QHBoxLayout(holder)
        columns.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_PAGE, SPACE_GROUPS)
        columns.setSpacing(SPACE_PAGE * 2)
        columns.addLayout(left, 1)
        columns.addLayout(right, 1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(holder)
        foot = QHBoxLayout()
        foot.setContentsMargins(SPACE_PAGE, SPACE_RELATED, SPACE_PAGE, SPACE_GROUPS)
        foot.addStretch(1)
        foot.addWidget(self.cancel_button)
        foot.addWidget(self.done_button)
        head = label(title, "title")
        head.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_PAGE, SPACE_RELATED)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(head)
        column.addWidget(area, 1)
        column.addLayout(foot)

    def _fill_about(self) -> None:
        words = {
            "name": tr("Name"),
            "design": tr("Design"),
            "builder": tr("Builder"),
            "lies_at": tr("Lies at"),
            "hull_number": tr("Hull number"),
            "equipment_note": tr("Equipment"),
            "seller": tr("Seller"),
            "contact": tr("Contact, for you alone"),
        }
        for key in ("name", "design", "builder"):
            self._text(key, words[key])
        year = ParsedField(_year, str, characters=6)
        year.set_value(self._boat.year)
        self.about.add_row("year", tr("Built in"), year)
        price = ParsedField(self._price, _money_text, characters=10, unit=self._currency())
        price.set_value(self._boat.asking_price)
        self.about.add_row("asking", tr("Asking price"), price)
        self._text("lies_at", words["lies_at"])
        distance = QuantityField(
            lambda text: formatting.read_quantity(text, "nmi"), _quantity_text, characters=8
        )
        distance.set_value(self._boat.distance)
        self.about.add_row("distance", tr("Distance from you"), distance)
        for key in ("hull_number", "equipment_note", "seller", "contact"):
            self._text(key, words[key])

    def _text(self, key: str, words: str) -> None:
        line = QLineEdit(str(getattr(self._boat, key)))
        self.about.add_row(key, words, line)
        if key == "hull_number":
            line.editingFinished.connect(self._look_at_hull_number)

    def _look_at_hull_number(self) -> None:
        """Say what is odd about the hull number; it is only a remark and stops nothing."""
        text = self._line("hull_number").text().strip()
        reading = read_hull_number(text) if text else None
        odd = reading is not None and (not reading.valid or bool(reading.warnings))
        self.about.set_problem(
            "hull_number", " ".join(reading.sentences) if reading is not None and odd else ""
        )

    def _fill_sizes(self, catalogue: Catalogue) -> None:
        for dimension in catalogue.dimensions.values():
            field = self._dimension_field(dimension)
            field.set_value(self._boat.dimensions.get(dimension.id))
            field.setToolTip(dimension.help)
            self.sizes.add_row(dimension.id, dimension.label, field)

    def _dimension_field(self, dimension: Dimension) -> QuantityField:
        imperial = self._session.project.settings.units == "imperial"
        unit = dimension.imperial_unit if imperial else dimension.unit
        other = dimension.unit if imperial else dimension.imperial_unit

        def read(text: str) -> Quantity:
            value = formatting.read_quantity(text, unit)
            number = value.exact(dimension.unit)
            if not dimension.low <= number <= dimension.high:
                raise EntryError(
                    tr("That is outside {low} to {high} {unit}. Look at the unit.").format(
                        low=dimension.low, high=dimension.high, unit=dimension.unit
                    )
                )
            return value

        def convert(value: object) -> str:
            if not isinstance(value, Quantity):
                return ""
            return formatting.converted(value, other if value.unit == unit else unit)

        shown = "" if unit == "count" else unit
        return QuantityField(read, _quantity_text, unit=shown, convert=convert, characters=8)

    def _fill_fitout(self, catalogue: Catalogue) -> None:
        for fact in catalogue.facts.values():
            box = QComboBox()
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(20)
            default = next(one.label for one in fact.choices if one.id == fact.default)
            box.addItem(tr("not stated, taken as {usual}").format(usual=default), "")
            for choice in fact.choices:
                box.addItem(choice.label, choice.id)
            box.setCurrentIndex(max(0, box.findData(self._boat.facts.get(fact.id, ""))))
            box.setToolTip(fact.help)
            self.fitout.add_row(fact.id, fact.label, box)

    # --- Reading ---

    def field(self, key: str) -> QWidget:
        """The field of one particular."""
        for form in (self.about, self.sizes, self.fitout):
            try:
                return form.field(key)
            except KeyError:
                continue
        raise KeyError(key)

    def _line(self, key: str) -> QLineEdit:
        field = self.about.field(key)
        assert isinstance(field, QLineEdit)  # noqa: S101 - made so above
        return field

    def _currency(self) -> str:
        price = self._boat.asking_price
        return price.currency if price else self._session.project.settings.currency

    def _price(self, text: str) -> Money:
        """A price, in the project's currency or in the one whose code is written with it.

        Raises
        ------
        EntryError
            With the sentence for the field.
        """
        return read_price(text, self._currency())

    def _on_done(self) -> None:
        fields = [
            field for form in (self.about, self.sizes) for field in form.findChildren(ParsedField)
        ]
        wrong = [field for field in fields if not field.commit()]
        if wrong:
            wrong[0].setFocus()
            return
        made = self._read()
        refused = self._session.attempt(lambda project: self._edit(project, made))
        self.about.set_problem("name", refused)
        if refused:
            self.field("name").setFocus()
            return
        if not self._boat.id:
            self._session.select_boat(next(reversed(list(self._session.project.boats))))
        self.accept()

    def _edit(self, project: Project, made: Boat) -> Edit:
        if not self._boat.id:
            return add_boat(project, made)
        if not made.name:
            raise EntryError(tr("Give the boat a name, or what you call her."))
        named = change_boat(project, made.id, "name", made.name, tr("Particulars"))
        return Edit(named.label, (Put(("boats", made.id, "boat"), made),))

    def _read(self) -> Boat:
        texts = {key: self._line(key).text().strip() for key in _TEXTS}
        return dataclasses.replace(
            self._boat,
            name=texts["name"],
            design=texts["design"],
            builder=texts["builder"],
            lies_at=texts["lies_at"],
            hull_number=texts["hull_number"],
            equipment_note=texts["equipment_note"],
            seller=texts["seller"],
            contact=texts["contact"],
            year=_as(int, self._value("year")),
            distance=_as(Quantity, self._value("distance")),
            asking=self._asking(),
            dimensions=self._dimensions(),
            facts=self._facts(),
            private_note=self.note.toPlainText().strip(),
        )

    def _value(self, key: str) -> object:
        field = self.field(key)
        return field.value() if isinstance(field, ParsedField) else None

    def _asking(self) -> tuple[AskingPrice, ...]:
        price = self._value("asking")
        if not isinstance(price, Money):
            return ()
        if price == self._boat.asking_price:
            return self._boat.asking
        return (*self._boat.asking, AskingPrice(price, self._session.today()))

    def _dimensions(self) -> FrozenMap[str, Quantity]:
        known = self._boat.dimensions
        for name in self._session.catalogue.dimensions:
            value = self._value(name)
            known = known.set(name, value) if isinstance(value, Quantity) else known.drop(name)
        return known

    def _facts(self) -> FrozenMap[str, str]:
        known = self._boat.facts
        for name in self._session.catalogue.facts:
            box = self.fitout.field(name)
            chosen = box.currentData() if isinstance(box, QComboBox) else ""
            known = known.set(name, chosen) if chosen else known.drop(name)
        return known


def _as(kind: type[T], value: object) -> T | None:
    return value if isinstance(value, kind) else None


def _year(text: str) -> int:
    number = formatting.read_number(text)
    if number != number.to_integral_value() or not _OLDEST <= number <= _NEWEST:
        raise EntryError(tr("Write the year she was built, such as 1984."))
    return int(number)


def _money_text(value: object) -> str:
    return formatting.exact(value) if isinstance(value, Money) else ""


def _quantity_text(value: object) -> str:
    return formatting.quantity(value) if isinstance(value, Quantity) else ""
