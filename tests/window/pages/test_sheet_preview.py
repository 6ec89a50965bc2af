"""A written sheet in the preview: its pages drawn, turned, and told in words."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot
from reportlab.pdfgen.canvas import Canvas

from tests.window.pages.saved_search import Put
from workbench.window.background import Background
from workbench.window.pages.sheet_preview import SheetPreview, draw_page

A4 = (595.2756, 841.8898)
"""ISO 216: 210 x 297 mm, in points of 1/72 inch."""


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """A sheet of three pages."""
    file = tmp_path / "sheet.pdf"
    canvas = Canvas(str(file), pagesize=A4)
    for number in (1, 2, 3):
        canvas.drawString(72, 700, f"This is page {number}")
        canvas.showPage()
    canvas.save()
    return file


@pytest.fixture
def preview(put_up: Put) -> Iterator[SheetPreview]:
    background = Background()
    made = SheetPreview(background)
    made.resize(520, 700)
    put_up(made)
    yield made
    background.finish()


def shown(preview: SheetPreview, file: Path, qtbot: QtBot) -> None:
    with qtbot.waitSignal(preview.page_shown, timeout=20_000):
        preview.show_file(file, file.name)


def test_a_page_is_drawn_at_the_width_asked_for_and_keeps_its_proportions(sheet: Path) -> None:
    made = draw_page(sheet, 0, 420)

    assert made.of == 3
    assert abs(made.picture.width() - 420) <= 1
    assert abs(made.picture.height() / made.picture.width() - 297 / 210) < 0.01
    assert "This is page 1" in made.text


def test_a_page_past_the_end_is_the_last(sheet: Path) -> None:
    assert draw_page(sheet, 9, 100).number == 2


def test_what_is_no_sheet_is_an_error_and_no_crash(tmp_path: Path) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(b"%PDF-1.7 and then nothing")

    with pytest.raises(OSError, match=r".+"):
        draw_page(file, 0, 100)


def test_the_first_page_is_shown_and_read_out(
    preview: SheetPreview, sheet: Path, qtbot: QtBot
) -> None:
    shown(preview, sheet, qtbot)

    assert preview.place.text() == "page 1 of 3"
    assert not preview.sheet.pixmap().isNull()
    assert "This is page 1" in preview.sheet.accessibleDescription()
    assert not preview.back_button.isEnabled()


def test_page_down_turns_the_page_and_page_up_turns_back(
    preview: SheetPreview, sheet: Path, qtbot: QtBot
) -> None:
    shown(preview, sheet, qtbot)
    preview.view.setFocus()

    with qtbot.waitSignal(preview.page_shown, timeout=20_000):
        qtbot.keyClick(preview.view, Qt.Key.Key_PageDown)
    assert preview.place.text() == "page 2 of 3"

    with qtbot.waitSignal(preview.page_shown, timeout=20_000):
        qtbot.keyClick(preview.view, Qt.Key.Key_PageUp)
    assert preview.place.text() == "page 1 of 3"


def test_pages_end_at_the_ends(preview: SheetPreview, sheet: Path, qtbot: QtBot) -> None:
    shown(preview, sheet, qtbot)

    preview.turn(-1)

    assert preview.page == 0


def test_a_sheet_that_cannot_be_shown_says_so(
    preview: SheetPreview, tmp_path: Path, qtbot: QtBot
) -> None:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(b"no sheet")

    preview.show_file(file)

    qtbot.waitUntil(lambda: "cannot be shown" in preview.sheet.text(), timeout=20_000)
