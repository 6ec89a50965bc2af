"""The cost ledger by keys and clicks: jobs of one's own, several lines at once, groups, copying."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from tests.figures.small_yard import mm, seen
from tests.window.open_search import make_folder, open_window
from workbench.domain.boat import Boat
from workbench.domain.ledger import LineChange
from workbench.domain.span import Ends, Shape
from workbench.domain.vocabulary import Basis, When
from workbench.edits import boats, costing, inspecting
from workbench.window.main_window import MainWindow
from workbench.window.models.ledger_tree import Grouping
from workbench.window.models.two_levels import KEY_ROLE
from workbench.window.pages.job_needs import JobNeeds
from workbench.window.pages.ledger_pane import LedgerPane
from workbench.window.pages.line_panel import LinePanel
from workbench.window.widgets.parsed_field import ParsedField
from workbench.window.widgets.three_point_field import ThreePointField


@pytest.fixture
def window(tmp_path: Path, qtbot: QtBot) -> MainWindow:
    """The window on a boat with a worn-out bearing and a bad seacock."""
    place = make_folder(
        tmp_path / "search",
        lambda p: boats.add_boat(p, Boat("", "Ann", year=1986)),
        lambda p: inspecting.record_reading(p, "ann", "bearing", seen(play=mm("1.2"))),
        lambda p: inspecting.record_reading(p, "ann", "seacocks", seen(state="bad")),
    )
    return open_window(place, qtbot)


def type_over(qtbot: QtBot, field: QLineEdit, text: str) -> None:
    """Put a text in place of what stands in a field, and leave it with Return."""
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def found_lines(pane: LedgerPane) -> list[str]:
    """The keys of the lines of work that was found, in their order."""
    keys = pane.model.shown_keys()
    return [key for key in keys if key.startswith(("bearing/", "seacocks/"))]


def choose_both(pane: LedgerPane, qtbot: QtBot) -> tuple[str, ...]:
    """Choose the two found lines, the second with Ctrl and a click."""
    keys = found_lines(pane)
    assert len(keys) == 2
    for key, held in zip(
        keys,
        (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier),
        strict=True,
    ):
        index = pane.model.index_of(key)
        pane.view.scrollTo(index)
        place = pane.view.visualRect(index).center()
        qtbot.mouseClick(pane.view.viewport(), Qt.MouseButton.LeftButton, held, place)
    return tuple(keys)


def test_a_job_of_ones_own_is_named_and_priced_where_it_is_added(
    window: MainWindow, qtbot: QtBot
) -> None:
    session, pane = window.session, window.boats_page.ledger
    before = session.boat
    assert before is not None

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        qtbot.mouseClick(pane.add_button, Qt.MouseButton.LeftButton)
    named = next(
        one for one in pane.panel.findChildren(QLineEdit) if one.accessibleName() == "The job"
    )
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        type_over(qtbot, named, "New cushions")
    cost = next(one for one in pane.panel.findChildren(ThreePointField) if one.isVisible())
    for field, figure in zip((cost.low, cost.likely), ("300", "400"), strict=True):
        type_over(qtbot, field.line_edit, figure)
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        type_over(qtbot, cost.high.line_edit, "500")

    job = session.project.boats["ann"].ledger.own_lines[0]
    assert (job.title, job.cost.likely) == ("New cushions", Decimal(400))
    after = session.boat
    assert after is not None
    assert after.work.mean - before.work.mean == 400


def test_a_chance_typed_for_a_job_of_ones_own_counts(window: MainWindow, qtbot: QtBot) -> None:
    session, pane = window.session, window.boats_page.ledger
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        pane.add_job()
    chance = next(
        one
        for one in pane.panel.findChildren(ParsedField)
        if one.line_edit.accessibleName() == "Chance that it is needed, %"
    )
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        type_over(qtbot, chance.line_edit, "25")

    assert session.project.boats["ann"].ledger.own_lines[0].chance == Decimal("0.25")
    line = pane.panel.line()
    assert line is not None
    assert line.chance == 0.25


def test_a_job_without_a_name_is_refused_at_the_line(window: MainWindow, qtbot: QtBot) -> None:
    session, pane = window.session, window.boats_page.ledger
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        pane.add_job()
    named = next(
        one for one in pane.panel.findChildren(QLineEdit) if one.accessibleName() == "The job"
    )
    named.setFocus()
    named.selectAll()
    qtbot.keyClick(named, Qt.Key.Key_Delete)
    qtbot.keyClick(named, Qt.Key.Key_Return)

    assert "Say what the job is" in pane.panel.problem.text()


def test_several_lines_are_left_out_and_counted_again_in_one_step_each(
    window: MainWindow, qtbot: QtBot
) -> None:
    session, pane = window.session, window.boats_page.ledger
    before = session.boat
    assert before is not None
    keys = choose_both(pane, qtbot)
    assert pane.chosen.isVisible()
    assert pane.chosen.keys == keys or set(pane.chosen.keys) == set(keys)

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        qtbot.mouseClick(pane.chosen.leave_out, Qt.MouseButton.LeftButton)

    changes = session.project.boats["ann"].ledger.changes
    assert all(changes[key].left_out for key in keys)
    assert "Change 2 lines" in window.undo_action.text()
    left = session.boat
    assert left is not None
    assert left.work.mean < before.work.mean

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        window.undo_action.trigger()
    again = session.boat
    assert again is not None
    assert again.work.mean == before.work.mean


def test_several_lines_are_put_off_together(window: MainWindow, qtbot: QtBot) -> None:
    session, pane = window.session, window.boats_page.ledger
    keys = choose_both(pane, qtbot)
    place = pane.chosen.when.findData(When.FIVE_YEARS)

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        pane.chosen.when.setCurrentIndex(place)
        pane.chosen.when.activated.emit(place)

    changes = session.project.boats["ann"].ledger.changes
    assert {changes[key].when for key in keys} == {When.FIVE_YEARS}


def test_work_is_grouped_under_the_shared_work_it_needs(window: MainWindow) -> None:
    pane = window.boats_page.ledger
    pane.grouping.setCurrentIndex(pane.grouping.findData(Grouping.ACCESS))
    pane.grouping.activated.emit(pane.grouping.currentIndex())

    groups = {group.row.title: [one.key for one in group.entries] for group in pane.model.groups}
    bearing = next(key for key in found_lines(pane) if key.startswith("bearing/"))
    assert bearing in groups["Draw the shaft"]
    assert any(key.startswith("access/draw-shaft") for key in groups["Draw the shaft"])


def test_the_ledger_is_copied_as_a_table(window: MainWindow, qtbot: QtBot) -> None:
    pane = window.boats_page.ledger
    pane.view.setFocus()
    pane.view.setCurrentIndex(pane.model.index_of(found_lines(pane)[0]))

    qtbot.keyClick(pane.view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)

    lines = [row.split("\t") for row in QGuiApplication.clipboard().text().split("\n")]
    assert lines[0] == ["Group", "Work", "Grade", "Rests on", "Counts"]
    assert len(lines) == 1 + len(pane.model.shown_keys())
    assert {len(row) for row in lines} == {5}
    shown = str(pane.model.index_of(found_lines(pane)[0]).data())
    assert any(row[1] == shown for row in lines)
    assert pane.model.index_of(found_lines(pane)[0]).data(KEY_ROLE)


def test_the_yards_hours_stay_in_the_field_when_the_work_is_ones_own(
    window: MainWindow, qtbot: QtBot
) -> None:
    session, pane = window.session, window.boats_page.ledger
    key = next(key for key in found_lines(pane) if key.startswith("bearing/"))
    pane.open_line(key)
    hours = pane.panel.findChildren(ThreePointField)[0]
    before = hours.span()
    assert "By the yard 300" in pane.panel.ways.text()
    assert "hours of your own" in pane.panel.ways.text()
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        qtbot.mouseClick(pane.panel.own_work, Qt.MouseButton.LeftButton)

    assert hours.span() == before

    for field in (hours.low, hours.likely):
        type_over(qtbot, field.line_edit, "2")
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        type_over(qtbot, hours.high.line_edit, "3")
    assert [float(str(end)) for end in hours.span() or ()] == [2, 2, 3]


def test_several_checks_are_marked_not_seen_in_one_step(window: MainWindow, qtbot: QtBot) -> None:
    session, pane = window.session, window.boats_page.inspection
    pane.view.expandAll()
    first, second = pane.model.index_of("rigging"), pane.model.index_of("seal")
    pane.view.setFocus()
    for index, held in (
        (first, Qt.KeyboardModifier.NoModifier),
        (second, Qt.KeyboardModifier.ControlModifier),
    ):
        pane.view.scrollTo(index)
        place = pane.view.visualRect(index).center()
        qtbot.mouseClick(pane.view.viewport(), Qt.MouseButton.LeftButton, held, place)
    assert pane.chosen.isVisible()

    pane.chosen.reason.setFocus()
    qtbot.keyClicks(pane.chosen.reason, "under the winter cover")
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        qtbot.keyClick(pane.chosen.reason, Qt.Key.Key_Return)

    readings = session.project.boats["ann"].inspection.readings
    reasons = {readings[check][-1].reason for check in ("rigging", "seal")}
    assert reasons == {"under the winter cover"}
    assert "Readings of 2 checks" in window.undo_action.text()
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        window.undo_action.trigger()
    assert "rigging" not in session.project.boats["ann"].inspection.readings


def test_the_inspection_is_copied_as_a_table(window: MainWindow, qtbot: QtBot) -> None:
    pane = window.boats_page.inspection
    pane.view.setFocus()

    qtbot.keyClick(pane.view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)

    rows = QGuiApplication.clipboard().text().split("\n")
    assert len(rows) == 1 + len(pane.model.shown_keys())
    assert rows[0].startswith("System\tCheck\tGrade\tReading")


def test_the_file_of_a_quote_is_kept_with_it_and_shown_again(
    window: MainWindow, qtbot: QtBot, tmp_path: Path
) -> None:
    session, pane = window.session, window.boats_page.ledger
    pane.open_line(found_lines(pane)[0])
    assert not pane.panel.document.isVisible()
    qtbot.keyClicks(pane.panel.yard, "Wharf Lane yard")
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        type_over(qtbot, pane.panel.quoted.line_edit, "500")
    file = tmp_path / "quote.pdf"
    file.write_bytes(b"%PDF-1.4\nnothing\n%%EOF\n")

    with qtbot.waitSignal(session.assessed, timeout=20_000):
        pane.panel.document.attach(file)

    quote = session.project.boats["ann"].ledger.quotes[0]
    assert quote.document.endswith(".pdf")
    kept = session.place / "boats" / "ann" / "documents" / quote.document
    assert kept.read_bytes() == file.read_bytes()
    assert pane.panel.document.show_button.isVisible()
    assert pane.panel.document.about.text() == "Attached: PDF"


def test_a_program_is_refused_as_a_quote(window: MainWindow, qtbot: QtBot, tmp_path: Path) -> None:
    session, pane = window.session, window.boats_page.ledger
    pane.open_line(found_lines(pane)[0])
    qtbot.keyClicks(pane.panel.yard, "Wharf Lane yard")
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        type_over(qtbot, pane.panel.quoted.line_edit, "500")
    file = tmp_path / "quote.pdf"
    file.write_bytes(b"MZ\0\0")

    pane.panel.document.attach(file)

    qtbot.waitUntil(lambda: "not a document" in pane.panel.problem.text(), timeout=10_000)
    assert session.project.boats["ann"].ledger.quotes[0].document == ""


def test_the_figure_of_a_line_says_where_it_comes_from(window: MainWindow, qtbot: QtBot) -> None:
    pane = window.boats_page.ledger
    pane.open_line(next(key for key in found_lines(pane) if key.startswith("bearing/")))

    pane.panel.why.link.click()

    top = pane.panel.why.tree.topLevelItem(0)
    assert top is not None
    assert top.text(2) == "300"
    below = (top.child(place) for place in range(top.childCount()))
    steps = [one.text(0) for one in below if one is not None]
    assert "Labour, mechanic" in steps
    assert "Price from" in steps


def job_with_cost(window: MainWindow, qtbot: QtBot, figures: tuple[str, str, str]) -> LinePanel:
    """A job of one's own that costs so much, unfolded."""
    session, pane = window.session, window.boats_page.ledger
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        pane.add_job()
    cost = next(one for one in pane.panel.findChildren(ThreePointField) if one.isVisible())
    for field, figure in zip((cost.low, cost.likely), figures, strict=False):
        type_over(qtbot, field.line_edit, figure)
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        type_over(qtbot, cost.high.line_edit, figures[2])
    return pane.panel


