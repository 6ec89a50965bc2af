"""A message that offers one thing to do, for the banner across the window."""

from __future__ import annotations

from collections.abc import Callable

from workbench.domain.record import dataclass


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
