"""A small search of two invented boats, opened as the window opens it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import QCursor
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from workbench.catalogue.loading import load_folder
from workbench.catalogue.model import Catalogue
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import parse_quantity
from workbench.domain.settings import Settings
from workbench.edits.boats import add_boat
from workbench.edits.edit import Edit, apply
from workbench.edits.inspecting import record_reading
from workbench.paths import resources_root
from workbench.store.folder import create_project, open_project, save_project
from workbench.window.background import Background
from workbench.window.session import Session
from workbench.window.theme import Theme, ThemeMode

TODAY = date(2026, 5, 10)
Put = Callable[[QWidget], QWidget]


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """The shipped catalogue."""
    return load_folder(resources_root()).catalogue


@pytest.fixture(scope="session")
def dressed(qapp: QApplication) -> Theme:
    """The one theme of the test application."""
    return Theme(qapp, ThemeMode.LIGHT)


@pytest.fixture
def put(qtbot: QtBot, dressed: Theme) -> Put:
    """Show a widget in an active window and give it back."""
    dressed.set_mode(ThemeMode.LIGHT)

    def show(widget: QWidget) -> QWidget:
        qtbot.addWidget(widget)
        QCursor.setPos(799, 799)  # no row is to lie under the pointer by chance
        with qtbot.waitActive(widget):
            widget.show()
        return widget

    return show


def _boat(name: str, year: int, length: str, price: int) -> Boat:
    return Boat(
        "",
        name,
        year=year,
        lies_at="Wharf Lane yard",
        dimensions=FrozenMap(
            {
                "loa": parse_quantity(length, "ft"),
                "shaft-diameter": parse_quantity("25 mm", "mm"),
            }
        ),
        facts=FrozenMap({"drive": "shaft-strut"}),
        asking=(AskingPrice(Money(Decimal(price), "USD"), date(2026, 5, 2)),),
    )


def _steps(project: Project) -> Iterator[Edit]:
    yield add_boat(project, _boat("Marigold Rae", 1979, "31 ft", 24_500))
    yield add_boat(project, _boat("Linden Lea", 1991, "32 ft", 36_500))


@pytest.fixture
def search(tmp_path: Path) -> Path:
    """The folder of a saved search: two boats, one reading."""
    place = tmp_path / "two boats"
    settings = Settings(budget=Decimal(38_000), as_of=TODAY, own_rate=Decimal(20), draws=2_000)
    opened = create_project(place, "Two boats", settings)
    project = opened.project
    for edit in _steps(project):
        project, _ = apply(project, edit)
    play = {"play": parse_quantity("1.0", "mm"), "sound": "knocks"}
    reading = Reading("", FrozenMap(play), taken=TODAY, by="Robin")
    edit = record_reading(project, "marigold-rae", "stern-bearing-play", reading)
    project, _ = apply(project, edit)
    assert save_project(opened.folder, project, opened.project).complete
    opened.folder.close()
    return place


@pytest.fixture
def preferences(tmp_path: Path) -> QSettings:
    """The window's preferences, of this test alone."""
    return QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)


@pytest.fixture
def session(
    search: Path, catalogue: Catalogue, preferences: QSettings, qapp: QApplication
) -> Iterator[Session]:
    """The open search; closed, and its background at rest, when the test is over."""
    del qapp
    background = Background()
    made = Session(open_project(search), catalogue, background, preferences=preferences)
    background.setParent(made)
    made.today = lambda: TODAY
    made.set_observer("Robin")
    yield made
    made.close()
    made.deleteLater()


@pytest.fixture
def figured(session: Session, qtbot: QtBot) -> Session:
    """The open search with its figures made."""
    with qtbot.waitSignal(session.assessed, timeout=60_000):
        session.request_figures()
    return session
