"""A message that offers one thing to do, for the banner across the window."""

from __future__ import annotations

from collections.abc import Callable, Container

from workbench.domain.problem import Problem, Severity
from workbench.domain.record import dataclass
from workbench.window.said import said
from workbench.window.texts import tr


@dataclass(frozen=True, slots=True)
class Offer:
    """What is the matter, where, what it means, and one action.

    Attributes
    ----------
    action
        Words of the button; empty for none.
    do
        What the button does.
    serious
        Whether it is a problem rather than news.
    """

    what: str
    where: str = ""
    what_to_do: str = ""
    action: str = ""
    do: Callable[[], None] = lambda: None
    serious: bool = False


def offer_of(problem: Problem, damaged: Container[str], mend: Callable[[], None]) -> Offer:
    """A problem as a message; that of a damaged file leads to what can be had back."""
    return Offer(
        said(problem.message),
        problem.where,
        said(problem.remedy),
        tr("What can be had back") if problem.where in damaged else "",
        mend,
        serious=problem.severity is not Severity.NOTICE,
    )
