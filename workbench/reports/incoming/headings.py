"""Which column of a table holds what, found by its heading wherever it stands.

Headings are compared folded and by the names that people use for the same thing; a unit or a
currency in brackets or after a comma is taken off and kept (`LOA [ft]`, `Price, EUR`). What cannot
be found is asked: the row of the headings, and the column of each thing that is needed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from workbench.domain.record import dataclass

from .cells import Row, Sheet, column_letters
from .preview import Choice, Draft, Question
from .text_values import folded

HEADS_ROW = "heads-row"
_LOOKED_AT = 60
_OFFERED_ROWS = 12
_NO_COLUMN = "none"
_WITH_UNIT = re.compile(r"^(?P<name>.+?)\s*(?:[\[(](?P<unit>[^\])]*)[\])]|,\s*(?P<after>\S+))$")


@dataclass(frozen=True, slots=True)
class Head:
    """One thing that a column can hold.

    Attributes
    ----------
    key
        By which the program names it.
    words
        What it is called in questions.
    names
        Headings that mean it.
    needed
        Whether a table without it cannot come in.
    """

    key: str
    words: str
    names: tuple[str, ...] = ()
    needed: bool = False

    def known_by(self) -> set[str]:
        """The folded headings that mean it."""
        return {folded(name) for name in (self.words, *self.names)}


@dataclass(frozen=True, slots=True)
class Table:
    """The rows of a sheet under its headings.

    Attributes
    ----------
    columns
        By the key of what they hold.
    units
        What stood in brackets in the heading, by the same keys.
    width
        How many columns the headings have.
    unknown
        Headings that mean nothing here.
    """

    sheet: Sheet
    rows: tuple[Row, ...]
    columns: Mapping[str, int]
    units: Mapping[str, str]
    width: int = 0
    unknown: tuple[str, ...] = ()

    def has(self, key: str) -> bool:
        """Whether there is a column for it."""
        return key in self.columns

    def text(self, row: Row, key: str) -> str:
        """What a row says of it; empty for nothing."""
        return row.text(self.columns[key]) if key in self.columns else ""


@dataclass(frozen=True, slots=True)
class _Match:
    """What the headings of one row mean."""

    row: Row
    columns: Mapping[str, tuple[int, ...]]
    units: Mapping[str, str]
    unknown: tuple[str, ...]


def split_heading(text: str) -> tuple[str, str]:
    """A heading without its unit, and the unit; `LOA [m]` gives `LOA` and `m`."""
    match = _WITH_UNIT.match(" ".join(text.split()))
    if match is None:
        return text, ""
    return match["name"], (match["unit"] or match["after"] or "").strip()


def _matched(row: Row, heads: Sequence[Head]) -> _Match:
    named = {name: head.key for head in heads for name in head.known_by()}
    columns: dict[str, tuple[int, ...]] = {}
    units: dict[str, str] = {}
    unknown: list[str] = []
    for column in sorted(row.cells):
        text = row.text(column)
        name, unit = split_heading(text)
        key = named.get(folded(text)) or named.get(folded(name))
        if key is None:
            unknown.append(text)
            continue
        columns[key] = (*columns.get(key, ()), column)
        if unit and named.get(folded(text)) is None:
            units[key] = unit
    return _Match(row, columns, units, tuple(unknown))


def best_score(sheet: Sheet, heads: Sequence[Head]) -> int:
    """How many of the things some row of a sheet names as headings."""
    found = (_matched(row, heads) for row in sheet.rows[:_LOOKED_AT])
    return max((len(one.columns) for one in found), default=0)


def table_of(draft: Draft, sheet: Sheet, heads: Sequence[Head]) -> Table | None:
    """The table of a sheet; None while something that is needed has to be asked."""
    match = _heads_row(draft, sheet, heads)
    if match is None:
        return None
    columns = _chosen(draft, sheet, match, heads)
    if any(head.needed and head.key not in columns for head in heads):
        return None
    body = [row for row in sheet.rows if row.number > match.row.number]
    again = [row for row in body if _is_same(row, match.row)]
    if again:
        draft.notice(
            draft.request.incoming.where(sheet, f"row {again[0].number}"),
            "The headings stand there again; that row was passed over.",
        )
    rows = tuple(row for row in body if row not in again)
    width = match.row.width or max(match.row.cells, default=0)
    return Table(sheet, rows, columns, match.units, width, match.unknown)


def say_merged(draft: Draft, table: Table, keys: Iterable[str]) -> None:
    """Tell of merged cells that hide answers: only the first of them holds one."""
    last = max((row.number for row in table.rows), default=0)
    columns = [table.columns[key] for key in keys if key in table.columns]
    for area in table.sheet.merged:
        hides_rows = area.last_row > area.first_row and any(
            area.first_column <= column <= area.last_column for column in columns
        )
        if hides_rows and area.first_row <= last:
            draft.notice(
                draft.request.incoming.where(table.sheet, area.words()),
                "These cells are merged, so what they say counts for the first row only.",
                "Split them where it is meant for every row.",
            )


def _is_same(row: Row, heads: Row) -> bool:
    said = {column: cell.text.strip() for column, cell in heads.cells.items()}
    return len(said) > 1 and all(row.text(column) == text for column, text in said.items())


def _heads_row(draft: Draft, sheet: Sheet, heads: Sequence[Head]) -> _Match | None:
    """The row of the headings: the one that was answered, or the first that names the most."""
    answered = draft.answer(HEADS_ROW)
    if answered.isdigit():
        row = next((one for one in sheet.rows if one.number == int(answered)), None)
        return _matched(row or Row(0, {}), heads)
    matches = [_matched(row, heads) for row in sheet.rows[:_LOOKED_AT]]
    best = max(matches, key=lambda one: len(one.columns), default=None)
    if best is not None and len(best.columns) >= min(2, len(heads)):
        return best
    draft.ask(
        Question(
            HEADS_ROW,
            "Which row holds the headings?",
            (
                *(
                    Choice(str(row.number), f"row {row.number}: {_sample(row.cells, row)}")
                    for row in sheet.rows[:_OFFERED_ROWS]
                ),
                Choice("0", "there are none"),
            ),
        )
    )
    return None


def _sample(columns: Iterable[int], row: Row) -> str:
    words = [row.text(column)[:24] for column in sorted(columns)]
    return " | ".join(word for word in words if word)[:80]


def _chosen(draft: Draft, sheet: Sheet, match: _Match, heads: Sequence[Head]) -> dict[str, int]:
    """One column for each thing: as answered, as found, or asked for."""
    made: dict[str, int] = {}
    for head in heads:
        found = match.columns.get(head.key, ())
        answered = draft.answer(f"column/{head.key}")
        if answered == _NO_COLUMN and not head.needed:
            continue
        if answered.isdigit():
            made[head.key] = int(answered)
        elif len(found) == 1:
            made[head.key] = found[0]
        elif found or head.needed:
            draft.ask(_which_column(sheet, match, head, found))
    return made


def _which_column(sheet: Sheet, match: _Match, head: Head, found: Sequence[int]) -> Question:
    body = [row for row in sheet.rows if row.number > match.row.number][:3]
    columns = found or sorted({column for row in (match.row, *body) for column in row.cells})
    choices = [
        Choice(str(column), f"{_name_of(match.row, column)}: {_down(body, column)}")
        for column in columns
    ]
    if not head.needed:
        choices.append(Choice(_NO_COLUMN, "none of them"))
    return Question(f"column/{head.key}", f"Which column holds {head.words}?", tuple(choices))


def _name_of(heads: Row, column: int) -> str:
    return heads.text(column) or f"column {column_letters(column)}"


def _down(rows: Sequence[Row], column: int) -> str:
    return ", ".join(row.text(column)[:20] or "–" for row in rows)
