"""The whole search is packed into one archive and opened again, by what a user does."""

from __future__ import annotations

import os
import threading
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QSettings, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from tests.window.open_search import make_folder, open_window
from workbench.domain.boat import Boat
from workbench.domain.inspection import Photo
from workbench.edits.boats import add_boat, rename_boat
from workbench.edits.edit import Edit, Put
from workbench.reports.search_archive import write_archive
from workbench.store.folder import open_project
from workbench.store.parts import bytes_of
from workbench.window.main_window import MainWindow
from workbench.window.pages.pack_dialog import PackDialog
from workbench.window.pages.start_page import StartPage
from workbench.window.pages.unpack_dialog import UnpackDialog
from workbench.window.start_window import StartWindow

WAIT = 30_000


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folders of this test alone for documents, data and preferences."""
    monkeypatch.setenv("HARDSTAND_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def window(tmp_path: Path, qtbot: QtBot) -> Iterator[MainWindow]:
    """The window on a search with one boat and a private note."""
    boat = Boat("", "Ann", private_note="Zqnote", year=1986)
    made = open_window(make_folder(tmp_path / "spring", lambda p: add_boat(p, boat)), qtbot)
    yield made
    made.session.background.finish()
    made.session.close()


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    """An archive of another search."""
    place = make_folder(tmp_path / "autumn", lambda p: add_boat(p, Boat("", "Bea")))
    opened = open_project(place)
    opened.folder.close()
    return write_archive(opened.project, place, tmp_path / "post").path


def choose(monkeypatch: pytest.MonkeyPatch, archive: Path, target: Path) -> None:
    """What the user picks in the file choosers."""
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(archive), ""))
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))


def command(window: MainWindow, words: str) -> None:
    """Choose a command of the menu."""
    next(one for one in window.menu.actions() if one.text() == words).trigger()


def pack_dialog(window: MainWindow) -> PackDialog:
    command(window, "Pack the whole search …")
    found = window.findChild(PackDialog)
    assert isinstance(found, PackDialog)
    return found


def packed(dialog: PackDialog, qtbot: QtBot) -> str:
    """Press the button; all the text of what was written."""
    with qtbot.waitSignal(dialog.work.done, timeout=WAIT) as done:
        qtbot.mouseClick(dialog.go_button, Qt.MouseButton.LeftButton)
    assert done.args is not None
    with zipfile.ZipFile(done.args[0].path) as made:
        return "".join(made.read(name).decode("utf-8", "replace") for name in made.namelist())


# packing


def test_private_parts_go_along_only_when_they_are_asked_for(
    window: MainWindow, qtbot: QtBot
) -> None:
    dialog = pack_dialog(window)
    assert not dialog.private.isChecked()

    assert "Zqnote" not in packed(dialog, qtbot)
    dialog.private.setChecked(True)
    assert "Zqnote" in packed(dialog, qtbot)

    assert "Everything goes along" in dialog.what.text()
    assert dialog.said.text() == "Packed: 2026-05-01 Whole search, Search 2.zip"
    assert not dialog.show_button.isHidden()
    names = os.listdir(window.session.place / "exports")
    assert len(names) == 2
    dialog.reject()


def test_what_is_not_saved_yet_is_packed_too(window: MainWindow, qtbot: QtBot) -> None:
    window.session.apply(rename_boat(window.session.project, "ann", "Zqnew"))
    dialog = pack_dialog(window)

    assert "Zqnew" in packed(dialog, qtbot)
    dialog.reject()


def test_a_folder_that_cannot_be_written_is_said_at_the_place(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "letter").write_text("Dear")
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(tmp_path / "letter"))
    dialog = pack_dialog(window)
    qtbot.mouseClick(dialog.choose_button, Qt.MouseButton.LeftButton)

    with qtbot.waitSignal(dialog.work.ended, timeout=WAIT):
        qtbot.mouseClick(dialog.go_button, Qt.MouseButton.LeftButton)

    assert "cannot be written" in dialog.said.text()
    assert not dialog.go_button.isHidden()
    dialog.reject()


def test_packing_is_stopped_by_closing_and_leaves_nothing(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    rejected = threading.Event()

    def slowly(record: object) -> bytes | None:
        rejected.wait(10)
        return bytes_of(record)

    monkeypatch.setattr("workbench.reports.search_archive.bytes_of", slowly)
    dialog = pack_dialog(window)
    with qtbot.waitSignal(dialog.finished, timeout=WAIT):
        qtbot.mouseClick(dialog.go_button, Qt.MouseButton.LeftButton)
        assert not dialog.stop_button.isHidden()
        dialog.reject()
        rejected.set()

    exports = window.session.place / "exports"
    assert not exports.exists() or os.listdir(exports) == []


# opening an archive


def test_an_archive_is_unpacked_into_a_new_folder_and_opened(
    window: MainWindow,
    archive: Path,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    choose(monkeypatch, archive, tmp_path / "theirs")

    with qtbot.waitSignal(window.switching.switched, timeout=WAIT):
        command(window, "Open an archive …")

    assert window.session.place == tmp_path / "theirs"
    assert [one.boat.name for one in window.session.project.boats.values()] == ["Bea"]


def test_unsaved_work_is_saved_before_the_archive_takes_its_place(
    window: MainWindow,
    archive: Path,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    window.session.apply(rename_boat(window.session.project, "ann", "Ann Two"))
    choose(monkeypatch, archive, tmp_path / "theirs")

    with qtbot.waitSignal(window.switching.switched, timeout=WAIT):
        command(window, "Open an archive …")

    opened = open_project(tmp_path / "spring")
    opened.folder.close()
    assert opened.project.boats["ann"].boat.name == "Ann Two"


def test_what_is_no_archive_is_said_and_the_search_stays(
    window: MainWindow, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "letter.zip").write_text("Dear")
    choose(monkeypatch, tmp_path / "letter.zip", tmp_path / "theirs")

    command(window, "Open an archive …")
    dialog = window.findChild(UnpackDialog)
    assert isinstance(dialog, UnpackDialog)
    qtbot.waitUntil(lambda: bool(dialog.said.text()), timeout=WAIT)

    assert "letter.zip: It is no archive" in dialog.said.text()
    assert dialog.go_button.isHidden()
    dialog.reject()
    assert window.session.place == tmp_path / "spring"
    assert not (tmp_path / "theirs").exists()


def test_what_stayed_out_is_said_before_the_search_is_opened(
    window: MainWindow,
    archive: Path,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with zipfile.ZipFile(archive, "a") as more:
        more.writestr("tool.exe", b"MZ")
    choose(monkeypatch, archive, tmp_path / "theirs")

    command(window, "Open an archive …")
    dialog = window.findChild(UnpackDialog)
    assert isinstance(dialog, UnpackDialog)
    qtbot.waitUntil(lambda: bool(dialog.said.text()), timeout=WAIT)

    assert "1 of its parts belong to no search and stayed out." in dialog.said.text()
    with qtbot.waitSignal(window.switching.switched, timeout=WAIT):
        qtbot.mouseClick(dialog.go_button, Qt.MouseButton.LeftButton)


def test_who_thinks_better_of_it_changes_nothing(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for chosen in (("", ""), (str(tmp_path / "a.zip"), "")):
        monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_, chosen=chosen: chosen)
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("", ""))
        command(window, "Open an archive …")

    assert window.findChild(UnpackDialog) is None


# the start page


def start_window(tmp_path: Path, qtbot: QtBot) -> StartWindow:
    settings = QSettings(str(tmp_path / "start.ini"), QSettings.Format.IniFormat)
    made = StartWindow(settings)
    qtbot.addWidget(made)
    made.show()
    return made


def test_from_the_start_an_archive_is_opened(
    archive: Path, qtbot: QtBot, qapp: QApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    del qapp
    choose(monkeypatch, archive, tmp_path / "theirs")
    window = start_window(tmp_path, qtbot)

    with qtbot.waitSignal(window.search_opened, timeout=WAIT) as opened:
        qtbot.mouseClick(window.page.archive_button, Qt.MouseButton.LeftButton)

    assert opened.args is not None
    assert opened.args[0].folder.root == (tmp_path / "theirs").as_posix()
    opened.args[0].folder.close()


def dropped_on(page: StartPage, path: Path) -> bool:
    """Drop a file; whether the page would have it."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    buttons, keys = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    entering = QDragEnterEvent(QPoint(5, 5), Qt.DropAction.CopyAction, data, buttons, keys)
    entering.ignore()
    page.dragEnterEvent(entering)
    if entering.isAccepted():
        page.dropEvent(QDropEvent(QPointF(5, 5), Qt.DropAction.CopyAction, data, buttons, keys))
    return entering.isAccepted()


def test_an_archive_or_a_folder_is_dropped_on_the_start_page(
    archive: Path, qtbot: QtBot, tmp_path: Path
) -> None:
    page = StartPage(lambda: ())
    qtbot.addWidget(page)
    archives: list[object] = []
    places: list[object] = []
    page.archive_requested.connect(archives.append)
    page.place_chosen.connect(places.append)
    (tmp_path / "letter.txt").write_text("Dear")

    taken = [dropped_on(page, one) for one in (archive, tmp_path, tmp_path / "letter.txt")]

    assert taken == [True, True, False]
    assert (archives, places) == ([archive], [tmp_path])


def test_photos_that_are_missing_are_told_after_packing(window: MainWindow, qtbot: QtBot) -> None:
    photo = Photo("a" * 40, f"{'a' * 40}.jpg", "a" * 64)
    put = Put(("boats", "ann", "inspection", "photos", photo.id), photo)
    window.session.apply(Edit("Add photo", (put,)))
    dialog = pack_dialog(window)

    packed(dialog, qtbot)

    assert "1 photos or documents are missing" in dialog.said.text()
    dialog.reject()
