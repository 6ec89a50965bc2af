"""Starts the window: builds everything once and hands it down; nothing is global."""

from __future__ import annotations

import gc
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QLocale, QSettings, Qt
from PySide6.QtWidgets import QApplication, QWidget

from workbench.catalogue.language import ENGLISH
from workbench.domain.problem import HardstandError
from workbench.paths import resource, settings_folder
from workbench.store.folder import Opened, open_project
from workbench.window.background import Background
from workbench.window.last_shown import marks_of, read_last_shown
from workbench.window.main_window import MainWindow
from workbench.window.preparing import load_pages_later
from workbench.window.recent import last_place, remember_place
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.theme import Theme, ThemeMode
from workbench.window.translation import speak

if TYPE_CHECKING:
    from workbench.catalogue.model import Catalogue


def run(folder: Path | None, *, sample: bool = False) -> int:
    """Open the window on a search; without one, on the last that was open, or ask for one.

    With `sample`, on the user's own copy of the search that comes with the program.
    """
    application = QApplication(sys.argv[:1])
    application.setApplicationName("Hardstand")
    application.setDesktopFileName("hardstand")
    use_locale()
    settings = window_settings()
    language = speak(application, settings)
    begun: list[QWidget] = []  # whatever is shown first, and what follows it
    try:
        opened = _own_sample() if sample else first_project(folder, settings)
    except HardstandError as error:
        if folder is not None or sample:
            print(error, file=sys.stderr)
            return 1
        said = error.problems[0].sentence()
        begun.append(_ask_first(application, settings, language, begun, said))
        return application.exec()
    if opened is None:
        begun.append(_ask_first(application, settings, language, begun))
    else:
        begun.append(_show(build(application, opened, settings, language)))
    return application.exec()


def _ask_first(
    application: QApplication,
    settings: QSettings,
    language: str,
    begun: list[QWidget],
    said: str = "",
) -> QWidget:
    """The start page alone; the window on a search takes its place once one is open."""
    from workbench.window.start_window import StartWindow  # noqa: PLC0415 - seldom shown

    mode = ThemeMode(str(settings.value("appearance", ThemeMode.SYSTEM.value)))
    theme = Theme(application, mode, bundled_fonts=resource("fonts"))
    start = StartWindow(settings)
    start.page.say(said)

    def go_on(opened: Opened) -> None:
        theme.deleteLater()
        begun[:] = [_show(build(application, opened, settings, language))]
        start.close()
        start.deleteLater()

    start.search_opened.connect(go_on)
    start.show()
    gc.enable()
    return start


def _show(window: MainWindow) -> MainWindow:
    sys.excepthook = _reporter(window)
    window.show()
    return window


def build(
    application: QApplication, opened: Opened, settings: QSettings, language: str = ENGLISH
) -> MainWindow:
    """The window on an opened search, with the catalogue in a language."""
    mode = ThemeMode(str(settings.value("appearance", ThemeMode.SYSTEM.value)))
    theme = Theme(application, mode, bundled_fonts=resource("fonts"), put_on_later=True)
    background = Background()
    session = Session(
        opened, partial(_shipped_catalogue, language), background, preferences=settings
    )
    background.setParent(session)
    session.observer = str(settings.value("observer", ""))
    window = MainWindow(session, theme, settings)
    session.setParent(window)
    window.destroyed.connect(theme.deleteLater)
    theme.put_on()
    last = read_last_shown(marks_of(session))
    if last is not None:
        session.recall(last)
    remember_place(settings, session.place)
    window.first_shown.connect(session.request_figures)
    load_pages_later(session)
    session.assessed.connect(_collect_rubbish, Qt.ConnectionType.SingleShotConnection)
    return window


def _collect_rubbish() -> None:
    """Look for rubbish from now on, and not among what stays: modules, catalogue, first figures.

    A look through all of it takes longer than a frame, and would come in the middle of typing.
    """
    gc.freeze()
    gc.enable()


def _shipped_catalogue(language: str) -> Catalogue:
    from workbench.catalogue.loading import load  # noqa: PLC0415 - the first picture does without

    return load(language)


def use_locale() -> None:
    """The system's way of writing figures; English where the system states none."""
    if QLocale.system().name() == "C":
        QLocale.setDefault(QLocale(QLocale.Language.English))


def window_settings() -> QSettings:
    """The window's own preferences, in a file of the user's settings folder."""
    return QSettings(str(settings_folder() / "window.ini"), QSettings.Format.IniFormat)


def first_project(folder: Path | None, settings: QSettings) -> Opened | None:
    """The search to show first; None where the user is to be asked.

    Raises
    ------
    HardstandError
        When the folder that was asked for, or the last one, cannot be opened.
    """
    place = folder or last_place(settings)
    if place is None or (folder is None and not place.is_dir()):
        return None
    return open_project(place)


def _own_sample() -> Opened:
    from workbench.window.samples import open_sample  # noqa: PLC0415 - seldom the first search

    return open_sample()


def _reporter(window: MainWindow):  # type: ignore[no-untyped-def]
    """An exception that nobody caught is shown and goes to standard error; the window lives."""
    import traceback  # noqa: PLC0415 - only on a mistake

    from workbench.domain.problem import Problem  # noqa: PLC0415 - only on a mistake

    def report(kind, error, trace) -> None:  # type: ignore[no-untyped-def]
        traceback.print_exception(kind, error, trace)
        message = tr("Something went wrong in the program. Your work is still here.")
        window.show_problem(
            Problem("Hardstand", message, tr("Save, and start it again if it goes on."))
        )

    return report
