"""What a file is, and what it would change: `preview_of(request)` answers a preview.

    incoming = read_file(path)
    preview = preview_of(Request(incoming, project, catalogue, today))
    if preview.edit is not None:
        project, _ = apply(project, preview.edit)

A form says of itself what it is; a table is told by its headings. What is left open is asked.
"""

from __future__ import annotations

import dataclasses

from . import row_names as names
from .boat_tables import boat_heads, preview_of_boats
from .cells import Sheet
from .comparable_tables import COMPARABLE_HEADS, preview_of_comparables
from .field_forms import preview_of_form
from .headings import best_score
from .preview import Choice, Draft, Preview, Question, Request
from .quotes import preview_of_quote
from .separators import divided, separator_question

SHEET, KIND, BOAT = "sheet", "kind", "boat"
FORM, QUOTE, BOATS, COMPARABLES = "form", "quote", "boats", "comparables"
KIND_WORDS = {
    FORM: "a field form",
    QUOTE: "a quote",
    BOATS: "a table of boats",
    COMPARABLES: "a table of boats sold or advertised, as price anchors",
}
_TITLE = "File"


def preview_of(request: Request) -> Preview:
    """What a file would change; with questions where it leaves something open."""
    request = divided(request)
    found = _preview_of(request)
    asked = separator_question(request)
    if asked is None:
        return found
    if asked.now:
        return dataclasses.replace(found, offers=(asked, *found.offers))
    return dataclasses.replace(found, questions=(asked, *found.questions), edit=None, kept=())


def _preview_of(request: Request) -> Preview:
    draft = Draft(request, _TITLE)
    sheet = _chosen_sheet(draft)
    if sheet is None:
        return draft.preview("")
    kind = _chosen_kind(draft, sheet)
    if kind in (BOATS, COMPARABLES):
        of_table = preview_of_boats if kind == BOATS else preview_of_comparables
        return of_table(request, sheet)
    boat = _chosen_boat(draft, sheet) if kind else ""
    if not boat:
        return draft.preview("")
    of_form = preview_of_form if kind == FORM else preview_of_quote
    return of_form(request, sheet, boat)


def _texts(sheet: Sheet, column_limit: int = 12) -> list[str]:
    return [
        cell.text.strip()
        for row in sheet.rows
        for column, cell in row.cells.items()
        if column <= column_limit and "/" in cell.text
    ]


def _stated(sheet: Sheet) -> tuple[str, str]:
    """The kind and the boat that a sheet says of itself; empty where it says nothing."""
    for text in _texts(sheet):
        for kind, start in ((FORM, names.READINGS), (QUOTE, names.QUOTE)):
            boat = names.boat_of(text, start)
            if boat is not None:
                return kind, boat
    return "", ""


def _told_by_rows(sheet: Sheet, request: Request) -> str:
    """The kind that the names of rows tell, where the row that says so is gone."""
    texts = set(_texts(sheet))
    if texts & set(names.QUOTE_HEADS):
        return QUOTE
    pairs = (names.check_and_entry(text) for text in texts)
    known = any(pair is not None and pair[0] in request.catalogue.checks for pair in pairs)
    return FORM if known or texts & {names.BY, names.DATE} else ""


def _told(sheet: Sheet, request: Request) -> str:
    """The kind of a sheet; empty when it cannot be told."""
    stated = _stated(sheet)[0] or _told_by_rows(sheet, request)
    if stated:
        return stated
    boats = best_score(sheet, boat_heads(request.catalogue, sheet))
    comparables = best_score(sheet, COMPARABLE_HEADS)
    if max(boats, comparables) < 2:
        return ""
    if boats != comparables:
        return BOATS if boats > comparables else COMPARABLES
    return ""


def _chosen_sheet(draft: Draft) -> Sheet | None:
    """The one sheet that can be meant, or the one that was answered."""
    incoming = draft.request.incoming
    filled = [sheet for sheet in incoming.sheets if sheet.rows]
    if not filled:
        where = incoming.name
        draft.problem(
            where, "There is nothing in it: 0 rows.", "Look whether it is the right file."
        )
        return None
    answered = draft.answer(SHEET)
    named = next((sheet for sheet in filled if sheet.name == answered), None)
    if named is not None:
        return named
    told = [sheet for sheet in filled if not sheet.hidden and _told(sheet, draft.request)]
    if len(told) == 1:
        return told[0]
    if len(filled) == 1 and not filled[0].hidden:
        return filled[0]
    draft.ask(
        Question(
            SHEET,
            "Which sheet is to come in?",
            tuple(Choice(sheet.name, _sheet_words(sheet)) for sheet in filled),
        )
    )
    return None


def _sheet_words(sheet: Sheet) -> str:
    hidden = ", hidden" if sheet.hidden else ""
    return f"{sheet.name} ({len(sheet.rows):,} rows{hidden})"


def _chosen_kind(draft: Draft, sheet: Sheet) -> str:
    answered = draft.answer(KIND)
    kind = answered if answered in KIND_WORDS else _told(sheet, draft.request)
    if not kind:
        draft.ask(
            Question(
                KIND,
                "What does it hold?",
                tuple(Choice(value, words) for value, words in KIND_WORDS.items()),
            )
        )
    return kind


def _chosen_boat(draft: Draft, sheet: Sheet) -> str:
    """The boat of a form: the one answered or wanted, or the one the form names."""
    boats = draft.request.project.boats
    stated = _stated(sheet)[1]
    wanted = draft.answer(BOAT) or draft.request.boat
    if wanted in boats:
        if stated and stated != wanted:
            draft.notice(draft.request.incoming.name, f"The form was made for “{stated}”.")
        return wanted
    if stated in boats:
        return stated
    words = f"The form is for “{stated}”, who is not in this search." if stated else ""
    draft.ask(
        Question(
            BOAT,
            f"{words} Which boat is it for?".strip(),
            tuple(Choice(boat_id, one.boat.name) for boat_id, one in boats.items()),
        )
    )
    return ""
