"""What a test does to a widget and reads off it: keys, letters, spoken names, colours of pixels."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QAccessible, QColor, QImage, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget


def press(widget: QWidget, key: Qt.Key) -> None:
    """Press one key on a widget."""
    event = QKeyEvent(QEvent.Type.KeyPress, int(key), Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(widget, event)


def click(widget: QWidget, place: QPoint | None = None) -> None:
    """Click a widget with the left button, in its middle unless told where."""
    where = place if place is not None else widget.rect().center()
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, where)


def type_text(widget: QWidget, text: str) -> None:
    """Type any text, letters beyond ASCII too, character by character."""
    for character in text:
        event = QKeyEvent(QEvent.Type.KeyPress, 0, Qt.KeyboardModifier.NoModifier, character)
        QApplication.sendEvent(widget, event)


def spoken(widget: QWidget) -> str:
    """Return what a screen reader calls a widget."""
    interface = QAccessible.queryAccessibleInterface(widget)
    assert interface is not None
    return interface.text(QAccessible.Text.Name)


def near(colour: QColor, wanted: str, tolerance: int = 10) -> bool:
    """Whether a pixel has a colour, up to smoothing."""
    aim = QColor(wanted)
    return all(
        abs(got - want) <= tolerance
        for got, want in (
            (colour.red(), aim.red()),
            (colour.green(), aim.green()),
            (colour.blue(), aim.blue()),
        )
    )


def holds(image: QImage, wanted: str, tolerance: int = 10) -> bool:
    """Whether any pixel of a picture has a colour."""
    return any(
        near(image.pixelColor(x, y), wanted, tolerance)
        for x in range(image.width())
        for y in range(image.height())
    )
