"""What is wrong, where, and what to do: problems as records, and the errors that carry them.

Bad data that a person can cause is never an exception deep in the program: it is a `Problem` that a
list can show and a click can follow to its place. An exception is raised only where an action
cannot go on (a file that cannot be read, a value that cannot be made), and it holds problems.
"""

from __future__ import annotations

from enum import Enum

from workbench.domain.record import dataclass


class Severity(Enum):
    """How much a problem matters."""

    NOTICE = "notice"
    PROBLEM = "problem"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with what the user or a file gave.

    Attributes
    ----------
    where
        The place in words a person can find: a file and its field, a boat and its check.
    message
        What is wrong, as a sentence.
    remedy
        What to do about it, as a sentence; empty only where nothing can be done.
    severity
        A notice goes on working, a problem leaves a figure out, refused stopped the action.
    boat, key
        Where known, the boat's id and the check, line or field that a click should lead to.
    """

    where: str
    message: str
    remedy: str = ""
    severity: Severity = Severity.PROBLEM
    boat: str = ""
    key: str = ""

    def sentence(self) -> str:
        """The whole problem in one line: where, what, what to do."""
        return f"{self.where}: {self.message} {self.remedy}".strip()


class HardstandError(Exception):
    """An action that could not go on, with the problems that stopped it."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(problem.sentence() for problem in problems))
        self.problems = problems


class EntryError(ValueError):
    """Something typed that cannot be read; the text is a sentence for the field."""
