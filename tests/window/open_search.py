"""A search opened in a real window on the small catalogue, for tests that act as a user would."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QLocale, QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import AS_OF, small_catalogue
from workbench.domain.project import Project
from workbench.domain.settings import Settings
from workbench.edits.edit import Edit, apply
from workbench.store.folder import create_project, save_project
from workbench.window.background import Background
from workbench.window.main_window import MainWindow
from workbench.window.session import Session
from workbench.window.theme import Theme, ThemeMode

Maker = Callable[[Project], Edit]


def make_folder(place: Path, *makers: Maker) -> Path:
    """A saved search in a new folder, with edits made."""
    opened = create_project(place, "Search", Settings(as_of=AS_OF), project_id="search")
    project = opened.project
    for make in makers:
        project, _ = apply(project, make(project))
    save_project(opened.folder, project, opened.project)
    opened.folder.close()
    return place


def open_session(place: Path) -> Session:
    """A session on a folder, with the small catalogue."""
    from workbench.store.folder import open_project  # noqa: PLC0415 - beside its only use

    background = Background()
    session = Session(open_project(place), small_catalogue(), background)
    background.setParent(session)
    session.observer = "Robin"
    session.today = lambda: AS_OF
    return session


def figured(session: Session, qtbot: QtBot) -> None:
    """Wait until the figures of the project as it is now are there."""
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        session.request_figures()


def open_window(place: Path, qtbot: QtBot) -> MainWindow:
    """The whole window on a folder; closed by the test."""
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedStates))
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    session = open_session(place)
    settings = QSettings(str(place.parent / "window.ini"), QSettings.Format.IniFormat)
    window = MainWindow(session, Theme(application, ThemeMode.LIGHT), settings)
    session.setParent(window)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    figured(session, qtbot)
    return window
