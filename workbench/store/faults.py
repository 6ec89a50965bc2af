"""The problems met while reading one file, with their places, and what is kept because of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from workbench.domain.problem import Problem, Severity
from workbench.store.kept import ABSENT, Step, freeze

Place = tuple[Any, Step] | None


@dataclass(slots=True)
class Faults:
    """The problems met while reading one file, and what is to be kept for the record at hand."""

    file: str
    boat: str = ""
    problems: list[Problem] = field(default_factory=list)
    kept: list[tuple[Place, object, object]] = field(default_factory=list)
    lossy: bool = False

    def add(self, place: Place, message: str, remedy: str, severity: Severity) -> None:
        """Note one problem at a place in the file."""
        words = place_in_words(place)
        where = f"{self.file}, {words}" if words else self.file
        self.problems.append(Problem(where, message, remedy, severity, self.boat, words))

    def keep(self, place: Place, written: object, stand_in: object = ABSENT) -> None:
        """Keep what the file says at a place; `stand_in` is what would be written instead."""
        self.kept.append((place, freeze(written), freeze(stand_in)))

    def forget(self, mark: int) -> None:
        """Drop what was kept since `mark`: its record is kept as a whole instead."""
        del self.kept[mark:]
        self.lossy = False


def place_in_words(place: Place) -> str:
    """The place of a value as `quotes[2].amount`, with positions counted from 1."""
    steps: list[Step] = []
    while place is not None:
        place, step = place
        steps.append(step)
    words = "".join(f"[{s + 1}]" if isinstance(s, int) else f".{s}" for s in reversed(steps))
    return words.removeprefix(".")
