"""A window comes back where it was left: page, boat, check, and how the ledger was grouped."""

from __future__ import annotations

from pathlib import Path

from pytestqt.qtbot import QtBot

from tests.window.open_search import make_folder, open_window
from workbench.domain.boat import Boat
from workbench.edits import boats
from workbench.window.main_window import MainWindow
from workbench.window.models.ledger_tree import Grouping


def left(place: Path, qtbot: QtBot) -> MainWindow:
    """A window that was at another boat, check, page and grouping, and is closed."""
    window = open_window(place, qtbot)
    window.session.select_boat("bea")
    window.session.select_check("rigging")
    grouping = window.boats_page.ledger.grouping
    grouping.setCurrentIndex(grouping.findData(Grouping.TRADE))
    window.show_page("settings")
    window.close()
    return window


def search(place: Path) -> Path:
    """A search with two boats."""
    return make_folder(
        place,
        lambda p: boats.add_boat(p, Boat("", "Ann", year=1986)),
        lambda p: boats.add_boat(p, Boat("", "Bea", year=1990)),
    )


def test_the_same_search_is_opened_where_it_was_left(tmp_path: Path, qtbot: QtBot) -> None:
    place = search(tmp_path / "search")
    left(place, qtbot)

    again = open_window(place, qtbot)

    assert again.session.boat_id == "bea"
    assert again.session.check_id == "rigging"
    assert again.nav.current() == "settings"
    assert again.boats_page.ledger.grouping.currentData() is Grouping.TRADE
    again.close()


def test_another_search_begins_at_its_boats(tmp_path: Path, qtbot: QtBot) -> None:
    left(search(tmp_path / "search"), qtbot)

    other = open_window(search(tmp_path / "other"), qtbot)

    assert other.nav.current() == "boats"
    assert other.session.boat_id == "ann"
    other.close()
