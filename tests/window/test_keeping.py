"""Unsaved work is kept beside the window, offered after a crash, and settled by a save (U12)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import small_catalogue
from workbench.domain.boat import Boat
from workbench.edits.boats import add_boat, rename_boat
from workbench.edits.edit import apply
from workbench.store.autosave import find_autosaves
from workbench.store.backups import list_backups
from workbench.store.file_system import RealFileSystem
from workbench.store.folder import create_project, open_project, save_project
from workbench.window.background import Background
from workbench.window.keeping import Keeper
from workbench.window.offers import Offer
from workbench.window.session import Session

WAIT = 20_000


def open_session(place: Path) -> Session:
    background = Background()
    session = Session(open_project(place), small_catalogue(), background)
    background.setParent(session)
    return session


@pytest.fixture
def place(tmp_path: Path, qapp: QApplication) -> Path:
    """A saved search with one boat."""
    del qapp
    folder = tmp_path / "search"
    opened = create_project(folder, "Search")
    project, _ = apply(opened.project, add_boat(opened.project, Boat("", "Ann")))
    assert save_project(opened.folder, project, opened.project).complete
    opened.folder.close()
    return folder


@pytest.fixture
def session(place: Path) -> Iterator[Session]:
    made = open_session(place)
    yield made
    made.close()
    made.deleteLater()


def rename(session: Session, name: str) -> None:
    assert session.attempt(lambda project: rename_boat(project, "ann", name)) == ""


def crash(session: Session) -> None:
    """End without saving, as a power cut does; only the lock goes with the process."""
    session.close()


def offers_of(keeper: Keeper) -> list[Offer]:
    found: list[Offer] = []
    keeper.offered.connect(found.append)
    return found


def test_an_edit_is_kept_after_a_moment_and_the_folder_is_not_touched(
    session: Session, qtbot: QtBot
) -> None:
    keeper = Keeper(session, session, after_ms=10)
    before = sorted(p.read_bytes() for p in session.place.rglob("*.json"))

    with qtbot.waitSignal(keeper.kept, timeout=WAIT):
        rename(session, "Anna")

    (autosave,) = find_autosaves(session.folder)
    assert [path for path, _ in autosave.changed] == ["boats/ann/boat.json"]
    assert before == sorted(p.read_bytes() for p in session.place.rglob("*.json"))


def test_edits_that_never_rest_are_kept_all_the_same(session: Session, qtbot: QtBot) -> None:
    keeper = Keeper(session, session, after_ms=200)
    numbers = iter(range(10_000))
    typing = QTimer(session)
    typing.timeout.connect(lambda: rename(session, f"Ann {next(numbers)}"))

    with qtbot.waitSignal(keeper.kept, timeout=WAIT):
        typing.start(20)

    typing.stop()


def test_after_a_crash_the_work_is_offered_and_comes_back_as_one_step(
    place: Path, qtbot: QtBot
) -> None:
    first = open_session(place)
    with qtbot.waitSignal(Keeper(first, first, after_ms=10).kept, timeout=WAIT):
        rename(first, "Anna")
    crash(first)

    second = open_session(place)
    keeper = Keeper(second, second)
    offers = offers_of(keeper)
    with qtbot.waitSignal(keeper.offered, timeout=WAIT):
        keeper.look_for_unsaved_work()
    assert "Anna, particulars" in offers[0].where
    offers[0].do()

    assert second.project.boats["ann"].boat.name == "Anna"
    assert second.history.labels == ("Bring back unsaved work",)
    second.undo()
    assert second.project.boats["ann"].boat.name == "Ann"
    second.close()


def test_the_offer_survives_three_crashes_in_a_row(place: Path, qtbot: QtBot) -> None:
    first = open_session(place)
    with qtbot.waitSignal(Keeper(first, first, after_ms=10).kept, timeout=WAIT):
        rename(first, "Anna")
    crash(first)

    for _ in range(3):
        again = open_session(place)
        keeper = Keeper(again, again)
        with qtbot.waitSignal(keeper.offered, timeout=WAIT):
            keeper.look_for_unsaved_work()
        crash(again)


def test_a_complete_save_settles_what_was_kept_and_makes_a_backup(
    place: Path, qtbot: QtBot
) -> None:
    session = open_session(place)
    keeper = Keeper(session, session, after_ms=10)
    with qtbot.waitSignal(keeper.kept, timeout=WAIT):
        rename(session, "Anna")

    with qtbot.waitSignal(keeper.settled, timeout=WAIT):
        session.save()

    assert find_autosaves(session.folder) == ()
    assert len(list_backups(session.folder.workplace, session.project.id)) == 1
    session.close()


def test_an_edit_made_while_saving_is_kept_again_after_it(place: Path, qtbot: QtBot) -> None:
    session = open_session(place)
    keeper = Keeper(session, session, after_ms=10)
    rename(session, "Anna")
    session.save()
    rename(session, "Annabel")

    with qtbot.waitSignals([keeper.settled, keeper.kept], timeout=WAIT):
        pass
    qtbot.waitUntil(lambda: len(find_autosaves(session.folder)) > 0, timeout=WAIT)

    session.close()


def test_work_taken_back_to_the_saved_point_is_not_offered_later(place: Path, qtbot: QtBot) -> None:
    session = open_session(place)
    keeper = Keeper(session, session, after_ms=10)
    with qtbot.waitSignal(keeper.kept, timeout=WAIT):
        rename(session, "Anna")

    with qtbot.waitSignal(keeper.settled, timeout=WAIT):
        session.undo()

    assert find_autosaves(session.folder) == ()
    session.close()


def test_what_cannot_be_kept_is_told(
    session: Session, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: RealFileSystem, path: str) -> None:
        raise OSError(28, "No space left on device")

    Keeper(session, session, after_ms=10)
    monkeypatch.setattr(RealFileSystem, "make_folder", full)

    with qtbot.waitSignal(session.problem_found, timeout=WAIT) as told:
        rename(session, "Anna")

    assert "no space left" in told.args[0].message
    assert session.project.boats["ann"].boat.name == "Anna"
