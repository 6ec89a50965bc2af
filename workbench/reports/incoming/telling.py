"""What a file is by its first bytes, whatever its name says.

A name can be changed; the bytes cannot. Each kind that cannot be read is named, with the way to
make it one that can.
"""

from __future__ import annotations

import io
import zipfile

from workbench.domain.problem import HardstandError

from .cells import refused

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ZIP_STARTS = (b"PK\x03\x04", b"PK\x05\x06", b"PK\x07\x08")
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
_SAVE_AS = "Open it in a spreadsheet program and save it as .xlsx or .csv."
_BYTE_ORDER_MARKS = (b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf")


def kind_of(name: str, data: bytes) -> str:
    """`xlsx`, `csv` or `pdf`.

    Raises
    ------
    HardstandError
        With the kind in words and what to do, for anything else.
    """
    if not data:
        raise refused(name, "The file is empty.", "Save it again where it was filled in.")
    if data.startswith(_ZIP_STARTS):
        return _kind_of_archive(name, data)
    if data.startswith(_OLE):
        raise _old_or_locked(name, data)
    if data[:1024].lstrip().startswith(b"%PDF"):
        return "pdf"
    _refuse_markup_and_pictures(name, data)
    return "csv"


def _old_or_locked(name: str, data: bytes) -> HardstandError:
    if _ENCRYPTED in data:
        return refused(
            name,
            "The workbook is protected by a password to open it.",
            "Open it with its password, save it without one, and bring it in again.",
        )
    return refused(name, "This is a spreadsheet of the old .xls kind.", _SAVE_AS)


def _refuse_markup_and_pictures(name: str, data: bytes) -> None:
    start = data[:2048].lstrip(b"".join(_BYTE_ORDER_MARKS) + b" \t\r\n").lower()
    if start.startswith((b"<!doctype html", b"<html")) or b"<table" in start:
        raise refused(name, "This is a web page (HTML), whatever its name says.", _SAVE_AS)
    if start.startswith((b"<?xml", b"<workbook")):
        raise refused(name, "This is an XML file, not a workbook.", _SAVE_AS)
    if start.startswith(b"{\\rtf"):
        raise refused(name, "This is a text document (RTF), not a table.", _SAVE_AS)
    if start.startswith((b"\x89png", b"gif8", b"\xff\xd8\xff", b"ii*\x00", b"mm\x00*")):
        raise refused(name, "This is a picture.", "Add pictures as photos of a check.")


def _kind_of_archive(name: str, data: bytes) -> str:
    """Tell a workbook from the other things that are packed the same way."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = set(archive.namelist()[:5_000])
            kind = archive.read("mimetype")[:200] if _is_small(archive, "mimetype") else b""
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, OSError, ValueError) as error:
        raise refused(
            name,
            "The file is cut short or damaged: its table of contents cannot be read.",
            "Ask for it again, or save it again where it was filled in.",
        ) from error
    if b"opendocument.spreadsheet" in kind:
        raise refused(name, "This is an OpenDocument spreadsheet (.ods).", _SAVE_AS)
    if b"opendocument" in kind:
        raise refused(name, "This is an OpenDocument file, but no spreadsheet.", _SAVE_AS)
    if "xl/workbook.bin" in members:
        raise refused(name, "This is a binary workbook (.xlsb).", _SAVE_AS)
    if any(member.startswith("word/") for member in members):
        raise refused(name, "This is a text document (.docx), not a table.", _SAVE_AS)
    if any(member.startswith("Index/") for member in members):
        raise refused(name, "This is a spreadsheet of a program that keeps its own kind.", _SAVE_AS)
    if "[Content_Types].xml" not in members:
        raise refused(name, "This is an archive (ZIP), not a workbook.", "Unpack it first.")
    return "xlsx"


def _is_small(archive: zipfile.ZipFile, member: str) -> bool:
    try:
        return archive.getinfo(member).file_size <= 200
    except KeyError:
        return False
