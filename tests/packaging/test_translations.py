"""Texts are found by reading the source, and every one has a translation that keeps its parts."""

from __future__ import annotations

from pathlib import Path

import pytest
import translations
from translations import (
    faults_of,
    language_of,
    placeholders,
    report_of,
    report_of_catalogue,
    said_by,
    texts_in,
    texts_of_the_catalogue,
    texts_of_the_drawings,
    updated,
)

from tests.catalogue.shelf import catalogue

TABLES = sorted(translations.TABLES.glob("*.json"))


def source(folder: Path, text: str) -> Path:
    """A folder with one module of source."""
    (folder / "page.py").write_text(text, encoding="utf-8")
    return folder


def test_texts_are_found_in_calls_choices_and_tables(tmp_path: Path) -> None:
    found = texts_in(
        source(
            tmp_path,
            'a = tr("one")\nb = tr("two" if x else "three")\nWORDS = (marked("four"),)\n'
            'c = tr(WORDS[0])\nd = tr("five " "and six")\n',
        )
    )

    assert list(found.texts) == ["one", "two", "three", "four", "five and six"]
    assert found.texts["four"] == "page.py:3"
    assert found.unusable == ()


@pytest.mark.parametrize("use", ['tr(f"{n} boats")', 'tr("a" + b)', 'tr("{n}".format(n=1))'])
def test_a_text_that_is_put_together_is_reported(tmp_path: Path, use: str) -> None:
    assert len(texts_in(source(tmp_path, f"a = {use}\n")).unusable) == 1


def test_a_lost_placeholder_and_a_lost_space_are_faults() -> None:
    assert faults_of("{n} boats", "{n} Boote") == ()
    assert faults_of("{n} boats", "Boote") == ("other placeholders",)
    assert faults_of("{n} of {all}", "{n} von {n}") == ("other placeholders",)
    assert faults_of(" and more", "und mehr") == ("other spaces at the start",)
    assert faults_of("{n} boats", "") == ()


def test_placeholders_are_counted_as_often_as_they_stand() -> None:
    assert placeholders("{a} to {b}, {a}") == ["a", "a", "b"]


def test_a_report_names_what_is_missing_and_what_is_unused() -> None:
    report = report_of({"one": "x:1", "two": "x:2"}, {"one": "eins", "two": "", "old": "alt"})

    assert report.missing == ("two",)
    assert report.unused == ("old",)


def test_an_update_keeps_what_is_translated_and_drops_what_nothing_uses() -> None:
    table = updated({"one": "x:1", "two": "x:2"}, {"one": "eins", "old": "alt"})

    assert table == {"one": "eins", "two": ""}


def test_a_table_is_written_sorted_and_read_back(tmp_path: Path) -> None:
    file = tmp_path / "de.json"
    translations.write_table(file, {"b": "Böe", "a": "Anker"})

    assert translations.read_table(file) == {"a": "Anker", "b": "Böe"}
    assert file.read_text(encoding="utf-8").index("Anker") < file.read_text(encoding="utf-8").index(
        "Böe"
    )


def test_no_text_of_the_window_is_put_together_before_it_is_translated() -> None:
    assert texts_in(translations.WINDOW).unusable == ()


def test_german_is_there() -> None:
    assert "de" in [file.stem for file in TABLES]


@pytest.mark.parametrize("file", TABLES, ids=lambda file: file.stem)
def test_every_translation_keeps_placeholders_and_outer_spaces(file: Path) -> None:
    assert report_of({}, translations.read_table(file)).faulty == ()


@pytest.mark.parametrize("file", TABLES, ids=lambda file: file.stem)
def test_every_text_of_the_window_is_translated(file: Path) -> None:
    report = report_of(texts_in(translations.WINDOW).texts, translations.read_table(file))

    assert (report.missing, report.unused) == ((), ())


def test_what_figures_say_is_found_in_calls_of_a_wording(tmp_path: Path) -> None:
    found = texts_in(
        source(
            tmp_path,
            'a = wording.say("one {n}", n=1)\nb = self.wording.one_or_many(n, "two", "{n} three")\n'
            'c = catalogue.wording.say(WORDS[0])\nd = page.say("not this")\ne = marked("four")\n'
            'f = self._wording.say(f"{n} boats")\n',
        )
    )

    assert list(found.texts) == ["one {n}", "two", "{n} three", "four"]
    assert len(found.unusable) == 1


def test_every_text_of_the_catalogue_that_people_read_is_asked_for() -> None:
    asked = texts_of_the_catalogue()

    for check in catalogue().checks.values():
        assert {check.title, check.part, *check.steps, check.handover.who} <= set(asked)
    assert {one.title for one in catalogue().prices.items.values()} <= set(asked)
    assert {"published", "before-launching", "ISO 9093:2020"}.isdisjoint(asked)


def test_a_text_that_two_parts_translate_is_a_fault() -> None:
    parts = {"deck": {"Hatch": "Luke"}, "keel": {"Hatch": "Luk"}}

    assert report_of_catalogue({"Hatch": "x"}, parts).faulty == ("'Hatch': again in keel",)


def test_parts_of_the_catalogue_are_looked_at_together() -> None:
    report = report_of_catalogue(
        {"Hatch": "x", "Bolt": "x"}, {"deck": {"Hatch\n": "Luke\n"}, "keel": {"Leg": "Bein"}}
    )

    assert (report.missing, report.unused, report.faulty) == (("Bolt",), ("Leg",), ())


@pytest.mark.parametrize("part", translations.SAID_BY)
def test_nothing_that_is_said_is_put_together_before_it_is_translated(part: str) -> None:
    assert said_by(part).unusable == ()


@pytest.mark.parametrize("file", TABLES, ids=lambda file: file.stem)
@pytest.mark.parametrize("part", translations.SAID_BY)
def test_everything_that_figures_and_sheets_say_is_translated(file: Path, part: str) -> None:
    report = report_of(said_by(part).texts, language_of(file).said.get(part, {}))

    assert (report.missing, report.unused, report.faulty) == ((), (), ())


def test_every_text_of_a_drawing_that_holds_a_letter_is_found_once(tmp_path: Path) -> None:
    (tmp_path / "play.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg"><title>Play</title><desc>Lift the\n  shaft.</desc>'
        '<g><text x="1">feel &amp; listen</text><text>10</text><text>Play</text></g></svg>',
        encoding="utf-8",
    )

    assert texts_of_the_drawings(tmp_path) == dict.fromkeys(
        ("Play", "Lift the shaft.", "feel & listen"), "play.svg"
    )


@pytest.mark.parametrize("file", TABLES, ids=lambda file: file.stem)
def test_everything_that_stands_in_the_drawings_is_translated(file: Path) -> None:
    language = language_of(file)
    report = report_of(texts_of_the_drawings(), language.drawn)

    assert (report.missing, report.unused, report.faulty) == ((), (), ())
    assert translations.DRAWN not in language.catalogue


@pytest.mark.parametrize("file", TABLES, ids=lambda file: file.stem)
def test_the_whole_catalogue_is_translated(file: Path) -> None:
    report = report_of_catalogue(texts_of_the_catalogue(), language_of(file).catalogue)

    assert (report.missing, report.unused, report.faulty) == ((), (), ())
