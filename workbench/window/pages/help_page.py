"""Help: a list of pages to search, and one page to read, print, or keep as a PDF."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QUrl, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QTextCursor
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QSplitter,
    QTextBrowser,
    QTextEdit,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.catalogue.wording import labels_in
from workbench.domain.problem import EntryError
from workbench.paths import resources_root
from workbench.store.exports import plain_name
from workbench.window.help_document import HelpDocument, document_of, print_on, write_pdf
from workbench.window.help_topics import CHECK, Topic, found_in, topics
from workbench.window.opening import Link, Openings, read_link
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.search_field import SearchField
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    palette_of,
    qcolor,
    scale_of,
)
from workbench.window.widgets.tables import set_up_tree

KEY_ROLE = int(Qt.ItemDataRole.UserRole)
MOST_MARKED = 200
WIDEST = 880
"""Width above which lines are hard to follow [device-independent pixels]."""


class HelpPage(QWidget):
    """The list at the left, the page at the right.

    Signals
    -------
    check_requested(check_id)
        The user goes from the page of a check to the check itself.
    """

    check_requested = Signal(str)

    def __init__(
        self, session: Session, openings: Openings | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._openings = openings or Openings()
        self._link: Link | None = None
        self._shown: Topic | None = None
        self._document: HelpDocument | None = None
        self.search = SearchField(tr("Search the help"))
        self.search.setToolTip(tr("All words must occur on the page."))
        self.list = QTreeWidget()
        set_up_tree(self.list, name=tr("Pages of the help"))
        self.list.setFrameShape(QTreeWidget.Shape.NoFrame)
        self.list.setProperty("ground", "page")
        self.count = label("", "small")
        self.browser = QTextBrowser()
        self.browser.setOpenLinks(False)
        self.browser.setOpenExternalLinks(False)
        self.browser.setFrameShape(QTextBrowser.Shape.NoFrame)
        self.browser.setAccessibleName(tr("Help page"))
        self.browser.setStyleSheet(
            "QTextBrowser { background: transparent; border: 1px solid transparent; padding: 0px; }"
            "QTextBrowser:focus { border: 1px solid palette(highlight); padding: 0px; }"
        )
        self.print_button = button(tr("Print …"), "quiet", tip=tr("Print this page"))
        self.pdf_button = button(tr("As PDF …"), "quiet", tip=tr("Keep this page as a PDF"))
        self.look_button = button(tr("Go to this check"), "link", tip=tr("On the page Boats"))
        self.said = label("", wrap=True)
        self.yes_button = button(tr("Open it"), "", tip=tr("In your web browser"))
        self.no_button = button(tr("Not now"), "quiet")
        self._lay_out()
        self._connect()
        self._ask(None)
        self._seek("")
        self.show_topic(self._pages[0].key)

    @functools.cached_property
    def _pages(self) -> tuple[Topic, ...]:
        return topics(self._session.catalogue)

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setContentsMargins(SPACE_GROUPS, SPACE_GROUPS, SPACE_GROUPS, SPACE_GROUPS)
        left.setSpacing(SPACE_RELATED)
        left.addWidget(self.search)
        left.addWidget(self.count)
        left.addWidget(self.list, 1)
        right = QVBoxLayout()
        right.setContentsMargins(SPACE_PAGE + SPACE_GROUPS, SPACE_GROUPS, SPACE_GROUPS, 0)
        right.setSpacing(SPACE_RELATED)
        head = QHBoxLayout()
        head.addWidget(self.look_button)
        head.addStretch(1)
        head.addWidget(self.print_button)
        head.addWidget(self.pdf_button)
        right.addLayout(head)
        asking = QHBoxLayout()
        asking.addWidget(self.said, 1)
        asking.addWidget(self.yes_button)
        asking.addWidget(self.no_button)
        right.addLayout(asking)
        reading = QHBoxLayout()
        reading.addWidget(self.browser, 100)
        reading.addStretch(1)
        self.browser.setMaximumWidth(WIDEST)
        right.addLayout(reading, 1)
        splitter = QSplitter(Qt.Orientation.Horizontal)
        for part, kind in ((left, "page"), (right, "panel")):
            ground = surface(kind)
            ground.setLayout(part)
            splitter.addWidget(ground)
        splitter.setSizes([320, 960])
        splitter.setStretchFactor(1, 1)
        splitter.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(splitter)

    def _connect(self) -> None:
        self.search.searched.connect(self._seek)
        self.search.left_downwards.connect(self._go_down)
        self.list.currentItemChanged.connect(lambda *_: self._on_current())
        self.browser.anchorClicked.connect(self._on_link)
        self.print_button.clicked.connect(self.print_page)
        self.pdf_button.clicked.connect(self.keep_as_pdf)
        self.look_button.clicked.connect(self._on_look)
        self.yes_button.clicked.connect(self._follow)
        self.no_button.clicked.connect(lambda: self._ask(None))
        self._session.assessed.connect(self._on_assessed)
        seek = QShortcut(QKeySequence.StandardKey.Find, self)
        seek.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        seek.activated.connect(self.search.setFocus)

    # --- The list ---

    def _on_assessed(self) -> None:
        """Own checks may have come or gone."""
        known = {one.key for one in self._pages if one.key.startswith(CHECK)}
        if known != {f"{CHECK}{name}" for name in self._session.catalogue.checks}:
            del self._pages
            self._seek(self.search.text().strip())

    def _seek(self, text: str) -> None:
        """List the pages that hold the words, in their groups."""
        found = found_in(self._pages, text)
        groups: dict[str, QTreeWidgetItem] = {}
        self.list.blockSignals(True)
        self.list.clear()
        for one in found:
            if one.group not in groups:
                groups[one.group] = self._group_item(one.group)
            item = QTreeWidgetItem(groups[one.group], [one.title])
            item.setData(0, KEY_ROLE, one.key)
            item.setToolTip(0, one.title)
        self.list.blockSignals(False)
        for place, group in enumerate(groups.values()):
            group.setExpanded(bool(text) or place < 3)
        words = tr("{n} pages") if text else tr("{n} pages, one for each check")
        self.count.setText(words.format(n=len(found)))
        if self._shown is not None and any(one.key == self._shown.key for one in found):
            self._light(self._shown.key)
            self._mark()
        elif found and text:
            self._light(found[0].key)
            self.show_topic(found[0].key)

    def _group_item(self, title: str) -> QTreeWidgetItem:
        item = QTreeWidgetItem(self.list, [title])
        font = self.list.font()
        font.setBold(True)
        item.setFont(0, font)
        return item

    def _light(self, key: str) -> None:
        """Show where a page stands in the list."""
        for place in range(self.list.topLevelItemCount()):
            group = self.list.topLevelItem(place)
            for row in range(group.childCount() if group is not None else 0):
                item = group.child(row) if group is not None else None
                if item is not None and item.data(0, KEY_ROLE) == key:
                    self.list.setCurrentItem(item)
                    self.list.scrollToItem(item)
                    return

    def _go_down(self) -> None:
        self.list.setFocus(Qt.FocusReason.TabFocusReason)

    def _on_current(self) -> None:
        items = self.list.selectedItems()
        key = items[0].data(0, KEY_ROLE) if items else None
        if key and (self._shown is None or key != self._shown.key):
            self.show_topic(str(key))

    # --- The page ---

    @property
    def shown(self) -> Topic | None:
        """The page that is read."""
        return self._shown

    def show_topic(self, key: str) -> None:
        """Read a page, by its key: `help:keys`, `check:stern-bearing-play`."""
        topic = next((one for one in self._pages if one.key == key), None)
        if topic is None:
            return
        self._shown = topic
        self._ask(None)
        self._set()
        self.browser.verticalScrollBar().setValue(0)
        self.look_button.setVisible(key.startswith(CHECK))
        self._light(key)
        self._mark()

    def _set(self) -> None:
        """Set the page in the colours of the window."""
        if self._shown is None:
            return
        palette = palette_of(self)
        made = document_of(self._shown, palette, scale_of(self), self._labels())
        self.browser.setDocument(made)
        self._document = made  # the browser does not keep it
        self.browser.setAccessibleName(tr("Help page: {title}").format(title=self._shown.title))

    def _labels(self) -> Mapping[str, str]:
        """What stands in the drawings, in the language of the pages."""
        return labels_in(resources_root(), self._session.catalogue.wording.language)

    def _mark(self) -> None:
        """Mark the words sought on the page."""
        marks: list[QTextEdit.ExtraSelection] = []
        lit = qcolor(palette_of(self).selection)
        for word in self.search.text().split():
            cursor = QTextCursor(self.browser.document())
            while len(marks) < MOST_MARKED:
                cursor = self.browser.document().find(word, cursor)
                if cursor.isNull():
                    break
                mark = QTextEdit.ExtraSelection()
                mark.cursor = cursor
                mark.format.setBackground(lit)
                marks.append(mark)
        self.browser.setExtraSelections(marks)

    def changeEvent(self, event: QEvent) -> None:
        """Set the page anew when the appearance changes."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.PaletteChange, QEvent.Type.StyleChange}:
            self._set()

    # --- Links ---

    def _on_link(self, url: QUrl) -> None:
        text = url.toString()
        if any(one.key == text for one in self._pages):
            self.show_topic(text)
            return
        try:
            self._ask(read_link(text))
        except EntryError as error:
            self._say(str(error))

    def _ask(self, link: Link | None) -> None:
        """Ask, with the host in sight, whether a link is to be opened."""
        self._link = link
        self.yes_button.setVisible(link is not None)
        self.no_button.setVisible(link is not None)
        self._say(tr("Open {host} in your browser?").format(host=link.host) if link else "")

    def _follow(self) -> None:
        if self._link is not None:
            said = self._openings.follow(self._link)
            self._ask(None)
            self._say(said)

    def _say(self, sentence: str) -> None:
        self.said.setText(sentence)
        self.said.setVisible(bool(sentence))

    # --- Paper ---

    def _on_look(self) -> None:
        if self._shown is not None:
            self.check_requested.emit(self._shown.key.removeprefix(CHECK))

    def print_page(self) -> None:
        """Let the system's print dialog choose a printer, then print."""
        from PySide6.QtPrintSupport import (  # noqa: PLC0415 - when asked for
            QPrintDialog,
            QPrinter,
            QPrinterInfo,
        )

        topic = self._shown
        if topic is None:
            return
        if not QPrinterInfo.availablePrinterNames():
            self._say(tr("No printer is set up here. Keep the page as a PDF instead."))
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        dialog = QPrintDialog(printer, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(lambda: print_on(printer, topic, self._labels()))
        dialog.setWindowModality(Qt.WindowModality.WindowModal)
        dialog.show()

    def keep_as_pdf(self) -> None:
        """Ask where, and keep the page as a PDF."""
        topic = self._shown
        if topic is None:
            return
        chosen, _ = QFileDialog.getSaveFileName(
            self, tr("Keep this page"), f"{plain_name(topic.title)}.pdf", "PDF (*.pdf)"
        )
        if chosen:
            file = Path(chosen)
            written = write_pdf(topic, file, self._labels())
            self._say(
                tr("Written: {name}").format(name=file.name)
                if written
                else tr("It could not be written there. Choose another folder.")
            )
