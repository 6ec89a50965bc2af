"""The item models keep Qt's contract and show what the figures say, whatever is edited."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QAbstractItemModel, QModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import NOT_SEEN, mm, seen
from tests.window.open_search import figured, make_folder, open_session
from workbench.domain.boat import Boat
from workbench.domain.ledger import LineChange, OwnLine
from workbench.domain.project import Project
from workbench.domain.span import Span
from workbench.edits import boats, costing, inspecting
from workbench.edits.edit import Edit
from workbench.window.models.boat_list import CARD_ROLE, BoatCard, BoatListModel
from workbench.window.models.inspection_tree import Filter, InspectionTreeModel
from workbench.window.models.ledger_tree import Grouping, LedgerTreeModel
from workbench.window.models.two_levels import KEY_ROLE
from workbench.window.session import Session
from workbench.window.widgets.row_delegate import ROW_ROLE, RowParts

FATAL = QAbstractItemModelTester.FailureReportingMode.Fatal


@pytest.fixture
def session(tmp_path: Path, qtbot: QtBot) -> Iterator[Session]:
    """A session on a search with two boats."""
    place = make_folder(
        tmp_path / "search",
        lambda p: boats.add_boat(p, Boat("", "Ann", year=1986)),
        lambda p: boats.add_boat(p, Boat("", "Bea", year=1990)),
    )
    made = open_session(place)
    figured(made, qtbot)
    yield made
    made.close()


def models(session: Session) -> tuple[QAbstractItemModel, ...]:
    """The three models of the Boats page."""
    return (BoatListModel(session), InspectionTreeModel(session), LedgerTreeModel(session))


def rows(model: QAbstractItemModel, parent: QModelIndex | None = None) -> Iterator[QModelIndex]:
    """Every index of a model, depth first."""
    above = QModelIndex() if parent is None else parent
    for row in range(model.rowCount(above)):
        index = model.index(row, 0, above)
        yield index
        yield from rows(model, index)


def edit_of(number: int, project: Project) -> Edit:
    """One of several edits that a user could make."""
    boat = next(iter(project.boats), "")
    if not boat:
        return boats.add_boat(project, Boat("", "Cat"))
    return (
        lambda: boats.add_boat(project, Boat("", f"Boat {number}", year=1970)),
        lambda: boats.remove_boat(project, boat),
        lambda: inspecting.record_reading(project, boat, "bearing", seen(play=mm("1.2"))),
        lambda: inspecting.record_reading(project, boat, "seacocks", seen(state="bad")),
        lambda: inspecting.record_reading(project, boat, "rigging", NOT_SEEN),
        lambda: boats.set_fact(project, boat, "drive", "saildrive", "Drive"),
        lambda: costing.change_line(project, boat, "bearing/renew/work", LineChange(left_out=True)),
        lambda: costing.put_own_line(
            project, boat, OwnLine("", "Paint", Span.exactly(mm("9").number))
        ),
        lambda: boats.archive_boat(project, boat, archived=True),
    )[number % 9]()


@settings(
    max_examples=12,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(st.lists(st.integers(0, 200), max_size=6))
def test_the_models_keep_qts_contract_through_any_edits(
    session: Session, qtbot: QtBot, numbers: list[int]
) -> None:
    made = models(session)
    testers = [QAbstractItemModelTester(model, FATAL) for model in made]

    for number in numbers:
        with qtbot.waitSignal(session.assessed, timeout=20_000):
            session.apply(edit_of(number, session.project))
    session.undo()
    figured(session, qtbot)

    for model in made:
        for index in rows(model):
            assert index.data(Qt.ItemDataRole.DisplayRole)
            assert index.data(Qt.ItemDataRole.AccessibleTextRole)
    for tester, model in zip(testers, made, strict=True):
        tester.deleteLater()
        model.deleteLater()
    qtbot.wait(1)


def test_the_boat_list_shows_price_and_cost_of_every_boat(session: Session) -> None:
    model = BoatListModel(session)
    cards = [index.data(CARD_ROLE) for index in rows(model)]

    assert [card.name for card in cards if isinstance(card, BoatCard)] == ["Ann", "Bea"]
    assert cards[0].asked == "no price"


def test_the_tree_filters_to_what_nobody_has_seen(session: Session, qtbot: QtBot) -> None:
    model = InspectionTreeModel(session)
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        session.apply(
            inspecting.record_reading(session.project, "ann", "bearing", seen(play=mm("0.1")))
        )

    model.set_filter(Filter.UNSEEN)

    assert "bearing" not in model.shown_keys()
    assert {"seacocks", "rigging", "seal"} == set(model.shown_keys())
    model.set_search("rig")
    assert model.shown_keys() == ["rigging"]


def test_the_ledger_regroups_without_losing_a_line(session: Session, qtbot: QtBot) -> None:
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        session.apply(
            inspecting.record_reading(session.project, "ann", "bearing", seen(play=mm("1.2")))
        )
    model = LedgerTreeModel(session)
    keys: list[set[str]] = []
    for grouping in Grouping:
        model.set_grouping(grouping)
        keys.append({str(index.data(KEY_ROLE)) for index in rows(model) if index.data(KEY_ROLE)})

    assert keys[0]
    assert all(one == keys[0] for one in keys)


def test_the_groups_of_the_ledger_add_up_to_the_cost_of_the_work(session: Session) -> None:
    model = LedgerTreeModel(session)
    boat = session.boat
    assert boat is not None
    shown = 0
    for index in rows(model):
        parts = index.data(ROW_ROLE)
        assert isinstance(parts, RowParts)
        if parts.strong:
            shown += int(parts.figure.replace(",", ""))

    assert abs(shown - int(boat.work.mean + boat.allowance.mean)) <= 2
