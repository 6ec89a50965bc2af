"""The buyer's own prices over items of the price book: a table to search, one item to change."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QScrollArea,
    QSplitter,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from workbench.catalogue.model import Catalogue, PriceItem
from workbench.catalogue.names import dimension_words, trade_words
from workbench.domain.problem import EntryError
from workbench.domain.project import PriceOverride, Project
from workbench.domain.span import Ends, Span
from workbench.edits.edit import Edit
from workbench.edits.searching import override_price
from workbench.window.entries import amount_text, number_text, plain, read_amount
from workbench.window.models.copying import let_copy
from workbench.window.models.price_items import ITEM, ITEM_ROLE, PriceFilter, PriceItemsModel
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.search_field import SearchField
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
)
from workbench.window.widgets.tables import set_up_table
from workbench.window.widgets.three_point_field import ThreePointField

MATERIALS = "materials"
_NOTHING_OWN = PriceOverride()


class PricesSection(QWidget):
    """The table of the price book and the item that is chosen."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setAccessibleName(tr("Own prices"))
        self.model = PriceItemsModel(session, self)
        self.filter = PriceFilter(self.model, self)
        self.view = QTableView()
        self.view.setModel(self.filter)
        set_up_table(self.view, name=tr("Price book"), stretch_column=ITEM)
        self.view.setFrameShape(QTableView.Shape.NoFrame)
        self.view.setSortingEnabled(True)
        self.view.sortByColumn(-1, Qt.SortOrder.AscendingOrder)
        let_copy(self.view)
        self.search = SearchField(tr("Find an item"))
        self.search.setToolTip(tr("All words must occur in its title, number or note."))
        self.only_mine = QCheckBox(tr("only mine"))
        self.only_mine.setToolTip(tr("Only the items with figures of your own"))
        self.found = label("", "small")
        self.panel = PricePanel(session)
        self._lay_out()
        self._connect()
        self._say_found()

    def _lay_out(self) -> None:
        head = QVBoxLayout()
        head.setContentsMargins(SPACE_PAGE, SPACE_PAGE, SPACE_PAGE, SPACE_RELATED)
        head.setSpacing(SPACE_RELATED)
        head.addWidget(label(tr("Own prices"), "title"))
        book = self._session.catalogue.prices
        words = tr(
            "The book's hours and materials ({currency}, {region}, {day}) with your own beside "
            "them. Your own are in {mine} and count on every boat."
        )
        head.addWidget(
            label(
                words.format(
                    currency=book.currency,
                    region=book.region,
                    day=book.dated,
                    mine=self._session.project.settings.currency,
                ),
                "quiet",
                wrap=True,
            )
        )
        row = QHBoxLayout()
        row.addWidget(self.search, 1)
        row.addWidget(self.only_mine)
        row.addSpacing(SPACE_GROUPS)
        row.addWidget(self.found)
        head.addLayout(row)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setAccessibleName(tr("The item chosen"))
        area.setWidget(self.panel)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(self.view)
        self.splitter.addWidget(area)
        self.splitter.setSizes([380, 260])
        self.splitter.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.splitter, 1)

    def _connect(self) -> None:
        self.search.searched.connect(self._on_sought)
        self.search.left_downwards.connect(self._go_down)
        self.only_mine.toggled.connect(self._on_only_mine)
        self.view.selectionModel().currentRowChanged.connect(self._on_current)

    def _on_sought(self, text: str) -> None:
        self.filter.seek(text)
        self._say_found()

    def _on_only_mine(self, only: bool) -> None:
        self.filter.show_only_mine(only)
        self._say_found()

    def _say_found(self) -> None:
        self.found.setText(
            tr("{n} of {all} items").format(n=self.filter.rowCount(), all=self.model.rowCount())
        )

    def _go_down(self) -> None:
        self.view.setFocus(Qt.FocusReason.TabFocusReason)
        if not self.view.currentIndex().isValid() and self.filter.rowCount():
            self.view.setCurrentIndex(self.filter.index(0, 0))

    def _on_current(self, current: QModelIndex) -> None:
        item_id = current.data(ITEM_ROLE) if current.isValid() else None
        self.panel.show_item(str(item_id) if item_id else "")

    def show_item(self, item_id: str) -> None:
        """Choose an item of the book."""
        row = self.model.row_of(item_id)
        index = self.filter.mapFromSource(self.model.index(row, 0))
        if index.isValid():
            self.view.setCurrentIndex(index)


