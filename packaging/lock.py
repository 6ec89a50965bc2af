"""Says which exact packages, with which hashes, the project runs and tests with.

``python3 packaging/lock.py`` reads requirements-run.in and requirements-check.in and writes
requirements-run.txt and requirements-check.txt: every package pinned, with the SHA-256 of its
wheel for every kind of computer in `TARGETS`. Pins already there are kept as long as the lists
allow; ``--upgrade`` resolves everything afresh. Review the difference before committing it.

It runs on Python 3.11, the oldest supported, so that the pins suit every newer one too. All
answers come from pip itself (``pip install --dry-run --report``), which downloads no wheel for
it. pip judges markers by the computer it runs on, so a package needed elsewhere only stands in
the .in file with its version and marker.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bootstrap import PACKAGING, clean_variables, create_environment, say, tail
from system_packages import SetupError

PYTHONS = ("3.11", "3.12", "3.13", "3.14")
# In the order of preference: first what Debian 12 (glibc 2.36) takes, then newer systems' own.
GLIBC_MINORS = (34, 31, 28, 27, 26, 24, 17, 12, 5, 35, 36, 38, 39, 41)
PLATFORMS: Mapping[str, tuple[str, ...]] = {
    "Linux x86_64": (*(f"manylinux_2_{n}_x86_64" for n in GLIBC_MINORS), "manylinux2014_x86_64"),
    "Linux aarch64": (*(f"manylinux_2_{n}_aarch64" for n in GLIBC_MINORS), "manylinux2014_aarch64"),
    "macOS 13 on Intel": ("macosx_13_0_x86_64",),
    "macOS 13 on Apple silicon": ("macosx_13_0_arm64",),
    "Windows x86_64": ("win_amd64",),
}
TARGETS = tuple((place, python) for place in PLATFORMS for python in PYTHONS)


@dataclass(frozen=True, slots=True)
class Pin:
    """One package in one version; ``marker`` is empty where every platform needs it."""

    name: str
    version: str
    marker: str = ""


@dataclass(frozen=True, slots=True)
class Wheel:
    """A wheel as pip found it: its file name and the SHA-256 of its bytes."""

    pin: Pin
    file_name: str
    sha256: str


def same_name(name: str) -> str:
    """Return a package name in the one spelling that all its spellings share."""
    return re.sub(r"[-_.]+", "-", name).lower()


def read_list(path: Path) -> list[str]:
    """Return the requirement lines of an .in file without comments, following ``-r``."""
    lines: list[str] = []
    for raw in path.read_text(encoding="utf-8").splitlines():
        line = re.sub(r"(^|\s)#.*", "", raw).strip()
        if line.startswith("-r "):
            lines += read_list(path.parent / line[3:].strip())
        elif line:
            lines.append(line)
    return lines


def digest_of_list(path: Path) -> str:
    """Return the SHA-256 of what an .in file asks for, comments left out."""
    return hashlib.sha256("\n".join(read_list(path)).encode()).hexdigest()


def read_pins(path: Path) -> tuple[Pin, ...]:
    """Return the pins of a .txt file; none if there is no such file."""
    if not path.exists():
        return ()
    pattern = re.compile(r"^([\w.-]+)==([\w.]+)(?: ; (.*?))? \\$", re.MULTILINE)
    text = path.read_text(encoding="utf-8")
    return tuple(Pin(name, version, marker) for name, version, marker in pattern.findall(text))


def ask_pip(python: Path, arguments: Sequence[str], scratch: Path) -> list[dict[str, Any]]:
    """Return what pip would install, as the entries of its report.

    Raises
    ------
    LookupError
        With pip's own words, if it found no solution.
    """
    report = scratch / "report.json"
    report.unlink(missing_ok=True)
    command = [
        *(str(python), "-I", "-m", "pip", "install", "--dry-run", "--ignore-installed"),
        *("--quiet", "--only-binary", ":all:", "--report", str(report), *arguments),
    ]
    done = subprocess.run(
        command, env=clean_variables(), capture_output=True, text=True, check=False
    )
    if done.returncode != 0:
        raise LookupError(done.stdout + done.stderr)
    entries: list[dict[str, Any]] = json.loads(report.read_text(encoding="utf-8"))["install"]
    return entries


def wheel_of(entry: Mapping[str, Any]) -> Wheel:
    """Read one entry of pip's report."""
    pin = Pin(same_name(entry["metadata"]["name"]), entry["metadata"]["version"])
    download = entry["download_info"]
    return Wheel(
        pin, download["url"].rsplit("/", 1)[-1], download["archive_info"]["hashes"]["sha256"]
    )


