"""Every sentence the window shows goes through `tr`, so that a translation has one doorway.

    tr("Add a boat")                                  a text where it is shown
    tr("{n} boats").format(n=7)                       figures go in after the translation
    WORDS = ("fin keel", ...); tr(WORDS[0])           a table: its texts are wrapped in `marked`

The English text is the key. A text that stands in a table, read before a language is chosen, is
wrapped in `marked`, which returns it unchanged and lets the list of texts find it; `tr` then takes
the variable. A formatted string never goes into `tr`: its parts would be no key.
"""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication

CONTEXT = "Hardstand"


def tr(text: str, context: str = CONTEXT) -> str:
    """Return the text in the language of the window; the text itself where none is loaded."""
    return QCoreApplication.translate(context, text)


def marked(text: str) -> str:
    """Return the text unchanged; it is translated later, by the `tr` that shows it."""
    return text
