"""One work line both ways: what the yard asks for it, and what it takes to do it oneself."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

from workbench.domain.ledger import LineChange
from workbench.window import formatting
from workbench.window.session import Session
from workbench.window.texts import tr

if TYPE_CHECKING:
    from workbench.figures.assessment import Line
    from workbench.figures.pricing import Priced


def both_ways(session: Session, line: Line) -> tuple[Priced, Priced] | None:
    """The line priced as the yard's work and as own work; None where only one way is known."""
    from workbench.figures.pricing import Tariff  # noqa: PLC0415 - numpy comes with it

    candidate, remedy = session.candidate, line.remedy
    if candidate is None or remedy is None or line.priced is None:
        return None
    work = next((one for one in remedy.work if line.key == f"{line.job}/{one.id}"), None)
    item = session.catalogue.prices.items.get(work.item) if work is not None else None
    if item is None:
        return None
    tariff = Tariff(session.project, session.catalogue)
    held = candidate.ledger.changes.get(line.key, LineChange())
    yard, own = (
        tariff.priced(
            item,
            candidate.boat,
            line.priced.count,
            dataclasses.replace(held, own_work=own_work),
            remedy.own.hours_share,
        )
        for own_work in (False, True)
    )
    return yard, own


def both_ways_words(line: Line, ways: tuple[Priced, Priced]) -> str:
    """The yard's sum beside the buyer's own hours and sum, in a sentence each."""
    yard, own = ways
    words = tr("By the yard {cost}.").format(cost=formatting.estimate(yard.cost.mean))
    if line.remedy is None or not line.remedy.own.may or not own.labour:
        return f"{words} {tr('Not work for an owner.')}"
    hours = own.count * sum(one.hours.mean for one in own.labour)
    return " ".join(
        (
            words,
            tr("By yourself {cost}, with about {hours} hours of your own.").format(
                cost=formatting.estimate(own.cost.mean), hours=formatting.whole(hours)
            ),
        )
    )
