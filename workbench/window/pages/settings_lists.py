"""Lists of records of the search's settings shown as rows: the records, and one edit per change."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Sequence
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QObject

from workbench.domain.problem import EntryError
from workbench.domain.project import Project
from workbench.edits.edit import Edit
from workbench.edits.searching import change_settings
from workbench.window.pages.settings_rows import RecordRows, Values
from workbench.window.said import said
from workbench.window.session import Session

R = TypeVar("R")


class ListOfRecords(QObject, Generic[R]):
    """Binds rows to one list of the settings.

    Parameters
    ----------
    name
        The field of the settings that holds the records.
    what
        What the undo command calls a change.
    to_values
        A record as the values of its row.
    changed
        A record with the value of one key changed.
    made
        A record from the values of a draft.
    """

    def __init__(
        self,
        session: Session,
        rows: RecordRows,
        name: str,
        what: str,
        *,
        to_values: Callable[[R], Values],
        changed: Callable[[R, str, object], R],
        made: Callable[[dict[str, Any], Sequence[R]], R],
    ) -> None:
        super().__init__(rows)
        self._session, self._rows = session, rows
        self._name, self._what = name, what
        self._to_values, self._changed, self._made = to_values, changed, made
        rows.changed.connect(self._on_changed)
        rows.added.connect(self._on_added)
        rows.removed.connect(self._on_removed)

    def records(self, project: Project | None = None) -> tuple[R, ...]:
        """The records as the search holds them."""
        found: tuple[R, ...] = getattr((project or self._session.project).settings, self._name)
        return found

    def refresh(self) -> None:
        """Show what the search holds."""
        self._rows.set_records([self._to_values(one) for one in self.records()])

    def _put(self, make: Callable[[tuple[R, ...]], tuple[R, ...]], merges: str = "") -> str:
        def edit(project: Project) -> Edit:
            made = change_settings(project, self._what, **{self._name: make(self.records(project))})
            return dataclasses.replace(made, merges=merges)

        return self._session.attempt(edit)

    def _on_changed(self, place: int, key: str, value: object) -> None:
        def make(records: tuple[R, ...]) -> tuple[R, ...]:
            new = self._changed(records[place], key, value)
            return (*records[:place], new, *records[place + 1 :])

        self._rows.say(place, self._put(make, f"{self._name}/{place}/{key}"))

    def _on_added(self, values: dict[str, Any]) -> None:
        try:
            record = self._made(values, self.records())
        except EntryError as error:
            self._rows.say_draft(said(str(error)))
            return
        before = self._rows.count()
        refused = self._put(lambda records: (*records, record))
        if refused:
            self._rows.say_draft(refused)
            return
        self._rows.draft_taken()
        if self._rows.count() == before:
            self.refresh()

    def _on_removed(self, place: int) -> None:
        self._put(lambda records: (*records[:place], *records[place + 1 :]))


def replaced(record: Any, key: str, value: object) -> Any:
    """A frozen record with one field changed."""
    return dataclasses.replace(record, **{key: value})


def free_id(stem: str, taken: set[str]) -> str:
    """An id of this stem that is not taken."""
    numbered = (f"{stem}-{number}" for number in range(1, 10_000))
    return next(one for one in numbered if one not in taken)
