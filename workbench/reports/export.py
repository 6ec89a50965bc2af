"""Writing the sheets: what there is, and `export_sheets`, which writes the wanted ones.

    export_sheets(assessment, folder, out, ["offer"], ["marigold-rae"], "a4") -> [path]

Every sheet has a plain name. Sheets about one boat are written once for each wanted boat, the
others once. Names carry the day and never write over an older sheet; each file appears whole or not
at all. `progress` hears of every sheet before it is begun; when `stop` answers True the export ends
within a photo or a page, raises `Stopped`, and leaves no half file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import IO, TYPE_CHECKING

from workbench.domain.problem import EntryError
from workbench.domain.record import dataclass

from .sheet_language import for_sheets

if TYPE_CHECKING:
    from workbench.figures.assessment import Assessment

    from .document import Document
    from .photos import Shelf

PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of sheet.

    Attributes
    ----------
    title
        As it stands in a list and in the file's name, before the boat's.
    per_boat
        Written for each boat, or once for all.
    for_others
        Goes to somebody else, so it is built from a view of allowed fields.
    ending
        Of the file.
    """

    title: str
    per_boat: bool
    for_others: bool
    ending: str = "pdf"


SHEETS: dict[str, Sheet] = {
    "offer": Sheet("Offer support", per_boat=True, for_others=True),
    "comparison": Sheet("Comparison", per_boat=False, for_others=False),
    "surveyor-brief": Sheet("Brief for the surveyor", per_boat=True, for_others=True),
    "trade-briefs": Sheet("Briefs for the trades", per_boat=True, for_others=True),
    "yard-request": Sheet("Request for a quote", per_boat=True, for_others=True),
    "field-form": Sheet("Field form", per_boat=True, for_others=False),
    "field-form-fillable": Sheet("Field form for a screen", per_boat=True, for_others=False),
    "walk-list": Sheet("Walk list", per_boat=True, for_others=False),
    "photos": Sheet("Photos", per_boat=True, for_others=True),
    "season-list": Sheet("Work list", per_boat=True, for_others=False),
    "field-sheet": Sheet("Field form to fill in", True, for_others=False, ending="xlsx"),
    "yard-sheet": Sheet("Request for a quote, to fill in", True, True, ending="xlsx"),
    "workbook": Sheet("Workbook", per_boat=False, for_others=False, ending="xlsx"),
    "workbook-private": Sheet("Workbook with my offers and notes", False, False, ending="xlsx"),
}
"""Every sheet by its name, in the order in which they are offered."""


class Stopped(Exception):  # noqa: N818 - nothing went wrong: a person stopped it
    """Somebody stopped the export; `made` are the sheets that were finished before."""

    def __init__(self, made: list[Path]) -> None:
        super().__init__("The export was stopped.")
        self.made = made


@dataclass(frozen=True, slots=True)
class Progress:
    """How far an export is: sheets done, of how many, and which is being written."""

    done: int
    of: int
    sheet: str


@dataclass(frozen=True, slots=True)
class _Job:
    """One file to write."""

    name: str
    boats: tuple[str, ...]
    title: str
    who: str = ""


def export_sheets(
    assessment: Assessment,
    folder: Path | None,
    out: Path,
    sheets: Sequence[str],
    boats: Sequence[str],
    paper: str = "a4",
    *,
    on: date | None = None,
    progress: Callable[[Progress], None] = lambda progress: None,
    stop: Callable[[], bool] = lambda: False,
) -> list[Path]:
    """Write the wanted sheets into `out` and answer where they are.

    Parameters
    ----------
    folder
        The project folder, for its photos; None where there is none yet.
    on
        The day of the sheets; today when it is left out.

    Raises
    ------
    EntryError
        For a sheet, boat or paper that does not exist.
    Stopped
        When `stop` answered True.
    OSError
        When a file cannot be written.
    """
    _refuse_unknown(assessment, sheets, boats, paper)
    assessment = for_sheets(assessment)
    jobs = list(_jobs(assessment, sheets, boats))
    day = on or date.today()
    shelf = _shelf(folder)
    made: list[Path] = []
    for number, job in enumerate(jobs):
        if stop():
            raise Stopped(made)
        progress(Progress(number, len(jobs), job.title))
        try:
            made.append(_written(assessment, job, out, day, paper, shelf, stop))
        except _StoppedInside as inside:
            raise Stopped(made) from inside
    return made


