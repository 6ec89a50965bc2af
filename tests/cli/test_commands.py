"""The command line does what the window does, with exit codes that scripts can rely on."""

from __future__ import annotations

import gc
import json
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

from tests.figures.small_yard import small_catalogue
from workbench.__main__ import main
from workbench.catalogue.model import Catalogue
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.money import Money
from workbench.edits import boats
from workbench.edits.edit import apply
from workbench.store.folder import create_project, open_project, save_project

SAMPLE = Path(__file__).resolve().parents[2] / "sample_projects" / "two-yards-one-spring"


@pytest.fixture(autouse=True)
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """The small catalogue stands in for the shipped one."""
    monkeypatch.setattr("workbench.catalogue.loading.load", lambda _: small_catalogue())


def folder(place: Path, currency: str = "USD") -> Path:
    """A search with one boat, Ann."""
    opened = create_project(place, "Search")
    price = AskingPrice(Money(Decimal(20_000), currency))
    edit = boats.add_boat(opened.project, Boat("", "Ann", year=1986, asking=(price,)))
    project, _ = apply(opened.project, edit)
    save_project(opened.folder, project, opened.project)
    opened.folder.close()
    return place


def test_new_makes_a_search_that_opens(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    place = tmp_path / "mine"

    assert main(["new", str(place), "--currency", "EUR", "--budget", "38 000"]) == 0

    opened = open_project(place)
    opened.folder.close()
    assert opened.project.settings.budget == 38_000
    assert "mine" in capsys.readouterr().out


def test_new_refuses_a_folder_with_something_in_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("Dear")

    assert main(["new", str(tmp_path / "mine")]) == 1

    assert "Something is there already" in capsys.readouterr().err
    assert (tmp_path / "mine" / "letter.txt").read_text() == "Dear"


@pytest.mark.parametrize(
    "words",
    [
        ["new", "x", "--currency", "XYZ"],
        ["new", "x", "--budget", "lots"],
        ["new", "x", "--budget", "-1"],
        ["totals"],
        ["--nonsense"],
        ["one", "two"],
    ],
)
def test_wrong_use_is_two_and_says_how_to_do_it(
    words: list[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)

    assert main(words) == 2

    assert capsys.readouterr().err.strip()
    assert not (tmp_path / "x").exists()


def test_totals_as_json_has_every_figure_of_every_boat(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["totals", str(folder(tmp_path / "s")), "--json"]) == 0

    (boat,) = json.loads(capsys.readouterr().out)
    assert boat["id"] == "ann"
    assert (boat["name"], boat["currency"], boat["asking_price"]) == ("Ann", "USD", "20000.00")
    for total in ("deferred_maintenance", "allowance", "cost_to_ready"):
        assert set(boat[total]) == {"mean", "p50", "p80"}
        assert all(Decimal(amount) >= 0 for amount in boat[total].values())
    assert set(boat["offer"]) == {"opening", "target", "walk_away"}
    assert boat["grades"]["unseen"] == boat["checks_not_looked_at"] == 4
    assert boat["checks_looked_at"] == 0


def test_totals_as_a_table_names_the_share_of_the_price(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["totals", str(folder(tmp_path / "s"))]) == 0

    out = capsys.readouterr().out
    assert "deferred" in out
    assert "20,000.00" in out
    assert "0 of 4" in out


def test_a_project_with_problems_is_listed_and_is_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "s", currency="EUR")

    assert main(["check", str(place)]) == 1

    said = capsys.readouterr()
    assert "there is no rate to USD" in said.err
    assert "Add the rate of EUR in the settings." in said.err


def test_a_project_without_problems_is_nought(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(folder(tmp_path / "s"))]) == 0
    assert "1 boats" in capsys.readouterr().out


@pytest.mark.parametrize("command", ["check", "totals"])
def test_a_folder_that_is_no_project_is_one_with_place_and_remedy(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, str(tmp_path)]) == 1
    assert str(tmp_path.name) in capsys.readouterr().err


def test_a_damaged_file_is_named_and_left_as_it_was(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "s")
    file = place / "boats" / "ann" / "boat.json"
    file.write_text('{"id": "ann", ')

    assert main(["check", str(place)]) == 1

    assert "boats/ann/boat.json" in capsys.readouterr().err
    assert file.read_text() == '{"id": "ann", '


def test_export_refuses_a_sheet_or_boat_that_is_not_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = folder(tmp_path / "s")
    out = tmp_path / "out"

    assert main(["export", str(place), "--out", str(out), "--sheet", "poem"]) == 2
    assert "There is no sheet “poem”" in capsys.readouterr().err
    assert main(["export", str(place), "--out", str(out), "--boat", "zoe"]) == 2
    assert "There are: ann" in capsys.readouterr().err


def test_the_word_sample_opens_the_window_on_a_copy_of_the_sample(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[tuple[Path | None, bool]] = []

    def window(folder: Path | None, *, sample: bool = False) -> int:
        asked.append((folder, sample))
        return 0

    monkeypatch.setattr("workbench.window.app.run", window)

    assert main(["--sample"]) == 0
    assert main(["somewhere"]) == 0
    gc.enable()  # the window looks for rubbish again once it is shown

    assert asked == [(None, True), (Path("somewhere"), False)]


def test_a_command_speaks_the_language_that_is_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place, spoken = str(folder(tmp_path / "mine")), []

    def load(language: str) -> Catalogue:
        spoken.append(language)
        return small_catalogue()

    monkeypatch.setattr("workbench.catalogue.loading.load", load)
    main(["check", place, "--language", "de"])
    monkeypatch.setenv("LC_ALL", "de_AT.UTF-8")
    main(["check", place])
    main(["check", place, "--language", "en"])

    assert spoken == ["de", "de", "en"]
    assert main(["check", place, "--language", "xx"]) == 2


@pytest.mark.skipif(sys.platform == "win32", reason="pipes break otherwise there")
def test_who_stops_reading_is_told_nothing() -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "workbench", "totals", str(SAMPLE), "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        child.stdout.close()
        said = child.stderr.read()

    assert (child.returncode, said) == (0, "")
