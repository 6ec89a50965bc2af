"""The session: edits, undo, figures in the background, saving."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import mm, seen
from tests.window.open_search import figured, make_folder, open_session
from workbench.domain.boat import Boat
from workbench.domain.problem import Problem
from workbench.domain.vocabulary import Grade
from workbench.edits import boats, inspecting
from workbench.edits.edit import Edit, Put
from workbench.store.folder import open_project, reload_project
from workbench.window.history import History
from workbench.window.session import SavedState, Session


@pytest.fixture
def session(tmp_path: Path, qtbot: QtBot) -> Session:
    """A session on a search with one boat."""
    place = make_folder(
        tmp_path / "search", lambda p: boats.add_boat(p, Boat("", "Ann", year=1986))
    )
    made = open_session(place)
    figured(made, qtbot)
    return made


def test_an_edit_brings_new_figures_from_the_background(session: Session, qtbot: QtBot) -> None:
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        session.apply(
            inspecting.record_reading(
                session.project, "ann", "bearing", seen(play=mm("1.2"), sound="knocks")
            )
        )

    assert session.boat is not None
    finding = session.boat.finding("bearing")
    assert finding is not None
    assert finding.grade is Grade.DUE


def test_undo_and_redo_go_through_every_step_by_name(session: Session, qtbot: QtBot) -> None:
    # U1, U2
    before = session.project
    session.apply(boats.rename_boat(session.project, "ann", "Annie"))
    after = session.project

    assert session.history.undo_label == "Name of Ann"
    session.undo()
    assert session.project is before
    session.redo()
    assert session.project is after
    figured(session, qtbot)


def test_a_refused_edit_changes_nothing_and_says_why(session: Session) -> None:
    before = session.project

    sentence = session.attempt(lambda project: boats.rename_boat(project, "ann", " "))

    assert sentence == "Give the boat a name, or what you call her."
    assert session.project is before
    assert not session.history.undo_label


def test_saving_writes_the_change_and_says_so(session: Session, qtbot: QtBot) -> None:
    session.apply(boats.rename_boat(session.project, "ann", "Annie"))
    assert session.saved_state is SavedState.CHANGED

    session.save()
    qtbot.waitUntil(lambda: session.saved_state is SavedState.SAVED, timeout=10_000)

    session.close()
    reopened = open_project(session.place)
    assert reopened.project.boats["ann"].boat.name == "Annie"
    reopened.folder.close()


def test_undoing_back_to_what_was_saved_is_not_a_change(session: Session) -> None:
    # U10
    session.apply(boats.rename_boat(session.project, "ann", "Annie"))
    session.undo()

    assert session.saved_state is SavedState.SAVED


def test_a_folder_that_cannot_be_written_loses_nothing(
    session: Session, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("workbench.store.folder.save_project", full)
    session.apply(boats.rename_boat(session.project, "ann", "Annie"))
    with qtbot.waitSignal(session.problem_found, timeout=10_000) as found:
        session.save()

    assert session.saved_state is SavedState.NOT_SAVED
    assert session.project.boats["ann"].boat.name == "Annie"
    problem = found.args[0] if found.args else None
    assert isinstance(problem, Problem)
    assert "Your work is still here" in problem.message


def test_removing_the_boat_that_is_looked_at_moves_on_to_another(session: Session) -> None:
    session.apply(boats.add_boat(session.project, Boat("", "Bea")))
    session.select_boat("ann")
    session.apply(boats.remove_boat(session.project, "ann"))

    assert session.boat_id == "bea"
    session.undo()
    assert "ann" in session.project.boats


def test_typing_in_one_field_within_a_second_is_one_step(session: Session) -> None:
    # U6
    clock = [0.0]
    session.history = History(lambda: clock[0])
    for name in ("A", "An", "Anna"):
        session.apply(boats.rename_boat(session.project, "ann", name))
        clock[0] += 0.4
    clock[0] += 5
    session.apply(boats.rename_boat(session.project, "ann", "Annabel"))

    assert len(session.history.labels) == 2


def test_a_new_edit_forgets_what_was_undone(session: Session) -> None:
    # U3
    session.apply(boats.rename_boat(session.project, "ann", "Annie"))
    session.undo()
    session.apply(
        boats.set_status(session.project, "ann", session.project.boats["ann"].boat.status, "x")
    )

    assert not session.history.redo_label


def test_five_hundred_steps_are_kept_and_the_oldest_goes_first() -> None:
    # U4
    history = History()
    from workbench.domain.project import Project  # noqa: PLC0415 - beside its only use
    from workbench.edits.edit import Edit  # noqa: PLC0415 - beside its only use

    project = Project("p", "P")
    for number in range(520):
        history.add(Edit(f"step {number}", ()), project, project)

    assert len(history.labels) == 500
    assert history.labels[0] == "step 20"


def test_saving_and_keeping_change_no_step(session: Session, qtbot: QtBot) -> None:
    # U5
    session.apply(boats.rename_boat(session.project, "ann", "Annie"))
    session.apply(boats.rename_boat(session.project, "ann", "Annika"))
    session.undo()
    before = (session.history.labels, session.history.redo_label)

    session.save()
    qtbot.waitUntil(lambda: session.saved_state is SavedState.SAVED, timeout=20_000)

    assert (session.history.labels, session.history.redo_label) == before
    session.redo()
    assert session.project.boats["ann"].boat.name == "Annika"
    figured(session, qtbot)


@pytest.mark.parametrize("fails_at", range(4))
def test_an_edit_that_fails_at_any_of_its_places_changes_nothing(
    session: Session, fails_at: int
) -> None:
    # U8: a mistake of the program in the middle of an edit
    path = ("boats", "ann", "boat", "name")
    puts = [Put(path, f"Name {number}") for number in range(4)]
    puts[fails_at] = Put(("boats", "nobody", "boat", "name"), "x")
    before, steps = session.project, session.history.labels
    on_disk = {file: file.read_bytes() for file in session.place.rglob("*.json")}

    with pytest.raises(KeyError):
        session.apply(Edit("Fails", tuple(puts)))

    assert session.project is before
    assert session.history.labels == steps
    assert not session.is_changed
    assert {file: file.read_bytes() for file in session.place.rglob("*.json")} == on_disk


def test_steps_of_before_are_not_undone_on_files_that_were_read_again(
    session: Session, qtbot: QtBot
) -> None:
    # U11
    session.apply(boats.rename_boat(session.project, "ann", "Annie"))

    session.follow_disk(reload_project(session.folder))
    session.undo()
    session.redo()

    assert session.history.labels == ()
    assert session.project.boats["ann"].boat.name == "Ann"
    figured(session, qtbot)
