"""What the dialogs of packing and unpacking share: how far the work is, and a way to stop it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QProgressBar, QVBoxLayout, QWidget

from workbench.window.archive_work import ArchiveWork, Job
from workbench.window.background import Background
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_PAGE, SPACE_RELATED, set_role

if TYPE_CHECKING:
    from workbench.reports.export import Progress

WIDE = 560


class ArchiveDialog(QDialog):
    """A dialog around one piece of work; while it goes on, closing stops it."""

    def __init__(self, background: Background, title: str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.setWindowTitle(title)
        self.setAccessibleName(title)
        self.setMinimumWidth(WIDE)
        self.work = ArchiveWork(background, self)
        self._leaving = False
        self.go_button = button("", "primary")
        self.stop_button = button(tr("Stop"), "", tip=tr("End here; nothing of it is left"))
        self.close_button = button(tr("Close"), "quiet")
        self.progress = QProgressBar()
        self.progress.setAccessibleName(tr("How far it is"))
        self.doing = label("", "small", wrap=True)
        self.said = label("", "problem", wrap=True)
        self.body = QVBoxLayout()
        self.body.setSpacing(SPACE_RELATED)
        self._lay_out(title)
        self.stop_button.clicked.connect(self.work.stop)
        self.close_button.clicked.connect(self.reject)
        self.work.moved.connect(self._on_moved)
        self.work.done.connect(self._on_over)
        self.work.ended.connect(self._on_ended)
        self._show_busy(busy=False)
        self.say("")

    def _lay_out(self, title: str) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(SPACE_PAGE, SPACE_PAGE, SPACE_PAGE, SPACE_PAGE)
        column.setSpacing(SPACE_RELATED)
        column.addWidget(label(title, "heading", wrap=True))
        column.addLayout(self.body)
        column.addStretch(1)
        for part in (self.said, self.doing, self.progress):
            column.addWidget(part)
        row = QHBoxLayout()
        row.addWidget(self.go_button)
        row.addWidget(self.stop_button)
        row.addStretch(1)
        row.addWidget(self.close_button)
        column.addLayout(row)

    def begin(self, job: Job) -> None:
        """Begin the work."""
        self.say("")
        self.progress.setRange(0, 0)
        self._show_busy(busy=True)
        self.work.run(job)

    def say(self, sentence: str, role: str = "problem") -> None:
        """Say what is wrong, or that it is done."""
        self.said.setText(sentence)
        set_role(self.said, role)
        self.said.setVisible(bool(sentence))

    def reject(self) -> None:
        """Close; work that goes on is stopped first."""
        if self.work.busy:
            self._leaving = True
            self.work.stop()
        else:
            super().reject()

    def _show_busy(self, *, busy: bool) -> None:
        self.go_button.setVisible(not busy)
        for part in (self.stop_button, self.progress, self.doing):
            part.setVisible(busy)

    def _on_moved(self, progress: Progress) -> None:
        self.progress.setRange(0, max(progress.of, 1))
        self.progress.setValue(progress.done)
        self.doing.setText(progress.sheet)

    def _on_over(self, _: object) -> None:
        self._show_busy(busy=False)
        if self._leaving:
            self.reject()

    def _on_ended(self, sentence: str) -> None:
        self._on_over(None)
        self.say(
            sentence or tr("Stopped. Nothing was written."), "problem" if sentence else "quiet"
        )
