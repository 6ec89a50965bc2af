"""One photo of a boat large, over the page: caption, rings, when it was taken, who may see it."""

from __future__ import annotations

import dataclasses

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLineEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.inspection import Photo, PhotoMark
from workbench.edits.inspecting import change_photo, remove_photo
from workbench.window import formatting
from workbench.window.pages.photo_canvas import PhotoCanvas
from workbench.window.photo_loading import LARGE, PhotoLoader, Picture
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
)


class PhotoView(QWidget):
    """Lies over the page it belongs to; hidden until a photo is opened."""

    def __init__(self, session: Session, loader: PhotoLoader, over: QWidget) -> None:
        super().__init__(over)
        self._session = session
        self._loader = loader
        self.photo_id = ""
        self._came_from: QWidget | None = None
        self._labels: list[QLineEdit] = []
        self.setAccessibleName(tr("Photo"))
        self.canvas = PhotoCanvas()
        self.caption = QLineEdit()
        self.caption.setAccessibleName(tr("Caption"))
        self.caption.setPlaceholderText(tr("What it shows"))
        self.private = QCheckBox(tr("For me alone"))
        self.private.setToolTip(tr("A private photo is on no sheet that goes to somebody else."))
        self.taken = label("", "small", wrap=True)
        self.rings = SectionHeader(tr("Rings"))
        self.rows = QVBoxLayout()
        self.ring_button = button(
            tr("Draw a ring"), "", tip=tr("In the middle; move it with the arrows (R)")
        )
        self.how = label(
            tr(
                "Press in the middle of what matters and draw outwards. By keys: R for a ring, "
                "arrows to move it, + and − to size it, Delete to take it away."
            ),
            "small",
            wrap=True,
        )
        self.remove_button = button(
            tr("Take away"),
            "quiet",
            tip=tr("Off the record; undo brings it back"),
        )
        self.close_button = button(tr("Close"), "primary", tip=tr("Back to the check (Esc)"))
        self.back_button = button("‹", "quiet", tip=tr("Photo before (Page Up)"))
        self.back_button.setAccessibleName(tr("Photo before"))
        self.on_button = button("›", "quiet", tip=tr("Next photo (Page Down)"))
        self.on_button.setAccessibleName(tr("Next photo"))
        self.place = label("", "small")
        self._lay_out()
        self._connect()
        over.installEventFilter(self)
        self.hide()

    def _lay_out(self) -> None:
        ground = surface("page")
        row = QHBoxLayout(ground)
        row.setContentsMargins(SPACE_PAGE, SPACE_PAGE, 0, SPACE_PAGE)
        row.setSpacing(SPACE_GROUPS)
        row.addWidget(self.canvas, 1)
        row.addWidget(self._side())
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(ground)

    def _side(self) -> QWidget:
        holder = surface("page")
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, SPACE_PAGE, 0)
        column.setSpacing(SPACE_RELATED)
        turning = QHBoxLayout()
        turning.addWidget(self.back_button)
        turning.addWidget(self.place)
        turning.addWidget(self.on_button)
        turning.addStretch(1)
        column.addLayout(turning)
        words = label(tr("Caption"), "small")
        words.setBuddy(self.caption)
        column.addWidget(words)
        column.addWidget(self.caption)
        column.addWidget(self.private)
        column.addWidget(self.taken)
        column.addSpacing(SPACE_RELATED)
        column.addWidget(self.rings)
        self.rows.setSpacing(SPACE_TIGHT)
        column.addLayout(self.rows)
        column.addWidget(self.ring_button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.how)
        column.addStretch(1)
        foot = QHBoxLayout()
        foot.addWidget(self.close_button)
        foot.addWidget(self.remove_button)
        foot.addStretch(1)
        column.addLayout(foot)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setAccessibleName(tr("About the photo"))
        area.setFixedWidth(304)
        area.setWidget(holder)
        return area

    def _connect(self) -> None:
        # what the user does
        self.caption.editingFinished.connect(self._on_caption)
        self.private.clicked.connect(lambda on: self._change(private=bool(on)))
        self.canvas.marks_changed.connect(self._on_marks)
        self.canvas.lit.connect(self._on_lit)
        self.ring_button.clicked.connect(self._on_ring)
        self.remove_button.clicked.connect(self._on_remove)
        self.close_button.clicked.connect(self.leave)
        self.back_button.clicked.connect(lambda: self.turn(-1))
        self.on_button.clicked.connect(lambda: self.turn(1))
        for keys, do in (
            ("Esc", self.leave),
            ("PgUp", lambda: self.turn(-1)),
            ("PgDown", lambda: self.turn(1)),
        ):
            shortcut = QShortcut(QKeySequence(keys), self)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(do)
        # what comes from elsewhere
        self._loader.loaded.connect(self._on_loaded)
        self._session.changed.connect(self.refresh)
        self._session.boat_selected.connect(lambda _: self.leave())

    # --- Coming and going ---

    def open_photo(self, photo_id: str) -> None:
        """Show a photo of the boat that is looked at."""
        if not self.isVisible():
            self._came_from = self.window().focusWidget()
        self.photo_id = photo_id
        self.canvas.light(-1)
        self.canvas.set_picture(None, tr("Loading …"))
        self._fit()
        self.show()
        self.raise_()
        self.refresh()
        photo = self._photo()
        if photo is not None:
            self._loader.ask(self._session.boat_id, photo, LARGE)
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)

    def leave(self) -> None:
        """Go back to the page below, to where the keyboard was."""
        if not self.isVisible():
            return
        self.hide()
        self.photo_id = ""
        self.canvas.set_picture(None)
        if self._came_from is not None and self._came_from.isVisible():
            self._came_from.setFocus(Qt.FocusReason.OtherFocusReason)

    def turn(self, by: int) -> None:
        """Go to the photo before or after, at the ends to the other end."""
        ids = self._ids()
        if self.photo_id in ids:
            self.open_photo(ids[(ids.index(self.photo_id) + by) % len(ids)])

    def _ids(self) -> list[str]:
        candidate = self._session.candidate
        return list(candidate.inspection.photos) if candidate is not None else []

    def _photo(self) -> Photo | None:
        candidate = self._session.candidate
        return candidate.inspection.photos.get(self.photo_id) if candidate is not None else None

    def _fit(self) -> None:
        over = self.parentWidget()
        if over is not None:
            self.setGeometry(over.rect())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay as large as the page below."""
        if event.type() == QEvent.Type.Resize and watched is self.parent():
            self._fit()
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keep keys from reaching the page below."""
        event.accept()

    # --- Showing ---

    def refresh(self) -> None:
        """Show what the search holds of the photo; one that was taken away is left."""
        if not self.isVisible():
            return
        photo = self._photo()
        if photo is None:
            self.leave()
            return
        ids = self._ids()
        self.place.setText(tr("photo {n} of {all}").format(n=ids.index(photo.id) + 1, all=len(ids)))
        self.back_button.setEnabled(len(ids) > 1)
        self.on_button.setEnabled(len(ids) > 1)
        if not self.caption.isModified():
            self.caption.setText(photo.caption)
        self.private.setChecked(photo.private)
        self.taken.setText(_about(photo))
        if self.canvas.marks() != photo.marks:
            self.canvas.set_marks(photo.marks)
        self._show_rings(photo.marks)

    def _show_rings(self, marks: tuple[PhotoMark, ...]) -> None:
        self.rings.set_beside(str(len(marks)) if marks else "")
        while len(self._labels) > len(marks):
            line = self._labels.pop()
            self.rows.removeWidget(line)
            line.hide()
            line.deleteLater()
        while len(self._labels) < len(marks):
            self._labels.append(self._ring_line(len(self._labels)))
        for line, mark in zip(self._labels, marks, strict=True):
            if not line.isModified():
                line.setText(mark.label)

    def _ring_line(self, place: int) -> QLineEdit:
        line = QLineEdit()
        line.setPlaceholderText(tr("Ring {n}: what it shows").format(n=place + 1))
        line.setAccessibleName(tr("Words for ring {n}").format(n=place + 1))
        line.editingFinished.connect(lambda: self._on_label(place, line))
        line.installEventFilter(self)
        self.rows.addWidget(line)
        return line

    def _on_loaded(self, photo_id: str, side: int, picture: Picture) -> None:
        if photo_id == self.photo_id and side == LARGE:
            self.canvas.set_picture(picture.image, picture.words)

    def _on_lit(self, place: int) -> None:
        for number, line in enumerate(self._labels):
            line.setProperty("lit", number == place)

    # --- Changes ---

    def _change(self, **fields: object) -> None:
        boat_id, photo_id = self._session.boat_id, self.photo_id
        if self._photo() is not None:
            self._session.attempt(
                lambda project: change_photo(project, boat_id, photo_id, **fields)  # type: ignore[arg-type]
            )

    def _on_caption(self) -> None:
        if self.caption.isModified():
            self.caption.setModified(False)
            self._change(caption=self.caption.text().strip())

    def _on_marks(self, marks: object) -> None:
        self._change(marks=marks)

    def _on_label(self, place: int, line: QLineEdit) -> None:
        photo = self._photo()
        if photo is None or not line.isModified() or place >= len(photo.marks):
            return
        line.setModified(False)
        changed = dataclasses.replace(photo.marks[place], label=line.text().strip())
        self._change(marks=(*photo.marks[:place], changed, *photo.marks[place + 1 :]))

    def _on_ring(self) -> None:
        self.canvas.setFocus(Qt.FocusReason.OtherFocusReason)
        press = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_R, Qt.KeyboardModifier.NoModifier, "r")
        self.canvas.keyPressEvent(press)

    def _on_remove(self) -> None:
        ids, photo_id, boat_id = self._ids(), self.photo_id, self._session.boat_id
        place = ids.index(photo_id) if photo_id in ids else -1
        rest = [one for one in ids if one != photo_id]
        if rest:
            self.photo_id = rest[min(place, len(rest) - 1)]
        self._session.attempt(lambda project: remove_photo(project, boat_id, photo_id))
        if rest:
            self.open_photo(self.photo_id)


def _about(photo: Photo) -> str:
    """When it was taken, and the file it came from."""
    lines = []
    if photo.taken is not None:
        words = tr("Taken {day}, {time} by the camera's clock")
        lines.append(
            words.format(day=formatting.day(photo.taken.date()), time=f"{photo.taken:%H:%M}")
        )
    else:
        lines.append(tr("The camera does not say when it was taken."))
    if photo.original_name:
        lines.append(photo.original_name)
    return "\n".join(lines)
