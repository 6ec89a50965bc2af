"""The photos of a finding side by side, with captions; files dropped here are offered to the page.

The strip neither reads nor copies files: the page gives it thumbnails as they become ready, and
hears what was opened, dropped or asked to be taken away.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QEvent, QPoint, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QDragMoveEvent,
    QDropEvent,
    QIcon,
    QImage,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
)
from PySide6.QtWidgets import QListView, QListWidget, QListWidgetItem, QWidget

from workbench.domain.record import dataclass
from workbench.window.texts import tr
from workbench.window.widgets.surroundings import SPACE_RELATED, palette_of, qcolor, scale_of

THUMBNAIL = (132, 96)
"""Width and height of a thumbnail [device-independent pixels at scale 1]."""


@dataclass(frozen=True, slots=True)
class Photo:
    """One photo of the strip: by what it is found again, and what is written below it."""

    key: object
    caption: str


class PhotoStrip(QListWidget):
    """Thumbnails in one line.

    Signals
    -------
    files_dropped(paths)
        Files were dropped or pasted here: a tuple of paths.
    photo_opened(key)
        A photo was double-clicked or chosen with Enter.
    photo_removed(key)
        The Delete key was pressed on a photo.
    """

    files_dropped = Signal(object)
    photo_opened = Signal(object)
    photo_removed = Signal(object)

    def __init__(self, *, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._hint = hint or tr("Drop photos here.")
        self._photos: tuple[Photo, ...] = ()
        self.setViewMode(QListView.ViewMode.IconMode)
        self.setFlow(QListView.Flow.LeftToRight)
        self.setWrapping(False)
        self.setMovement(QListView.Movement.Static)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setSpacing(SPACE_RELATED // 2)
        self.setWordWrap(True)
        self.setAcceptDrops(True)
        self.viewport().setAcceptDrops(True)  # photos that stay in place had turned it off
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(tr("Photos"))
        self.setProperty("ground", "strip")
        self.itemActivated.connect(self._on_item_activated)
        self._fit_height()

    def _thumbnail(self) -> QSize:
        """Size of a thumbnail at the text scale around the strip."""
        scale = scale_of(self)
        return QSize(round(THUMBNAIL[0] * scale), round(THUMBNAIL[1] * scale))

    def _cell(self) -> QSize:
        """Size of a thumbnail with two lines of caption."""
        lines = round(2.5 * self.fontMetrics().height())
        return QSize(self._thumbnail().width() + 12, self._thumbnail().height() + lines + 6)

    def _fit_height(self) -> None:
        self.setIconSize(self._thumbnail())
        self.setFixedHeight(self._cell().height() + 22)
        for row in range(self.count()):
            self.item(row).setSizeHint(self._cell())

    def changeEvent(self, event: QEvent) -> None:
        """Grow with the text."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self._fit_height()

    def photos(self) -> tuple[Photo, ...]:
        """Return the photos shown, in their order."""
        return self._photos

    def set_photos(self, photos: Sequence[Photo]) -> None:
        """Show photos; each is a blank card until its thumbnail comes."""
        known = {self._photo(row).key: self.item(row).icon() for row in range(self.count())}
        self.clear()
        self._photos = tuple(photos)
        for photo in photos:
            item = QListWidgetItem(known.get(photo.key, QIcon(self._blank())), photo.caption)
            item.setData(Qt.ItemDataRole.UserRole, photo)
            item.setToolTip(photo.caption)
            item.setSizeHint(self._cell())
            item.setTextAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
            self.addItem(item)

    def set_thumbnail(self, key: object, picture: QImage) -> None:
        """Show a photo's thumbnail once it is ready; unknown keys are let pass as too late."""
        for row in range(self.count()):
            if self._photo(row).key == key:
                self.item(row).setIcon(QIcon(self._framed(picture)))

    def _photo(self, row: int) -> Photo:
        photo = self.item(row).data(Qt.ItemDataRole.UserRole)
        assert isinstance(photo, Photo)  # noqa: S101 - only set_photos fills the strip
        return photo

    def _blank(self) -> QPixmap:
        pixmap = QPixmap(self._thumbnail())
        pixmap.fill(qcolor(palette_of(self).line))
        return pixmap

    def _framed(self, picture: QImage) -> QPixmap:
        """Cut the picture to the thumbnail's proportions, sharp on dense screens."""
        ratio = self.devicePixelRatioF()
        wanted = self._thumbnail() * ratio
        filled = picture.scaled(
            wanted,
            Qt.AspectRatioMode.KeepAspectRatioByExpanding,
            Qt.TransformationMode.SmoothTransformation,
        )
        spare = filled.size() - wanted
        cut = filled.copy(QRect(QPoint(spare.width() // 2, spare.height() // 2), wanted))
        pixmap = QPixmap.fromImage(cut)
        pixmap.setDevicePixelRatio(ratio)
        return pixmap

    def _on_item_activated(self, item: QListWidgetItem) -> None:
        photo = item.data(Qt.ItemDataRole.UserRole)
        if isinstance(photo, Photo):
            self.photo_opened.emit(photo.key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ask for a photo to be taken away on Delete."""
        if event.key() == Qt.Key.Key_Delete and self.currentRow() >= 0:
            self.photo_removed.emit(self._photo(self.currentRow()).key)
        else:
            super().keyPressEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files."""
        self._take_files(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Take files."""
        self._take_files(event)

    def _take_files(self, event: QDragMoveEvent) -> None:
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.setDropAction(Qt.DropAction.CopyAction)
            event.accept()
        else:
            event.ignore()

    def dropEvent(self, event: QDropEvent) -> None:
        """Announce the files that were dropped."""
        paths = tuple(
            Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()
        )
        if paths:
            event.setDropAction(Qt.DropAction.CopyAction)
            event.accept()
            self.files_dropped.emit(paths)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the photos, or where they would lie."""
        super().paintEvent(event)
        if self.count():
            return
        palette = palette_of(self)
        with QPainter(self.viewport()) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            pen = QPen(qcolor(palette.control_line), 1.2)
            pen.setDashPattern([4, 3])
            painter.setPen(pen)
            room = QRectF(self.viewport().rect()).adjusted(1, 1, -1, -1)
            painter.drawRoundedRect(room, 5, 5)
            painter.setPen(qcolor(palette.quiet))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(room.adjusted(12, 0, -12, 0), int(flags), self._hint)
