"""The inspection as a tree: systems and their checks, with grade, reading and progress."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from workbench.catalogue.model import Check
from workbench.domain.vocabulary import Grade, worst
from workbench.figures.assessment import BoatAssessment
from workbench.figures.findings import Finding, shown_reading
from workbench.window import formatting
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.row_delegate import ROW_ROLE, RowParts

Index = QModelIndex | QPersistentModelIndex
ID_ROLE = int(Qt.ItemDataRole.UserRole) + 2
_NOWHERE = QModelIndex()
_TOP = 0xFFFFFFFF


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


@dataclass(frozen=True, slots=True)
class _System:
    id: str
    row: RowParts
    checks: tuple[tuple[str, RowParts], ...]


def filter_words(kind: Filter) -> str:
    """The words for a filter."""
    return {
        Filter.ALL: tr("all"),
        Filter.UNSEEN: tr("unseen"),
        Filter.WORRYING: tr("worrying"),
        Filter.MEASURED: tr("measured"),
        Filter.ASHORE: tr("ashore"),
    }[kind]


class InspectionTreeModel(QAbstractItemModel):
    """Systems at the top, checks below; of the boat that is looked at.

    Roles: DisplayRole the title, `ROW_ROLE` the painted row, `ID_ROLE` the id of the check (empty
    for a system), AccessibleTextRole the row in words.
    """

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._filter = Filter.ALL
        self._search = ""
        self._systems: list[_System] = []
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
        """Take over the figures with the smallest change."""
        figures = self._session.boat
        systems = self._read(figures) if figures is not None else []
        if [_shape(one) for one in systems] != [_shape(one) for one in self._systems]:
            self.beginResetModel()
            self._systems = systems
            self.endResetModel()
            return
        before, self._systems = self._systems, systems
        for row, (old, new) in enumerate(zip(before, systems, strict=True)):
            if old == new:
                continue
            parent = self.index(row, 0)
            self.dataChanged.emit(parent, parent)
            for place, (was, now) in enumerate(zip(old.checks, new.checks, strict=True)):
                if was != now:
                    changed = self.index(place, 0, parent)
                    self.dataChanged.emit(changed, changed)

    def _read(self, figures: BoatAssessment) -> list[_System]:
        by_system: dict[str, list[Finding]] = {}
        for finding in figures.findings:
            by_system.setdefault(finding.check.system, []).append(finding)
        systems: list[_System] = []
        for system in self._session.catalogue.systems.values():
            findings = by_system.get(system.id, [])
            shown = [one for one in findings if self._is_wanted(one)]
            if shown:
                systems.append(_system(system.id, system.title, findings, shown))
        return systems

    def _is_wanted(self, finding: Finding) -> bool:
        if not _WANTED[self._filter](finding):
            return False
        words = f"{finding.check.title} {finding.check.part}".casefold()
        return self._search in words

    # --- The tree ---

    def index(self, row: int, column: int, parent: Index = _NOWHERE) -> QModelIndex:
        """The index of a system, or of a check below its system."""
        if column != 0 or row < 0:
            return QModelIndex()
        if not parent.isValid():
            known = row < len(self._systems)
            return self.createIndex(row, 0, _TOP) if known else QModelIndex()
        if parent.internalId() != _TOP:
            return QModelIndex()
        if row >= len(self._systems[parent.row()].checks):
            return QModelIndex()
        return self.createIndex(row, 0, parent.row())

    def parent(self, index: Index = _NOWHERE) -> QModelIndex:  # type: ignore[override]
        """The system of a check."""
        if not index.isValid() or index.internalId() == _TOP:
            return QModelIndex()
        return self.createIndex(index.internalId(), 0, _TOP)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many systems, or checks of a system."""
        if not parent.isValid():
            return len(self._systems)
        if parent.internalId() == _TOP and parent.column() == 0:
            return len(self._systems[parent.row()].checks)
        return 0

    def columnCount(self, _parent: Index = _NOWHERE) -> int:
        """One column: the delegate paints the whole row."""
        return 1

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one row shows."""
        if not index.isValid():
            return None
        check_id, parts = self._row(index)
        if role == ROW_ROLE:
            return parts
        if role == ID_ROLE:
            return check_id
        if role == Qt.ItemDataRole.DisplayRole:
            return parts.title
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return parts.spoken()
        return None

    def _row(self, index: Index) -> tuple[str, RowParts]:
        if index.internalId() == _TOP:
            return "", self._systems[index.row()].row
        return self._systems[index.internalId()].checks[index.row()]

    # --- Finding one's way ---

    def index_of(self, check_id: str) -> QModelIndex:
        """The index of a check; invalid when it is not shown."""
        for row, system in enumerate(self._systems):
            for place, (name, _) in enumerate(system.checks):
                if name == check_id:
                    return self.index(place, 0, self.index(row, 0))
        return QModelIndex()

    def shown_checks(self) -> list[str]:
        """The ids of the checks shown, in order."""
        return [name for system in self._systems for name, _ in system.checks]


def _shape(system: _System) -> tuple[str, tuple[str, ...]]:
    return system.id, tuple(name for name, _ in system.checks)


def _system(system_id: str, title: str, findings: list[Finding], shown: list[Finding]) -> _System:
    looked = sum(1 for finding in findings if finding.looked)
    grade = worst([finding.grade for finding in findings])
    beside = tr("{looked} of {all}").format(looked=looked, all=len(findings))
    row = RowParts(title, grade=grade.value, beside=beside, strong=True)
    return _System(system_id, row, tuple((one.check.id, _check_row(one)) for one in shown))


def _check_row(finding: Finding) -> RowParts:
    return RowParts(
        finding.check.title,
        grade=finding.grade.value,
        beside=_beside(finding.check, finding),
        quiet=finding.grade is Grade.ABSENT,
    )


def _beside(check: Check, finding: Finding) -> str:
    if finding.overruling is not None and finding.grade is not Grade.ABSENT:
        return tr("overruled")
    if finding.counting is not None:
        return shown_reading(check, finding.counting.reading)
    if finding.reason_unseen:
        return finding.reason_unseen
    if finding.grade is Grade.UNSEEN and finding.evidence.steps:
        return tr("suspected")
    return formatting.grade_word(finding.grade) if finding.grade is Grade.ABSENT else ""
