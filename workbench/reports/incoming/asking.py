"""What a file leaves open for all of its cells, asked once: decimal mark, order of days.

scales = Scales(draft, texts_of_numbers, texts_of_days)
scales.number(text)     # raises EntryError
scales.day(cell)
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from workbench.domain.problem import EntryError

from .cells import Cell, Holds
from .preview import Choice, Draft, Question
from .text_values import DAY_ORDER_WORDS, DAY_ORDERS, marks_of, parse_number, written_day

MARK, ORDER = "decimal-mark", "day-order"
_MARK_WORDS = {",": "a decimal comma", ".": "a decimal point"}


class Scales:
    """How the numbers and days of one file are read.

    Attributes
    ----------
    mark
        The decimal mark; empty where none is known or none matters.
    is_open
        Something was asked and is not answered, so no number or day can be trusted.
    """

    def __init__(
        self, draft: Draft, numbers: Iterable[Cell | None], days: Iterable[Cell | None]
    ) -> None:
        self._draft = draft
        self.is_open = False
        self.mark = self._settled_mark(_texts(numbers))
        self.order = self._settled_order(_texts(days))
        self._stored_as_text: list[str] = []

    def _settled_mark(self, texts: list[str]) -> str:
        asked = self._draft.answer(MARK)
        if asked not in _MARK_WORDS:
            asked = ""
        marks = marks_of(texts)
        settled = marks.settled(asked)
        if marks.open:
            self.is_open = self.is_open or (marks.must_be_asked and not asked)
            self._draft.ask(
                Question(
                    MARK,
                    f"What is the decimal mark in “{marks.open}”?",
                    tuple(
                        Choice(mark, f"{words}: {_shown(marks.open, mark)}")
                        for mark, words in _MARK_WORDS.items()
                    ),
                    settled,
                )
            )
        if settled and texts and (marks.open or "," in marks.seen):
            self._draft.read_as(f"Numbers written with {_MARK_WORDS[settled]}.")
        return settled

    def _settled_order(self, texts: list[str]) -> str:
        asked = self._draft.answer(ORDER)
        if asked in DAY_ORDERS:
            self._draft.read_as(f"Days written {DAY_ORDER_WORDS[asked]}.")
            return asked
        first = next((one for one in map(written_day, texts) if one.is_open), None)
        if first is not None:
            self.is_open = True
            self._draft.ask(
                Question(
                    ORDER,
                    f"Which day is “{first.text}”?",
                    tuple(
                        Choice(order, f"{on.isoformat()} ({DAY_ORDER_WORDS[order]})")
                        for order, on in first.by_order
                    ),
                )
            )
        return ""

    def number(self, cell: Cell) -> Decimal:
        """The number in a cell.

        Raises
        ------
        EntryError
            With a sentence for the cell, when there is none.
        """
        if cell.holds is Holds.NUMBER and cell.number is not None:
            return cell.number * 100 if cell.percent else cell.number
        if cell.holds is not Holds.TEXT:
            raise EntryError(not_a_number(cell))
        made = parse_number(cell.text, self.mark)
        self.note_stored_as_text(cell)
        return made

    def note_stored_as_text(self, cell: Cell) -> None:
        """Remember that a number was stored as text, to be said once."""
        if self._draft.request.incoming.kind == "xlsx":
            self._stored_as_text.append(cell.at)

    def say_stored_as_text(self, where: str) -> None:
        """Say once how many numbers were stored as text."""
        if self._stored_as_text:
            count = len(self._stored_as_text)
            words = (
                "One number is stored as text; it was read as a number."
                if count == 1
                else f"{count:,} numbers are stored as text; they were read as numbers."
            )
            self._draft.notice(f"{where}, cell {self._stored_as_text[0]}", words)

    def day(self, cell: Cell) -> date:
        """The day in a cell.

        Raises
        ------
        EntryError
            With a sentence for the cell, when there is none.
        """
        if cell.day is not None:
            return cell.day
        if cell.holds is Holds.TEXT:
            return self.day_in(cell.text)
        raise EntryError(f"“{cell.text}” is no day. Write it as in 2026-05-31.")

    def day_in(self, text: str) -> date:
        """The day that a text says.

        Raises
        ------
        EntryError
            When it is none.
        """
        written = written_day(text)
        on = written.on(self.order)
        if on is None:
            words = "can be several days" if written.is_open else "is no day"
            raise EntryError(f"“{text.strip()}” {words}. Write it as in 2026-05-31.")
        return on


def _texts(cells: Iterable[Cell | None]) -> list[str]:
    return [cell.text for cell in cells if cell is not None and cell.holds is Holds.TEXT]


def _shown(text: str, mark: str) -> str:
    number = "".join(sign for sign in text if sign.isdigit() or sign in ".,'’ +-")
    try:
        return f"{parse_number(number, mark):f}"
    except EntryError:
        return "not a number"


def not_a_number(cell: Cell) -> str:
    """What is wrong with a cell that holds no number."""
    if cell.holds is Holds.DAY:
        return (
            f"The spreadsheet made a day of it ({cell.text}). Write the number again, "
            "with an apostrophe before it where it is a fraction."
        )
    return f"“{cell.text}” is no number. Write one such as 12.5."
