"""What the comparables say of one boat, ready to be shown: a job for beside the window.

The band of the scatter is the indication made again for the same boat at other years, so band and
points are both "her in all but age". A comparable that is not used is adjusted too, to be shown
faintly; it is never part of the indication.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from decimal import Decimal

from workbench.catalogue.wording import ENGLISH_WORDING, Wording
from workbench.domain.boat import Boat
from workbench.domain.project import Comparable, Project
from workbench.domain.record import dataclass
from workbench.domain.settings import Settings
from workbench.figures.exchange import rate_of
from workbench.window.texts import tr
from workbench.window.widgets.charts import BandPoint

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.comparables import AdjustedComparable, Indication, Rates

_MOST_YEARS = 14


@dataclass(frozen=True, slots=True)
class AnchorReading:
    """The indication for one boat with all that stands behind it.

    Attributes
    ----------
    indication
        None where the comparables cannot be read for her; `why_none` says why.
    adjusted
        By comparable id, those that are not used included.
    left_out
        Why a comparable cannot be adjusted, by its id.
    band
        The indication for her at other years, rising.
    """

    boat: Boat
    asking: Decimal | None
    indication: Indication | None
    why_none: str
    adjusted: dict[str, AdjustedComparable]
    left_out: dict[str, str]
    band: tuple[BandPoint, ...]
    rates: Rates


def why_left_out(one: Comparable, settings: Settings) -> str:
    """What a comparable lacks to be adjusted; empty when nothing."""
    if one.year is None:
        return tr("No year is known, so she is left out.")
    if one.length is None:
        return tr("No length is known, so she is left out.")
    code = one.price.currency
    if rate_of(code, settings) is None:
        return tr("There is no rate for {code}, so she is left out.").format(code=code)
    return ""


def read_anchor(
    project: Project, boat: Boat, asking: Decimal | None, wording: Wording = ENGLISH_WORDING
) -> AnchorReading:
    """Read the comparables for a boat."""
    from workbench.figures.anchor import indication_of, rates_of  # noqa: PLC0415 - numpy waits

    settings = project.settings
    left_out = {one.id: why_left_out(one, settings) for one in project.comparables}
    indication = indication_of(project, boat, asking, wording)
    return AnchorReading(
        boat,
        asking,
        indication,
        "" if indication is not None else _why_none(project, boat),
        _adjusted(project, boat, asking, left_out),
        {key: why for key, why in left_out.items() if why},
        _band(project, boat, asking) if indication is not None else (),
        rates_of(settings),
    )


def _adjusted(
    project: Project, boat: Boat, asking: Decimal | None, left_out: dict[str, str]
) -> dict[str, AdjustedComparable]:
    from workbench.figures.anchor import indication_of  # noqa: PLC0415 - numpy comes with it

    used = tuple(dataclasses.replace(one, used=True) for one in project.comparables)
    whole = indication_of(dataclasses.replace(project, comparables=used), boat, asking)
    if whole is None:
        return {}
    ids = [one.id for one in project.comparables if not left_out[one.id]]
    return dict(zip(ids, whole.adjusted, strict=True))


def _band(project: Project, boat: Boat, asking: Decimal | None) -> tuple[BandPoint, ...]:
    from workbench.figures.anchor import indication_of  # noqa: PLC0415 - numpy comes with it

    made = []
    for year in _years(project, boat):
        at_year = dataclasses.replace(boat, year=year)
        there = indication_of(project, at_year, asking)
        if there is not None:
            made.append(BandPoint(float(year), there.low, there.value, there.high))
    return tuple(made)


def _years(project: Project, boat: Boat) -> Iterable[int]:
    """Years from the oldest to the newest, evenly, not more than the drawing needs."""
    known = [one.year for one in project.comparables if one.year is not None]
    if boat.year is not None:
        known.append(boat.year)
    first, last = min(known), max(known)
    step = max(1, (last - first) // _MOST_YEARS + 1)
    return [*range(first, last, step), last]


def _why_none(project: Project, boat: Boat) -> str:
    if not project.comparables:
        return tr("There are no comparables yet, so the price asked stands in.")
    if project.settings.as_of is None:
        return tr("Ages cannot be reckoned: set the day the figures hold for in the settings.")
    if boat.year is None or "loa" not in boat.dimensions:
        return tr("Enter the year and the length of {boat} to hold her against them.").format(
            boat=boat.name
        )
    if not any(one.used for one in project.comparables):
        return tr("None of the comparables is in use, so the price asked stands in.")
    return tr("Those in use lack a year, a length or an exchange rate.")
