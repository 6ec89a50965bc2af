"""A workbook (.xlsx, .xlsm) read as sheets of cells: data only, nothing run, nothing followed.

Macros, links to other files and queries are listed and left alone. The parts follow ECMA-376,
part 1 (workbook 18.2, shared strings 18.4, styles 18.8) and part 2 (relations), cited from memory.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterator
from xml.etree.ElementTree import Element, ParseError

from workbench.domain.problem import Problem, Severity

from .cells import LARGEST_TEXT, MOST_SHEETS, Incoming, Sheet, refused
from .packages import Package
from .text_values import clean
from .xlsx_cells import (
    Budget,
    DeclaresTypeError,
    Surroundings,
    parse_xml,
    read_cells,
    rich_text,
)
from .xlsx_styles import Look, local, looks_of

_MOST_STRINGS = 250_000
_MACROS = "xl/vbaProject"
_LEFT_ALONE = (
    (_MACROS, "It holds macros. They were not run and are not kept."),
    ("xl/externalLinks/", "It is linked to other files. The links were not followed."),
    ("xl/connections", "It asks a database or a web page. Nothing was asked."),
    ("xl/queryTables/", "It asks a database or a web page. Nothing was asked."),
)


def read_xlsx(name: str, data: bytes, stop: Callable[[], None]) -> Incoming:
    """The sheets of a workbook.

    Raises
    ------
    HardstandError
        When it is damaged, passes a limit, or holds what could harm.
    """
    package = Package(name, data, stop)
    try:
        sheets = _Workbook(name, package, stop).sheets()
    except DeclaresTypeError as error:
        raise refused(
            name,
            "It declares a document type or entities, as no spreadsheet program does.",
            "Do not open it. Ask the sender for a plain workbook.",
        ) from error
    except ParseError as error:
        raise refused(
            name, "A part of it cannot be read.", "Save it again in a spreadsheet program."
        ) from error
    macros = any(part.startswith(_MACROS) for part in package.names())
    notices = tuple(_left_alone(name, package))
    return Incoming(name, "xlsx", sheets, notices=notices, data=b"" if macros else data)


def _left_alone(name: str, package: Package) -> Iterator[Problem]:
    said = dict.fromkeys(
        words
        for start, words in _LEFT_ALONE
        if any(part.startswith(start) for part in package.names())
    )
    for words in said:
        yield Problem(name, words, severity=Severity.NOTICE)


class _Workbook:
    """The parts of a workbook and how they hang together."""

    def __init__(self, name: str, package: Package, stop: Callable[[], None]) -> None:
        self._name, self._package, self._stop = name, package, stop
        self._part = self._main_part()
        self._relations = self._relations_of(self._part)

    def _main_part(self) -> str:
        for kind, target in self._relations_of("").values():
            if kind.endswith("/officeDocument") and target in self._package:
                return target
        return "xl/workbook.xml"

    def _relations_of(self, part: str) -> dict[str, tuple[str, str]]:
        """Kind and target of every relation of a part, by its id; outside targets left out."""
        folder, _, file = part.rpartition("/")
        data = self._package.read(posixpath.join(folder, "_rels", f"{file}.rels"))
        made: dict[str, tuple[str, str]] = {}
        for one in self._elements(data, "Relationship"):
            if one.get("TargetMode") != "External":
                target = one.get("Target", "")
                whole = target[1:] if target.startswith("/") else posixpath.join(folder, target)
                made[one.get("Id", "")] = (one.get("Type", ""), posixpath.normpath(whole))
        return made

    def _elements(self, data: bytes, name: str) -> Iterator[Element]:
        if not data:
            return
        for event, element in parse_xml(data):
            if event == "end" and local(element) == name:
                self._stop()
                yield element

    def _target(self, kind: str) -> bytes:
        for one, target in self._relations.values():
            if one.endswith(f"/{kind}"):
                return self._package.read(target)
        return b""

    def sheets(self) -> tuple[Sheet, ...]:
        """Every sheet of cells, hidden ones too."""
        listed = list(self._elements(self._package.read(self._part), "sheet"))
        if len(listed) > MOST_SHEETS:
            raise refused(
                self._name,
                f"It has {len(listed):,} sheets; {MOST_SHEETS} is the limit.",
                "Keep only the sheet that is to come in, and save it again.",
            )
        around = Surroundings(self._strings(), self._looks(), self._is_from_1904())
        budget = Budget(self._name, self._stop)
        made = [sheet for one in listed if (sheet := self._sheet(one, around, budget))]
        if not made:
            raise refused(
                self._name,
                "There is no sheet with cells in it.",
                "Look whether it is the right file.",
            )
        return tuple(made)

    def _sheet(self, listed: Element, around: Surroundings, budget: Budget) -> Sheet | None:
        relation = next((v for k, v in listed.attrib.items() if k.endswith("}id")), "")
        kind, target = self._relations.get(relation, ("", ""))
        if not kind.endswith("/worksheet") or target not in self._package:
            return None
        name = clean(listed.get("name", ""))[:31]
        held = read_cells(self._package.read(target), around, budget, name)
        hidden = listed.get("state", "visible") != "visible"
        return Sheet(name, tuple(held.rows), hidden, tuple(held.merged))

    def _strings(self) -> list[str]:
        made: list[str] = []
        for element in self._elements(self._target("sharedStrings"), "si"):
            made.append(rich_text(element)[: LARGEST_TEXT + 1])
            element.clear()
            if len(made) > _MOST_STRINGS:
                raise refused(
                    self._name,
                    f"It has more than {_MOST_STRINGS:,} different texts.",
                    "Keep only the sheet that is to come in, and save it again.",
                )
        return made

    def _looks(self) -> tuple[Look, ...]:
        return next(
            (looks_of(root) for root in self._elements(self._target("styles"), "styleSheet")), ()
        )

    def _is_from_1904(self) -> bool:
        found = self._elements(self._package.read(self._part), "workbookPr")
        return any(one.get("date1904") in ("1", "true") for one in found)
