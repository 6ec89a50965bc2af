"""Notes and the day of a reading, and readings taken back one by one."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Show
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.quantity import Quantity, parse_quantity
from workbench.edits.inspecting import record_reading
from workbench.window.pages.check_panel import CheckPanel
from workbench.window.session import Session

CHECK, BOAT = "stern-bearing-play", "amber-tide"


@pytest.fixture
def panel(session: Session, show: Show) -> CheckPanel:
    """The worn-out stern bearing, as Robin who read it sees it."""
    session.set_observer("Robin")
    session.select_boat(BOAT)
    session.select_check(CHECK)
    made = CheckPanel(session)
    show(made)
    return made


def readings(session: Session) -> tuple[Reading, ...]:
    return session.project.boats[BOAT].inspection.readings.get(CHECK, ())


def test_notes_are_written_beside_the_values_and_stay_apart(
    qtbot: QtBot, panel: CheckPanel, session: Session
) -> None:
    before = readings(session)[-1]
    qtbot.keyClicks(panel.so_far.note, "knocks when it drops")
    qtbot.keyClick(panel.so_far.note, Qt.Key.Key_Return)
    qtbot.keyClicks(panel.so_far.private_note, "he seemed in a hurry")
    qtbot.keyClick(panel.so_far.private_note, Qt.Key.Key_Return)
    after = readings(session)

    assert len(after) == 1
    assert (after[0].note, after[0].private_note) == (
        "knocks when it drops",
        "he seemed in a hurry",
    )
    assert after[0].values == before.values
    session.undo()
    session.undo()
    assert readings(session) == (before,)


def test_a_reading_is_put_on_the_day_on_which_it_was_taken(
    qtbot: QtBot, panel: CheckPanel, session: Session
) -> None:
    day = panel.so_far.day
    day.line_edit.selectAll()
    qtbot.keyClicks(day.line_edit, "2026-04-30")
    qtbot.keyClick(day.line_edit, Qt.Key.Key_Return)
    assert readings(session)[-1].taken == date(2026, 4, 30)
    day.line_edit.selectAll()
    qtbot.keyClicks(day.line_edit, "yesterday")
    qtbot.keyClick(day.line_edit, Qt.Key.Key_Return)

    assert "is no day" in day.problem()
    assert readings(session)[-1].taken == date(2026, 4, 30)


def test_one_reading_of_several_is_taken_back(
    qtbot: QtBot, panel: CheckPanel, session: Session
) -> None:
    found: dict[str, Quantity | str] = {"play": parse_quantity("0.2 mm", "mm"), "sound": "quiet"}
    with qtbot.waitSignal(session.assessed, timeout=30_000):
        session.apply(
            record_reading(
                session.project,
                BOAT,
                CHECK,
                Reading(
                    "",
                    FrozenMap(found),
                    taken=date(2026, 5, 10),
                    by="Kim",
                ),
            )
        )
    buttons = panel.so_far.findChildren(QPushButton)
    kims = next(one for one in buttons if "Kim" in one.accessibleName())
    assert panel.so_far.disagree.isVisibleTo(panel.so_far)
    with qtbot.waitSignal(session.assessed, timeout=30_000):
        qtbot.mouseClick(kims, Qt.MouseButton.LeftButton)

    assert [one.by for one in readings(session)] == ["Robin"]
    assert not panel.so_far.disagree.isVisibleTo(panel.so_far)
