"""The boat a page is about: a list of the boats that follows the window and leads it."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QWidget

from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.surroundings import show_part


class BoatChoice(QComboBox):
    """Chooses the boat that is looked at; boats that are put away are left out."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.setAccessibleName(tr("Boat"))
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.activated.connect(self._on_chosen)
        session.changed.connect(self._fill)
        session.boat_selected.connect(self._follow)
        self._fill()

    def _on_chosen(self) -> None:
        self._session.select_boat(str(self.currentData() or ""))

    def _fill(self) -> None:
        shown = [(self.itemData(place), self.itemText(place)) for place in range(self.count())]
        boats = [one.boat for one in self._session.project.boats.values()]
        wanted = [
            (boat.id, boat.name)
            for boat in boats
            if not boat.archived or boat.id == self._session.boat_id
        ]
        if shown != wanted:
            self.clear()
            for boat_id, name in wanted:
                self.addItem(name, boat_id)
        self._follow(self._session.boat_id)
        show_part(self, shown=bool(wanted))

    def _follow(self, boat_id: str) -> None:
        self.setCurrentIndex(self.findData(boat_id))