@pytest.mark.parametrize(
    ("ends", "shape", "mean"),
    [
        (Ends.LIMITS, Shape.PERT, 1100.0),
        (Ends.LIMITS, Shape.TRIANGLE, 1300.0),
        (Ends.ONE_IN_TEN, Shape.PERT, 1410.6),
    ],
)
def test_one_range_read_in_another_way_has_another_mean(
    window: MainWindow, qtbot: QtBot, ends: Ends, shape: Shape, mean: float
) -> None:
    """600/900/2,400: (a+4m+b)/6, (a+m+b)/3, and the mean of the curve with these tenths."""
    panel = job_with_cost(window, qtbot, ("600", "900", "2400"))
    for box, wanted in ((panel.reading.ends, ends), (panel.reading.shape, shape)):
        if box.currentData() != wanted:
            box.setCurrentIndex(box.findData(wanted))
            with qtbot.waitSignal(window.session.assessed, timeout=20_000):
                box.activated.emit(box.currentIndex())

    line = panel.line()
    assert line is not None
    assert line.mean == pytest.approx(mean, rel=1e-4)
    cost = next(one for one in panel.findChildren(ThreePointField) if one.isVisible())
    shown = [one.text() for one in cost.findChildren(QLabel)]
    assert panel.reading.ends.currentText() in shown, "the field says how its ends are read"


