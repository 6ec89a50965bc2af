"""Editing in the cells of a table: what cannot be read stays in the editor with its sentence.

A model that is edited so has `refusal(index, text)`, which says why a text cannot stand in a cell,
and may have `choices(index)` for cells where one of a few is chosen.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRectF,
    Qt,
)
from PySide6.QtGui import QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QComboBox,
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from workbench.window.palette import Palette
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.surroundings import palette_of, qcolor

Index = QModelIndex | QPersistentModelIndex
Refusal = Callable[[QModelIndex, str], str]
Choices = Callable[[QModelIndex], tuple[tuple[str, str], ...]]

_COMMITTING = {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Backtab}


def _no_choices(_index: QModelIndex) -> tuple[tuple[str, str], ...]:
    return ()


def paint_tick(painter: QPainter, room: QRectF, palette: Palette, *, on: bool) -> None:
    """Paint a box to be ticked, ticked or not, in the middle of its room."""
    side = min(room.width(), room.height(), 15.0)
    box = QRectF(0, 0, side - 1, side - 1)
    box.moveCenter(room.center())
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(qcolor(palette.accent if on else palette.control_line), 1.0))
    painter.setBrush(qcolor(palette.accent if on else palette.field))
    painter.drawRoundedRect(box, 3, 3)
    if on:
        pen = QPen(qcolor(palette.on_accent), 1.8)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        corners = ((0.24, 0.52), (0.43, 0.71), (0.77, 0.30))
        points = [
            QPointF(box.left() + x * box.width(), box.top() + y * box.height()) for x, y in corners
        ]
        painter.drawPolyline(points)
    painter.restore()


class CellEditing(QStyledItemDelegate):
    """The editors of one table.

    Parameters
    ----------
    view
        The table.
    refusal
        Why a text cannot stand in a cell; empty when it can.
    choices
        (typed, words) of a cell where one of a few is chosen; empty for a line to type in.

    What is wrong is written right below the editor, on the table, while it is open.
    """

    def __init__(self, view: QTableView, refusal: Refusal, choices: Choices = _no_choices) -> None:
        super().__init__(view)
        self._view = view
        self._refusal = refusal
        self._choices = choices
        self._open = QPersistentModelIndex()
        self._note = surface("card", view.viewport())
        self.sentence = label("", "problem")
        inner = QVBoxLayout(self._note)
        inner.setContentsMargins(8, 4, 8, 4)
        inner.addWidget(self.sentence)
        self._note.hide()

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell; its tick in the window's own outline, which shows on dark ground too."""
        state = index.data(Qt.ItemDataRole.CheckStateRole)
        if state is None:
            super().paint(painter, option, index)
            return
        shown = QStyleOptionViewItem(option)
        self.initStyleOption(shown, _plain(index))
        style = self._view.style()
        element = QStyle.SubElement.SE_ItemViewItemCheckIndicator
        box = QRectF(style.subElementRect(element, shown, self._view))
        shown.features &= ~QStyleOptionViewItem.ViewItemFeature.HasCheckIndicator
        style.drawControl(QStyle.ControlElement.CE_ItemViewItem, shown, painter, self._view)
        paint_tick(painter, box, palette_of(self._view), on=state == Qt.CheckState.Checked)

    def createEditor(self, parent: QWidget, _option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A list where one of a few is chosen, else a line."""
        self._open = QPersistentModelIndex(_plain(index))
        name = str(index.data(Qt.ItemDataRole.AccessibleTextRole) or "")
        choices = self._choices(_plain(index))
        if not choices:
            line = QLineEdit(parent)
            line.setAccessibleName(name)
            line.setFrame(False)
            line.textEdited.connect(lambda _: self._say(line, ""))
            return line
        box = QComboBox(parent)
        box.setAccessibleName(name)
        for typed, words in choices:
            box.addItem(words, typed)
        box.activated.connect(lambda _: self._choose(box))
        return box

    def _choose(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the text as typed."""
        text = str(index.data(Qt.ItemDataRole.EditRole) or "")
        if isinstance(editor, QComboBox):
            editor.setCurrentIndex(max(editor.findData(text), 0))
        elif isinstance(editor, QLineEdit) and not editor.isModified():
            editor.setText(text)
            editor.selectAll()

    def setModelData(self, editor: QWidget, model: object, index: Index) -> None:
        """Give what was typed or chosen to the model, which may refuse it."""
        del model
        text = editor.currentData() if isinstance(editor, QComboBox) else ""
        if isinstance(editor, QLineEdit):
            text = editor.text()
        place = _plain(index)
        if text != str(place.data(Qt.ItemDataRole.EditRole) or ""):
            self._view.model().setData(place, text)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, _index: Index
    ) -> None:
        """As large as the cell, and never too small to type in."""
        room = option.rect
        editor.setGeometry(room.x(), room.y(), max(room.width(), 96), room.height())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep an editor open while its text cannot stand in the cell."""
        if (
            isinstance(watched, QLineEdit)
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and Qt.Key(event.key()) in _COMMITTING
            and self._refuses(watched)
        ):
            return True
        return super().eventFilter(watched, event)

    def _refuses(self, line: QLineEdit) -> bool:
        if not self._open.isValid():
            return False
        index = _plain(self._open)
        if line.text() == str(index.data(Qt.ItemDataRole.EditRole) or ""):
            return False
        sentence = self._refusal(index, line.text())
        self._say(line, sentence)
        return bool(sentence)

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        """Take the sentence away with its editor."""
        self._note.hide()
        self.sentence.setText("")
        super().destroyEditor(editor, index)

    def _say(self, line: QLineEdit, sentence: str) -> None:
        line.setProperty("wrong", "true" if sentence else "false")
        line.setAccessibleDescription(sentence)
        line.style().unpolish(line)
        line.style().polish(line)
        self.sentence.setText(sentence)
        self._note.setVisible(bool(sentence))
        if sentence:
            self._note.adjustSize()
            room = self._view.viewport().width() - self._note.width()
            self._note.move(min(line.x(), max(room, 0)), line.y() + line.height() + 2)
            self._note.raise_()


def _plain(index: Index) -> QModelIndex:
    """The index as one that is used at once."""
    return index.model().index(index.row(), index.column(), index.parent())
