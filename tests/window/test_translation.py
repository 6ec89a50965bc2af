"""The window speaks the language that is chosen, or the system's, and English for the rest."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QLocale, QSettings, QTranslator
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from workbench.domain.vocabulary import Grade, When
from workbench.paths import ResourceError
from workbench.window import formatting, translation
from workbench.window.plank import grade_word
from workbench.window.texts import CONTEXT, marked, tr
from workbench.window.translation import TableTranslator, texts_of
from workbench.window.widgets.boat_silhouette import KEELS, RIGS, RUDDERS, BoatSketch


@pytest.fixture
def settings(tmp_path: Path) -> QSettings:
    """Preferences of their own."""
    return QSettings(str(tmp_path / "window.ini"), QSettings.Format.IniFormat)


@pytest.fixture
def application(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> Iterator[QCoreApplication]:
    """The application, which has forgotten the language and the way of figures afterwards."""
    before, installed = QLocale(), []
    install = qapp.installTranslator

    def remember(one: QTranslator) -> bool:
        installed.append(one)
        return install(one)

    monkeypatch.setattr(qapp, "installTranslator", remember, raising=False)
    yield qapp
    for one in installed:
        qapp.removeTranslator(one)
    QLocale.setDefault(before)


def test_a_text_without_translation_is_shown_in_english(application: QCoreApplication) -> None:
    table = TableTranslator({"Boat": "Boot", "Price": ""}, application)
    application.installTranslator(table)

    assert tr("Boat") == "Boot"
    assert tr("Price") == "Price"
    assert tr("Nobody has written this") == "Nobody has written this"


def test_texts_of_the_toolkit_are_left_to_it(application: QCoreApplication) -> None:
    application.installTranslator(TableTranslator({"Open": "Öffnen"}, application))

    assert QCoreApplication.translate(CONTEXT, "Open") == "Öffnen"
    assert QCoreApplication.translate("SomeDialog", "Open") == "Open"


def test_a_marked_text_stays_as_it_is_until_it_is_shown(application: QCoreApplication) -> None:
    word = marked("Boat")
    application.installTranslator(TableTranslator({"Boat": "Boot"}, application))

    assert word == "Boat"
    assert tr(word) == "Boot"


def test_in_english_no_table_is_read(
    application: QCoreApplication, settings: QSettings, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.setValue(translation.PREFERENCE, "en")
    monkeypatch.setattr(translation, "texts_of", pytest.fail)

    assert translation.speak(application, settings) == "en"
    assert tr("Boat") == "Boat"


def test_a_language_that_was_chosen_also_writes_the_figures(
    application: QCoreApplication, settings: QSettings
) -> None:
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    settings.setValue(translation.PREFERENCE, "de")

    assert translation.speak(application, settings) == "de"
    assert tr("Boat") == "Boot"
    assert formatting.whole(12345) == "12.345"


def test_a_way_of_figures_of_the_same_language_is_kept(
    application: QCoreApplication, settings: QSettings
) -> None:
    QLocale.setDefault(QLocale(QLocale.Language.German, QLocale.Country.Switzerland))
    settings.setValue(translation.PREFERENCE, "de")
    translation.speak(application, settings)

    assert QLocale().territory() is QLocale.Country.Switzerland


def test_the_grades_keep_the_words_of_the_glossary(
    application: QCoreApplication, settings: QSettings
) -> None:
    settings.setValue(translation.PREFERENCE, "de")
    translation.speak(application, settings)
    words = {
        Grade.SOUND: "in Ordnung",
        Grade.WORN: "verschlissen",
        Grade.DUE: "fällig",
        Grade.UNSAFE: "unsicher",
        Grade.UNSEEN: "nicht gesehen",
        Grade.ABSENT: "nicht vorhanden",
    }

    assert {grade: formatting.grade_word(grade) for grade in Grade} == words
    assert {grade: grade_word(grade.value) for grade in Grade} == words


def test_every_sketch_of_a_boat_has_words(
    application: QCoreApplication, settings: QSettings
) -> None:
    known = texts_of("de")
    settings.setValue(translation.PREFERENCE, "de")
    translation.speak(application, settings)

    assert set(RIGS) | {f"{keel} keel" for keel in KEELS} <= set(known)
    assert {f"{rudder} rudder" for rudder in RUDDERS} <= set(known)
    assert BoatSketch("ketch", "long", "spade").words() == "Ketsch, Langkiel, Spatenruder"


def test_a_language_nobody_wrote_is_refused() -> None:
    with pytest.raises(ResourceError, match=r"de\.json"):
        texts_of("xx")


def test_the_menu_keeps_the_choice_and_says_what_stays_english(
    qtbot: QtBot, settings: QSettings
) -> None:
    menu = QMenu()
    qtbot.addWidget(menu)
    made = translation.add_language_menu(menu, settings)
    named = {action.text(): action for action in made.actions()}

    assert named["As the system"].isChecked()
    assert not named["Sheets are in English."].isEnabled()

    named["Deutsch"].trigger()

    assert settings.value(translation.PREFERENCE) == "de"
    assert named["Deutsch"].isChecked()
    assert not named["As the system"].isChecked()


def test_only_the_first_letter_becomes_small_within_a_sentence(
    application: QCoreApplication, settings: QSettings
) -> None:
    settings.setValue(translation.PREFERENCE, "de")
    translation.speak(application, settings)

    words = formatting.when_word(When.BEFORE_LAUNCHING)

    assert formatting.in_a_sentence(words) == "vor dem Zuwasserlassen"
    assert formatting.in_a_sentence("") == ""
