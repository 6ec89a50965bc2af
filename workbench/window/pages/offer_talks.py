"""Offers made and answers received: entered in one line, changed in their cells."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from workbench.window import formatting
from workbench.window.models.copying import let_copy
from workbench.window.models.offers_table import ANSWER, CONDITIONS, OffersModel, read_price
from workbench.window.pages.cell_editing import CellEditing
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.caution_box import CautionBox
from workbench.window.widgets.labels import label
from workbench.window.widgets.money_field import MoneyField
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import SPACE_RELATED
from workbench.window.widgets.tables import set_up_table

_MOST_HIGH = 320
"""Most height of the table [device-independent pixels]."""


class OfferTalks(QWidget):
    """The talk with the seller so far."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = OffersModel(session, self)
        self.view = QTableView()
        self.price = MoneyField(
            read_price, _shown, name=tr("Price offered"), characters=9, placeholder=tr("price")
        )
        self.conditions = QLineEdit()
        self.conditions.setPlaceholderText(tr("conditions, such as: subject to survey"))
        self.conditions.setAccessibleName(tr("Conditions of the offer"))
        self.make_button = button(tr("Record it as made today"))
        self.remove_button = button(tr("Remove"), "quiet", tip=tr("Take the chosen one off (Del)"))
        self.problem = label("", "problem", wrap=True)
        self.empty = label(
            tr(
                "No offer yet. Once one is made, record it here with its conditions; write the "
                "answer and the counter into its row when they come."
            ),
            "quiet",
            wrap=True,
        )
        self.caution = CautionBox(
            tr(
                "An offer can bind you. Make it subject to survey, to clear title and to what was "
                "not seen; the contract and local law come first."
            )
        )
        self._set_up_view()
        self._lay_out()
        self._connect()
        self._refresh()

    def _set_up_view(self) -> None:
        self.view.setModel(self.model)
        set_up_table(self.view, name=tr("Offers made"), stretch_column=CONDITIONS)
        head = self.view.horizontalHeader()
        head.setSectionResizeMode(ANSWER, QHeaderView.ResizeMode.Stretch)
        self.view.setFrameShape(QTableView.Shape.NoFrame)
        self.view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.view.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.view.setItemDelegate(CellEditing(self.view, self.model.refusal))
        self.view.setWordWrap(True)
        let_copy(self.view)

    def _lay_out(self) -> None:
        entry = QHBoxLayout()
        entry.setSpacing(SPACE_RELATED)
        entry.addWidget(self.price, 0, Qt.AlignmentFlag.AlignTop)
        entry.addWidget(self.conditions, 1, Qt.AlignmentFlag.AlignTop)
        entry.addWidget(self.make_button, 0, Qt.AlignmentFlag.AlignTop)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(SectionHeader(tr("Offers and answers")))
        column.addWidget(self.caution)
        column.addWidget(self.empty)
        column.addWidget(self.view)
        column.addWidget(self.remove_button, 0, Qt.AlignmentFlag.AlignRight)
        column.addWidget(self.problem)
        column.addLayout(entry)
        column.addStretch(1)
        self.problem.hide()

    def _connect(self) -> None:
        self.make_button.clicked.connect(lambda _=False: self.make())
        self.conditions.returnPressed.connect(self.make)
        self.remove_button.clicked.connect(lambda _=False: self.remove())
        shortcut = QShortcut(QKeySequence(QKeySequence.StandardKey.Delete), self.view)
        shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
        shortcut.activated.connect(self.remove)
        self.model.refused.connect(self._say)
        self.model.modelReset.connect(self._refresh)
        self.model.dataChanged.connect(lambda *_: self._fit())
        self.view.horizontalHeader().sectionResized.connect(lambda *_: self._fit())
        self._session.changed.connect(self._refresh)
        self._session.boat_selected.connect(self._refresh)

    def make(self) -> None:
        """Put the offer in the fields on record."""
        if not self.price.commit():
            return
        price = self.price.value()
        if not isinstance(price, Decimal):
            self.price.set_problem(tr("Write the price that you offered."))
            self.price.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        refused = self.model.make(price, self.conditions.text())
        self._say(refused)
        if not refused:
            self.price.set_value(None)
            self.conditions.clear()

    def remove(self) -> None:
        """Take the chosen offer off record."""
        self.model.remove(self.view.currentIndex().row())

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def _refresh(self) -> None:
        some = bool(self.model.rowCount())
        self.empty.setVisible(not some)
        self.view.setVisible(some)
        self.remove_button.setVisible(some)
        self.price.set_unit(self._session.project.settings.currency)
        self._fit()

    def _fit(self) -> None:
        """Be as high as the rows; a long talk scrolls."""
        self.view.resizeRowsToContents()
        rows = sum(self.view.rowHeight(number) for number in range(self.model.rowCount()))
        high = rows + self.view.horizontalHeader().sizeHint().height() + 4
        self.view.setFixedHeight(min(high, _MOST_HIGH))


def _shown(value: object) -> str:
    return formatting.whole(value) if isinstance(value, Decimal) else ""