class PricePanel(QWidget):
    """One item: what the book says, and fields for one's own figures."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.item_id = ""
        self.title = label("", "heading", wrap=True)
        self.about = label("", "quiet", wrap=True)
        self.problem = label("", "problem", wrap=True)
        self.back_button = button(
            tr("Back to the book"), "quiet", tip=tr("Drop your own figures of this item")
        )
        self.fields: dict[str, ThreePointField] = {}
        self._holder: QWidget | None = None
        ground = surface("panel")
        self._column = QVBoxLayout(ground)
        self._column.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_PAGE, SPACE_GROUPS)
        self._column.setSpacing(SPACE_RELATED)
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.back_button)
        self._column.addLayout(head)
        self._column.addWidget(self.about)
        self._column.addWidget(self.problem)
        self._column.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(ground)
        self.back_button.clicked.connect(self._on_back)
        session.changed.connect(self.refresh)
        self.show_item("")

    def _item(self) -> PriceItem | None:
        return self._session.catalogue.prices.items.get(self.item_id)

    def _own(self) -> PriceOverride:
        return self._session.project.overrides.prices.get(self.item_id, _NOTHING_OWN)

    def show_item(self, item_id: str) -> None:
        """Show another item; '' for none."""
        self.item_id = item_id
        self._say("")
        item = self._item()
        if self._holder is not None:
            self._column.removeWidget(self._holder)
            self._holder.deleteLater()
            self._holder = None
        self.fields = {}
        if item is None:
            self.title.setText(tr("No item chosen"))
            self.about.setText(tr("Choose an item in the table to put your own figures over it."))
            self.back_button.hide()
            return
        self.title.setText(item.title)
        catalogue = self._session.catalogue
        self.about.setText(_about(item, catalogue))
        self._holder = QWidget()
        column = QHBoxLayout(self._holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_PAGE)
        for one in item.labour:
            words = tr("Hours, {trade}").format(trade=trade_words(catalogue, one.trade))
            column.addWidget(self._field(one.trade, words, one.hours, tr("h")))
        column.addWidget(self._field(MATERIALS, tr("Materials and services"), item.materials, ""))
        column.addStretch(1)
        self._column.insertWidget(2, self._holder)
        self.refresh()

    def _field(self, key: str, words: str, book: Span, unit: str) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addWidget(label(words, "strong"))
        said = tr("The book: {low}, {likely}, {high}").format(
            low=plain(book.low), likely=plain(book.likely), high=plain(book.high)
        )
        show = amount_text if key == MATERIALS else number_text
        field = ThreePointField(read_amount, show, unit=unit, limits=said, name=words)
        field.span_entered.connect(lambda ends: self._on_span(key, ends))
        self.fields[key] = field
        column.addWidget(field)
        column.addStretch(1)
        return holder

    def refresh(self) -> None:
        """Show the own figures as the search holds them."""
        own = self._own()
        self.back_button.setVisible(bool(self.item_id) and own != _NOTHING_OWN)
        for key, field in self.fields.items():
            span = own.materials if key == MATERIALS else own.hours.get(key)
            now = (span.low, span.likely, span.high) if span is not None else None
            if field.span() != now and not field.problem():
                field.set_span(now)

    def _on_span(self, key: str, ends: object) -> None:
        item_id, title = self.item_id, self.title.text()

        def make(project: Project) -> Edit:
            known = project.overrides.prices.get(item_id, _NOTHING_OWN)
            span = _span(ends)
            if key == MATERIALS:
                changed = dataclasses.replace(known, materials=span)
            else:
                hours = known.hours.drop(key) if span is None else known.hours.set(key, span)
                changed = dataclasses.replace(known, hours=hours)
            changed = dataclasses.replace(changed, on=self._session.today())
            empty = changed.materials is None and not changed.hours and not changed.note
            edit = override_price(project, item_id, None if empty else changed)
            return Edit(tr("Own price of {title}").format(title=title), edit.puts, edit.merges)

        self._say(self._session.attempt(make))

    def _on_back(self) -> None:
        item_id = self.item_id
        for field in self.fields.values():
            field.set_span(None)
        self._say(self._session.attempt(lambda project: override_price(project, item_id, None)))

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))


def _span(ends: object) -> Span | None:
    """Three ends as a span; None for an emptied field.

    Raises
    ------
    EntryError
        When they are no amounts in order.
    """
    if ends is None:
        return None
    if not isinstance(ends, tuple) or not all(isinstance(one, Decimal) for one in ends):
        raise EntryError(tr("Low, likely and high must be numbers."))
    low, likely, high = ends
    return Span(low, likely, high, Ends.ONE_IN_TEN)


def _about(item: PriceItem, catalogue: Catalogue) -> str:
    """What the book says about an item beside its figures."""
    scaled = ", ".join(dimension_words(catalogue, one.dimension) for one in item.scales)
    parts = [
        tr("For one {unit}.").format(unit=item.unit),
        tr("It grows with her {what}.").format(what=scaled) if scaled else "",
        item.note,
        tr("Source: {source}.").format(source=catalogue.wording.source(item.source)),
    ]
    return " ".join(part for part in parts if part)
