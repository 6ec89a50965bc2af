"""What is wrong with a page as it is laid out: words cut, parts over each other, parts outside.

Every probe answers sentences that name the place; none is the wish.
"""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QCheckBox,
    QComboBox,
    QLabel,
    QLayout,
    QLineEdit,
    QRadioButton,
    QScrollArea,
    QScrollBar,
    QSplitterHandle,
    QWidget,
)

SLACK = 1
"""Pixels that rounding may cost."""


def place_of(widget: QWidget, page: QWidget) -> str:
    """Where a widget stands, by kinds and names up to the page, and what it says."""
    steps = []
    one: QWidget | None = widget
    while one is not None and one is not page:
        steps.append(type(one).__name__)
        one = one.parentWidget()
    said = getattr(widget, "text", lambda: "")() or widget.accessibleName()
    return f"{' < '.join(steps[:4])} “{str(said)[:60]}”"


def shown_parts(page: QWidget) -> list[QWidget]:
    """Every widget of a page that is shown and has room."""
    return [
        one for one in page.findChildren(QWidget) if one.isVisible() and not one.size().isEmpty()
    ]


def cut_words(page: QWidget) -> Iterator[str]:
    """Labels and buttons whose words are wider or higher than their place."""
    for one in shown_parts(page):
        if isinstance(one, QLabel) and one.text() and one.pixmap().isNull():
            if _label_is_cut(one):
                yield f"cut: {place_of(one, page)}, {one.width()} x {one.height()}"
        elif type(one).__name__ != "Segment" and _is_plain_button(one):
            assert isinstance(one, QAbstractButton)
            words = one.text().replace("&", "")
            if QFontMetrics(one.font()).horizontalAdvance(words) > one.width() + SLACK:
                yield f"cut: {place_of(one, page)}, {one.width()} wide"


def _label_is_cut(one: QLabel) -> bool:
    inside = one.contentsRect()
    metrics = QFontMetrics(one.font())
    if not one.wordWrap():
        return metrics.horizontalAdvance(one.text()) > inside.width() + SLACK
    needed = one.heightForWidth(one.width())
    return needed > one.height() + SLACK


def _is_plain_button(one: QWidget) -> bool:
    """A button that shows its text in one line, and not beside a tick."""
    ticked = isinstance(one, QCheckBox | QRadioButton)
    return isinstance(one, QAbstractButton) and bool(one.text()) and not ticked


def over_each_other(page: QWidget) -> Iterator[str]:
    """Parts of one layout that cover each other."""
    for one in (page, *shown_parts(page)):
        layout = one.layout()
        if layout is None:
            continue
        parts = [part for part in _laid_out(layout) if part.isVisible()]
        for place, first in enumerate(parts):
            for second in parts[place + 1 :]:
                both = first.geometry().intersected(second.geometry())
                if both.width() > SLACK and both.height() > SLACK:
                    yield f"over each other: {place_of(first, page)} and {place_of(second, page)}"


def _laid_out(layout: QLayout) -> Iterator[QWidget]:
    """The widgets of a layout and of the layouts in it; a stack shows one of its own."""
    for number in range(layout.count()):
        item = layout.itemAt(number)
        if item is None:
            continue
        below, part = item.layout(), item.widget()
        if part is not None:
            yield part
        elif below is not None:
            yield from _laid_out(below)


def outside(page: QWidget) -> Iterator[str]:
    """Parts that reach over the side of the page, or of what scrolls up and down round them."""
    for one in shown_parts(page):
        if isinstance(one, QSplitterHandle | QScrollBar) or _is_inner(one):
            continue
        area = _scrolled_in(one, page)
        frame = area if area is not None else page
        rect = QRect(one.mapTo(frame, QPoint(0, 0)), one.size())
        if rect.left() < -SLACK or rect.right() > frame.width() + SLACK:
            reach = f"{rect.left()} to {rect.right()} of {frame.width()}"
            yield f"outside: {place_of(one, page)} at {reach}"


def _scrolled_in(one: QWidget, page: QWidget) -> QWidget | None:
    """What scrolls up and down under the nearest scroll area; None outside of any."""
    parent = one.parentWidget()
    while parent is not None and parent is not page:
        if isinstance(parent, QScrollArea):
            return parent.widget()
        parent = parent.parentWidget()
    return None


def _is_inner(one: QWidget) -> bool:
    """Parts that Qt makes for itself, and what lies inside views."""
    parent = one.parentWidget()
    while parent is not None:
        if isinstance(parent, QAbstractScrollArea) and not isinstance(parent, QScrollArea):
            return True
        parent = parent.parentWidget()
    return one.objectName().startswith("qt_") or isinstance(
        one.parentWidget(), QComboBox | QLineEdit
    )


def unexplained(page: QWidget) -> Iterator[str]:
    """What is operated and has neither words of its own, nor a label, nor a tip."""
    buddies = {one.buddy() for one in page.findChildren(QLabel) if one.buddy() is not None}
    for one in shown_parts(page):
        if not isinstance(one, QAbstractButton | QLineEdit | QComboBox) or _is_inner(one):
            continue
        words = one.text() if isinstance(one, QAbstractButton) else ""
        placeholder = one.placeholderText() if isinstance(one, QLineEdit) else ""
        shown = _explains_itself(one) or any(
            parent in buddies or parent.toolTip() for parent in _up_to(one, page)
        )
        if not (words or placeholder or one.toolTip() or one in buddies or shown):
            yield f"unexplained: {place_of(one, page)}"


def _explains_itself(one: QWidget) -> bool:
    """A list that shows what is chosen, with a name for who cannot see it."""
    return isinstance(one, QComboBox) and bool(one.currentText() and one.accessibleName())


def _up_to(one: QWidget, page: QWidget) -> Iterator[QWidget]:
    parent = one.parentWidget()
    while parent is not None and parent is not page:
        yield parent
        parent = parent.parentWidget()
