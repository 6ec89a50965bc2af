"""Sentences of the layers below are said in the language of the window, figures and all."""

from __future__ import annotations

import ast
import string
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from workbench.domain.problem import EntryError
from workbench.domain.written_numbers import parse_decimal
from workbench.window.said import LABELS, SENTENCES, edit_words, said
from workbench.window.translation import TableTranslator, texts_of

LOWER = ("domain", "edits", "store", "figures", "reports")
NAMES = "abcdefgh"


@pytest.fixture
def german(qapp: QApplication) -> Iterator[None]:
    """German texts for one test."""
    table = TableTranslator(texts_of("de"), qapp)
    qapp.installTranslator(table)
    yield
    qapp.removeTranslator(table)


def pattern_of(node: ast.AST) -> str:
    """A text of the source as a pattern, each value put in named by its place; '' for no text."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if not isinstance(node, ast.JoinedStr):
        return ""
    names = iter(NAMES)
    parts = (
        part.value if isinstance(part, ast.Constant) else f"{{{next(names, 'z')}}}"
        for part in node.values
    )
    return "".join(str(part) for part in parts)


def lower_texts() -> set[str]:
    """Every text of the layers below as a pattern."""
    root = Path(__file__).resolve().parents[2] / "workbench"
    return {
        pattern_of(node)
        for layer in LOWER
        for file in (root / layer).glob("*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
    }


def test_no_pattern_outlives_its_sentence() -> None:
    known = lower_texts()

    assert [one for one in (*SENTENCES, *LABELS) if one not in known] == []


def test_patterns_name_their_parts_in_order() -> None:
    for pattern in (*SENTENCES, *LABELS):
        names = [name for _, name, _, _ in string.Formatter().parse(pattern) if name is not None]
        assert names == list(NAMES[: len(names)])


def test_in_english_a_sentence_stays_as_it_is(qapp: QApplication) -> None:
    assert said("“x” is not a number.") == "“x” is not a number."
    assert edit_words("Remove Marigold") == "Remove Marigold"


@pytest.mark.usefixtures("german")
def test_what_a_field_refuses_is_said_in_german() -> None:
    with pytest.raises(EntryError) as refused:
        parse_decimal("abc", ",")

    assert said(str(refused.value)) == "„abc“ ist keine Zahl. Eine wie 12,5 oder 1/32 schreiben."


@pytest.mark.usefixtures("german")
def test_figures_are_put_into_the_translation() -> None:
    assert said("Low (5) is above likely (3). Lower it.") == (
        "Niedrig (5) liegt über wahrscheinlich (3). Senken."
    )


@pytest.mark.usefixtures("german")
def test_a_part_that_has_a_translation_is_translated_too() -> None:
    assert said("“x” is not a length. Write it in mm.") == (
        "„x“ passt nicht zur Größe (Länge). In mm schreiben."
    )


@pytest.mark.usefixtures("german")
def test_the_nearest_pattern_names_an_edit() -> None:
    assert edit_words("Remove reading of Cutless") == "Ablesung entfernen: Cutless"
    assert edit_words("Remove Marigold") == "Marigold entfernen"


@pytest.mark.usefixtures("german")
def test_a_sentence_that_nobody_listed_is_shown_in_english() -> None:
    assert said("The tide waits for no one.") == "The tide waits for no one."
