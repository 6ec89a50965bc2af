"""The checks all run, whatever one of them says, and pytest's closing line comes last."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import check
import pytest

DAY = datetime.date(2026, 11, 25)


def outcome(part: str, code: int, closing: str = "") -> check.Outcome:
    """Return an outcome of a step that is named like its part."""
    return check.Outcome(check.Step(part, part, ()), code, closing)


@pytest.mark.parametrize(
    ("line", "is_closing"),
    [
        # As pytest 9 prints them.
        ("============ 12 passed in 3.41s ============", True),
        ("=== 1 failed, 12 passed, 3 deselected in 63.41s (0:01:03) ===", True),
        ("12 passed in 3.41s", True),
        ("============ no tests ran in 0.01s ============", True),
        ("1 passed, 2 warnings, 1 error in 0.10s", True),
        ("[ 12%] 12 passed", False),
        ("collected 12 items", False),
        ("12 boats compared in 3 tables", False),
    ],
)
def test_the_closing_line_of_pytest_is_known(line: str, is_closing: bool) -> None:
    assert bool(check.CLOSING_LINE.match(line)) == is_closing


def test_the_closing_line_is_the_last_that_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    closing = "== 12 passed in 3.41s =="

    code = check.summarise([outcome("lint", 0), outcome("tests", 0, closing)])

    assert code == 0
    assert capsys.readouterr().out.splitlines()[-1] == closing


@pytest.mark.parametrize("failing", [0, 1, 2])
def test_one_failing_step_makes_the_whole_fail(
    failing: int, capsys: pytest.CaptureFixture[str]
) -> None:
    parts = ["lint", "types", "tests"]

    code = check.summarise([outcome(part, int(n == failing)) for n, part in enumerate(parts)])

    assert code == 1
    assert "NOT in order" in capsys.readouterr().out


def test_a_step_hands_on_output_exit_code_and_closing_line(
    capsys: pytest.CaptureFixture[str],
) -> None:
    script = "print('\\x1b[32m== 2 passed in 0.10s ==\\x1b[0m'); raise SystemExit(3)"

    result = check.run_step(Path(sys.executable), check.Step("tests", "tests", ("-c", script)))

    assert (result.code, result.closing) == (3, "== 2 passed in 0.10s ==")
    assert "2 passed" in capsys.readouterr().out


def test_every_step_runs_even_after_a_failure(monkeypatch: pytest.MonkeyPatch) -> None:
    ran: list[str] = []

    def fail(_python: Path, step: check.Step) -> check.Outcome:
        ran.append(step.name)
        return check.Outcome(step, 1)

    monkeypatch.setattr(check, "prepare", lambda _purpose, _steps: Path(sys.executable))
    monkeypatch.setattr(check, "ensure", lambda *_arguments: False)
    monkeypatch.setattr(check, "run_step", fail)
    monkeypatch.setattr(sys, "argv", ["check.py"])

    assert check.main() == 1
    assert ran == ["format", "lint", "types", "imports", "tests"]


@pytest.mark.parametrize(
    ("part", "names"),
    [("lint", ["format", "lint"]), ("imports", ["imports"]), ("tests", ["tests"])],
)
def test_a_part_can_be_run_alone(
    part: str, names: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    ran: list[str] = []

    def note(_python: Path, step: check.Step) -> check.Outcome:
        ran.append(step.name)
        return check.Outcome(step, 0)

    monkeypatch.setattr(check, "prepare", lambda _purpose, _steps: Path(sys.executable))
    monkeypatch.setattr(check, "ensure", lambda *_arguments: False)
    monkeypatch.setattr(check, "run_step", note)
    monkeypatch.setattr(sys, "argv", ["check.py", "--only", part])

    assert check.main() == 0
    assert ran == names


def test_unknown_words_go_to_pytest_after_its_own() -> None:
    tests = check.steps([*check.default_pytest_arguments(), "tests/rules", "-x"])[-1]

    assert tests.arguments[-2:] == ("tests/rules", "-x")
    assert tests.arguments[:4] == ("-X", "faulthandler", "-m", "pytest")


def test_a_part_that_takes_no_words_refuses_them(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["check.py", "--only", "types", "tests/rules"])

    with pytest.raises(SystemExit):
        check.main()

    assert "only pytest takes more words: tests/rules" in capsys.readouterr().err


def test_a_review_of_the_advisories_is_asked_for_after_ninety_days(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "floors.toml").write_text(f"reviewed = {DAY}\n", encoding="utf-8")
    monkeypatch.setattr(check, "PACKAGING", tmp_path)

    assert check.floors_note(DAY + datetime.timedelta(days=90)) == ""
    assert "91 days ago" in check.floors_note(DAY + datetime.timedelta(days=91))
