"""An archive that comes from anybody is opened with care: whole into a new folder, or not at all.

The marks B18 to B40 and P13 are those of the project's reliability goals. What a ZIP holds where is
that of its published format (APPNOTE 6.3.10).
"""

from __future__ import annotations

import io
import itertools
import json
import os
import random
import struct
import warnings
import zipfile
from collections.abc import Mapping
from pathlib import Path

import pytest

from tests.reports.incoming.filling import repacked
from workbench.domain.problem import HardstandError, Severity
from workbench.reports.archive_opening import unpack_search
from workbench.reports.export import Progress, Stopped
from workbench.reports.search_archive import write_archive
from workbench.store.folder import open_project

SAMPLE = Path(__file__).resolve().parents[2] / "sample_projects" / "two-yards-one-spring"


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The sample as an archive."""
    opened = open_project(SAMPLE)
    opened.folder.close()
    out = tmp_path_factory.mktemp("out")
    return write_archive(opened.project, SAMPLE, out, with_private=True).path.read_bytes()


def packed(parts: Mapping[str, bytes], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    kept = io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of a name that stands twice
        with zipfile.ZipFile(kept, "w", method) as archive:
            for name, data in parts.items():
                archive.writestr(zipfile.ZipInfo(name.removesuffix("#2")), data, method)
    return kept.getvalue()


HEAD = json.dumps({"id": "x", "name": "Search", "format_version": [1, 0]}).encode()


def refusal(data: bytes, place: Path) -> str:
    """The message with which an archive is refused; nothing is left, and it is as it was."""
    file = place / "search.zip"
    file.write_bytes(data)

    with pytest.raises(HardstandError) as caught:
        unpack_search(file, place / "back")

    assert os.listdir(place) == ["search.zip"]
    assert file.read_bytes() == data
    (problem,) = caught.value.problems
    assert problem.severity is Severity.REFUSED
    assert problem.where.startswith("search.zip")
    assert problem.remedy
    return problem.message


# --- What is refused ---


@pytest.mark.parametrize(
    "name",
    [
        "../../project.json", "..\\project.json", "/etc/project.json", "C:\\project.json",
        "C:project.json", "boats/../../x", "\\\\host\\share\\x", "boats/ann/photos/../../../../x",
    ],
)  # fmt: skip
def test_b40_a_name_that_leads_out_of_the_folder_is_refused(name: str, tmp_path: Path) -> None:
    message = refusal(packed({"project.json": HEAD, name: b"x"}), tmp_path)

    assert "leads out of it" in message


def test_b19_a_part_that_swells_is_refused_while_it_is_counted(tmp_path: Path) -> None:
    bomb = packed({"project.json": HEAD, "comparables.json": b" " * 15 * 2**20})
    assert len(bomb) < 2**20

    assert "swells far beyond its size" in refusal(bomb, tmp_path)


def test_b19_a_photo_that_swells_is_refused_while_it_is_counted(tmp_path: Path) -> None:
    photo = b"\xff\xd8\xff" + bytes(150 * 2**20)
    bomb = packed({"project.json": HEAD, f"boats/ann/photos/{'a' * 40}.jpg": photo})

    assert "swells far beyond its size" in refusal(bomb, tmp_path)


def test_b13_a_text_that_is_too_long_for_any_search_is_refused(tmp_path: Path) -> None:
    noise = random.Random(3).randbytes(17 * 2**20)

    message = refusal(packed({"project.json": HEAD, "comparables.json": noise}), tmp_path)

    assert "larger than 16 MiB" in message


def test_b19_more_parts_than_any_search_has_are_refused(tmp_path: Path) -> None:
    many = {f"x{number}": b"" for number in range(20_001)}

    message = refusal(packed({"project.json": HEAD, **many}), tmp_path)

    assert "20,000 is the limit" in message


def test_b19_a_list_of_contents_that_would_fill_the_memory_is_not_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    many = packed({"project.json": HEAD, **{f"x{number:0200}": b"" for number in range(40_000)}})
    read: list[object] = []
    monkeypatch.setattr(zipfile, "ZipFile", read.append)

    assert "more than 20,000 parts" in refusal(many, tmp_path)
    assert read == []


def test_b19_what_says_it_is_larger_than_any_search_is_refused(good: bytes, tmp_path: Path) -> None:
    made = bytearray(good)
    at = 0
    while (at := made.find(b"PK\x01\x02", at)) >= 0:
        struct.pack_into("<I", made, at + 24, 2**32 - 2)
        at += 4

    assert "larger than 32 GiB" in refusal(bytes(made), tmp_path)


@pytest.mark.parametrize("stated", [10, 10_000_000])
def test_b20_a_part_that_lies_about_its_length_is_refused(stated: int, tmp_path: Path) -> None:
    made = bytearray(packed({"project.json": HEAD}))
    struct.pack_into("<I", made, made.find(b"PK\x01\x02") + 24, stated)

    message = refusal(bytes(made), tmp_path)

    assert "not as long as the archive says" in message or "damaged" in message


def test_b20_parts_that_lie_over_each_other_are_refused(good: bytes, tmp_path: Path) -> None:
    made = bytearray(good)
    first = made.find(b"PK\x01\x02")
    second = made.find(b"PK\x01\x02", first + 4)
    (offset,) = struct.unpack_from("<I", made, first + 42)
    struct.pack_into("<I", made, second + 42, offset)

    assert "lie over each other" in refusal(bytes(made), tmp_path)


def test_b33_a_part_that_is_locked_is_refused(tmp_path: Path) -> None:
    made = bytearray(packed({"project.json": HEAD}))
    struct.pack_into("<H", made, made.find(b"PK\x01\x02") + 8, 1)

    assert "locked by a password" in refusal(bytes(made), tmp_path)


def test_b59_a_part_that_is_a_link_is_refused(tmp_path: Path) -> None:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w") as archive:
        archive.writestr("project.json", HEAD)
        link = zipfile.ZipInfo("boats/ann/boat.json")
        link.create_system, link.external_attr = 3, 0o120777 << 16
        archive.writestr(link, "/etc/passwd")

    assert "link to some other place" in refusal(kept.getvalue(), tmp_path)


@pytest.mark.parametrize("twin", ["project.json#2", "Project.json", "PROJECT.JSON"])
def test_two_parts_of_one_name_are_refused(twin: str, tmp_path: Path) -> None:
    """On a disk that minds no case one would take the other's place."""
    message = refusal(packed({"project.json": HEAD, twin: b"{}"}), tmp_path)

    assert "the same name" in message


