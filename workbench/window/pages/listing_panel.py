"""An advertisement pasted or dropped: what the program read from it, to be ticked and taken in."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from PySide6.QtCore import QMimeData, QModelIndex, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QTextCharFormat, QTextCursor
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QPlainTextEdit,
    QSplitter,
    QStackedWidget,
    QTableView,
    QTextEdit,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.boat import Boat
from workbench.domain.problem import HardstandError
from workbench.edits.boats import new_boat_id
from workbench.reports.incoming.listing_html import LARGEST_FILE, text_of_file
from workbench.reports.incoming.listing_page import tidy
from workbench.reports.incoming.listing_text import Listing, read_listing
from workbench.window.listing_taking import boat_with, edit_of
from workbench.window.models.copying import let_copy
from workbench.window.models.listing_rows import HAS, REMARKS, VALUE, ListingRows
from workbench.window.pages.cell_editing import CellEditing
from workbench.window.said import said
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_RELATED,
    palette_of,
    qcolor,
)
from workbench.window.widgets.tables import set_up_table

LONGEST_TEXT = 200_000
_WAIT_MS = 200
_NEW, _FILL = "new", "fill"


class ListingText(QPlainTextEdit):
    """Where an advertisement is pasted: plain words, whatever is on the clipboard.

    Signals
    -------
    file_dropped(path)
        A file of this computer was dropped or pasted.
    """

    file_dropped = Signal(object)

    def canInsertFromMimeData(self, source: QMimeData) -> bool:
        """Take words and files."""
        return source.hasText() or source.hasUrls()

    def insertFromMimeData(self, source: QMimeData) -> None:
        """Put the words in without their form; a file is read beside the window."""
        local = [url.toLocalFile() for url in source.urls() if url.isLocalFile()]
        if local:
            self.file_dropped.emit(Path(local[0]))
        else:
            self.insertPlainText(tidy(source.text()[:LONGEST_TEXT]))


class ListingPanel(QWidget):
    """The text of an advertisement beside what was found in it.

    Signals
    -------
    done(boat_id)
        A boat was made of it, or filled in.
    closed()
        The user is done with it.
    """

    done = Signal(str)
    closed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._listing: Listing | None = None
        self._busy = False
        self._seen: Boat | None = None
        self.setAccessibleName(tr("Advertisement"))
        self._make_parts()
        self._lay_out()
        self._connect()
        self._on_boat()

    def _make_parts(self) -> None:
        self.title = label(tr("From an advertisement"), "heading")
        self.file_button = button(
            tr("Open a file …"), tip=tr("A saved page or text; nothing is fetched")
        )
        self.leave_button = button(tr("Leave it"), "quiet", tip=tr("Nothing is changed"))
        self.text = ListingText()
        self.text.setAccessibleName(tr("Text of the advertisement"))
        self.text.setPlaceholderText(tr("Paste the text here, or drop a text file or saved page."))
        self.text.setTabChangesFocus(True)
        self.text.setToolTip(tr("It is kept with the boat as you see it here"))
        currency = self._session.project.settings.currency
        self.rows = ListingRows(self._session.catalogue, currency, self)
        self.view = QTableView()
        self.view.setModel(self.rows)
        set_up_table(self.view, name=tr("What was read"), stretch_column=REMARKS)
        self.editing = CellEditing(self.view, self.rows.refusal, self.rows.choices)
        self.view.setItemDelegate(self.editing)
        self.view.setToolTip(tr("Tick what is to be taken; type over what was read wrongly"))
        let_copy(self.view)
        self.target = ChoiceRow([(_NEW, tr("A new boat"))], name=tr("What it is taken for"))
        self.said = label("", "quiet", wrap=True)
        self.remark = label("", "quiet", wrap=True)
        self.problem = label("", "problem", wrap=True)
        self.take_button = button("", "primary")
        self.nothing = EmptyState(
            tr("Nothing read yet"),
            tr(
                "Copy the text of a boat's advertisement and paste it on the left. Every "
                "particular found in it is shown with the words it was read from, and nothing is "
                "taken before you say so."
            ),
            tr("Paste"),
        )
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_WAIT_MS)

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.file_button)
        head.addWidget(self.leave_button)
        found = QWidget()
        inner = QVBoxLayout(found)
        inner.setContentsMargins(SPACE_GROUPS, 0, 0, 0)
        inner.setSpacing(SPACE_RELATED)
        inner.addWidget(self.target)
        inner.addWidget(self.said)
        inner.addWidget(self.view, 1)
        inner.addWidget(self.remark)
        foot = QHBoxLayout()
        foot.addWidget(self.problem, 1)
        foot.addStretch(0)
        foot.addWidget(self.take_button)
        self.problem.hide()
        inner.addLayout(foot)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.nothing)
        self.stack.addWidget(found)
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        self.splitter.addWidget(self.text)
        self.splitter.addWidget(self.stack)
        self.splitter.setStretchFactor(0, 1)
        self.splitter.setStretchFactor(1, 3)
        self.splitter.setSizes([300, 900])
        self.splitter.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        column.setSpacing(SPACE_RELATED)
        column.addLayout(head)
        column.addWidget(self.splitter, 1)
        self.setFocusProxy(self.text)

    def _connect(self) -> None:
        # what the user does
        self.text.textChanged.connect(self._timer.start)
        self.text.file_dropped.connect(self.open_file)
        self.file_button.clicked.connect(lambda _=False: self.choose_file())
        self.leave_button.clicked.connect(lambda _=False: self.closed.emit())
        self.nothing.next_step_requested.connect(self.text.paste)
        self.target.chosen.connect(lambda _: self._show())
        self.take_button.clicked.connect(lambda _=False: self.take())
        self.view.selectionModel().currentRowChanged.connect(self._light)
        # the reading
        self._timer.timeout.connect(self.read)
        self.rows.taken_changed.connect(self._on_taken)
        # the search
        self._session.boat_selected.connect(self._on_boat)
        self._session.changed.connect(self._on_boat)

    # --- The text ---

    def choose_file(self) -> None:
        """Ask for a file and read it."""
        words = tr("Text and saved pages ({kinds});;All files (*)").format(
            kinds="*.txt *.html *.htm"
        )
        chosen, _ = QFileDialog.getOpenFileName(self, tr("Open an advertisement"), "", words)
        if chosen:
            self.open_file(Path(chosen))

    def open_file(self, path: Path) -> None:
        """Read the words of a file beside the window and show them."""

        def job() -> str:
            with path.open("rb") as file:
                return tidy(text_of_file(file.read(LARGEST_FILE), path.name))[:LONGEST_TEXT]

        self._session.background.run("listing", job, self.set_text, self._on_failed)

    def set_text(self, text: str) -> None:
        """Show a text and read it."""
        self.text.setPlainText(text)
        self._timer.stop()
        self.read()

    def read(self) -> None:
        """Look for particulars in the text, beside the window."""
        text, session = self.text.toPlainText()[:LONGEST_TEXT], self._session
        catalogue, settings, today = session.catalogue, session.project.settings, session.today()
        self._listing = None
        self.take_button.setEnabled(False)
        session.background.run(
            "listing",
            lambda: read_listing(text, catalogue, settings, today),
            self._on_read,
            self._on_failed,
        )

    def _on_read(self, listing: Listing) -> None:
        self._listing = listing
        self._say("")
        self._show()

    def _on_failed(self, error: Exception) -> None:
        self._busy = False
        problems = error.problems if isinstance(error, HardstandError) else ()
        words = " ".join(said(one.sentence()) for one in problems)
        self.stack.setCurrentIndex(1)
        self._say(words or tr("It cannot be read: {error}.").format(error=error))
        self._on_taken()

    # --- What was found ---

    @property
    def fills(self) -> Boat | None:
        """The boat that is filled in; None where a new one is made."""
        candidate = self._session.candidate
        return candidate.boat if candidate and self.target.choice() == _FILL else None

    def _on_boat(self) -> None:
        candidate, chosen = self._session.candidate, self.target.choice()
        boat = candidate.boat if candidate is not None else None
        if boat is self._seen and chosen is not None:
            return  # what was ticked and typed stays
        self._seen = boat
        choices: list[tuple[object, str]] = [(_NEW, tr("A new boat"))]
        if candidate is not None:
            choices.append((_FILL, tr("Fill in {name}").format(name=candidate.boat.name)))
        self.target.set_choices(choices)
        self.target.set_choice(chosen if candidate is not None and chosen else _NEW)
        if not self._busy:
            self._show()

    def _show(self) -> None:
        listing = self._listing
        if listing is None or not listing.text.strip():
            self.stack.setCurrentIndex(0)
            return
        boat = self.fills
        self.rows.show_listing(listing, boat)
        self.view.setColumnHidden(HAS, boat is None)
        self.stack.setCurrentIndex(1)
        if not listing.findings:
            self._say(tr("No particular was found in it. The text alone can be kept."))

    def _on_taken(self) -> None:
        boat, count = self.fills, len(self.rows.taken())
        words = tr("Make a boat of it") if boat is None else tr("Fill in {name}")
        self.take_button.setText(words.format(name=boat.name if boat else ""))
        may = self._listing is not None and not self._busy and not self._session.read_only
        self.take_button.setEnabled(may)
        self.take_button.setToolTip(self._session.read_only or tr("One undo takes it all back"))
        cut = self._listing is not None and self._listing.is_cut
        told = tr("{n} of {all} are taken.").format(n=count, all=self.rows.rowCount())
        more = tr("Only the beginning of this long text was looked at.") if cut else ""
        self.said.setText(f"{told} {more}".strip())

    def _light(self, current: QModelIndex) -> None:
        """Light the words in the text that the current row was read from."""
        self.text.setExtraSelections([])
        self.remark.setText(
            self.rows.remarks(self.rows.rows[current.row()]) if current.isValid() else ""
        )
        listing = self._listing
        if listing is None or not current.isValid() or listing.text != self.text.toPlainText():
            return
        finding = self.rows.rows[current.row()].finding
        lit = QTextEdit.ExtraSelection()
        palette = palette_of(self.text)
        form = QTextCharFormat()
        form.setBackground(QColor(qcolor(palette.selection)))
        form.setForeground(QColor(qcolor(palette.text)))
        cursor = QTextCursor(self.text.document())
        cursor.setPosition(_place(listing.text, finding.start))
        cursor.setPosition(_place(listing.text, finding.end), QTextCursor.MoveMode.KeepAnchor)
        lit.cursor, lit.format = cursor, form
        self.text.setExtraSelections([lit])
        shown = QTextCursor(cursor)
        shown.clearSelection()
        self.text.setTextCursor(shown)

    # --- Taking in ---

    def take(self) -> None:
        """Keep the text with the boat, then make or fill her in one step."""
        listing, session = self._listing, self._session
        if listing is None or self._busy or session.read_only:
            return
        boat = boat_with(self.fills or Boat("", ""), self.rows.taken(), session.today())
        if not boat.name.strip():
            self._ask_name()
            return
        boat_id = boat.id or new_boat_id(session.project, boat.name)
        made = dataclasses.replace(boat, id=boat_id)
        folder, data = session.folder, listing.text.encode()
        self._busy = True
        self._on_taken()

        def store() -> str:
            from workbench.store.attachments import add_document  # noqa: PLC0415 - when asked for

            return add_document(folder, boat_id, data, "listing.txt").file

        session.background.run(
            FOLDER_WORK,
            store,
            lambda file: self._put(made, file),
            self._on_failed,
            latest_only=False,
        )

    def _put(self, boat: Boat, file: str) -> None:
        made = dataclasses.replace(boat, listing=file)
        refused = self._session.attempt(lambda project: edit_of(project, made))
        self._busy = False
        self._say(refused)
        self._on_taken()
        if not refused:
            self.text.clear()
            self._session.select_boat(made.id)
            self.done.emit(made.id)

    def _ask_name(self) -> None:
        """Say that she needs a name, and open the field for it."""
        self._say(tr("Give the boat a name, or what you call her."))
        fields = [row.finding.field for row in self.rows.rows]
        if "name" in fields:
            index = self.rows.index(fields.index("name"), VALUE)
            self.view.setFocus(Qt.FocusReason.OtherFocusReason)
            self.view.setCurrentIndex(index)
            self.view.edit(index)

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))


def _place(text: str, place: int) -> int:
    """A place in a text as Qt counts it, in UTF-16 units."""
    return len(text[:place].encode("utf-16-le")) // 2
