"""A written sheet to look at: one page at the width there is, turned by keys and buttons.

The pages are drawn beside the window; while one is being drawn the last one stays. What a sheet
says is also given to screen readers as text.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QImage, QKeyEvent, QPixmap, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from workbench.domain.record import dataclass
from workbench.window.background import Background
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED

TOPIC = "preview"
"""Topic of the background work; the library draws in one thread at a time."""
MARGIN = 16
LONGEST_TEXT = 4_000


@dataclass(frozen=True, slots=True)
class PagePicture:
    """One page drawn.

    Attributes
    ----------
    number
        Counted from 0.
    of
        How many pages the sheet has.
    text
        What stands on the page.
    """

    number: int
    of: int
    picture: QImage
    text: str


def draw_page(file: Path, number: int, width: int) -> PagePicture:
    """One page of a PDF, `width` pixels wide; the nearest page there is.

    Raises
    ------
    OSError
        When the file cannot be read as a PDF.
    """
    import pypdfium2  # noqa: PLC0415 - only a preview needs it

    try:
        document = pypdfium2.PdfDocument(file.read_bytes())
    except pypdfium2.PdfiumError as error:
        raise OSError(str(error)) from error
    try:
        pages = len(document)
        wanted = min(max(number, 0), pages - 1)
        page = document[wanted]
        bitmap = page.render(scale=width / page.get_width(), rev_byteorder=True)
        signs = page.get_textpage().get_text_range()
        layout = QImage.Format.Format_RGBX8888
        if bitmap.n_channels == 3:
            layout = QImage.Format.Format_RGB888
        picture = QImage(bytes(bitmap.buffer), bitmap.width, bitmap.height, bitmap.stride, layout)
        return PagePicture(wanted, pages, picture.copy(), signs[:LONGEST_TEXT])
    finally:
        document.close()


class SheetPreview(QWidget):
    """The pages of one PDF.

    Signals
    -------
    page_shown(number)
        A page is on the screen, counted from 0.
    """

    page_shown = Signal(int)

    def __init__(self, background: Background, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._background = background
        self._file: Path | None = None
        self._page = 0
        self._pages = 0
        self._drawn_width = 0
        self.title = label("", "quiet")
        self.place = label("", "quiet")
        self.back_button = button("‹", "quiet", tip=tr("Page before (Page Up)"))
        self.back_button.setAccessibleName(tr("Page before"))
        self.on_button = button("›", "quiet", tip=tr("Next page (Page Down)"))
        self.on_button.setAccessibleName(tr("Next page"))
        self.sheet = QLabel()
        self.sheet.setAlignment(Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignTop)
        self.sheet.setMargin(MARGIN)
        self.view = QScrollArea()
        self.view.setWidgetResizable(True)
        self.view.setFrameShape(QScrollArea.Shape.NoFrame)
        self.view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.view.setWidget(self.sheet)
        self.view.setAccessibleName(tr("Preview"))
        self.view.setToolTip(tr("Page Up and Page Down turn the pages."))
        self.view.installEventFilter(self)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(120)
        self._rest.timeout.connect(self._draw)
        self.back_button.clicked.connect(lambda: self.turn(-1))
        self.on_button.clicked.connect(lambda: self.turn(1))
        self._lay_out()
        self._say()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_RELATED, 0)
        head.setSpacing(SPACE_RELATED)
        head.addWidget(self.title, 1)
        head.addWidget(self.back_button)
        head.addWidget(self.place)
        head.addWidget(self.on_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self.view, 1)

    @property
    def file(self) -> Path | None:
        """The sheet that is looked at."""
        return self._file

    @property
    def page(self) -> int:
        """The page that is looked at, counted from 0."""
        return self._page

    @property
    def pages(self) -> int:
        """How many pages there are; 0 until they are known."""
        return self._pages

    def show_file(self, file: Path | None, title: str = "") -> None:
        """Look at another sheet from its first page; None at none."""
        self._file = file
        self._page, self._pages, self._drawn_width = 0, 0, 0
        self.title.setText(title)
        self.sheet.clear()
        self._say()
        if file is not None:
            self._draw()

    def turn(self, by: int) -> None:
        """Turn pages; past the ends nothing happens."""
        wanted = self._page + by
        if self._file is not None and 0 <= wanted < self._pages:
            self._page = wanted
            self._draw()

    def _room(self) -> int:
        """Width of a page [device-independent pixels]."""
        return max(self.view.viewport().width() - 2 * MARGIN, 120)

    def _draw(self) -> None:
        file, number, ratio = self._file, self._page, self.devicePixelRatioF()
        if file is None:
            return
        self._drawn_width = self._room()
        width = round(self._drawn_width * ratio)
        self._background.run(
            TOPIC,
            lambda: draw_page(file, number, width),
            lambda made: self._on_drawn(file, made),
            lambda error: self._on_not_drawn(file),
        )

    def _on_drawn(self, file: Path, made: PagePicture) -> None:
        if file != self._file:
            return
        turned = made.number != self._page or not self.sheet.pixmap().toImage().size().isValid()
        self._page, self._pages = made.number, made.of
        pixmap = QPixmap.fromImage(made.picture)
        pixmap.setDevicePixelRatio(self.devicePixelRatioF())
        self.sheet.setPixmap(pixmap)
        self.sheet.setAccessibleName(tr("Page {n} of {all}").format(n=self._page + 1, all=made.of))
        self.sheet.setAccessibleDescription(made.text)
        if turned:
            self.view.verticalScrollBar().setValue(0)
        self._say()
        self.page_shown.emit(self._page)

    def _on_not_drawn(self, file: Path) -> None:
        if file == self._file:
            self.sheet.setText(tr("This sheet cannot be shown here. Open it instead."))

    def _say(self) -> None:
        there = self._pages > 0
        self.place.setText(
            tr("page {n} of {all}").format(n=self._page + 1, all=self._pages) if there else ""
        )
        self.back_button.setVisible(self._pages > 1)
        self.on_button.setVisible(self._pages > 1)
        self.back_button.setEnabled(self._page > 0)
        self.on_button.setEnabled(self._page < self._pages - 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw anew once the width rests."""
        super().resizeEvent(event)
        if self._file is not None and self._room() != self._drawn_width:
            self._rest.start()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Turn pages by Page Up and Page Down."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            steps = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}
            step = steps.get(Qt.Key(event.key()))
            if step is not None:
                self.turn(step)
                return True
        return super().eventFilter(watched, event)
