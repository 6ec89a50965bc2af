"""A file is chosen or dropped, looked at, and taken in as one step; nothing before that changes."""

from __future__ import annotations

import io
import threading
from pathlib import Path

import openpyxl
import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QComboBox, QFileDialog, QLineEdit
from pytestqt.qtbot import QtBot

from tests.reports.incoming.filling import Answers, as_file, filled, places, sheet_of
from tests.window.pages.conftest import Show
from tests.window.pages.saved_search import CHECK, TODAY
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from workbench.domain.problem import Problem, Severity
from workbench.domain.quantity import parse_quantity
from workbench.edits.boats import change_boat
from workbench.reports.incoming import reading
from workbench.reports.incoming.preview import Change
from workbench.reports.spreadsheet_form import write_form
from workbench.reports.spreadsheet_quote import write_request
from workbench.reports.yard_view import yard_view
from workbench.window.models.incoming_rows import TextRows, change_rows, problem_rows
from workbench.window.pages.import_page import ImportPage
from workbench.window.session import Session

WAIT = 60_000
LINDEN = "linden-lea"
BOATS = "Name;Built;Asking;Lies at\nZoe;1986;24500 EUR;North Yard\nMax;1979;18000 EUR;\n"
UNCLEAR = "Name;Asking;Lies at\nZoe;24.500;North Yard\n"
TIED = "Name;Lies at, berth\nZoe;North Yard, 3\nMax;South Yard, 4\n"
SETTLED = "Name;Asking;Lies at\nZoe;24.500 EUR;North Yard\nMax;18.000,50 EUR;South Yard\n"
FAULTY = "Name;Built;Lies at\nZoe;old;North Yard\nMax;1979;South Yard\n"


@pytest.fixture
def page(kept_figured: Session, show: Show) -> ImportPage:
    made = ImportPage(kept_figured)
    show(made)
    return made


def look_at(page: ImportPage, qtbot: QtBot, path: Path) -> None:
    """Open a file and wait for its preview."""
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.open_file(path)


def table(folder: Path, text: str) -> Path:
    return as_file(folder, text.encode(), "boats.csv")


def shown(model: TextRows) -> list[list[str]]:
    return [
        [str(model.index(row, column).data()) for column in range(model.columnCount())]
        for row in range(model.rowCount())
    ]


def marigolds_form(session: Session, value: object) -> bytes:
    """The field form of Marigold Rae with the play of her bearing filled in."""
    assert session.assessment is not None
    kept = io.BytesIO()
    boat = session.assessment.boats["marigold-rae"]
    write_form(boat, session.assessment.catalogue, TODAY, kept, imperial=False)
    answers: Answers = {
        "form/by": {"Value": "Kim"},
        "form/date": {"Value": TODAY},
        f"{CHECK}/play": {"Value": value},
    }
    return filled(kept.getvalue(), answers)


def test_an_empty_page_says_what_may_come_in(page: ImportPage) -> None:
    assert page.stack.currentWidget() is page.nothing
    assert page.nothing.isVisible()
    assert not nameless(page)
    assert not out_of_reach(page)
    assert not cut_labels(page)


