"""All that a yard may know when it is asked for a quote: the boat, the work, what was seen.

No estimate is named, so that the yard's price is its own. Kept back are prices, budget, claims,
other yards' quotes, grades' chances, private notes and everybody's name. Jobs that the buyer will
do, that another yard has quoted, or that are left out are not asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from workbench.catalogue.model import Catalogue
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade, When
from workbench.figures.assessment import SAILING, BoatAssessment, Line

from .views import boat_words, particulars, reading_words
from .words import lower


@dataclass(frozen=True, slots=True)
class YardJob:
    """One job to be priced.

    Attributes
    ----------
    key
        The line it answers, for a quote that comes back as a file.
    number
        As printed, such as 2.3.
    how_many
        Empty for one.
    """

    key: str
    number: str
    title: str
    work: str
    how_many: str
    seen: str
    grade: Grade | None


@dataclass(frozen=True, slots=True)
class AccessJob:
    """Work to be done once before several jobs."""

    key: str
    number: str
    title: str
    serves: int


@dataclass(frozen=True, slots=True)
class YardGroup:
    """Jobs that need the same access work in the same lay-up."""

    number: int
    title: str
    when: When
    jobs: tuple[YardJob, ...]


@dataclass(frozen=True, slots=True)
class YardView:
    """Everything the request may say."""

    boat: str
    words: str
    lies_at: str
    on: date
    currency: str
    particulars: tuple[tuple[str, str], ...]
    access: tuple[AccessJob, ...]
    groups: tuple[YardGroup, ...]


_FOR_A_YARD = frozenset(
    (
        *("loa", "beam", "draft", "displacement", "mast-height", "shaft-diameter"),
        *("hull-material", "keel", "rudder", "drive", "engine", "rig", "mast-step"),
    )
)
"""What a yard must know to lift her, stand her and reach the work."""


def yard_view(boat: BoatAssessment, catalogue: Catalogue, on: date) -> YardView:
    """What of a boat a yard may see, on a day."""
    record = boat.candidate.boat
    lines = [one for one in boat.lines if _is_asked(one)]
    return YardView(
        boat=record.name,
        words=boat_words(record, catalogue),
        lies_at=record.lies_at,
        on=on,
        currency=boat.currency,
        particulars=particulars(record, catalogue, _FOR_A_YARD),
        access=_access(boat, lines),
        groups=_groups(lines, catalogue),
    )


def _is_asked(line: Line) -> bool:
    """Whether a yard is to price a line: found work before sailing that is nobody's yet."""
    return (
        not line.left_out
        and not line.covered_by
        and not line.part.allowed_for
        and not line.own_work
        and line.quote is None
        and line.when in SAILING
    )


def _access(boat: BoatAssessment, lines: Sequence[Line]) -> tuple[AccessJob, ...]:
    """The access work the asked jobs need, each task of a lay-up once."""
    asked = {one.job for one in lines}
    wanted = [
        (one, len(asked.intersection(one.users)))
        for one in boat.access
        if not one.left_out and one.quote is None
    ]
    served = [(one, jobs) for one, jobs in wanted if jobs]
    return tuple(
        AccessJob(one.key, f"A{number}", f"{one.task.title}{_lay_up(one.when, boat)}", jobs)
        for number, (one, jobs) in enumerate(served, 1)
    )


def _lay_up(when: When, boat: BoatAssessment) -> str:
    """Which lay-up a task is for, where there is more than one."""
    if len({one.when for one in boat.access if one.when in SAILING}) < 2:
        return ""
    return ", before launching" if when is When.BEFORE_LAUNCHING else ", later in the season"


def _groups(lines: Sequence[Line], catalogue: Catalogue) -> tuple[YardGroup, ...]:
    together: dict[tuple[When, tuple[str, ...]], list[Line]] = {}
    for when in SAILING:
        for line in sorted(lines, key=lambda one: -len(one.access)):
            if line.when is when:
                together.setdefault((when, line.access), []).append(line)
    return tuple(
        YardGroup(
            number,
            _group_title(access, catalogue),
            when,
            tuple(_jobs(some, number)),
        )
        for number, ((when, access), some) in enumerate(together.items(), 1)
    )


def _group_title(access: tuple[str, ...], catalogue: Catalogue) -> str:
    """What must be done first for a group: the tasks that no other task of it needs."""
    if not access:
        return "As she stands"
    needed = {need for name in access for need in catalogue.access[name].requires}
    outer = [lower(catalogue.access[name].title) for name in access if name not in needed]
    return f"After: {'; '.join(outer)}"


def _jobs(lines: Sequence[Line], group: int) -> Iterator[YardJob]:
    """The jobs of a group; what was seen is said at the first of each finding."""
    said: set[str] = set()
    for at, line in enumerate(lines, 1):
        check = line.finding.check.id if line.finding else ""
        yield _job(line, f"{group}.{at}", told=check in said)
        said.add(check)


def _job(line: Line, number: str, *, told: bool) -> YardJob:
    finding = line.finding
    reading = finding.counting.reading if finding and finding.counting else None
    count = line.priced.count if line.priced else 1.0
    return YardJob(
        key=line.key,
        number=number,
        title=finding.check.part if finding else line.title,
        work=line.title if finding else "",
        how_many="" if count == 1 else f"{count:.3g}",
        seen=reading_words(finding.check, reading) if finding and reading and not told else "",
        grade=finding.grade if finding else None,
    )