@pytest.mark.parametrize("keep", [0.0, 0.3, 0.9, 0.999])
def test_b39_an_archive_cut_short_is_refused(keep: float, good: bytes, tmp_path: Path) -> None:
    message = refusal(good[: int(len(good) * keep)], tmp_path)

    assert "cut short or damaged" in message


def test_b39_a_part_whose_sum_does_not_agree_is_refused(good: bytes, tmp_path: Path) -> None:
    made = bytearray(good)
    made[200] ^= 0xFF  # in the bytes of the first photo

    assert "damaged" in refusal(bytes(made), tmp_path)


@pytest.mark.parametrize("start", [b"%PDF-1.7", b"Rar!\x1a\x07", b"{}", b"\xff\xd8\xff"])
def test_b34_other_files_are_refused(start: bytes, tmp_path: Path) -> None:
    assert "no archive" in refusal(start + bytes(500), tmp_path)


def test_an_archive_of_something_else_is_refused(tmp_path: Path) -> None:
    message = refusal(packed({"letter.txt": b"Dear", "[Content_Types].xml": b"<x/>"}), tmp_path)

    assert "no search" in message


@pytest.mark.parametrize("kind", ["folder", "pipe", "missing"])
def test_b18_what_is_no_file_is_refused_without_waiting(kind: str, tmp_path: Path) -> None:
    place = tmp_path / "search.zip"
    if kind == "folder":
        place.mkdir()
    elif kind == "pipe":
        os.mkfifo(place)

    with pytest.raises(HardstandError):
        unpack_search(place, tmp_path / "back")

    assert not (tmp_path / "back").exists()


@pytest.mark.parametrize("seed", range(150))
def test_whatever_happened_to_its_bytes_it_opens_or_is_refused_in_words(
    seed: int, good: bytes, tmp_path: Path
) -> None:
    dice = random.Random(seed)
    made = bytearray(repacked(good, {}) if seed % 2 else good)
    tail = len(made) - 2_500  # most of the ways to be wrong are in the list of contents
    for _ in range(dice.randint(1, 12)):
        made[dice.randrange(tail if dice.random() < 0.7 else 0, len(made))] = dice.randrange(256)
    (tmp_path / "search.zip").write_bytes(made)

    try:
        back = unpack_search(tmp_path / "search.zip", tmp_path / "back")
    except HardstandError:
        assert os.listdir(tmp_path) == ["search.zip"]
    else:
        opened = open_project(back.place)
        opened.folder.close()
    assert set(os.listdir(tmp_path)) <= {"back", "search.zip"}


