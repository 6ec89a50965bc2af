"""One look unfolded: what it is worth, what each answer would do, and the step into the check."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from decimal import Decimal

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget

from workbench.domain.problem import EntryError
from workbench.edits.searching import change_settings
from workbench.window import formatting
from workbench.window.models.looks import MOST_COVERED, Covered, Looking, LookRow
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import figure, label
from workbench.window.widgets.money_field import MoneyField
from workbench.window.widgets.range_bar import Range, RangeBar
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
)


def best_other(boat: str, gains: Mapping[str, Decimal]) -> tuple[str, Decimal]:
    """The best choice beside a boat and what it is worth; '' and nothing for buying none."""
    others = {key: gain for key, gain in gains.items() if key != boat and gain > 0}
    if not others:
        return "", Decimal(0)
    best = max(others, key=lambda key: others[key])
    return best, others[best]


def choice_words(row: LookRow, gain: Decimal, looking: Looking) -> str:
    """Which boat one would choose when this one is worth `gain` beyond her cost."""
    other, other_gain = best_other(row.boat, looking.gains)
    if gain > other_gain:
        return tr("{boat} is the choice.").format(boat=row.boat_name)
    if other:
        return tr("{boat} is the choice.").format(boat=looking.names[other])
    return tr("None of them is the choice.")


class LookPanel(QScrollArea):
    """The look that is chosen in the list.

    Signals
    -------
    look_requested(LookRow)
        The user goes to look, or enters what was found.
    """

    look_requested = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.row: LookRow | None = None
        self.about = label("", "small", wrap=True)
        self.title = label("", "title", wrap=True)
        self.go_button = button("", "primary", tip=tr("Enter in the list does the same"))
        self.fee = MoneyField(
            _amount, _shown, name=tr("Fee"), characters=8, currency="", placeholder=""
        )
        self.fee_hint = label("", "small", wrap=True)
        self._parts = QVBoxLayout()
        self._parts.setSpacing(SPACE_TIGHT)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(tr("The look that is chosen"))
        self._lay_out()
        self.go_button.clicked.connect(self._on_go)
        self.fee.value_entered.connect(self._on_fee)
        self._covered.check_chosen.connect(self._on_covered)

    def _lay_out(self) -> None:
        self._holder = QWidget()
        self._figures = _Figures()
        self._answers = _Answers()
        self._covered = _CoveredChecks()
        self._fee_part = self._make_fee_part()
        column = QVBoxLayout(self._holder)
        column.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_PAGE, SPACE_GROUPS)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(self.about)
        column.addWidget(self.title)
        column.addWidget(self._figures)
        column.addWidget(self.go_button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addSpacing(SPACE_RELATED)
        for part in (self._answers, self._covered, self._fee_part):
            column.addWidget(part)
        column.addStretch(1)
        self.setWidget(self._holder)

    def _make_fee_part(self) -> QWidget:
        part = QWidget()
        inner = QVBoxLayout(part)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(SPACE_TIGHT)
        inner.addWidget(SectionHeader(tr("Fee")))
        inner.addWidget(self.fee)
        inner.addWidget(self.fee_hint)
        return part

    def show_look(self, row: LookRow | None, looking: Looking) -> None:
        """Unfold another look; None shows nothing."""
        self.row = row
        self._holder.setVisible(row is not None)
        if row is None:
            return
        self.about.setText(_about(row))
        self.title.setText(row.title)
        self._figures.show_row(row)
        self.go_button.setText(tr("Look at it now") if row.own else tr("Enter what was found"))
        self.go_button.setEnabled(bool(row.check))
        single = row.own and not row.visit
        self._answers.setVisible(single)
        self._covered.setVisible(not single)
        self._fee_part.setVisible(not row.own)
        if single:
            self._answers.show_row(row, looking)
        else:
            self._covered.show_row(row)
        if not row.own:
            self._show_fee(row)

    def _show_fee(self, row: LookRow) -> None:
        settings = self._session.project.settings
        self.fee.set_unit(settings.currency)
        own = settings.look_fees.get(row.look)
        if self.fee.value() != own or not self.fee.problem():
            self.fee.set_value(own)
        self.fee.line_edit.setPlaceholderText(formatting.whole(row.fee))
        asked = tr("Your own figure. Empty it to go back to the assumed one.")
        assumed = tr("Assumed. Write what you were told on the telephone.")
        note = f" {row.note}" if row.note else ""
        self.fee_hint.setText((asked if own is not None else assumed) + note)

    def _on_fee(self, value: object) -> None:
        if self.row is None or self.row.own:
            return
        look = self.row.look
        fees = self._session.project.settings.look_fees
        changed = fees.set(look, value) if isinstance(value, Decimal) else fees.drop(look)
        refused = self._session.attempt(
            lambda project: change_settings(project, tr("Fee of a look"), look_fees=changed)
        )
        self.fee.set_problem(refused)

    def _on_covered(self, check: str) -> None:
        if self.row is not None:
            self.look_requested.emit(dataclasses.replace(self.row, check=check))

    def _on_go(self) -> None:
        if self.row is not None:
            self.look_requested.emit(self.row)


def _about(row: LookRow) -> str:
    if row.own:
        where = tr("afloat") if row.needs_afloat else tr("ashore")
        minutes = tr("{n} minutes").format(n=row.minutes)
        return ", ".join((row.boat_name, tr("you look"), minutes, where))
    return ", ".join((row.boat_name, row.who))


class _Figures(QWidget):
    """Worth, fee and what is left, side by side."""

    def __init__(self) -> None:
        super().__init__()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(SPACE_PAGE)
        grid.setVerticalSpacing(0)
        self._values = []
        for place, words in enumerate((tr("Worth"), tr("Fee"), tr("Worth less fee"))):
            grid.addWidget(label(words, "small"), 0, place)
            value = label("", "figure")
            grid.addWidget(value, 1, place)
            self._values.append(value)
        grid.setColumnStretch(3, 1)

    def show_row(self, row: LookRow) -> None:
        """Write the three figures."""
        for value, amount in zip(self._values, (row.worth, row.fee, row.net), strict=True):
            value.setText(formatting.whole(amount))


class _Answers(QWidget):
    """What each answer would make of the boat and of the choice."""

    def __init__(self) -> None:
        super().__init__()
        self.bar = RangeBar(role="accent")
        self.lead = label("", "quiet", wrap=True)
        grid = QGridLayout()
        grid.setVerticalSpacing(SPACE_TIGHT)
        grid.setHorizontalSpacing(SPACE_RELATED)
        grid.setColumnStretch(0, 1)
        self._lines = []
        for number in range(3):
            words, value, choice = label("", wrap=True), figure(), label("", "small", wrap=True)
            grid.addWidget(words, 2 * number, 0)
            grid.addWidget(value, 2 * number, 1)
            grid.addWidget(choice, 2 * number + 1, 0, 1, 2)
            self._lines.append((words, value, choice))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addWidget(SectionHeader(tr("What each answer would do")))
        column.addWidget(self.lead)
        column.addLayout(grid)
        column.addWidget(self.bar)

    def show_row(self, row: LookRow, looking: Looking) -> None:
        """Write what follows from a fault found, from nothing found, and how it stands now."""
        now = looking.gains.get(row.boat, Decimal(0))
        found, clear = row.if_found or Decimal(0), row.if_clear or Decimal(0)
        self.lead.setText(
            tr("What {boat} is worth to you beyond all that she costs:").format(boat=row.boat_name)
        )
        said = (
            (tr("if you find it"), found),
            (tr("as it stands"), now),
            (tr("if you see nothing wrong"), clear),
        )
        for (words, value, choice), (text, gain) in zip(self._lines, said, strict=True):
            words.setText(text)
            value.setText(formatting.estimate(gain))
            choice.setText(choice_words(row, gain, looking))
        _, other = best_other(row.boat, looking.gains)
        ends = [float(one) for one in (found, clear, now, other, Decimal(0))]
        span = tr("{low} to {high}").format(
            low=formatting.estimate(found), high=formatting.estimate(clear)
        )
        self.bar.set_range(
            Range(float(found), float(now), float(clear)),
            (min(ends), max(ends)),
            role="accent",
            words=span,
        )


class _CoveredChecks(QWidget):
    """What a professional's look or another visit answers; each check can be gone to.

    Signals
    -------
    check_chosen(check_id)
        The user wants that check.
    """

    check_chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.head = SectionHeader(tr("What it answers"))
        self.more = label("", "small")
        self.links = [button("", "link") for _ in range(MOST_COVERED)]
        self._shown: tuple[Covered, ...] = ()
        self.caution = label(
            tr(
                "Ask whether your lender or insurer wants an accredited surveyor, and let gas and "
                "electrical work be looked at by licensed trades."
            ),
            "small",
            wrap=True,
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addSpacing(SPACE_TIGHT)
        for place, link in enumerate(self.links):
            link.clicked.connect(lambda _=False, place=place: self._on_link(place))
            column.addWidget(link, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.more)
        column.addSpacing(SPACE_TIGHT)
        column.addWidget(self.caution)

    def _on_link(self, place: int) -> None:
        self.check_chosen.emit(self._shown[place].check)

    def show_row(self, row: LookRow) -> None:
        """List the weightiest checks with their chances."""
        self.caution.setVisible(not row.own)
        count = tr("1 doubtful check") if row.covers == 1 else tr("{n} doubtful checks")
        self.head.set_beside(count.format(n=row.covers))
        self._shown = row.covered
        for place, link in enumerate(self.links):
            link.setVisible(place < len(row.covered))
            if place < len(row.covered):
                one = row.covered[place]
                link.setText(f"{one.title}, {formatting.percent(one.chance)}")
        left = row.covers - len(row.covered)
        self.more.setVisible(left > 0)
        self.more.setText(tr("and {n} more").format(n=left))


def _amount(text: str) -> Decimal:
    number = formatting.read_number(text)
    if number < 0:
        raise EntryError(tr("A fee cannot be below zero."))
    return number


def _shown(value: object) -> str:
    return formatting.whole(value) if isinstance(value, Decimal) else ""
