"""Which language the window speaks, and the table that gives its texts in it.

English is the language of the source and needs no table. Every other language is one file,
`resources/translations/<code>.json`: the English text is the key, its translation the value. The
file is read only when its language is spoken. A key whose value is empty, or a text without a key,
is shown in English.

The preference `language` holds a code, or is empty for the language of the system. What is chosen
counts from the next start, because pages keep the words they were made with. The checks and what
the figures say of them are loaded in the same language with the catalogue.
"""

from __future__ import annotations

import json

from PySide6.QtCore import (
    QCoreApplication,
    QLibraryInfo,
    QLocale,
    QObject,
    QSettings,
    QTranslator,
)
from PySide6.QtGui import QActionGroup
from PySide6.QtWidgets import QMenu

from workbench.catalogue.language import ENGLISH, FOLDER, languages, spoken_language
from workbench.paths import resource
from workbench.window.texts import CONTEXT, tr

PREFERENCE = "language"
OWN_NAMES = {"en": "English", "de": "Deutsch"}
"""Each language by the name it has for itself, which is never translated."""


class TableTranslator(QTranslator):
    """Gives the window's texts from a table; the toolkit's own texts are left to the toolkit."""

    def __init__(self, texts: dict[str, str], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._texts = texts

    def isEmpty(self) -> bool:
        """Whether it has no text at all."""
        return not self._texts

    def translate(
        self,
        context: str,
        sourceText: str,  # noqa: N803 - the toolkit's name
        disambiguation: str | None = None,
        n: int = -1,
    ) -> str:
        """The translation; none where the table has none, so that the English text is shown."""
        del disambiguation, n
        found = self._texts.get(sourceText, "") if context == CONTEXT else ""
        # An empty text would be shown as one; only None says that there is no translation.
        return found or None  # type: ignore[return-value]


def texts_of(language: str) -> dict[str, str]:
    """English texts and their translations; nothing for English itself.

    Raises
    ------
    ResourceError
        When there is no table of this language.
    """
    if language == ENGLISH:
        return {}
    table = json.loads(resource(f"{FOLDER}/{language}.json").read_text(encoding="utf-8"))
    return {str(key): str(value) for key, value in table.items()}


def speak(application: QCoreApplication, settings: QSettings) -> str:
    """Let the window speak the language that was chosen, or the system's; returns its code."""
    chosen = str(settings.value(PREFERENCE, ""))
    language = spoken_language(chosen, QLocale.system().uiLanguages())
    if chosen == language:
        _write_figures_in(language)
    if language == ENGLISH:
        return language
    toolkit = QTranslator(application)
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    if toolkit.load(f"qtbase_{language}", folder):
        application.installTranslator(toolkit)
    application.installTranslator(TableTranslator(texts_of(language), application))
    return language


def _write_figures_in(language: str) -> None:
    """Figures and dates in a chosen language; as the system writes them where it is the same."""
    wanted = QLocale(language).language()
    if QLocale().language() != wanted:
        QLocale.setDefault(QLocale(wanted, QLocale.system().territory()))


def add_language_menu(menu: QMenu, settings: QSettings) -> QMenu:
    """Add the choice of a language to a menu; it is kept for the next start."""
    made = menu.addMenu(tr("Language"))
    group = QActionGroup(made)
    kept = str(settings.value(PREFERENCE, ""))
    choices = [("", tr("As the system")), *((code, OWN_NAMES[code]) for code in languages())]
    for code, words in choices:
        action = made.addAction(words)
        action.setCheckable(True)
        action.setChecked(code == kept)
        group.addAction(action)
        action.triggered.connect(lambda _=False, code=code: settings.setValue(PREFERENCE, code))
    made.addSeparator()
    for note in (tr("Counts from the next start."), tr("Sheets are in English.")):
        made.addAction(note).setEnabled(False)
    return made
