"""Opening an archive of a search: into which new folder, how far, and what stayed out of it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from workbench.window.background import Background
from workbench.window.pages.archive_dialog import ArchiveDialog
from workbench.window.said import said
from workbench.window.texts import tr
from workbench.window.widgets.labels import label

if TYPE_CHECKING:
    from collections.abc import Callable

    from workbench.reports.archive_opening import Unpacked
    from workbench.reports.export import Progress

ENDING = ".zip"
_DATED = re.compile(r"^\d{4}-\d{2}-\d{2} (Whole search, )?")


class UnpackDialog(ArchiveDialog):
    """Unpacks one archive into a new folder.

    Signals
    -------
    unpacked(place)
        The search lies in a folder and can be opened.
    """

    unpacked = Signal(object)

    def __init__(
        self, background: Background, archive: Path, target: Path, parent: QWidget | None = None
    ) -> None:
        super().__init__(background, tr("Open an archive"), parent)
        self._archive, self._target = archive, target
        self._place: Path | None = None
        words = tr("{name} is unpacked into the folder {folder}.")
        self.body.addWidget(
            label(words.format(name=archive.name, folder=str(target)), "quiet", wrap=True)
        )
        self.go_button.setText(tr("Open the search"))
        self.go_button.clicked.connect(self._leave)
        self.work.done.connect(self._on_unpacked)

    @classmethod
    def choose(
        cls, background: Background, start: Path, parent: QWidget, archive: Path | None = None
    ) -> UnpackDialog | None:
        """Ask for an archive, unless one is given, and a folder; None when the user thinks better.

        The caller connects `unpacked` and begins.
        """
        if archive is None:
            words = tr("Archives of a search (*.zip);;All files (*)")
            chosen, _ = QFileDialog.getOpenFileName(
                parent, tr("Open an archive"), str(start), words
            )
            if not chosen:
                return None
            archive = Path(chosen)
        name = _DATED.sub("", archive.stem) or tr("my search")
        target, _ = QFileDialog.getSaveFileName(
            parent, tr("A folder for the search"), str(start / name)
        )
        return cls(background, archive, Path(target), parent) if target else None

    def unpack(self) -> None:
        """Show the dialog and begin."""
        archive, target = self._archive, self._target
        self.open()

        def job(tell: Callable[[Progress], None], stop: Callable[[], bool]) -> Unpacked:
            from workbench.reports.archive_opening import unpack_search  # noqa: PLC0415 - when used

            return unpack_search(archive, target, progress=tell, stop=stop)

        self.begin(job)

    def _on_unpacked(self, made: Unpacked) -> None:
        self._place = made.place
        if not made.problems:
            self._leave()
            return
        lines = [f"{one.where}: {said(one.message)}" for one in made.problems[:3]]
        more = len(made.problems) - len(lines)
        if more:
            lines.append(tr("and {n} more").format(n=more))
        self.say("\n".join(lines), "quiet")

    def _on_ended(self, sentence: str) -> None:
        super()._on_ended(sentence)
        self.go_button.hide()

    def _leave(self) -> None:
        place = self._place
        self.accept()
        if place is not None:
            self.unpacked.emit(place)
