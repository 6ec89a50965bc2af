"""Where the figure of one work line comes from, for the why panel beside it."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

from workbench.window.pages.shown_steps import ShownStep, shown_step
from workbench.window.session import Session

if TYPE_CHECKING:
    from workbench.figures.assessment import Line


def line_trace(session: Session, line: Line | None) -> ShownStep | None:
    """The line with its reading, rules, prices or quote and chance, and what it shares."""
    from workbench.figures.share_trace import why_share  # noqa: PLC0415 - numpy comes with it
    from workbench.figures.trace import why_line  # noqa: PLC0415

    if line is None:
        return None
    shown = shown_step(why_line(line, session.catalogue))
    figures = session.boat
    shared = why_share(figures, line, session.catalogue.wording) if figures is not None else None
    if shared is None:
        return shown
    return dataclasses.replace(shown, children=(*shown.children, shown_step(shared)))
