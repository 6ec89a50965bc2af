"""A step of a trace as the why panel shows it: its amount as text."""

from __future__ import annotations

from collections.abc import Sequence

from workbench.domain.record import dataclass
from workbench.window import formatting


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A trace step as the why panel shows it."""

    label: str
    detail: str
    amount_text: str
    children: Sequence[ShownStep]
    key: str = ""


def shown_step(step: object) -> ShownStep:
    """A trace step with its amount as text."""
    from workbench.figures.trace import TraceStep  # noqa: PLC0415 - numpy comes with it

    assert isinstance(step, TraceStep)  # noqa: S101 - the trace is made by our own figures
    amount = "" if step.amount is None else formatting.whole(step.amount)
    return ShownStep(
        step.label, step.detail, amount, tuple(shown_step(one) for one in step.children), step.key
    )
