"""The whole search as one archive: it opens again with the same figures, and tells no secret.

The marks P1 to P4 and B19 to B40 are those of the project's reliability goals.
"""

from __future__ import annotations

import ast
import dataclasses
import getpass
import json
import os
import re
import socket
import zipfile
from decimal import Decimal
from pathlib import Path

import pytest

from tests.reports.invented import BARNABY, DAY, MARIGOLD, done, jpeg, reading, two_boats
from tests.reports.test_privacy import (
    TELLING,
    Canary,
    amount_spellings,
    holds_amount,
    planted,
    spellings,
    telling_jpeg,
)
from workbench.catalogue.loading import load
from workbench.domain import boat as boat_records
from workbench.domain import inspection as inspection_records
from workbench.domain import ledger as ledger_records
from workbench.domain import project as project_records
from workbench.domain import settings as settings_records
from workbench.domain.boat import Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Photo
from workbench.domain.ledger import Quote
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.vocabulary import Status
from workbench.edits import costing, inspecting
from workbench.edits.edit import Edit, Put
from workbench.figures.assess import assess
from workbench.reports import shared_search
from workbench.reports.archive_opening import unpack_search
from workbench.reports.export import Progress, Stopped
from workbench.reports.search_archive import write_archive
from workbench.store.attachments import add_document, add_photo, photo_is_whole
from workbench.store.folder import create_project, open_project, save_project

SAMPLE = Path(__file__).resolve().parents[2] / "sample_projects" / "two-yards-one-spring"


def sample() -> Project:
    opened = open_project(SAMPLE)
    opened.folder.close()
    return opened.project


def in_folder(place: Path, project: Project, photos: dict[str, bytes]) -> Path:
    """A saved search with photos, and with what no archive should carry."""
    opened = create_project(place, project.name, project_id=project.id)
    save_project(opened.folder, project, opened.project)
    opened.folder.close()
    held = place / "boats" / MARIGOLD / "photos"
    held.mkdir(parents=True, exist_ok=True)
    for name, data in photos.items():
        (held / name).write_bytes(data)
    for path in (
        "exports/2026-05-01 Comparison, Zqexported.pdf",
        "trash/boats/ann/photos/Zqtrash.jpg",
        ".tx-0123456789abcdef-00000000/journal.json",
        "project (mine 20260501T120000Z).json",
        f"boats/{MARIGOLD}/boat.sync-conflict-20260501-120000.json",
        f"boats/{MARIGOLD}/photos/{'0' * 40}.jpg",
        "notes of mine.txt",
    ):
        (place / path).parent.mkdir(parents=True, exist_ok=True)
        (place / path).write_bytes(b"Zqleft-behind " + jpeg())
    return place


