"""Every sentence the window shows goes through `tr`, so that a translation has one doorway."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication


def tr(text: str, context: str = "Hardstand") -> str:
    """Return the text in the language of the window; the text itself where none is loaded."""
    return QCoreApplication.translate(context, text)
