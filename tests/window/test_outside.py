"""What changes outside while the window is open is read again, or told, and never lost (C5, C9)."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import small_catalogue
from workbench.domain.boat import Boat
from workbench.edits.boats import add_boat, rename_boat
from workbench.edits.edit import apply
from workbench.store.folder import create_project, open_project, save_project
from workbench.window.background import Background
from workbench.window.keeping import Keeper
from workbench.window.offers import Offer
from workbench.window.outside import OutsideWatch
from workbench.window.session import Session

WAIT = 20_000


@pytest.fixture
def session(tmp_path: Path, qapp: QApplication) -> Iterator[Session]:
    """The session on a search with two boats."""
    del qapp
    opened = create_project(tmp_path / "search", "Search")
    project = opened.project
    for name in ("Ann", "Bea"):
        project, _ = apply(project, add_boat(project, Boat("", name)))
    assert save_project(opened.folder, project, opened.project).complete
    opened.folder.close()
    background = Background()
    made = Session(open_project(tmp_path / "search"), small_catalogue(), background)
    background.setParent(made)
    made.select_boat("bea")
    yield made
    made.close()
    made.deleteLater()


@pytest.fixture
def watch(session: Session) -> OutsideWatch:
    return OutsideWatch(session, session)


def change_outside(session: Session, name: str, *, in_place: bool = False) -> None:
    """Write Ann's file as a sync tool does: a new file put in place of the old one."""
    file = session.place / "boats" / "ann" / "boat.json"
    data = json.loads(file.read_text(encoding="utf-8"))
    data["name"] = name
    target = file if in_place else file.with_suffix(".tmp")
    target.write_text(json.dumps(data, indent=1), encoding="utf-8")
    if not in_place:
        os.replace(target, file)


def offers_of(*sources: OutsideWatch | Keeper) -> list[Offer]:
    found: list[Offer] = []
    for source in sources:
        source.offered.connect(found.append)
    return found


def name_of_ann(session: Session) -> str:
    return session.project.boats["ann"].boat.name


@pytest.mark.parametrize("in_place", [False, True], ids=["put in place", "written over"])
def test_a_change_outside_is_read_again_where_nothing_is_unsaved(
    session: Session, watch: OutsideWatch, qtbot: QtBot, in_place: bool
) -> None:
    offers = offers_of(watch)

    change_outside(session, "Annabel", in_place=in_place)

    qtbot.waitUntil(lambda: name_of_ann(session) == "Annabel", timeout=WAIT)
    assert session.boat_id == "bea"
    assert offers[0].where == "Annabel, particulars"
    assert not offers[0].serious


def test_a_second_change_of_the_same_file_is_seen_too(
    session: Session, watch: OutsideWatch, qtbot: QtBot
) -> None:
    for name in ("Annabel", "Annika"):
        change_outside(session, name)
        qtbot.waitUntil(lambda name=name: name_of_ann(session) == name, timeout=WAIT)  # type: ignore[misc]


def test_a_change_outside_does_not_touch_unsaved_work(
    session: Session, watch: OutsideWatch, qtbot: QtBot
) -> None:
    session.attempt(lambda project: rename_boat(project, "bea", "Beatrice"))
    offers = offers_of(watch)

    with qtbot.waitSignal(watch.offered, timeout=WAIT):
        change_outside(session, "Annabel")

    assert offers[0].serious
    assert name_of_ann(session) == "Ann"
    assert session.project.boats["bea"].boat.name == "Beatrice"
    assert session.history.undo_label


def test_theirs_can_be_read_and_ours_is_offered_back(
    session: Session, watch: OutsideWatch, qtbot: QtBot
) -> None:
    keeper = Keeper(session, session, after_ms=600_000)
    session.attempt(lambda project: rename_boat(project, "bea", "Beatrice"))
    offers = offers_of(watch)
    with qtbot.waitSignal(watch.offered, timeout=WAIT):
        change_outside(session, "Annabel")

    with qtbot.waitSignal(keeper.offered, timeout=WAIT) as ours:
        offers[0].do()
    assert name_of_ann(session) == "Annabel"
    assert session.project.boats["bea"].boat.name == "Bea"
    ours.args[0].do()

    assert session.project.boats["bea"].boat.name == "Beatrice"


def test_our_own_save_is_no_change_outside(
    session: Session, watch: OutsideWatch, qtbot: QtBot
) -> None:
    offers = offers_of(watch)
    session.attempt(lambda project: rename_boat(project, "ann", "Anna"))

    with qtbot.waitSignal(watch.looked, timeout=WAIT):
        session.save()

    assert offers == []
    assert name_of_ann(session) == "Anna"


def test_a_folder_that_vanished_is_told_once_and_the_work_stays(
    session: Session, watch: OutsideWatch, qtbot: QtBot, tmp_path: Path
) -> None:
    offers = offers_of(watch)

    with qtbot.waitSignal(watch.offered, timeout=WAIT):
        session.place.rename(tmp_path / "elsewhere")
    with qtbot.waitSignal(watch.looked, timeout=WAIT):
        watch.look()

    assert len(offers) == 1
    assert "not there" in offers[0].what
    assert name_of_ann(session) == "Ann"
    assert not session.place.exists()


def test_a_folder_that_came_back_is_followed_again(
    session: Session, watch: OutsideWatch, qtbot: QtBot, tmp_path: Path
) -> None:
    with qtbot.waitSignal(watch.offered, timeout=WAIT):
        session.place.rename(tmp_path / "elsewhere")
    (tmp_path / "elsewhere").rename(session.place)
    change_outside(session, "Annabel")

    with qtbot.waitSignal(watch.looked, timeout=WAIT):
        watch.look()

    qtbot.waitUntil(lambda: name_of_ann(session) == "Annabel", timeout=WAIT)


def test_a_boat_added_outside_appears(
    session: Session, watch: OutsideWatch, qtbot: QtBot, tmp_path: Path
) -> None:
    other = tmp_path / "other"
    shutil.copytree(session.place, other)
    opened = open_project(other)
    project, _ = apply(opened.project, add_boat(opened.project, Boat("", "Cleo")))
    save_project(opened.folder, project, opened.project)
    opened.folder.close()

    shutil.copytree(other, session.place, dirs_exist_ok=True)

    qtbot.waitUntil(lambda: "cleo" in session.project.boats, timeout=WAIT)
