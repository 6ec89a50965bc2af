"""Photos for the screen: decoded in another process, upright, kept as thumbnails.

Files may come from strangers. What is shown is the copy that would be handed out; whatever cannot
be read gives words in place of the picture. Small pictures are kept in the cache folder, the least
used of them go when it grows too large. The photo's own file is only ever read.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QObject, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPen

from workbench.domain.inspection import Photo
from workbench.domain.problem import HardstandError
from workbench.paths import cache_folder
from workbench.store import layout
from workbench.store.attachments import LARGEST, resolve
from workbench.store.saving import ProjectFolder
from workbench.window.session import Session
from workbench.window.texts import marked, tr

TOPIC = "photos"
SMALL = 320
"""Longest side of a thumbnail [pixels]; sharp on a screen of twice the usual density."""
LARGE = 1_600
"""Longest side of a photo that is looked at [pixels]."""
CACHE_BYTES = 500 * 2**20
_IN_PLACE_OF_A_PICTURE = (
    marked("The photo cannot be read."),
    marked("The photo has too many pixels."),
    marked("The photo is not in the folder."),
    marked("There is no preview of this kind of photo; its file is kept."),
    marked("Reading the photo took too long."),
    marked("The photo cannot be shown now; close other programs and try again."),
)
"""What the reports say of a photo without a picture."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo as it is shown; words in its place where there is nothing to show."""

    image: QImage | None
    words: str = ""


def taken_at(data: bytes) -> datetime | None:
    """When the camera says a photo was taken, in the camera's own time; None where it does not."""
    from workbench.reports.photos import time_taken  # noqa: PLC0415 - only where there are photos

    try:
        # Exif 2.32 writes a moment as 2026:05:09 14:03:11.
        return datetime.strptime(time_taken(data), "%Y:%m:%d %H:%M:%S")
    except ValueError:
        return None


def decode(data: bytes, side: int) -> Picture:
    """A photo upright, at most `side` pixels long, or the words in its place."""
    from workbench.reports.photos import export_copy  # noqa: PLC0415 - only where there are photos

    made = export_copy(data, side)
    if made.words:
        return Picture(None, tr(made.words))
    image = QImage.fromData(made.jpeg)
    return Picture(None, tr("The photo cannot be read.")) if image.isNull() else Picture(image)


class ThumbnailCache:
    """Small pictures on the disk, by the content of their photo.

    Parameters
    ----------
    folder
        Where they lie; made when first needed. What cannot be written is made again next time.
    """

    def __init__(self, folder: Path, most_bytes: int = CACHE_BYTES) -> None:
        self._folder = folder
        self._most = most_bytes

    def _file(self, photo: Photo, side: int) -> Path:
        """The digest in a record comes from a file and is not trusted as a name."""
        key = hashlib.sha256(f"{photo.sha256}/{photo.file}/{side}".encode("utf-8", "replace"))
        return self._folder / f"{key.hexdigest()}.jpg"

    def get(self, photo: Photo, side: int) -> QImage | None:
        """A kept picture; None where there is none."""
        file = self._file(photo, side)
        image = QImage(str(file)) if file.is_file() else QImage()
        if image.isNull():
            return None
        try:
            os.utime(file)  # it was of use just now
        except OSError:
            return image  # a cache that cannot be touched still serves
        return image

    def put(self, photo: Photo, side: int, image: QImage) -> None:
        """Keep a picture."""
        file = self._file(photo, side)
        stage = file.with_suffix(f".{os.getpid()}.part.jpg")
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            if image.save(str(stage), quality=85):
                os.replace(stage, file)
        except OSError:
            with contextlib.suppress(OSError):
                stage.unlink(missing_ok=True)

    def prune(self) -> int:
        """Drop the pictures used longest ago until the rest fits; answers how many went."""
        try:
            files = [(one.stat(), one) for one in self._folder.glob("*.jpg")]
        except OSError:
            return 0
        files.sort(key=lambda pair: pair[0].st_mtime_ns, reverse=True)
        gone, total = 0, 0
        for facts, file in files:
            total += facts.st_size
            if total > self._most:
                file.unlink(missing_ok=True)
                gone += 1
        return gone


def load_picture(
    folder: ProjectFolder, boat: str, photo: Photo, side: int, cache: ThumbnailCache
) -> Picture:
    """A stored photo at a size, from the cache where it is small and was shown before."""
    kept = cache.get(photo, side) if side <= SMALL else None
    if kept is not None:
        return Picture(kept)
    try:
        data = folder.files.read(resolve(folder, boat, layout.PHOTOS, photo.file), LARGEST)
    except (HardstandError, OSError):
        return Picture(None, tr("The photo is not in the folder."))
    made = decode(data, side)
    if made.image is not None and side <= SMALL:
        cache.put(photo, side, made.image)
    return made


def framed_words(words: str, ink: str, ground: str, size: tuple[int, int] = (264, 192)) -> QImage:
    """Words in a frame, for a photo that cannot be shown."""
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(QColor(ground))
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(ink), 2, Qt.PenStyle.DashLine))
        painter.drawRect(QRectF(image.rect()).adjusted(6, 6, -6, -6))
        font = QFont(painter.font())
        font.setPixelSize(22)
        painter.setFont(font)
        flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
        painter.drawText(QRectF(image.rect()).adjusted(20, 16, -20, -16), int(flags), words)
    return image


class PhotoLoader(QObject):
    """Fetches pictures beside the window.

    Signals
    -------
    loaded(photo_id, side, Picture)
        A picture that was asked for is there, or words in its place.
    """

    loaded = Signal(str, int, object)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._asked: set[tuple[str, str, int]] = set()
        self.cache = ThumbnailCache(cache_folder() / "thumbnails")
        self._tidied = False

    def ask(self, boat: str, photo: Photo, side: int) -> None:
        """Ask for a picture; asking again while it is on its way does nothing."""
        key = (boat, photo.id, side)
        if key in self._asked:
            return
        self._asked.add(key)
        if not self._tidied:
            self._tidied = True
            self._session.background.run(
                TOPIC, self.cache.prune, _let_be, _let_be, latest_only=False
            )
        folder, cache = self._session.folder, self.cache

        def deliver(picture: Picture) -> None:
            self._asked.discard(key)
            self.loaded.emit(photo.id, side, picture)

        self._session.background.run(
            TOPIC,
            lambda: load_picture(folder, boat, photo, side, cache),
            deliver,
            lambda _: deliver(Picture(None, tr("The photo cannot be read."))),
            latest_only=False,
        )


def _let_be(_: object) -> None:
    """A cache that could not be tidied is tidied the next time."""
