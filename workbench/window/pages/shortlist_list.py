"""The list of the shortlist: sorted, filtered, and what is done with the boats chosen in it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QModelIndex, QPoint, Qt, Signal
from PySide6.QtGui import (
    QImage,
    QKeySequence,
    QShortcut,
)
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QMenu,
    QStyleOptionViewItem,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.problem import HardstandError, Problem
from workbench.domain.project import Project
from workbench.domain.vocabulary import Status
from workbench.edits.boats import archive_boats, duplicate_boat, new_boat_id, remove_boats
from workbench.edits.edit import Edit
from workbench.store.copying import copy_attachments
from workbench.window import formatting
from workbench.window.models.copying import let_copy
from workbench.window.models.shortlist_table import (
    ID_ROLE,
    Column,
    ShortlistModel,
    ShortlistOrder,
    ShortlistRow,
)
from workbench.window.pages.shortlist_rows import ShortlistDelegate
from workbench.window.photo_loading import SMALL, PhotoLoader, Picture
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.search_field import SearchField
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_RELATED,
    SPACE_TIGHT,
)
from workbench.window.widgets.tables import set_up_table

_HEAD_ROOM = 26
"""Beside the words of a head: its margins and the arrow of the order."""
_WIDEST = 300


class ShortlistList(QWidget):
    """The boats of the search as a table.

    Signals
    -------
    boats_requested()
        The user wants to look the chosen one over.
    particulars_requested(boat_id)
        The user wants to see or change what is known of a boat.
    pasted()
        The user pasted something into the list.
    """

    boats_requested = Signal()
    particulars_requested = Signal(str)
    pasted = Signal()

    def __init__(
        self, session: Session, loader: PhotoLoader, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._pictures: dict[str, QImage | None] = {}
        self._loader = loader
        self.model = ShortlistModel(session, self)
        self.order = ShortlistOrder(self.model, self)
        self.view = QTableView()
        self._make_head()
        self._make_foot()
        self._set_up_view()
        self._lay_out()
        self._connect()
        self._want()
        self._follow(session.boat_id)

    # --- Parts ---

    def _make_head(self) -> None:
        self.search = SearchField(tr("Find among the boats"))
        self.status = QComboBox()
        self.status.setAccessibleName(tr("Which boats"))
        self.status.addItem(tr("wherever they stand"), None)
        for one in Status:
            self.status.addItem(formatting.status_word(one), one)
        self.put_away = QCheckBox(tr("put-away ones too"))

    def _make_foot(self) -> None:
        self.count = label("", "small")
        self.copy_button = button(
            tr("Duplicate"), "quiet", tip=tr("Another boat with all that is known of this one")
        )
        self.away_button = button(
            tr("Put away"), "quiet", tip=tr("Out of every comparison; nothing is lost")
        )
        self.remove_button = button(
            tr("Remove"), "quiet", tip=tr("Off the list (Del); undo brings her back")
        )
        self.problem = label("", "problem", wrap=True)
        self.problem.hide()

    def _set_up_view(self) -> None:
        self.view.setModel(self.order)
        set_up_table(self.view, name=tr("Shortlist"), stretch_column=int(Column.DEFERRED))
        self.view.setFrameShape(QTableView.Shape.NoFrame)
        self.view.setSelectionMode(QTableView.SelectionMode.ExtendedSelection)
        self.delegate = ShortlistDelegate(self.view, self._picture, lambda: self.model.maximum)
        self.view.setItemDelegate(self.delegate)
        self.view.setSortingEnabled(True)
        head = self.view.horizontalHeader()
        head.setSortIndicatorClearable(True)
        head.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        head.setSectionResizeMode(int(Column.DEFERRED), QHeaderView.ResizeMode.Stretch)
        head.setMinimumSectionSize(48)
        self.order.sort(-1)
        self.view.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        let_copy(self.view)
        self._fit()

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        head.setSpacing(SPACE_RELATED)
        head.addWidget(self.search, 1)
        head.addWidget(self.status)
        head.addWidget(self.put_away)
        foot = QHBoxLayout()
        foot.setContentsMargins(SPACE_GROUPS, 0, SPACE_GROUPS, SPACE_RELATED)
        foot.setSpacing(SPACE_RELATED)
        foot.addWidget(self.count, 1)
        foot.addWidget(self.copy_button)
        foot.addWidget(self.away_button)
        foot.addWidget(self.remove_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addLayout(head)
        column.addWidget(self.view, 1)
        column.addWidget(self.problem)
        column.addLayout(foot)

    def _connect(self) -> None:
        # what the user does
        self.search.searched.connect(lambda _: self._want())
        self.search.left_downwards.connect(self.view.setFocus)
        self.status.activated.connect(lambda _: self._want())
        self.put_away.toggled.connect(lambda _: self._want())
        self.copy_button.clicked.connect(lambda _=False: self.duplicate())
        self.away_button.clicked.connect(lambda _=False: self.put_chosen_away())
        self.remove_button.clicked.connect(lambda _=False: self.remove_chosen())
        self.view.selectionModel().currentRowChanged.connect(self._on_current)
        self.view.selectionModel().selectionChanged.connect(lambda *_: self._say_count())
        self.view.activated.connect(lambda _: self.boats_requested.emit())
        self.view.customContextMenuRequested.connect(self._show_menu)
        keys: tuple[tuple[QKeySequence.StandardKey, Callable[[], None]], ...] = (
            (QKeySequence.StandardKey.Delete, self.remove_chosen),
            (QKeySequence.StandardKey.Paste, self.pasted.emit),
        )
        for key, do in keys:
            shortcut = QShortcut(QKeySequence(key), self.view)
            shortcut.setContext(Qt.ShortcutContext.WidgetShortcut)
            shortcut.activated.connect(do)
        # pictures, and the search
        self._loader.loaded.connect(self._on_loaded)
        self.model.modelReset.connect(self._on_reset)
        self.model.dataChanged.connect(lambda *_: self._fit_columns())
        self._session.changed.connect(self._say_count)
        self._session.boat_selected.connect(self._follow)

    # --- What is shown ---

    def _picture(self, row: ShortlistRow) -> QImage | None:
        if not row.photo:
            return None
        if row.photo not in self._pictures:
            self._pictures[row.photo] = None
            photo = self._session.project.boats[row.id].inspection.photos[row.photo]
            self._loader.ask(row.id, photo, SMALL)
        return self._pictures[row.photo]

    def _on_loaded(self, photo_id: str, side: int, picture: object) -> None:
        if side == SMALL and isinstance(picture, Picture):
            self._pictures[photo_id] = picture.image
            self.view.viewport().update()

    def _on_reset(self) -> None:
        self._fit_columns()
        self._follow(self._session.boat_id)
        self._say_count()

    def _want(self) -> None:
        self.order.want(
            self.search.text(), self.status.currentData(), put_away=self.put_away.isChecked()
        )
        self._follow(self._session.boat_id)
        self._say_count()

    def _say_count(self) -> None:
        shown, known = self.order.rowCount(), self.model.rowCount()
        chosen = len(self.chosen())
        words = tr("1 boat") if known == 1 else tr("{n} boats").format(n=known)
        if shown != known:
            words = tr("{n} of {all} boats shown").format(n=shown, all=known)
        if chosen > 1:
            words = tr("{words}, {n} chosen").format(words=words, n=chosen)
        self.count.setText(words)
        boats = self._session.project.boats
        ids = [boat_id for boat_id in self.chosen() if boat_id in boats]
        back = bool(ids) and all(boats[boat_id].boat.archived for boat_id in ids)
        self.away_button.setText(tr("Bring back") if back else tr("Put away"))
        self.copy_button.setEnabled(len(ids) == 1)
        for one in (self.away_button, self.remove_button):
            one.setEnabled(bool(ids))

    def _follow(self, boat_id: str) -> None:
        row = self.order.row_of(boat_id)
        if row >= 0 and self.view.currentIndex().row() != row:
            self.view.setCurrentIndex(self.order.index(row, 0))

    def changeEvent(self, event: QEvent) -> None:
        """Keep the rows as high as their words."""
        super().changeEvent(event)
        if event.type() in {QEvent.Type.FontChange, QEvent.Type.StyleChange}:
            self._fit()

    def _fit(self) -> None:
        rows = self.view.verticalHeader()
        rows.setMinimumSectionSize(12)
        rows.setDefaultSectionSize(self.delegate.row_height())
        self._fit_columns()

    def _fit_columns(self) -> None:
        """Columns as wide as their words; the bars take what is left."""
        head = self.view.horizontalHeader()
        metrics = self.view.fontMetrics()
        option = QStyleOptionViewItem()
        for column in Column:
            if column is Column.DEFERRED:
                continue
            words = str(self.model.headerData(int(column), Qt.Orientation.Horizontal))
            wide = metrics.horizontalAdvance(words) + _HEAD_ROOM
            for row in range(self.model.rowCount()):
                index = self.model.index(row, int(column))
                wide = max(wide, self.delegate.sizeHint(option, index).width())
            head.resizeSection(int(column), min(wide, _WIDEST))

    # --- What the user does ---

    def chosen(self) -> tuple[str, ...]:
        """Ids of the boats chosen, in the order shown."""
        rows = sorted({one.row() for one in self.view.selectionModel().selectedRows()})
        return tuple(self.order.id_at(row) for row in rows)

    def _on_current(self, current: QModelIndex) -> None:
        boat_id = current.data(ID_ROLE)
        if boat_id:
            self._session.select_boat(str(boat_id))

    def _show_menu(self, place: QPoint) -> None:
        if not self.chosen():
            return
        menu = QMenu(self)
        steps: tuple[tuple[str, Callable[[], object]], ...] = (
            (tr("Look her over"), self.boats_requested.emit),
            (
                tr("Particulars …"),
                lambda: self.particulars_requested.emit(self._session.boat_id),
            ),
            (self.copy_button.text(), self.duplicate),
            (self.away_button.text(), self.put_chosen_away),
            (self.remove_button.text(), self.remove_chosen),
        )
        for words, do in steps:
            menu.addAction(words).triggered.connect(lambda _=False, do=do: do())
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(self.view.viewport().mapToGlobal(place))

    def put_chosen_away(self) -> None:
        """Put the chosen boats away, or bring them back where all of them are put away."""
        ids, boats = self.chosen(), self._session.project.boats
        if ids:
            away = not all(boats[boat_id].boat.archived for boat_id in ids)
            self._try(lambda project: archive_boats(project, ids, archived=away))

    def remove_chosen(self) -> None:
        """Take the chosen boats off the list."""
        ids = self.chosen()
        if ids:
            row = max(0, self.order.row_of(ids[0]) - 1)
            self._try(lambda project: remove_boats(project, ids))
            left = self.order.id_at(min(row, self.order.rowCount() - 1))
            self._session.select_boat(left)

    def duplicate(self) -> None:
        """Put a copy of the chosen boat on the list, with her photos and documents."""
        ids = self.chosen()
        if len(ids) != 1:
            return
        boat_id, folder = ids[0], self._session.folder
        candidate = self._session.project.boats[boat_id]
        copy_id = new_boat_id(
            self._session.project, tr("{name} (copy)").format(name=candidate.boat.name)
        )

        def copied(problems: tuple[Problem, ...]) -> None:
            if boat_id not in self._session.project.boats:
                return
            name = tr("{name} (copy)").format(name=candidate.boat.name)
            self._try(lambda project: duplicate_boat(project, boat_id, name))
            if problems:
                self.say(" ".join(one.sentence() for one in problems))
            self._session.select_boat(copy_id)

        self._session.background.run(
            FOLDER_WORK,
            lambda: copy_attachments(folder, candidate, copy_id),
            copied,
            self._on_failed,
            latest_only=False,
        )

    def _on_failed(self, error: Exception) -> None:
        problems = error.problems if isinstance(error, HardstandError) else ()
        self.say(" ".join(one.sentence() for one in problems) or str(error))

    def _try(self, make: Callable[[Project], Edit]) -> None:
        self.say(self._session.attempt(make))

    def say(self, sentence: str) -> None:
        """Show what went wrong; nothing for ''."""
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))
