"""What must be done first for a job of the buyer's own: hauling out, unstepping the mast."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QWidget

from workbench.domain.ledger import OwnLine
from workbench.window.session import Session
from workbench.window.texts import tr


class JobNeeds(QComboBox):
    """One choice among the access tasks; what a task needs itself comes with it.

    A job that came in with several keeps them until another choice is made here.

    Signals
    -------
    tasks_chosen(tuple of task ids)
        Another task, or none.
    """

    tasks_chosen = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("What must be done first"))
        self.setToolTip(tr("Charged once, however many jobs of the same lay-up need it."))
        self.addItem(tr("nothing first"), "")
        for task in session.catalogue.access.values():
            self.addItem(task.title, task.id)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(24)
        self.activated.connect(lambda _: self._choose())

    def _choose(self) -> None:
        self.tasks_chosen.emit(tuple(str(self.currentData()).split()))

    def show_job(self, job: OwnLine) -> None:
        """Show what a job needs; several tasks as one entry of their own."""
        key = " ".join(job.access)
        place = self.findData(key)
        if place < 0:
            titles = [self.itemText(self.findData(task)) or task for task in job.access]
            self.addItem(" + ".join(titles), key)
            place = self.count() - 1
        self.setCurrentIndex(place)
