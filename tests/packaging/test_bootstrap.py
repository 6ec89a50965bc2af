"""An environment is made once, counts only when whole, and fails with a sentence.

The environments here are real, but hold a single package that is built on the spot, and pip may
not use the network.
"""

from __future__ import annotations

import base64
import hashlib
import subprocess
import sys
import tempfile
import threading
import zipfile
from pathlib import Path

import bootstrap
import pytest
from system_packages import SetupError

WHEEL = "plank-1.0-py3-none-any.whl"


def build_wheel(folder: Path) -> Path:
    """Build the package "plank", one module with one line, and return the wheel."""
    info = "plank-1.0.dist-info"
    files = {
        "plank.py": "LENGTH_MM = 2400\n",
        f"{info}/METADATA": "Metadata-Version: 2.1\nName: plank\nVersion: 1.0\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = ""
    for name, text in files.items():
        digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=")
        record += f"{name},sha256={digest.decode()},{len(text)}\n"
    files[f"{info}/RECORD"] = f"{record}{info}/RECORD,,\n"
    wheel = folder / WHEEL
    with zipfile.ZipFile(wheel, "w") as archive:
        for name, text in files.items():
            archive.writestr(name, text)
    return wheel


def pin(wheel: Path) -> str:
    """Return the requirements text that pins a wheel of "plank" by its hash."""
    digest = hashlib.sha256(wheel.read_bytes()).hexdigest()
    return f"plank==1.0 \\\n    --hash=sha256:{digest}\n"


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a project folder whose one requirement is "plank", with pip kept off the network."""
    (tmp_path / "wheels").mkdir()
    (tmp_path / "requirements-run.txt").write_text(
        pin(build_wheel(tmp_path / "wheels")), encoding="utf-8"
    )
    monkeypatch.setattr(bootstrap, "ROOT", tmp_path)
    monkeypatch.setattr(bootstrap, "PACKAGING", tmp_path)
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(tmp_path / "wheels"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path


def plank_length(python: Path) -> str:
    """Return what the package says, as the interpreter of an environment sees it."""
    command = [str(python), "-I", "-c", "import plank; print(plank.LENGTH_MM)"]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout.strip()


def test_an_environment_is_made_once_and_again_when_its_stamp_is_not_the_wanted_one(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    python = bootstrap.prepare("run", 4)
    assert plank_length(python) == "2400"
    assert "1/4 Making an environment" in capsys.readouterr().out

    marker = python.parent / "marker"
    marker.touch()
    assert bootstrap.prepare("run", 4) == python
    assert marker.exists()
    assert "1/4 The environment is in place" in capsys.readouterr().out

    stamp = bootstrap.environment_folder("run") / bootstrap.STAMP_NAME
    stamp.write_text(stamp.read_text(encoding="utf-8").replace("python 3", "python 2"))
    assert plank_length(bootstrap.prepare("run", 4)) == "2400"
    assert not marker.exists()
    assert project in python.parents


def test_a_half_made_environment_does_not_count(project: Path) -> None:
    requirements = project / "requirements-run.txt"
    folder = bootstrap.environment_folder("run")
    python = bootstrap.environment_python(folder)
    python.parent.mkdir(parents=True)
    python.touch()

    assert not bootstrap.is_valid(folder, requirements)
    (folder / bootstrap.STAMP_NAME).write_text(bootstrap.wanted_stamp(requirements))
    assert bootstrap.is_valid(folder, requirements)
    requirements.write_text(requirements.read_text(encoding="utf-8") + "# changed\n")
    assert not bootstrap.is_valid(folder, requirements)


def test_a_stamp_without_an_interpreter_does_not_count(project: Path) -> None:
    requirements = project / "requirements-run.txt"
    folder = bootstrap.environment_folder("run")
    folder.mkdir(parents=True)
    (folder / bootstrap.STAMP_NAME).write_text(bootstrap.wanted_stamp(requirements))

    assert not bootstrap.is_valid(folder, requirements)


def test_a_package_with_another_hash_is_refused_and_nothing_is_left(project: Path) -> None:
    requirements = project / "requirements-run.txt"
    text = requirements.read_text(encoding="utf-8")
    requirements.write_text(text[:-65] + "0" * 64 + "\n", encoding="utf-8")

    with pytest.raises(SetupError, match="differs from the one that was pinned"):
        bootstrap.prepare("run", 4)

    assert not bootstrap.environment_folder("run").exists()


def test_a_package_that_cannot_be_found_is_explained(project: Path) -> None:
    (project / "wheels" / WHEEL).unlink()

    # The interpreter of the tests themselves will do: pip finds nothing that it could change.
    with pytest.raises(SetupError, match="offers no ready-made package"):
        bootstrap.install_requirements(Path(sys.executable), project / "requirements-run.txt")


def test_stopping_half_way_leaves_nothing_behind(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def create(folder: Path) -> Path:
        folder.mkdir()
        return bootstrap.environment_python(folder)

    def interrupt(python: Path, _requirements: Path) -> None:
        assert python.parents[1].exists()
        raise KeyboardInterrupt

    monkeypatch.setattr(bootstrap, "create_environment", create)
    monkeypatch.setattr(bootstrap, "install_requirements", interrupt)

    with pytest.raises(KeyboardInterrupt):
        bootstrap.prepare("run", 4)

    assert not bootstrap.environment_folder("run").exists()
    assert project.exists()


@pytest.mark.parametrize(
    ("output", "sentence"),
    [
        ("OSError: [Errno 28] No space left on device", "not enough room on the disk"),
        ("WARNING: Retrying ... NewConnectionError(...)\nNo matching distribution", "needs a net"),
        ("Temporary failure: NameResolutionError", "needs a network connection"),
        ("something new", "could not be installed:\n    | something new"),
    ],
)
def test_what_pip_says_becomes_a_sentence(output: str, sentence: str) -> None:
    assert sentence in bootstrap.explain_pip(output)


def test_two_copies_of_the_project_have_environments_of_their_own(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = bootstrap.environment_folder("run")
    monkeypatch.setattr(bootstrap, "ROOT", project / "elsewhere")

    assert bootstrap.environment_folder("run") != here
    assert bootstrap.environment_folder("check") != bootstrap.environment_folder("run")


def test_an_unwritable_cache_leads_to_the_project_folder(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A file where a folder is wanted refuses everybody, even a user who may write anywhere.
    (project / "cache").touch()

    assert bootstrap.environments_folder() == project / ".environment"
    monkeypatch.setattr(bootstrap, "ROOT", project / "cache")
    assert bootstrap.environments_folder() == bootstrap.private_temporary_folder()


@pytest.mark.skipif(sys.platform == "win32", reason="file modes are those of POSIX")
def test_a_temporary_folder_that_others_can_write_to_is_not_used(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(project))
    folder = bootstrap.private_temporary_folder()
    assert folder.stat().st_mode & 0o077 == 0

    folder.chmod(0o777)
    with pytest.raises(PermissionError):
        bootstrap.private_temporary_folder()


def test_nowhere_to_write_is_said_in_a_sentence(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (project / "cache").touch()
    monkeypatch.setattr(bootstrap, "ROOT", project / "cache")
    monkeypatch.setattr(tempfile, "gettempdir", lambda: str(project / "cache"))

    with pytest.raises(SetupError, match="There is no folder to make the environment in"):
        bootstrap.environments_folder()


def test_a_second_start_waits_for_the_first(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order: list[str] = []
    waiting = threading.Event()

    def second() -> None:
        waiting.set()
        with bootstrap.only_one_at_a_time(project / "environment"):
            order.append("second")

    with bootstrap.only_one_at_a_time(project / "environment"):
        thread = threading.Thread(target=second)
        thread.start()
        waiting.wait()
        order.append("first")
    thread.join()

    assert order == ["first", "second"]


def test_variables_that_lead_pip_elsewhere_are_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PIP_TARGET", "elsewhere")
    monkeypatch.setenv("PYTHONHOME", "elsewhere")
    monkeypatch.setenv("PIP_USER", "1")

    variables = bootstrap.clean_variables()

    assert "PIP_TARGET" not in variables
    assert "PYTHONHOME" not in variables
    assert variables["PIP_USER"] == "0"
