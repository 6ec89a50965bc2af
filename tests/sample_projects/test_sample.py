"""The sample is what its script writes, is whole, and shows every kind of fit-out."""

from __future__ import annotations

import runpy
from pathlib import Path

import pytest

from workbench.catalogue.loading import load
from workbench.domain.vocabulary import Grade
from workbench.figures.assess import assess
from workbench.figures.assessment import Assessment
from workbench.store.attachments import photo_is_whole
from workbench.store.folder import open_project

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "sample_projects" / "two-yards-one-spring"


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder by its name."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_the_sample_is_fresh(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run packaging/sample_project.py again after a change of the catalogue or of the records."""
    monkeypatch.syspath_prepend(str(ROOT / "packaging"))
    script = runpy.run_path(str(ROOT / "packaging" / "sample_project.py"))

    script["main"]([str(tmp_path / "again")])

    made, kept = contents(tmp_path / "again"), contents(SAMPLE)
    assert sorted(made) == sorted(kept)
    assert [name for name in made if made[name] != kept[name]] == []


@pytest.fixture(scope="module")
def assessment() -> Assessment:
    opened = open_project(SAMPLE)
    opened.folder.close()
    assert opened.problems == ()
    return assess(opened.project, load())


def test_the_four_boats_differ_in_what_drives_them(assessment: Assessment) -> None:
    drives = {
        (boat.candidate.boat.facts["drive"], boat.candidate.boat.facts["propeller"])
        for boat in assessment.boats.values()
    }

    assert drives == {
        ("shaft-strut", "fixed-three"),
        ("shaft-skeg", "fixed-two"),
        ("saildrive", "folding"),
        ("shaft-skeg", "feathering"),
    }
    assert assessment.boats["old-barnaby"].candidate.boat.facts["line-cutter"] == "scissor"


def test_a_saildrive_boat_is_asked_about_her_leg_and_not_about_a_strut(
    assessment: Assessment,
) -> None:
    saildrive, strut = assessment.boats["linden-lea"], assessment.boats["marigold-rae"]

    assert saildrive.finding("saildrive-oil") is not None
    assert saildrive.finding("strut-shake") is None
    assert strut.finding("strut-shake") is not None
    assert strut.finding("saildrive-oil") is None


def test_the_sample_has_work_quotes_photos_doubts_and_comparables(assessment: Assessment) -> None:
    boat = assessment.boats["marigold-rae"]
    counts = boat.coverage.grades

    assert min(counts[grade] for grade in (Grade.SOUND, Grade.WORN, Grade.DUE, Grade.UNSEEN)) > 4
    assert any(line.quote is not None for line in boat.lines)
    assert any(line.own_work for line in boat.lines)
    finding = boat.finding("stern-bearing-play")
    assert finding is not None
    assert finding.disagree
    assert boat.offer.anchor.from_comparables
    assert boat.problems == ()


def test_every_boat_of_the_sample_has_a_quote_and_photos(assessment: Assessment) -> None:
    for boat in assessment.boats.values():
        assert any(line.quote is not None for line in boat.lines), boat.id
        assert boat.candidate.inspection.photos, boat.id


def test_every_photo_of_the_sample_is_whole() -> None:
    opened = open_project(SAMPLE)
    try:
        photos = [
            (boat_id, photo)
            for boat_id, candidate in opened.project.boats.items()
            for photo in candidate.inspection.photos.values()
        ]
        assert len(photos) > 10
        assert all(photo_is_whole(opened.folder, boat_id, photo) for boat_id, photo in photos)
    finally:
        opened.folder.close()


def test_opening_the_sample_changes_no_byte_of_it() -> None:
    before = contents(SAMPLE)

    open_project(SAMPLE).folder.close()

    assert contents(SAMPLE) == before
