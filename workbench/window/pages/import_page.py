"""Bring in: choose or drop a file, see what it would change, answer what is open, take it in."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QFileDialog,
    QHBoxLayout,
    QSplitter,
    QStackedWidget,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.problem import HardstandError, Problem
from workbench.reports.incoming.preview import LEAVE_OUT, Preview
from workbench.window.models.copying import let_copy
from workbench.window.models.incoming_rows import TextRows, change_rows, problem_rows
from workbench.window.pages.file_questions import FileQuestions
from workbench.window.pages.file_reading import FileReader
from workbench.window.said import said
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.labels import label
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    set_role,
)
from workbench.window.widgets.tables import set_up_table

KINDS = "*.xlsx *.xlsm *.csv *.tsv *.txt *.pdf"


class ImportPage(QWidget):
    """A file that came back: what it would change at a glance, and one button to take it all in."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._preview: Preview | None = None
        self.reader = FileReader(session, self)
        self.setAcceptDrops(True)
        self.setAccessibleName(tr("Bring in"))
        self._make_parts()
        self._lay_out()
        self._connect()

    def _make_parts(self) -> None:
        self.choose_button = button(tr("Choose a file …"), tip=tr("Or drop one on this page"))
        self.stop_button = button(tr("Stop"), "quiet", tip=tr("End the reading; nothing changes"))
        self.take_button = button(tr("Take all in"), "primary")
        self.title = label(tr("Bring in"), "heading", wrap=True)
        self.summary = label("", "", wrap=True)
        self.read_as = label("", "quiet", wrap=True)
        self.questions = FileQuestions()
        self.leave_out = QCheckBox(tr("Take in the rest and leave out what cannot be read"))
        self.said = label("", "problem", wrap=True)
        heads = (tr("Where"), tr("What"), tr("Was"), tr("Will be"), tr("Cell"))
        self.changes = TextRows(heads, self)
        self.problems = TextRows((tr("Where"), tr("What is wrong"), tr("What to do")), self)
        self.change_view, self.problem_view = QTableView(), QTableView()
        self.change_head = SectionHeader(tr("Changes"))
        self.problem_head = SectionHeader(tr("To look at"))
        self.nothing = EmptyState(
            tr("Nothing brought in"),
            tr(
                "Drop a filled field form, a yard's prices, or a table of boats or of sales here: "
                "a spreadsheet, a text table (CSV) or a filled PDF. You see every change before "
                "it is made, and one undo takes them all back."
            ),
            tr("Choose a file …"),
        )
        self.stop_button.hide()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.stop_button)
        head.addWidget(self.choose_button)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.nothing)
        self.stack.addWidget(self._body())
        column = QVBoxLayout(self)
        column.setContentsMargins(SPACE_PAGE, SPACE_GROUPS, SPACE_PAGE, SPACE_GROUPS)
        column.setSpacing(SPACE_RELATED)
        column.addLayout(head)
        column.addWidget(self.said)
        column.addWidget(self.stack, 1)
        self.said.hide()

    def _body(self) -> QWidget:
        for view, model, name, stretched in (
            (self.change_view, self.changes, tr("Changes"), 3),
            (self.problem_view, self.problems, tr("To look at"), 1),
        ):
            view.setModel(model)
            set_up_table(view, name=name, stretch_column=stretched)
            let_copy(view)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.problem_group = _group(self.problem_head, self.problem_view)
        self.splitter.addWidget(self.problem_group)
        self.splitter.addWidget(_group(self.change_head, self.change_view))
        self.splitter.setStretchFactor(1, 1)
        self.splitter.setChildrenCollapsible(False)
        foot = QHBoxLayout()
        foot.addWidget(self.leave_out)
        foot.addStretch(1)
        foot.addWidget(self.take_button)
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_RELATED)
        for part in (self.summary, self.read_as, self.questions):
            column.addWidget(part)
        column.addWidget(self.splitter, 1)
        column.addLayout(foot)
        return body

    def _connect(self) -> None:
        # what the user does
        self.choose_button.clicked.connect(lambda _=False: self.choose_file())
        self.nothing.next_step_requested.connect(self.choose_file)
        self.stop_button.clicked.connect(self.reader.stop)
        self.questions.answered.connect(self._look_again)
        self.leave_out.toggled.connect(lambda _: self._look_again())
        self.take_button.clicked.connect(lambda _=False: self.take_in())
        # the reading
        self.reader.previewed.connect(self._on_previewed)
        self.reader.refused.connect(self._on_refused)
        self.reader.stopped.connect(self._on_stopped)
        self.reader.busy_changed.connect(self._on_busy)
        # the search
        self._session.changed.connect(self._on_project_changed)

    # --- The file ---

    def choose_file(self) -> None:
        """Ask for a file and read it."""
        words = tr("Forms, quotes and tables ({kinds});;All files (*)").format(kinds=KINDS)
        chosen, _ = QFileDialog.getOpenFileName(
            self, tr("Bring in a file"), str(self._session.place.parent), words
        )
        if chosen:
            self.open_file(Path(chosen))

    def open_file(self, path: Path) -> None:
        """Read a file and show what it would change."""
        self._preview = None
        self.questions.clear()
        self.leave_out.blockSignals(True)
        self.leave_out.setChecked(False)
        self.leave_out.blockSignals(False)
        self.title.setText(path.name)
        self._say("")
        self.reader.read(path, {})

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Let files of this computer be dropped."""
        if _dropped(event):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Read the first file that was dropped."""
        path = _dropped(event)
        if path is not None:
            event.acceptProposedAction()
            self.open_file(path)

    # --- The preview ---

    def _answers(self) -> dict[str, str]:
        answers = self.questions.answers()
        if self.leave_out.isChecked():
            answers[LEAVE_OUT] = "yes"
        return answers

    def _look_again(self) -> None:
        self._say("")
        self.reader.look_again(self._answers())

    def _on_project_changed(self) -> None:
        """A preview holds for one state of the search: make another for the new one."""
        if self._preview is not None and not self.reader.is_current:
            self.take_button.setEnabled(False)
            self.reader.look_again(self._answers())

    def _on_busy(self, busy: bool) -> None:
        self.stop_button.setVisible(busy)
        self.take_button.setEnabled(not busy and self._may_take_in())

    def _on_previewed(self, preview: Preview) -> None:
        self._preview = preview
        self.summary.setText(preview.summary())
        self.read_as.setText("\n".join(preview.read_as))
        self.read_as.setVisible(bool(preview.read_as))
        self.questions.add((*preview.questions, *preview.offers))
        self.problems.set_rows(problem_rows((*preview.faults, *preview.notices)))
        self.changes.set_rows(change_rows(preview.changes))
        self.problem_head.set_beside(str(len(preview.problems)))
        self.change_head.set_beside(str(len(preview.changes)))
        self.problem_group.setVisible(bool(preview.problems))
        self.leave_out.setVisible(bool(preview.faults))
        self.take_button.setEnabled(self._may_take_in())
        self.take_button.setToolTip(self._why_not())
        self.stack.setCurrentIndex(1)

    def _may_take_in(self) -> bool:
        return (
            self._preview is not None
            and self._preview.edit is not None
            and self.reader.is_current
            and not self._session.read_only
        )

    def _why_not(self) -> str:
        preview = self._preview
        if preview is None or preview.edit is not None:
            return self._session.read_only
        if preview.questions:
            return tr("Answer the questions first.")
        if preview.faults:
            return tr("Some cells cannot be read. Mend the file, or leave them out.")
        return tr("There is nothing to change.")

    def take_in(self) -> None:
        """Make all the changes as one step."""
        preview = self._preview
        if preview is None or preview.edit is None or not self._may_take_in():
            return
        if preview.kept:
            self._store_first(preview)
        else:
            self._make(preview)

    def _store_first(self, preview: Preview) -> None:
        """Store the file with the boat's documents, then make the changes that name it."""
        from workbench.store.attachments import add_document  # noqa: PLC0415 - when used

        folder = self._session.folder
        self.take_button.setEnabled(False)

        def store() -> None:
            for one in preview.kept:
                add_document(folder, one.boat, one.data, one.name)

        self._session.background.run(
            FOLDER_WORK,
            store,
            lambda _: self._make(preview) if preview is self._preview else None,
            self._on_not_stored,
            latest_only=False,
        )

    def _on_not_stored(self, error: Exception) -> None:
        self.take_button.setEnabled(self._may_take_in())
        if isinstance(error, HardstandError):
            problem = error.problems[0]
            self._say(f"{said(problem.message)} {said(problem.remedy)}")
        else:
            self._say(tr("It could not be done: {why}. Nothing was changed.").format(why=error))

    def _make(self, preview: Preview) -> None:
        if preview.edit is None or not self._may_take_in():
            return
        count = len(preview.changes)
        self._session.apply(preview.edit)
        words = tr("Taken in: {n} changes. One undo takes them all back.")
        self._say(words.format(n=count), "strong")

    def _on_refused(self, problems: tuple[Problem, ...]) -> None:
        self._preview = None
        self.reader.forget()
        self.stack.setCurrentIndex(0)
        self._say("\n".join(problem.sentence() for problem in problems))

    def _on_stopped(self) -> None:
        self._preview = None
        self.reader.forget()
        self.stack.setCurrentIndex(0)
        self._say(tr("The reading was stopped. Nothing was changed."), "quiet")

    def _say(self, sentence: str, role: str = "problem") -> None:
        self.said.setText(sentence)
        set_role(self.said, role)
        self.said.setVisible(bool(sentence))


def _group(head: QWidget, body: QWidget) -> QWidget:
    made = QWidget()
    column = QVBoxLayout(made)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(SPACE_RELATED)
    column.addWidget(head)
    column.addWidget(body, 1)
    return made


def _dropped(event: QDropEvent) -> Path | None:
    """The first file of this computer that is dragged; None where there is none."""
    local = (url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile())
    return next((Path(one) for one in local if one), None)
