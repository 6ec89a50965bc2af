"""The inspection as a tree: systems and their checks, with grade, reading and progress."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from workbench.domain.vocabulary import Grade, worst
from workbench.window import formatting
from workbench.window.models.two_levels import Entry, Group, TwoLevelModel
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.row_delegate import RowParts

if TYPE_CHECKING:
    from workbench.catalogue.model import Check
    from workbench.catalogue.wording import Wording
    from workbench.figures.assessment import BoatAssessment
    from workbench.figures.findings import Finding


class Filter(Enum):
    """Which checks are shown."""

    ALL = "all"
    UNSEEN = "unseen"
    WORRYING = "worrying"
    MEASURED = "measured"
    ASHORE = "ashore"


_WANTED: dict[Filter, Callable[[Finding], bool]] = {
    Filter.ALL: lambda _: True,
    Filter.UNSEEN: lambda finding: finding.grade is Grade.UNSEEN,
    Filter.WORRYING: lambda finding: (
        finding.grade.severity >= Grade.WORN.severity
        or (finding.grade is Grade.UNSEEN and len(finding.evidence.steps) > 0)
    ),
    Filter.MEASURED: lambda finding: any(
        rule.kind in ("bands", "age") for rule in finding.check.rules
    ),
    Filter.ASHORE: lambda finding: finding.check.looks != "afloat",
}


def filter_words(kind: Filter) -> str:
    """The words for a filter."""
    return {
        Filter.ALL: tr("all"),
        Filter.UNSEEN: tr("unseen"),
        Filter.WORRYING: tr("worrying"),
        Filter.MEASURED: tr("measured"),
        Filter.ASHORE: tr("ashore"),
    }[kind]


class InspectionTreeModel(TwoLevelModel):
    """Systems at the top, checks below; of the boat that is looked at.

    The key of an entry is the id of its check.
    """

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._filter = Filter.ALL
        self._search = ""
        self._made: dict[str, tuple[Finding, Entry]] = {}
        session.assessed.connect(self.refresh)
        session.boat_selected.connect(self.refresh)
        self.refresh()

    def set_filter(self, kind: Filter) -> None:
        """Show other checks."""
        self._filter = kind
        self.refresh()

    def set_search(self, text: str) -> None:
        """Show only checks whose title or part holds the text."""
        self._search = text.strip().casefold()
        self.refresh()

    def refresh(self) -> None:
        """Take over the figures of the boat that is looked at."""
        figures, last = self._session.boat, self._session.remembered
        if figures is not None:
            self.take(self._read(figures))
        else:
            self.take(last.tree if last is not None else ())

    def _read(self, figures: BoatAssessment) -> list[Group]:
        by_system: dict[str, list[Finding]] = {}
        for finding in figures.findings:
            by_system.setdefault(finding.check.system, []).append(finding)
        systems: list[Group] = []
        for system in self._session.catalogue.systems.values():
            findings = by_system.get(system.id, [])
            shown = [one for one in findings if self._is_wanted(one)]
            if shown:
                entries = tuple(self._entry(one) for one in shown)
                systems.append(Group(system.id, _head(system.title, findings), entries))
        return systems

    def _entry(self, finding: Finding) -> Entry:
        """The row of a finding; the very same one while the finding stays."""
        held = self._made.get(finding.check.id)
        if held is None or held[0] is not finding:
            held = (
                finding,
                Entry(finding.check.id, _check_row(finding, self._session.catalogue.wording)),
            )
            self._made[finding.check.id] = held
        return held[1]

    def _is_wanted(self, finding: Finding) -> bool:
        if not _WANTED[self._filter](finding):
            return False
        words = f"{finding.check.title} {finding.check.part}".casefold()
        return self._search in words


def _head(title: str, findings: list[Finding]) -> RowParts:
    looked = sum(1 for finding in findings if finding.looked)
    grade = worst([finding.grade for finding in findings])
    beside = tr("{looked} of {all}").format(looked=looked, all=len(findings))
    return RowParts(title, grade=grade.value, beside=beside, strong=True)


def _check_row(finding: Finding, wording: Wording) -> RowParts:
    return RowParts(
        finding.check.title,
        grade=finding.grade.value,
        beside=_beside(finding.check, finding, wording),
        quiet=finding.grade is Grade.ABSENT,
    )


def _beside(check: Check, finding: Finding, wording: Wording) -> str:
    from workbench.figures.findings import shown_reading  # noqa: PLC0415 - there with the finding

    if finding.overruling is not None and finding.grade is not Grade.ABSENT:
        return tr("overruled")
    if finding.counting is not None:
        return shown_reading(check, finding.counting.reading, wording)
    if finding.reason_unseen:
        return finding.reason_unseen
    if finding.grade is Grade.UNSEEN and finding.evidence.steps:
        return tr("suspected")
    return formatting.grade_word(finding.grade) if finding.grade is Grade.ABSENT else ""
