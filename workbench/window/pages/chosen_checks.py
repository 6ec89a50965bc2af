"""Several checks at once: not seen, with the reason, or not fitted."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from workbench.domain.inspection import Reading
from workbench.domain.vocabulary import Sight
from workbench.edits.several import record_readings
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT


class ChosenChecks(QWidget):
    """What can be said of all checks that are chosen; each saying is one step to undo."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.keys: tuple[str, ...] = ()
        self.about = label("", "strong", wrap=True)
        self.reason = QLineEdit()
        self.reason.setAccessibleName(tr("Why they could not be seen"))
        self.reason.setPlaceholderText(tr("Why they could not be seen"))
        self.reason.setToolTip(tr("Return says of all of them that they were not seen."))
        self.not_seen = button(
            tr("Not seen"), tip=tr("Looked for and could not be seen; write why above")
        )
        self.not_fitted = button(tr("Not fitted"), tip=tr("She has none of this"))
        row = FlowLayout(spacing=SPACE_RELATED)
        row.addWidget(self.not_seen)
        row.addWidget(self.not_fitted)
        column = QVBoxLayout(self)
        column.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_RELATED, SPACE_RELATED)
        column.setSpacing(SPACE_TIGHT)
        column.addWidget(self.about)
        column.addWidget(self.reason)
        column.addLayout(row)
        self.reason.returnPressed.connect(self._on_not_seen)
        self.not_seen.clicked.connect(self._on_not_seen)
        self.not_fitted.clicked.connect(lambda: self._say(Sight.NOT_FITTED, ""))
        self.hide()

    def show_keys(self, keys: tuple[str, ...]) -> None:
        """Show what can be said of these checks; nothing for fewer than two."""
        self.keys = keys
        self.about.setText(tr("{n} checks chosen").format(n=len(keys)))
        self.setVisible(len(keys) > 1)

    def _on_not_seen(self) -> None:
        reason = self.reason.text().strip() or tr("could not be seen")
        self._say(Sight.NOT_SEEN, reason)

    def _say(self, sight: Sight, reason: str) -> None:
        boat_id = self._session.boat_id
        said = Reading(
            "",
            sight=sight,
            reason=reason,
            taken=self._session.today(),
            by=self._session.observer,
        )
        readings = dict.fromkeys(self.keys, said)
        self._session.attempt(lambda project: record_readings(project, boat_id, readings))
        self.reason.clear()
