"""Quick find: any boat, check, work line, command, page or section by a few letters of its words.

All words sought must occur, each at the beginning of a word or anywhere in it; what begins with
them stands first. The figures and the catalogue are looked through as they are; nothing is kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntEnum

from PySide6.QtGui import QAction

from workbench.window import formatting
from workbench.window.session import Session
from workbench.window.texts import tr

MOST = 40
MOST_OF_A_KIND = 12


class Kind(IntEnum):
    """What was found, in the order in which equals stand."""

    BOAT = 0
    CHECK = 1
    LINE = 2
    COMMAND = 3
    SETTING = 4


@dataclass(frozen=True, slots=True)
class Found:
    """One thing that was found.

    Attributes
    ----------
    title
        Its own words.
    detail
        What it is and where, quieter.
    grade
        Of a check; empty for none.
    figure
        Of a line or a boat.
    boat, key
        Where it leads: the boat's id, and the check, line, section or command.
    """

    kind: Kind
    title: str
    detail: str
    key: str
    boat: str = ""
    grade: str = ""
    figure: str = ""


def _rank(text: str, words: Sequence[str]) -> int | None:
    """How well a text fits: 0 begins with it, 1 words begin with it, 2 holds it; None does not."""
    plain = text.casefold()
    if not all(word in plain for word in words):
        return None
    if plain.startswith(words[0]):
        return 0
    starts = [part for part in plain.replace("-", " ").split() if part]
    if all(any(part.startswith(word) for part in starts) for word in words):
        return 1
    return 2


def find(session: Session, commands: Sequence[QAction], text: str) -> tuple[Found, ...]:
    """What the words lead to, the best first; nothing for no words."""
    words = text.casefold().split()
    if not words:
        return ()
    ranked: list[tuple[int, Kind, int, Found]] = []
    counts: dict[Kind, int] = {}
    for order, found in enumerate(_everything(session, commands)):
        own = _rank(found.title, words)
        rank = own if own is not None else _rank(f"{found.title} {found.detail}", words)
        if rank is None:
            continue
        ranked.append((rank if own is not None else rank + 3, found.kind, order, found))
    ranked.sort(key=lambda one: one[:3])
    kept: list[Found] = []
    for _, kind, _, found in ranked:
        counts[kind] = counts.get(kind, 0) + 1
        if counts[kind] <= MOST_OF_A_KIND:
            kept.append(found)
    return tuple(kept[:MOST])


def _everything(session: Session, commands: Sequence[QAction]) -> Iterator[Found]:
    yield from _boats(session)
    yield from _checks(session)
    yield from _lines(session)
    yield from _commands(commands)
    yield from _settings()


def _boats(session: Session) -> Iterator[Found]:
    for id_, candidate in session.project.boats.items():
        boat = candidate.boat
        about = (tr("boat"), boat.design, str(boat.year or ""), boat.lies_at, boat.seller)
        asked = formatting.exact(boat.asking_price) if boat.asking_price is not None else ""
        yield Found(
            Kind.BOAT, boat.name, ", ".join(one for one in about if one), id_, id_, figure=asked
        )


def _checks(session: Session) -> Iterator[Found]:
    figures = session.boat
    if figures is not None:
        for finding in figures.findings:
            check = finding.check
            system = session.catalogue.systems[check.system].title
            detail = ", ".join((tr("check"), system, check.part))
            yield Found(
                Kind.CHECK, check.title, detail, check.id, session.boat_id, finding.grade.value
            )
        return
    for check in session.catalogue.checks.values():
        system = session.catalogue.systems[check.system].title
        yield Found(
            Kind.CHECK,
            check.title,
            ", ".join((tr("check"), system, check.part)),
            check.id,
            session.boat_id,
        )


def _lines(session: Session) -> Iterator[Found]:
    assessment = session.assessment
    if assessment is None:
        return
    for id_, boat in assessment.boats.items():
        name = boat.candidate.boat.name
        for line in boat.lines:
            check = line.finding.check.title if line.finding is not None else ""
            yield Found(
                Kind.LINE,
                line.title,
                ", ".join(one for one in (tr("work"), name, check) if one),
                line.key,
                id_,
                figure=formatting.estimate(line.counted),
            )


def _commands(commands: Sequence[QAction]) -> Iterator[Found]:
    for place, action in enumerate(commands):
        words = action.text().replace("&", "")
        if action.isSeparator() or not words or not action.isEnabled():
            continue
        keys = action.shortcut().toString()
        detail = f"{tr('command')}, {keys}" if keys else tr("command")
        yield Found(Kind.COMMAND, words, detail, str(place))


def _settings() -> Iterator[Found]:
    from workbench.window.pages.settings_page import SECTIONS  # noqa: PLC0415 - when sought

    for section in SECTIONS:
        yield Found(Kind.SETTING, section.title(), tr("settings"), section.key)
