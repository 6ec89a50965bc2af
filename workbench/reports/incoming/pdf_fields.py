"""A filled PDF form read as a sheet of two columns: the name of a field and what was put into it.

Only the fields of the form are read. Scripts, attached files and links in the file are not looked
at, and are listed. Field types follow ISO 32000-2, 12.7.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Callable, Iterator
from typing import Any

from workbench.domain.problem import Problem, Severity

from .cells import LARGEST_TEXT, MOST_ROWS, Cell, Holds, Incoming, Row, Sheet, refused
from .text_values import clean

HEADS = ("Row", "Value")
_OFF = ("", "/Off", "Off")
_AGAIN = "Ask for it again, or save it again in the program in which it was filled in."


def read_pdf(name: str, data: bytes, stop: Callable[[], None]) -> Incoming:
    """The fields of a form that are filled in.

    Raises
    ------
    HardstandError
        When it is damaged or locked, or no form that can be filled in.
    """
    from pypdf.errors import PyPdfError  # noqa: PLC0415 - only when a form is read

    logger = logging.getLogger("pypdf")
    before, logger.disabled = logger.disabled, True  # its warnings are for whoever makes PDFs
    try:
        fields, notices = _fields(name, data)
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise refused(name, "The PDF is cut short or damaged.", _AGAIN) from error
    except (IndexError, AssertionError, OSError, NotImplementedError) as error:
        raise refused(name, "The PDF is cut short or damaged.", _AGAIN) from error
    finally:
        logger.disabled = before
    rows = tuple(_rows(fields, stop))
    return Incoming(name, "pdf", (Sheet("", rows),), notices=notices, data=data)


def _fields(name: str, data: bytes) -> tuple[dict[str, str], tuple[Problem, ...]]:
    from pypdf import PdfReader  # noqa: PLC0415 - only when a form is read

    reader = PdfReader(io.BytesIO(data))
    if reader.is_encrypted:
        raise refused(
            name, "The PDF is protected by a password.", "Save it without one, and bring it again."
        )
    found = reader.get_fields() or {}
    if not found:
        raise refused(
            name,
            "The PDF has no fields to fill in, or they were flattened when it was printed.",
            "Save the form itself rather than printing it to a new PDF.",
        )
    if len(found) > MOST_ROWS:
        raise refused(name, f"It has more than {MOST_ROWS:,} fields.", _AGAIN)
    root: Any = reader.trailer["/Root"]
    return {key: _said(field) for key, field in found.items()}, tuple(_left_alone(name, root))


def _said(field: Any) -> str:
    """What was put into a field; empty for nothing."""
    value = field.get("/V")
    if value is None or isinstance(value, list):
        return ""
    text = str(value)
    if text in _OFF:
        return ""
    return clean(text.removeprefix("/") if field.get("/FT") == "/Btn" else text)


def _left_alone(name: str, root: Any) -> Iterator[Problem]:
    names = root.get("/Names")
    held: Any = names.get_object() if names is not None else {}
    if "/JavaScript" in held or "/OpenAction" in root or "/AA" in root:
        yield Problem(name, "It holds scripts. They were not run.", severity=Severity.NOTICE)
    if "/EmbeddedFiles" in held:
        yield Problem(
            name, "Other files are attached to it. They were left alone.", severity=Severity.NOTICE
        )


def _rows(fields: dict[str, str], stop: Callable[[], None]) -> Iterator[Row]:
    heads = {at: Cell("heads", Holds.TEXT, head) for at, head in enumerate(HEADS, 1)}
    yield Row(1, heads)
    for number, (key, value) in enumerate(fields.items(), 2):
        stop()
        at = f"field {key}"
        name = Cell(at, Holds.TEXT, key)
        is_sane = value.strip() and len(value) <= LARGEST_TEXT
        answer = {2: Cell(at, Holds.TEXT, value)} if is_sane else {}
        yield Row(number, {1: name, **answer})
