"""What a job of the buyer's own needs first, and what its cost rests on."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QWidget

from workbench.domain.ledger import OwnLine
from workbench.domain.vocabulary import Basis
from workbench.window import formatting
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.flow_layout import FlowLayout
from workbench.window.widgets.surroundings import SPACE_RELATED

BASES = (Basis.GUESS, Basis.OWN_ENTRY, Basis.INVOICE)
"""What a typed cost can rest on; a quote has a place of its own."""


class JobNeeds(QWidget):
    """Two choices: an access task, which brings what it needs itself, and a basis.

    A job that came in with several tasks keeps them until another choice is made here.

    Signals
    -------
    changed(dict)
        Fields of the job by name.
    """

    changed = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.tasks = QComboBox()
        self.tasks.setAccessibleName(tr("What must be done first"))
        self.tasks.setToolTip(tr("Charged once, however many jobs of the same lay-up need it."))
        self.tasks.addItem(tr("nothing first"), "")
        for task in session.catalogue.access.values():
            self.tasks.addItem(task.title, task.id)
        self.tasks.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.tasks.setMinimumContentsLength(24)
        self.basis = QComboBox()
        self.basis.setAccessibleName(tr("What the cost rests on"))
        self.basis.setToolTip(tr("The weaker the basis, the wider a range has to be."))
        for one in BASES:
            self.basis.addItem(formatting.basis_word(one), one)
        row = FlowLayout(self, spacing=SPACE_RELATED)
        row.addWidget(self.tasks)
        row.addWidget(self.basis)
        self.tasks.activated.connect(lambda _: self._choose_tasks())
        self.basis.activated.connect(
            lambda _: self.changed.emit({"basis": self.basis.currentData()})
        )

    def _choose_tasks(self) -> None:
        self.changed.emit({"access": tuple(str(self.tasks.currentData()).split())})

    def show_job(self, job: OwnLine) -> None:
        """Show what a job needs and rests on; several tasks as one entry of their own."""
        key = " ".join(job.access)
        place = self.tasks.findData(key)
        if place < 0:
            titles = [self.tasks.itemText(self.tasks.findData(task)) for task in job.access]
            self.tasks.addItem(" + ".join(titles), key)
            place = self.tasks.count() - 1
        self.tasks.setCurrentIndex(place)
        if self.basis.findData(job.basis) < 0:
            self.basis.addItem(formatting.basis_word(job.basis), job.basis)
        self.basis.setCurrentIndex(self.basis.findData(job.basis))
