"""Earlier saves: listed, compared field by field, put back whole or in part (D13, D14)."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtWidgets import QLabel, QPushButton, QTreeWidgetItem
from pytestqt.qtbot import QtBot

from tests.window.open_search import make_folder, open_window
from tests.window.pages.conftest import Show
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from workbench.catalogue.model import Catalogue
from workbench.domain.boat import Boat
from workbench.edits.boats import add_boat, remove_boat, rename_boat
from workbench.edits.searching import rename_project
from workbench.store.folder import open_project
from workbench.window.background import Background
from workbench.window.keeping import Keeper
from workbench.window.pages.earlier_page import EarlierPage
from workbench.window.part_words import difference_lines
from workbench.window.session import Session

WAIT = 20_000


def save(session: Session, keeper: Keeper, qtbot: QtBot) -> None:
    with qtbot.waitSignal(keeper.settled, timeout=WAIT):
        session.save()


def rename(session: Session, name: str) -> None:
    assert session.attempt(lambda project: rename_boat(project, "linden-lea", name)) == ""


@pytest.fixture
def keeper(kept: Session) -> Keeper:
    return Keeper(kept, kept)


@pytest.fixture
def page(kept: Session, keeper: Keeper, show: Show, qtbot: QtBot) -> EarlierPage:
    """The page after two saves: a boat was renamed between them."""
    rename(kept, "Linden Lea II")
    save(kept, keeper, qtbot)
    rename(kept, "Linden Lea III")
    save(kept, keeper, qtbot)
    made = EarlierPage(kept)
    show(made)
    qtbot.waitUntil(lambda: made.list.count() == 2, timeout=WAIT)
    qtbot.waitUntil(lambda: "Nothing in it" in made.about.text(), timeout=WAIT)
    return made


def choose(page: EarlierPage, row: int, qtbot: QtBot) -> None:
    page.list.setCurrentRow(row)
    qtbot.waitUntil(lambda: page.tree.topLevelItemCount() > 0, timeout=WAIT)


def below(top: QTreeWidgetItem, column: int) -> str:
    """A cell of the first line of a part."""
    line = top.child(0)
    assert line is not None
    return line.text(column)


def name_of(session: Session, boat: str = "linden-lea") -> str:
    return session.project.boats[boat].boat.name


def test_the_newest_save_is_what_is_there_now(page: EarlierPage) -> None:
    assert page.list.currentRow() == 0
    assert not page.all_button.isVisible()


def test_an_older_save_tells_what_was_different_field_by_field(
    page: EarlierPage, qtbot: QtBot
) -> None:
    choose(page, 1, qtbot)

    top = page.tree.topLevelItem(0)
    assert top is not None
    assert top.text(0) == "Linden Lea III, particulars"
    assert [below(top, column) for column in range(3)] == [
        "name",
        "Linden Lea II",
        "Linden Lea III",
    ]


def test_what_is_unsaved_in_the_window_counts_as_now(
    page: EarlierPage, kept: Session, qtbot: QtBot
) -> None:
    rename(kept, "Linden Lea IV")
    choose(page, 1, qtbot)

    top = page.tree.topLevelItem(0)
    assert top is not None
    assert below(top, 2) == "Linden Lea IV"


def test_a_save_is_put_back_and_what_was_there_is_kept_before(
    page: EarlierPage, kept: Session, qtbot: QtBot
) -> None:
    choose(page, 1, qtbot)
    page.all_button.click()

    qtbot.waitUntil(lambda: name_of(kept) == "Linden Lea II", timeout=WAIT)
    assert not kept.is_changed
    boat = kept.place / "boats" / "linden-lea" / "boat.json"
    assert '"Linden Lea II"' in boat.read_text(encoding="utf-8")
    qtbot.waitUntil(lambda: "Nothing in it" in page.about.text(), timeout=WAIT)
    choose(page, 0, qtbot)  # the newest is what lay there before
    top = page.tree.topLevelItem(0)
    assert top is not None
    assert below(top, 1) == "Linden Lea III"


def test_unsaved_work_is_offered_back_after_a_save_was_put_back(
    page: EarlierPage, kept: Session, keeper: Keeper, qtbot: QtBot
) -> None:
    assert kept.attempt(lambda project: rename_project(project, "One boat")) == ""
    choose(page, 1, qtbot)

    with qtbot.waitSignal(keeper.offered, timeout=WAIT) as offered:
        page.all_button.click()
    assert kept.project.name == "Two boats"
    offered.args[0].do()

    assert kept.project.name == "One boat"


def test_one_part_is_put_back_and_the_others_stay(
    page: EarlierPage, kept: Session, keeper: Keeper, qtbot: QtBot
) -> None:
    assert kept.attempt(lambda project: rename_project(project, "Three boats")) == ""
    save(kept, keeper, qtbot)
    page.look()
    qtbot.waitUntil(lambda: page.list.count() == 3, timeout=WAIT)
    choose(page, 2, qtbot)
    qtbot.waitUntil(lambda: page.tree.topLevelItemCount() == 2, timeout=WAIT)
    wanted = next(
        item
        for place in range(2)
        if (item := page.tree.topLevelItem(place)) is not None and "particulars" in item.text(0)
    )
    page.tree.setCurrentItem(wanted)
    page.part_button.click()

    qtbot.waitUntil(lambda: name_of(kept) == "Linden Lea II", timeout=WAIT)
    assert kept.project.name == "Three boats"


def test_a_boat_that_was_removed_comes_back_with_all_that_was_found(
    page: EarlierPage, kept: Session, keeper: Keeper, qtbot: QtBot
) -> None:
    before = kept.project.boats["marigold-rae"]
    kept.apply(remove_boat(kept.project, "marigold-rae"))
    save(kept, keeper, qtbot)
    page.look()
    qtbot.waitUntil(lambda: page.list.count() == 3, timeout=WAIT)
    choose(page, 1, qtbot)
    page.all_button.click()

    qtbot.waitUntil(lambda: "marigold-rae" in kept.project.boats, timeout=WAIT)
    assert kept.project.boats["marigold-rae"].inspection == before.inspection


def test_before_the_first_save_the_page_says_what_will_be_here(
    kept: Session, show: Show, qtbot: QtBot
) -> None:
    page = EarlierPage(kept)
    show(page)

    qtbot.waitUntil(lambda: "No earlier saves" in page.title.text(), timeout=WAIT)
    assert not page.all_button.isVisible()


def test_a_damaged_file_is_named_with_the_save_that_holds_it_and_comes_back(
    kept: Session,
    keeper: Keeper,
    few_checks: Catalogue,
    saved_search: Path,
    show: Show,
    qtbot: QtBot,
) -> None:
    rename(kept, "Linden Lea II")
    save(kept, keeper, qtbot)
    kept.close()
    (saved_search / "boats" / "marigold-rae" / "inspection.json").write_bytes(b"\0" * 200)
    background = Background()
    session = Session(open_project(saved_search), few_checks, background)
    background.setParent(session)
    assert len(session.project.boats["marigold-rae"].inspection.readings) == 0
    page = EarlierPage(session)
    show(page)
    qtbot.waitUntil(lambda: page.damage.count() > 0, timeout=WAIT)

    words = [one.text() for one in page.findChildren(QLabel)]
    assert any(one.startswith("Marigold Rae, readings and photos: can be had") for one in words)
    next(b for b in page.findChildren(QPushButton) if b.text() == "Bring it back").click()

    qtbot.waitUntil(
        lambda: len(session.project.boats["marigold-rae"].inspection.readings) == 1, timeout=WAIT
    )
    qtbot.waitUntil(lambda: page.damage.count() == 0, timeout=WAIT)
    session.close()
    session.deleteLater()


def test_a_damaged_file_that_no_save_holds_can_be_set_aside(
    few_checks: Catalogue, saved_search: Path, show: Show, qtbot: QtBot
) -> None:
    folder = saved_search / "boats" / "marigold-rae"
    (folder / "inspection.json").write_text("{", encoding="utf-8")
    background = Background()
    session = Session(open_project(saved_search), few_checks, background)
    background.setParent(session)
    page = EarlierPage(session)
    show(page)
    qtbot.waitUntil(lambda: page.damage.count() > 0, timeout=WAIT)
    next(b for b in page.findChildren(QPushButton) if b.text() == "Set it aside").click()

    qtbot.waitUntil(lambda: page.damage.count() == 0, timeout=WAIT)
    assert not (folder / "inspection.json").exists()
    assert [p.read_text(encoding="utf-8") for p in folder.glob("inspection (damaged*")] == ["{"]
    session.close()
    session.deleteLater()


def test_the_banner_of_a_damaged_file_leads_to_what_can_be_had_back(
    tmp_path: Path, qtbot: QtBot
) -> None:
    place = make_folder(tmp_path / "search", lambda p: add_boat(p, Boat("", "Ann")))
    (place / "boats" / "ann" / "ledger.json").write_bytes(b"")
    window = open_window(place, qtbot)
    assert window.banner.isVisible()

    window.banner.action_button.click()

    assert isinstance(window.stack.currentWidget(), EarlierPage)
    window.session.close()


def test_a_save_that_is_damaged_itself_is_told(
    page: EarlierPage, kept: Session, qtbot: QtBot
) -> None:
    backup = page._kept.backups[1]
    Path(kept.folder.workplace.own, backup.path).write_bytes(b"no archive")

    page.list.setCurrentRow(1)

    qtbot.waitUntil(lambda: "damaged" in page.problem.text(), timeout=WAIT)
    assert name_of(kept) == "Linden Lea III"


def test_everything_has_a_name_is_reached_by_keys_and_is_not_cut(
    page: EarlierPage, qtbot: QtBot
) -> None:
    choose(page, 1, qtbot)

    assert nameless(page) == []
    assert out_of_reach(page) == []
    assert cut_labels(page) == []


def test_a_difference_of_a_whole_file_says_which_side_has_it() -> None:

    assert difference_lines(b"{}", None) == (("the whole file", "there", "not there"),)
    assert difference_lines(None, b"{}") == (("the whole file", "not there", "there"),)
