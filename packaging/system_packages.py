"""Says which libraries of the system the program needs, and how they get there.

Qt's wheels bring Qt but not the system's OpenGL, keyboard and font libraries, nor all of the xcb
libraries for a real window. The names below are Debian's; Ubuntu's are the same or provide them.
On a Debian-like system they are installed with apt-get if this user is root or may use sudo
without a password. Everyone else is told the one line to type.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

OFFSCREEN = (
    "libgl1",
    "libegl1",
    "libxkbcommon0",
    "libfontconfig1",
    "libdbus-1-3",
    "libglib2.0-0",
)
WINDOW = (
    "libxcb-cursor0",
    "libxkbcommon-x11-0",
    "libxcb-icccm4",
    "libxcb-keysyms1",
    "libxcb-shape0",
)
TESTS = ("xvfb", "xauth", "poppler-utils")
RECALCULATION = ("libreoffice-calc",)


class SetupError(Exception):
    """Something that the person at the keyboard has to know; its text is a full sentence."""


def is_debian_like() -> bool:
    """Tell whether packages of this system come through apt-get."""
    return Path("/etc/debian_version").exists() and shutil.which("apt-get") is not None


def installer() -> list[str] | None:
    """Return the words before "apt-get", or None where this user may not install packages."""
    if not is_debian_like() or sys.platform == "win32":
        return None
    if os.geteuid() == 0:
        return []
    if shutil.which("sudo") is None:
        return None
    asked = subprocess.run(["sudo", "-n", "true"], capture_output=True, check=False)
    return ["sudo", "-n"] if asked.returncode == 0 else None


def not_installed(names: Sequence[str]) -> tuple[str, ...]:
    """Return those of ``names`` that dpkg does not know as installed.

    Newer releases carry some libraries under the same name with "t64" appended.
    """
    wanted = [spelling for name in names for spelling in (name, f"{name}t64")]
    known = subprocess.run(
        ["dpkg-query", "--show", "--showformat", "${Package} ${db:Status-Abbrev}\n", *wanted],
        capture_output=True,
        text=True,
        check=False,  # it fails as soon as one name is unknown, and lists the others all the same
    )
    there = {line.split()[0] for line in known.stdout.splitlines() if line.split()[1:2] == ["ii"]}
    return tuple(name for name in names if not {name, f"{name}t64"} & there)


def apt_line(names: Sequence[str]) -> str:
    """Return the one line that installs ``names`` on a Debian-like system."""
    return "sudo apt-get update && sudo apt-get install --no-install-recommends " + " ".join(names)


def install_system_packages(names: Sequence[str], why: str, say: Callable[[str], None]) -> None:
    """Install ``names`` with apt-get, or raise with the line that would do it.

    Parameters
    ----------
    why
        What they are needed for, as in "<why> is missing".

    Raises
    ------
    SetupError
        If this is no Debian-like system, this user may not install, or apt-get fails.
    """
    if not is_debian_like():
        raise SetupError(
            f"This system lacks what is needed for {why}. Install with the system's own package "
            f"tool what Debian calls: {' '.join(names)}"
        )
    prefix = installer()
    if prefix is None:
        raise SetupError(
            f"This system lacks what is needed for {why}. This line installs it:\n"
            f"    {apt_line(names)}\nThen start again."
        )
    say(f"    Installing system packages for {why}: {' '.join(names)} ...")
    apt = [*prefix, "env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-q", "-y"]
    apt += ["-o", "DPkg::Lock::Timeout=120"]
    for action in (["update"], ["install", "--no-install-recommends", *names]):
        done = subprocess.run(
            [*apt, *action],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
        if done.returncode != 0:
            last = "\n".join(f"    | {line}" for line in done.stdout.splitlines()[-6:])
            raise SetupError(
                f"apt-get {action[0]} failed, so what is needed for {why} is still missing:\n"
                f"{last}\nOnce the cause is removed, this line installs it:\n"
                f"    {apt_line(names)}"
            )


def ensure_system_packages(names: Sequence[str], why: str, say: Callable[[str], None]) -> bool:
    """Install those of ``names`` that are missing; do nothing on systems without apt-get.

    Returns
    -------
    bool
        Whether anything was installed.
    """
    if not is_debian_like():
        return False
    missing = not_installed(names)
    if missing:
        install_system_packages(missing, why, say)
    return bool(missing)
