"""Labels by role, and lines that carry their buddies: the plain words of every page."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QLabel, QSizePolicy, QWidget

from workbench.window.widgets.surroundings import set_role


def label(text: str = "", role: str = "", *, wrap: bool = False) -> QLabel:
    """Make a label of a role: 'title', 'heading', 'strong', 'small', 'quiet', 'problem', 'figure'.

    Text is shown as it is: what a user typed is never read as markup.
    """
    made = QLabel(text)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setWordWrap(wrap)
    if wrap:
        made.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    if role:
        set_role(made, role)
    return made


def figure(text: str = "", role: str = "strong") -> QLabel:
    """Make a label for a figure: right-aligned, so that digits stand under digits."""
    made = label(text, role)
    made.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    return made


def surface(kind: str, parent: QWidget | None = None) -> QFrame:
    """Make a ground to lay things on: 'page', 'panel', 'card', 'foot' or 'nav'."""
    made = QFrame(parent)
    made.setProperty("surface", kind)
    return made


def hairline(parent: QWidget | None = None) -> QFrame:
    """Make a horizontal hairline, for where space alone does not part two things."""
    return surface("rule", parent)
