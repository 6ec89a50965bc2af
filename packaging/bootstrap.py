"""Says where the scripts of this folder get their Python environment from.

Each script runs its work in a virtual environment of its own, kept in the user's cache folder
under a name made of the purpose ("run" or "check") and the path of the project. Its packages
are those of ``requirements-<purpose>.txt``, every one pinned and checked against its hash.

An environment counts as made only if the stamp file in it equals the stamp wanted now: the hash
of the requirements file and the full version text of Python. The stamp is written last, so an
interrupted, half-made or outdated environment never counts; it is deleted and made again.

Only the standard library is used here, because nothing else is there yet.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
import stat
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO

from system_packages import SetupError, install_system_packages

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

ROOT = Path(__file__).resolve().parent.parent
PACKAGING = ROOT / "packaging"
WIDEST_LINE = 160
STAMP_NAME = "hardstand-stamp.txt"
MISLEADING_VARIABLES = frozenset(
    ("PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "__PYVENV_LAUNCHER__")
)

NO_ROOM = "There is not enough room on the disk: 0.6 GB to run, 1 GB to check."
OTHER_HASH = (
    "A package differs from the one that was pinned, so nothing was installed. Try again; if it "
    "stays so, do not use that package source."
)
NO_NETWORK = (
    "The Python package index cannot be reached. The first start needs a network connection; "
    "later starts do not."
)
NO_WHEEL = (
    "The package index offers no ready-made package for this kind of computer or this Python "
    f"({sys.version.split()[0]}). Python 3.11 to 3.14 on 64-bit Linux, macOS or Windows is "
    "provided for."
)
PIP_REASONS = (
    (("No space left on device",), NO_ROOM),
    (("DO NOT MATCH THE HASHES",), OTHER_HASH),
    (("ConnectionError", "Timeout", "timed out", "NameResolution", "ProxyError"), NO_NETWORK),
    (("Network is unreachable", "Connection broken", "Connection refused"), NO_NETWORK),
    (("No matching distribution", "Could not find a version"), NO_WHEEL),
)


def say(text: str) -> None:
    """Print a line at once, also into a pipe."""
    print(text, flush=True)


def requirements_file(purpose: str) -> Path:
    """Return the pinned requirements for ``purpose``: "run" or "check"."""
    return PACKAGING / f"requirements-{purpose}.txt"


def count_pins(requirements: Path) -> int:
    """Count the packages that a requirements file pins."""
    lines = requirements.read_text(encoding="utf-8").splitlines()
    return sum("==" in line for line in lines if not line.startswith("#"))


# --- where environments are kept ---------------------------------------------------------------


def user_cache_folder() -> Path:
    """Return the folder where the system keeps a user's caches; it need not exist yet."""
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")


def private_temporary_folder() -> Path:
    """Return a folder under the system's temporary folder that this user alone can write to.

    Raises
    ------
    OSError
        If the folder belongs to somebody else: what lies in it would be run as our own.
    """
    user = str(os.getuid()) if sys.platform != "win32" else os.environ.get("USERNAME", "user")
    folder = Path(tempfile.gettempdir()) / f"hardstand-{user}"
    folder.mkdir(mode=0o700, exist_ok=True)
    if sys.platform != "win32":
        state = folder.lstat()
        if state.st_uid != os.getuid() or not stat.S_ISDIR(state.st_mode) or state.st_mode & 0o022:
            raise PermissionError(f"{folder} can be written to by others")
    return folder


def environments_folder() -> Path:
    """Return the first place that can be written to: cache, project folder, temporary folder.

    Raises
    ------
    SetupError
        If none of the three can be written to.
    """
    candidates: tuple[Callable[[], Path], ...] = (
        lambda: user_cache_folder() / "hardstand" / "environments",
        lambda: ROOT / ".environment",
        private_temporary_folder,
    )
    for candidate in candidates:
        with contextlib.suppress(OSError, RuntimeError):
            folder = candidate()
            folder.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=folder):
                return folder
    raise SetupError(
        "There is no folder to make the environment in: neither the user's cache folder "
        f"({user_cache_folder()}) nor the project folder nor the temporary folder can be "
        "written to."
    )


def environment_folder(purpose: str) -> Path:
    """Return the folder of the environment for ``purpose`` and this copy of the project."""
    digest = hashlib.sha256(os.fsencode(ROOT)).hexdigest()[:12]
    return environments_folder() / f"{purpose}-{digest}"


def environment_python(folder: Path) -> Path:
    """Return the path of the interpreter inside an environment."""
    if sys.platform == "win32":
        return folder / "Scripts" / "python.exe"
    return folder / "bin" / "python"


# --- whether an environment is whole -----------------------------------------------------------


def wanted_stamp(requirements: Path) -> str:
    """Return the text that the stamp of a valid environment holds."""
    digest = hashlib.sha256(requirements.read_bytes()).hexdigest()
    return f"requirements {digest}\npython {sys.version}\nat {sys.base_prefix}\n"


def is_valid(folder: Path, requirements: Path) -> bool:
    """Tell whether the environment was finished, for these requirements and this Python."""
    try:
        found = (folder / STAMP_NAME).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return False
    return found == wanted_stamp(requirements) and environment_python(folder).exists()


def lock_at_once(handle: IO[bytes]) -> bool:
    """Lock an open file if nobody else holds it, and tell whether it is ours now."""
    try:
        if sys.platform == "win32":
            handle.seek(0)
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


