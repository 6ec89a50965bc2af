"""One boat of the shortlist: her picture, where she stands and why, prices asked, worth beside."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from workbench.domain.boat import AskingPrice, WorthToMe
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.vocabulary import Status
from workbench.edits.boats import change_boat, set_status
from workbench.window import formatting
from workbench.window.models.boat_list import about_boat
from workbench.window.models.boat_records import PRICES, WORTH, read_money, read_price
from workbench.window.opening import Link, Openings, read_link
from workbench.window.pages.portrait_box import PortraitBox
from workbench.window.pages.records_pane import RecordsPane
from workbench.window.photo_loading import PhotoLoader
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.labels import label
from workbench.window.widgets.money_field import MoneyField
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_RELATED,
    SPACE_TIGHT,
    show_part,
)


class ShortlistBoat(QWidget):
    """What is known of the boat that is looked at, beyond what the table shows.

    Signals
    -------
    look_requested()
        The user wants to look her over.
    particulars_requested(boat_id)
        The user wants to see or change her particulars.
    """

    look_requested = Signal()
    particulars_requested = Signal(str)

    def __init__(
        self,
        session: Session,
        loader: PhotoLoader,
        openings: Openings | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._openings = openings or Openings()
        self._link: Link | None = None
        self.name = label("", "title", wrap=True)
        self.about = label("", "quiet", wrap=True)
        self.portrait = PortraitBox(session, loader)
        self.look_button = button(tr("Look her over"), "primary")
        self.particulars_button = button(tr("Particulars …"))
        self.status = ChoiceRow(
            [(one, formatting.status_word(one)) for one in Status], name=tr("Where she stands")
        )
        self.reason = QLineEdit()
        self.reason.setPlaceholderText(tr("why, for you alone"))
        self.reason.setAccessibleName(tr("Why she stands there"))
        self._make_prices()
        self._make_worth()
        self.address = QLineEdit()
        self.address.setPlaceholderText(tr("address of the advertisement"))
        self.address.setAccessibleName(tr("Address of the advertisement"))
        self.open_button = button(tr("Open"), "link", tip=tr("Shows the host before it opens it"))
        self.yes_button = button(tr("Yes, open it"))
        self.no_button = button(tr("No"), "quiet")
        self.said = label("", "small", wrap=True)
        self._lay_out()
        self._connect()
        self._ask(None)
        self.refresh()

    def _make_prices(self) -> None:
        self.price = MoneyField(
            self._read_price, _shown, name=tr("Price asked"), characters=9, placeholder=tr("price")
        )
        self.price_note = QLineEdit()
        self.price_note.setPlaceholderText(tr("note"))
        self.price_note.setAccessibleName(tr("Note on the price"))
        self.prices = RecordsPane(
            self._session,
            PRICES,
            name=tr("Prices asked"),
            fields=(self.price, self.price_note),
            stretch_column=2,
        )
        self.prices.add_button.setToolTip(tr("Put it on record as seen today"))

    def _make_worth(self) -> None:
        self.worth_amount = MoneyField(
            self._read_worth,
            _shown,
            name=tr("What it is worth to you"),
            characters=9,
            placeholder=tr("amount"),
        )
        self.worth_label = QLineEdit()
        self.worth_label.setPlaceholderText(tr("such as: new sails"))
        self.worth_label.setAccessibleName(tr("What she has, or lacks"))
        self.worth = RecordsPane(
            self._session,
            WORTH,
            name=tr("Worth to you beside"),
            fields=(self.worth_amount, self.worth_label),
            stretch_column=0,
        )
        self.worth.add_button.setToolTip(tr("Below nothing for what she lacks"))

    def _lay_out(self) -> None:
        actions = QHBoxLayout()
        actions.setSpacing(SPACE_RELATED)
        actions.addWidget(self.look_button)
        actions.addWidget(self.particulars_button)
        actions.addStretch(1)
        link = QHBoxLayout()
        link.setSpacing(SPACE_RELATED)
        link.addWidget(self.address, 1)
        link.addWidget(self.open_button)
        asking = QHBoxLayout()
        asking.setSpacing(SPACE_RELATED)
        asking.addWidget(self.said, 1)
        asking.addWidget(self.yes_button)
        asking.addWidget(self.no_button)
        worth_words = tr(
            "Counts in the order of the boats and in the price at which you walk away. Never on a "
            "sheet that goes out."
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(self.name)
        column.addWidget(self.about)
        column.addWidget(self.portrait)
        column.addLayout(actions)
        groups: tuple[tuple[str, tuple[QWidget, ...]], ...] = (
            (tr("Where she stands"), (self.status, self.reason)),
            (tr("Prices asked"), (self.prices,)),
            (tr("Worth to you beside"), (label(worth_words, "small", wrap=True), self.worth)),
        )
        for title, parts in groups:
            column.addSpacing(SPACE_GROUPS - SPACE_TIGHT)
            column.addWidget(SectionHeader(title))
            for part in parts:
                column.addWidget(part)
        column.addSpacing(SPACE_GROUPS - SPACE_TIGHT)
        column.addWidget(SectionHeader(tr("Advertisement")))
        column.addLayout(link)
        column.addLayout(asking)
        column.addStretch(1)

    def _connect(self) -> None:
        self.look_button.clicked.connect(lambda _=False: self.look_requested.emit())
        self.particulars_button.clicked.connect(
            lambda _=False: self.particulars_requested.emit(self._session.boat_id)
        )
        self.status.chosen.connect(self._on_status)
        self.reason.editingFinished.connect(self._on_status)
        self.prices.add_requested.connect(self._on_price)
        self.price_note.returnPressed.connect(self._on_price)
        self.worth.add_requested.connect(self._on_worth)
        self.worth_label.returnPressed.connect(self._on_worth)
        self.address.editingFinished.connect(self._on_address)
        self.open_button.clicked.connect(lambda _=False: self._on_open())
        self.yes_button.clicked.connect(lambda _=False: self._follow())
        self.no_button.clicked.connect(lambda _=False: self._ask(None))
        self._session.changed.connect(self.refresh)
        self._session.boat_selected.connect(self.refresh)

    # --- What is shown ---

    def refresh(self) -> None:
        """Show the boat as the search has her."""
        candidate = self._session.candidate
        show_part(self, shown=candidate is not None)
        if candidate is None:
            return
        boat = candidate.boat
        self.name.setText(boat.name)
        self.about.setText(about_boat(candidate))
        self.status.set_choice(boat.status)
        texts = ((self.reason, boat.status_reason), (self.address, boat.listing_address))
        for field, text in texts:
            if not field.hasFocus():
                field.setText(text)
        self.open_button.setVisible(bool(boat.listing_address))
        currency = boat.asking_price.currency if boat.asking_price else self._currency()
        self.price.set_unit(currency)
        self.worth_amount.set_unit(self._currency())

    def _currency(self) -> str:
        return self._session.project.settings.currency

    # --- What the user does ---

    def _on_status(self, _: object = None) -> None:
        candidate, chosen = self._session.candidate, self.status.choice()
        if candidate is None or not isinstance(chosen, Status):
            return
        boat, reason = candidate.boat, self.reason.text().strip()
        if (chosen, reason) != (boat.status, boat.status_reason):
            self._session.attempt(lambda project: set_status(project, boat.id, chosen, reason))

    def _read_price(self, text: str) -> Money:
        boat = self._session.candidate.boat if self._session.candidate else None
        known = boat.asking_price if boat else None
        return read_price(text, known.currency if known else self._currency())

    def _read_worth(self, text: str) -> Money:
        return read_money(text, self._currency())

    def _on_price(self) -> None:
        if not self.price.commit():
            return
        price = self.price.value()
        if not isinstance(price, Money):
            self.price.set_problem(tr("Write what is asked for her."))
            self.price.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        record = AskingPrice(price, self._session.today(), self.price_note.text().strip())
        if not self.prices.model.add(record):
            self.price.set_value(None)
            self.price_note.clear()

    def _on_worth(self) -> None:
        if not self.worth_amount.commit():
            return
        amount, words = self.worth_amount.value(), self.worth_label.text().strip()
        if not isinstance(amount, Money) or not words:
            self.worth.say(tr("Write what it is and what it is worth to you."))
            return
        if not self.worth.model.add(WorthToMe(words, amount)):
            self.worth_amount.set_value(None)
            self.worth_label.clear()

    def _on_address(self) -> None:
        candidate, text = self._session.candidate, self.address.text().strip()
        if candidate is not None and text != candidate.boat.listing_address:
            boat = candidate.boat.id
            self._session.attempt(
                lambda project: change_boat(project, boat, "listing_address", text, "Advertisement")
            )

    # --- The advertisement ---

    def _on_open(self) -> None:
        try:
            self._ask(read_link(self.address.text()))
        except EntryError as error:
            self._say(str(error))

    def _ask(self, link: Link | None) -> None:
        """Ask, with the host in sight, whether the address is to be opened."""
        self._link = link
        self.yes_button.setVisible(link is not None)
        self.no_button.setVisible(link is not None)
        self._say(tr("Open {host} in your browser?").format(host=link.host) if link else "")

    def _follow(self) -> None:
        if self._link is not None:
            said = self._openings.follow(self._link)
            self._ask(None)
            self._say(said)

    def _say(self, sentence: str) -> None:
        self.said.setText(sentence)
        self.said.setVisible(bool(sentence))


def _shown(value: object) -> str:
    return formatting.exact(value) if isinstance(value, Money) else ""
