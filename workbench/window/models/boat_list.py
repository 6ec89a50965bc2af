"""The boats of the shortlist as a list of cards: a model over the project and its figures."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractListModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from workbench.domain.boat import Boat
from workbench.domain.project import Candidate
from workbench.domain.record import dataclass
from workbench.domain.vocabulary import Grade, Status, When
from workbench.window import formatting
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.boat_silhouette import BoatSketch
from workbench.window.widgets.cost_bar import CostParts

if TYPE_CHECKING:
    from workbench.figures.assessment import BoatAssessment

CARD_ROLE = int(Qt.ItemDataRole.UserRole) + 1
ID_ROLE = int(Qt.ItemDataRole.UserRole) + 2
Index = QModelIndex | QPersistentModelIndex
_NOWHERE = QModelIndex()

_KEELS = {
    "bolted-fin": "fin",
    "bolted-stub": "fin",
    "bolted-long": "long",
    "encapsulated": "long",
    "centreboard": "centreboard",
    "swing": "centreboard",
    "twin": "twin",
}
_RUDDERS = {"spade": "spade", "skeg": "skeg", "keel-hung": "keel", "transom": "transom"}


@dataclass(frozen=True, slots=True)
class BoatCard:
    """What the list shows of a boat; figures are None until they arrive."""

    id: str
    name: str
    about: str
    asked: str
    ready: str
    parts: CostParts | None
    grades: tuple[tuple[str, int], ...]
    coverage: str
    sketch: BoatSketch
    status: str = ""
    deferred: str = ""

    def spoken(self) -> str:
        """The card in one line, for a screen reader."""
        grades = ", ".join(f"{count} {formatting.grade_word(Grade(g))}" for g, count in self.grades)
        parts = (self.name, self.about, self.status, self.asked, self.ready, grades, self.coverage)
        return ", ".join(part for part in parts if part)


def sketch_of(candidate: Candidate) -> BoatSketch:
    """The sketch for a boat's fit-out."""
    facts = candidate.boat.facts
    return BoatSketch(
        facts.get("rig", "sloop"),
        _KEELS.get(facts.get("keel", ""), "fin"),
        _RUDDERS.get(facts.get("rudder", ""), "spade"),
    )


def what_she_is(boat: Boat) -> str:
    """Length, year and design, in a line."""
    length = boat.dimensions.get("loa")
    parts = (
        formatting.quantity(length) if length else "",
        str(boat.year) if boat.year else "",
        boat.design,
    )
    return ", ".join(part for part in parts if part)


def about_boat(candidate: Candidate) -> str:
    """Length, year, design and where she lies, in a line."""
    parts = (what_she_is(candidate.boat), candidate.boat.lies_at)
    return ", ".join(part for part in parts if part)


def cost_parts(figures: BoatAssessment) -> CostParts | None:
    """The parts of a boat's cost bar; None without an asking price."""
    if figures.purchase is None:
        return None

    def work(when: When) -> float:
        lines = sum(
            float(line.counted)
            for line in figures.lines
            if line.when is when and not line.part.allowed_for
        )
        return lines + sum(float(one.counted_found) for one in figures.access if one.when is when)

    return CostParts(
        asked=float(figures.purchase.total),
        before_launching=work(When.BEFORE_LAUNCHING),
        first_season=work(When.FIRST_SEASON),
        allowance=float(figures.allowance.mean),
        p50=float(figures.cost_to_ready.p50),
        p80=float(figures.cost_to_ready.p80),
    )


