"""Three fields for an estimate: low, likely, high, with what the two limits mean said beside them.

The order is held: low is not above likely, likely not above high. A sentence below says which one
breaks it, and nothing is announced until all three can be read and stand in order.
"""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from workbench.window.texts import tr
from workbench.window.widgets.labels import label
from workbench.window.widgets.parsed_field import Parse, ParsedField, Show
from workbench.window.widgets.surroundings import SPACE_RELATED


class ThreePointField(QWidget):
    """Low, likely and high of one estimate.

    Parameters
    ----------
    parse, show
        The caller's reading and writing of one value; values must compare with `<`.
    unit
        Written quietly after the three fields.
    limits
        How the limits are read, such as 'one time in ten below, one in ten above'.
    name
        Accessible name of the whole.

    Signals
    -------
    span_entered((low, likely, high))
        A new estimate, whole and in order; None when all three were emptied.
    """

    span_entered = Signal(object)

    def __init__(
        self,
        parse: Parse,
        show: Show,
        *,
        unit: str = "",
        limits: str = "",
        name: str = "",
        characters: int = 8,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        words = (tr("low"), tr("likely"), tr("high"))
        self._fields = tuple(ParsedField(parse, show, characters=characters) for _ in words)
        self._span: tuple[object, object, object] | None = None
        self._limits = label(limits, "small", wrap=True)
        self._sentence = label("", "problem", wrap=True)
        self._sentence.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(SPACE_RELATED)
        grid.setVerticalSpacing(2)
        for column, (word, field) in enumerate(zip(words, self._fields, strict=True)):
            grid.addWidget(label(word, "small"), 0, column)
            grid.addWidget(field, 1, column)
            field.set_name(f"{name}, {word}" if name else word)
            field.value_entered.connect(self._on_value_entered)
            field.problem_changed.connect(self._on_problem_changed)
            field.sentence_label().setMaximumHeight(0)
        grid.addWidget(label(unit, "quiet"), 1, 3)
        grid.setColumnStretch(4, 1)
        grid.addWidget(self._sentence, 2, 0, 1, 5)
        grid.addWidget(self._limits, 3, 0, 1, 5)
        self._limits.setVisible(bool(limits))
        self.setAccessibleName(name)
        self.setFocusProxy(self._fields[1])
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)

    @property
    def low(self) -> ParsedField:
        """The field of the low limit."""
        return self._fields[0]

    @property
    def likely(self) -> ParsedField:
        """The field of the likely value."""
        return self._fields[1]

    @property
    def high(self) -> ParsedField:
        """The field of the high limit."""
        return self._fields[2]

    def span(self) -> tuple[object, object, object] | None:
        """Return the last whole estimate, or None."""
        return self._span

    def set_span(self, span: tuple[object, object, object] | None) -> None:
        """Show an estimate without announcing it."""
        self._span = span
        for field, value in zip(self._fields, span or (None, None, None), strict=True):
            field.set_value(value)
        self._say("")

    def set_limits(self, sentence: str) -> None:
        """Say how the limits are to be read."""
        self._limits.setText(sentence)
        self._limits.setVisible(bool(sentence))

    def problem(self) -> str:
        """Return the sentence below the fields; '' when all is well."""
        return self._sentence.text()

    def _say(self, sentence: str) -> None:
        self._sentence.setText(sentence)
        self._sentence.setVisible(bool(sentence))

    def _on_problem_changed(self, _sentence: str) -> None:
        self._say(next((field.problem() for field in self._fields if field.problem()), ""))

    def _on_value_entered(self, _value: object) -> None:
        values = tuple(field.value() for field in self._fields)
        if all(value is None for value in values):
            self._say("")
            self._announce(None)
        elif all(value is not None for value in values):
            self._hold_order(values)

    def _hold_order(self, values: tuple[object, ...]) -> None:
        low, likely, high = values
        if likely < low:  # type: ignore[operator]
            self._say(tr("The low limit is above the likely value; lower it."))
        elif high < likely:  # type: ignore[operator]
            self._say(tr("The high limit is below the likely value; raise it."))
        else:
            self._say("")
            self._announce((low, likely, high))

    def _announce(self, span: tuple[object, object, object] | None) -> None:
        if span != self._span:
            self._span = span
            self.span_entered.emit(span)
