"""The command line: the same reach as the window, for scripts and tests.

    python -m workbench new FOLDER [--name NAME] [--currency CODE] [--budget AMOUNT]
    python -m workbench check FOLDER
    python -m workbench totals FOLDER [--json]
    python -m workbench export FOLDER --out DIR [--boat ID] [--sheet NAME] [--paper a4|letter]
    python -m workbench import FOLDER FILE [--boat ID] [--answer KEY=VALUE ...] [--yes]
    python -m workbench pack FOLDER --out DIR [--with-private]
    python -m workbench unpack FILE FOLDER
    python -m workbench catalogue

`check`, `totals`, `export` and `import` take ``--language CODE``; without it they speak the
language that the surroundings ask for (LC_ALL, LC_MESSAGES, LANG), and English where that is none
of the program's.

Without a command the window opens: on a folder, on the last search, or with ``--sample`` on your
own copy of the search that comes with the program.

Exit codes: 0 done, 1 the project has problems (listed on standard error), 2 wrong use.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from workbench.catalogue.language import languages, languages_of_the_system, spoken_language
from workbench.domain.problem import EntryError, HardstandError, Problem, Severity
from workbench.domain.settings import Settings

if TYPE_CHECKING:
    from workbench.figures.assessment import Assessment, BoatAssessment, Total
    from workbench.reports.incoming.preview import Preview
    from workbench.store.folder import Opened


def run(arguments: Sequence[str]) -> int:
    """Do one command; the exit code is answered."""
    parser = _parser()
    try:
        given = parser.parse_args(arguments)
    except SystemExit as stopped:
        return 2 if stopped.code else 0
    try:
        result: int = given.do(given)
    except EntryError as error:
        print(error, file=sys.stderr)
        return 2
    except HardstandError as error:
        _say(error.problems)
        return 1
    return result


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m workbench",
        description="Look over older sailing boats, price the work, defend an offer. "
        "Without a command the window opens; --sample opens your own copy of the sample.",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    spoken = argparse.ArgumentParser(add_help=False)
    spoken.add_argument("--language", choices=languages(), default="", help="of checks and figures")
    new = commands.add_parser("new", help="begin a search in a new folder")
    new.add_argument("folder", type=Path)
    new.add_argument("--name", default="")
    new.add_argument("--currency", default="USD")
    new.add_argument("--budget", default="")
    new.set_defaults(do=_new)
    check = commands.add_parser("check", parents=[spoken], help="list what is wrong with a project")
    check.add_argument("folder", type=Path)
    check.set_defaults(do=_check)
    totals = commands.add_parser(
        "totals", parents=[spoken], help="deferred maintenance and offers, by boat"
    )
    totals.add_argument("folder", type=Path)
    totals.add_argument("--json", action="store_true")
    totals.set_defaults(do=_totals)
    export = commands.add_parser("export", parents=[spoken], help="write sheets")
    export.add_argument("folder", type=Path)
    export.add_argument("--out", type=Path, required=True)
    export.add_argument("--boat", default="", help="one boat by her id; every boat without")
    export.add_argument("--sheet", default="", help="one sheet by its name; every sheet without")
    export.add_argument("--paper", choices=("a4", "letter"), default="a4")
    export.set_defaults(do=_export)
    told = "bring in a filled form, a quote or a table"
    _add_import(commands.add_parser("import", parents=[spoken], help=told))
    pack = commands.add_parser("pack", help="write the whole search as one archive to hand on")
    pack.add_argument("folder", type=Path)
    pack.add_argument("--out", type=Path, required=True)
    pack.add_argument(
        "--with-private",
        action="store_true",
        help="budget, offers, private notes, people's names and photos as they came go along",
    )
    pack.set_defaults(do=_pack)
    unpack = commands.add_parser("unpack", help="unpack such an archive into a new folder")
    unpack.add_argument("file", type=Path)
    unpack.add_argument("folder", type=Path)
    unpack.set_defaults(do=_unpack)
    catalogue = commands.add_parser("catalogue", help="validate the shipped checks and prices")
    catalogue.set_defaults(do=_catalogue)
    return parser


def _add_import(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", type=Path)
    command.add_argument("file", type=Path)
    command.add_argument("--boat", default="", help="the boat it is for, where it names none")
    command.add_argument(
        "--answer",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        help="answer to a question that the preview asks",
    )
    command.add_argument(
        "--leave-out", action="store_true", help="take in the rest where cells cannot be read"
    )
    command.add_argument("--separator", default="", help="what divides the columns of a text table")
    command.add_argument("--yes", action="store_true", help="take it in and save; else only show")
    command.set_defaults(do=_import)


def _say(problems: Sequence[Problem]) -> None:
    for problem in problems:
        print(problem.sentence(), file=sys.stderr)


def _new(given: argparse.Namespace) -> int:
    from decimal import Decimal  # noqa: PLC0415 - each command loads what it needs

    from workbench.domain.money import decimals_of  # noqa: PLC0415
    from workbench.domain.written_numbers import parse_decimal  # noqa: PLC0415
    from workbench.store.folder import create_project  # noqa: PLC0415

    decimals_of(given.currency)
    budget: Decimal | None = parse_decimal(given.budget) if given.budget else None
    if budget is not None and budget < 0:
        raise EntryError("A budget cannot be negative.")
    settings = Settings(currency=given.currency, budget=budget, as_of=date.today())
    opened = create_project(given.folder, given.name or given.folder.name, settings)
    opened.folder.close()
    print(f"A new search lies in {given.folder}.")
    return 0


def _opened(folder: Path) -> Opened:
    from workbench.store.folder import open_project  # noqa: PLC0415

    opened = open_project(folder)
    opened.folder.close()
    return opened


def _language(given: argparse.Namespace) -> str:
    """The language that was asked for, or that the surroundings ask for."""
    return spoken_language(given.language, languages_of_the_system(os.environ))


def _assessed(opened: Opened, language: str) -> Assessment:
    from workbench.catalogue.loading import load  # noqa: PLC0415
    from workbench.figures.assess import assess  # noqa: PLC0415

    return assess(opened.project, load(language))


def _problems(opened: Opened, assessment: Assessment) -> tuple[Problem, ...]:
    of_boats = (problem for boat in assessment.boats.values() for problem in boat.problems)
    return (*opened.problems, *assessment.problems, *of_boats)


def _serious(problems: Sequence[Problem]) -> bool:
    return any(problem.severity is not Severity.NOTICE for problem in problems)


def _check(given: argparse.Namespace) -> int:
    opened = _opened(given.folder)
    assessment = _assessed(opened, _language(given))
    problems = _problems(opened, assessment)
    _say(problems)
    boats = len(opened.project.boats)
    print(f"{opened.project.name}: {boats} boats, {len(problems)} things to look at.")
    return 1 if _serious(problems) else 0


def _totals(given: argparse.Namespace) -> int:
    opened = _opened(given.folder)
    assessment = _assessed(opened, _language(given))
    problems = _problems(opened, assessment)
    if given.json:
        boats = [boat_totals(boat) for boat in assessment.boats.values()]
        print(json.dumps(boats, indent=1, ensure_ascii=False))
    else:
        _print_table(assessment)
    _say([problem for problem in problems if problem.severity is not Severity.NOTICE])
    return 1 if _serious(problems) else 0


def boat_totals(boat: BoatAssessment) -> dict[str, object]:
    """What `totals --json` prints for one boat; amounts are decimal strings."""
    offer = boat.offer
    return {
        "id": boat.id,
        "name": boat.candidate.boat.name,
        "currency": boat.currency,
        "asking_price": _text(boat.asking),
        "deferred_maintenance": _total(boat.deferred),
        "allowance": _total(boat.allowance),
        "cost_to_ready": _total(boat.cost_to_ready),
        "claim": _text(boat.claim.total),
        "offer": {
            "opening": _text(offer.opening),
            "target": _text(offer.target),
            "walk_away": _text(offer.walk_away),
        },
        "grades": {grade.value: count for grade, count in boat.coverage.grades.items()},
        "checks_looked_at": boat.coverage.looked,
        "checks_not_looked_at": boat.coverage.checks - boat.coverage.looked,
        "not_priced": boat.coverage.unpriced,
    }


def _text(amount: object) -> str | None:
    return None if amount is None else str(amount)


def _total(total: Total) -> dict[str, str]:
    return {"mean": str(total.mean), "p50": str(total.p50), "p80": str(total.p80)}


def _print_table(assessment: Assessment) -> None:
    from workbench.figures.frames import totals_frame  # noqa: PLC0415

    print(
        f"{'boat':<22}{'asking':>12}{'deferred':>12}{'share':>8}{'allowance':>12}"
        f"{'to ready':>12}{'looked at':>12}"
    )
    for name, row in totals_frame(assessment).to_dict("index").items():
        share, asking = row["deferred_share"], row["asking"]
        shown_share = "" if share is None else f"{share:.0%}"
        shown_asking = "" if asking is None else f"{asking:,.2f}"
        looked = f"{row['looked']} of {row['checks']}"
        print(
            f"{name!s:<22}{shown_asking:>12}{row['deferred']:>12,.2f}{shown_share:>8}"
            f"{row['allowance']:>12,.2f}{row['cost_to_ready']:>12,.2f}{looked:>12}"
        )


def _export(given: argparse.Namespace) -> int:
    from workbench.reports.export import SHEETS, export_sheets  # noqa: PLC0415
    from workbench.reports.handing_out import before_offer  # noqa: PLC0415

    if given.sheet and given.sheet not in SHEETS:
        raise EntryError(f"There is no sheet “{given.sheet}”. There are: {', '.join(SHEETS)}.")
    opened = _opened(given.folder)
    if given.boat and given.boat not in opened.project.boats:
        known = ", ".join(opened.project.boats) or "none"
        raise EntryError(f"There is no boat “{given.boat}”. There are: {known}.")
    assessment = _assessed(opened, _language(given))
    sheets = [given.sheet] if given.sheet else list(SHEETS)
    boats = [given.boat] if given.boat else list(opened.project.boats)
    made = export_sheets(assessment, given.folder, given.out, sheets, boats, given.paper)
    for path in made:
        print(path)
    if "offer" in sheets:
        for boat_id in boats:
            _say(before_offer(assessment.boats[boat_id], assessment.catalogue, date.today()))
    _say([one for one in _problems(opened, assessment) if one.severity is not Severity.NOTICE])
    return 0


def _pack(given: argparse.Namespace) -> int:
    from workbench.reports.search_archive import write_archive  # noqa: PLC0415 - as above

    opened = _opened(given.folder)
    made = write_archive(opened.project, given.folder, given.out, with_private=given.with_private)
    print(made.path)
    _say([*(one for one in opened.problems if one.severity is not Severity.NOTICE), *made.problems])
    return 0


def _unpack(given: argparse.Namespace) -> int:
    from workbench.reports.archive_opening import unpack_search  # noqa: PLC0415 - as above

    made = unpack_search(given.file, given.folder)
    _say(made.problems)
    print(f"The search lies in {made.place}.")
    return 0


def _import(given: argparse.Namespace) -> int:
    from workbench.edits.edit import apply  # noqa: PLC0415 - each command loads what it needs
    from workbench.store.attachments import add_document  # noqa: PLC0415
    from workbench.store.folder import open_project, save_project  # noqa: PLC0415

    opened = open_project(given.folder)
    try:
        preview = _preview_of_import(given, opened)
        _print_preview(preview)
        edit = preview.edit
        if edit is not None and given.yes:
            for one in preview.kept:
                add_document(opened.folder, one.boat, one.data, one.name)
            project, _ = apply(opened.project, edit)
            report = save_project(opened.folder, project, opened.project)
            _say(report.problems)
            if not report.complete:
                return 1
            print("Taken in and saved.")
        elif edit is not None:
            print("Nothing was changed. Say --yes to take it in.")
    finally:
        opened.folder.close()
    return 1 if preview.questions or (preview.faults and edit is None) else 0


def _preview_of_import(given: argparse.Namespace, opened: Opened) -> Preview:
    from workbench.catalogue.loading import load, with_overrides  # noqa: PLC0415
    from workbench.reports.incoming.importing import preview_of  # noqa: PLC0415
    from workbench.reports.incoming.preview import LEAVE_OUT, Request  # noqa: PLC0415
    from workbench.reports.incoming.reading import read_file  # noqa: PLC0415

    project = opened.project
    if given.boat and given.boat not in project.boats:
        known = ", ".join(project.boats) or "none"
        raise EntryError(f"There is no boat “{given.boat}”. There are: {known}.")
    answers: dict[str, str] = {LEAVE_OUT: "yes"} if given.leave_out else {}
    for one in given.answer:
        key, sign, value = one.partition("=")
        if not sign:
            raise EntryError(f"“{one}” is no answer. Write it as KEY=VALUE.")
        answers[key.strip()] = value
    incoming = read_file(given.file, separator=given.separator)
    catalogue = with_overrides(load(_language(given)), project.overrides).catalogue
    return preview_of(Request(incoming, project, catalogue, date.today(), answers, given.boat))


def _print_preview(preview: Preview) -> None:
    print(preview.summary())
    for words in preview.read_as:
        print(f"  {words}")
    for change in preview.changes:
        place = f"  [{change.at}]" if change.at else ""
        print(f"  {change.sentence()}{place}")
    _say(preview.problems)
    for question in preview.questions:
        print(f"{question.text} Answer with --answer {question.key}=…", file=sys.stderr)
        for choice in question.choices:
            print(f"  {question.key}={choice.value}: {choice.words}", file=sys.stderr)


def _catalogue(_given: argparse.Namespace) -> int:
    from workbench.catalogue.check_files import main  # noqa: PLC0415

    return main([])
