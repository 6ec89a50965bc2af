"""Names of what is handed out suit every system, and nothing is overwritten (C12, L7)."""

from __future__ import annotations

import errno
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.store.memory_files import Fault, MemoryFiles
from tests.store.samples import ROOT, memory_place, saved_sample
from workbench.store.errors import NotSavedError
from workbench.store.exports import LONGEST_NAME_BYTES, export_name, place_export, plain_name

DAY = date(2026, 5, 31)


def test_an_export_is_named_by_day_and_title() -> None:
    assert export_name("Offer for Sea Otter", DAY, "pdf") == "2026-05-31 Offer for Sea Otter.pdf"


# The device names and refused signs are those of Microsoft's page "Naming Files, Paths, and
# Namespaces"; the superscript digits are listed there too.
@pytest.mark.parametrize(
    "name", ["CON", "prn", "Aux", "nul.txt", "COM1", "lpt9.pdf", "COM¹", "LPT³"]
)
def test_the_name_of_a_device_gets_a_line_before_it(name: str) -> None:
    assert plain_name(name) == f"_{name}"


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ('a<b>c:d"e/f\\g|h?i*j', "a b c d e f g h i j"),
        ("tab\there\nand there", "tab here and there"),
        ("ends with dots. . .", "ends with dots"),
        ("../../etc/passwd", "etc passwd"),
        ("\u202egnp.exe", "gnp.exe"),
        ("  ", "export"),
        ("...", "export"),
        ("CONTAINER", "CONTAINER"),
        ("Größe 日本", "Größe 日本"),
    ],
)
def test_what_some_system_refuses_is_left_out(typed: str, name: str) -> None:
    assert plain_name(typed) == name


@given(st.text(max_size=300))
def test_any_title_makes_a_name_that_fits(title: str) -> None:
    name = export_name(title, DAY, "xlsx")

    assert len(name.encode()) <= LONGEST_NAME_BYTES
    assert name.endswith(".xlsx")
    assert not set(name) & set('<>:"/\\|?*\0\n')
    assert plain_name(name) == name


def test_a_second_export_of_a_name_gets_a_number_and_neither_is_overwritten() -> None:
    opened, _ = saved_sample(memory_place())
    files = opened.folder.files

    places = [place_export(opened.folder, "Offer.pdf", data) for data in (b"1", b"2", b"3")]

    assert [place.rpartition("/")[2] for place in places] == [
        "Offer.pdf",
        "Offer 2.pdf",
        "Offer 3.pdf",
    ]
    assert [files.read(place, 10) for place in places] == [b"1", b"2", b"3"]


def test_an_export_that_fails_leaves_nothing() -> None:
    opened, _ = saved_sample(memory_place())
    files = opened.folder.files
    assert isinstance(files, MemoryFiles)
    files.log.clear()
    files.fault = Fault(2, "error", errno.ENOSPC)
    before = files.tree(ROOT)

    with pytest.raises(NotSavedError):
        place_export(opened.folder, "Offer.pdf", b"data")

    assert files.tree(ROOT) == before
