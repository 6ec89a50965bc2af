"""What changes outside while the window is open is read again, or told, and never lost (C5, C9)."""

from __future__ import annotations

import json
import os
import shutil
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import small_catalogue
from workbench.domain.boat import Boat
from workbench.edits.boats import add_boat, rename_boat
from workbench.edits.edit import apply
from workbench.store.backups import list_backups, read_backup
from workbench.store.folder import (
    Opened,
    create_project,
    open_project,
    reload_project,
    save_project,
)
from workbench.store.project_folder import ProjectFolder
from workbench.window.background import Background
from workbench.window.keeping import Keeper
from workbench.window.offers import Offer
from workbench.window.outside import OutsideWatch
from workbench.window.pages.two_versions_dialog import TwoVersionsDialog
from workbench.window.session import SavedState, Session

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
        watch.read_theirs()
    assert offers[0].action
    assert name_of_ann(session) == "Annabel"
    assert session.project.boats["bea"].boat.name == "Bea"
    ours.args[0].do()

    assert session.project.boats["bea"].boat.name == "Beatrice"


# two versions


def compared(session: Session, watch: OutsideWatch, qtbot: QtBot) -> TwoVersionsDialog:
    """The dialog that the banner leads to: both renamed Ann, and this side renamed Bea too."""
    session.attempt(lambda project: rename_boat(project, "ann", "Annika"))
    session.attempt(lambda project: rename_boat(project, "bea", "Beatrice"))
    offers = offers_of(watch)
    with qtbot.waitSignal(watch.offered, timeout=WAIT):
        change_outside(session, "Annabel")
    offers[0].do()
    qtbot.waitUntil(lambda: watch.dialog is not None, timeout=WAIT)
    assert watch.dialog is not None
    return watch.dialog


def rows_of(dialog: TwoVersionsDialog) -> list[list[str]]:
    """The lines of the dialog below its groups."""
    found = []
    for place in range(dialog.tree.topLevelItemCount()):
        top = dialog.tree.topLevelItem(place)
        assert top is not None
        rows = [top.child(number) for number in range(top.childCount())]
        found += [[row.text(column) for column in range(4)] for row in rows if row is not None]
    return found


def test_two_versions_are_shown_field_by_field(
    session: Session, watch: OutsideWatch, qtbot: QtBot
) -> None:
    dialog = compared(session, watch, qtbot)

    assert rows_of(dialog) == [
        ["Annika, particulars: name", "Annabel", "Annika", ""],
        ["Beatrice, particulars: name", "Bea", "Beatrice", "Yours"],
    ]
    assert [choice.accessibleName() for _, choice in dialog.choices] == [
        "Which is taken: Annika, particulars: name"
    ]
    dialog.later_button.click()
    assert name_of_ann(session) == "Annika"


@pytest.mark.parametrize(("taken", "name"), [("Yours", "Annika"), ("Theirs", "Annabel")])
def test_two_versions_become_one_that_can_be_saved_and_taken_back(
    session: Session, watch: OutsideWatch, qtbot: QtBot, taken: str, name: str
) -> None:
    """C4, C5: what each alone changed is there, and both are still to be had whole."""
    dialog = compared(session, watch, qtbot)
    dialog.choices[0][1].setCurrentText(taken)

    dialog.together_button.click()
    qtbot.waitUntil(lambda: session.history.undo_label.startswith("Put both"), timeout=WAIT)

    assert name_of_ann(session) == name
    assert session.project.boats["bea"].boat.name == "Beatrice"
    done: list[None] = []
    session.save(lambda: done.append(None))
    qtbot.waitUntil(lambda: bool(done), timeout=WAIT)
    opened = open_project(session.place)
    assert [one.boat.name for one in opened.project.boats.values()] == [name, "Beatrice"]
    session.undo()
    assert name_of_ann(session) == "Annika"
    session.undo()
    assert [one.boat.name for one in session.project.boats.values()] == ["Annabel", "Bea"]
    newest = list_backups(session.folder.workplace, session.folder.project_id)[0]
    assert b"Annabel" in read_backup(session.folder.workplace, newest)["boats/ann/boat.json"]


def test_a_save_that_was_kept_beside_theirs_leads_to_comparing_the_two(
    session: Session, watch: OutsideWatch, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """C4: as where the folder is not watched, and the save is the first to see the change."""
    monkeypatch.setattr(watch._rest, "start", lambda: None)
    session.attempt(lambda project: rename_boat(project, "ann", "Annika"))
    change_outside(session, "Annabel")
    offers = offers_of(watch)

    with qtbot.waitSignal(session.problem_found, timeout=WAIT) as told:
        session.save()
    qtbot.waitUntil(lambda: session.saved_state is SavedState.NOT_SAVED, timeout=WAIT)
    assert "(mine " in told.args[0].remedy
    with qtbot.waitSignal(watch.offered, timeout=WAIT):
        watch.look()

    assert offers[-1].action == "Compare the two"


def test_theirs_that_has_not_arrived_whole_is_not_taken_for_a_change(
    session: Session, watch: OutsideWatch, qtbot: QtBot
) -> None:
    """A file that a sync tool is still writing would look as if somebody had emptied it."""
    session.attempt(lambda project: rename_boat(project, "bea", "Beatrice"))
    (session.place / "boats" / "ann" / "boat.json").write_bytes(b'{"id": "ann", "na')

    with qtbot.waitSignal(session.problem_found, timeout=WAIT) as told:
        watch.compare()

    assert "not arrived" in told.args[0].message
    assert watch.dialog is None
    assert session.project.boats["bea"].boat.name == "Beatrice"


def test_reading_that_comes_too_late_leaves_the_folder_to_be_saved_to(
    session: Session, watch: OutsideWatch, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """C5: an edit in the middle of reading again is kept, and can be saved."""
    read, was_read, go_on = reload_project, threading.Event(), threading.Event()

    def slowly(folder: ProjectFolder) -> Opened:
        opened = read(folder)
        was_read.set()
        go_on.wait(WAIT / 1000)
        return opened

    monkeypatch.setattr("workbench.window.outside.reload_project", slowly)
    change_outside(session, "Annabel")
    qtbot.waitUntil(was_read.is_set, timeout=WAIT)
    session.attempt(lambda project: rename_boat(project, "bea", "Beatrice"))
    offers = offers_of(watch)
    with qtbot.waitSignal(watch.offered, timeout=WAIT):
        go_on.set()
    assert offers[0].action == "Compare the two"

    done: list[None] = []
    session.save(lambda: done.append(None))
    qtbot.waitUntil(lambda: bool(done), timeout=WAIT)

    opened = open_project(session.place)
    assert [one.boat.name for one in opened.project.boats.values()] == ["Annabel", "Beatrice"]


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
