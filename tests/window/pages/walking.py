"""What the tests ask of every page: names for a screen reader, reach by keyboard, nothing cut."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QScrollBar,
    QWidget,
)

from workbench.window.widgets.charts import Chart

OPERATED = (QAbstractButton, QAbstractItemView, QComboBox, QLineEdit, QPlainTextEdit, Chart)


def operated(page: QWidget) -> list[QWidget]:
    """Everything shown on a page that can be operated."""
    found: list[QWidget] = [
        one
        for kind in OPERATED
        for one in page.findChildren(kind)
        if one.isVisibleTo(page) and not isinstance(one, QHeaderView | QScrollBar)
    ]
    return [one for one in found if not _is_inner(one)]


def _is_inner(widget: QWidget) -> bool:
    """Parts that Qt makes for itself inside others."""
    parent = widget.parentWidget()
    inside_view = parent is not None and isinstance(parent.parentWidget(), QAbstractItemView)
    return widget.objectName().startswith("qt_") or isinstance(parent, QComboBox) or inside_view


def nameless(page: QWidget) -> list[QWidget]:
    """What can be operated and has neither a name nor a text."""
    return [
        one
        for one in operated(page)
        if not one.accessibleName() and not (isinstance(one, QAbstractButton) and one.text())
    ]


def out_of_reach(page: QWidget) -> list[QWidget]:
    """What is enabled and cannot be reached by Tab or, inside a group, by arrows."""
    return [
        one
        for one in operated(page)
        if one.isEnabled() and one.focusPolicy() == Qt.FocusPolicy.NoFocus
    ]


def cut_labels(page: QWidget) -> list[str]:
    """Texts of shown one-line labels that are wider than their place."""
    QApplication.processEvents()  # layouts answer to changed texts
    cut = []
    for one in page.findChildren(QLabel):
        if not one.isVisibleTo(page) or one.wordWrap() or not one.text():
            continue
        if QFontMetrics(one.font()).horizontalAdvance(one.text()) > one.width() + 1:
            cut.append(one.text())
    return cut
