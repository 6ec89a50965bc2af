"""Several work lines at once: leave them out, count them again, do them oneself or put them off."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from PySide6.QtWidgets import QComboBox, QVBoxLayout, QWidget

from workbench.domain.ledger import LineChange
from workbench.domain.vocabulary import When
from workbench.edits.several import change_lines
from workbench.window import formatting
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT


class ChosenLines(QWidget):
    """What can be done with all lines that are chosen; each deed is one step to undo."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.keys: tuple[str, ...] = ()
        self.about = label("", "strong")
        self.leave_out = button(
            tr("Leave out"),
            tip=tr("The lines stay and count nothing until you take this back."),
        )
        self.count = button(tr("Count again"), tip=tr("Count lines that were left out."))
        self.own_work = button(
            tr("Own work"), tip=tr("Your own hours at your own rate, where an owner may do it.")
        )
        self.yard = button(tr("Yard's work"), tip=tr("The yard's hours at the yard's rate."))
        self.when = QComboBox()
        self.when.setAccessibleName(tr("When they are done"))
        self.when.setToolTip(tr("When they are done"))
        self.when.setPlaceholderText(tr("When …"))
        for one in When:
            self.when.addItem(formatting.when_word(one), one)
        self.when.setCurrentIndex(-1)
        row = FlowLayout(spacing=SPACE_RELATED)
        for part in (self.leave_out, self.count, self.own_work, self.yard, self.when):
            row.addWidget(part)
        column = QVBoxLayout(self)
        column.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        column.setSpacing(SPACE_TIGHT)
        column.addWidget(self.about)
        column.addLayout(row)
        self._connect()
        self.hide()

    def _connect(self) -> None:
        deeds: tuple[tuple[QWidget, dict[str, object]], ...] = (
            (self.leave_out, {"left_out": True}),
            (self.count, {"left_out": False}),
            (self.own_work, {"own_work": True}),
            (self.yard, {"own_work": False}),
        )
        for part, fields in deeds:
            part.clicked.connect(lambda _=False, fields=fields: self._do(fields))  # type: ignore[attr-defined]
        self.when.activated.connect(self._put_off)

    def show_keys(self, keys: tuple[str, ...]) -> None:
        """Show what can be done with these lines; nothing for fewer than two."""
        self.keys = keys
        self.about.setText(tr("{n} lines chosen").format(n=len(keys)))
        self.setVisible(len(keys) > 1)

    def _put_off(self) -> None:
        self._do({"when": self.when.currentData()})
        self.when.setCurrentIndex(-1)

    def _do(self, fields: dict[str, object]) -> None:
        boat_id, keys = self._session.boat_id, self.keys
        change: Callable[[LineChange], LineChange] = lambda held: dataclasses.replace(  # noqa: E731
            held,
            **fields,  # type: ignore[arg-type]
        )
        self._session.attempt(lambda project: change_lines(project, boat_id, keys, change))
