"""Packing the whole search into one archive and unpacking it, on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from workbench.__main__ import main
from workbench.domain.boat import Boat
from workbench.edits import boats
from workbench.edits.edit import apply
from workbench.store.folder import create_project, open_project, save_project


def folder(place: Path) -> Path:
    """A search with one boat, Ann."""
    opened = create_project(place, "Search")
    edit = boats.add_boat(opened.project, Boat("", "Ann", year=1986))
    project, _ = apply(opened.project, edit)
    save_project(opened.folder, project, opened.project)
    opened.folder.close()
    return place


def test_a_search_is_packed_and_unpacked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "mine")
    assert main(["pack", str(place), "--out", str(tmp_path / "out")]) == 0
    (archive,) = (tmp_path / "out").iterdir()
    assert str(archive) in capsys.readouterr().out

    assert main(["unpack", str(archive), str(tmp_path / "theirs")]) == 0

    assert f"The search lies in {tmp_path / 'theirs'}." in capsys.readouterr().out
    opened = open_project(tmp_path / "theirs")
    opened.folder.close()
    assert [one.boat.name for one in opened.project.boats.values()] == ["Ann"]


def test_private_parts_are_packed_only_when_they_are_asked_for(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "mine"), "--budget", "38000"]) == 0

    for name, more in (("with", ["--with-private"]), ("without", [])):
        assert main(["pack", str(tmp_path / "mine"), "--out", str(tmp_path / name), *more]) == 0
        (archive,) = (tmp_path / name).iterdir()
        assert main(["unpack", str(archive), str(tmp_path / f"{name}-back")]) == 0

    budgets = []
    for name in ("with-back", "without-back"):
        opened = open_project(tmp_path / name)
        opened.folder.close()
        budgets.append(opened.project.settings.budget)
    assert budgets == [38_000, None]


def test_a_file_that_is_no_archive_is_not_unpacked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "letter.zip").write_text("Dear")

    assert main(["unpack", str(tmp_path / "letter.zip"), str(tmp_path / "mine")]) == 1

    assert "letter.zip: It is no archive" in capsys.readouterr().err
    assert not (tmp_path / "mine").exists()
