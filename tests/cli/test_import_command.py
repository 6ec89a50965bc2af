"""`import` shows what a file would change and, when told to, takes it in and saves it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.test_commands import folder
from tests.figures.small_yard import small_catalogue
from tests.reports.incoming.filling import ROBIN, as_file, filled, form
from workbench.__main__ import main
from workbench.domain.project import Project
from workbench.store.folder import open_project

TABLE = "Name;Built;Asking;Lies at\nZoe;1986;24500 EUR;North Yard\n"


@pytest.fixture(autouse=True)
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """The small catalogue stands in for the shipped one."""
    monkeypatch.setattr("workbench.catalogue.loading.load", lambda _: small_catalogue())


def on_disk(place: Path) -> Project:
    opened = open_project(place)
    opened.folder.close()
    return opened.project


def files(place: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(place)): path.read_bytes()
        for path in sorted(place.rglob("*"))
        if path.is_file()
    }


def test_a_preview_changes_nothing_on_the_disk(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "s")
    before = files(place)

    assert main(["import", str(place), str(as_file(tmp_path, TABLE.encode(), "boats.csv"))]) == 0

    said = capsys.readouterr().out
    assert "Table of boats: 1 row, 1 change" in said
    assert "Text in UTF-8, columns divided by semicolons." in said
    assert "new boat Zoe 1986, 24,500 EUR" in said
    assert "Nothing was changed. Say --yes to take it in." in said
    assert files(place) == before


def test_with_yes_it_is_taken_in_and_saved_and_a_second_time_changes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "s")
    form_file = as_file(tmp_path, filled(form(), ROBIN))

    assert main(["import", str(place), str(form_file), "--yes"]) == 0
    assert "Taken in and saved." in capsys.readouterr().out
    assert set(on_disk(place).boats["ann"].inspection.readings) == {
        *("bearing", "seacocks", "rigging", "seal"),
    }
    after = files(place)

    assert main(["import", str(place), str(form_file), "--yes"]) == 0
    assert "0 changes, 4 there already" in capsys.readouterr().out
    assert files(place) == after


def test_a_question_is_one_and_is_answered_on_the_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "s")
    table = as_file(tmp_path, b"Name;Asking;Lies at\nZoe;24.500;North\n", "boats.csv")

    assert main(["import", str(place), str(table), "--yes"]) == 1
    said = capsys.readouterr().err
    assert "What is the decimal mark in “24.500”?" in said
    assert "decimal-mark=,: a decimal comma: 24500" in said
    assert set(on_disk(place).boats) == {"ann"}

    assert main(["import", str(place), str(table), "--yes", "--answer", "decimal-mark=,"]) == 0
    asked = on_disk(place).boats["zoe"].boat.asking_price
    assert asked is not None
    assert asked.amount == 24_500


def test_a_cell_that_cannot_be_read_is_one_and_nothing_comes_in_unless_it_is_left_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "s")
    data = filled(form(), {**ROBIN, "bearing/play": {"Value": "a lot"}})
    file = str(as_file(tmp_path, data))

    assert main(["import", str(place), file, "--yes"]) == 1
    said = capsys.readouterr().err
    assert "“a lot” is not a measurement. Write one such as 12.5 mm." in said
    assert "cell D" in said
    assert not on_disk(place).boats["ann"].inspection.readings

    assert main(["import", str(place), file, "--yes", "--leave-out"]) == 0
    assert "rigging" in on_disk(place).boats["ann"].inspection.readings


def test_a_file_that_cannot_be_read_is_one_with_its_name_and_what_to_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "s")
    before = files(place)

    bad = as_file(tmp_path, b"PK\x03\x04 and no more", "form.xlsx")
    assert main(["import", str(place), str(bad), "--yes"]) == 1
    assert main(["import", str(place), str(tmp_path / "none.xlsx"), "--yes"]) == 1

    said = capsys.readouterr().err
    assert "form.xlsx: The file is cut short or damaged" in said
    assert "none.xlsx: It was not read: no such file or directory." in said
    assert files(place) == before


@pytest.mark.parametrize(
    "more", [["--boat", "zoe"], ["--answer", "nothing"], ["--nonsense"]], ids=lambda one: one[0]
)
def test_wrong_use_is_two(more: list[str], tmp_path: Path) -> None:
    file = as_file(tmp_path, TABLE.encode(), "boats.csv")

    assert main(["import", str(folder(tmp_path / "s")), str(file), *more]) == 2
