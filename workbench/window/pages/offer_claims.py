"""The claim, line by line: what is put to the seller, for how much, why, and in what words."""

from __future__ import annotations

import dataclasses

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QIcon, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QScrollArea,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from workbench.window import formatting
from workbench.window.models.claims_table import (
    ASKED,
    LINE_ROLE,
    PUT,
    TITLE,
    WHY,
    ClaimsModel,
)
from workbench.window.models.copying import let_copy
from workbench.window.models.custom_words import custom_words
from workbench.window.pages.cell_editing import CellEditing
from workbench.window.palette import Palette
from workbench.window.plank import grade_pixmap
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.labels import label
from workbench.window.widgets.surroundings import (
    SPACE_GROUPS,
    SPACE_RELATED,
    SPACE_TIGHT,
    palette_of,
    qcolor,
    scale_of,
)
from workbench.window.widgets.tables import set_up_table

TYPE_CHECKING = False
if TYPE_CHECKING:
    from workbench.figures.assessment import ClaimLine

_ROOM_FOR_REASONS = 680
"""Width at which the table has room for a column of reasons [device-independent pixels]."""

MARK = 16
"""Side of the square that the grade mark stands in [device-independent pixels at scale 1]."""


def _is_quiet(index: QModelIndex | QPersistentModelIndex) -> bool:
    line: ClaimLine | None = index.data(LINE_ROLE)
    return line is not None and not line.included


def _plain_icon(grade: str, palette: Palette, size: int) -> QIcon:
    """A mark that keeps its colour in a chosen row."""
    icon = QIcon()
    for ratio in (1.0, 2.0, 3.0):
        pixmap = grade_pixmap(grade, palette, QSize(size, size), ratio)
        for mode in (QIcon.Mode.Normal, QIcon.Mode.Selected):
            icon.addPixmap(pixmap, mode)
    return icon


