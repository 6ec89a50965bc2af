"""Ways to fill in a PDF form with programs that are no part of what is tested.

pypdf writes values into the file; PDFium, the engine of a browser, is clicked at and typed into as
a person would do it. What stands in a form is read by PDFium and by pdfminer.
"""

from __future__ import annotations

import ctypes
import io
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import pypdfium2
import pypdfium2.raw as pdfium
from pdfminer.pdfdocument import PDFDocument
from pdfminer.pdfparser import PDFParser
from pdfminer.pdftypes import resolve1
from pdfminer.utils import decode_text
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject

Typed = Mapping[str, str]
"""What is typed into fields, or which box of a choice is ticked, by the fields' names."""


def by_pypdf(data: bytes, answers: Typed) -> bytes:
    """The form with some answers, as pypdf writes them."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(data)))
    boxes = {
        name for name, field in (writer.get_fields() or {}).items() if field.get("/FT") == "/Btn"
    }
    values: dict[str, Any] = {
        name: NameObject(f"/{value}") if name in boxes else value for name, value in answers.items()
    }
    for page in writer.pages:
        writer.update_page_form_field_values(page, values, auto_regenerate=False)
    kept = io.BytesIO()
    writer.write(kept)
    return kept.getvalue()


class Typist:
    """Somebody who clicks at the boxes of a form and types, in PDFium."""

    def __init__(self, data: bytes) -> None:
        self._document = pypdfium2.PdfDocument(data)
        self._document.init_forms()
        self._form: Any = self._document.formenv.raw

    def fill(self, answers: Typed) -> None:
        """Click at every field that is named, and type into it or tick its box."""
        for page, annotation, name in self._fields():
            if name not in answers:
                continue
            kind = pdfium.FPDFAnnot_GetFormFieldType(self._form, annotation)
            if kind == pdfium.FPDF_FORMFIELD_CHECKBOX:
                if answers[name] == self._stands_for(annotation):
                    self._click(page, annotation)
            else:
                self._click(page, annotation)
                pdfium.FORM_SelectAllText(self._form, page)
                pdfium.FORM_ReplaceSelection(self._form, page, _wide(answers[name]))
            pdfium.FORM_ForceToKillFocus(self._form)

    def flatten(self) -> None:
        """Make marks on the page of all that is filled in, as a print to a file does."""
        for number in range(len(self._document)):
            page = self._document[number]
            assert pdfium.FPDFPage_Flatten(page.raw, pdfium.FLAT_NORMALDISPLAY) != 0

    def saved(self) -> bytes:
        """The file."""
        kept = io.BytesIO()
        self._document.save(kept)
        return kept.getvalue()

    def said(self) -> dict[str, str]:
        """What every field says, by its name."""
        return {
            name: self._text(pdfium.FPDFAnnot_GetFormFieldValue, annotation)
            for _, annotation, name in self._fields()
        }

    def _fields(self) -> Iterator[tuple[Any, Any, str]]:
        for number in range(len(self._document)):
            page = self._document[number]
            pdfium.FORM_OnAfterLoadPage(page.raw, self._form)
            for place in range(pdfium.FPDFPage_GetAnnotCount(page.raw)):
                annotation = pdfium.FPDFPage_GetAnnot(page.raw, place)
                yield (
                    page.raw,
                    annotation,
                    self._text(pdfium.FPDFAnnot_GetFormFieldName, annotation),
                )
                pdfium.FPDFPage_CloseAnnot(annotation)

    def _stands_for(self, annotation: Any) -> str:
        return self._text(pdfium.FPDFAnnot_GetFormFieldExportValue, annotation)

    def _text(self, asked: Any, annotation: Any) -> str:
        length = asked(self._form, annotation, None, 0)
        kept = (ctypes.c_ushort * (length // 2))()
        asked(self._form, annotation, kept, length)
        return bytes(kept).decode("utf-16-le").rstrip("\0")

    def _click(self, page: Any, annotation: Any) -> None:
        place = pdfium.FS_RECTF()
        pdfium.FPDFAnnot_GetRect(annotation, place)
        at = ((place.left + place.right) / 2, (place.bottom + place.top) / 2)
        pdfium.FORM_OnMouseMove(self._form, page, 0, *at)
        pdfium.FORM_OnLButtonDown(self._form, page, 0, *at)
        pdfium.FORM_OnLButtonUp(self._form, page, 0, *at)


def _wide(text: str) -> Any:
    written = (text + "\0").encode("utf-16-le")
    return (ctypes.c_ushort * (len(written) // 2)).from_buffer_copy(written)


def by_pdfium(data: bytes, *rounds: Typed) -> bytes:
    """The form with some answers, as somebody types them, round after round."""
    typist = Typist(data)
    for answers in rounds:
        typist.fill(answers)
    return typist.saved()


def said_by_pdfminer(data: bytes) -> dict[str, str]:
    """What every field says, by its name, as pdfminer reads it."""
    document = PDFDocument(PDFParser(io.BytesIO(data)))
    fields: Sequence[Any] = resolve1(resolve1(document.catalog["AcroForm"])["Fields"])
    said: dict[str, str] = {}
    for one in fields:
        field = resolve1(one)
        value = resolve1(field.get("V", b""))
        text = getattr(value, "name", None) or decode_text(value)
        # pypdf writes the name of a box as text, with its slash.
        is_box = getattr(field["FT"], "name", "") == "Btn"
        said[decode_text(field["T"])] = text.removeprefix("/") if is_box else text
    return said
