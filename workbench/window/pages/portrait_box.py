"""The picture that stands for a boat: chosen from the disk, dropped or pasted, or her sketch."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import (
    QDragEnterEvent,
    QDropEvent,
    QGuiApplication,
    QImage,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from workbench.domain.inspection import Photo
from workbench.domain.problem import HardstandError
from workbench.domain.project import Project
from workbench.edits.boats import set_portrait
from workbench.edits.edit import Edit
from workbench.edits.inspecting import add_photo
from workbench.store import attachments, layout
from workbench.window.models.boat_list import sketch_of
from workbench.window.pages.photos_panel import ENDINGS
from workbench.window.pages.shortlist_rows import paint_picture
from workbench.window.photo_loading import LARGE, PhotoLoader, Picture, taken_at
from workbench.window.photo_storing import Source, image_bytes
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr
from workbench.window.widgets.boat_silhouette import paint_boat
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.painting import paint_focus_ring
from workbench.window.widgets.surroundings import (
    RADIUS,
    SPACE_RELATED,
    SPACE_TIGHT,
    palette_of,
    qcolor,
    scale_of,
)

_HIGH = 168
"""Height of the picture [device-independent pixels at scale 1]."""


class _Frame(QWidget):
    """The picture, or the sketch of a boat without one."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._image: QImage | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(tr("Picture of the boat"))
        self.setToolTip(tr("Drop a photo here, or paste one that was copied (Ctrl+V)."))

    def show_image(self, image: QImage | None) -> None:
        """Show a picture; None shows the sketch."""
        self._image = image
        self.update()

    def sizeHint(self) -> QSize:
        """As wide as there is room, and as high as a photo of that width is worth."""
        return QSize(240, round(_HIGH * scale_of(self)))

    def minimumSizeHint(self) -> QSize:
        """Never too small to tell two boats apart."""
        return QSize(160, round(_HIGH * scale_of(self)))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint it."""
        palette = palette_of(self)
        rect = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if self._image is not None:
                paint_picture(painter, rect, self._image, RADIUS)
            elif self._session.candidate is not None:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(qcolor(palette.page))
                painter.drawRoundedRect(rect, RADIUS, RADIUS)
                room = rect.adjusted(20, 20, -20, -20)
                paint_boat(painter, room, sketch_of(self._session.candidate), palette)
            if self.hasFocus():
                paint_focus_ring(painter, rect, palette, RADIUS)


class PortraitBox(QWidget):
    """The picture of the boat that is looked at, with what can be done about it."""

    def __init__(
        self, session: Session, loader: PhotoLoader, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._loader = loader
        self._wanted = ""
        self.frame = _Frame(session)
        self.choose_button = button(tr("Picture …"), "link", tip=tr("A photo from the disk"))
        self.paste_button = button(tr("Paste"), "link", tip=tr("A photo that was copied (Ctrl+V)"))
        self.none_button = button(tr("No picture"), "link", tip=tr("The photo itself is kept"))
        self.problem = label("", "problem", wrap=True)
        row = QHBoxLayout()
        row.setSpacing(SPACE_RELATED)
        row.addWidget(self.choose_button)
        row.addWidget(self.paste_button)
        row.addStretch(1)
        row.addWidget(self.none_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addWidget(self.frame)
        column.addLayout(row)
        column.addWidget(self.problem)
        self.problem.hide()
        self.setAcceptDrops(True)
        self.choose_button.clicked.connect(lambda _=False: self.choose_file())
        self.paste_button.clicked.connect(lambda _=False: self.paste())
        self.none_button.clicked.connect(lambda _=False: self._put(""))
        loader.loaded.connect(self._on_loaded)
        session.changed.connect(self.refresh)
        session.boat_selected.connect(self.refresh)
        self.refresh()

    # --- What is shown ---

    def refresh(self) -> None:
        """Show the picture that the search has for her."""
        candidate = self._session.candidate
        photo = None
        if candidate is not None:
            photo = candidate.inspection.photos.get(candidate.boat.portrait)
        self.none_button.setVisible(photo is not None)
        self.setEnabled(candidate is not None and not self._session.read_only)
        wanted = f"{candidate.boat.id}/{photo.id}" if candidate and photo else ""
        if wanted == self._wanted and wanted:
            return
        self._wanted = wanted
        self.frame.show_image(None)
        if candidate is not None and photo is not None:
            self._loader.ask(candidate.boat.id, photo, LARGE)

    def _on_loaded(self, photo_id: str, side: int, picture: object) -> None:
        if side == LARGE and self._wanted.endswith(f"/{photo_id}") and isinstance(picture, Picture):
            self.frame.show_image(picture.image)
            self._say(picture.words)

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    # --- What the user does ---

    def choose_file(self) -> None:
        """Ask for a photo on the disk."""
        chosen, _ = QFileDialog.getOpenFileName(
            self, tr("A picture of her"), "", f"{tr('Photos')} ({ENDINGS})"
        )
        if chosen:
            self.take(Path(chosen))

    def paste(self) -> None:
        """Take the photo on the clipboard."""
        image = QGuiApplication.clipboard().image()
        if image.isNull():
            self._say(tr("There is no photo on the clipboard."))
            return
        self.take(image_bytes(image), tr("pasted.png"))

    def take(self, source: Source, name: str = "") -> None:
        """Store a photo and let it stand for her, in one step."""
        candidate = self._session.candidate
        if candidate is None:
            return
        boat, folder = candidate.boat.id, self._session.folder
        self._say("")

        def job() -> Photo:
            photo = attachments.add_photo(folder, boat, source, name)
            path = attachments.resolve(folder, boat, layout.PHOTOS, photo.file)
            data = folder.files.read(path, attachments.LARGEST)
            return dataclasses.replace(photo, taken=taken_at(data))

        def stored(photo: Photo) -> None:
            if boat in self._session.project.boats:
                refused = self._session.attempt(lambda p: _standing_for(p, boat, photo))
                self._say(refused)

        self._session.background.run(FOLDER_WORK, job, stored, self._on_failed, latest_only=False)

    def _on_failed(self, error: Exception) -> None:
        if isinstance(error, HardstandError):
            self._say(" ".join(one.sentence() for one in error.problems))
            return
        self._say(tr("The photo was not stored: {why}").format(why=error))

    def _put(self, photo_id: str) -> None:
        boat = self._session.boat_id
        self._say(self._session.attempt(lambda project: set_portrait(project, boat, photo_id)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Paste a photo."""
        if event.matches(QKeySequence.StandardKey.Paste):
            self.paste()
            return
        super().keyPressEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take one file, or a picture."""
        data = event.mimeData()
        if data.hasImage() or any(url.isLocalFile() for url in data.urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Take what was dropped; of several files the first."""
        data = event.mimeData()
        files = [Path(url.toLocalFile()) for url in data.urls() if url.isLocalFile()]
        if files:
            self.take(files[0])
        elif data.hasImage():
            self.take(image_bytes(QImage(data.imageData())), tr("dropped.png"))
        event.acceptProposedAction()


def _standing_for(project: Project, boat: str, photo: Photo) -> Edit:
    """The photo on record, and standing for her; the same picture again keeps its caption."""
    kept = project.boats[boat].inspection.photos.get(photo.id) or photo
    portrait = set_portrait(project, boat, photo.id)
    return add_photo(project, boat, kept).then(portrait, portrait.label)
