"""The field of quick find in the navigation, and what it found below it.

The keyboard stays in the field: arrows go up and down the list, Return goes there, Esc puts the
list away and gives the keyboard back to where it was.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QTextEdit,
    QVBoxLayout,
    QWidget,
)

from workbench.window.find import Found, Kind
from workbench.window.texts import tr
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.row_delegate import ROW_ROLE, RowDelegate, RowParts
from workbench.window.widgets.search_field import SearchField
from workbench.window.widgets.surroundings import SPACE_RELATED
from workbench.window.widgets.tables import set_up_list

WIDTH = 520
MOST_HIGH = 460
_MOVES = {
    Qt.Key.Key_Down: 1,
    Qt.Key.Key_Up: -1,
    Qt.Key.Key_PageDown: 8,
    Qt.Key.Key_PageUp: -8,
}

Seek = Callable[[str], tuple[Found, ...]]


class _KeyGuard(QObject):
    """Keeps the key of quick find from the field that the keyboard is in.

    On some systems a field would take Ctrl+K to delete what stands after the cursor.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._follow)

    def _follow(self, old: QWidget | None, new: QWidget | None) -> None:
        if old is not None:
            old.removeEventFilter(self)
        if isinstance(new, QLineEdit | QPlainTextEdit | QTextEdit):
            new.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let the window have the key."""
        del watched
        if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
            return False
        control = event.modifiers() == Qt.KeyboardModifier.ControlModifier
        if control and event.key() == Qt.Key.Key_K:
            event.ignore()
            return True
        return False


class FindField(SearchField):
    """A field with a list below it.

    Parameters
    ----------
    seek
        Answers what some words lead to.

    Signals
    -------
    chosen(Found)
        The user goes to something that was found.
    """

    chosen = Signal(object)

    def __init__(self, seek: Seek, parent: QWidget | None = None) -> None:
        super().__init__(tr("Find anything"), parent)
        self._seek = seek
        self._came_from: QWidget | None = None
        self.found: tuple[Found, ...] = ()
        self.setToolTip(tr("Any boat, check, work line or command (Ctrl+K)"))
        self.setMinimumWidth(110)
        self.setMaximumWidth(210)
        self.panel = surface("card", self.window())
        self.list = QListWidget()
        set_up_list(self.list, name=tr("Found"))
        self.list.setItemDelegate(RowDelegate(self.list))
        self.list.setUniformItemSizes(False)
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.nothing = label(tr("Nothing has these words."), "quiet", wrap=True)
        column = QVBoxLayout(self.panel)
        column.setContentsMargins(SPACE_RELATED, SPACE_RELATED, SPACE_RELATED, SPACE_RELATED)
        column.addWidget(self.nothing)
        column.addWidget(self.list, 1)
        self.panel.hide()
        self._guard = _KeyGuard(self)
        self.searched.connect(self._on_searched)
        self.list.itemClicked.connect(lambda _: self._go())

    # --- Coming and going ---

    def begin(self) -> None:
        """Put the keyboard into the field, with what stands in it chosen."""
        if not self.hasFocus():
            self._came_from = self.window().focusWidget()
        self.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.selectAll()
        if self.text().strip():
            self._on_searched(self.text().strip())

    def leave(self) -> None:
        """Put the list away and give the keyboard back."""
        self.panel.hide()
        if self._came_from is not None and self._came_from.isVisible():
            self._came_from.setFocus(Qt.FocusReason.OtherFocusReason)
        self._came_from = None

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Put the list away when the keyboard goes elsewhere."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason and not self.panel.underMouse():
            self.panel.hide()

    # --- Seeking ---

    def _on_searched(self, text: str) -> None:
        if not text:
            self.found = ()
            self.panel.hide()
            return
        self.found = self._seek(text)
        self.list.clear()
        for one in self.found:
            item = QListWidgetItem(one.title)
            item.setData(
                ROW_ROLE,
                RowParts(
                    one.title,
                    grade=one.grade,
                    sub_line=one.detail,
                    figure=one.figure,
                    strong=one.kind is Kind.BOAT,
                ),
            )
            self.list.addItem(item)
        self.nothing.setVisible(not self.found)
        self.list.setVisible(bool(self.found))
        if self.found:
            self.list.setCurrentRow(0)
        self._place()
        self.panel.show()
        self.panel.raise_()
        self._tell()

    def _place(self) -> None:
        """Below the field, as high as what was found needs, inside the window."""
        window = self.window()
        if self.panel.parent() is not window:
            self.panel.setParent(window)
        rows = sum(self.list.sizeHintForRow(row) for row in range(self.list.count()))
        below = self.mapTo(window, QPoint(0, self.height() + 4))
        height = min(max(rows + 22, 48), MOST_HIGH, window.height() - below.y() - 12)
        left = max(min(below.x(), window.width() - WIDTH - 12), 12)
        self.panel.setGeometry(QRect(left, below.y(), WIDTH, max(height, 48)))

    def _tell(self) -> None:
        """Say the row that is lit, for those who do not see it."""
        row = self.list.currentRow()
        if 0 <= row < len(self.found):
            one = self.found[row]
            words = tr("{n} of {all}: {title}, {detail}")
            self.setAccessibleDescription(
                words.format(n=row + 1, all=len(self.found), title=one.title, detail=one.detail)
            )
        else:
            self.setAccessibleDescription(self.nothing.text())

    def _go(self) -> None:
        row = self.list.currentRow()
        if not 0 <= row < len(self.found):
            return
        found = self.found[row]
        self.panel.hide()
        self._came_from = None
        self.clear()
        self.chosen.emit(found)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go through the list and to what was found, or leave."""
        key = Qt.Key(event.key())
        if key in _MOVES and self.found:
            row = self.list.currentRow() + _MOVES[key]
            self.list.setCurrentRow(min(max(row, 0), len(self.found) - 1))
            self._tell()
        elif key in {Qt.Key.Key_Return, Qt.Key.Key_Enter}:
            self._announce()
            self._go()
        elif key == Qt.Key.Key_Escape:
            self.clear()
            self.leave()
        else:
            super().keyPressEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay below the field when the window changes its size."""
        resized = watched is self.window() and event.type() == QEvent.Type.Resize
        if resized and self.panel.isVisible():
            self._place()
        return super().eventFilter(watched, event)