@contextlib.contextmanager
def only_one_at_a_time(folder: Path) -> Iterator[None]:
    """Hold a lock beside ``folder``, so that two starts do not make one environment at once.

    The system frees the lock when the holder ends, however it ends.
    """
    with open(f"{folder}.lock", "a+b") as handle:
        told = False
        while not lock_at_once(handle):
            if not told:
                say("    Another start is making the environment; waiting for it ...")
                told = True
            time.sleep(0.2)
        yield


def delete(folder: Path) -> None:
    """Delete an environment, stamp first, so that a half-deleted one never counts as made."""
    try:
        (folder / STAMP_NAME).unlink(missing_ok=True)
        if folder.exists():
            shutil.rmtree(folder)
    except OSError as error:
        raise SetupError(f"The old environment in {folder} cannot be removed: {error}.") from error


# --- making one --------------------------------------------------------------------------------


def clean_variables() -> dict[str, str]:
    """Return the process environment without what would lead pip or Python elsewhere."""
    kept = {name: value for name, value in os.environ.items() if name not in MISLEADING_VARIABLES}
    return kept | {"PIP_USER": "0", "PYTHONUTF8": "1"}


def create_environment(folder: Path) -> Path:
    """Make an empty environment with pip in it and return its interpreter.

    Debian ships ``venv`` without ``ensurepip``, in the package python3-venv; it is installed
    when that is allowed.

    Raises
    ------
    SetupError
        If it cannot be made; nothing is left of it.
    """
    command = [sys.executable, "-I", "-m", "venv", str(folder)]
    for attempt in ("first", "with python3-venv"):
        delete(folder)
        done = subprocess.run(
            command, env=clean_variables(), capture_output=True, text=True, check=False
        )
        if done.returncode == 0:
            return environment_python(folder)
        output = done.stdout + done.stderr
        delete(folder)
        lacks_pip = "ensurepip" in output or "No module named venv" in output
        if not lacks_pip or attempt != "first":
            break
        # A Python beside the system's own has its package of the full version's name.
        own = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
        install_system_packages((own,), "Python's venv module", say)
    raise SetupError(f"Python cannot make an environment in {folder}:\n{tail(output)}")


def install_requirements(python: Path, requirements: Path) -> None:
    """Install the pinned packages into the environment of ``python``, each checked by its hash.

    Raises
    ------
    SetupError
        With a sentence on what went wrong: no network, no room, a wrong hash.
    """
    command = [
        *(str(python), "-I", "-m", "pip", "install", "--requirement", str(requirements)),
        *("--require-hashes", "--only-binary", ":all:", "--no-input", "--retries", "2"),
        *("--disable-pip-version-check", "--no-warn-script-location", "--progress-bar", "off"),
    ]
    total = count_pins(requirements)
    output: list[str] = []
    counted = 0
    with subprocess.Popen(
        command,
        env=clean_variables(),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
    ) as pip:
        for line in pip.stdout or ():
            output.append(line)
            if line.startswith("Collecting "):
                counted += 1
                show_progress(f"    {counted} of {total}: {line.split()[1]}")
            elif line.startswith("Installing collected"):
                show_progress("    unpacking ...")
    show_progress("")
    if pip.returncode != 0:
        raise SetupError(explain_pip("".join(output)))


def show_progress(text: str) -> None:
    """Rewrite the current line on a terminal; stay silent in a log."""
    if sys.stdout.isatty():
        print(f"\r\033[K{text}", end="", flush=True)


def explain_pip(output: str) -> str:
    """Turn what pip printed on failing into a sentence, with its own words where none fits."""
    for signs, sentence in PIP_REASONS:
        if any(sign in output for sign in signs):
            return f"{sentence}\n{tail(output, 2)}"
    return f"The packages could not be installed:\n{tail(output)}"


def tail(text: str, count: int = 15) -> str:
    """Return the last lines of ``text``, indented, each short enough to read."""
    lines = [line[:WIDEST_LINE] for line in text.splitlines() if line.strip()]
    return "\n".join(f"    | {line}" for line in lines[-count:])


def prepare(purpose: str, steps: int) -> Path:
    """Return the interpreter of the environment for ``purpose``, making it where needed.

    Says what it does in lines "1/<steps> ..." and "2/<steps> ...".

    Raises
    ------
    SetupError
        With the sentence to show; nothing half-made is left behind.
    """
    requirements = requirements_file(purpose)
    folder = environment_folder(purpose)
    if is_valid(folder, requirements):
        say(f"1/{steps} The environment is in place: {folder}")
        say(f"2/{steps} Its {count_pins(requirements)} packages are installed")
        return environment_python(folder)
    with only_one_at_a_time(folder):
        if not is_valid(folder, requirements):
            make(folder, requirements, steps)
    return environment_python(folder)


def make(folder: Path, requirements: Path, steps: int) -> None:
    """Make an environment from nothing; on any failure, also Ctrl-C, remove what was begun."""
    stamp = wanted_stamp(requirements)
    finished = False
    try:
        say(f"1/{steps} Making an environment in {folder} ...")
        python = create_environment(folder)
        say(f"2/{steps} Installing {count_pins(requirements)} packages (first start only) ...")
        install_requirements(python, requirements)
        (folder / STAMP_NAME).write_text(stamp, encoding="utf-8")
        finished = True
    finally:
        if not finished:
            delete(folder)


def program_variables(**extra: str) -> dict[str, str]:
    """Return the process environment for running the program out of the project folder."""
    return clean_variables() | {"PYTHONPATH": str(ROOT)} | extra
