"""Undo and redo: because the project is a value, undoing is going back to the value before.

Each step keeps the project before and after it and shares with them all that did not change, so
five hundred steps cost little. Steps that merge (typing in one field within a second) count as one.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.edits.edit import Edit

DEPTH = 500
MERGE_SECONDS = 1.0


@dataclass(frozen=True, slots=True)
class Step:
    """One change that can be undone."""

    label: str
    before: Project
    after: Project
    merges: str
    at: float


class History:
    """The steps done and undone."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._done: list[Step] = []
        self._undone: list[Step] = []
        self._clock = clock

    def add(self, edit: Edit, before: Project, after: Project) -> None:
        """Keep a step; what was undone before it is gone."""
        self._undone.clear()
        now = self._clock()
        last = self._done[-1] if self._done else None
        if last and edit.merges and last.merges == edit.merges and now - last.at < MERGE_SECONDS:
            self._done[-1] = Step(last.label, last.before, after, edit.merges, now)
            return
        self._done.append(Step(edit.label, before, after, edit.merges, now))
        del self._done[:-DEPTH]

    def undo(self) -> Project | None:
        """The project before the last step; None when there is none."""
        if not self._done:
            return None
        step = self._done.pop()
        self._undone.append(step)
        return step.before

    def redo(self) -> Project | None:
        """The project after the step that was undone last; None when there is none."""
        if not self._undone:
            return None
        step = self._undone.pop()
        self._done.append(step)
        return step.after

    @property
    def undo_label(self) -> str:
        """What undo would take back; empty when nothing."""
        return self._done[-1].label if self._done else ""

    @property
    def redo_label(self) -> str:
        """What redo would do again; empty when nothing."""
        return self._undone[-1].label if self._undone else ""

    @property
    def labels(self) -> tuple[str, ...]:
        """The steps that can be undone, oldest first."""
        return tuple(step.label for step in self._done)

    def clear(self) -> None:
        """Forget everything, as when another project is opened."""
        self._done.clear()
        self._undone.clear()
