"""The buyer's own checks: files of checks and prices as text, with every fault and its line.

The text is looked over beside the window whenever the typing rests. A file with a fault may be kept
all the same: it is left out of the checks until it is put right, and says so.
"""

from __future__ import annotations

import re

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QFontDatabase, QTextCursor
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from workbench.catalogue.loading import with_overrides
from workbench.domain.frozen import FrozenMap
from workbench.domain.problem import Problem
from workbench.domain.project import Overrides
from workbench.edits.searching import put_own_checks
from workbench.store.layout import is_check_file
from workbench.window.pages.settings_section import fitted_combo
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_PAGE, SPACE_RELATED
from workbench.window.widgets.tables import set_up_list

REST_MS = 500
TOPIC = "own checks"
_LINE = re.compile(r":(\d+)$")
TEMPLATE = """# Checks of your own: a system of yours, its checks, and prices they need.
# Every sentence here is yours to write. Source and basis are always said.

[system]
id = "my-own-checks"
title = "My own checks"
order = 900
intro = "What I look at on every boat beside the rest."

[[check]]
id = "my-bilge-smell"
title = "Smell below"
part = "Cabin"
station = "saloon"
looks = "either"
tools = ["nose"]
minutes = 1
drawing = ""
steps = [
  "Ask that the boat is kept shut before you come.",
  "Open the companionway and smell before you go below.",
  "Say at once what it is: fuel, mould, drains, or nothing.",
]
feel = "Right: wood, or nothing at all. Wrong: fuel, mould or drains."
leads_to = "A smell of fuel means a leak; mould means water that comes from somewhere."
hazards = []
cautions = []
handover = { who = "surveyor", when = "It smells of fuel or gas." }
judgement = { judges = "partly", sees = "0.6", false_alarm = "0.2" }
prior = [ [10, "0.1"], [25, "0.2"], ["older", "0.3"] ]

  [check.meaning]
  sound = "Nothing to smell."
  due = "Find where it comes from before you buy."

  [[check.entry]]
  id = "smell"
  label = "It smells of"
  kind = "choice"
  choices = [
    { id = "nothing", label = "nothing" },
    { id = "mould", label = "mould" },
    { id = "fuel", label = "fuel" },
  ]

  [[check.rule]]
  id = "smell"
  entry = "smell"
  kind = "choice"
  grades = { nothing = "sound", mould = "due", fuel = "due" }
  group = "smell"
  lead = true
  source = { basis = "common-practice" }
  scope = "Any boat."
  says = "Mould or fuel: due"

  [[check.remedy]]
  id = "find-and-dry"
  title = "Find the source and dry her out"
  grades = ["due"]
  when = "before-launching"
  claim = "whole"
  claim_why = "The source must be found before she can be lived in."
  own = { may = true, hours_share = "1", note = "Patience more than skill." }
  access = []
  detail = "Lift every board, follow the water or the fuel, dry and air."
  work = [ { id = "dry", title = "Source found, cabin dried", item = "my-dry-out" } ]

[[item]]
id = "my-dry-out"
title = "Find a source of damp and dry the cabin"
labour = [ { trade = "yard-hand", hours = ["2", "5", "12"] } ]
materials = ["20", "60", "200"]
unit = "job"
source = { basis = "common-practice" }
"""


def faults_in(session: Session, file: str, text: str) -> tuple[Problem, ...]:
    """Every fault of a file of own checks, beside the checks that came with the program."""
    alone = Overrides(checks=FrozenMap({file: text}))
    return with_overrides(session.shipped, alone).problems


def line_of(problem: Problem) -> int:
    """The line a fault stands at, counted from 1; 0 where it names none."""
    found = _LINE.search(problem.where)
    return int(found[1]) if found else 0


