"""Any order of edits, undo, redo, saves and crashes in the real window (U14).

The window is driven by what its pages and menu call. Beside it a model without a window does the
same on a folder of its own; what the two folders hold is the same, byte for byte, whenever both
have saved. For a night:

    HARDSTAND_WINDOW_LIVES=500 python -m pytest tests/window/test_life_of_a_window.py
"""

from __future__ import annotations

import dataclasses
import os
import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tests.edits.test_edits import EDITS, begun
from tests.window.open_search import open_window
from workbench.domain.project import Project
from workbench.edits.edit import Edit, apply
from workbench.store.folder import Opened, create_project, open_project, save_project
from workbench.window.history import History
from workbench.window.main_window import MainWindow
from workbench.window.offers import Offer
from workbench.window.session import SavedState

WAIT = 20_000
LIVES = int(os.environ.get("HARDSTAND_WINDOW_LIVES", "50"))
STEPS = 14


class Model:
    """What the window is held to: values, a history, and a folder of its own."""

    def __init__(self, place: Path) -> None:
        self.opened: Opened = open_project(place)
        self.saved = self.now = self.opened.project
        self.history = History(clock=iter(range(0, 10**9, 10)).__next__)

    def edit(self, number: int) -> None:
        made = edit_of(self.now, number)
        if made is not None:
            before, (self.now, _) = self.now, apply(self.now, made)
            self.history.add(made, before, self.now)

    def undo(self) -> None:
        self.now = self.history.undo() or self.now

    def redo(self) -> None:
        self.now = self.history.redo() or self.now

    def save(self) -> None:
        assert save_project(self.opened.folder, self.now, self.saved).complete
        self.saved = self.now

    def crash(self) -> None:
        """Unsaved work comes back as one step."""
        self.history.clear()
        if self.now != self.saved:
            self.history.add(Edit("Bring back unsaved work", ()), self.saved, self.now)


def edit_of(project: Project, number: int) -> Edit | None:
    """One of the edits; None where it is about something that an earlier one took away."""
    try:
        made = EDITS[number](project)
        apply(project, made)
    except KeyError:
        return None
    return made


class Driven:
    """The real window on a folder."""

    def __init__(self, place: Path, qtbot: QtBot) -> None:
        self.place, self.qtbot = place, qtbot
        self.window: MainWindow = open_window(place, qtbot)
        # Steps that follow each other at once would be one, as when somebody types.
        self.window.session.history = History(clock=iter(range(0, 10**9, 10)).__next__)

    def edit(self, number: int) -> None:
        session = self.window.session
        if edit_of(session.project, number) is not None:
            assert session.attempt(EDITS[number]) == ""

    def undo(self) -> None:
        self.window.undo_action.trigger()

    def redo(self) -> None:
        self.window.redo_action.trigger()

    def save(self) -> None:
        self.window.save_action.trigger()
        self.wait(SavedState.SAVED)

    def wait(self, state: SavedState) -> None:
        session = self.window.session
        self.qtbot.waitUntil(
            lambda: session.saved_state is state and not session.background.is_busy, timeout=WAIT
        )

    def crash(self) -> None:
        """The process ends without a word after unsaved work was kept; the window comes back."""
        session, keeper = self.window.session, self.window.keeper
        changed = session.is_changed
        if changed:
            with self.qtbot.waitSignal(keeper.kept, timeout=WAIT):
                keeper.keep()
        session.background.finish()
        session.folder.close()  # as the system does for a process that has ended
        for part in (keeper, self.window.outside):
            part.deleteLater()
        session.read_only = "The process has ended."
        self.window.hide()
        offers: list[Offer] = []
        self.window = open_window(self.place, self.qtbot)
        self.window.session.history = History(clock=iter(range(0, 10**9, 10)).__next__)
        self.window.keeper.offered.connect(offers.append)
        self.window.keeper.look_for_unsaved_work()
        self.qtbot.waitUntil(lambda: not self.window.session.background.is_busy, timeout=WAIT)
        # Work that came back and was taken back again is offered once more; it was never saved.
        assert offers or not changed
        if changed:
            offers[0].do()

    def close(self) -> None:
        session = self.window.session
        session.background.finish()
        session.close()
        self.window.hide()


def texts(place: Path) -> dict[str, bytes]:
    """The files of a search, but for the name of the folder."""
    return {
        file.relative_to(place).as_posix(): file.read_bytes()
        for file in place.rglob("*")
        if file.is_file()
    }


def begin(place: Path) -> Path:
    """A saved search with a boat, a reading and a photo on record."""
    start = begun()
    opened = create_project(place, start.name, project_id=place.parent.name)
    save_project(opened.folder, start_of(opened.project), opened.project)
    opened.folder.close()
    return place


def start_of(project: Project) -> Project:
    """What the edits are about, in a search with an id of its own."""
    return dataclasses.replace(begun(), id=project.id)


def steps_of(dice: random.Random) -> Iterator[tuple[str, int]]:
    """What happens in one life; many edits, few crashes."""
    for _ in range(STEPS):
        what = dice.choices(("edit", "undo", "redo", "save", "crash"), (8, 4, 2, 2, 1))[0]
        yield what, dice.randrange(len(EDITS))


@pytest.mark.parametrize("life", range(LIVES))
def test_the_window_and_the_model_leave_the_same_folder(
    tmp_path: Path, qtbot: QtBot, life: int
) -> None:
    (tmp_path / "life").mkdir()
    (tmp_path / "other").mkdir()
    model = Model(begin(tmp_path / "life" / "model"))
    driven = Driven(begin(tmp_path / "life" / "window"), qtbot)
    first = texts(driven.place)

    for what, number in steps_of(random.Random(life)):
        for one in (model, driven):
            getattr(one, what)(*((number,) if what == "edit" else ()))
        session = driven.window.session
        assert session.project == model.now, what
        assert session.history.labels == model.history.labels, what
        assert session.is_changed == (model.now != model.saved), what  # U10
        if what == "save":
            assert texts(driven.place) == texts(Path(model.opened.folder.root))

    # U1: taking everything back leads to where the history begins; U2: doing it again, back.
    last = driven.window.session.project
    done = len(model.history.labels)
    for _ in range(done):
        model.undo()
        driven.undo()
    model.save()
    driven.save()
    assert texts(driven.place) == texts(Path(model.opened.folder.root))
    if not any(what == "crash" for what, _ in steps_of(random.Random(life))):
        assert texts(driven.place) == first
    for _ in range(done):
        driven.redo()
    assert driven.window.session.project == last
    driven.close()
    model.opened.folder.close()
