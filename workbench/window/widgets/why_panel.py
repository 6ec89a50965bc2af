"""Where a figure comes from, unfolded in place: a tree of steps under a 'why?' link.

The steps are anything that looks like `TraceNode`; the panel asks for them only when it is
unfolded, so a page may hold many folded panels at no cost.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QHeaderView,
    QSizePolicy,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbench.window.texts import tr
from workbench.window.widgets.buttons import button
from workbench.window.widgets.surroundings import SPACE_TIGHT, palette_of, qcolor, row_height

MOST_ROWS = 14
"""Rows the panel grows to before it scrolls."""


class TraceNode(Protocol):
    """One step of a trace: what it is, where it comes from, its amount, and the steps below it."""

    @property
    def label(self) -> str:
        """What the step is."""

    @property
    def detail(self) -> str:
        """Where it comes from: a reading, a rule, an entry, a source."""

    @property
    def amount_text(self) -> str:
        """Its figure as written; '' for none."""

    @property
    def children(self) -> Sequence[TraceNode]:
        """The steps it is made of."""


class WhyPanel(QWidget):
    """A link that unfolds the steps of one figure.

    Parameters
    ----------
    trace
        Gives the topmost step, or None where there is nothing to tell.
    question
        Words of the link.

    Signals
    -------
    unfolded(open)
        The panel was opened or folded.
    step_chosen(node)
        A step was activated with Enter or a double click, to go to its place.
    """

    unfolded = Signal(bool)
    step_chosen = Signal(object)

    def __init__(
        self,
        trace: Callable[[], TraceNode | None] | None = None,
        *,
        question: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._trace = trace
        self._question = question or tr("why?")
        self.link = button(self._question, "link")
        self.link.setCheckable(True)
        self.link.toggled.connect(self._on_toggled)
        self.tree = self._make_tree()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(SPACE_TIGHT)
        column.addWidget(self.link, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.tree)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.setFocusProxy(self.link)

    def _make_tree(self) -> QTreeWidget:
        tree = QTreeWidget()
        tree.setColumnCount(3)
        tree.setHeaderHidden(True)
        tree.setUniformRowHeights(True)
        tree.setIndentation(16)
        tree.setAccessibleName(tr("Where the figure comes from"))
        tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        tree.setSizeAdjustPolicy(QAbstractScrollArea.SizeAdjustPolicy.AdjustIgnored)
        head = tree.header()
        head.setStretchLastSection(False)
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        head.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        head.setSectionResizeMode(2, QHeaderView.ResizeMode.ResizeToContents)
        tree.expanded.connect(self._fit_height)
        tree.collapsed.connect(self._fit_height)
        tree.itemActivated.connect(self._on_item_activated)
        tree.hide()
        return tree

    def set_trace(self, trace: Callable[[], TraceNode | None] | None) -> None:
        """Tell of another figure; an open panel shows it at once."""
        self._trace = trace
        self.link.setVisible(trace is not None)
        if self.is_open():
            self._fill()

    def is_open(self) -> bool:
        """Whether the steps are shown."""
        return self.link.isChecked()

    def set_open(self, *, opened: bool) -> None:
        """Unfold or fold."""
        self.link.setChecked(opened)

    def _on_toggled(self, opened: bool) -> None:
        self.link.setText(tr("fold away") if opened else self._question)
        if opened:
            self._fill()
        self.tree.setVisible(opened)
        self.updateGeometry()
        self.unfolded.emit(opened)

    def _fill(self) -> None:
        self.tree.clear()
        root = self._trace() if self._trace is not None else None
        if root is None:
            QTreeWidgetItem(self.tree, [tr("Nothing to tell yet."), "", ""])
        else:
            self._add(self.tree.invisibleRootItem(), root)
            self.tree.expandToDepth(0)
        self._fit_height()

    def _add(self, above: QTreeWidgetItem, node: TraceNode) -> None:
        item = QTreeWidgetItem(above, [node.label, node.detail, node.amount_text])
        item.setData(0, Qt.ItemDataRole.UserRole, node)
        item.setForeground(1, qcolor(palette_of(self).quiet))
        item.setTextAlignment(2, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        for column, text in enumerate((node.label, node.detail)):
            item.setToolTip(column, text)
        for child in node.children:
            self._add(item, child)

    def _visible_rows(self) -> int:
        rows, item = 0, self.tree.topLevelItem(0)
        while item is not None:
            rows += 1
            item = self.tree.itemBelow(item)
        return rows

    def _fit_height(self, _index: QModelIndex | None = None) -> None:
        """Grow with the rows that are unfolded, up to the most."""
        rows = min(max(self._visible_rows(), 1), MOST_ROWS)
        first = self.tree.topLevelItem(0)
        height = row_height(self)
        if first is not None:
            height = max(height, self.tree.visualItemRect(first).height())
        self.tree.setFixedHeight(rows * height + 4)
        self.updateGeometry()

    def _on_item_activated(self, item: QTreeWidgetItem, _column: int) -> None:
        self.step_chosen.emit(item.data(0, Qt.ItemDataRole.UserRole))

    def showEvent(self, event: QShowEvent) -> None:
        """Fit the height once the rows have their fonts."""
        super().showEvent(event)
        if self.is_open():
            self._fit_height()
