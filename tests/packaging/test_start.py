"""Starting opens the window, or writes the sheets where there is no display."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest
import start
from system_packages import SetupError

from workbench import cli

ROOT = Path(__file__).resolve().parents[2]
SCRIPTS = ("start.py", "check.py", "benchmark.py")
# Wording as GNU ldd prints it; the selection is our own.
LDD_OUTPUT = """\
\tlibxcb-cursor.so.0 => /usr/lib/x86_64-linux-gnu/libxcb-cursor.so.0 (0x00007f1c2a0)
\tlibxcb-icccm.so.4 => not found
\tlibxcb-keysyms.so.1 => not found
\tlibxcb-icccm.so.4 => not found
\tlibc.so.6 => /lib/x86_64-linux-gnu/libc.so.6 (0x00007f1c299)
"""


class Started:
    """Stands in for running the program; notes how it was started."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, sheets: tuple[str, ...] = ()) -> None:
        self.arguments: list[str] = []
        self.extra: dict[str, str] = {}
        self.sheets = sheets
        monkeypatch.setattr(start, "prepare", lambda _purpose, _steps: Path(sys.executable))
        monkeypatch.setattr(start, "run_program", self.run)

    def run(self, _python: Path, arguments: list[str], **extra: str) -> int:
        """Note the arguments; write the sheets that an export would write."""
        self.arguments, self.extra = arguments, extra
        if "--out" in arguments:
            folder = Path(arguments[arguments.index("--out") + 1])
            for name in self.sheets:
                (folder / name).touch()
        return 0


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """Return a folder that looks like a project."""
    folder = tmp_path / "my-search"
    folder.mkdir()
    (folder / "project.json").write_text("{}", encoding="utf-8")
    return folder


@pytest.fixture
def no_display(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take the display away."""
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)


@pytest.mark.parametrize("script", SCRIPTS)
def test_an_older_python_is_refused_in_one_sentence(script: str) -> None:
    code = (
        "import runpy, sys; sys.version_info = (3, 10, 13, 'final', 0); "
        f"runpy.run_path({str(ROOT / 'packaging' / script)!r}, run_name='__main__')"
    )

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr == "Hardstand needs Python 3.11 or newer, and this is Python 3.10.\n"


@pytest.mark.parametrize("script", SCRIPTS)
def test_an_older_python_can_read_as_far_as_the_refusal(script: str) -> None:
    ast.parse((ROOT / "packaging" / script).read_text(encoding="utf-8"), feature_version=(3, 7))


def test_libraries_that_ldd_does_not_find_are_named_once() -> None:
    assert start.libraries_not_found(LDD_OUTPUT) == ["libxcb-icccm.so.4", "libxcb-keysyms.so.1"]


def test_a_named_project_opens_in_a_window_where_there_is_a_display(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    started = Started(monkeypatch)
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.setattr(start, "window_can_open", lambda _python: True)

    assert start.start([str(project), "--read-only"]) == 0

    assert started.arguments == [str(project), "--read-only"]
    assert "QT_QPA_PLATFORM" not in started.extra


@pytest.mark.usefixtures("no_display")
def test_without_a_display_every_sheet_is_written_and_its_place_said(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    started = Started(monkeypatch, sheets=("offer.pdf", "workbook.xlsx"))

    assert start.start([str(project)]) == 0

    folder = Path.home() / "hardstand-sheets" / "my-search"
    assert started.arguments == ["export", str(project), "--out", str(folder)]
    assert started.extra == {"QT_QPA_PLATFORM": "offscreen"}
    said = capsys.readouterr().out
    assert f"The sheets (2) lie in {folder}:\n    offer.pdf\n    workbook.xlsx\n" in said


@pytest.mark.usefixtures("no_display")
def test_without_a_display_and_without_a_sheet_the_start_has_failed(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Started(monkeypatch)

    assert start.start([str(project)]) == 1
    assert list(Path.home().glob("hardstand-sheets/*")) == []


def test_a_display_on_which_no_window_opens_counts_as_none(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    started = Started(monkeypatch, sheets=("offer.pdf",))
    monkeypatch.setenv("DISPLAY", ":987")
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.delenv("QT_QPA_PLATFORM")
    monkeypatch.setattr(start, "missing_window_libraries", lambda _python: [])

    assert start.start([str(project)]) == 0

    assert started.arguments[0] == "export"
    assert "no window can open on it" in capsys.readouterr().out


def test_sheets_written_before_are_left_as_they_are(project: Path) -> None:
    first = start.sheets_folder(project)
    (first / "offer.pdf").write_text("handed out", encoding="utf-8")

    assert start.sheets_folder(project) == first.with_name("my-search-2")
    assert (first / "offer.pdf").read_text(encoding="utf-8") == "handed out"


def test_sheets_go_to_the_documents_where_there_is_such_a_folder(project: Path) -> None:
    (Path.home() / "Documents").mkdir()

    assert start.sheets_folder(project).parent == Path.home() / "Documents" / "hardstand-sheets"


def test_every_word_of_the_command_line_is_known_to_the_start(
    capsys: pytest.CaptureFixture[str],
) -> None:
    cli.run(["--help"])

    listed = re.findall(r"^    ([a-z]+)\b", capsys.readouterr().out, flags=re.MULTILINE)

    assert sorted(listed) == sorted(start.COMMANDS)


@pytest.mark.parametrize("command", start.COMMANDS)
def test_the_words_of_the_command_line_need_no_display(
    command: str, project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    started = Started(monkeypatch)

    assert start.start([command, str(project), "--out", str(project)]) == 0

    assert started.arguments == [command, str(project), "--out", str(project)]


def test_a_folder_that_does_not_exist_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Started(monkeypatch)

    with pytest.raises(SetupError, match="no project folder"):
        start.start([str(tmp_path / "nowhere")])


def test_without_a_name_the_users_own_copy_of_the_sample_opens(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    started = Started(monkeypatch)
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.setattr(start, "window_can_open", lambda _python: True)

    assert start.start([]) == 0

    assert started.arguments == ["--sample"]


def test_the_sample_project_is_found_when_none_is_named(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "ROOT", project.parent / "root")
    with pytest.raises(SetupError, match="no project in the folder sample_projects"):
        start.sample_project()

    sample = project.parent / "root" / "sample_projects" / "three-boats"
    sample.mkdir(parents=True)
    (sample / "project.json").touch()
    assert start.sample_project() == sample


@pytest.mark.parametrize(
    ("error", "code", "sentence"),
    [
        (KeyboardInterrupt(), 130, "Stopped, as you asked."),
        (SetupError("There is no network."), 1, "There is no network."),
    ],
)
def test_whatever_stops_the_start_ends_in_a_sentence(
    error: BaseException,
    code: int,
    sentence: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    def fail(_purpose: str, _steps: int) -> Path:
        raise error

    monkeypatch.setattr(start, "prepare", fail)
    monkeypatch.setattr(sys, "argv", ["start.py"])

    assert start.main() == code
    assert sentence in capsys.readouterr().err
