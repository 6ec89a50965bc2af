"""The first page: what the tool is, and every way into a search, from it and back to it."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel
from pytestqt.qtbot import QtBot

from tests.window.open_search import make_folder, open_window
from tests.window.pages.conftest import Show
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from workbench.domain.boat import Boat
from workbench.edits.boats import add_boat, rename_boat
from workbench.store.folder import Opened, open_project
from workbench.window.app import first_project
from workbench.window.main_window import MainWindow
from workbench.window.pages.start_page import StartPage, sentences
from workbench.window.recent import (
    MOST,
    forget_place,
    last_place,
    recent_places,
    remember_place,
)
from workbench.window.samples import open_sample, sample_places
from workbench.window.start_window import StartWindow

WAIT = 30_000


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folders of this test alone for documents, data and preferences."""
    monkeypatch.setenv("HARDSTAND_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def searches(tmp_path: Path, qapp: QApplication) -> list[Path]:
    """Two saved searches."""
    del qapp
    return [
        make_folder(tmp_path / name, lambda p: add_boat(p, Boat("", "Ann")))
        for name in ("spring", "autumn")
    ]


# the list of searches open before


def test_the_newest_search_stands_first_and_only_once(preferences: QSettings) -> None:
    for name in ("a", "b", "a"):
        remember_place(preferences, Path("/somewhere", name))

    assert [one.name for one in recent_places(preferences)] == ["a", "b"]
    assert last_place(preferences) == Path("/somewhere/a")


def test_the_list_survives_its_file_whether_it_holds_one_or_many(tmp_path: Path) -> None:
    file = str(tmp_path / "p.ini")
    for count in (1, 2, MOST + 3):
        first = QSettings(file, QSettings.Format.IniFormat)
        first.clear()
        for number in range(count):
            remember_place(first, Path("/somewhere", f"search {number}, one"))
        first.sync()

        again = recent_places(QSettings(file, QSettings.Format.IniFormat))

        assert len(again) == min(count, MOST)
        assert again[0].name == f"search {count - 1}, one"


def test_a_search_taken_off_the_list_is_not_opened_next_time(preferences: QSettings) -> None:
    remember_place(preferences, Path("/somewhere/a"))
    forget_place(preferences, Path("/somewhere/a"))

    assert recent_places(preferences) == ()
    assert last_place(preferences) is None


# which search is shown first


def test_without_a_search_open_before_the_user_is_asked(preferences: QSettings, home: Path) -> None:
    assert first_project(None, preferences) is None
    assert not home.exists()  # nothing is made that nobody asked for


def test_the_search_open_last_is_opened(preferences: QSettings, searches: list[Path]) -> None:
    remember_place(preferences, searches[0])

    opened = first_project(None, preferences)

    assert opened is not None
    assert Path(opened.folder.root) == searches[0]
    opened.folder.close()


def test_a_last_search_that_is_gone_asks_again(preferences: QSettings, tmp_path: Path) -> None:
    remember_place(preferences, tmp_path / "gone")

    assert first_project(None, preferences) is None


# the sample


def digests(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_the_sample_is_copied_to_the_documents_and_the_shipped_one_stays_as_it_is(
    home: Path,
) -> None:
    (shipped,) = sample_places()
    before = digests(shipped)

    opened = open_sample()

    place = Path(opened.folder.root)
    assert home / "documents" in place.parents
    assert len(opened.project.boats) == 4
    assert {p.name for p in place.rglob("*.jpg")} == {p.name for p in shipped.rglob("*.jpg")}
    assert digests(shipped) == before
    opened.folder.close()


def test_the_copy_of_the_sample_keeps_what_was_done_to_it() -> None:
    opened = open_sample()
    mark = Path(opened.folder.root) / "mine.txt"
    mark.write_text("mine")
    opened.folder.close()

    again = open_sample()

    assert mark.exists()
    assert again.project.id == opened.project.id
    again.folder.close()


# the page


@pytest.fixture
def page(preferences: QSettings, searches: list[Path], show: Show) -> StartPage:
    for place in searches:
        remember_place(preferences, place)
    made = StartPage(lambda: recent_places(preferences), lambda: searches[0])
    show(made)
    return made


def test_four_sentences_say_what_it_is_and_what_it_is_not(page: StartPage) -> None:
    shown = [one.text() for one in page.findChildren(QLabel)]

    assert len(sentences()) == 4
    assert all(one in shown for one in sentences())
    assert any("not a survey" in one for one in sentences())


def test_searches_open_before_are_listed_with_their_place(
    page: StartPage, searches: list[Path]
) -> None:
    rows = [page.list.item(row) for row in range(page.list.count())]

    assert [one.toolTip() for one in rows] == [str(searches[1]), str(searches[0])]


def test_return_opens_one_and_delete_takes_it_off(page: StartPage, qtbot: QtBot) -> None:
    page.list.setFocus()
    page.list.setCurrentRow(0)
    with qtbot.waitSignal(page.place_chosen) as chosen:
        qtbot.keyClick(page.list, Qt.Key.Key_Return)
    assert chosen.args[0].name == "autumn"

    with qtbot.waitSignal(page.forget_requested) as forgotten:
        qtbot.keyClick(page.list, Qt.Key.Key_Delete)
    assert forgotten.args[0].name == "autumn"


def test_everything_has_a_name_is_reached_by_keys_and_is_not_cut(page: StartPage) -> None:
    assert nameless(page) == []
    assert out_of_reach(page) == []
    assert cut_labels(page) == []


def test_with_nothing_open_before_the_page_says_what_to_do(show: Show) -> None:
    page = StartPage(lambda: ())
    show(page)

    assert page.nothing.isVisible()
    assert not page.list.isVisible()


# the window before any search


@pytest.fixture
def start(preferences: QSettings, qtbot: QtBot) -> StartWindow:
    made = StartWindow(preferences)
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    return made


def opened_by(start: StartWindow, qtbot: QtBot, act: object) -> Opened:
    assert callable(act)
    with qtbot.waitSignal(start.search_opened, timeout=WAIT) as opened:
        act()
    found = opened.args[0]
    assert isinstance(found, Opened)
    found.folder.close()
    return found


def test_a_new_search_begins_in_the_folder_that_was_chosen(
    start: StartWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "not there yet" / "one spring"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(place), ""))

    opened = opened_by(start, qtbot, start.page.new_button.click)

    assert opened.project.name == "one spring"
    assert (place / "project.json").is_file()


def test_a_folder_is_opened_and_the_sample_too(
    start: StartWindow,
    qtbot: QtBot,
    searches: list[Path],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(searches[0]))

    assert opened_by(start, qtbot, start.page.open_button.click).project.name == "Search"
    assert len(opened_by(start, qtbot, start.page.sample_button.click).project.boats) == 4


def test_what_is_no_search_is_told_on_the_page(
    start: StartWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    (tmp_path / "empty").mkdir()

    start.open_folder(tmp_path / "empty")

    qtbot.waitUntil(lambda: bool(start.page.problem.text()), timeout=WAIT)
    assert start.page.new_button.isEnabled()


# from the window on a search


@pytest.fixture
def window(searches: list[Path], qtbot: QtBot) -> Iterator[MainWindow]:
    made = open_window(searches[0], qtbot)
    yield made
    made.session.close()


def go_to_start(window: MainWindow) -> StartPage:
    window.show_page("start")
    page = window.page("start")
    assert isinstance(page, StartPage)
    return page


def test_another_search_is_opened_from_the_start_page_and_unsaved_work_saved_first(
    window: MainWindow, searches: list[Path], qtbot: QtBot
) -> None:
    window.session.attempt(lambda project: rename_boat(project, "ann", "Anna"))
    page = go_to_start(window)

    with qtbot.waitSignal(window.switching.switched, timeout=WAIT):
        page.place_chosen.emit(searches[1])

    assert window.session.place == searches[1]
    assert window.stack.currentWidget() is window.boats_page
    first = open_project(searches[0])
    assert first.project.boats["ann"].boat.name == "Anna"
    first.folder.close()


def test_the_sample_opens_beside_the_search_that_was_open(window: MainWindow, qtbot: QtBot) -> None:
    page = go_to_start(window)

    with qtbot.waitSignal(window.switching.switched, timeout=WAIT):
        page.sample_button.click()

    assert len(window.session.project.boats) == 4


def test_a_search_that_cannot_be_opened_is_told_and_the_open_one_stays(
    window: MainWindow, searches: list[Path], tmp_path: Path, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(window.session.problem_found, timeout=WAIT):
        window.switching.open_folder(tmp_path / "nowhere")

    assert window.session.place == searches[0]
    assert window.banner.isVisible()


def test_a_copy_is_saved_elsewhere_and_gone_on_with(
    window: MainWindow,
    searches: list[Path],
    tmp_path: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    window.session.attempt(lambda project: rename_boat(project, "ann", "Anna"))
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "copy"), ""))

    with qtbot.waitSignal(window.switching.switched, timeout=WAIT):
        window.switching.save_copy()

    assert window.session.place == tmp_path / "copy"
    assert window.session.project.boats["ann"].boat.name == "Anna"
    assert os.listdir(searches[0])  # the first one is still there, as it was saved last
