"""Any order of edits, saves, faults, crashes and losses of power keeps the promises (U13).

The model is the list of project values that the disk may hold. Work that a save confirmed is never
lost; what was not confirmed is either there as a whole or not at all; what was autosaved can be
recovered; a file that another program wrote is never overwritten. For a night:

    HARDSTAND_LIVES=20000 python -m pytest tests/store/test_life_of_a_folder.py
"""

from __future__ import annotations

import os
import random
from dataclasses import replace

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from tests.store.memory_files import Fault, MemoryFiles, PowerCut
from tests.store.samples import (
    ROOT,
    TARGET,
    candidate,
    memory_place,
    renamed,
    saved_sample,
    with_boat,
    with_photos,
)
from workbench.domain.problem import Severity
from workbench.domain.project import Project
from workbench.store.attachments import photo_is_whole
from workbench.store.autosave import find_autosaves, keep_autosave, recovered, settle_autosaves
from workbench.store.backups import list_backups, make_backup, restore_backup
from workbench.store.errors import NotSavedError
from workbench.store.folder import Opened, open_project, reload_project, save_project

NUMBERS = st.integers(0, 4)
RUNS = int(os.environ.get("HARDSTAND_LIVES", "500"))


class LifeOfAFolder(RuleBasedStateMachine):
    """A window on a folder in memory, and everything that can happen to both."""

    def __init__(self) -> None:
        super().__init__()
        place = memory_place()
        saved_sample(place)
        self.opened: Opened = open_project(TARGET, workplace=place)
        self.now: Project = self.opened.project
        self.saved: Project = self.opened.project
        self.autosaved: Project | None = None
        self.count = 0

    @property
    def files(self) -> MemoryFiles:
        """The disk."""
        found = self.opened.folder.files
        assert isinstance(found, MemoryFiles)
        return found

    def fresh(self) -> str:
        """A name that was never used."""
        self.count += 1
        return f"Name {self.count}"

    # ---- edits

    @rule(number=NUMBERS)
    def add_or_replace_a_boat(self, number: int) -> None:
        self.now = with_boat(self.now, candidate(number))

    @rule(number=NUMBERS)
    def rename_a_boat(self, number: int) -> None:
        if f"boat-{number}" in self.now.boats:
            self.now = renamed(self.now, f"boat-{number}", self.fresh())

    @rule(number=NUMBERS)
    def drop_a_boat(self, number: int) -> None:
        self.now = replace(self.now, boats=self.now.boats.drop(f"boat-{number}"))

    @rule()
    def rename_the_project(self) -> None:
        self.now = replace(self.now, name=self.fresh())

    @rule(number=NUMBERS, photo=st.integers(0, 3))
    def add_a_photo(self, number: int, photo: int) -> None:
        if f"boat-{number}" in self.now.boats:
            self.now = with_photos(
                self.opened.folder, self.now, f"boat-{number}", range(photo, photo + 1)
            )

    @rule()
    def take_everything_back(self) -> None:
        self.now = self.saved

    # ---- saving

    @rule()
    def save(self) -> None:
        # The order of the boats is kept as well, though maps that differ by it alone are equal.
        changed = self.now != self.saved or tuple(self.now.boats) != tuple(self.saved.boats)
        report = save_project(self.opened.folder, self.now, self.saved)
        assert report.complete
        assert bool(report.written or report.deleted) == changed
        self.saved = self.now
        settle_autosaves(self.opened.folder)
        self.autosaved = None

    @rule(at=st.integers(0, 40), for_ever=st.booleans(), code=st.sampled_from([5, 28, 122]))
    def save_with_an_error(self, at: int, for_ever: bool, code: int) -> None:
        self.files.log.clear()
        self.files.fault = Fault(at, "error", code, for_ever)
        try:
            report = save_project(self.opened.folder, self.now, self.saved)
        except NotSavedError:
            return
        finally:
            self.files.fault = None
        assert report.complete
        self.saved = self.now

    @rule()
    def autosave(self) -> None:
        if keep_autosave(self.opened.folder, self.now, self.saved):
            self.autosaved = self.now

    @rule()
    def back_up(self) -> None:
        make_backup(self.opened.folder)

    @precondition(lambda self: self.has_backups())
    @rule()
    def restore_the_oldest_backup(self) -> None:
        oldest = list_backups(self.opened.folder.workplace, self.saved.id)[-1]
        restore_backup(self.opened.folder, oldest)
        self.take_over(reload_project(self.opened.folder))

    def has_backups(self) -> bool:
        """Whether there is anything to restore."""
        return bool(list_backups(self.opened.folder.workplace, self.saved.id))

    # ---- accidents

    @rule(at=st.integers(0, 40), power=st.booleans(), dice=st.integers(0, 10**6))
    def die_while_saving(self, at: int, power: bool, dice: int) -> None:
        self.files.log.clear()
        self.files.fault = Fault(at, "kill before")
        may_be = [self.saved, self.now]
        try:
            save_project(self.opened.folder, self.now, self.saved)
            may_be = [self.now]
        except PowerCut:
            pass
        model = random.Random(dice).choice(("ordered", "subset"))
        self.start_again(power, dice, model)
        assert self.opened.project in may_be
        self.look_for_autosaved_work()

    @rule(power=st.booleans(), dice=st.integers(0, 10**6))
    def die_while_editing(self, power: bool, dice: int) -> None:
        self.start_again(power, dice, "ordered")
        assert self.opened.project == self.saved
        self.look_for_autosaved_work()

    @rule()
    def close_and_open(self) -> None:
        self.opened.folder.close()
        self.start_again(power=False, dice=0, model="ordered")
        assert self.opened.project == self.saved

    @rule(number=NUMBERS)
    def another_program_writes(self, number: int) -> None:
        """While something here is unsaved: both versions are kept."""
        path = f"{ROOT}/boats/boat-{number}/boat.json"
        if f"boat-{number}" not in self.saved.boats or self.opened.folder.unfinished:
            return
        theirs = self.files.read(path, 10**6).replace(b'"name": "', b'"name": "Theirs ')
        self.files.put(path, theirs)
        mine = renamed(with_boat(self.now, candidate(number)), f"boat-{number}", self.fresh())

        report = save_project(self.opened.folder, mine, self.saved)

        assert [conflict.path for conflict in report.conflicts] == [path.removeprefix(f"{ROOT}/")]
        assert self.files.read(path, 10**6) == theirs
        self.take_over(reload_project(self.opened.folder))
        assert self.now.boats[f"boat-{number}"].boat.name.startswith("Theirs ")

    # ---- helpers

    def start_again(self, power: bool, dice: int, model: str) -> None:
        """Open the folder in a new process, after a loss of power perhaps."""
        disk = (
            self.files.after_power_loss(random.Random(dice), model)
            if power
            else self.files.after_kill()
        )
        self.take_over(open_project(TARGET, workplace=memory_place(disk)))

    def take_over(self, opened: Opened) -> None:
        assert opened.read_only == ""
        serious = [p for p in opened.problems if p.severity is not Severity.NOTICE]
        assert serious == []
        self.opened, self.saved = opened, opened.project
        self.now = opened.project

    def look_for_autosaved_work(self) -> None:
        """D12: what was kept can be brought back, once or after several crashes."""
        if self.autosaved is None:
            return
        (newest, *_) = find_autosaves(self.opened.folder)
        if newest.fits:
            assert recovered(self.opened.folder, newest) == self.autosaved
        self.autosaved = None

    @invariant()
    def nothing_is_left_open_or_over(self) -> None:
        assert self.files.handles == {}
        assert not any(path.endswith(".tmp") for path in self.files.tree("/own"))

    @invariant()
    def every_named_photo_is_whole(self) -> None:
        """D9."""
        for id_, found in self.saved.boats.items():
            for photo in found.inspection.photos.values():
                assert photo_is_whole(self.opened.folder, id_, photo)


LifeOfAFolder.TestCase.settings = settings(max_examples=RUNS, stateful_step_count=50, deadline=None)
test_any_life_of_a_folder_keeps_the_promises = LifeOfAFolder.TestCase
