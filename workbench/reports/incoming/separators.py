"""What divides the columns of a text table: found out, shown, and said otherwise by a person.

    request = divided(request)            the table read with the separator that was answered
    asked = separator_question(request)   None for other files

The separator that fits best is taken, and can be changed where the preview is looked at. Where
another fits as well nothing can be taken in before a person has said which it is.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

from .csv_text import SEPARATORS, read_csv
from .preview import Choice, Question, Request

SEPARATOR = "separator"
NAMES: Mapping[str, str] = {"semicolon": ";", "tab": "\t", "bar": "|", "comma": ","}
"""The answers; a tab could not be written on a command line."""


def divided(request: Request) -> Request:
    """The request with its text table read by the separator that was answered.

    Raises
    ------
    HardstandError
        When the table cannot be read with it.
    """
    incoming = request.incoming
    mark = NAMES.get(request.answers.get(SEPARATOR, "").strip(), "")
    if incoming.kind != "csv" or not mark or (mark == incoming.separator and not incoming.may_be):
        return request
    again = read_csv(incoming.name, incoming.data, _never, mark)
    return dataclasses.replace(request, incoming=again)


def separator_question(request: Request) -> Question | None:
    """What to ask or to offer about the separator of a text table."""
    incoming = request.incoming
    if incoming.kind != "csv":
        return None
    now = next((name for name, mark in NAMES.items() if mark == incoming.separator), "")
    if not now:
        return None  # one that the file itself states and no other program writes
    choices = tuple(Choice(name, SEPARATORS[mark]) for name, mark in NAMES.items())
    text = "What divides the columns?"
    return Question(SEPARATOR, text, choices, "" if incoming.may_be else now)


def _never() -> None:
    """A table that was read before is read again at once."""