def contents(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


# --- There and back ---


def test_the_sample_comes_back_with_the_same_figures_bit_for_bit(tmp_path: Path) -> None:
    project, catalogue = sample(), load()

    packed = write_archive(project, SAMPLE, tmp_path / "out", with_private=True, on=DAY)
    back = unpack_search(packed.path, tmp_path / "back")
    opened = open_project(back.place)
    opened.folder.close()

    assert (packed.problems, back.problems, opened.problems) == ((), (), ())
    assert dataclasses.replace(opened.project, id=project.id) == project
    before, after = assess(project, catalogue), assess(opened.project, catalogue)
    assert after.boats == before.boats
    for boat_id, one in before.boats.items():
        other = after.boats[boat_id]
        for name in ("asking", "deferred", "allowance", "cost_to_ready", "work", "offer", "claim"):
            assert repr(getattr(other, name)) == repr(getattr(one, name))
    for boat_id, candidate in opened.project.boats.items():
        for photo in candidate.inspection.photos.values():
            assert photo_is_whole(opened.folder, boat_id, photo)
            path = f"boats/{boat_id}/photos/{photo.file}"
            assert (back.place / path).read_bytes() == (SAMPLE / path).read_bytes()


def test_without_private_parts_every_grade_and_repair_price_is_the_same(tmp_path: Path) -> None:
    project, catalogue = sample(), load()

    packed = write_archive(project, SAMPLE, tmp_path / "out", on=DAY)
    opened = open_project(unpack_search(packed.path, tmp_path / "back").place)
    opened.folder.close()

    assert opened.problems == ()
    before, after = assess(project, catalogue), assess(opened.project, catalogue)
    for boat_id, one in before.boats.items():
        other = after.boats[boat_id]
        grades = [(finding.check.id, finding.grade) for finding in one.findings]
        assert [(finding.check.id, finding.grade) for finding in other.findings] == grades
        own = [c for c in one.candidate.ledger.changes.values() if c.own_work]
        if not own:  # what the buyer would do alone is priced as a yard's work for somebody else
            assert repr(other.deferred) == repr(one.deferred)
    shown = [p for c in opened.project.boats.values() for p in c.inspection.photos.values()]
    assert len(shown) == sum(
        not p.private for c in project.boats.values() for p in c.inspection.photos.values()
    )
    for boat_id, candidate in opened.project.boats.items():
        for photo in candidate.inspection.photos.values():
            assert photo_is_whole(opened.folder, boat_id, photo)


def test_the_search_that_was_unpacked_has_a_name_of_its_own(tmp_path: Path) -> None:
    """So that two folders of one machine do not share their backups."""
    packed = write_archive(sample(), SAMPLE, tmp_path, with_private=True)

    ids = [
        json.loads((unpack_search(packed.path, tmp_path / name).place / "project.json").read_text())
        for name in ("one", "two")
    ]

    assert len({ids[0]["id"], ids[1]["id"], sample().id}) == 3


@pytest.mark.parametrize("with_private", [True, False])
def test_the_same_search_gives_the_same_bytes(with_private: bool, tmp_path: Path) -> None:
    made = [
        write_archive(sample(), SAMPLE, tmp_path / name, with_private=with_private, on=DAY).path
        for name in ("one", "two")
    ]

    assert made[0].read_bytes() == made[1].read_bytes()
    assert made[0].name == "2026-05-10 Whole search, Two yards, one spring.zip"
    with zipfile.ZipFile(made[0]) as archive:
        assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert not any(info.extra or info.comment for info in archive.infolist())


@pytest.mark.parametrize("with_private", [True, False])
def test_only_the_files_of_a_search_go_along(with_private: bool, tmp_path: Path) -> None:
    project, _, shelf = planted()
    folder = in_folder(tmp_path / "search", project, shelf.photos)

    packed = write_archive(project, folder, tmp_path / "out", with_private=with_private, on=DAY)

    found = contents(packed.path)
    ours = re.compile(
        r"project\.json|comparables\.json|overrides/prices\.json|overrides/checks/[a-z0-9-]+\.toml"
        r"|boats/[a-z0-9-]+/(boat|inspection|ledger)\.json"
        r"|boats/[a-z0-9-]+/(photos|documents)/[0-9a-f]{40}\.[a-z]{3,4}"
    )
    assert [name for name in found if not ours.fullmatch(name)] == []
    assert not any(b"Zqleft-behind" in data for data in found.values())
    assert f"boats/{MARIGOLD}/photos/{'0' * 40}.jpg" not in found


def test_documents_go_along_with_private_parts_only(tmp_path: Path) -> None:
    opened = create_project(tmp_path / "search", "Search")
    project = dataclasses.replace(two_boats(photos=False), id=opened.project.id)
    document = add_document(opened.folder, MARIGOLD, b"%PDF-1.7 to Robin, Wharf Lane", "quote.pdf")
    quote = Quote(
        "q9",
        "North Yard",
        Money(Decimal(640), "USD"),
        document=document.file,
    )
    project = done(project, [costing.put_quote(project, MARIGOLD, quote)])
    opened.folder.close()

    path = f"boats/{MARIGOLD}/documents/{document.file}"
    everything = write_archive(project, tmp_path / "search", tmp_path / "a", with_private=True)
    without = write_archive(project, tmp_path / "search", tmp_path / "b")

    assert contents(everything.path)[path].startswith(b"%PDF-1.7")
    assert path not in contents(without.path)
    assert document.file not in repr(contents(without.path))


# --- What stays inside ---


ALLOWED = {
    "project name", "comparable title", "comparable source", "comparable price", "hull number",
    "other boat", "loose photo caption", "overruling reason", "equipment note",
}  # fmt: skip
"""What the canaries of the sheets cover and a search without private parts may say."""


def everything_in(path: Path) -> list[bytes]:
    """The archive raw, its names, every part, and every JSON text as it reads."""
    found = contents(path)
    texts = [
        json.dumps(json.loads(data), ensure_ascii=False).encode()
        for name, data in found.items()
        if name.endswith(".json")
    ]
    return [
        path.read_bytes(),
        path.name.encode(),
        *(n.encode() for n in found),
        *found.values(),
        *texts,
    ]


def secrets_in(path: Path, canary: Canary) -> set[str]:
    hay = everything_in(path)
    found = {
        of
        for of, word in canary.words.items()
        if any(spelled in one for spelled in spellings(word) for one in hay)
    }
    texts = [data for name, data in contents(path).items() if not name.endswith(".jpg")]
    for of, amount in canary.amounts.items():
        if any(holds_amount(text, one) for text in texts for one in amount_spellings(amount)):
            found.add(of)
    return found


def test_without_private_parts_no_byte_tells_a_secret(tmp_path: Path) -> None:
    """P1, P2, P4."""
    project, canary, shelf = planted()
    folder = in_folder(tmp_path / canary.word("folder name"), project, shelf.photos)
    for of, word in (
        ("user", getpass.getuser()), ("host", socket.gethostname()), ("home", str(Path.home())),
        ("place", str(tmp_path)), ("name of a file", "IMG_0001"), ("who looked", "Robin"),
    ):  # fmt: skip
        canary.words[of] = word

    packed = write_archive(project, folder, tmp_path / "out", on=DAY)

    assert secrets_in(packed.path, canary) - ALLOWED - {"user"} == set()
    texts = [data for name, data in contents(packed.path).items() if not name.endswith(".jpg")]
    user = canary.words["user"].encode()
    assert len(user) < 4 or not any(user in text for text in texts)


def test_with_private_parts_they_are_all_there(tmp_path: Path) -> None:
    """The search for secrets can fail: it finds what was asked to go along."""
    project, canary, shelf = planted()
    folder = in_folder(tmp_path / "search", project, shelf.photos)

    packed = write_archive(project, folder, tmp_path / "out", with_private=True, on=DAY)

    assert secrets_in(packed.path, canary) == {*canary.words, *canary.amounts}


def test_photos_are_pixels_alone_without_private_parts(tmp_path: Path) -> None:
    """P3: place, camera, names and times that a camera wrote are in no byte."""
    opened = create_project(tmp_path / "search", "Search")
    photo = add_photo(opened.folder, MARIGOLD, telling_jpeg(), "Kanariname.jpg")
    opened.folder.close()
    project = with_photo(two_boats(photos=False), photo)

    without = write_archive(project, tmp_path / "search", tmp_path / "a", on=DAY)
    with_all = write_archive(project, tmp_path / "search", tmp_path / "b", with_private=True)

    hay = everything_in(without.path)
    assert not any(sign in one for sign in TELLING for one in hay)
    assert any(b"GPS" in one or b"Kanarimaker" in one for one in everything_in(with_all.path))
    back = open_project(unpack_search(without.path, tmp_path / "back").place)
    back.folder.close()
    (kept,) = back.project.boats[MARIGOLD].inspection.photos.values()
    read = back.project.boats[MARIGOLD].inspection.readings["bearing"][-1]
    assert read.photos == (kept.id,)
    assert photo_is_whole(back.folder, MARIGOLD, kept)
    assert kept.original_name == ""


def with_photo(project: Project, photo: Photo) -> Project:
    put = Put(("boats", MARIGOLD, "inspection", "photos", photo.id), photo)
    bearing = reading({"play": Quantity(Decimal("1.2"), "mm")}, photos=(photo.id,))
    return done(
        done(project, [Edit("Add photo", (put,))]),
        [inspecting.record_reading(project, MARIGOLD, "bearing", bearing)],
    )


def test_a_photo_that_cannot_be_shown_is_told_and_left_out(tmp_path: Path) -> None:
    project, _, shelf = planted()
    names = [
        one.file for one in project.boats[MARIGOLD].inspection.photos.values() if not one.private
    ]
    folder = in_folder(tmp_path / "search", project, shelf.photos)
    held = folder / "boats" / MARIGOLD / "photos"
    (held / names[0]).unlink()
    (held / names[1]).write_bytes(jpeg()[:300])

    packed = write_archive(project, folder, tmp_path / "out", on=DAY)

    words = {one.where.rpartition("/")[2]: one.message for one in packed.problems}
    assert words == {names[0]: "The file is missing.", names[1]: "The photo cannot be read."}
    opened = open_project(unpack_search(packed.path, tmp_path / "back").place)
    opened.folder.close()
    assert opened.project.boats[MARIGOLD].inspection.photos == FrozenMap()
    assert opened.problems == ()


def test_two_people_stay_two_and_neither_is_named() -> None:
    project = two_boats(photos=False)
    other = reading({"sound": "quiet"}, by="Kim")
    project = done(project, [inspecting.record_reading(project, MARIGOLD, "bearing", other)])

    shared = shared_search.shared_search(project, {})

    assert [one.by for one in shared.boats[MARIGOLD].inspection.readings["bearing"]] == [
        "Person 1",
        "Person 2",
    ]
    assert shared.boats[BARNABY].inspection.readings["seacock"][0].by == "Person 1"


def test_that_an_offer_was_made_is_not_told() -> None:
    project = two_boats(photos=False)
    held = project.boats[MARIGOLD]
    made = dataclasses.replace(held.boat, status=Status.OFFER_MADE)
    project = dataclasses.replace(
        project, boats=project.boats.set(MARIGOLD, dataclasses.replace(held, boat=made))
    )

    assert shared_search.shared_search(project, {}).boats[MARIGOLD].boat.status is Status.LOOKING


INSIDE = {
    "Project": {"extra"},
    "Settings": {
        "budget", "confidence", "own_rate", "own_hours_factor", "loan", "yearly_costs",
        "must_haves", "extra",
    },
    "ExchangeRate": {"extra"}, "Tax": {"extra"}, "TaxBand": {"extra"}, "Fee": {"extra"},
    "Comparable": {"note", "extra"}, "PriceOverride": {"note", "extra"}, "Overrides": {"extra"},
    "Candidate": set(),
    "Boat": {
        "distance", "seller", "contact", "status_reason", "listing", "listing_address",
        "private_note", "worth_to_me", "extra",
    },
    "AskingPrice": {"note", "extra"},
    "Inspection": {"extra"}, "Reading": {"private_note", "extra"}, "Overruling": {"extra"},
    "Photo": {"original_name", "private", "extra"}, "PhotoMark": {"extra"},
    "Ledger": {"claims", "offers", "opening", "wording", "extra"},
    "LineChange": {"own_work", "note", "extra"}, "Quote": {"document", "note", "extra"},
    "OwnLine": {"claim_share", "note", "extra"},
}  # fmt: skip
"""What of each record stays inside; a field that is in neither list fails the test below."""


def handed_over() -> dict[str, set[str]]:
    """The fields that `shared_search` passes to each record it makes, read off its source."""
    tree = ast.parse(Path(shared_search.__file__).read_text(encoding="utf-8"))
    found: dict[str, set[str]] = {}
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in INSIDE
        ):
            kind = kind_called(node.func.id)
            names = [one.name for one in dataclasses.fields(kind)]
            given = set(names[: len(node.args)]) | {one.arg or "" for one in node.keywords}
            found[node.func.id] = given
    return found


