"""Where the window was left: its place on the screen, its page, its columns, and the check."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSettings

from workbench.window.pages.registry import PAGES

if TYPE_CHECKING:
    from workbench.window.main_window import MainWindow

_KEPT_PAGES = frozenset(page.key for page in PAGES if page.in_nav)


def keep(window: MainWindow, settings: QSettings) -> None:
    """Keep where the window is left."""
    page, session = window.boats_page, window.session
    settings.setValue("geometry", window.saveGeometry())
    settings.setValue("boats/splitter", page.splitter.saveState())
    settings.setValue("boats/grouping", page.ledger.grouping.currentIndex())
    settings.setValue("left/place", str(session.place))
    settings.setValue("left/page", window.nav.current())
    settings.setValue("left/boat", session.boat_id)
    settings.setValue("left/check", session.check_id)


def restore(window: MainWindow, settings: QSettings) -> None:
    """Go back there; page, boat and check only where the same search is opened again."""
    page, session = window.boats_page, window.session
    geometry = settings.value("geometry")
    if geometry is not None:
        window.restoreGeometry(geometry)
    sizes = settings.value("boats/splitter")
    if sizes is not None:
        page.splitter.restoreState(sizes)
    grouping = int(str(settings.value("boats/grouping", 0)))
    if 0 < grouping < page.ledger.grouping.count():
        page.ledger.grouping.setCurrentIndex(grouping)
        page.ledger.model.set_grouping(page.ledger.grouping.currentData())
    if settings.value("left/place") != str(session.place):
        return
    session.select_boat(str(settings.value("left/boat", "")))
    session.check_id = str(settings.value("left/check", ""))
    left = str(settings.value("left/page", ""))
    if left in _KEPT_PAGES and left != "boats":
        window.show_page(left)
