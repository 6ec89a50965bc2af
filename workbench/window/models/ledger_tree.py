"""The ledger as a tree: groups of work lines with their ranges and what each counts for."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from workbench.catalogue.names import trade_words
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade, When
from workbench.window import formatting
from workbench.window.models.two_levels import Entry, Group, TwoLevelModel
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.range_bar import Range
from workbench.window.widgets.row_delegate import RowParts

if TYPE_CHECKING:
    from workbench.catalogue.model import Catalogue
    from workbench.figures.assessment import AccessCharge, BoatAssessment, Line


class Grouping(Enum):
    """By what the lines are put together."""

    WHEN = "when"
    SYSTEM = "system"
    TRADE = "trade"
    ACCESS = "access"


@dataclass(frozen=True, slots=True)
class _Placed:
    """A row with the group it belongs to."""

    group: str
    order: int
    entry: Entry
    counted: Decimal


def grouping_words(kind: Grouping) -> str:
    """The words for a grouping."""
    return {
        Grouping.WHEN: tr("by when"),
        Grouping.SYSTEM: tr("by system"),
        Grouping.TRADE: tr("by trade"),
        Grouping.ACCESS: tr("by shared work"),
    }[kind]


class LedgerTreeModel(TwoLevelModel):
    """Groups at the top, lines below; of the boat that is looked at.

    The key of an entry is that of its line or access charge.
    """

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._grouping = Grouping.WHEN
        self._made: dict[str, tuple[Line, float, bool, Entry]] = {}
        session.assessed.connect(self.refresh)
        session.boat_selected.connect(self.refresh)
        session.check_selected.connect(self.refresh)
        self.refresh()

    def set_grouping(self, grouping: Grouping) -> None:
        """Put the lines together differently."""
        self._grouping = grouping
        self.refresh()

    def refresh(self) -> None:
        """Take over the figures of the boat that is looked at."""
        figures, last = self._session.boat, self._session.remembered
        if figures is not None:
            self.take(self._read(figures))
        else:
            self.take(last.ledger if last is not None else ())

    def _read(self, figures: BoatAssessment) -> list[Group]:
        axis = _axis(figures)
        catalogue = self._session.catalogue
        grouper = _GROUPERS[self._grouping]
        if self._grouping is Grouping.ACCESS:
            grouper = _by_rarest(figures)
        rows: list[_Placed] = []
        for line in figures.lines:
            if line.part.allowed_for and not line.counted:
                continue
            group, order = grouper(line, catalogue)
            rows.append(_Placed(group, order, self._line(line, axis), line.counted))
        rows += [self._access(one, axis, allowed=False) for one in figures.access]
        rows += [
            self._access(one, axis, allowed=True) for one in figures.access if one.counted_allowed
        ]
        return _grouped([row for row in rows if row.entry.key])

    def _line(self, line: Line, axis: tuple[float, float]) -> Entry:
        """The row of a line; the very same one while the line, the axis and the light stay."""
        lit = line.finding is not None and line.finding.check.id == self._session.check_id
        held = self._made.get(line.key)
        if held is None or held[0] is not line or held[1:3] != (axis[1], lit):
            held = (line, axis[1], lit, self._made_anew(line, axis, lit=lit))
            self._made[line.key] = held
        return held[3]

    @staticmethod
    def _made_anew(line: Line, axis: tuple[float, float], *, lit: bool) -> Entry:
        parts = RowParts(
            line.title,
            grade=line.grade.value if not line.own else "",
            sub_line=_sub_line(line),
            figure=_figure(line),
            span=_range(line) if line.counts or line.when is When.WISH else None,
            axis=axis,
            colour=_colour(line.grade),
            quiet=not line.counts,
            lit=lit,
        )
        return Entry(line.key, parts)

    def _access(self, charge: AccessCharge, axis: tuple[float, float], *, allowed: bool) -> _Placed:
        counted = charge.counted_allowed if allowed else charge.counted_found
        if not allowed and not charge.counted_found:
            return _Placed("", 0, Entry("", RowParts("")), Decimal(0))
        users = len(charge.users)
        words = tr("once for one job") if users == 1 else tr("once for {n} jobs").format(n=users)
        if charge.quote is not None:
            words = tr("quote, {yard}").format(yard=charge.quote.yard)
        parts = RowParts(
            charge.task.title,
            sub_line=words,
            figure=formatting.whole(counted),
            span=Range(charge.cost.lowest, charge.cost.mean, charge.cost.highest),
            axis=axis,
            quiet=True,
        )
        group, order = self._access_group(charge, allowed=allowed)
        key = f"{charge.key}/unseen" if allowed else charge.key
        return _Placed(group, order, Entry(key, parts), counted)

    def _access_group(self, charge: AccessCharge, *, allowed: bool) -> tuple[str, int]:
        if allowed and self._grouping is Grouping.WHEN:
            return _allowance_group()
        if self._grouping is Grouping.WHEN:
            return formatting.when_word(charge.when), _WHENS.index(charge.when)
        if self._grouping is Grouping.ACCESS:
            return charge.task.title, list(self._session.catalogue.access).index(charge.task.id)
        return tr("Shared work"), 900


_WHENS = tuple(When)


def _allowance_group() -> tuple[str, int]:
    return tr("Allowance for what nobody saw"), 800


def _by_when(line: Line, _catalogue: Catalogue) -> tuple[str, int]:
    if line.part.allowed_for:
        return _allowance_group()
    return formatting.when_word(line.when), _WHENS.index(line.when)


def _by_system(line: Line, catalogue: Catalogue) -> tuple[str, int]:
    if line.system not in catalogue.systems:
        return tr("Other work"), 500
    return catalogue.systems[line.system].title, list(catalogue.systems).index(line.system)


def _by_trade(line: Line, catalogue: Catalogue) -> tuple[str, int]:
    if line.own_work:
        return tr("Own work"), 1
    if line.priced is None or not line.priced.labour:
        return tr("Materials and services"), 700
    largest = max(line.priced.labour, key=lambda one: one.cost.mean)
    words = trade_words(catalogue, largest.trade)
    return words[:1].upper() + words[1:], 100


def _by_access(line: Line, catalogue: Catalogue) -> tuple[str, int]:
    if not line.access:
        return tr("By itself"), 900
    return catalogue.access[line.access[-1]].title, list(catalogue.access).index(line.access[-1])


def _by_rarest(figures: BoatAssessment) -> _Grouper:
    """A line under the shared work that it shares with the fewest, as drawing the shaft.

    So a group holds what is best done together, and no line stands in two; what nearly all need,
    as hauling out, keeps the rest.
    """
    users: Counter[str] = Counter(task for line in figures.lines for task in line.access)

    def grouper(line: Line, catalogue: Catalogue) -> tuple[str, int]:
        if not line.access:
            return _by_access(line, catalogue)
        order = list(catalogue.access)
        task = min(line.access, key=lambda one: (users[one], -order.index(one)))
        return catalogue.access[task].title, order.index(task)

    return grouper


_Grouper = Callable[["Line", "Catalogue"], tuple[str, int]]
_GROUPERS: dict[Grouping, _Grouper] = {
    Grouping.WHEN: _by_when,
    Grouping.SYSTEM: _by_system,
    Grouping.TRADE: _by_trade,
    Grouping.ACCESS: _by_access,
}


def _grouped(rows: list[_Placed]) -> list[Group]:
    names = sorted({(row.order, row.group) for row in rows})
    groups: list[Group] = []
    for order, name in names:
        own = [row for row in rows if row.group == name and row.order == order]
        ordered = sorted(own, key=lambda row: (row.entry.parts.quiet, -row.counted))
        total = sum((row.counted for row in own), Decimal(0))
        head = RowParts(name, figure=formatting.whole(total), strong=True)
        groups.append(Group(name, head, tuple(row.entry for row in ordered)))
    return groups


def _axis(figures: BoatAssessment) -> tuple[float, float]:
    """The axis all ranges share: to the highest, kept from being stretched by one giant.

    Its end is a round figure, so that one edit does not draw every bar anew.
    """
    highs = sorted(line.cost.highest for line in figures.lines if line.counted)
    high = highs[int(len(highs) * 0.9)] if highs else 1.0
    step = 10.0 ** math.floor(math.log10(high)) / 2 if high > 0 else 1.0
    return (0.0, math.ceil(high / step) * step or 1.0)


def _range(line: Line) -> Range:
    return Range(line.cost.lowest, line.mean, line.cost.highest)


def _colour(grade: Grade) -> str:
    return {
        Grade.UNSAFE: "unsafe",
        Grade.DUE: "due",
        Grade.WORN: "worn",
    }.get(grade, "quiet")


def _figure(line: Line) -> str:
    if line.left_out:
        return tr("left out")
    if line.unpriced:
        return tr("not priced")
    if line.covered_by:
        return tr("done with it")
    return formatting.whole(line.counted)


def _sub_line(line: Line) -> str:
    if line.covered_by:
        return tr("done with: {title}").format(title=line.covered_by)
    if line.quote is not None:
        on = formatting.day(line.quote.on)
        return tr("quote, {yard} {on}").format(yard=line.quote.yard, on=on).strip()
    words = formatting.basis_word(line.basis)
    if line.own_work:
        words = tr("own work")
    if line.chance < 1:
        words = tr("{chance} of {cost}, {basis}").format(
            chance=formatting.percent(line.chance), cost=formatting.whole(line.mean), basis=words
        )
    return words
