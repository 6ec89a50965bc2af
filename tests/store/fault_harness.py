"""Interrupts a scenario at every step in every way and checks what is left (H1 to H6).

What must hold after each fault, once the folder is opened again (H6): no exception; the text files
are those of one version, byte for byte, never mixed; nothing of a save is left over; every photo
that is named is whole; a second recovery does nothing; the next save works; a save that was
reported has happened; no handle leaks.
"""

from __future__ import annotations

import errno
import random
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from tests.store.crash_scenarios import SCENARIOS, Scenario, text_files
from tests.store.memory_files import Fault, MemoryFiles, PowerCut
from tests.store.samples import memory_place
from workbench.domain.problem import HardstandError, Severity
from workbench.store import layout, transaction
from workbench.store.attachments import photo_is_whole
from workbench.store.file_system import FileSystem
from workbench.store.folder import open_project, save_project
from workbench.store.transaction import Recovery

ERRORS = (errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EACCES, errno.EROFS, errno.EINTR)
MODELS = ("ordered", "subset")
TOKEN = "0123456789abcdef"  # noqa: S105 - marks the saves of an installation, opens nothing

Tree = dict[str, bytes]
Recover = Callable[[FileSystem, str, str], Recovery]


class ViolationError(AssertionError):
    """A promise of the store that a fault broke."""