class ChecksSection(QWidget):
    """Files of own checks: choose, write, look over, keep."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._shown: tuple[str, str] = ("", "")
        self.setAccessibleName(tr("Own checks"))
        self.files = fitted_combo(QComboBox(), 22)
        self.files.setAccessibleName(tr("File of own checks"))
        self.name = QLineEdit()
        self.name.setAccessibleName(tr("Name of the new file"))
        self.name.setPlaceholderText(tr("my-checks"))
        self.new_button = button(tr("New from template"), "", tip=tr("A check to change"))
        self.remove_button = button(tr("Take away"), "quiet", tip=tr("Undo brings the file back"))
        self.keep_button = button(tr("Keep"), "primary", tip=tr("Put the text in place"))
        self.revert_button = button(tr("Drop changes"), "quiet")
        self.editor = QPlainTextEdit()
        self.editor.setAccessibleName(tr("Text of own checks"))
        self.editor.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.editor.setTabChangesFocus(True)
        self.state = label("", "strong", wrap=True)
        self.faults = QListWidget()
        set_up_list(self.faults, name=tr("Faults"))
        self.faults.setUniformItemSizes(False)
        self.faults.setWordWrap(True)
        self.faults.setToolTip(tr("Return goes to the line."))
        self.problem = label("", "problem", wrap=True)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._lay_out()
        self._connect()
        self._fill_files("")

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(SPACE_PAGE, SPACE_PAGE, SPACE_PAGE, SPACE_PAGE)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(label(tr("Own checks"), "title"))
        column.addWidget(
            label(
                tr(
                    "Your own checks are judged, priced and drawn like those that came with the "
                    "program, and are marked as yours. A file with a fault is left out until it "
                    "is put right; the others go on."
                ),
                "quiet",
                wrap=True,
            )
        )
        head = QHBoxLayout()
        head.setSpacing(SPACE_RELATED)
        head.addWidget(self.files)
        head.addWidget(self.remove_button)
        head.addWidget(self.name)
        head.addWidget(self.new_button)
        head.addStretch(1)
        self.name.setFixedWidth(230)
        column.addLayout(head)
        column.addWidget(self.problem)
        column.addWidget(self.editor, 3)
        foot = QHBoxLayout()
        foot.addWidget(self.state, 1)
        foot.addWidget(self.revert_button)
        foot.addWidget(self.keep_button)
        column.addLayout(foot)
        column.addWidget(self.faults, 1)
        self.problem.hide()

    def _connect(self) -> None:
        self.files.activated.connect(lambda _: self._show_file(str(self.files.currentData())))
        self.new_button.clicked.connect(self._on_new)
        self.name.returnPressed.connect(self._on_new)
        self.keep_button.clicked.connect(self.keep)
        self.revert_button.clicked.connect(lambda: self._show_file(self._shown[0]))
        self.remove_button.clicked.connect(self._on_remove)
        self.editor.textChanged.connect(self._on_typed)
        self._rest.timeout.connect(self._look_over)
        self.faults.itemActivated.connect(self._go_to)
        self.faults.itemClicked.connect(self._go_to)
        self._session.changed.connect(self._on_changed)

    # --- Which file ---

    def _known(self) -> FrozenMap[str, str]:
        return self._session.project.overrides.checks

    def _fill_files(self, wanted: str) -> None:
        self.files.clear()
        for name in self._known():
            self.files.addItem(name, name)
        place = max(self.files.findData(wanted), 0) if self.files.count() else -1
        self.files.setCurrentIndex(place)
        self._show_file(str(self.files.currentData()) if place >= 0 else "")

    def _show_file(self, name: str) -> None:
        text = self._known().get(name, "")
        self._shown = (name, text)
        self.editor.blockSignals(True)
        self.editor.setPlainText(text)
        self.editor.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        self.editor.blockSignals(False)
        there = bool(name)
        self.editor.setEnabled(there)
        self.editor.setPlaceholderText(
            "" if there else tr("No checks of your own yet. Begin one from the template.")
        )
        self.files.setVisible(there)
        self.remove_button.setVisible(there)
        self._say_problem("")
        self._mind_buttons()
        self._look_over()

    def _on_changed(self) -> None:
        """Follow an undo; what is being typed stays."""
        name, text = self._shown
        if self._known().get(name, "") == text and (name or not self._known()):
            return
        if name not in self._known():
            self._fill_files("")
        elif self.editor.toPlainText() == text:
            self._show_file(name)
        else:
            self._shown = (name, self._known()[name])
            self._mind_buttons()

    # --- What the user does ---

    def _on_new(self) -> None:
        stem = self.name.text().strip().lower().removesuffix(".toml").replace(" ", "-")
        file = f"{stem or 'my-checks'}.toml"
        if not is_check_file(file):
            self._say_problem(tr("A name holds a to z, digits and hyphens, at most 40."))
            return
        if file in self._known():
            self._say_problem(tr("There is a file of this name already."))
            return
        self._say_problem(self._session.attempt(lambda p: put_own_checks(p, file, TEMPLATE)))
        self.name.clear()
        self._fill_files(file)
        self.editor.setFocus()

    def keep(self) -> None:
        """Put the text in place; the figures follow."""
        name, text = self._shown[0], self.editor.toPlainText()
        if name and text != self._shown[1]:
            self._shown = (name, text)
            self._say_problem(self._session.attempt(lambda p: put_own_checks(p, name, text)))
        self._mind_buttons()

    def _on_remove(self) -> None:
        name = self._shown[0]
        self._session.attempt(lambda project: put_own_checks(project, name, None))
        self._fill_files("")

    def _on_typed(self) -> None:
        self._mind_buttons()
        self._rest.start()

    def _mind_buttons(self) -> None:
        differs = bool(self._shown[0]) and self.editor.toPlainText() != self._shown[1]
        self.keep_button.setEnabled(differs)
        self.revert_button.setVisible(differs)

    # --- Faults ---

    def _look_over(self) -> None:
        file, text = self._shown[0], self.editor.toPlainText()
        if not file:
            self._show_faults(())
            self.state.setText("")
            return
        self._session.background.run(
            TOPIC,
            lambda: faults_in(self._session, file, text),
            self._show_faults,
            lambda error: self._say_problem(str(error)),
        )

    def _show_faults(self, problems: tuple[Problem, ...]) -> None:
        self.faults.clear()
        for problem in problems:
            line = line_of(problem)
            where = tr("Line {n}").format(n=line) if line else problem.where
            item = QListWidgetItem(f"{where}: {problem.message} {problem.remedy}".strip())
            item.setData(Qt.ItemDataRole.UserRole, line)
            self.faults.addItem(item)
        self.faults.setVisible(bool(problems))
        if not problems:
            self.state.setText(tr("No faults. These checks count once they are kept."))
        elif len(problems) == 1:
            self.state.setText(tr("One fault. The file is left out until it is put right."))
        else:
            words = tr("{n} faults. The file is left out until they are put right.")
            self.state.setText(words.format(n=len(problems)))

    def _go_to(self, item: QListWidgetItem) -> None:
        line = item.data(Qt.ItemDataRole.UserRole)
        if not line:
            return
        block = self.editor.document().findBlockByNumber(int(line) - 1)
        cursor = QTextCursor(block)
        cursor.select(QTextCursor.SelectionType.LineUnderCursor)
        self.editor.setTextCursor(cursor)
        self.editor.centerCursor()
        self.editor.setFocus()

    def _say_problem(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
