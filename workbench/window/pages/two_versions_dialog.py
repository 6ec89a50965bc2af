"""Two versions of the search, one here and one on the disk: what differs, and both in one.

What only one side changed is taken as it is. Where both changed the same, a person chooses. Nothing
is written by it: both versions are kept whole first, and the result is a step that can be undone.
"""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.edits.edit import Path
from workbench.edits.merging import Difference, put_together
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.two_versions import TwoVersions
from workbench.window.version_words import place_words, value_words
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_PAGE, SPACE_RELATED
from workbench.window.widgets.tables import set_up_tree

_PLACE, _THEIRS, _MINE, _TAKEN = range(4)
_VALUE_WIDE, _TAKEN_WIDE = 220, 130


class TwoVersionsDialog(QDialog):
    """Shows the differences, field by field, and asks where both changed the same.

    Signals
    -------
    decided(paths)
        Both are to be put together, with mine at these places where both changed.
    theirs_wanted()
        Only theirs is to be read.
    """

    decided = Signal(object)
    theirs_wanted = Signal()

    def __init__(
        self, session: Session, versions: TwoVersions, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        title = tr("Two versions of this search")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.resize(980, 620)
        self.tree = QTreeWidget()
        set_up_tree(self.tree, name=tr("What differs"), uniform=False)
        self.tree.setWordWrap(True)
        self.tree.setColumnCount(4)
        self.tree.setHeaderHidden(False)
        self.tree.setHeaderLabels([tr("What"), tr("Theirs"), tr("Yours"), tr("Taken")])
        self.together_button = button(tr("Put both together"), "primary")
        self.theirs_button = button(tr("Read theirs alone"), "")
        self.later_button = button(tr("Not now"), "quiet")
        self.choices: list[tuple[Path, QComboBox]] = []
        self._lay_out(title)
        self._fill(versions)
        self.together_button.clicked.connect(self._decide)
        self.theirs_button.clicked.connect(self._take_theirs)
        self.later_button.clicked.connect(self.reject)

    def _lay_out(self, title: str) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(SPACE_PAGE, SPACE_PAGE, SPACE_PAGE, SPACE_PAGE)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(label(title, "heading", wrap=True))
        words = tr(
            "The folder was changed outside, by somebody else or by you on another machine, while "
            "you had unsaved changes here. What only one of the two changed is taken as it is; "
            "where both changed the same, choose. Both are kept whole: theirs among the earlier "
            "saves, yours one step of undo away."
        )
        column.addWidget(label(words, "quiet", wrap=True))
        column.addWidget(self.tree, 1)
        row = QHBoxLayout()
        row.addWidget(self.together_button)
        row.addWidget(self.theirs_button)
        row.addStretch(1)
        row.addWidget(self.later_button)
        column.addLayout(row)
        self.together_button.setDefault(True)

    def _fill(self, versions: TwoVersions) -> None:
        found = put_together(versions.before, versions.theirs, versions.mine)
        by_itself = tuple(one for one in found.differences if not one.is_clash)
        if found.clashes:
            top = self._group(tr("Both changed; choose"), len(found.clashes))
            for one in found.clashes:
                self._choice(self._row(top, one, versions), one)
        if by_itself:
            top = self._group(tr("Only one changed; taken as it is"), len(by_itself))
            for one in by_itself:
                row = self._row(top, one, versions)
                row.setText(_TAKEN, tr("Yours") if one.is_mine else tr("Theirs"))
        if not found.differences:
            QTreeWidgetItem(self.tree, [tr("Both say the same.")])
        self.tree.expandAll()
        head = self.tree.header()
        head.setStretchLastSection(False)
        head.setSectionResizeMode(_PLACE, QHeaderView.ResizeMode.Stretch)
        for column, wide in ((_THEIRS, _VALUE_WIDE), (_MINE, _VALUE_WIDE), (_TAKEN, _TAKEN_WIDE)):
            head.resizeSection(column, wide)

    def _group(self, words: str, count: int) -> QTreeWidgetItem:
        top = QTreeWidgetItem(self.tree, [f"{words} ({count})"])
        top.setFirstColumnSpanned(True)
        return top

    def _row(self, top: QTreeWidgetItem, one: Difference, versions: TwoVersions) -> QTreeWidgetItem:
        known = self._session.catalogue if self._session.assessment is not None else None
        project = versions.mine if one.path[1:2] and one.path[0] == "boats" else versions.theirs
        values = (value_words(one.theirs, one.mine), value_words(one.mine, one.theirs))
        words = [place_words(one, project, known), *values]
        row = QTreeWidgetItem(top, [*words, ""])
        for column, text in enumerate(words):
            row.setToolTip(column, text)
        return row

    def _choice(self, row: QTreeWidgetItem, one: Difference) -> None:
        choice = QComboBox()
        choice.addItems([tr("Yours"), tr("Theirs")])
        choice.setAccessibleName(tr("Which is taken: {what}").format(what=row.text(_PLACE)))
        self.tree.setItemWidget(row, _TAKEN, choice)
        self.choices.append((one.path, choice))

    def _decide(self) -> None:
        self.decided.emit(
            tuple(path for path, choice in self.choices if choice.currentIndex() == 0)
        )
        self.accept()

    def _take_theirs(self) -> None:
        self.theirs_wanted.emit()
        self.accept()