class _Quiet(CellEditing):
    """Cells of lines that are not put to the seller are written quietly."""

    def initStyleOption(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Choose the ink; what is asked is written heavier."""
        super().initStyleOption(option, index)
        view = self.parent()
        if not isinstance(view, QWidget):
            return
        if _is_quiet(index):
            quiet = qcolor(palette_of(view).quiet)
            for role in (QPalette.ColorRole.Text, QPalette.ColorRole.HighlightedText):
                option.palette.setColor(role, quiet)
        elif index.column() == ASKED:
            option.font.setBold(True)


class _Titles(QStyledItemDelegate):
    """The grade mark before the title of a finding."""

    def __init__(self, view: QTableView) -> None:
        super().__init__(view)
        self._view = view
        self._icons: dict[tuple[str, str, int], QIcon] = {}

    def _icon(self, grade: str, palette: Palette, size: int) -> QIcon:
        """The mark of a grade, drawn once for each appearance."""
        key = (grade, palette.name, size)
        if key not in self._icons:
            self._icons[key] = _plain_icon(grade, palette, size)
        return self._icons[key]

    def initStyleOption(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Put the mark before the title; quiet ink where it is not put to the seller."""
        super().initStyleOption(option, index)
        palette = palette_of(self._view)
        line: ClaimLine | None = index.data(LINE_ROLE)
        if _is_quiet(index):
            option.palette.setColor(QPalette.ColorRole.Text, qcolor(palette.quiet))
        if line is not None and line.finding is not None:
            size = round(MARK * scale_of(self._view))
            option.icon = self._icon(line.finding.grade.value, palette, size)
            option.decorationSize = QSize(size, size)
            option.features |= QStyleOptionViewItem.ViewItemFeature.HasDecoration


class OfferClaims(QWidget):
    """The table of claim lines with the chosen line's reason and words below it.

    Signals
    -------
    check_requested(check_id)
        The user wants to see the check behind a line.
    """

    check_requested = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = ClaimsModel(session, self)
        self.view = QTableView()
        self.problem = label("", "problem", wrap=True)
        self.empty = label(
            tr(
                "Nothing was found that could be put to the seller. Findings that are due or worn "
                "appear here with what the work costs."
            ),
            "quiet",
            wrap=True,
        )
        self.title = label("", "strong", wrap=True)
        self.why = label("", "", wrap=True)
        self.span = label("", "small", wrap=True)
        self.custom = label("", "small", wrap=True)
        self.wording = QLineEdit()
        self.wording.setPlaceholderText(tr("The reason as above"))
        self.wording.setAccessibleName(tr("Words to the seller"))
        self.check_button = button(tr("See the check"), "link")
        self.reset_button = button(tr("Back to the proposal"), "link")
        self._set_up_view()
        self._lay_out()
        self._connect()
        self._on_reset()

    def _set_up_view(self) -> None:
        self.view.setModel(self.model)
        set_up_table(self.view, name=tr("What the seller is asked to carry"), stretch_column=TITLE)
        head = self.view.horizontalHeader()
        head.setSectionResizeMode(WHY, QHeaderView.ResizeMode.Stretch)
        self.view.setFrameShape(QTableView.Shape.NoFrame)
        self.view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.view.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.view.setItemDelegate(_Quiet(self.view, self.model.refusal))
        self.view.setItemDelegateForColumn(TITLE, _Titles(self.view))
        let_copy(self.view)

    def _lay_out(self) -> None:
        self._detail = QWidget()
        grid = QGridLayout(self._detail)
        grid.setContentsMargins(SPACE_GROUPS, SPACE_RELATED, SPACE_GROUPS, SPACE_RELATED)
        grid.setHorizontalSpacing(SPACE_GROUPS)
        grid.setVerticalSpacing(SPACE_TIGHT)
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.check_button)
        head.addWidget(self.reset_button)
        grid.addLayout(head, 0, 0, 1, 2)
        grid.addWidget(self.why, 1, 0, 1, 2)
        grid.addWidget(self.span, 2, 0, 1, 2)
        grid.addWidget(self.custom, 3, 0, 1, 2)
        words = label(tr("In your words"), "quiet")
        words.setBuddy(self.wording)
        grid.addWidget(words, 4, 0)
        grid.addWidget(self.wording, 4, 1)
        grid.setColumnStretch(1, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.view, 1)
        notes = QVBoxLayout()
        notes.setContentsMargins(SPACE_GROUPS, SPACE_TIGHT, SPACE_GROUPS, 0)
        notes.addWidget(self.empty)
        notes.addWidget(self.problem)
        column.addLayout(notes)
        self._room = QScrollArea()  # large text needs more height than there is beside the table
        self._room.setWidgetResizable(True)
        self._room.setFrameShape(QScrollArea.Shape.NoFrame)
        self._room.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._room.setSizeAdjustPolicy(QScrollArea.SizeAdjustPolicy.AdjustToContents)
        self._room.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self._room.setWidget(self._detail)
        column.addWidget(self._room)
        self.problem.hide()

    def _connect(self) -> None:
        self.model.refused.connect(self._say)
        self.model.modelReset.connect(self._on_reset)
        self.model.dataChanged.connect(lambda *_: self._refresh())
        self.view.selectionModel().currentRowChanged.connect(lambda *_: self._refresh())
        self.wording.editingFinished.connect(self._on_wording)
        self.check_button.clicked.connect(lambda _=False: self._on_check())
        self.reset_button.clicked.connect(lambda _=False: self._on_proposal())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the reasons to the line below where there is no room for them."""
        super().resizeEvent(event)
        self.view.setColumnHidden(WHY, self.width() < round(_ROOM_FOR_REASONS * scale_of(self)))

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def _on_reset(self) -> None:
        self._say("")
        if self.model.rowCount():
            self.view.setCurrentIndex(self.model.index(0, PUT))
        self._refresh()

    def current(self) -> ClaimLine | None:
        """The line that is chosen."""
        return self.model.line(self.view.currentIndex().row())

    def _refresh(self) -> None:
        self.empty.setVisible(not self.model.rowCount())
        line = self.current()
        self._room.setVisible(line is not None)
        if line is None:
            return
        self.title.setText(line.title)
        self.why.setText(line.why)
        self.span.setText(
            tr("The work costs {low} to {high}, likely {full}; {amount} is asked.").format(
                low=formatting.whole(line.low),
                high=formatting.whole(line.high),
                full=formatting.whole(line.full),
                amount=formatting.whole(line.amount),
            )
        )
        custom = custom_words(self._session, line)
        self.custom.setText(custom)
        self.custom.setVisible(bool(custom))
        if not self.wording.hasFocus():
            self.wording.setText(line.choice.wording)
        self.wording.setReadOnly(bool(self._session.read_only))
        self.check_button.setVisible(line.finding is not None)
        self.reset_button.setVisible(line.choice.amount is not None or not line.choice.included)

    def _on_wording(self) -> None:
        line = self.current()
        if line is not None and self.wording.text().strip() != line.choice.wording:
            words = self.wording.text().strip()
            self.model.choose(line, dataclasses.replace(line.choice, wording=words))

    def _on_proposal(self) -> None:
        line = self.current()
        if line is not None:
            choice = dataclasses.replace(line.choice, amount=None, included=True)
            self.model.choose(line, choice)
            self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _on_check(self) -> None:
        line = self.current()
        if line is not None and line.finding is not None:
            self.check_requested.emit(line.finding.check.id)
