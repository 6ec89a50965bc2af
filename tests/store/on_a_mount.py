"""Saves on a small disk of its own, in a process that may mount one: `unshare -rm` gives the right.

    unshare -rm python -m tests.store.on_a_mount KIND FOLDER

KIND is `size` or `inodes` (how much room the disk has, step by step through what a save needs),
`read-only` (turned so while the search is open) or `vanished` (taken away under an open search).
The disk is a tmpfs below FOLDER; the namespace goes with the process, and so does the disk. What
was seen is printed as JSON.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.store.samples import renamed, sample_project
from workbench.domain.problem import HardstandError
from workbench.store import layout
from workbench.store.file_system import RealFileSystem
from workbench.store.folder import Opened, create_project, open_project, save_project
from workbench.store.workplace import Workplace

PAGE = 4096
ROOM = "size=8m,nr_inodes=4096"


def run(*words: str | Path) -> None:
    """Do one command of the system."""
    subprocess.run([str(word) for word in words], check=True, capture_output=True)


def texts(path: Path) -> dict[str, str]:
    """The files that a save replaces, and whatever a save could leave behind."""
    found = {
        file.relative_to(path).as_posix(): file.read_bytes().hex()
        for file in path.rglob("*")
        if file.is_file()
    }
    return {name: data for name, data in found.items() if layout.is_ours(name) or ".tx-" in name}


class Disk:
    """A small disk with a search on it."""

    def __init__(self, folder: Path) -> None:
        self.place = Workplace(RealFileSystem(), (folder / "own").as_posix())
        self.start, self.mount = folder / "start", folder / "disk"
        (folder / "own").mkdir(parents=True)
        self.mount.mkdir()
        opened = create_project(
            self.start, "Search", project_id="0f1e2d3c4b5a6978", workplace=self.place
        )
        save_project(opened.folder, sample_project(), opened.project)
        opened.folder.close()

    @property
    def search(self) -> Path:
        """The folder of the search on the disk."""
        return self.mount / "search"

    def put_in(self) -> Opened:
        """A new disk with the search on it, opened."""
        run("mount", "-t", "tmpfs", "-o", ROOM, "tmpfs", self.mount)
        shutil.copytree(self.start, self.search)
        return open_project(self.search, workplace=self.place)

    def limit(self, options: str) -> None:
        """Give the disk other limits."""
        run("mount", "-o", f"remount,{options}", self.mount)

    def take_out(self, *how: str) -> None:
        """Take the disk away."""
        run("umount", *how, self.mount)

    def save(self, opened: Opened) -> bool:
        """Save two changed boats; whether it was reported as done."""
        changed = renamed(renamed(opened.project, "boat-0", "New"), "boat-1", "New too")
        try:
            return save_project(opened.folder, changed, opened.project).complete
        except HardstandError:
            return False

    def seen_again(self) -> dict[str, str]:
        """What lies there after the search was opened once more."""
        again = open_project(self.search, workplace=self.place)
        again.folder.close()
        return texts(self.search)


def filling(disk: Disk, option: str, step: int) -> list[dict[str, Any]]:
    """Save with a little more room each time, until a save has all it needs."""
    seen: list[dict[str, Any]] = []
    for more in range(60):
        opened = disk.put_in()
        facts = os.statvfs(disk.mount)
        used = facts.f_blocks - facts.f_bfree if option == "size" else facts.f_files - facts.f_ffree
        unit = facts.f_frsize if option == "size" else 1
        disk.limit(f"{option}={used * unit + more * step}")
        reported = disk.save(opened)
        litter = [name for name in os.listdir(disk.search) if name.startswith(".tx-")]
        opened.folder.close()
        disk.limit(ROOM)
        seen.append({"reported": reported, "litter": litter, "files": disk.seen_again()})
        disk.take_out()
        if reported and more and seen[-2]["reported"]:
            break
    return seen


def turned_read_only(disk: Disk) -> list[dict[str, Any]]:
    """The disk is turned read-only under an open search, then back."""
    opened = disk.put_in()
    disk.limit("ro")
    reported = disk.save(opened)
    looked = open_project(disk.search, workplace=Workplace(RealFileSystem(), disk.place.own + "-2"))
    read_only = looked.read_only
    looked.folder.close()
    between = texts(disk.search)
    disk.limit("rw")
    again = disk.save(opened)
    opened.folder.close()
    seen = [
        {"reported": reported, "litter": [], "files": between, "read_only": read_only},
        {"reported": again, "litter": [], "files": disk.seen_again()},
    ]
    disk.take_out()
    return seen


def vanished(disk: Disk) -> list[dict[str, Any]]:
    """The disk is taken away under an open search."""
    opened = disk.put_in()
    disk.take_out("-l")
    reported = disk.save(opened)
    made_again = disk.search.exists()
    opened.folder.close()
    return [{"reported": reported, "litter": [], "files": {}, "made": made_again}]


def main(kind: str, folder: Path) -> int:
    """Do one kind and print what was seen."""
    disk = Disk(folder)
    old = texts(disk.start)
    seen = {
        "size": lambda: filling(disk, "size", PAGE),
        "inodes": lambda: filling(disk, "nr_inodes", 1),
        "read-only": lambda: turned_read_only(disk),
        "vanished": lambda: vanished(disk),
    }[kind]()
    print(json.dumps({"old": old, "seen": seen}))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], Path(sys.argv[2])))
