"""Sheets chosen, written beside the window, listed, looked at, stopped, and found on the disk."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt, QUrl
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Show
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from workbench.reports import export
from workbench.reports.export import SHEETS, Progress
from workbench.window.opening import Openings
from workbench.window.pages import sheet_writing
from workbench.window.pages.paper_page import PaperPage
from workbench.window.session import Session

WAIT = 60_000


class Desktop:
    def __init__(self) -> None:
        self.asked: list[Path] = []

    def __call__(self, url: QUrl) -> bool:
        self.asked.append(Path(url.toLocalFile()))
        return True


@pytest.fixture
def desktop() -> Desktop:
    return Desktop()


@pytest.fixture
def page(kept_figured: Session, show: Show, desktop: Desktop) -> PaperPage:
    made = PaperPage(kept_figured, Openings(desktop))
    show(made)
    return made


def tick_boats(page: PaperPage, *, all_of_them: bool) -> None:
    state = Qt.CheckState.Checked if all_of_them else Qt.CheckState.Unchecked
    for row in range(page.choice.boats.count()):
        page.choice.boats.item(row).setCheckState(state)


def write(page: PaperPage, qtbot: QtBot) -> None:
    with qtbot.waitSignal(page.writer.ended, timeout=WAIT):
        page.choice.write_button.click()


def titles(page: PaperPage) -> list[str]:
    return [page.list.item(row).toolTip() for row in range(page.list.count())]


def test_the_offer_of_the_boat_looked_at_is_chosen_to_begin_with(page: PaperPage) -> None:
    order = page.choice.order()

    assert order.sheets == ("offer",)
    assert order.boats == ("marigold-rae",)
    assert page.choice.write_button.text() == "Write one sheet"


def test_every_sheet_that_can_be_written_can_be_chosen(page: PaperPage) -> None:
    assert list(page.choice.sheets) == sorted(SHEETS, key=lambda name: not SHEETS[name].for_others)


def test_every_sheet_says_what_it_is_for(page: PaperPage) -> None:
    assert [name for name, box in page.choice.sheets.items() if not box.toolTip()] == []


def test_the_button_counts_the_files_that_will_be_made(page: PaperPage) -> None:
    tick_boats(page, all_of_them=True)
    page.choice.sheets["comparison"].setChecked(True)

    assert page.choice.write_button.text() == "Write 3 sheets"  # two offers, one comparison


def test_without_a_boat_nothing_can_be_written(page: PaperPage) -> None:
    tick_boats(page, all_of_them=False)

    assert not page.choice.write_button.isEnabled()


def test_a_written_sheet_lies_in_the_exports_and_is_looked_at(
    page: PaperPage, kept: Session, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(page.preview.page_shown, timeout=WAIT):
        write(page, qtbot)

    file = kept.place / "exports" / "2026-05-10 Offer support, Marigold Rae.pdf"
    assert titles(page) == [file.name]
    assert "Marigold Rae" in PdfReader(file).pages[0].extract_text()
    assert page.preview.file == file
    assert page.right.currentWidget() is page.preview


def test_control_and_p_write_from_anywhere_on_the_page(page: PaperPage, qtbot: QtBot) -> None:
    page.choice.boats.setFocus()

    with qtbot.waitSignal(page.writer.ended, timeout=WAIT):
        qtbot.keyClick(page.choice.boats, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)

    assert len(titles(page)) == 1


def test_a_second_sheet_of_a_day_gets_a_name_of_its_own(page: PaperPage, qtbot: QtBot) -> None:
    write(page, qtbot)
    write(page, qtbot)

    assert len(set(titles(page))) == 2


def test_a_written_sheet_is_opened_and_its_folder_shown(
    page: PaperPage, kept: Session, qtbot: QtBot, desktop: Desktop
) -> None:
    write(page, qtbot)

    page.open_button.click()
    page.show_button.click()

    exports = kept.place / "exports"
    assert desktop.asked == [exports / titles(page)[0], exports]


def test_a_sheet_from_before_is_shown_in_its_folder_and_not_opened(
    kept_figured: Session, show: Show, desktop: Desktop
) -> None:
    exports = kept_figured.place / "exports"
    exports.mkdir()
    (exports / "2026-04-01 Offer support, Linden Lea.pdf").write_bytes(b"%PDF-")
    (exports / "tool.exe").write_bytes(b"MZ")
    page = PaperPage(kept_figured, Openings(desktop))
    show(page)
    page.list.setCurrentRow(0)

    assert titles(page) == ["2026-04-01 Offer support, Linden Lea.pdf"]
    assert not page.open_button.isEnabled()
    page.show_button.click()
    assert desktop.asked == [exports]


def test_a_folder_that_cannot_be_written_is_told_where_the_writing_begins(
    page: PaperPage, tmp_path: Path, qtbot: QtBot
) -> None:
    (tmp_path / "file").write_text("no folder")
    page.choice.set_folder(tmp_path / "file" / "below")

    write(page, qtbot)

    assert "Choose another one" in page.choice.problem.text()
    assert page.choice.problem.isVisible()
    assert titles(page) == []


def test_another_folder_is_asked_for_with_a_file_chooser(
    page: PaperPage, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    elsewhere = tmp_path / "elsewhere"
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(elsewhere))
    page.choice.choose_button.click()

    write(page, qtbot)

    assert [file.name for file in elsewhere.iterdir()] == titles(page)


def test_a_stop_keeps_the_sheets_that_are_finished(
    page: PaperPage, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second sheet waits until the stop was pressed, whatever the machine's speed."""
    tick_boats(page, all_of_them=True)
    pressed = threading.Event()

    def held(*arguments: object, **named: object) -> list[Path]:
        tell = named["progress"]
        assert callable(tell)

        def progress(one: Progress) -> None:
            tell(one)
            if one.done == 1:
                assert pressed.wait(30)

        return export.export_sheets(*arguments, **{**named, "progress": progress})  # type: ignore[arg-type]

    monkeypatch.setattr(sheet_writing, "export_sheets", held)

    def press(one: Progress) -> None:
        if one.done == 1:
            page.choice.stop_button.click()
            pressed.set()

    page.writer.moved.connect(press)
    write(page, qtbot)

    assert len(titles(page)) == 1
    assert page.choice.problem.text() == ""
    assert page.choice.write_button.isVisible()


def test_while_it_writes_the_page_says_how_far_it_is(page: PaperPage, qtbot: QtBot) -> None:
    seen: list[tuple[bool, bool, str]] = []
    page.writer.moved.connect(
        lambda _: seen.append(
            (
                page.choice.stop_button.isVisible(),
                page.choice.progress.isVisible(),
                page.choice.doing.text(),
            )
        )
    )

    write(page, qtbot)

    assert seen == [(True, True, "1 of 1: Offer support, Marigold Rae")]
    assert not page.choice.stop_button.isVisible()


def test_the_paper_chosen_is_remembered(page: PaperPage, kept: Session) -> None:
    page.choice.paper.segments()[1].click()

    assert kept.preferences is not None
    assert kept.preferences.value("paper") == "letter"


def test_everything_on_the_page_has_a_name_and_is_reached_by_keys(page: PaperPage) -> None:
    assert nameless(page) == []
    assert out_of_reach(page) == []
    assert cut_labels(page) == []
