"""Taking photos in: stored as they came beside the window, then on record by one edit."""

from __future__ import annotations

import dataclasses
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject, Signal
from PySide6.QtGui import QImage, QImageWriter

from workbench.domain.inspection import Photo, Reading
from workbench.domain.problem import HardstandError, Problem
from workbench.domain.project import Project
from workbench.edits.edit import Edit, apply
from workbench.edits.inspecting import add_photo, record_reading
from workbench.store import attachments, layout
from workbench.window.photo_loading import taken_at
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr

Source = Path | bytes


@dataclass(frozen=True, slots=True)
class Stored:
    """What became of some files: the photos that are stored, and what stood in the way."""

    boat: str
    check: str
    photos: tuple[Photo, ...]
    problems: tuple[Problem, ...]


def image_bytes(image: QImage) -> bytes:
    """A picture of the clipboard as the bytes of a PNG file."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    QImageWriter(buffer, QByteArray(b"png")).write(image)
    return bytes(buffer.data().data())


def on_record(session: Session, stored: Stored, project: Project) -> Edit:
    """The edit that puts stored photos on record, with the check they were taken for.

    They go with the last reading of the person who looks now; where this person has none for the
    check, one is begun that waits for its values.
    """
    label = tr("Add {n} photos").format(n=len(stored.photos))
    puts: list[Edit] = []
    for photo in stored.photos:
        for edit in _edits(session, stored, photo, project):
            puts.append(edit)
            project, _ = apply(project, edit)
    if len(stored.photos) == 1:
        name = stored.photos[0].original_name
        label = tr("Add photo {name}").format(name=name or stored.photos[0].id[:8])
    return Edit(label, tuple(put for edit in puts for put in edit.puts))


def _edits(session: Session, stored: Stored, photo: Photo, project: Project) -> list[Edit]:
    known = project.boats[stored.boat].inspection.photos.get(photo.id)
    kept = known or photo  # the same picture again keeps its caption and rings
    if not stored.check:
        return [add_photo(project, stored.boat, kept)]
    readings = project.boats[stored.boat].inspection.readings.get(stored.check, ())
    own = [one for one in readings if one.by == session.observer]
    if own:
        return [add_photo(project, stored.boat, kept, stored.check, own[-1].id)]
    begun = Reading("", photos=(photo.id,), taken=session.today(), by=session.observer)
    return [
        add_photo(project, stored.boat, kept),
        record_reading(project, stored.boat, stored.check, begun),
    ]


class PhotoStorer(QObject):
    """Stores photos of one session, some at a time.

    Signals
    -------
    moved(done, of)
        How far it is.
    ended(sentence)
        Everything that could be stored is; the sentence names what was not.
    """

    moved = Signal(int, int)
    ended = Signal(str)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._stop = threading.Event()

    def stop(self) -> None:
        """End after the photo that is being stored; those before it stay."""
        self._stop.set()

    def store(self, boat: str, check: str, sources: Sequence[Source], name: str = "") -> None:
        """Store photos for a boat, and for a check where one is named."""
        folder = self._session.folder
        stop = self._stop = threading.Event()
        wanted = tuple(sources)

        def job() -> Stored:
            photos: list[Photo] = []
            problems: list[Problem] = []
            for done, source in enumerate(wanted):
                if stop.is_set():
                    break
                self.moved.emit(done, len(wanted))
                try:
                    photo = attachments.add_photo(folder, boat, source, name)
                except HardstandError as error:
                    problems += error.problems
                    continue
                path = attachments.resolve(folder, boat, layout.PHOTOS, photo.file)
                data = folder.files.read(path, attachments.LARGEST)
                photos.append(dataclasses.replace(photo, taken=taken_at(data)))
            return Stored(boat, check, tuple(photos), tuple(problems))

        self._session.background.run(
            FOLDER_WORK, job, self._on_stored, self._on_not_stored, latest_only=False
        )

    def _on_stored(self, stored: Stored) -> None:
        session = self._session
        refused = ""
        if stored.photos and stored.boat in session.project.boats:
            refused = session.attempt(lambda project: on_record(session, stored, project))
        said = [refused] if refused else []
        said += [one.sentence() for one in stored.problems]
        self.ended.emit(" ".join(said))

    def _on_not_stored(self, error: Exception) -> None:
        self.ended.emit(tr("The photos were not stored: {why}").format(why=error))
