"""A field for a measured value with its unit: '1.0 mm', the same in another unit shown quietly."""

from __future__ import annotations

from workbench.window.widgets.parsed_field import ParsedField


class QuantityField(ParsedField):
    """A quantity typed with or without its unit; the caller's parser decides what is read.

    See `ParsedField` for parameters and signals.
    """
