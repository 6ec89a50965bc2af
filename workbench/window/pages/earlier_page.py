"""Earlier saves: a list of what was kept, what is different now, and putting it back."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QDateTime, QLocale, Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.problem import HardstandError
from workbench.store.backups import Backup
from workbench.store.folder import Opened
from workbench.window.restoring import (
    DamagedPart,
    Kept,
    PartDifference,
    differing,
    kept_of,
    put_aside,
    put_back,
)
from workbench.window.session import FOLDER_WORK, Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.row_delegate import ROW_ROLE, RowDelegate, RowParts
from workbench.window.widgets.section_header import SectionHeader
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_PAGE,
    SPACE_RELATED,
    SPACE_TIGHT,
    palette_of,
    qcolor,
)
from workbench.window.widgets.tables import set_up_list, set_up_tree

PATH_ROLE = int(Qt.ItemDataRole.UserRole)


def moment(backup: Backup) -> str:
    """When a save was kept, in the reader's own time."""
    when = QDateTime.fromSecsSinceEpoch(int(backup.made.timestamp()))
    return QLocale().toString(when, QLocale.FormatType.ShortFormat)


class EarlierPage(QWidget):
    """The saves at the left, what differs at the right."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._kept = Kept((), ())
        self._busy = False
        self.list = QListWidget()
        set_up_list(self.list, name=tr("Earlier saves"))
        self.list.setItemDelegate(RowDelegate(self.list, ruled=True))
        self.list.setUniformItemSizes(False)
        self.list.setFrameShape(QListWidget.Shape.NoFrame)
        self.list.setProperty("ground", "page")
        self.tree = QTreeWidget()
        set_up_tree(self.tree, name=tr("What differs"))
        self.tree.setColumnCount(3)
        self.tree.setHeaderHidden(False)
        self.tree.setHeaderLabels([tr("What"), tr("In that save"), tr("Now")])
        self.tree.setFrameShape(QTreeWidget.Shape.NoFrame)
        self.title = label(tr("Earlier saves"), "title", wrap=True)
        self.about = label("", "quiet", wrap=True)
        self.damage = QVBoxLayout()
        self.all_button = button(
            tr("Put this save back"), "primary", tip=tr("The whole search as it was then")
        )
        self.part_button = button(tr("Put back one part"), "", tip=tr("The part chosen below"))
        self.problem = label("", "problem", wrap=True)
        self._lay_out()
        self._connect()
        self.look()

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.setContentsMargins(SPACE_GROUPS, SPACE_PAGE, 0, SPACE_GROUPS)
        left.setSpacing(SPACE_RELATED)
        left.addWidget(SectionHeader(tr("Kept on this machine")))
        left.addWidget(self.list, 1)
        left.addWidget(
            label(
                tr(
                    "After each save the text of the search is kept here, outside its folder: the "
                    "last twenty, and one a day for two weeks. Photos are never altered."
                ),
                "small",
                wrap=True,
            )
        )
        right = QVBoxLayout()
        right.setContentsMargins(SPACE_PAGE, SPACE_PAGE, SPACE_PAGE, SPACE_GROUPS)
        right.setSpacing(SPACE_RELATED)
        right.addWidget(self.title)
        right.addWidget(self.about)
        self.damage.setSpacing(SPACE_TIGHT)
        right.addLayout(self.damage)
        row = QHBoxLayout()
        row.addWidget(self.all_button)
        row.addWidget(self.part_button)
        row.addStretch(1)
        right.addLayout(row)
        right.addWidget(self.problem)
        right.addWidget(self.tree, 1)
        splitter = QSplitter(Qt.Orientation.Horizontal)
        for part, kind in ((left, "page"), (right, "panel")):
            ground = surface(kind)
            ground.setLayout(part)
            splitter.addWidget(ground)
        splitter.setSizes([300, 980])
        splitter.setStretchFactor(1, 1)
        splitter.setChildrenCollapsible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(splitter)
        self.problem.hide()

    def _connect(self) -> None:
        self.list.currentRowChanged.connect(lambda _: self._compare())
        self.tree.currentItemChanged.connect(lambda *_: self._mind_buttons())
        self.all_button.clicked.connect(lambda: self._put_back(()))
        self.part_button.clicked.connect(self._put_back_part)
        self._session.changed.connect(self._on_changed)
        self._session.saved_state_changed.connect(self._on_saved_state)
        self._seen = (self._session.folder, self._session.saved_at)

    # --- What was kept ---

    def _on_changed(self) -> None:
        if self._session.folder is not self._seen[0]:
            self._on_saved_state()

    def _on_saved_state(self) -> None:
        seen = (self._session.folder, self._session.saved_at)
        if seen != self._seen:
            self._seen = seen
            if self.isVisible():
                self.look()

    def look(self) -> None:
        """Look, beside the window, what was kept."""
        session = self._session
        folder, project = session.folder, session.project
        session.background.run(
            FOLDER_WORK,
            lambda: kept_of(folder, project),
            self._show_kept,
            self._say_error,
            latest_only=False,
        )

    def _show_kept(self, kept: Kept) -> None:
        before = self._current()
        self._kept = kept
        self.list.blockSignals(True)
        self.list.clear()
        for place, backup in enumerate(kept.backups):
            words = tr("the newest") if place == 0 else ""
            if backup.for_good:
                words = tr("kept for good, from before the format changed")
            item = QListWidgetItem(moment(backup))
            item.setData(ROW_ROLE, RowParts(moment(backup), beside=words))
            self.list.addItem(item)
        self.list.blockSignals(False)
        self._show_damage(kept.damaged)
        if kept.backups:
            same = [n for n, one in enumerate(kept.backups) if one == before]
            self.list.setCurrentRow(same[0] if same else 0)
        else:
            self._show_differences(())

    def _current(self) -> Backup | None:
        row = self.list.currentRow()
        return self._kept.backups[row] if 0 <= row < len(self._kept.backups) else None

    def _show_damage(self, damaged: tuple[DamagedPart, ...]) -> None:
        while self.damage.count():
            item = self.damage.takeAt(0)
            part = item.widget() if item is not None else None
            if part is not None:
                part.hide()
                part.deleteLater()
        if damaged:
            self.damage.addWidget(SectionHeader(tr("Damaged now")))
        for one in damaged:
            self.damage.addWidget(self._damage_row(one))

    def _damage_row(self, damaged: DamagedPart) -> QWidget:
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        backup = damaged.backup
        if backup is not None:
            words = tr("{what}: can be had back as of {when}.")
            said = words.format(what=damaged.words, when=moment(backup))
            do = button(tr("Bring it back"), "", tip=damaged.path)
            do.clicked.connect(lambda: self._put_back((damaged.path,), backup))
        else:
            said = tr("{what}: no save holds it.").format(what=damaged.words)
            do = button(tr("Set it aside"), "", tip=tr("Rename it; a fresh one can be saved then"))
            do.clicked.connect(lambda: self._set_aside(damaged.path))
        do.setAccessibleName(f"{do.text()}: {damaged.words}")
        row.addWidget(label(said, wrap=True), 1)
        row.addWidget(do)
        return holder

    # --- What differs ---

    def _compare(self) -> None:
        backup = self._current()
        if backup is None:
            return
        session = self._session
        folder, project = session.folder, session.project
        session.background.run(
            "earlier saves",
            lambda: differing(folder, project, backup),
            self._show_differences,
            self._say_error,
        )

    def _show_differences(self, found: tuple[PartDifference, ...]) -> None:
        self._say("")
        self.tree.clear()
        quiet = qcolor(palette_of(self).quiet)
        for one in found:
            top = QTreeWidgetItem(self.tree, [one.words, "", _places(len(one.lines))])
            top.setData(0, PATH_ROLE, one.path)
            top.setForeground(2, quiet)
            for line in one.lines:
                row = QTreeWidgetItem(top, list(line))
                for column, text in enumerate(line):
                    row.setToolTip(column, text)
        if len(found) == 1:
            self.tree.expandAll()
        head = self.tree.header()
        head.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        backup = self._current()
        if backup is None:
            self.title.setText(tr("No earlier saves yet"))
            self.about.setText(tr("The first one is kept with the next save (Ctrl+S)."))
        else:
            self.title.setText(tr("The save of {when}").format(when=moment(backup)))
            self.about.setText(
                tr("Nothing in it is different from the search as it is now.")
                if not found
                else tr(
                    "Different now: {parts}. What is on the disk is kept before anything is "
                    "put back, and unsaved work with it."
                ).format(parts=_parts(len(found)))
            )
        self._mind_buttons()

    def _mind_buttons(self) -> None:
        differs = self.tree.topLevelItemCount() > 0 and not self._busy
        self.all_button.setVisible(differs)
        self.part_button.setVisible(differs)
        self.part_button.setEnabled(bool(self._chosen_path()))
        self.tree.setVisible(self.tree.topLevelItemCount() > 0)

    def _chosen_path(self) -> str:
        items = self.tree.selectedItems()
        if not items:
            return ""
        top = items[0].parent() or items[0]
        return str(top.data(0, PATH_ROLE) or "")

    # --- Putting back ---

    def _put_back_part(self) -> None:
        path = self._chosen_path()
        if path:
            self._put_back((path,))

    def _put_back(self, paths: tuple[str, ...], backup: Backup | None = None) -> None:
        chosen, session = backup or self._current(), self._session
        if chosen is None or self._busy:
            return
        folder, project, saved = session.folder, session.project, session.saved
        self._do(lambda: put_back(folder, project, saved, chosen, paths))

    def _set_aside(self, path: str) -> None:
        folder = self._session.folder
        self._do(lambda: put_aside(folder, path))

    def _do(self, job: Callable[[], Opened]) -> None:
        self._busy = True
        self._mind_buttons()
        self._session.background.run(
            FOLDER_WORK, job, self._on_done, self._say_error, latest_only=False
        )

    def _on_done(self, opened: Opened) -> None:
        self._busy = False
        self._session.follow_disk(opened)
        for problem in opened.problems[:1]:
            self._session.problem_found.emit(problem)
        self.look()

    def _say_error(self, error: Exception) -> None:
        self._busy = False
        self._mind_buttons()
        if isinstance(error, HardstandError):
            self._say(" ".join(one.sentence() for one in error.problems))
        else:
            self._say(str(error))

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))


def _places(count: int) -> str:
    return tr("one place") if count == 1 else tr("{n} places").format(n=count)


def _parts(count: int) -> str:
    return tr("one part") if count == 1 else tr("{n} parts").format(n=count)
