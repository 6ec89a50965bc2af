"""Missing system packages are installed where that is allowed, and named where it is not."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
import system_packages
from system_packages import SetupError

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the stand-ins are shell scripts")


def quiet(text: str) -> None:
    """Print nothing."""


@pytest.fixture
def tools(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder whose stand-ins for system tools come first, and log how they are called."""
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    monkeypatch.setattr(system_packages, "is_debian_like", lambda: True)
    monkeypatch.setattr(system_packages, "installer", list)
    return tmp_path


def stand_in(folder: Path, name: str, script: str) -> None:
    """Put a shell script in place of a system tool."""
    path = folder / name
    path.write_text(f'#!/bin/sh\necho "{name} $*" >> "{folder}/log"\n{script}\n')
    path.chmod(0o755)


def test_only_what_is_missing_counts_under_either_of_its_names(tools: Path) -> None:
    stand_in(tools, "dpkg-query", "echo 'libgl1 ii '; echo 'libglib2.0-0t64 ii '; exit 1")

    assert system_packages.not_installed(("libgl1", "libglib2.0-0", "libegl1")) == ("libegl1",)


def test_a_package_that_was_removed_counts_as_missing(tools: Path) -> None:
    stand_in(tools, "dpkg-query", "echo 'libgl1 rc '; exit 0")

    assert system_packages.not_installed(("libgl1",)) == ("libgl1",)


def test_the_lists_are_renewed_before_anything_is_installed(tools: Path) -> None:
    stand_in(tools, "apt-get", "exit 0")

    system_packages.install_system_packages(("libgl1", "libegl1"), "Qt", quiet)

    update, install = (tools / "log").read_text(encoding="utf-8").splitlines()
    assert update.endswith(" update")
    assert install.endswith(" install --no-install-recommends libgl1 libegl1")


def test_a_failing_apt_get_is_shown_with_the_line_to_type(tools: Path) -> None:
    stand_in(tools, "apt-get", "echo 'E: Unable to locate package'; exit 100")

    with pytest.raises(SetupError, match="Unable to locate") as caught:
        system_packages.install_system_packages(("libgl1",), "Qt", quiet)

    assert system_packages.apt_line(("libgl1",)) in str(caught.value)


def test_without_the_right_to_install_the_line_is_told(
    tools: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_in(tools, "apt-get", "exit 0")
    monkeypatch.setattr(system_packages, "installer", lambda: None)

    with pytest.raises(SetupError, match="This line installs it") as caught:
        system_packages.install_system_packages(("libgl1", "libegl1"), "Qt", quiet)

    assert "apt-get install --no-install-recommends libgl1 libegl1" in str(caught.value)
    assert not (tools / "log").exists()


def test_elsewhere_than_on_debian_the_libraries_are_named(
    tools: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_in(tools, "apt-get", "exit 0")
    monkeypatch.setattr(system_packages, "is_debian_like", lambda: False)

    with pytest.raises(SetupError, match="libgl1 libegl1"):
        system_packages.install_system_packages(("libgl1", "libegl1"), "Qt", quiet)
    assert not system_packages.ensure_system_packages(("libgl1",), "Qt", quiet)
    assert not (tools / "log").exists()


def test_sudo_is_used_only_when_it_asks_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", f"{tmp_path}:/usr/bin:/bin")
    monkeypatch.setattr(system_packages, "is_debian_like", lambda: True)
    monkeypatch.setattr(os, "geteuid", lambda: 1000)

    stand_in(tmp_path, "sudo", "exit 0")
    assert system_packages.installer() == ["sudo", "-n"]
    stand_in(tmp_path, "sudo", "echo 'a password is required' >&2; exit 1")
    assert system_packages.installer() is None