class _StoppedInside(Exception):  # noqa: N818 - nothing went wrong
    """The stop was asked for while a sheet was being written."""


def _refuse_unknown(
    assessment: Assessment, sheets: Sequence[str], boats: Sequence[str], paper: str
) -> None:
    for name in sheets:
        if name not in SHEETS:
            raise EntryError(f"There is no sheet “{name}”. There are: {', '.join(SHEETS)}.")
    for boat in boats:
        if boat not in assessment.boats:
            known = ", ".join(assessment.boats) or "none"
            raise EntryError(f"There is no boat “{boat}”. There are: {known}.")
    if paper not in PAPERS:
        raise EntryError(f"There is no paper “{paper}”. There are: {', '.join(PAPERS)}.")


def _jobs(assessment: Assessment, sheets: Sequence[str], boats: Sequence[str]) -> Iterator[_Job]:
    for name in sheets:
        sheet = SHEETS[name]
        if not sheet.per_boat:
            if boats:
                yield _Job(name, tuple(boats), sheet.title)
            continue
        for boat in boats:
            called = assessment.boats[boat].candidate.boat.name
            if name == "trade-briefs":
                yield from _briefs(assessment, boat, called)
                continue
            yield _Job(name, (boat,), f"{sheet.title}, {called}")


def _briefs(assessment: Assessment, boat: str, called: str) -> Iterator[_Job]:
    """A brief of their own for each trade that has something to look at on a boat."""
    from .survey_view import trades_with_a_part  # noqa: PLC0415 - the list needs none of this

    for who in trades_with_a_part(assessment.boats[boat], assessment.catalogue):
        yield _Job("trade-briefs", (boat,), f"Brief for the {who}, {called}", who)


def count_files(assessment: Assessment, sheets: Sequence[str], boats: Sequence[str]) -> int:
    """How many files `export_sheets` would write."""
    known = [boat for boat in boats if boat in assessment.boats]
    return sum(1 for _ in _jobs(assessment, sheets, known))


def _shelf(folder: Path | None) -> Shelf:
    from .photos import NoPhotos  # noqa: PLC0415 - the list of sheets needs none of this
    from .shelf import FolderShelf  # noqa: PLC0415

    return NoPhotos() if folder is None else FolderShelf(folder)


def _written(
    assessment: Assessment,
    job: _Job,
    out: Path,
    day: date,
    paper: str,
    shelf: Shelf,
    stop: Callable[[], bool],
) -> Path:
    from .pdf import Hooks, write_pdf  # noqa: PLC0415 - the list of sheets needs none of this
    from .shelf import place_sheet  # noqa: PLC0415

    def stop_if_asked() -> None:
        if stop():
            raise _StoppedInside

    def write(target: IO[bytes]) -> None:
        stop_if_asked()
        if SHEETS[job.name].ending == "xlsx":
            _write_spreadsheet(assessment, job, day, paper, shelf, target)
            return
        document = _document(assessment, job, day, paper, shelf)
        write_pdf(document, target, paper, shelf, Hooks(stop_if_asked))

    return place_sheet(out, job.title, day, SHEETS[job.name].ending, write)


def _document(assessment: Assessment, job: _Job, day: date, paper: str, shelf: Shelf) -> Document:
    """The content of one sheet."""
    from . import sheet_builders  # noqa: PLC0415 - the list of sheets needs none of this

    return sheet_builders.BUILDERS[job.name](
        sheet_builders.Order(assessment, job.boats, day, paper, shelf, job.who)
    )


def _write_spreadsheet(
    assessment: Assessment, job: _Job, day: date, paper: str, shelf: Shelf, target: IO[bytes]
) -> None:
    """One spreadsheet, into an open file."""
    from . import sheet_builders, spreadsheet_builders  # noqa: PLC0415 - as above

    order = sheet_builders.Order(assessment, job.boats, day, paper, shelf, job.who)
    spreadsheet_builders.SPREADSHEETS[job.name](order, target)
