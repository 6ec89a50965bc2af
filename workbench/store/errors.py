"""The errors of the store; each holds problems with place and remedy for the window to show."""

from __future__ import annotations

from workbench.domain.problem import HardstandError, Problem, Severity


class StoreError(HardstandError):
    """A project folder that cannot be opened, read or written as asked."""


class NotSavedError(StoreError):
    """Nothing was saved: the folder is as it was and the work is still in memory.

    `left_behind` names a folder of the attempt that would not go and must before the next one.
    """

    def __init__(self, problems: tuple[Problem, ...], left_behind: str = "") -> None:
        super().__init__(problems)
        self.left_behind = left_behind


def refusal(where: str, message: str, remedy: str, boat: str = "") -> Problem:
    """A problem that stopped an action."""
    return Problem(where, message, remedy, Severity.REFUSED, boat)


def stopped(where: str, message: str, remedy: str) -> StoreError:
    """The error for one problem that stopped an action."""
    return StoreError((refusal(where, message, remedy),))


def system_words(error: OSError) -> str:
    """What the system said, as part of a sentence."""
    return (error.strerror or type(error).__name__).rstrip(".").lower()
