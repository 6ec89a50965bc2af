"""A field for a sum of money: digits right-aligned, the currency quietly beside them."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from workbench.window.widgets.parsed_field import Parse, ParsedField, Show


class MoneyField(ParsedField):
    """A sum of money; the caller's parser and formatter know currency and separators.

    Parameters
    ----------
    currency
        Written quietly after the field, such as 'USD'.

    See `ParsedField` for the other parameters and the signals.
    """

    def __init__(
        self,
        parse: Parse,
        show: Show,
        *,
        currency: str = "",
        name: str = "",
        placeholder: str = "",
        characters: int = 10,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(
            parse,
            show,
            unit=currency,
            name=name,
            placeholder=placeholder,
            characters=characters,
            parent=parent,
        )
        self.line_edit.setAlignment(Qt.AlignmentFlag.AlignRight)
