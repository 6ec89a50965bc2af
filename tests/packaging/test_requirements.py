"""The pinned requirements are whole, hashed, in step with their lists, and above the floors.

The marks P9, P11 and P12 are those of the project's reliability goals; the advisories behind the
floors are named in packaging/floors.toml.
"""

from __future__ import annotations

import importlib.metadata
import re
import tomllib
from pathlib import Path
from typing import Any

import lock
import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "packaging"
PINNED_FILES = ("requirements-run.txt", "requirements-check.txt")
LISTS = ("requirements-run.in", "requirements-check.in")
ALLOWED_LINES = re.compile(
    r"# .*"
    r"|[a-z0-9.-]+==[0-9][\w.]*( ; [\w\s\"'.=<>]+)? \\"
    r"|    --hash=sha256:[0-9a-f]{64}( \\)?"
)
HOST = re.compile(r"://|--(extra-)?index|--find-links|--trusted|\b[a-z0-9-]+\.(org|com|io|net)\b")


def floors() -> dict[str, dict[str, Any]]:
    """Return the floors by package name, without the date of the last review."""
    table = tomllib.loads((FOLDER / "floors.toml").read_text(encoding="utf-8"))
    return {name: entry for name, entry in table.items() if isinstance(entry, dict)}


def pins(name: str) -> dict[str, str]:
    """Return the pinned version of each package of a requirements file."""
    return {pin.name: pin.version for pin in lock.read_pins(FOLDER / name)}


def too_old(versions: dict[str, str], floors: dict[str, dict[str, Any]]) -> list[str]:
    """Return the names in ``floors`` whose version is missing or below the floor."""
    return [
        name
        for name, entry in floors.items()
        if name not in versions or Version(versions[name]) < Version(entry["floor"])
    ]


@pytest.mark.parametrize("name", PINNED_FILES)
def test_every_requirement_has_a_hash_p11(name: str) -> None:
    entries = re.split(
        r"^(?=[a-z0-9])", (FOLDER / name).read_text(encoding="utf-8"), flags=re.MULTILINE
    )

    without = [entry for entry in entries[1:] if "--hash=sha256:" not in entry]

    assert len(entries) > 10
    assert without == []


@pytest.mark.parametrize("name", PINNED_FILES)
def test_a_pinned_file_holds_only_pins_and_hashes(name: str) -> None:
    lines = (FOLDER / name).read_text(encoding="utf-8").splitlines()

    assert [line for line in lines if not ALLOWED_LINES.fullmatch(line)] == []


@pytest.mark.parametrize("name", [*PINNED_FILES, *LISTS])
def test_no_requirements_file_names_a_host(name: str) -> None:
    assert HOST.findall((FOLDER / name).read_text(encoding="utf-8")) == []


def test_a_host_would_be_found() -> None:
    assert HOST.search("--extra-index-url somewhere")
    assert HOST.search("thing @ https" + "://example.org/thing.whl")


@pytest.mark.parametrize(("source", "pinned"), list(zip(LISTS, PINNED_FILES, strict=True)))
def test_the_pins_were_made_from_the_list_as_it_is_now(source: str, pinned: str) -> None:
    text = (FOLDER / pinned).read_text(encoding="utf-8")

    assert f"# list sha256:{lock.digest_of_list(FOLDER / source)}\n" in text, (
        f"{source} was changed: run packaging/lock.py"
    )


def test_the_checks_run_with_the_very_packages_that_the_program_runs_with() -> None:
    assert pins("requirements-run.txt").items() <= pins("requirements-check.txt").items()


def test_the_pins_satisfy_what_the_project_declares() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    pinned = pins("requirements-run.txt")

    for text in project["dependencies"]:
        requirement = Requirement(text)
        assert pinned[canonicalize_name(requirement.name)] in requirement.specifier, text


def test_no_pin_is_below_the_floors_p9() -> None:
    assert too_old(pins("requirements-run.txt"), floors()) == []


def test_no_installed_package_is_below_the_floors_p12() -> None:
    installed = {name: importlib.metadata.version(name) for name in floors()}

    assert too_old(installed, floors()) == []


@pytest.mark.parametrize("name", floors())
def test_a_version_below_a_floor_is_found(name: str) -> None:
    assert too_old({name: "0.0.1"}, {name: floors()[name]}) == [name]
    assert too_old({}, {name: floors()[name]}) == [name]


def test_every_floor_says_why() -> None:
    assert all(entry["why"] for entry in floors().values())


def test_what_the_lock_writes_it_reads_again(tmp_path: Path) -> None:
    source = tmp_path / "few.in"
    source.write_text("one  # a reason\ntwo==2.0 ; sys_platform == 'win32'\n", encoding="utf-8")
    first = lock.Pin("one", "1.5")
    second = lock.Pin("two", "2.0", "sys_platform == 'win32'")
    wheels = {
        second: [lock.Wheel(second, "two-2.0-py3-none-any.whl", "b" * 64)],
        first: [
            lock.Wheel(first, "one-1.5-cp311-cp311-win_amd64.whl", "d" * 64),
            lock.Wheel(first, "one-1.5-cp312-cp312-win_amd64.whl", "c" * 64),
        ],
    }

    text = lock.written(source, wheels)
    (tmp_path / "few.txt").write_text(text, encoding="utf-8")

    assert lock.read_pins(tmp_path / "few.txt") == (first, second)
    assert text.count("--hash=sha256:") == 3
    assert all(ALLOWED_LINES.fullmatch(line) for line in text.splitlines())


def test_comments_do_not_change_the_digest_of_a_list(tmp_path: Path) -> None:
    plain, commented = tmp_path / "plain.in", tmp_path / "commented.in"
    plain.write_text("one\ntwo>=2\n", encoding="utf-8")
    commented.write_text("# why\none  # because\n\ntwo>=2\n", encoding="utf-8")

    assert lock.digest_of_list(plain) == lock.digest_of_list(commented)
