"""Paper: choose sheets, write them beside the window, look at them, and find them on the disk."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from workbench.store import layout
from workbench.window.opening import ENDINGS, Openings
from workbench.window.pages.sheet_choice import SheetChoice
from workbench.window.pages.sheet_preview import SheetPreview
from workbench.window.pages.sheet_writing import SheetOrder, SheetWriter
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.empty_state import EmptyState
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.row_delegate import ROW_ROLE, RowDelegate, RowParts
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED, SPACE_TIGHT
from workbench.window.widgets.tables import set_up_list

FILE_ROLE = int(Qt.ItemDataRole.UserRole)


class PaperPage(QWidget):
    """What to write at the left, what was written in the middle, one sheet at the right."""

    def __init__(
        self, session: Session, openings: Openings | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self.openings = openings or Openings()
        self._written: list[Path] = []
        self.choice = SheetChoice(session)
        self.writer = SheetWriter(session, self)
        self.preview = SheetPreview(session.background)
        self.list = QListWidget()
        set_up_list(self.list, name=tr("Written sheets"))
        self.list.setItemDelegate(RowDelegate(self.list, ruled=True))
        self.list.setUniformItemSizes(False)
        self.list.setFrameShape(QListWidget.Shape.NoFrame)
        self.head = SectionHeader(tr("Written"))
        self.open_button = button(tr("Open"), "", tip=tr("Open with the desktop's own program"))
        self.show_button = button(
            tr("Show in folder"), "quiet", tip=tr("Open the folder it lies in")
        )
        self.said = label("", "problem", wrap=True)
        self.nothing = EmptyState(
            tr("Nothing written yet"),
            tr(
                "Choose sheets and boats at the left. The offer-support sheet is the one to hand "
                "over: it shows neither your budget nor the price at which you walk away."
            ),
            "",
        )
        self._lay_out()
        self._connect()
        self.fill()

    def _lay_out(self) -> None:
        self.splitter = QSplitter(Qt.Orientation.Horizontal)
        for part, kind in (
            (self.choice, "page"),
            (self._middle(), "panel"),
            (self._right(), "page"),
        ):
            ground = surface(kind)
            inner = QVBoxLayout(ground)
            inner.setContentsMargins(0, 0, 0, 0)
            inner.addWidget(part)
            self.splitter.addWidget(ground)
        self.splitter.setSizes([330, 310, 640])
        for place, stretch in enumerate((0, 0, 1)):
            self.splitter.setStretchFactor(place, stretch)
        self.splitter.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.splitter)

    def _middle(self) -> QWidget:
        holder = QWidget()
        holder.setMinimumWidth(250)
        column = QVBoxLayout(holder)
        column.setContentsMargins(SPACE_GROUPS, SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS)
        column.setSpacing(SPACE_TIGHT)
        column.addWidget(self.head)
        column.addWidget(self.list, 1)
        column.addWidget(self.said)
        row = QHBoxLayout()
        row.addWidget(self.open_button)
        row.addWidget(self.show_button)
        row.addStretch(1)
        column.addLayout(row)
        return holder

    def _right(self) -> QWidget:
        self.right = QStackedWidget()
        self.right.addWidget(self.nothing)
        self.right.addWidget(self.preview)
        return self.right

    def _connect(self) -> None:
        # what the user does
        self.choice.write_requested.connect(self.write)
        self.choice.stop_requested.connect(self.writer.stop)
        self.list.currentItemChanged.connect(lambda *_: self._on_current())
        self.list.itemActivated.connect(lambda _: self._open())
        self.open_button.clicked.connect(self._open)
        self.show_button.clicked.connect(self._show)
        write = QShortcut(QKeySequence("Ctrl+P"), self)
        write.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        write.activated.connect(self.choice.write_button.click)
        # the writing
        self.writer.moved.connect(lambda one: self.choice.set_busy(one, busy=True))
        self.writer.written.connect(self._on_written)
        self.writer.ended.connect(self._on_ended)
        # the search
        self._session.changed.connect(self._on_changed)

    # --- Writing ---

    def write(self, order: SheetOrder) -> None:
        """Begin to write what is chosen."""
        assessment = self._session.assessment
        if assessment is None or self.writer.busy:
            return
        self.choice.set_busy(None, busy=True)
        self.choice.progress.setRange(0, 0)
        self.writer.write(order, assessment)

    def _on_written(self, files: object) -> None:
        if not isinstance(files, tuple) or not files:
            return
        self._written[:0] = files
        for file in files:
            self.openings.allow(file)
        self.fill()
        self.show_sheet(files[0])

    def _on_ended(self, sentence: str) -> None:
        self.choice.set_busy(None, busy=False)
        self.choice.say_problem(sentence)

    # --- What was written ---

    def _on_changed(self) -> None:
        if self._place_shown != self._session.place:
            self._written.clear()
            self.fill()

    def fill(self) -> None:
        """List what this window wrote, newest first, then what lies in the exports from before."""
        self._place_shown = self._session.place
        current = self.current_file()
        self.list.blockSignals(True)
        self.list.clear()
        earlier = [file for file in self._earlier() if file not in self._written]
        for file in (*self._written, *earlier):
            self._add(file, now=file in self._written)
        self.list.blockSignals(False)
        self.head.set_beside(str(self.list.count() or ""))
        self._choose(current)
        self._on_current()

    def _earlier(self) -> list[Path]:
        """Sheets of the exports folder, the newest name first."""
        folder = self._session.folder
        try:
            names = folder.files.names(f"{folder.root}/{layout.EXPORTS}")
        except OSError:
            return []  # there is no such folder before the first sheet
        sheets = sorted((name for name in names if Path(name).suffix in ENDINGS), reverse=True)
        place = self._session.place / layout.EXPORTS
        if sheets:
            self.openings.allow_folder(place)
        return [place / name for name in sheets]

    def _add(self, file: Path, *, now: bool) -> None:
        item = QListWidgetItem(file.stem)
        item.setData(FILE_ROLE, str(file))
        kind = tr("spreadsheet") if file.suffix == ".xlsx" else tr("PDF")
        when = tr("written now") if now else tr("from before")
        title = file.stem.partition(" ")[2] or file.stem
        day = file.stem.partition(" ")[0] if title != file.stem else ""
        sub = ", ".join(part for part in (day, kind, when) if part)
        item.setData(ROW_ROLE, RowParts(title, sub_line=sub))
        item.setToolTip(file.name)
        self.list.addItem(item)

    def current_file(self) -> Path | None:
        """The sheet that is chosen in the list."""
        row = self.list.currentRow()
        return Path(str(self.list.item(row).data(FILE_ROLE))) if row >= 0 else None

    def show_sheet(self, file: Path) -> None:
        """Choose a sheet of the list and look at it."""
        self._choose(file)

    def _choose(self, file: Path | None) -> None:
        for row in range(self.list.count()):
            if self.list.item(row).data(FILE_ROLE) == str(file):
                self.list.setCurrentRow(row)

    def _on_current(self) -> None:
        file = self.current_file()
        mine = file is not None and self.openings.may_open(file)
        self.said.hide()
        self.open_button.setEnabled(mine)
        self.open_button.setVisible(file is not None)
        self.show_button.setVisible(file is not None)
        if file is None:
            self._say_nothing()
        elif not mine:
            self.nothing.set_words(
                file.stem,
                tr(
                    "This sheet was written before. It can be shown in its folder; only sheets "
                    "written just now are opened from here. Write it again to look at it."
                ),
            )
            self.right.setCurrentWidget(self.nothing)
        elif file.suffix == ".pdf":
            self.right.setCurrentWidget(self.preview)
            if self.preview.file != file:
                self.preview.show_file(file, file.stem)
        else:
            self.nothing.set_words(
                file.stem, tr("A spreadsheet is not shown here. Open it to look at it.")
            )
            self.right.setCurrentWidget(self.nothing)

    def _say_nothing(self) -> None:
        self.nothing.set_words(
            tr("Nothing written yet") if not self.list.count() else tr("Nothing chosen"),
            tr(
                "Choose sheets and boats at the left. The offer-support sheet is the one to hand "
                "over: it shows neither your budget nor the price at which you walk away."
            ),
        )
        self.right.setCurrentWidget(self.nothing)

    def _open(self) -> None:
        file = self.current_file()
        if file is not None:
            self._say(self.openings.open_file(file))

    def _show(self) -> None:
        file = self.current_file()
        if file is not None:
            self._say(self.openings.show_folder(file.parent))

    def _say(self, sentence: str) -> None:
        self.said.setText(sentence)
        self.said.setVisible(bool(sentence))
