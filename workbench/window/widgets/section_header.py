"""The head of a group: its title, a quiet count or sum at the right, one quiet action."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import figure, hairline, label
from workbench.window.widgets.surroundings import SPACE_RELATED, SPACE_TIGHT


class SectionHeader(QWidget):
    """Title, quiet words at the right, and a link, above a hairline.

    Signals
    -------
    action_requested()
        The link was followed.
    """

    action_requested = Signal()

    def __init__(
        self,
        title: str,
        *,
        beside: str = "",
        action: str = "",
        ruled: bool = True,
        large: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._title = label(title, "heading" if large else "strong")
        self._beside = figure(beside, "quiet")
        self._action = button(action, "link")
        self._action.clicked.connect(self.action_requested)
        row = QHBoxLayout()
        row.setSpacing(SPACE_RELATED)
        row.addWidget(self._title)
        row.addStretch(1)
        row.addWidget(self._beside)
        row.addWidget(self._action)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addLayout(row)
        if ruled:
            column.addWidget(hairline())
        self.set_title(title)
        self.set_beside(beside)
        self.set_action(action)

    def set_title(self, title: str) -> None:
        """Change the title."""
        self._title.setText(title)
        self.setAccessibleName(title)

    def set_beside(self, words: str) -> None:
        """Change the quiet words at the right."""
        self._beside.setText(words)
        self._beside.setVisible(bool(words))

    def set_action(self, words: str) -> None:
        """Change the link; '' takes it away."""
        self._action.setText(words)
        self._action.setVisible(bool(words))
