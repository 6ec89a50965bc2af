"""An advertisement is pasted, looked over and taken in; nothing changes before that."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale, QMimeData, Qt, QUrl
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.reports.incoming.advertisements import ALL, LIST, PROSE
from tests.window.pages.conftest import Show
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from workbench.domain.money import Money
from workbench.domain.quantity import Quantity
from workbench.reports.incoming.listing_page import Remark
from workbench.window.models.listing_rows import REMARKS_SAID, TICK, VALUE, ListingRow
from workbench.window.pages.listing_panel import ListingPanel
from workbench.window.session import Session

WAIT = 60_000


@pytest.fixture
def panel(kept_figured: Session, show: Show) -> ListingPanel:
    made = ListingPanel(kept_figured)
    show(made)
    return made


def read(panel: ListingPanel, qtbot: QtBot, text: str) -> None:
    panel.set_text(text)
    qtbot.waitUntil(panel.take_button.isEnabled, timeout=WAIT)


def row_of(panel: ListingPanel, field: str) -> tuple[int, ListingRow]:
    return next(
        (number, row) for number, row in enumerate(panel.rows.rows) if row.finding.field == field
    )


def write(panel: ListingPanel, field: str, text: str) -> bool:
    number, _ = row_of(panel, field)
    return panel.rows.setData(panel.rows.index(number, VALUE), text)


def test_an_empty_panel_says_what_to_do(panel: ListingPanel) -> None:
    assert panel.stack.currentWidget() is panel.nothing
    assert not nameless(panel)
    assert not out_of_reach(panel)
    assert not cut_labels(panel)


def test_a_boat_is_made_in_one_step_with_the_text_kept(
    panel: ListingPanel, kept_figured: Session, qtbot: QtBot
) -> None:
    before = kept_figured.project
    read(panel, qtbot, LIST[0])
    assert kept_figured.project is before
    assert not nameless(panel)
    assert not cut_labels(panel)
    assert write(panel, "name", "Dunlin")

    with qtbot.waitSignal(panel.done, timeout=WAIT) as done:
        panel.take_button.click()

    boat = kept_figured.project.boats[done.args[0]].boat
    assert (boat.name, boat.year, boat.lies_at) == ("Dunlin", 1986, "North Yard, Tarnmouth")
    assert boat.dimensions["draft"] == Quantity(Decimal("1.65"), "m")
    assert boat.facts["rig"] == "sloop"
    assert boat.listing_address == "https://boats.example/ad/17"
    kept = Path(kept_figured.place) / "boats" / boat.id / "documents" / boat.listing
    assert kept.read_text(encoding="utf-8") == LIST[0]
    assert kept_figured.boat_id == boat.id
    kept_figured.undo()
    assert kept_figured.project is before


def test_a_boat_without_a_name_is_asked_for_one(panel: ListingPanel, qtbot: QtBot) -> None:
    read(panel, qtbot, LIST[0])
    panel.take_button.click()

    assert panel.problem.isVisible()
    assert panel.view.currentIndex().siblingAtColumn(TICK).row() == row_of(panel, "name")[0]
    assert panel.view.state() == panel.view.State.EditingState


def test_filling_in_overwrites_nothing_that_is_not_ticked(
    panel: ListingPanel, kept_figured: Session, qtbot: QtBot
) -> None:
    boat = kept_figured.candidate
    assert boat is not None
    read(panel, qtbot, PROSE[0])
    panel.target.set_choice("fill")
    panel.target.chosen.emit("fill")
    known = [row for row in panel.rows.rows if row.known is not None]
    assert known
    assert not any(row.taken for row in known)
    loa = row_of(panel, "size/loa")[1]
    assert panel.take_button.text().endswith(boat.boat.name)

    with qtbot.waitSignal(panel.done, timeout=WAIT):
        panel.take_button.click()

    after = kept_figured.project.boats[boat.boat.id].boat
    assert after.name == boat.boat.name
    assert after.listing
    for row in known:
        kind, _, key = row.finding.field.partition("/")
        if kind == "size":
            assert after.dimensions[key] == boat.boat.dimensions[key]
    if loa.known is None:
        assert after.dimensions["loa"] == loa.value


def test_a_price_asked_before_goes_into_the_history(
    panel: ListingPanel, kept_figured: Session, qtbot: QtBot
) -> None:
    read(panel, qtbot, PROSE[0])
    write(panel, "name", "Dunlin")
    with qtbot.waitSignal(panel.done, timeout=WAIT) as done:
        panel.take_button.click()

    asking = kept_figured.project.boats[done.args[0]].boat.asking
    assert [one.price for one in asking] == [
        Money(Decimal(29_000), "GBP"),
        Money(Decimal(24_500), "GBP"),
    ]
    assert asking[0].on is None


def test_a_value_that_cannot_be_is_refused_at_its_cell(panel: ListingPanel, qtbot: QtBot) -> None:
    read(panel, qtbot, LIST[0])
    number, row = row_of(panel, "size/draft")
    index = panel.rows.index(number, VALUE)

    assert panel.rows.refusal(index, "31 m")
    assert not panel.rows.setData(index, "31 m")
    assert row_of(panel, "size/draft")[1] == row
    assert panel.rows.setData(index, "5 ft 6")
    assert row_of(panel, "size/draft")[1].taken


def test_ticks_are_changed_by_the_keyboard(panel: ListingPanel, qtbot: QtBot) -> None:
    read(panel, qtbot, LIST[0])
    number, row = row_of(panel, "year")
    assert row.taken
    panel.view.setFocus()
    panel.view.setCurrentIndex(panel.rows.index(number, TICK))
    qtbot.keyClick(panel.view, Qt.Key.Key_Space)

    assert not row_of(panel, "year")[1].taken
    assert "year" not in panel.rows.taken()


def test_a_file_is_read_and_never_drawn(panel: ListingPanel, qtbot: QtBot, tmp_path: Path) -> None:
    page = tmp_path / "ad.html"
    page.write_text("<html><body><p>Built: 1986</p><img src='x'></body></html>", encoding="utf-8")
    dropped = QMimeData()
    dropped.setUrls([QUrl.fromLocalFile(str(page))])
    panel.text.insertFromMimeData(dropped)
    qtbot.waitUntil(lambda: bool(panel.rows.rows), timeout=WAIT)

    assert panel.text.toPlainText() == "Built: 1986"


def test_a_file_that_cannot_be_read_says_so(
    panel: ListingPanel, qtbot: QtBot, tmp_path: Path
) -> None:
    panel.open_file(tmp_path / "none.txt")
    qtbot.waitUntil(panel.problem.isVisible, timeout=WAIT)

    assert panel.problem.text()


def test_pasting_takes_the_words_alone_and_reads_them(
    panel: ListingPanel, qtbot: QtBot, qapp: QApplication
) -> None:
    pasted = QMimeData()
    pasted.setHtml("<b>Baujahr: 1986</b>")
    pasted.setText("Baujahr: 1986\x00")
    panel.text.insertFromMimeData(pasted)
    qtbot.waitUntil(lambda: bool(panel.rows.rows), timeout=WAIT)

    assert panel.text.toPlainText() == "Baujahr: 1986"
    panel.view.setCurrentIndex(panel.rows.index(row_of(panel, "year")[0], VALUE))
    assert panel.text.extraSelections()


def test_leaving_changes_nothing(panel: ListingPanel, kept_figured: Session, qtbot: QtBot) -> None:
    before = kept_figured.project
    read(panel, qtbot, LIST[0])
    with qtbot.waitSignal(panel.closed):
        panel.leave_button.click()

    assert kept_figured.project is before


@pytest.mark.parametrize("text", [text for text, _ in ALL.values()], ids=ALL.keys())
def test_the_rows_keep_the_rules_of_models(panel: ListingPanel, qtbot: QtBot, text: str) -> None:
    tester = QAbstractItemModelTester(
        panel.rows, QAbstractItemModelTester.FailureReportingMode.Fatal
    )
    read(panel, qtbot, text)
    for number, row in enumerate(panel.rows.rows):
        shown = panel.rows.index(number, VALUE).data(Qt.ItemDataRole.EditRole)
        assert not panel.rows.refusal(panel.rows.index(number, VALUE), str(shown)), row
    assert tester.model() is panel.rows


def test_every_remark_of_the_reading_can_be_translated() -> None:
    assert set(REMARKS_SAID) == {one.value for one in Remark}


def test_the_panel_speaks_numbers_of_its_locale(panel: ListingPanel, qtbot: QtBot) -> None:
    QLocale.setDefault(QLocale(QLocale.Language.German))
    read(panel, qtbot, "Tiefgang 1,65 m")
    number, _ = row_of(panel, "size/draft")

    assert panel.rows.index(number, VALUE).data() == "1,65 m"