def kind_called(name: str) -> type[Boat]:
    for module in (
        boat_records, inspection_records, ledger_records, project_records, settings_records,
    ):  # fmt: skip
        if hasattr(module, name):
            kind: type[Boat] = getattr(module, name)
            return kind
    raise LookupError(name)


@pytest.mark.parametrize("name", INSIDE)
def test_of_every_field_it_is_settled_whether_it_goes_along(name: str) -> None:
    """P1: a field that is added to a record stays inside until somebody settles it here."""
    fields = {one.name for one in dataclasses.fields(kind_called(name))}

    assert handed_over()[name] == fields - INSIDE[name]


# --- Whole or not at all ---


@pytest.mark.parametrize("with_private", [True, False])
def test_a_stop_at_any_step_leaves_nothing(with_private: bool, tmp_path: Path) -> None:
    moved: list[Progress] = []
    write_archive(
        sample(), SAMPLE, tmp_path / "whole", with_private=with_private, progress=moved.append
    )
    assert [one.done for one in moved] == list(range(moved[0].of))

    for step in range(len(moved)):
        asked = iter(range(1_000))
        with pytest.raises(Stopped):
            write_archive(
                sample(),
                SAMPLE,
                tmp_path / "out",
                with_private=with_private,
                stop=lambda step=step, asked=asked: next(asked) >= step,  # type: ignore[misc]
            )
        assert os.listdir(tmp_path / "out") == []


def test_where_it_cannot_be_written_nothing_is_left(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a letter")

    with pytest.raises(OSError, match=r"."):
        write_archive(sample(), SAMPLE, tmp_path / "taken" / "out")

    assert (tmp_path / "taken").read_text() == "a letter"


def test_a_second_archive_of_the_day_gets_a_number(tmp_path: Path) -> None:
    names = [write_archive(sample(), SAMPLE, tmp_path, on=DAY).path.name for _ in range(2)]

    assert names[1] == names[0].replace(".zip", " 2.zip")