def test_a_file_is_shown_before_anything_changes_and_taken_in_as_one_step(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    before = kept_figured.project
    look_at(page, qtbot, table(tmp_path, BOATS))

    assert kept_figured.project is before
    assert page.title.text() == "boats.csv"
    assert "2 rows, 2 changes, 0 there already" in page.summary.text()
    assert "columns divided by semicolons" in page.read_as.text()
    assert [row[3] for row in shown(page.changes)] == [
        "Zoe 1986, 24,500 EUR",
        "Max 1979, 18,000 EUR",
    ]
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.take_button.click()

    assert set(kept_figured.project.boats) == {*before.boats, "zoe", "max"}
    assert page.said.text() == "Taken in: 2 changes. One undo takes them all back."
    assert kept_figured.history.undo_label == "Bring in boats from boats.csv"
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        kept_figured.undo()
    assert kept_figured.project is before


def test_what_was_taken_in_has_nothing_more_to_change(
    page: ImportPage, qtbot: QtBot, tmp_path: Path
) -> None:
    look_at(page, qtbot, table(tmp_path, BOATS))
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.take_button.click()

    assert page.changes.rowCount() == 0
    assert not page.take_button.isEnabled()
    assert page.take_button.toolTip() == "There is nothing to change."


def test_a_filled_form_becomes_a_reading(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    look_at(page, qtbot, as_file(tmp_path, marigolds_form(kept_figured, 1.5), "form.xlsx"))
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.take_button.click()

    readings = kept_figured.project.boats["marigold-rae"].inspection.readings[CHECK]
    assert [(one.by, one.values["play"]) for one in readings] == [
        ("Robin", parse_quantity("1.0", "mm")),
        ("Kim", parse_quantity("1.5", "mm")),
    ]


def answer(page: ImportPage, qtbot: QtBot, key: str, value: str) -> None:
    """Choose an answer and wait for the new preview."""
    box = page.questions.fields[key]
    assert isinstance(box, QComboBox)
    box.setCurrentIndex(box.findData(value))
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        box.activated.emit(box.currentIndex())


def test_the_separator_that_was_found_is_shown_and_can_be_changed(
    page: ImportPage, qtbot: QtBot, tmp_path: Path
) -> None:
    """B41."""
    look_at(page, qtbot, table(tmp_path, BOATS))
    box = page.questions.fields["separator"]
    assert isinstance(box, QComboBox)
    assert (box.currentData(), box.currentText()) == ("semicolon", "semicolons")
    assert page.take_button.isEnabled()

    answer(page, qtbot, "separator", "comma")
    assert "columns divided by commas" in page.read_as.text()
    assert not page.take_button.isEnabled()

    answer(page, qtbot, "separator", "semicolon")
    assert page.changes.rowCount() == 2
    assert page.take_button.isEnabled()


def test_where_two_separators_fit_it_is_asked_before_anything_comes_in(
    page: ImportPage, qtbot: QtBot, tmp_path: Path
) -> None:
    look_at(page, qtbot, table(tmp_path, TIED))
    assert page.questions.fields["separator"].currentData() == ""  # type: ignore[union-attr]
    assert not page.take_button.isEnabled()

    answer(page, qtbot, "separator", "semicolon")

    assert page.take_button.isEnabled()
    assert [row[3] for row in shown(page.changes)] == ["Zoe", "Max"]


def test_a_decimal_mark_that_the_file_settles_can_be_said_otherwise(
    page: ImportPage, qtbot: QtBot, tmp_path: Path
) -> None:
    """B29."""
    look_at(page, qtbot, table(tmp_path, SETTLED))
    box = page.questions.fields["decimal-mark"]
    assert isinstance(box, QComboBox)
    assert box.currentData() == ","
    assert "24,500" in shown(page.changes)[0][3]

    answer(page, qtbot, "decimal-mark", ".")

    assert "24,500" not in "".join(row[3] for row in shown(page.changes))


def quote_of_marigold(session: Session) -> bytes:
    """A request for a quote on Marigold Rae, with a price for the first job."""
    assert session.assessment is not None
    kept = io.BytesIO()
    view = yard_view(session.assessment.boats["marigold-rae"], session.catalogue, TODAY)
    write_request(view, "marigold-rae", session.catalogue, kept)
    rows, _ = places(sheet_of(openpyxl.load_workbook(io.BytesIO(kept.getvalue()))))
    job = next(name for name in rows if name.startswith(f"{CHECK}/"))
    return filled(kept.getvalue(), {"quote/yard": {"Price": "Wharf & Sons"}, job: {"Price": 310}})


def test_a_quote_that_comes_in_is_kept_with_her_documents(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    before, data = kept_figured.project, quote_of_marigold(kept_figured)
    look_at(page, qtbot, as_file(tmp_path, data, "from the yard.xlsx"))
    documents = kept_figured.place / "boats" / "marigold-rae" / "documents"
    assert not documents.exists()
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.take_button.click()

    (stored,) = documents.iterdir()
    quote = kept_figured.project.boats["marigold-rae"].ledger.quotes[-1]
    assert quote.document == stored.name
    assert stored.read_bytes() == data
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        kept_figured.undo()
    assert kept_figured.project is before


def test_where_the_file_cannot_be_kept_nothing_comes_in(
    page: ImportPage,
    kept_figured: Session,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    before = kept_figured.project
    look_at(page, qtbot, as_file(tmp_path, quote_of_marigold(kept_figured), "quote.xlsx"))
    (kept_figured.place / "boats" / "marigold-rae" / "documents").write_text("in the way")
    page.take_button.click()
    qtbot.waitUntil(lambda: bool(page.said.text()), timeout=WAIT)

    assert kept_figured.project is before
    assert page.take_button.isEnabled()


def test_a_question_is_answered_on_the_page(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    look_at(page, qtbot, table(tmp_path, UNCLEAR))

    box = page.questions.fields["decimal-mark"]
    assert isinstance(box, QComboBox)
    assert not page.take_button.isEnabled()
    assert page.take_button.toolTip() == "Answer the questions first."
    assert not nameless(page)
    box.setCurrentIndex(box.findData(","))
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        box.activated.emit(box.currentIndex())
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.take_button.click()

    asked = kept_figured.project.boats["zoe"].boat.asking_price
    assert asked is not None
    assert asked.amount == 24_500


def test_a_question_without_choices_is_answered_in_words(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    book = openpyxl.load_workbook(io.BytesIO(marigolds_form(kept_figured, 1.5)))
    rows, _ = places(sheet_of(book))
    sheet_of(book).cell(rows["form/by"], 4).value = None
    book.save(tmp_path / "form.xlsx")
    look_at(page, qtbot, tmp_path / "form.xlsx")

    line = page.questions.fields["by"]
    assert isinstance(line, QLineEdit)
    line.setText("Kim")
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        qtbot.keyClick(line, Qt.Key.Key_Return)

    assert page.take_button.isEnabled()


def test_cells_that_cannot_be_read_are_listed_and_left_out_only_when_told(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    look_at(page, qtbot, table(tmp_path, FAULTY))

    (problem,) = shown(page.problems)
    assert problem[0] == "boats.csv, line 2, field 2"
    assert problem[1] == "“old” is not a number."
    assert problem[2]
    assert not page.take_button.isEnabled()
    assert page.leave_out.isVisible()
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.leave_out.setChecked(True)
    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.take_button.click()

    assert kept_figured.project.boats["zoe"].boat.year is None
    assert kept_figured.project.boats["max"].boat.year == 1979


def test_a_file_that_cannot_be_read_says_why_and_changes_nothing(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    before = kept_figured.project
    with qtbot.waitSignal(page.reader.refused, timeout=WAIT):
        page.open_file(as_file(tmp_path, b"PK\x03\x04", "form.xlsx"))

    assert page.said.text().startswith("form.xlsx: The file is cut short or damaged")
    assert page.stack.currentWidget() is page.nothing
    assert kept_figured.project is before


def test_another_change_of_the_search_makes_the_preview_anew(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    look_at(page, qtbot, table(tmp_path, "Name;Built;Lies at\nLinden Lea;1991;Quay\n"))
    assert page.changes.rowCount() == 1

    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        kept_figured.apply(change_boat(kept_figured.project, LINDEN, "lies_at", "Quay", "Place"))

    assert page.changes.rowCount() == 0
    assert not page.take_button.isEnabled()


def test_the_reading_can_be_stopped(
    page: ImportPage,
    kept_figured: Session,
    qtbot: QtBot,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    before, begun = kept_figured.project, threading.Event()

    def slow(path: Path, stop: object) -> None:
        del path
        assert callable(stop)
        begun.set()
        while not stop():
            threading.Event().wait(0.01)
        raise reading.Stopped

    monkeypatch.setattr(reading, "read_file", slow)
    page.open_file(table(tmp_path, BOATS))
    qtbot.waitUntil(begun.is_set, timeout=WAIT)
    assert page.stop_button.isVisible()
    with qtbot.waitSignal(page.reader.stopped, timeout=WAIT):
        page.stop_button.click()

    assert "stopped" in page.said.text()
    assert not page.stop_button.isVisible()
    assert kept_figured.project is before


def test_a_dropped_file_is_read(page: ImportPage, qtbot: QtBot, tmp_path: Path) -> None:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(table(tmp_path, BOATS)))])
    drop = QDropEvent(
        QPointF(10, 10),
        Qt.DropAction.CopyAction,
        mime,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )

    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.dropEvent(drop)

    assert page.changes.rowCount() == 2


def test_a_chosen_file_is_read(
    page: ImportPage, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = table(tmp_path, BOATS)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(path), ""))

    with qtbot.waitSignal(page.reader.previewed, timeout=WAIT):
        page.nothing.button.click()

    assert page.title.text() == "boats.csv"


def test_a_search_that_is_only_read_takes_nothing_in(
    page: ImportPage, kept_figured: Session, qtbot: QtBot, tmp_path: Path
) -> None:
    kept_figured.read_only = "Somebody else has it open."
    look_at(page, qtbot, table(tmp_path, BOATS))

    assert not page.take_button.isEnabled()
    assert page.take_button.toolTip() == "Somebody else has it open."
    kept_figured.read_only = ""


def test_a_text_of_the_file_is_never_read_as_markup(
    page: ImportPage, qtbot: QtBot, tmp_path: Path
) -> None:
    """B67."""
    look_at(page, qtbot, table(tmp_path, "Name;Lies at\n<b>Zoe</b> <img src=x>;North\n"))

    assert shown(page.changes)[0][3].startswith("<b>Zoe</b> <img src=x>")
    assert page.summary.textFormat() is Qt.TextFormat.PlainText


def test_everything_shown_with_a_preview_has_a_name_and_is_reached_by_keyboard(
    page: ImportPage, qtbot: QtBot, tmp_path: Path
) -> None:
    look_at(page, qtbot, table(tmp_path, FAULTY))

    assert not nameless(page)
    assert not out_of_reach(page)
    assert not cut_labels(page)


def test_the_rows_keep_the_contract_of_item_models(qtbot: QtBot) -> None:
    model = TextRows(("a", "b", "c", "d", "e"))
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    model.set_rows(change_rows([Change("Ann", "play", "", "two\nlines", "D7")]))

    assert shown(model) == [["Ann", "play", "", "two lines", "D7"]]
    assert model.index(0, 3).data(Qt.ItemDataRole.ToolTipRole) == "two\nlines"
    model.set_rows([])
    assert model.rowCount() == 0


def test_a_notice_says_that_it_is_one() -> None:
    rows = problem_rows(
        [Problem("here", "So it is.", "", Severity.NOTICE), Problem("there", "Not so.", "Mend it.")]
    )

    assert rows == (("here", "Note: So it is.", ""), ("there", "Not so.", "Mend it."))