def resolve(
    python: Path, source: Path, kept: Iterable[Pin], scratch: Path
) -> dict[Pin, set[Wheel]]:
    """Choose one version of every package for this computer, and note their wheels.

    Lines with a marker are taken as they stand, unless another package needs the same one
    everywhere.
    """
    everywhere = [line for line in read_list(source) if ";" not in line]
    constraints = scratch / "constraints.txt"
    constraints.write_text("".join(f"{pin.name}=={pin.version}\n" for pin in kept))
    try:
        entries = ask_pip(python, ["--constraint", str(constraints), *everywhere], scratch)
    except LookupError as error:
        raise SetupError(f"pip finds no set of versions:\n{tail(str(error))}") from error
    wheels = {wheel.pin: {wheel} for wheel in map(wheel_of, entries)}
    resolved = {pin.name for pin in wheels}
    for line in read_list(source):
        requirement, _, marker = (part.strip() for part in line.partition(";"))
        name, _, version = requirement.partition("==")
        if marker and same_name(name) not in resolved:
            wheels[Pin(same_name(name), version, marker)] = set()
    return wheels


def wheels_for(
    python: Path, pins: Iterable[Pin], target: tuple[str, str], scratch: Path
) -> list[Wheel]:
    """Return the wheels of ``pins`` for one kind of computer; those without one are left out."""
    place, version = target
    options = ["--no-deps", "--target", str(scratch / "nowhere"), "--python-version", version]
    for tag in PLATFORMS[place]:
        options += ["--platform", tag]
    wanted = {pin.name: pin for pin in pins}
    while wanted:
        lines = [f"{pin.name}=={pin.version}" for pin in wanted.values()]
        try:
            found = [wheel_of(entry) for entry in ask_pip(python, [*options, *lines], scratch)]
        except LookupError as error:
            lacking = re.search(r"No matching distribution found for ([\w.-]+)==", str(error))
            if lacking is None:
                raise SetupError(f"pip failed for {place}:\n{tail(str(error))}") from error
            missing = wanted.pop(same_name(lacking[1]))
            say(f"    no wheel of {missing.name} {missing.version}")
        else:
            return [Wheel(wanted[wheel.pin.name], wheel.file_name, wheel.sha256) for wheel in found]
    return []


def add_other_platforms(python: Path, wheels: dict[Pin, set[Wheel]], scratch: Path) -> None:
    """Add the wheels of every target. A wheel for any computer needs no second asking."""
    for number, target in enumerate(TARGETS, start=1):
        say(f"  {number} of {len(TARGETS)}: {target[0]}, Python {target[1]}")
        open_pins = [
            pin
            for pin, found in wheels.items()
            if not any(wheel.file_name.endswith("-none-any.whl") for wheel in found)
        ]
        for wheel in wheels_for(python, open_pins, target, scratch):
            wheels[wheel.pin].add(wheel)


def written(source: Path, wheels: Mapping[Pin, Iterable[Wheel]]) -> str:
    """Return the text of the pinned requirements file."""
    lines = [
        f"# Written by packaging/lock.py from {source.name}; do not edit by hand.",
        f"# list sha256:{digest_of_list(source)}",
    ]
    for pin in sorted(wheels, key=lambda pin: pin.name):
        marker = f" ; {pin.marker}" if pin.marker else ""
        hashes = sorted({wheel.sha256 for wheel in wheels[pin]})
        lines.append(f"{pin.name}=={pin.version}{marker} \\")
        lines += [f"    --hash=sha256:{digest} \\" for digest in hashes[:-1]]
        lines.append(f"    --hash=sha256:{hashes[-1]}")
    return "\n".join(lines) + "\n"


def lock(upgrade: bool) -> None:
    """Write both requirements files."""
    with tempfile.TemporaryDirectory() as folder:
        scratch = Path(folder)
        python = create_environment(scratch / "environment")
        check_list = PACKAGING / "requirements-check.in"
        kept = () if upgrade else read_pins(PACKAGING / "requirements-check.txt")
        say("Choosing versions ...")
        wheels = resolve(python, check_list, kept, scratch)
        run_list = PACKAGING / "requirements-run.in"
        run_pins = set(resolve(python, run_list, wheels, scratch))
        say(f"{len(wheels)} packages, {len(run_pins)} of them for running. Asking for hashes ...")
        add_other_platforms(python, wheels, scratch)
    run_wheels = {}
    for pin in run_pins:
        everywhere = Pin(pin.name, pin.version)
        run_wheels[pin] = wheels[pin] if pin in wheels else wheels[everywhere]
    for source, chosen in ((check_list, wheels), (run_list, run_wheels)):
        target = source.with_suffix(".txt")
        target.write_text(written(source, chosen), encoding="utf-8", newline="\n")
        say(f"Wrote {target.name}: {len(chosen)} packages.")


def main() -> int:
    """Run from the command line; returns the exit code."""
    parser = argparse.ArgumentParser(description="Pin every package with its hashes.")
    parser.add_argument("--upgrade", action="store_true", help="choose the newest versions")
    options = parser.parse_args()
    if sys.version_info[:2] != (3, 11):
        say("Run lock.py with Python 3.11, the oldest supported, so that the pins suit them all.")
        return 2
    try:
        lock(options.upgrade)
    except SetupError as error:
        say(str(error))
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
