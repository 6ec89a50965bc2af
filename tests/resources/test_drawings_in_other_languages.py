"""Labels of the drawings fit in every language where the English ones stand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.resources.test_drawings import FILES, labels, root_of, text_faults

TRANSLATIONS = Path(__file__).parents[2] / "resources" / "translations"
TABLES = sorted(TRANSLATIONS.glob("*/drawings.json"))


def test_german_is_there() -> None:
    assert "de" in [table.parent.name for table in TABLES]


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.parent.name)
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_translated_label_stays_in_the_drawing_and_clear_of_others(
    path: Path, table: Path
) -> None:
    words: dict[str, str] = json.loads(table.read_text(encoding="utf-8"))
    root = root_of(path)
    for label in labels(root):
        label.text = words.get(label.text or "", label.text)

    assert text_faults(root) == []
