"""The request for a quote as a spreadsheet: a yard fills in prices, and it comes back as quotes.

    write_request(yard_view(boat, catalogue, day), boat_id, catalogue, target)

It is built from the same view as the printed request, so it names no estimate, no budget and
nobody's price. Work that must be done first stands once, at the start, however many jobs it serves.
The first, narrow column names the rows (`incoming.row_names`).
"""

from __future__ import annotations

from typing import IO

from workbench.catalogue.model import Catalogue
from workbench.domain.money import decimals_of

from .incoming import row_names as names
from .incoming.work_keys import without_lay_up, work_title
from .spreadsheet_sheet import FillIn
from .words import WHEN_WORDS, counted, day
from .yard_view import AccessJob, YardJob, YardView

_WIDTHS = (1.6, 6, 30, 36, 9, 36, 9, 12, 14, 10, 34)
_AT = {head: at for at, head in enumerate(names.QUOTE_COLUMNS)}
_WORDS = (
    "We may buy this boat and ask for your price for the work below, done at your yard.",
    "It is a request for a price, no order.",
    "Nothing is to be opened, moved or done on her yet: she is not ours, and her owner decides.",
    "Gas, mains electrics and structural work follow the local code and your own licences.",
    "What was found are notes of a buyer, no survey: your own judgement comes first.",
)
_ASKED = (
    (names.YARD, "Yard or trade", "Your name, as it should stand in our papers."),
    (names.QUOTED_ON, "Date of the quote", "As in 2026-05-31."),
    (names.VALID_UNTIL, "Holds until", "As in 2026-05-31."),
    (names.CURRENCY, "Currency", "Change it where your prices are in another."),
    (names.TAX, "Tax that comes on top, %", "Leave it empty where it is in your prices."),
    (names.HOUR, "Price of an hour", "Used where a row has hours and no price."),
)
_DAYS = (names.QUOTED_ON, names.VALID_UNTIL)
_HINTS = {
    names.HOURS: "Hours of work.",
    names.PARTS: "Parts and outside services.",
    names.PRICE: "For this row, all in. Leave it empty where you do not quote.",
    names.PRICED_WITH: "The number of the row in whose price this one is.",
}


def write_request(view: YardView, boat_id: str, catalogue: Catalogue, target: IO[bytes]) -> None:
    """Write the request for one boat."""
    book = FillIn(f"{view.boat}: request for a quote", view.on)
    book.begin("Quote", names.QUOTE_COLUMNS, _WIDTHS)
    writer = _Writer(book, view, catalogue)
    writer.head(boat_id)
    writer.work()
    book.write(target, writer.row, len(names.QUOTE_COLUMNS))