def card_of(candidate: Candidate, figures: BoatAssessment | None) -> BoatCard:
    """The card of a boat; without figures where they have not arrived."""
    boat = candidate.boat
    asked = formatting.exact(boat.asking_price) if boat.asking_price else tr("no price")
    status = "" if boat.status is Status.LOOKING else formatting.status_word(boat.status)
    sketch = sketch_of(candidate)
    about = about_boat(candidate)
    if figures is None:
        return BoatCard(boat.id, boat.name, about, asked, "", None, (), "", sketch, status)
    return BoatCard(
        id=boat.id,
        name=boat.name,
        about=about,
        asked=asked,
        ready=formatting.estimate(figures.cost_to_ready.mean) if figures.purchase else "–",
        parts=cost_parts(figures),
        grades=_shown_grades(figures),
        coverage=tr("{looked} of {all} looked at").format(
            looked=figures.coverage.looked, all=figures.coverage.checks
        ),
        sketch=sketch,
        status=status,
        deferred=_deferred_share(figures),
    )


class BoatListModel(QAbstractListModel):
    """The boats, in the order in which they were entered, put-away ones left out.

    Roles: DisplayRole the name, `CARD_ROLE` a `BoatCard`, `ID_ROLE` the id, AccessibleTextRole the
    whole card in words.
    """

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._cards: list[BoatCard] = []
        self.maximum = 1.0
        self.budget: float | None = None
        self.show_archived = False
        session.changed.connect(self.refresh)
        session.assessed.connect(self.refresh)
        session.boat_selected.connect(self.refresh)
        self.refresh()

    @property
    def cards(self) -> Sequence[BoatCard]:
        """What the list shows."""
        return self._cards

    def refresh(self) -> None:
        """Take over the project and its figures with the smallest change."""
        last = self._session.last_shown
        cards = list(last.cards) if last else [self._card(one) for one in self._shown()]
        settings = self._session.project.settings
        self.budget = float(settings.budget) if settings.budget is not None else None
        reaches = [card.parts.reach() for card in cards if card.parts is not None]
        maximum = last.maximum if last else max([*reaches, self.budget or 0.0, 1.0])
        if [card.id for card in cards] != [card.id for card in self._cards]:
            self.beginResetModel()
            self._cards, self.maximum = cards, maximum
            self.endResetModel()
            return
        rescaled = maximum != self.maximum
        self.maximum = maximum
        before, self._cards = self._cards, cards
        for row, (old, new) in enumerate(zip(before, cards, strict=True)):
            if rescaled or old != new:
                self.dataChanged.emit(self.index(row), self.index(row))

    def _shown(self) -> Iterable[Candidate]:
        boats = self._session.project.boats.values()
        return (one for one in boats if self.show_archived or not one.boat.archived)

    def _card(self, candidate: Candidate) -> BoatCard:
        assessment = self._session.assessment
        return card_of(candidate, assessment.boats.get(candidate.boat.id) if assessment else None)

    def rowCount(self, parent: Index = _NOWHERE) -> int:
        """How many boats are shown."""
        return 0 if parent.isValid() else len(self._cards)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """What one card shows."""
        if not index.isValid() or not 0 <= index.row() < len(self._cards):
            return None
        card = self._cards[index.row()]
        if role == CARD_ROLE:
            return card
        if role == ID_ROLE:
            return card.id
        if role == Qt.ItemDataRole.DisplayRole:
            return card.name
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.AccessibleDescriptionRole):
            return card.spoken()
        return None

    def row_of(self, boat_id: str) -> int:
        """The row of a boat; -1 when she is not shown."""
        return next((row for row, card in enumerate(self._cards) if card.id == boat_id), -1)


def _shown_grades(figures: BoatAssessment) -> tuple[tuple[str, int], ...]:
    order = (Grade.UNSAFE, Grade.DUE, Grade.WORN, Grade.UNSEEN)
    counts = figures.coverage.grades
    return tuple((grade.value, counts[grade]) for grade in order if counts.get(grade))


def _deferred_share(figures: BoatAssessment) -> str:
    """Deferred maintenance as a share of what is asked."""
    if not figures.asking:
        return formatting.estimate(figures.deferred.mean)
    share = formatting.percent(float(figures.deferred.mean) / float(figures.asking))
    return tr("{amount}, {share}").format(
        amount=formatting.estimate(figures.deferred.mean), share=share
    )
