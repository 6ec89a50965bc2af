"""The photos of a check, or of the whole boat: a strip to drop, paste and choose files into."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication, QKeySequence, QShortcut
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QVBoxLayout, QWidget

from workbench.domain.inspection import Photo
from workbench.edits.inspecting import remove_photo
from workbench.window.photo_loading import SMALL, PhotoLoader, Picture, framed_words
from workbench.window.photo_storing import PhotoStorer, Source, image_bytes
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets import photo_strip
from workbench.window.widgets.buttons import button
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import SPACE_RELATED, SPACE_TIGHT, palette_of

ENDINGS = "*.jpg *.jpeg *.png *.webp *.tif *.tiff *.gif *.heic *.heif *.avif"


class PhotosPanel(QWidget):
    """Photos of the check and boat that are looked at.

    Signals
    -------
    photo_opened(photo_id)
        The user wants to see a photo large.
    """

    photo_opened = Signal(str)

    def __init__(
        self, session: Session, loader: PhotoLoader | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self.loader = loader or PhotoLoader(session, self)
        self.storer = PhotoStorer(session, self)
        self._shown: tuple[Photo, ...] = ()
        self._pictures: dict[str, Picture] = {}
        self.setAccessibleName(tr("Photos"))
        self.strip = photo_strip.PhotoStrip(
            hint=tr("Drop photos here, paste them, or choose files.")
        )
        self.strip.setToolTip(tr("Return shows a photo large, Delete takes it away."))
        self.heading = label(tr("Photos"), "small")
        self.whose = ChoiceRow(
            [("check", tr("this check")), ("boat", tr("all of her"))], name=tr("Whose photos")
        )
        self.whose.set_choice("check")
        self.add_button = button(tr("Choose files …"), "link", tip=tr("Photos from the disk"))
        self.paste_button = button(tr("Paste"), "link", tip=tr("A photo that was copied (Ctrl+V)"))
        self.stop_button = button(tr("Stop"), "link", tip=tr("Those stored already stay"))
        self.doing = label("", "small")
        self.problem = label("", "problem", wrap=True)
        self._lay_out()
        self._connect()
        self._set_busy(busy=False)
        self.refresh()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setSpacing(SPACE_RELATED)
        head.addWidget(self.heading)
        head.addStretch(1)
        head.addWidget(self.whose)
        foot = QHBoxLayout()
        foot.setSpacing(SPACE_RELATED)
        foot.addWidget(self.add_button)
        foot.addWidget(self.paste_button)
        foot.addStretch(1)
        foot.addWidget(self.doing)
        foot.addWidget(self.stop_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, SPACE_RELATED, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addLayout(head)
        column.addWidget(self.strip)
        column.addWidget(self.problem)
        column.addLayout(foot)
        self.problem.hide()

    def _connect(self) -> None:
        # what the user does
        self.strip.files_dropped.connect(self._on_files)
        self.strip.photo_opened.connect(lambda key: self.photo_opened.emit(str(key)))
        self.strip.photo_removed.connect(self._on_removed)
        self.whose.chosen.connect(self._on_whose)
        self.add_button.clicked.connect(self.choose_files)
        self.paste_button.clicked.connect(self.paste)
        self.stop_button.clicked.connect(self.storer.stop)
        paste = QShortcut(QKeySequence.StandardKey.Paste, self.strip)
        paste.setContext(Qt.ShortcutContext.WidgetShortcut)
        paste.activated.connect(self.paste)
        # pictures and files
        self.loader.loaded.connect(self._on_loaded)
        self.strip.horizontalScrollBar().valueChanged.connect(lambda _: self._ask())
        self.storer.moved.connect(self._on_moved)
        self.storer.ended.connect(self._on_stored)
        # the search
        self._session.changed.connect(self.refresh)
        self._session.boat_selected.connect(lambda _: self._turn_to_another())
        self._session.check_selected.connect(lambda _: self._turn_to_another())

    # --- What is shown ---

    def photos(self) -> tuple[Photo, ...]:
        """The photos of the check, or of the boat, oldest first."""
        candidate = self._session.candidate
        if candidate is None:
            return ()
        known = candidate.inspection.photos
        if self.whose.choice() == "boat":
            return tuple(known.values())
        readings = candidate.inspection.readings.get(self._session.check_id, ())
        named = dict.fromkeys(name for one in readings for name in one.photos)
        return tuple(known[name] for name in named if name in known)

    def _turn_to_another(self) -> None:
        self._say("")
        self.refresh()

    def refresh(self) -> None:
        """Show the photos as the search has them."""
        photos = self.photos()
        if photos == self._shown and self.strip.count() == len(photos):
            return
        self._shown = photos
        self.strip.set_photos([photo_strip.Photo(one.id, caption_of(one)) for one in photos])
        for one in photos:
            picture = self._pictures.get(one.id)
            if picture is not None:
                self._put(one.id, picture)
        count = len(photos)
        self.heading.setText(tr("Photos") if not count else tr("Photos, {n}").format(n=count))
        self._ask()

    def _ask(self) -> None:
        """Ask for the pictures in sight, and the one after them."""
        view = self.strip.viewport().rect().adjusted(-200, 0, 200, 0)
        for row, photo in enumerate(self._shown):
            seen = view.intersects(self.strip.visualItemRect(self.strip.item(row)))
            if seen and photo.id not in self._pictures:
                self.loader.ask(self._session.boat_id, photo, SMALL)

    def _on_loaded(self, photo_id: str, side: int, picture: Picture) -> None:
        if side == SMALL:
            self._pictures[photo_id] = picture
            self._put(photo_id, picture)

    def _put(self, photo_id: str, picture: Picture) -> None:
        palette = palette_of(self)
        image = picture.image
        if image is None:
            image = framed_words(picture.words, palette.quiet, palette.page)
        self.strip.set_thumbnail(photo_id, image)

    # --- What the user does ---

    def _on_whose(self, choice: object) -> None:
        if choice is None:
            self.whose.set_choice("check")
        self.refresh()

    def choose_files(self) -> None:
        """Ask for photo files."""
        chosen, _ = QFileDialog.getOpenFileNames(
            self, tr("Photos"), "", f"{tr('Photos')} ({ENDINGS} {ENDINGS.upper()})"
        )
        self._on_files(tuple(Path(one) for one in chosen))

    def paste(self) -> None:
        """Take the files or the picture that was copied."""
        held = QGuiApplication.clipboard().mimeData()
        files = tuple(Path(url.toLocalFile()) for url in held.urls() if url.isLocalFile())
        if files:
            self._on_files(files)
            return
        image = QGuiApplication.clipboard().image()
        if image.isNull():
            self._say(tr("Nothing that was copied is a photo."))
            return
        self._store((image_bytes(image),), tr("pasted"))

    def _on_files(self, files: object) -> None:
        if isinstance(files, tuple) and files:
            self._store(files)

    def _store(self, sources: tuple[Source, ...], name: str = "") -> None:
        if self._session.candidate is None:
            return
        self._say("")
        self._set_busy(busy=True)
        check = self._session.check_id if self.whose.choice() == "check" else ""
        self.storer.store(self._session.boat_id, check, sources, name)

    def _on_moved(self, done: int, of: int) -> None:
        self.doing.setText(tr("Storing {n} of {all}").format(n=done + 1, all=of))

    def _on_stored(self, sentence: str) -> None:
        self._set_busy(busy=False)
        self._say(sentence)

    def _on_removed(self, key: object) -> None:
        boat_id = self._session.boat_id
        self._say(self._session.attempt(lambda project: remove_photo(project, boat_id, str(key))))

    def _set_busy(self, *, busy: bool) -> None:
        self.doing.setVisible(busy)
        self.stop_button.setVisible(busy)
        self.add_button.setEnabled(not busy)
        self.paste_button.setEnabled(not busy)

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))


def caption_of(photo: Photo) -> str:
    """What stands below a photo: its caption, and whether it is for the buyer alone."""
    words = photo.caption or photo.original_name
    if photo.private:
        return tr("{caption} (private)").format(caption=words)
    return words
