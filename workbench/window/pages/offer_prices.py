"""The prices of an offer: the ladder from opening to walk-away, what binds it, and two forms."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from workbench.domain.money import Money
from workbench.edits.costing import set_opening
from workbench.window import formatting
from workbench.window.models.offer_reading import Drop, Forms, PriceReading
from workbench.window.models.offers_table import read_price
from workbench.window.pages.parts_list import KEY_ROLE, PartsList
from workbench.window.pages.private_box import PrivateBox
from workbench.window.pages.shown_steps import ShownStep, shown_step
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.labels import label
from workbench.window.widgets.money_field import MoneyField
from workbench.window.widgets.range_bar import Range
from workbench.window.widgets.row_delegate import RowParts
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT
from workbench.window.widgets.why_panel import WhyPanel

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.assessment import Offer


class OfferPrices(QWidget):
    """Opening, ladder and walk-away for the buyer alone; the two forms that the sheet states.

    Signals
    -------
    check_requested(check_id)
        The user wants to look at something that was not seen.
    """

    check_requested = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.opening = MoneyField(read_price, _exact, name=tr("Opening price"), characters=9)
        self.opening_basis = label("", "small", wrap=True)
        self.ladder = PartsList(tr("Price ladder"))
        self.walk_away = label("", "figure")
        self.binding = label("", "quiet", wrap=True)
        self.limits = label("", "small", wrap=True)
        self.why = WhyPanel(self._trace)
        self.drops = PartsList(tr("What could fail"))
        self.drops_lead = label("", "quiet", wrap=True)
        self.as_she_lies = label("", "", wrap=True)
        self.with_work = label("", "", wrap=True)
        self.equal = label("", "quiet", wrap=True)
        self._lay_out()
        self.opening.value_entered.connect(self._on_opening)
        self.drops.activated.connect(self._on_drop)

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_GROUPS)
        column.addWidget(self._ladder_box())
        column.addWidget(self._limit_box())
        column.addWidget(self._forms_part())
        column.addStretch(1)

    def _ladder_box(self) -> QWidget:
        box = PrivateBox(tr("From opening to walk-away"))
        line = QHBoxLayout()
        line.setSpacing(SPACE_RELATED)
        words = label(tr("You open at"), "")
        words.setBuddy(self.opening)
        line.addWidget(words)
        line.addWidget(self.opening)
        line.addStretch(1)
        box.inner.addLayout(line)
        box.inner.addWidget(self.opening_basis)
        box.inner.addWidget(self.ladder)
        return box

    def _limit_box(self) -> QWidget:
        box = PrivateBox(tr("Walk away above"))
        self._limit = box
        box.inner.addWidget(self.walk_away)
        box.inner.addWidget(self.binding)
        box.inner.addWidget(self.limits)
        box.inner.addWidget(self.why)
        box.inner.addSpacing(SPACE_TIGHT)
        box.inner.addWidget(self.drops_lead)
        box.inner.addWidget(self.drops)
        return box

    def _forms_part(self) -> QWidget:
        part = QWidget()
        self._forms = part
        inner = QVBoxLayout(part)
        inner.setContentsMargins(SPACE_GROUPS, 0, SPACE_GROUPS, 0)
        inner.setSpacing(SPACE_TIGHT)
        inner.addWidget(SectionHeader(tr("Two ways to settle"), beside=tr("on the sheet")))
        inner.addWidget(self.as_she_lies)
        inner.addWidget(self.with_work)
        self._both = PrivateBox(tr("What both come to"))
        self._both.inner.addWidget(self.equal)
        inner.addSpacing(SPACE_TIGHT)
        inner.addWidget(self._both)
        return part

    def _trace(self) -> ShownStep | None:
        from workbench.figures.trace import why_offer  # noqa: PLC0415 - numpy comes with it

        figures = self._session.boat
        return shown_step(why_offer(figures, self._session.catalogue)) if figures else None

    # --- Showing ---

    def show_offer(self, offer: Offer | None, reading: PriceReading | None) -> None:
        """Show one boat's prices; None shows that they are being figured."""
        self._show_opening(offer)
        ladder = reading.ladder if reading is not None else ()
        axis = _axis(ladder, offer)
        self.ladder.take(tuple(_rung(step, axis) for step in ladder))
        self._show_limit(offer)
        self.why.set_trace(self._trace)
        self._show_forms(reading.forms if reading is not None else None, offer)

    def _show_opening(self, offer: Offer | None) -> None:
        currency = self._session.project.settings.currency
        self.opening.set_unit(currency)
        own = offer.opening if offer is not None and offer.opening_is_own else None
        if self.opening.value() != own:
            self.opening.set_value(own)
        suggested = offer.suggested_opening if offer is not None else None
        self.opening.line_edit.setPlaceholderText(
            formatting.whole(suggested) if suggested is not None else ""
        )
        self.opening_basis.setText(_opening_words(offer))

    def _show_limit(self, offer: Offer | None) -> None:
        limit = offer.limit if offer is not None else None
        currency = self._session.project.settings.currency
        if limit is None or limit.price is None:
            self.walk_away.setText(tr("No price to name"))
        else:
            self.walk_away.setText(f"{formatting.whole(limit.price)} {currency}")
        self.binding.setText(limit.why if limit is not None else "")
        budget = formatting.whole(limit.budget_price if limit is not None else None)
        worth = formatting.whole(limit.worth_price if limit is not None else None)
        self.limits.setText(
            tr("The budget allows {budget}; worth allows {worth}.").format(
                budget=budget, worth=worth
            )
        )

    def show_drops(self, drops: tuple[Drop, ...] | None) -> None:
        """Show what could fail; None while it is being figured."""
        if drops is None:
            self.drops_lead.setText("")
            self.drops.take(())
            return
        lead = tr("If one of these, none of them certain, turns out to be due, it falls by:")
        none = tr("Nothing that is uncertain would move it.")
        self.drops_lead.setText(lead if drops else none)
        self.drops.take(tuple(_drop_row(one) for one in drops), tuple(one.check for one in drops))

    def _show_forms(self, forms: Forms | None, offer: Offer | None) -> None:
        silent = offer is not None and offer.held_down and not offer.opening_is_own
        self._forms.setVisible(forms is not None or silent)
        self.with_work.setVisible(forms is not None)
        self._both.setVisible(forms is not None)
        if forms is None:
            self.as_she_lies.setText(
                tr(
                    "The sheet names no price while the price asked less the claims lies above "
                    "your limit. Write an opening of your own to have one named."
                )
            )
            return
        currency = self._session.project.settings.currency
        self.as_she_lies.setText(
            tr("{price} {currency} as she lies.").format(
                price=formatting.whole(forms.lower), currency=currency
            )
        )
        jobs = tr("1 line") if forms.jobs == 1 else tr("{n} lines").format(n=forms.jobs)
        self.with_work.setText(
            tr(
                "{price} {currency} with the {lines} claimed whole done before handing over."
            ).format(price=formatting.whole(forms.with_work), currency=currency, lines=jobs)
        )
        self.equal.setText(_equal_words(forms))

    # --- What the user does ---

    def _on_opening(self, value: object) -> None:
        boat, currency = self._session.boat_id, self._session.project.settings.currency
        price = Money(value, currency) if isinstance(value, Decimal) else None
        refused = self._session.attempt(lambda project: set_opening(project, boat, price))
        self.opening.set_problem(refused)

    def _on_drop(self, index: QModelIndex) -> None:
        self.check_requested.emit(str(index.data(KEY_ROLE)))


