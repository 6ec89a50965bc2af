"""Packing the whole search into one archive to hand on: what goes along, where to, how far."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QFileDialog, QHBoxLayout, QWidget

from workbench.store import layout
from workbench.window.opening import Openings
from workbench.window.pages.archive_dialog import ArchiveDialog
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbench.reports.export import Progress
    from workbench.reports.search_archive import Packed


class PackDialog(ArchiveDialog):
    """Asks whether private parts go along, and packs."""

    def __init__(
        self, session: Session, parent: QWidget | None = None, openings: Openings | None = None
    ) -> None:
        super().__init__(session.background, tr("Pack the whole search"), parent)
        self._session = session
        self._openings = openings or Openings()
        self._out = session.place / layout.EXPORTS
        self._made: Path | None = None
        self.private = QCheckBox(tr("My private parts go along"))
        self.what = label("", "quiet", wrap=True)
        self.place = label("", "quiet", wrap=True)
        self.choose_button = button(tr("Choose …"), "link", tip=tr("Another folder"))
        self.show_button = button(
            tr("Show in folder"), "quiet", tip=tr("Open the folder it lies in")
        )
        self.go_button.setText(tr("Pack"))
        self.go_button.setDefault(True)
        self._fill()
        self.private.toggled.connect(lambda _: self._say_what())
        self.choose_button.clicked.connect(self._choose)
        self.show_button.clicked.connect(self._show)
        self.go_button.clicked.connect(self._pack)
        self.work.done.connect(self._on_packed)
        self._say_what()
        self._say_place()

    @classmethod
    def ask(cls, session: Session, parent: QWidget | None) -> PackDialog:
        """Show the dialog."""
        made = cls(session, parent)
        made.open()
        return made

    def _fill(self) -> None:
        words = tr(
            "One file that whoever gets it opens as a search of their own: boats, readings, "
            "photos, prices of work and price anchors. What you handed out before is not in it."
        )
        self.body.addWidget(label(words, wrap=True))
        self.body.addWidget(self.private)
        self.body.addWidget(self.what)
        row = QHBoxLayout()
        row.addWidget(self.place, 1)
        row.addWidget(self.choose_button, 0, Qt.AlignmentFlag.AlignTop)
        self.body.addLayout(row)
        self.body.addWidget(self.show_button, 0, Qt.AlignmentFlag.AlignLeft)
        self.show_button.hide()

    def _say_what(self) -> None:
        if self.private.isChecked():
            words = tr(
                "Everything goes along: budget, offers, your limits, private notes and photos, "
                "names of people, documents, and photos with the place and time in them."
            )
        else:
            words = tr(
                "Left out: budget, offers, claims and limits, private notes and photos, sellers "
                "and contacts, adverts and documents. Photos lose the place and time that the "
                "camera wrote, and whoever looked is called Person 1, Person 2. Notes for others, "
                "captions and reasons go along as you wrote them."
            )
        self.what.setText(words)

    def _say_place(self) -> None:
        own = self._out == self._session.place / layout.EXPORTS
        self.place.setText(
            tr("In the folder “exports” of this search. Nothing is written over.")
            if own
            else str(self._out)
        )

    def _choose(self) -> None:
        chosen = QFileDialog.getExistingDirectory(self, tr("Where to write"), str(self._out.parent))
        if chosen:
            self._out = Path(chosen)
            self._say_place()

    def _pack(self) -> None:
        project, folder, out = self._session.project, self._session.place, self._out
        with_private, day = self.private.isChecked(), self._session.today()
        self.show_button.hide()

        def job(tell: Callable[[Progress], None], stop: Callable[[], bool]) -> Packed:
            from workbench.reports.search_archive import write_archive  # noqa: PLC0415 - when used

            return write_archive(
                project,
                folder,
                out,
                with_private=with_private,
                on=day,
                progress=tell,
                stop=stop,
            )

        self.begin(job)

    def _on_packed(self, made: Packed) -> None:
        self._made = made.path
        self._openings.allow(made.path)
        self.show_button.show()
        words = tr("Packed: {name}").format(name=made.path.name)
        if made.problems:
            left = tr("{n} photos or documents are missing or cannot be read, and are not in it.")
            words += "\n" + left.format(n=len(made.problems))
        self.say(words, "strong")

    def _show(self) -> None:
        if self._made is not None:
            sentence = self._openings.show_folder(self._made.parent)
            if sentence:
                self.say(sentence)
