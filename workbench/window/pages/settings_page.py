"""Settings: a list of sections at the side, one section at a time beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.labels import surface
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_PAGE, row_height
from workbench.window.widgets.tables import set_up_list


@dataclass(frozen=True, slots=True)
class SectionKind:
    """A section: its key, its title, how it is made, and whether it scrolls by itself."""

    key: str
    title: Callable[[], str]
    make: Callable[[Session], QWidget]
    scrolls: bool = False


def _search(session: Session) -> QWidget:
    from workbench.window.pages.settings_search import SearchSection  # noqa: PLC0415 - when shown

    return SearchSection(session)


def _budget(session: Session) -> QWidget:
    from workbench.window.pages.settings_search import BudgetSection  # noqa: PLC0415 - when shown

    return BudgetSection(session)


def _must_haves(session: Session) -> QWidget:
    from workbench.window.pages.settings_assumptions import (  # noqa: PLC0415 - when shown
        MustHavesSection,
    )

    return MustHavesSection(session)


def _labour(session: Session) -> QWidget:
    from workbench.window.pages.settings_labour import LabourSection  # noqa: PLC0415 - when shown

    return LabourSection(session)


def _looks(session: Session) -> QWidget:
    from workbench.window.pages.settings_labour import LooksSection  # noqa: PLC0415 - when shown

    return LooksSection(session)


def _taxes(session: Session) -> QWidget:
    from workbench.window.pages.settings_costs import TaxesSection  # noqa: PLC0415 - when shown

    return TaxesSection(session)


def _fees(session: Session) -> QWidget:
    from workbench.window.pages.settings_fees import FeesSection  # noqa: PLC0415 - when shown

    return FeesSection(session)


def _exchange(session: Session) -> QWidget:
    from workbench.window.pages.settings_costs import ExchangeSection  # noqa: PLC0415 - when shown

    return ExchangeSection(session)


def _assumptions(session: Session) -> QWidget:
    from workbench.window.pages.settings_assumptions import (  # noqa: PLC0415 - when shown
        AssumptionsSection,
    )

    return AssumptionsSection(session)


def _prices(session: Session) -> QWidget:
    from workbench.window.pages.settings_prices import PricesSection  # noqa: PLC0415 - when shown

    return PricesSection(session)


def _checks(session: Session) -> QWidget:
    from workbench.window.pages.settings_checks import ChecksSection  # noqa: PLC0415 - when shown

    return ChecksSection(session)


SECTIONS: tuple[SectionKind, ...] = (
    SectionKind("search", lambda: tr("This search"), _search),
    SectionKind("budget", lambda: tr("Budget and loan"), _budget),
    SectionKind("must-haves", lambda: tr("Must-haves"), _must_haves),
    SectionKind("labour", lambda: tr("Labour"), _labour),
    SectionKind("looks", lambda: tr("Professional looks"), _looks),
    SectionKind("taxes", lambda: tr("Taxes"), _taxes),
    SectionKind("fees", lambda: tr("Fees and upkeep"), _fees),
    SectionKind("exchange", lambda: tr("Exchange"), _exchange),
    SectionKind("assumptions", lambda: tr("Assumptions"), _assumptions),
    SectionKind("prices", lambda: tr("Own prices"), _prices, scrolls=True),
    SectionKind("checks", lambda: tr("Own checks"), _checks, scrolls=True),
)


class SettingsPage(QWidget):
    """The sections; each is made when it is first shown."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._made: dict[str, tuple[QWidget, QWidget]] = {}
        self.list = QListWidget()
        set_up_list(self.list, name=tr("Sections"))
        self.list.setProperty("ground", "page")
        self.list.setFrameShape(QListWidget.Shape.NoFrame)
        for kind in SECTIONS:
            item = QListWidgetItem(kind.title())
            item.setData(Qt.ItemDataRole.UserRole, kind.key)
            self.list.addItem(item)
        self.list.setFixedHeight(len(SECTIONS) * row_height(self) + 8)
        self.list.setToolTip(tr("Arrow keys go from section to section."))
        self.stack = QStackedWidget()
        side = surface("page")
        side.setFixedWidth(216)
        below = QVBoxLayout(side)
        below.setContentsMargins(SPACE_GROUPS, SPACE_PAGE, 0, SPACE_GROUPS)
        below.addWidget(self.list)
        below.addStretch(1)
        ground = surface("panel")
        inner = QVBoxLayout(ground)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(self.stack)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(side)
        row.addWidget(ground, 1)
        self.list.currentRowChanged.connect(self._on_row)
        self.list.setCurrentRow(0)
        self.setFocusProxy(self.list)

    def _on_row(self, row: int) -> None:
        if row >= 0:
            self.stack.setCurrentWidget(self._place_of(SECTIONS[row].key))

    def section(self, key: str) -> QWidget:
        """A section by its key, made when it is first asked for."""
        self._place_of(key)
        return self._made[key][0]

    def show_section(self, key: str) -> None:
        """Go to a section."""
        self.list.setCurrentRow(next(n for n, kind in enumerate(SECTIONS) if kind.key == key))

    def _place_of(self, key: str) -> QWidget:
        if key not in self._made:
            kind = next(one for one in SECTIONS if one.key == key)
            section = kind.make(self._session)
            place = section if kind.scrolls else _scrolled(section, kind.title())
            self._made[key] = (section, place)
            self.stack.addWidget(place)
        return self._made[key][1]


def _scrolled(section: QWidget, title: str) -> QScrollArea:
    """A section in a page that scrolls, kept at a width that reads well."""
    holder = surface("panel")
    row = QHBoxLayout(holder)
    row.setContentsMargins(SPACE_PAGE + SPACE_GROUPS, SPACE_PAGE, SPACE_PAGE, SPACE_PAGE)
    row.addWidget(section, 100)
    row.addStretch(1)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setAccessibleName(title)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(holder)
    return area
