"""Offer: what the seller is asked to carry, at what prices, in what words, and what came back."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from workbench.store import layout
from workbench.window import formatting
from workbench.window.models.offer_reading import Drop, PriceReading, read_drops, read_prices
from workbench.window.models.sheet_words import Paragraph, paragraphs_of
from workbench.window.opening import Openings
from workbench.window.pages.boat_choice import BoatChoice
from workbench.window.pages.offer_claims import OfferClaims
from workbench.window.pages.offer_prices import OfferPrices
from workbench.window.pages.offer_talks import OfferTalks
from workbench.window.pages.offer_words import OfferWords
from workbench.window.pages.page_figures import Job, PageFigures
from workbench.window.pages.sheet_preview import SheetPreview
from workbench.window.pages.sheet_writing import SheetOrder, SheetWriter
from workbench.window.said import said
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.boat_silhouette import BoatSketch
from workbench.window.widgets.buttons import button
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
)

SHEET = "offer"
VIEWS = ("prices", "talks", "words", "sheet")


class OfferPage(QWidget):
    """The offer for the boat that is looked at.

    Signals
    -------
    check_requested(check_id)
        The user wants to see a check of the boat.
    """

    check_requested = Signal(str)

    def __init__(
        self, session: Session, openings: Openings | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._reading: PriceReading | None = None
        self.openings = openings or Openings()
        self.written: Path | None = None
        self.boat = BoatChoice(session)
        self.sentence = label("", "heading", wrap=True)
        self.anchor = label("", "quiet", wrap=True)
        self.claims = OfferClaims(session)
        self.totals = _Sum()
        self.prices = OfferPrices(session)
        self.talks = OfferTalks(session)
        self.words = OfferWords(session)
        self.preview = SheetPreview(session.background)
        self.choice = ChoiceRow(
            [
                ("prices", tr("Prices")),
                ("talks", tr("Offers and answers")),
                ("words", tr("Words")),
                ("sheet", tr("The sheet")),
            ],
            name=tr("What to show at the right"),
        )
        self.choice.set_choice("prices")
        self.write_button = button(
            tr("Write the offer sheet"),
            "primary",
            tip=tr("A PDF for the seller. Budget and walk-away price are never on it."),
        )
        self.said = label("", "small", wrap=True)
        self.notices = label("", "small", wrap=True)
        self.problem = label("", "problem", wrap=True)
        self.open_button = button(tr("Open"), "quiet")
        self.show_button = button(tr("Show in folder"), "quiet")
        self.writer = SheetWriter(session, self)
        self.empty = EmptyState(
            tr("No boat to make an offer for"),
            tr(
                "Enter a boat and look at her. What is due then stands here with its cost, and a "
                "sheet for the seller can be written from it."
            ),
            tr("Go to the boats"),
            sketch=BoatSketch("cutter", "long", "keel"),
        )
        self._lay_out()
        self.figures = PageFigures(self, session, self._prepare_prices, self._take_prices)
        self.failing = PageFigures(self, session, self._prepare_drops, self._take_drops)
        self.phrasing = PageFigures(self, session, self._prepare_words, self._take_words)
        self._connect()
        self._refresh()

    # --- Parts ---

    def _lay_out(self) -> None:
        """Outer parts first: each is dressed once, when what is in it comes into its place."""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self.stack = QStackedWidget()
        column.addWidget(self.stack)
        self.stack.addWidget(self.empty)
        whole = QWidget()
        self.stack.addWidget(whole)
        inner = QVBoxLayout(whole)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(0)
        head = surface("page")
        inner.addWidget(head)
        self._fill_head(head)
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        inner.addWidget(self.splitter, 1)
        left, right = surface("panel"), surface("page")
        self.splitter.addWidget(left)
        self.splitter.addWidget(right)
        self._fill_left(left)
        self._fill_right(right)
        self.splitter.setSizes([720, 560])
        self.splitter.setStretchFactor(0, 3)
        self.splitter.setStretchFactor(1, 2)
        self.splitter.setChildrenCollapsible(False)

    def _fill_head(self, head: QWidget) -> None:
        top = QVBoxLayout(head)
        top.setContentsMargins(SPACE_PAGE, SPACE_RELATED, SPACE_PAGE, SPACE_RELATED)
        top.setSpacing(2)
        line = QHBoxLayout()
        top.addLayout(line)
        line.setSpacing(SPACE_GROUPS)
        line.addWidget(self.boat)
        line.addWidget(self.sentence, 1)
        top.addWidget(self.anchor)

    def _fill_left(self, ground: QWidget) -> None:
        inner = QVBoxLayout(ground)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(0)
        inner.addWidget(self.claims, 1)
        foot = surface("foot")
        inner.addWidget(foot)
        row = QHBoxLayout(foot)
        row.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        row.addWidget(self.totals, 1)

    def _fill_right(self, ground: QWidget) -> None:
        inner = QVBoxLayout(ground)
        inner.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        inner.setSpacing(SPACE_RELATED)
        inner.addWidget(self.choice)
        self.views = QStackedWidget()
        inner.addWidget(self.views, 1)
        for part in (self.prices, self.talks, self.words):
            area = _scroll_area()
            self.views.addWidget(area)
            area.setWidget(part)
        self.views.addWidget(self.preview)
        inner.addWidget(self.notices)
        inner.addWidget(self.problem)
        row = QHBoxLayout()
        inner.addLayout(row)
        row.setSpacing(SPACE_RELATED)
        row.addWidget(self.write_button)
        row.addWidget(self.said, 1)
        row.addWidget(self.open_button)
        row.addWidget(self.show_button)
        for later in (self.notices, self.problem, self.open_button, self.show_button):
            later.hide()

    def _connect(self) -> None:
        # what the user does
        self.choice.chosen.connect(self._on_view)
        self.write_button.clicked.connect(lambda _=False: self.write())
        self.open_button.clicked.connect(lambda _=False: self._open())
        self.show_button.clicked.connect(lambda _=False: self._show_folder())
        self.claims.check_requested.connect(self.check_requested)
        self.prices.check_requested.connect(self.check_requested)
        self.empty.next_step_requested.connect(
            lambda: self.check_requested.emit(self._session.check_id)
        )
        # the writing
        self.writer.written.connect(self._on_written)
        self.writer.ended.connect(self._on_ended)
        # the search
        self._session.changed.connect(self._show_stack)
        self._session.assessed.connect(self._refresh)
        self._session.boat_selected.connect(self._on_boat)

    # --- Following the search ---

    def _show_stack(self) -> None:
        self.stack.setCurrentIndex(0 if self._session.candidate is None else 1)

    def _on_boat(self) -> None:
        self._reading = None
        self.written = None
        self.said.setText("")
        self.open_button.hide()
        self.show_button.hide()
        self.prices.show_drops(None)
        self._refresh()

    def _refresh(self) -> None:
        """Show what the figures say, and ask for what the page needs beyond them."""
        self._show_stack()
        self._say()
        figures = self._session.boat
        self.totals.show_sum(
            figures.asking if figures is not None else None,
            figures.claim.total if figures is not None else Decimal(0),
        )
        self.write_button.setEnabled(figures is not None and not self.writer.busy)
        for one in (self.figures, self.failing, self.phrasing):
            one.refresh()

    def _say(self) -> None:
        figures = self._session.boat
        if figures is None:
            self.sentence.setText("")
            self.anchor.setText("")
            return
        currency = self._session.project.settings.currency
        put = sum(1 for one in figures.claim.lines if one.included)
        lines = tr("1 finding") if put == 1 else tr("{n} findings").format(n=put)
        self.sentence.setText(
            tr("{lines} put to the seller, {amount} {currency} asked.").format(
                lines=lines, amount=formatting.whole(figures.claim.total), currency=currency
            )
        )
        anchor = figures.offer.anchor
        value = tr("Price anchor {amount}.").format(amount=formatting.whole(anchor.value))
        basis = anchor.basis
        self.anchor.setText(f"{value} {basis}" if anchor.value else basis)

    def _prepare_prices(self) -> Job | None:
        assessment, boat = self._session.assessment, self._session.boat
        if assessment is None or boat is None:
            return None
        boat_id, today = boat.id, self._session.today()
        return lambda: read_prices(assessment, boat_id, today)

    def _take_prices(self, reading: PriceReading | None) -> None:
        self._reading = reading
        figures = self._session.boat
        self.prices.show_offer(figures.offer if figures is not None else None, reading)
        notices = reading.notices if reading is not None else ()
        self.notices.setText("\n".join(f"{said(p.message)} {said(p.remedy)}" for p in notices))
        self.notices.setVisible(bool(notices))

    def _prepare_drops(self) -> Job | None:
        assessment, boat = self._session.assessment, self._session.boat
        if assessment is None or boat is None:
            return None
        boat_id = boat.id
        return lambda: read_drops(assessment, boat_id)

    def _take_drops(self, drops: tuple[Drop, ...] | None) -> None:
        self.prices.show_drops(drops)

    def _prepare_words(self) -> Job | None:
        assessment, boat = self._session.assessment, self._session.boat
        if assessment is None or boat is None:
            return None
        boat_id, today = boat.id, self._session.today()
        return lambda: paragraphs_of(assessment, boat_id, today)

    def _take_words(self, paragraphs: tuple[Paragraph, ...] | None) -> None:
        self.words.show_paragraphs(paragraphs or ())

    # --- What the user does ---

    def _on_view(self, key: object) -> None:
        if key not in VIEWS:
            key = VIEWS[0]
            self.choice.set_choice(key)
        self.views.setCurrentIndex(VIEWS.index(str(key)))

    def show_view(self, key: str) -> None:
        """Show one of the views at the right."""
        self.choice.set_choice(key)
        self._on_view(key)

    # --- Writing the sheet ---

    def write(self) -> None:
        """Write the offer sheet of the boat into the search's exports."""
        assessment, boat = self._session.assessment, self._session.boat
        if assessment is None or boat is None or self.writer.busy:
            return
        out = self._session.place / layout.EXPORTS
        order = SheetOrder((SHEET,), (boat.id,), self._paper(), out)
        self._say_problem("")
        self.said.setText(tr("Writing …"))
        self.write_button.setEnabled(False)
        self.writer.write(order, assessment)

    def _paper(self) -> str:
        from workbench.reports.export import PAPERS  # noqa: PLC0415 - when a sheet is written

        preferences = self._session.preferences
        kept = str(preferences.value("paper", "")) if preferences is not None else ""
        return kept if kept in PAPERS else PAPERS[0]

    def _on_written(self, files: object) -> None:
        if not isinstance(files, tuple) or not files:
            return
        self.written = Path(files[0])
        self.openings.allow(self.written)
        self.said.setText(
            tr("{name} lies in {folder}.").format(
                name=self.written.name, folder=self.written.parent.name
            )
        )
        self.said.setToolTip(str(self.written))
        self.open_button.show()
        self.show_button.show()
        self.preview.show_file(self.written, self.written.stem)
        self.show_view("sheet")

    def _on_ended(self, sentence: str) -> None:
        self.write_button.setEnabled(self._session.boat is not None)
        self._say_problem(sentence)
        if sentence:
            self.said.setText("")

    def _say_problem(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def _open(self) -> None:
        if self.written is not None:
            self._say_problem(self.openings.open_file(self.written))

    def _show_folder(self) -> None:
        if self.written is not None:
            self._say_problem(self.openings.show_folder(self.written.parent))


class _Sum(QWidget):
    """The price asked, less what the seller is asked to carry, and what that leaves."""

    def __init__(self) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(SPACE_TIGHT)
        self.words = label("", "", wrap=True)
        self.left = label("", "figure")
        row.addWidget(self.words, 1)
        row.addWidget(self.left)

    def show_sum(self, asking: Decimal | None, claimed: Decimal) -> None:
        """Write the sum; what is missing is said."""
        if asking is None:
            self.words.setText(tr("The price asked is not known, so nothing can be taken off it."))
            self.left.setText("")
            return
        self.words.setText(
            tr("{asking} for her, less {claimed} for the work").format(
                asking=formatting.whole(asking), claimed=formatting.whole(claimed)
            )
        )
        left = asking - claimed
        self.left.setText(formatting.whole(left) if left > 0 else tr("the work eats up the price"))


def _scroll_area() -> QScrollArea:
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area
