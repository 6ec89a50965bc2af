"""Where the figure of one work line comes from, for the why panel beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbench.window.pages.ledger_pane import ShownStep, shown_step
from workbench.window.session import Session

if TYPE_CHECKING:
    from workbench.figures.assessment import Line


def line_trace(session: Session, line: Line | None) -> ShownStep | None:
    """The line with its reading, its rules, its prices or quote, and its chance."""
    from workbench.figures.trace import why_line  # noqa: PLC0415 - numpy comes with it

    return shown_step(why_line(line, session.catalogue)) if line is not None else None
