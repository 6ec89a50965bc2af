"""What the window last showed stands there at once when nothing changed, and else not at all.

The figures made anew are the reference: the remembered rows must be theirs to the letter.
"""

from __future__ import annotations

import dataclasses
import json
import os
import stat
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import workbench
from tests.figures.small_yard import AS_OF, mm, seen
from tests.window.open_search import figured, make_folder, open_session
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.money import Money
from workbench.edits import boats, inspecting
from workbench.paths import cache_folder
from workbench.window import last_shown
from workbench.window.last_shown import (
    LastShown,
    keep_last_shown,
    marks_of,
    read_last_shown,
    shown_now,
)
from workbench.window.models.boat_list import BoatListModel
from workbench.window.models.inspection_tree import InspectionTreeModel
from workbench.window.models.ledger_tree import LedgerTreeModel
from workbench.window.models.two_levels import Group
from workbench.window.pages.ledger_pane import LedgerPane
from workbench.window.session import Session

OPENED = Callable[[], Session]


def _yard_boat(name: str) -> Boat:
    price = AskingPrice(Money(Decimal(20_000), "USD"), AS_OF)
    return Boat("", name, year=1986, asking=(price,), dimensions=FrozenMap({"loa": mm("10000")}))


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A saved search: two boats, one of them with a worn bearing."""
    return make_folder(
        tmp_path / "search",
        lambda p: boats.add_boat(p, _yard_boat("Ann")),
        lambda p: boats.add_boat(p, _yard_boat("Bea")),
        lambda p: inspecting.record_reading(p, "ann", "bearing", seen(play=mm("1.2"))),
    )


@pytest.fixture
def opened(place: Path, qapp: QApplication) -> Iterator[OPENED]:
    """Opens the search; every session is closed at the end."""
    del qapp
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedStates))
    made: list[Session] = []

    def open_again() -> Session:
        for earlier in made:
            earlier.close()
        made.append(open_session(place))
        return made[-1]

    yield open_again
    for session in made:
        session.close()
        session.deleteLater()
    QLocale.setDefault(before)


@pytest.fixture
def kept(opened: OPENED, qtbot: QtBot) -> LastShown:
    """What a window showed of Ann and kept."""
    session = opened()
    figured(session, qtbot)
    session.check_id = "bearing"
    shown = shown_now(session)
    assert shown is not None
    keep_last_shown(shown, marks_of(session))
    return shown


def again(opened: OPENED) -> Session:
    """The search opened once more, with what is remembered of it."""
    session = opened()
    session.last_shown = read_last_shown(marks_of(session))
    return session


def test_remembered_rows_are_what_the_figures_say(
    kept: LastShown, opened: OPENED, qtbot: QtBot
) -> None:
    session = again(opened)
    assert session.remembered == kept
    models = (BoatListModel(session), InspectionTreeModel(session), LedgerTreeModel(session))
    pane = LedgerPane(session)
    qtbot.addWidget(pane)
    before = (list(models[0].cards), *(list(model.groups) for model in models[1:]))
    totals = pane.totals.amount_of("ready").text()
    resets: list[object] = []
    for model in models:
        model.modelReset.connect(lambda: resets.append(1))
        model.dataChanged.connect(lambda *_: resets.append(2))

    figured(session, qtbot)

    assert session.last_shown is None
    assert before == (list(models[0].cards), *(list(model.groups) for model in models[1:]))
    assert all(before)
    assert totals == pane.totals.amount_of("ready").text() != ""
    assert resets == []


def test_no_row_is_remembered_as_lit(kept: LastShown) -> None:
    def lit(groups: tuple[Group, ...]) -> list[bool]:
        return [entry.parts.lit for group in groups for entry in group.entries]

    assert not any(lit(kept.ledger))
    assert lit(kept.ledger)


def test_another_boat_shows_her_card_and_waits_for_her_rows(
    kept: LastShown, opened: OPENED
) -> None:
    session = again(opened)
    tree = InspectionTreeModel(session)
    assert tree.rowCount() == len(kept.tree) > 0

    session.select_boat("bea")

    assert tree.rowCount() == 0
    assert len(BoatListModel(session).cards) == 2


@pytest.mark.usefixtures("kept")
def test_an_edit_before_the_figures_drops_what_is_remembered(opened: OPENED) -> None:
    session = again(opened)
    assert session.remembered is not None

    session.attempt(lambda p: inspecting.record_reading(p, "ann", "seacocks", seen(state="bad")))

    assert session.last_shown is None


@pytest.mark.usefixtures("kept")
def test_a_search_that_changed_outside_is_figured_first(opened: OPENED, place: Path) -> None:
    file = place / "boats" / "ann" / "boat.json"
    text = json.loads(file.read_text(encoding="utf-8"))
    file.write_text(json.dumps({**text, "year": 1990}), encoding="utf-8")

    assert again(opened).last_shown is None


@pytest.mark.usefixtures("kept")
def test_other_number_signs_are_figured_first(opened: OPENED) -> None:
    QLocale.setDefault(QLocale(QLocale.Language.German))

    assert again(opened).last_shown is None


@pytest.mark.usefixtures("kept")
def test_another_program_or_catalogue_is_figured_first(
    opened: OPENED, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    session = opened()
    assert read_last_shown(marks_of(session)) is not None
    with monkeypatch.context() as other:
        other.setattr(workbench, "__version__", "99")
        assert read_last_shown(marks_of(session)) is None
    (tmp_path / "catalogue").mkdir()
    (tmp_path / "catalogue" / "one.toml").write_text("", encoding="utf-8")
    monkeypatch.setattr(last_shown, "resources_root", lambda: tmp_path)
    assert read_last_shown(marks_of(session)) is None


@pytest.mark.usefixtures("kept")
@pytest.mark.parametrize(
    "damage",
    [
        lambda _: b"",
        lambda text: text[:-1],
        lambda text: text.replace(b"Ann", b"Bea", 1),
        lambda text: text.partition(b"\n")[2],
        lambda _: b"\x00\xff",
    ],
)
def test_a_damaged_file_is_as_if_it_were_not_there(
    opened: OPENED, damage: Callable[[bytes], bytes]
) -> None:
    session = opened()
    file = cache_folder() / last_shown.NAME
    file.write_bytes(damage(file.read_bytes()))

    assert read_last_shown(marks_of(session)) is None


@pytest.mark.usefixtures("kept")
def test_what_is_kept_of_a_search_is_for_its_owner_only() -> None:
    if os.name == "nt":
        pytest.skip("Windows keeps the user's folders apart by other means")

    mode = (cache_folder() / last_shown.NAME).stat().st_mode

    assert stat.S_IMODE(mode) == 0o600


def test_nothing_is_kept_while_figures_are_on_their_way(opened: OPENED, qtbot: QtBot) -> None:
    session = opened()
    assert shown_now(session) is None
    figured(session, qtbot)
    assert shown_now(session) is not None

    session.project = dataclasses.replace(session.project, name="Another")

    assert shown_now(session) is None
