"""A tiny search with three invented boats, its session, and a way to show a page of it."""

from __future__ import annotations

import dataclasses
import gc
from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QLocale, QObject, Signal
from PySide6.QtGui import QCursor
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from tests.window.pages.saved_search import (  # noqa: F401 - fixtures for the tests beside
    kept,
    kept_figured,
    preferences,
    put_up,
    saved_search,
)
from workbench.catalogue.loading import load_folder
from workbench.catalogue.model import Catalogue
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.money import Money
from workbench.domain.problem import EntryError
from workbench.domain.project import Comparable, Project
from workbench.domain.quantity import Quantity, parse_quantity
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Asked
from workbench.edits.boats import add_boat
from workbench.edits.edit import Edit, apply
from workbench.edits.inspecting import record_reading
from workbench.edits.searching import put_comparable
from workbench.store.folder import create_project
from workbench.window.background import Background
from workbench.window.session import Session
from workbench.window.theme import Theme, ThemeMode

ROOT = Path(__file__).resolve().parents[3]
SYSTEMS = ("hull-skin", "keel", "running-gear", "mast-and-rigging", "engine")
BOATS = (
    ("Amber Tide", 1981, "9.4 m", 24500, "1.5 m"),
    ("Brown Heron", 1988, "9.9 m", 29800, "1.7 m"),
    ("Cold Comfort", 1974, "8.9 m", 16400, "1.3 m"),
)
COMPARABLES = (
    ("Sister at the river", 1980, "9.4 m", 22000, Asked.ASKED),
    ("Newer, longer", 1990, "10.2 m", 33000, Asked.SOLD),
    ("Older, shorter", 1972, "8.8 m", 15500, Asked.SOLD),
)

MakeSession = Callable[[Project], Session]
Show = Callable[[QWidget], QWidget]


def metres(text: str) -> Quantity:
    """A length as a person writes it."""
    return parse_quantity(text, "m")


def dollars(amount: int) -> Money:
    """A sum in the currency of the search."""
    return Money(Decimal(amount), "USD")


class StillSession(QObject):
    """What table models ask of a session, without folder, figures and history: for many tries."""

    changed = Signal()
    assessed = Signal()
    boat_selected = Signal(str)
    read_only = ""
    boat = None

    def __init__(self, project: Project) -> None:
        super().__init__()
        self.project = project

    def attempt(self, make: Callable[[Project], Edit]) -> str:
        """Make an edit, or say why it is refused."""
        try:
            edit = make(self.project)
        except EntryError as error:
            return str(error)
        self.project, _ = apply(self.project, edit)
        self.changed.emit()
        return ""


class Builder:
    """A project that grows edit by edit."""

    def __init__(self, project: Project) -> None:
        self.project = project

    def do(self, edit: Edit) -> None:
        """Make one change."""
        self.project, _ = apply(self.project, edit)


@pytest.fixture(autouse=True)
def in_english() -> Iterator[None]:
    """Write figures as the window does where the system states no language."""
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English))
    yield
    QLocale.setDefault(before)


@pytest.fixture(scope="session")
def few_checks() -> Catalogue:
    """The shipped catalogue with three checks of each of five systems, so that figures are fast."""
    whole = load_folder(ROOT / "resources").catalogue
    chosen = []
    for system in SYSTEMS:
        own = [one for one in whole.checks.values() if one.system == system and one.remedies]
        chosen += own[:3]
    checks = FrozenMap((one.id, one) for one in chosen)
    systems = FrozenMap((name, one) for name, one in whole.systems.items() if name in SYSTEMS)
    return dataclasses.replace(whole, checks=checks, systems=systems)


@pytest.fixture
def builder(tmp_path: Path) -> Iterator[Builder]:
    """An empty project in a folder of its own."""
    opened = create_project(
        tmp_path / "search",
        "Three in one yard",
        Settings(budget=Decimal(60000), as_of=date(2026, 5, 10), draws=2_000),
    )
    made = Builder(opened.project)
    made.opened = opened  # type: ignore[attr-defined]
    yield made
    opened.folder.close()


@pytest.fixture
def filled(builder: Builder) -> Builder:
    """Three boats, one of them with a worn-out stern bearing, and three comparables."""
    for name, year, length, price, draft in BOATS:
        builder.do(
            add_boat(
                builder.project,
                Boat(
                    "",
                    name,
                    year=year,
                    dimensions=FrozenMap(
                        {
                            "loa": metres(length),
                            "draft": metres(draft),
                            "shaft-diameter": parse_quantity("25 mm", "mm"),
                        }
                    ),
                    facts=FrozenMap({"drive": "shaft-strut", "keel": "bolted-fin"}),
                    asking=(AskingPrice(dollars(price), date(2026, 5, 2)),),
                ),
            )
        )
    values: dict[str, Quantity | str] = {
        "play": parse_quantity("1.2 mm", "mm"),
        "sound": "knocks",
    }
    play = FrozenMap(values)
    reading = Reading("", play, taken=date(2026, 5, 9), by="Robin")
    builder.do(record_reading(builder.project, "amber-tide", "stern-bearing-play", reading))
    for title, year, length, price, asked in COMPARABLES:
        one = Comparable("", title, dollars(price), asked, year, metres(length), date(2026, 1, 9))
        builder.do(put_comparable(builder.project, one))
    return builder


@pytest.fixture
def open_session(builder: Builder, few_checks: Catalogue, qtbot: QtBot) -> Iterator[MakeSession]:
    """Open a session on a project, with its figures made."""
    made: list[Session] = []

    def opened_on(project: Project) -> Session:
        opened = dataclasses.replace(builder.opened, project=project)  # type: ignore[attr-defined]
        session = Session(opened, few_checks, Background())
        session.today = lambda: date(2026, 5, 10)
        made.append(session)
        with qtbot.waitSignal(session.assessed, timeout=20_000):
            session.request_figures()
        return session

    yield opened_on
    for session in made:
        for doorway in session.findChildren(Background):
            doorway.finish()
        session.close()
    made.clear()
    gc.collect()  # here, in the window's thread, and not in one where figures are being made


@pytest.fixture
def session(open_session: MakeSession, filled: Builder) -> Session:
    """The session on the filled project."""
    return open_session(filled.project)


@pytest.fixture
def no_boats(open_session: MakeSession, builder: Builder) -> Session:
    """The session on an empty project."""
    return open_session(builder.project)


@pytest.fixture(scope="session")
def dressed(qapp: QApplication) -> Theme:
    """The one theme of the test application."""
    return Theme(qapp, ThemeMode.LIGHT)


@pytest.fixture
def show(qtbot: QtBot, dressed: Theme) -> Iterator[Show]:
    """Show a page as the window does, at the smallest size it is made for; it goes with the test.

    A page is gone before its session is, as in the window.
    """
    dressed.set_mode(ThemeMode.LIGHT)
    shown: list[QWidget] = []

    def put(page: QWidget) -> QWidget:
        shown.append(page)
        page.resize(1280, 680)
        QCursor.setPos(1, 1)
        with qtbot.waitActive(page):
            page.show()
        return page

    yield put
    for page in shown:
        page.close()
        page.deleteLater()
        QCoreApplication.sendPostedEvents(page, QEvent.Type.DeferredDelete)