class _Writer:
    """Writes row after row of one request."""

    def __init__(self, book: FillIn, view: YardView, catalogue: Catalogue) -> None:
        self._book, self._view, self._catalogue = book, view, catalogue
        digits = decimals_of(view.currency)
        self._money = "#,##0" + ("." + "0" * digits if digits else "")
        self.row = 1

    def _put(self, head: str, text: str, look: str = "text") -> None:
        self._book.text(self.row, _AT[head], text, look)

    def head(self, boat_id: str) -> None:
        """Which boat, what is asked, and who answers."""
        view = self._view
        self._put(names.ROW, names.quote_request(boat_id), "name")
        self._put(names.JOB, view.boat, "title")
        lies = f", lying at {view.lies_at}" if view.lies_at else ""
        about = f"{view.words}{lies}. Request for a quote, {day(view.on)}."
        self.row += 1
        for words in (about, *_WORDS):
            self._put(names.JOB, words, "line")
            self.row += 1
        for label, words in view.particulars:
            self._put(names.JOB, label, "quiet")
            self._put(names.WORK, words)
            self._high_enough((names.WORK, words))
            self.row += 1
        for name, label, hint in _ASKED:
            self._ask(name, label, hint)

    def _high_enough(self, *said: tuple[str, str]) -> None:
        self._book.height(self.row, *((text, _WIDTHS[_AT[head]]) for head, text in said))

    def _ask(self, name: str, label: str, hint: str) -> None:
        at = _AT[names.PRICE]
        self._put(names.ROW, name, "name")
        self._put(names.JOB, label)
        self._put(names.SEEN, hint, "quiet")
        if name == names.CURRENCY:
            self._book.text(self.row, at, self._view.currency, "blank-text")
        elif name in _DAYS:
            self._book.blank(self.row, at, "blank-day")
            self._book.day(self.row, at, (label, hint))
        elif name == names.YARD:
            self._book.blank(self.row, at, "blank-text")
            self._book.hint(self.row, at, (label, hint))
        else:
            self._book.money_blank(self.row, at, "General" if name == names.TAX else self._money)
            most = 100 if name == names.TAX else 1e9
            self._book.limits(self.row, at, (0, most), (label, hint), "A number, 0 or more.")
        self.row += 1

    def work(self) -> None:
        """The work that must be done first, the jobs by group, and the sum."""
        first = self.row + 1
        if self._view.access:
            self._heading("To be done first: priced once, however many jobs it serves")
        for key, lay_ups in _each_task(self._view.access).items():
            self._access(key, lay_ups)
        for group in self._view.groups:
            self._heading(f"{group.title} ({WHEN_WORDS[group.when]})")
            for job in group.jobs:
                self._job(job)
        self._ask(
            names.ALL_WORK, "One price for all of it", "Only where you do not price the rows."
        )
        self._sum(first)

    def _heading(self, text: str) -> None:
        self._put(names.JOB, text, "station")
        self.row += 1

    def _access(self, key: str, lay_ups: list[AccessJob]) -> None:
        title = work_title(key, self._catalogue, ledger=None) or lay_ups[0].title
        serves = sum(one.serves for one in lay_ups)
        self._put(names.ROW, key, "name")
        self._put("No.", lay_ups[0].number)
        self._put(names.JOB, title)
        self._put(names.WORK, f"Serves {counted(serves, 'job')}.")
        self._put(names.HOW_MANY, "each time" if len(lay_ups) > 1 else "")
        self._high_enough((names.JOB, title))
        self._blanks()

    def _job(self, job: YardJob) -> None:
        self._put(names.ROW, job.key, "name")
        self._put("No.", job.number)
        self._put(names.JOB, job.title)
        self._put(names.WORK, job.work)
        self._put(names.HOW_MANY, job.how_many)
        grade = f"{job.grade.value}: " if job.grade is not None and job.seen else ""
        seen = f"{grade}{job.seen}"
        self._put(names.SEEN, seen)
        self._high_enough((names.JOB, job.title), (names.WORK, job.work), (names.SEEN, seen))
        self._blanks()

    def _blanks(self) -> None:
        for head, hint in _HINTS.items():
            at = _AT[head]
            if head == names.PRICED_WITH:
                self._book.blank(self.row, at, "blank-text")
                self._book.hint(self.row, at, (head, hint))
                continue
            pattern = "0.0#" if head == names.HOURS else self._money
            self._book.money_blank(self.row, at, pattern)
            self._book.limits(self.row, at, (0, 1e9), (head, hint), "A number, 0 or more.")
        self._book.blank(self.row, _AT[names.NOTES], "blank-text")
        self.row += 1

    def _sum(self, first: int) -> None:
        """The sum of the prices of the rows, live, for whoever fills in."""
        self._put(names.JOB, "Sum of the prices of the rows")
        column = chr(ord("A") + _AT[names.PRICE])
        last = self.row - 1  # the row before this one holds the one price for all of it
        formula = f"=SUM({column}{first}:{column}{last})"
        self._book.money_sum(self.row, _AT[names.PRICE], formula, self._money)
        self.row += 1


def _each_task(access: tuple[AccessJob, ...]) -> dict[str, list[AccessJob]]:
    """The lay-ups of each task, by the key a quote answers."""
    made: dict[str, list[AccessJob]] = {}
    for one in access:
        made.setdefault(without_lay_up(one.key), []).append(one)
    return made