# --- What is taken ---


def test_a_search_packed_by_hand_opens_with_the_folder_around_it(tmp_path: Path) -> None:
    parts = {
        f"my search/{path.relative_to(SAMPLE).as_posix()}": path.read_bytes()
        for path in SAMPLE.rglob("*")
        if path.is_file()
    }
    parts |= {
        "__MACOSX/my search/._project.json": b"x",
        "my search/.DS_Store": b"x",
        "my search/exports/2026-05-01 Offer.pdf": b"%PDF-1.7",
        "my search/.tx-0123456789abcdef-0/journal.json": b"{}",
        "my search/boats/Not An Id/boat.json": b"{}",
    }
    (tmp_path / "search.zip").write_bytes(packed(parts))

    back = unpack_search(tmp_path / "search.zip", tmp_path / "back")

    assert [one.message for one in back.problems] == [
        "5 of its parts belong to no search and stayed out."
    ]
    opened = open_project(back.place)
    opened.folder.close()
    assert opened.problems == ()
    assert len(opened.project.boats) == 4
    assert sorted(os.listdir(back.place)) == ["boats", "comparables.json", "project.json"]


def test_p13_what_only_calls_itself_a_photo_stays_out(tmp_path: Path) -> None:
    photos = "boats/ann/photos"
    parts = {
        "project.json": HEAD,
        "boats/ann/boat.json": b'{"id": "ann", "name": "Ann"}',
        f"{photos}/{'a' * 40}.jpg": b"MZ a program",
        f"{photos}/{'b' * 40}.jpg": b"\xff\xd8\xff\xe0 a photo",
        "boats/ann/documents/run.exe": b"MZ a program",
    }
    (tmp_path / "search.zip").write_bytes(packed(parts))

    back = unpack_search(tmp_path / "search.zip", tmp_path / "back")

    assert os.listdir(back.place / photos) == [f"{'b' * 40}.jpg"]
    assert not (back.place / "boats" / "ann" / "documents").exists()
    assert len(back.problems) == 2


def test_a_damaged_file_of_the_search_is_for_the_opening_to_tell(tmp_path: Path) -> None:
    (tmp_path / "search.zip").write_bytes(packed({"project.json": b"{"}))

    back = unpack_search(tmp_path / "search.zip", tmp_path / "back")

    assert (back.place / "project.json").read_bytes() == b"{"


def test_v1_a_search_of_a_newer_version_is_unpacked_as_it_is(tmp_path: Path) -> None:
    newer = b'{"id": "x", "name": "Search", "format_version": [9, 0], "later": 1.10}'
    (tmp_path / "search.zip").write_bytes(packed({"project.json": newer}))

    back = unpack_search(tmp_path / "search.zip", tmp_path / "back")

    assert (back.place / "project.json").read_bytes() == newer


def test_v2_unknown_fields_come_back(tmp_path: Path) -> None:
    later = b'{"id": "x", "name": "Search", "format_version": [1, 7], "later": 1.10}'
    (tmp_path / "search.zip").write_bytes(packed({"project.json": later}))

    back = unpack_search(tmp_path / "search.zip", tmp_path / "back")

    written = (back.place / "project.json").read_text()
    assert '"later": 1.10' in written
    assert '"id": "x"' not in written


def test_a_folder_that_is_taken_is_left_alone(good: bytes, tmp_path: Path) -> None:
    (tmp_path / "search.zip").write_bytes(good)
    (tmp_path / "back").mkdir()
    (tmp_path / "back" / "letter.txt").write_text("Dear")

    with pytest.raises(HardstandError, match="Something is there already"):
        unpack_search(tmp_path / "search.zip", tmp_path / "back")

    assert os.listdir(tmp_path / "back") == ["letter.txt"]
    assert sorted(os.listdir(tmp_path)) == ["back", "search.zip"]


def test_a_stop_at_any_step_leaves_nothing(good: bytes, tmp_path: Path) -> None:
    (tmp_path / "search.zip").write_bytes(good)
    moved: list[Progress] = []
    unpack_search(tmp_path / "search.zip", tmp_path / "whole", progress=moved.append)
    assert [one.done for one in moved] == list(range(moved[0].of))

    for step in range(len(moved)):
        asked = itertools.count()
        with pytest.raises(Stopped):
            unpack_search(
                tmp_path / "search.zip",
                tmp_path / "back",
                stop=lambda step=step, asked=asked: next(asked) >= step,  # type: ignore[misc]
            )
        assert sorted(os.listdir(tmp_path)) == ["search.zip", "whole"]
