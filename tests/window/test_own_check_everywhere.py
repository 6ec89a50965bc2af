"""A check that was dropped in as data is in the tree, in the ledger and on the sheets; no code."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QModelIndex, Qt
from pytestqt.qtbot import QtBot

from tests.catalogue.test_own_checks import OWN
from tests.figures.small_yard import mm, seen
from tests.reports.invented import read_text, read_text_again
from tests.window.open_search import figured, make_folder
from workbench.catalogue.loading import load
from workbench.domain.boat import Boat
from workbench.edits import boats, inspecting
from workbench.edits.searching import put_own_checks
from workbench.reports.export import export_sheets
from workbench.store.folder import open_project
from workbench.window.background import Background
from workbench.window.models.inspection_tree import InspectionTreeModel
from workbench.window.models.ledger_tree import LedgerTreeModel
from workbench.window.models.two_levels import TwoLevelModel
from workbench.window.session import Session

CHECK_TITLE, WORK_TITLE = "Play of the part", "New part"


def words(model: TwoLevelModel, parent: QModelIndex | None = None) -> str:
    """All that a tree shows, one entry a line."""
    above = QModelIndex() if parent is None else parent
    said = []
    for row in range(model.rowCount(above)):
        index = model.index(row, 0, above)
        said.append(str(model.data(index, Qt.ItemDataRole.DisplayRole)))
        said.append(words(model, index))
    return "\n".join(said)


def test_a_measured_check_of_ones_own_is_in_tree_ledger_and_sheets(
    tmp_path: Path, qtbot: QtBot
) -> None:
    place = make_folder(
        tmp_path / "search",
        lambda p: boats.add_boat(p, Boat("", "Ann", year=1986)),
        lambda p: put_own_checks(p, "mine.toml", OWN),
        lambda p: inspecting.record_reading(p, "ann", "example-play", seen(play=mm("1.5"))),
    )
    background = Background()
    session = Session(open_project(place), load(), background)
    background.setParent(session)
    figured(session, qtbot)
    try:
        assert CHECK_TITLE in words(InspectionTreeModel(session))
        assert WORK_TITLE in words(LedgerTreeModel(session))
        assert session.assessment is not None
        sheets = export_sheets(
            session.assessment, None, tmp_path / "out", ["offer", "field-form"], []
        )
        for sheet in sheets:
            for text in (read_text(sheet), read_text_again(sheet)):
                assert CHECK_TITLE in " ".join(text.split()), sheet.name
    finally:
        session.close()
