"""Fixtures: a small search of two invented boats on the disk, opened as the window opens it."""

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

from workbench.catalogue.model import Catalogue
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.money import Money
from workbench.domain.quantity import Quantity, parse_quantity
from workbench.domain.settings import Settings
from workbench.edits.boats import add_boat
from workbench.edits.edit import apply
from workbench.edits.inspecting import record_reading
from workbench.store.folder import create_project, open_project, save_project
from workbench.window.background import Background
from workbench.window.session import Session
from workbench.window.theme import Theme, ThemeMode

TODAY = date(2026, 5, 10)
CHECK = "stern-bearing-play"
BOATS = (("Marigold Rae", 1979, "31 ft", 24_500), ("Linden Lea", 1991, "32 ft", 36_500))

Put = Callable[[QWidget], QWidget]


def boat(name: str, year: int, length: str, price: int) -> Boat:
    """A boat with what most figures need."""
    sizes = {"loa": parse_quantity(length, "ft"), "shaft-diameter": parse_quantity("25 mm", "mm")}
    asked = AskingPrice(Money(Decimal(price), "USD"), date(2026, 5, 2))
    return Boat(
        "",
        name,
        year=year,
        lies_at="Wharf Lane yard",
        dimensions=FrozenMap(sizes),
        facts=FrozenMap({"drive": "shaft-strut"}),
        asking=(asked,),
    )


@pytest.fixture
def saved_search(tmp_path: Path) -> Path:
    """The folder of a saved search: two boats, one reading."""
    place = tmp_path / "two boats"
    settings = Settings(budget=Decimal(38_000), as_of=TODAY, own_rate=Decimal(20), draws=2_000)
    opened = create_project(place, "Two boats", settings)
    project = opened.project
    for known in BOATS:
        project, _ = apply(project, add_boat(project, boat(*known)))
    found: dict[str, Quantity | str] = {"play": parse_quantity("1.0", "mm"), "sound": "knocks"}
    reading = Reading("", FrozenMap(found), taken=TODAY, by="Robin")
    project, _ = apply(project, record_reading(project, "marigold-rae", CHECK, reading))
    assert save_project(opened.folder, project, opened.project).complete
    opened.folder.close()
    return place


@pytest.fixture
def preferences(tmp_path: Path) -> QSettings:
    """The window's preferences, of this test alone."""
    return QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)


@pytest.fixture
def kept(
    saved_search: Path, few_checks: Catalogue, preferences: QSettings, qapp: QApplication
) -> Iterator[Session]:
    """The session on the saved search; closed, its background at rest, when the test is over."""
    del qapp
    background = Background()
    made = Session(open_project(saved_search), few_checks, background, preferences=preferences)
    background.setParent(made)
    made.today = lambda: TODAY
    made.set_observer("Robin")
    yield made
    made.close()
    made.deleteLater()


@pytest.fixture
def kept_figured(kept: Session, qtbot: QtBot) -> Session:
    """The session on the saved search, with its figures made."""
    with qtbot.waitSignal(kept.assessed, timeout=60_000):
        kept.request_figures()
    return kept


@pytest.fixture
def put_up(qtbot: QtBot, dressed: Theme) -> Put:
    """Show a widget in an active window at its own size and give it back."""
    dressed.set_mode(ThemeMode.LIGHT)

    def show(widget: QWidget) -> QWidget:
        qtbot.addWidget(widget)
        QCursor.setPos(799, 799)  # no row is to lie under the pointer by chance
        with qtbot.waitActive(widget):
            widget.show()
        return widget

    return show