def test_a_job_of_ones_own_that_needs_her_hauled_out_is_charged_the_haul_out_once(
    window: MainWindow, qtbot: QtBot
) -> None:
    """The bearing needs it before launching; a job done then adds no haul-out, a later one does."""
    panel = job_with_cost(window, qtbot, ("300", "400", "500"))
    session = window.session
    for_launching = costing.change_line(
        session.project, "ann", panel.key, LineChange(when=When.BEFORE_LAUNCHING)
    )
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        session.attempt(lambda _: for_launching)
    assert session.boat is not None
    before = session.boat.work.mean
    needs = panel.findChildren(JobNeeds)[0]
    needs.tasks.setCurrentIndex(needs.tasks.findData("haul-out"))
    with qtbot.waitSignal(session.assessed, timeout=20_000):
        needs.tasks.activated.emit(needs.tasks.currentIndex())

    assert session.project.boats["ann"].ledger.own_lines[0].access == ("haul-out",)
    line = panel.line()
    assert line is not None
    assert line.access == ("haul-out",)
    assert session.boat.work.mean == before


def test_a_range_that_claims_more_than_it_can_carry_is_named_at_its_line(
    window: MainWindow, qtbot: QtBot
) -> None:
    panel = job_with_cost(window, qtbot, ("890", "900", "910"))

    assert "narrower than an own figure can carry" in panel.narrow.text()
    assert panel.narrow.isVisibleTo(panel)


@pytest.mark.parametrize(("basis", "named"), [(Basis.GUESS, True), (Basis.INVOICE, False)])
def test_what_a_cost_rests_on_decides_how_narrow_it_may_be(
    window: MainWindow, qtbot: QtBot, basis: Basis, named: bool
) -> None:
    """Estimate classes of AACE 18R-97 (from memory): -20/+30 % of class 5, -10/+10 of class 3."""
    panel = job_with_cost(window, qtbot, ("790", "900", "1030"))
    needs = panel.findChildren(JobNeeds)[0]
    needs.basis.setCurrentIndex(needs.basis.findData(basis))
    with qtbot.waitSignal(window.session.assessed, timeout=20_000):
        needs.basis.activated.emit(needs.basis.currentIndex())

    line = panel.line()
    assert line is not None
    assert line.basis is basis
    assert ("a guess can carry" in panel.narrow.text()) is named
    assert panel.narrow.isVisibleTo(panel) is named
