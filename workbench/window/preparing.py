"""Loads the code of the pages not shown yet, beside the window, once the first figures are there.

A page is made when it is first shown. Its code alone takes as long to load as the page takes to be
made, and a person who presses its key would wait for both. Libraries that write documents stay
unloaded until a document is written.
"""

from __future__ import annotations

import importlib

from PySide6.QtCore import Qt

from workbench.window.session import Session

PAGES = (
    *("side_by_side_page", "look_next_page", "anchors_page", "offer_page", "paper_page"),
    *("settings_page", "import_page", "earlier_page", "start_page"),
    *("boat_dialog", "line_panel", "photo_view"),
)
"""Modules of `workbench.window.pages`, those first that are asked for most."""


def load_pages() -> None:
    """Load the code of all pages and dialogs."""
    for name in PAGES:
        importlib.import_module(f"workbench.window.pages.{name}")


def load_pages_later(session: Session) -> None:
    """Load the pages' code beside the window as soon as the first figures are shown."""

    def begin() -> None:
        # A page whose code cannot be loaded says so when it is asked for; nothing is lost here.
        session.background.run("pages", load_pages, lambda _: None, lambda _: None)

    session.assessed.connect(begin, Qt.ConnectionType.SingleShotConnection)