@dataclass
class Sweep:
    """One scenario under faults.

    Attributes
    ----------
    versions
        The text files before each step, as a kill there and a recovery would leave them.
    injected
        How many faults were injected.
    """

    scenario: Scenario
    recover: Recover = transaction.recover
    versions: list[Tree] = field(default_factory=list)
    durable: list[int] = field(default_factory=list)
    injected: int = 0
    seen: set[frozenset[tuple[str, bytes]]] = field(default_factory=set)
    start: MemoryFiles = field(default_factory=MemoryFiles)

    def __post_init__(self) -> None:
        place = memory_place()
        assert isinstance(place.files, MemoryFiles)
        self.scenario.prepare(place)
        place.files.settle()
        self.start = place.files

    # ---- running

    def run(self, fault: Fault | None = None) -> tuple[MemoryFiles, bool | None]:
        """The disk after the act with a fault, and what it reported; None when it did not."""
        files = self.start.after_kill()
        files.fault = fault
        try:
            reported: bool | None = self.scenario.act(memory_place(files))
        except (PowerCut, HardstandError):
            reported = None
        return files, reported

    def learn(self) -> None:
        """Run once without a fault and once to each step, and note the versions on the way."""
        files, reported = self.run()
        if not reported:
            raise ViolationError("the act fails without a fault")
        steps = len(files.log)
        journals: set[str] = set()
        last_durable = 0
        for at in range(steps + 1):
            killed = self.run(Fault(at, "kill before"))[0].after_kill()
            self._recovery(killed)
            self.versions.append(text_files(killed.tree(self.scenario.root)))
            self.durable.append(last_durable)
            if at < steps:
                what, path = files.log[at]
                if what == "rename" and path.endswith("journal.json"):
                    journals.add(path.partition(" -> ")[2].rpartition("/")[0])
                elif what == "flush folder" and path in journals:
                    last_durable = at + 1
        distinct = {frozenset(version.items()) for version in self.versions}
        if len(distinct) != 2:
            raise ViolationError(f"{len(distinct)} versions were seen: a kill leaves a mixture")

    # ---- the sweeps

    def kill_everywhere(self) -> None:
        """Kill before each step, after it, and in the middle of each write (H1)."""
        for at in range(len(self.versions)):
            for kind in ("kill before", "kill after", "torn"):
                files, reported = self.run(Fault(at, kind))
                self.check(files.after_kill(), self.allowed(at, reported), f"{kind} {at}")

    def fail_everywhere(self, codes: Iterable[int] = ERRORS) -> None:
        """Fail each step once and for ever, with every error, and write less than asked (H2).

        Each of these is followed by a loss of power, too.
        """
        for at in range(len(self.versions) - 1):
            for fault in _errors_at(at, codes):
                self._fail(fault)

    def _fail(self, fault: Fault) -> None:
        files, reported = self.run(fault)
        where = f"{fault}"
        if files.handles:
            raise ViolationError(f"{where}: a handle was left open")
        if fault.kind == "short" and not reported:
            raise ViolationError(f"{where}: a short write is no fault")
        left = [path for path in files.tree(self.scenario.root) if ".tx-" in path]
        if left and reported is None and not fault.for_ever:
            raise ViolationError(f"{where}: {left} was not taken away")
        dice = random.Random(where)
        for model in MODELS:
            lost = files.after_power_loss(dice, model)
            self.check(lost, self.allowed(fault.at, reported), f"{where}, then {model} power loss")
        files = files.after_kill()
        self.check(files, self.allowed(fault.at, reported), where)
        if self.scenario.can_be_repeated and not self._repeated(files):
            raise ViolationError(f"{where}: it cannot be done again")

    def _repeated(self, files: MemoryFiles) -> bool:
        """Whether doing it again leads to the end; a new project may be there already."""
        again = files.after_kill()
        if text_files(again.tree(self.scenario.root)) == self.versions[-1]:
            return True
        self.scenario.act(memory_place(again))
        return text_files(again.tree(self.scenario.root)) == self.versions[-1]

    def lose_power_everywhere(self, seeds: int) -> None:
        """Lose the power before each step, in every model, with many kinds of damage (H3)."""
        for at in range(len(self.versions)):
            files, reported = self.run(Fault(at, "kill before"))
            allowed = self.allowed(at, reported)
            for model in MODELS:
                dice = random.Random(f"{self.scenario.name} {at} {model}")
                for seed in range(seeds):
                    disk = files.after_power_loss(dice, model)
                    self.check(disk, allowed, f"power loss {model} {at} seed {seed}")

    def lose_power_while_recovering(self, seeds: int) -> None:
        """Lose the power again at each step of the recovery, and recover once more (H4)."""
        for at in range(len(self.versions)):
            files, _ = self.run(Fault(at, "kill before"))
            dice = random.Random(f"again {self.scenario.name} {at}")
            for seed in range(seeds):
                disk = files.after_power_loss(dice, dice.choice(MODELS))
                self._break_recovery(disk, self.allowed(at, None), dice, f"{at} seed {seed}")

    def _break_recovery(
        self, disk: MemoryFiles, allowed: list[Tree], dice: random.Random, where: str
    ) -> None:
        whole = disk.after_kill()
        self._recovery(whole)
        for step in range(len(whole.log)):
            broken = disk.after_kill()
            broken.fault = Fault(step, "kill before")
            try:
                self._recovery(broken)
            except PowerCut:
                again = broken.after_power_loss(dice, dice.choice(MODELS))
                self.check(again, allowed, f"recovery broken at {step}, after {where}")

    def allowed(self, at: int, reported: bool | None) -> list[Tree]:
        """The versions that may be found after a fault at a step."""
        if reported:
            return [self.versions[-1]]
        if at >= len(self.durable):
            return self.versions
        return self.versions[self.durable[at] :]

    # ---- checking

    def _recovery(self, files: MemoryFiles) -> Recovery:
        """What opening the folder does about interrupted saves."""
        if files.facts(self.scenario.root) is None:
            return Recovery()
        return self.recover(files, self.scenario.root, TOKEN)

    def check(self, files: MemoryFiles, allowed: list[Tree], where: str) -> None:
        """Recover and hold what is left to the promises."""
        self.injected += 1
        root = self.scenario.root
        if files.facts(root) is None:
            if {} not in allowed:
                raise ViolationError(f"{where}: the folder is gone")
            return
        recovery = self._recovery(files)
        if recovery.blocked:
            raise ViolationError(f"{where}: {recovery.problems[0].sentence()}")
        tree = files.tree(root)
        left = [path for path in tree if ".tx-" in path or path.endswith(".tmp")]
        if left or transaction.interrupted(files, root):
            raise ViolationError(f"{where}: {left} is left over")
        if text_files(tree) not in allowed:
            raise ViolationError(f"{where}: the files are of no version that may be there")
        self._check_whole(files, tree, where)

    def _check_whole(self, files: MemoryFiles, tree: Tree, where: str) -> None:
        """Open it and save it; a tree that was seen before needs no second look."""
        signature = frozenset(tree.items())
        if signature in self.seen or layout.PROJECT not in tree:
            return
        self.seen.add(signature)
        files.log.clear()
        self._recovery(files)
        if files.log:
            raise ViolationError(f"{where}: a second recovery did {files.log}")
        opened = open_project(Path(self.scenario.root), workplace=memory_place(files))
        serious = [p for p in opened.problems if p.severity is not Severity.NOTICE]
        if serious or opened.read_only:
            raise ViolationError(f"{where}: {opened.read_only} {serious}")
        for id_, candidate in opened.project.boats.items():
            for photo in candidate.inspection.photos.values():
                if not photo_is_whole(opened.folder, id_, photo):
                    raise ViolationError(f"{where}: the photo {photo.file} is damaged")
        save_project(opened.folder, opened.project, None)
        again = open_project(Path(self.scenario.root), workplace=memory_place(files))
        if again.project != opened.project:
            raise ViolationError(f"{where}: the next save does not hold")


def _errors_at(at: int, codes: Iterable[int]) -> Iterator[Fault]:
    yield Fault(at, "short")
    for code in codes:
        yield Fault(at, "error", code)
        yield Fault(at, "error", code, for_ever=True)


__all__ = ["SCENARIOS", "Scenario", "Sweep", "ViolationError"]
