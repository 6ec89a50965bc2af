"""Buttons by role, and the bar of pages with the current one underlined."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QButtonGroup, QPushButton, QSizePolicy, QWidget

from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.surroundings import SPACE_GROUPS, set_role


def button(text: str, role: str = "", *, tip: str = "") -> QPushButton:
    """Make a button; `role` is '' (ordinary), 'primary', 'quiet' or 'link'.

    A page has one primary button.
    """
    made = QPushButton(text)
    if role:
        set_role(made, role)
    made.setToolTip(tip)
    if role == "link":
        made.setCursor(Qt.CursorShape.PointingHandCursor)
    return made


class NavBar(QWidget):
    """The pages of the window side by side; the current one is underlined.

    Where the width ends, as with large text, they go on in the next line.

    Signals
    -------
    page_chosen(key)
        The user went to a page.
    """

    page_chosen = Signal(object)

    def __init__(self, pages: Sequence[tuple[str, str]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._buttons: dict[str, QPushButton] = {}
        self._group = QButtonGroup(self)
        row = FlowLayout(self, spacing=SPACE_GROUPS)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        for key, title in pages:
            made = button(title, "nav")
            made.setCheckable(True)
            made.installEventFilter(self)
            made.clicked.connect(lambda _checked=False, key=key: self.page_chosen.emit(key))
            self._group.addButton(made)
            self._buttons[key] = made
            row.addWidget(made)
        if pages:
            self.set_current(pages[0][0])

    def current(self) -> str:
        """Key of the page underlined."""
        return next((key for key, made in self._buttons.items() if made.isChecked()), "")

    def set_current(self, key: str) -> None:
        """Underline a page without announcing it."""
        self._buttons[key].setChecked(True)
        if any(made.hasFocus() for made in self._buttons.values()):
            # Two pages that look chosen, one by its line and one by its focus, would confuse.
            self._buttons[key].setFocus(Qt.FocusReason.OtherFocusReason)

    def clear_current(self) -> None:
        """Underline no page, for one that the bar does not name."""
        self._group.setExclusive(False)
        for made in self._buttons.values():
            made.setChecked(False)
        self._group.setExclusive(True)

    def set_title(self, key: str, title: str) -> None:
        """Change the words of a page's button."""
        self._buttons[key].setText(title)

    def set_page_enabled(self, key: str, *, enabled: bool, why: str = "") -> None:
        """Let a page be reached or not; the tooltip says why not."""
        self._buttons[key].setEnabled(enabled)
        self._buttons[key].setToolTip("" if enabled else why)

    def button_of(self, key: str) -> QPushButton:
        """Return the button of a page."""
        return self._buttons[key]

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Move between pages with the arrow keys."""
        steps = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            step = steps.get(Qt.Key(event.key()))
            if step is not None and isinstance(watched, QPushButton):
                self._step(watched, step)
                return True
        return super().eventFilter(watched, event)

    def _step(self, start: QPushButton, step: int) -> None:
        order = [made for made in self._buttons.values() if made.isEnabled()]
        target = order[(order.index(start) + step) % len(order)]
        target.setFocus(Qt.FocusReason.TabFocusReason)
        target.click()
