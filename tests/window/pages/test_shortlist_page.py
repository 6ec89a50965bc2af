"""The shortlist: sorting, filtering, putting away, duplicating; what is decided about a boat."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent, QGuiApplication, QImage
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Show
from workbench.domain.boat import AskingPrice, WorthToMe
from workbench.domain.money import Money
from workbench.domain.vocabulary import Status
from workbench.edits.boats import add_boat, set_status
from workbench.store import layout
from workbench.store.attachments import resolve
from workbench.window.models.shortlist_table import Column, ShortlistModel, ShortlistOrder
from workbench.window.opening import Openings
from workbench.window.pages.shortlist_page import ShortlistPage
from workbench.window.session import Session

WAIT = 30_000


@pytest.fixture
def page(session: Session, show: Show) -> ShortlistPage:
    """The shortlist of the three boats, with their figures."""
    made = ShortlistPage(session)
    show(made)
    return made


@pytest.fixture
def kept_page(kept: Session, show: Show) -> ShortlistPage:
    """The shortlist of a search that lies in a folder."""
    made = ShortlistPage(kept)
    show(made)
    return made


def names(page: ShortlistPage) -> list[str]:
    return [str(page.list.order.index(row, 0).data()) for row in range(page.list.order.rowCount())]


def choose(page: ShortlistPage, *rows: int) -> None:
    page.list.view.clearSelection()
    page.list.view.setCurrentIndex(page.list.order.index(rows[0], 0))
    for row in rows:
        page.list.view.selectionModel().select(
            page.list.order.index(row, 0),
            page.list.view.selectionModel().SelectionFlag.Select
            | page.list.view.selectionModel().SelectionFlag.Rows,
        )


def write(qtbot: QtBot, line: QLineEdit, text: str) -> None:
    line.clear()
    qtbot.keyClicks(line, text)


# --- The table ---


def test_both_models_keep_what_item_models_promise(session: Session) -> None:
    model = ShortlistModel(session)
    order = ShortlistOrder(model)
    testers = [
        QAbstractItemModelTester(one, QAbstractItemModelTester.FailureReportingMode.Fatal)
        for one in (model, order)
    ]
    boat = next(iter(session.project.boats.values())).boat
    for edit in (
        set_status(session.project, boat.id, Status.DROPPED, "too far"),
        add_boat(session.project, type(boat)("", "Dora")),
    ):
        session.apply(edit)
    order.want("dora", None, put_away=True)
    session.undo()

    assert (model.rowCount(), order.rowCount()) == (3, 0)
    assert testers


def test_a_click_on_a_head_sorts_by_it_and_the_unknown_comes_last(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    boat = next(iter(session.project.boats.values())).boat
    session.apply(add_boat(session.project, type(boat)("", "Dora")))
    head = page.list.view.horizontalHeader()
    place = QPoint(head.sectionViewportPosition(int(Column.ASKED)) + 12, 8)
    qtbot.mouseClick(head.viewport(), Qt.MouseButton.LeftButton, pos=place)
    asked = [page.list.order.index(row, int(Column.ASKED)).data() for row in range(4)]

    assert names(page)[-1] == "Dora"
    assert asked[:3] == sorted(asked[:3], key=lambda text: float(str(text).replace(",", "")))


def test_words_status_and_put_away_ones_narrow_the_list(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    write(qtbot, page.list.search, "heron")
    qtbot.waitUntil(lambda: names(page) == ["Brown Heron"])
    assert page.list.count.text() == "1 of 3 boats shown"
    page.list.search.clear()
    session.apply(set_status(session.project, "cold-comfort", Status.VISITED, ""))
    page.list.status.setCurrentIndex(page.list.status.findData(Status.VISITED))
    page.list.status.activated.emit(page.list.status.currentIndex())

    assert names(page) == ["Cold Comfort"]


def test_several_boats_are_put_away_in_one_step_and_brought_back(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    choose(page, 0, 2)
    qtbot.mouseClick(page.list.away_button, Qt.MouseButton.LeftButton)
    assert names(page) == ["Brown Heron"]
    assert session.history.undo_label == "Put away 2 boats"
    qtbot.mouseClick(page.list.put_away, Qt.MouseButton.LeftButton)
    choose(page, 0, 2)
    assert page.list.away_button.text() == "Bring back"
    qtbot.mouseClick(page.list.away_button, Qt.MouseButton.LeftButton)

    assert not any(one.boat.archived for one in session.project.boats.values())


def test_delete_takes_a_boat_off_and_undo_brings_her_back_with_everything(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    before = session.project
    choose(page, 1)
    page.list.view.setFocus()
    qtbot.keyClick(page.list.view, Qt.Key.Key_Delete)
    assert names(page) == ["Amber Tide", "Cold Comfort"]
    assert session.boat_id in session.project.boats

    session.undo()

    assert session.project == before


def test_a_list_without_boats_says_what_to_do(qtbot: QtBot, page: ShortlistPage) -> None:
    choose(page, 0, 1, 2)
    page.list.remove_chosen()

    assert page.empty.isVisibleTo(page)
    with qtbot.waitSignal(page.add_boat_requested):
        page.empty.next_step_requested.emit()


def test_a_duplicate_has_the_photos_of_her_own_folder(
    qtbot: QtBot, kept_page: ShortlistPage, kept: Session, tmp_path: Path
) -> None:
    photo = picture(tmp_path / "her.png")
    kept_page.boat.portrait.take(photo)
    boat_id = kept.boat_id
    qtbot.waitUntil(lambda: bool(kept.project.boats[boat_id].boat.portrait), timeout=WAIT)
    choose(kept_page, 0)
    qtbot.mouseClick(kept_page.list.copy_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: kept.boat_id != boat_id, timeout=WAIT)

    copy = kept.project.boats[kept.boat_id]
    file = copy.inspection.photos[copy.boat.portrait].file
    assert copy.boat.name == f"{kept.project.boats[boat_id].boat.name} (copy)"
    assert Path(resolve(kept.folder, kept.boat_id, layout.PHOTOS, file)).is_file()


# --- One boat ---


def test_where_she_stands_and_why_are_kept_and_undone(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    segment = next(one for one in page.boat.status.segments() if one.key is Status.DROPPED)
    qtbot.mouseClick(segment, Qt.MouseButton.LeftButton)
    write(qtbot, page.boat.reason, "keel joint open")
    qtbot.keyClick(page.boat.reason, Qt.Key.Key_Return)
    boat = session.project.boats[session.boat_id].boat
    assert (boat.status, boat.status_reason) == (Status.DROPPED, "keel joint open")

    session.undo()
    session.undo()

    assert session.project.boats[boat.id].boat.status is Status.LOOKING
    assert page.boat.status.choice() is Status.LOOKING


def test_another_price_is_added_as_of_today_and_the_earlier_one_is_still_told(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    write(qtbot, page.boat.price.line_edit, "21 900")
    write(qtbot, page.boat.price_note, "reduced")
    qtbot.keyClick(page.boat.price_note, Qt.Key.Key_Return)
    asking = session.project.boats[session.boat_id].boat.asking

    assert asking[-1] == AskingPrice(Money(Decimal(21_900), "USD"), session.today(), "reduced")
    assert page.list.order.index(0, int(Column.ASKED)).data() == "21,900"
    assert (
        page.list.order.index(0, int(Column.ASKED)).data(Qt.ItemDataRole.ToolTipRole).count("\n")
        == 1
    )


def test_a_price_that_is_none_is_refused_at_its_field(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    before = session.project
    for text in ("-5", "much", ""):
        write(qtbot, page.boat.price.line_edit, text)
        qtbot.mouseClick(page.boat.prices.add_button, Qt.MouseButton.LeftButton)
        assert page.boat.price.problem()

    assert session.project == before


def test_an_earlier_price_that_is_changed_to_a_later_day_becomes_the_one_that_counts(
    page: ShortlistPage, session: Session
) -> None:
    model = page.boat.prices.model
    model.add(AskingPrice(Money(Decimal(20_000), "USD"), session.today(), ""))
    model.setData(model.index(0, 0), "2030-01-01")
    asking = session.project.boats[session.boat_id].boat.asking

    days = [one.on for one in asking if one.on]
    assert days == sorted(days)
    assert asking[-1].price.amount == Decimal(24_500)


def test_worth_beside_is_entered_changed_in_place_and_counts(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    write(qtbot, page.boat.worth_amount.line_edit, "1200")
    write(qtbot, page.boat.worth_label, "new sails")
    with qtbot.waitSignal(session.assessed, timeout=WAIT):
        qtbot.keyClick(page.boat.worth_label, Qt.Key.Key_Return)
    assert session.boat is not None
    assert session.boat.worth_to_me == 1_200
    model = page.boat.worth.model
    with qtbot.waitSignal(session.assessed, timeout=WAIT):
        assert model.setData(model.index(0, 1), "-300")
    assert not model.setData(model.index(0, 0), "  ")

    worth = session.project.boats[session.boat_id].boat.worth_to_me
    assert worth == (WorthToMe("new sails", Money(Decimal(-300), "USD")),)
    assert session.boat.worth_to_me == -300


def test_an_advertisement_is_opened_only_after_its_host_was_shown(
    qtbot: QtBot, page: ShortlistPage, session: Session
) -> None:
    opened: list[str] = []

    def launch(url: QUrl) -> bool:
        opened.append(url.toString())
        return True

    page.boat._openings = Openings(launch)
    write(qtbot, page.boat.address, "https://boats.example/amber-tide")
    qtbot.keyClick(page.boat.address, Qt.Key.Key_Return)
    qtbot.mouseClick(page.boat.open_button, Qt.MouseButton.LeftButton)
    assert page.boat.said.text() == "Open boats.example in your browser?"
    assert opened == []
    qtbot.mouseClick(page.boat.yes_button, Qt.MouseButton.LeftButton)

    assert opened == ["https://boats.example/amber-tide"]
    boat = session.project.boats[session.boat_id].boat
    assert boat.listing_address == "https://boats.example/amber-tide"


@pytest.mark.parametrize("address", ["file:///etc/passwd", "javascript:alert(1)", "boats.example"])
def test_an_address_that_is_none_is_kept_and_never_opened(
    qtbot: QtBot, page: ShortlistPage, address: str
) -> None:
    write(qtbot, page.boat.address, address)
    qtbot.keyClick(page.boat.address, Qt.Key.Key_Return)
    qtbot.mouseClick(page.boat.open_button, Qt.MouseButton.LeftButton)

    assert "begin with http" in page.boat.said.text()
    assert not page.boat.yes_button.isVisibleTo(page)


# --- From an advertisement ---


def test_a_pasted_advertisement_becomes_a_boat_on_the_list(
    qtbot: QtBot, kept_page: ShortlistPage, kept: Session
) -> None:
    QGuiApplication.clipboard().setText(
        "Name: Dora\nBuilt: 1986\nLOA: 9.6 m\nAsking price: USD 18,500\nLying: Tarnmouth"
    )
    kept_page.list.view.setFocus()
    qtbot.keyClick(kept_page.list.view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    panel = kept_page.listing
    assert panel.isVisibleTo(kept_page)
    qtbot.waitUntil(panel.take_button.isEnabled, timeout=WAIT)
    qtbot.mouseClick(panel.take_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: kept.boat_id == "dora", timeout=WAIT)

    boat = kept.project.boats["dora"].boat
    assert (boat.year, boat.lies_at) == (1986, "Tarnmouth")
    assert boat.asking_price == Money(Decimal(18_500), "USD")
    assert kept_page.views.currentIndex() == 0
    assert kept_page.list.order.row_of("dora") == 2


# --- Her picture ---


def picture(path: Path) -> Path:
    image = QImage(64, 48, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkCyan)
    assert image.save(str(path))
    return path


def test_a_dropped_photo_stands_for_her_in_one_step(
    qtbot: QtBot, kept_page: ShortlistPage, kept: Session, tmp_path: Path
) -> None:
    before = kept.project
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(picture(tmp_path / "her.png")))])
    box = kept_page.boat.portrait
    box.dropEvent(
        QDropEvent(
            QPointF(5, 5),
            Qt.DropAction.CopyAction,
            data,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
    )
    qtbot.waitUntil(lambda: bool(kept.candidate and kept.candidate.boat.portrait), timeout=WAIT)
    assert kept.candidate is not None
    assert kept.candidate.boat.portrait in kept.candidate.inspection.photos
    qtbot.waitUntil(lambda: box.frame._image is not None, timeout=WAIT)
    qtbot.mouseClick(box.none_button, Qt.MouseButton.LeftButton)
    assert kept.candidate.boat.portrait == ""

    kept.undo()
    kept.undo()

    assert kept.project == before


def test_what_is_no_photo_is_refused_with_a_sentence(
    qtbot: QtBot, kept_page: ShortlistPage, kept: Session, tmp_path: Path
) -> None:
    before = kept.project
    (tmp_path / "notes.txt").write_text("no photo")
    kept_page.boat.portrait.take(tmp_path / "notes.txt")
    problem = kept_page.boat.portrait.problem
    qtbot.waitUntil(lambda: "not a photo" in problem.text(), timeout=WAIT)
    QGuiApplication.clipboard().setText("no picture")
    kept_page.boat.portrait.paste()

    assert problem.text() == "There is no photo on the clipboard."
    assert kept.project == before