def _exact(value: object) -> str:
    return formatting.whole(value) if isinstance(value, Decimal) else ""


def _opening_words(offer: Offer | None) -> str:
    if offer is None or offer.suggested_opening is None:
        return tr("Without an asking price or comparables nothing can be suggested.")
    suggested = tr(
        "{amount} is suggested: the price asked less what you ask the seller to carry."
    ).format(amount=formatting.whole(offer.suggested_opening))
    if offer.held_down:
        suggested = tr(
            "{amount} is suggested: what you ask would leave more, but that is your limit."
        ).format(amount=formatting.whole(offer.suggested_opening))
    if offer.opening_is_own and _above(offer):
        return f"{suggested} {tr('Yours lies above the price at which you walk away.')}"
    return suggested


def _above(offer: Offer) -> bool:
    limit, opening = offer.walk_away, offer.opening
    return limit is not None and opening is not None and opening > limit


def _axis(ladder: tuple[object, ...], offer: Offer | None) -> tuple[float, float]:
    prices = [float(getattr(step, "price", 0)) for step in ladder]
    if offer is not None and offer.anchor.value is not None:
        prices.append(float(offer.anchor.value))
    return (min(prices), max(prices)) if prices else (0.0, 1.0)


def basis_words(basis: str) -> str:
    """What a rung rests on, in the language of the window; parts that met on one price together."""
    known = {
        "target": tr("your aim, half-way to your limit"),
        "target, held down to the walk-away price": tr("your aim, held down"),
        "walk-away price": tr("walk away above this"),
        "step 1 above the target": tr("a step up, half of what is left"),
    }
    return "; ".join(known.get(part, part) for part in basis.split("; "))


def _rung(step: object, axis: tuple[float, float]) -> RowParts:
    price, moved = float(getattr(step, "price", 0)), getattr(step, "moved", Decimal(0))
    words = basis_words(str(getattr(step, "basis", "")))
    up = tr("{amount} more").format(amount=formatting.whole(moved)) if moved > 0 else ""
    return RowParts(
        words[:1].upper() + words[1:],
        sub_line=up,
        figure=formatting.whole(Decimal(repr(price))),
        span=Range(price, price, price),
        axis=axis,
        colour="accent",
    )


def _drop_row(one: Drop) -> RowParts:
    chance = tr("chance {share}").format(share=formatting.percent(one.chance))
    left = tr("no price left") if one.amount is None else formatting.estimate(one.amount)
    return RowParts(one.title, grade=one.grade, sub_line=chance, figure=left)


def _equal_words(forms: Forms) -> str:
    saved = tr("Done, that work takes {amount} off the bill you must expect.").format(
        amount=formatting.whole(forms.saved)
    )
    if forms.equal is None:
        return saved
    same = tr("Both ways cost you the same at {price} with the work done.").format(
        price=formatting.whole(forms.equal)
    )
    if forms.equal + 1 < forms.with_work:
        return f"{saved} {same} {tr('At the price on the sheet the lower price suits you better.')}"
    return f"{saved} {same}"
