"""The file of a quote: chosen or dropped at its line, kept with the boat, found again."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QWidget

from workbench.domain.ledger import Quote
from workbench.domain.problem import HardstandError
from workbench.domain.project import Project
from workbench.edits.costing import put_quote
from workbench.edits.edit import Edit
from workbench.window.opening import Openings
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label

FILES = "*.pdf *.jpg *.jpeg *.png *.txt *.eml *.xlsx *.docx *.odt *.ods"


class QuoteDocument(QWidget):
    """The file that a quote came in, to be attached and found again.

    Signals
    -------
    said(sentence)
        What stood in the way; empty when all is well.
    """

    said = Signal(str)

    def __init__(
        self, session: Session, openings: Openings | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._openings = openings or Openings()
        self._quote: Quote | None = None
        self.setAcceptDrops(True)
        self.about = label("", "small")
        self.attach_button = button(
            tr("Attach its file …"), "link", tip=tr("The quote as it came; it can be dropped here.")
        )
        self.show_button = button(
            tr("Show the file"), "link", tip=tr("The folder that keeps this boat's documents")
        )
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.about, 1)
        row.addWidget(self.show_button)
        row.addWidget(self.attach_button)
        self.attach_button.clicked.connect(self.choose)
        self.show_button.clicked.connect(self.show_folder)

    def show_quote(self, quote: Quote | None) -> None:
        """Show the file of a quote; nothing where there is no quote."""
        self._quote = quote
        self.setVisible(quote is not None)
        held = quote.document if quote is not None else ""
        ending = held.rpartition(".")[2].upper()
        self.about.setText(tr("Attached: {kind}").format(kind=ending) if held else "")
        self.about.setToolTip(held)
        self.show_button.setVisible(bool(held))

    def choose(self) -> None:
        """Ask for the file."""
        chosen, _ = QFileDialog.getOpenFileName(self, tr("Quote"), "", f"{tr('Quote')} ({FILES})")
        if chosen:
            self.attach(Path(chosen))

    def attach(self, file: Path) -> None:
        """Keep a file beside the window, then put it on record with the quote."""
        quote, boat_id, folder = self._quote, self._session.boat_id, self._session.folder
        if quote is None:
            return
        self.said.emit("")

        def store() -> str:
            from workbench.store.attachments import add_document  # noqa: PLC0415 - when asked for

            return add_document(folder, boat_id, file).file

        self._session.background.run(
            FOLDER_WORK,
            store,
            lambda name: self._on_stored(boat_id, quote.id, str(name)),
            self._on_refused,
            latest_only=False,
        )

    def _on_stored(self, boat_id: str, quote_id: str, name: str) -> None:
        def make(project: Project) -> Edit:
            held = next(one for one in project.boats[boat_id].ledger.quotes if one.id == quote_id)
            return put_quote(project, boat_id, dataclasses.replace(held, document=name))

        candidate = self._session.project.boats.get(boat_id)
        if candidate is not None and any(one.id == quote_id for one in candidate.ledger.quotes):
            self.said.emit(self._session.attempt(make))

    def _on_refused(self, error: Exception) -> None:
        problems = error.problems if isinstance(error, HardstandError) else ()
        self.said.emit(" ".join(one.sentence() for one in problems) or str(error))

    def show_folder(self) -> None:
        """Show the folder that the file lies in."""
        folder = self._session.place / "boats" / self._session.boat_id / "documents"
        self._openings.allow_folder(folder)
        self.said.emit(self._openings.show_folder(folder))

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take one file."""
        urls = event.mimeData().urls()
        if len(urls) == 1 and urls[0].isLocalFile():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Attach the file that was dropped."""
        event.acceptProposedAction()
        self.attach(Path(event.mimeData().urls()[0].toLocalFile()))
