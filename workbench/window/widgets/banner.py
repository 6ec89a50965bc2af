"""A message across a page: what is the matter, where, what to do, and one action."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_GROUPS, palette_of, qcolor


class BannerLevel(StrEnum):
    """How a message is meant."""

    INFO = "info"
    PROBLEM = "problem"


class Banner(QFrame):
    """One message; hidden while there is none.

    Signals
    -------
    action_requested()
        The action was pressed.
    dismissed()
        The user put the message away.
    """

    action_requested = Signal()
    dismissed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._level = BannerLevel.INFO
        self._what = label("", "strong", wrap=True)
        self._where = label("", "small", wrap=True)
        self._remedy = label("", wrap=True)
        self.action_button = button("")
        self.action_button.clicked.connect(self.action_requested)
        self.close_button = button(tr("Put away"), "quiet")
        self.close_button.clicked.connect(self._on_closed)
        words = QVBoxLayout()
        words.setSpacing(1)
        for part in (self._what, self._where, self._remedy):
            words.addWidget(part)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 8, 10, 8)
        row.setSpacing(SPACE_GROUPS)
        row.addLayout(words, 1)
        row.addWidget(self.action_button)
        row.addWidget(self.close_button)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self.hide()

    @property
    def level(self) -> BannerLevel:
        """How the message is meant."""
        return self._level

    def show_message(
        self,
        what: str,
        *,
        where: str = "",
        what_to_do: str = "",
        action: str = "",
        level: BannerLevel = BannerLevel.INFO,
        dismissable: bool = True,
    ) -> None:
        """Show a message in place of any other."""
        self._level = level
        for part, text in (
            (self._what, what),
            (self._where, where),
            (self._remedy, what_to_do),
        ):
            part.setText(text)
            part.setVisible(bool(text))
        self.action_button.setText(action)
        self.action_button.setVisible(bool(action))
        self.close_button.setVisible(dismissable)
        self.setAccessibleName(" ".join(part for part in (what, where, what_to_do) if part))
        self.show()
        self.update()

    def clear(self) -> None:
        """Take the message away without announcing it."""
        self.hide()

    def _on_closed(self) -> None:
        self.hide()
        self.dismissed.emit()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint ground and the bar that says the level."""
        palette = palette_of(self)
        problem = self._level is BannerLevel.PROBLEM
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setBrush(qcolor(palette.panel if problem else palette.selection))
            edge = palette.due if problem else palette.line
            painter.setPen(QPen(qcolor(edge), 1.0))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 3, 3)
            bar = palette.due if problem else palette.accent
            painter.fillRect(QRectF(0, 0, 4 if problem else 3, self.height()), qcolor(bar))
