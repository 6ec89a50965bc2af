"""A file system in memory that can fail at any step, be killed, or lose power.

The power-loss model follows what journalling file systems promise and no more (Pillai and others,
"All File Systems Are Not Created Equal", OSDI 2014; the crash tests described in SQLite's testing
page): bytes are on the disk after a flush of their file, names after a flush of their folder. What
was not flushed may be kept, lost, torn or replaced by NUL bytes; names that were not flushed
survive in their order up to some point (`ordered`), or any of them (`subset`). A rename is one
step.
"""

from __future__ import annotations

import errno
import os
import random
from collections.abc import Callable
from dataclasses import dataclass, field

from workbench.store.file_system import Facts, Kind

Names = dict[str, int]
Content = bytes | Names


class PowerCut(BaseException):
    """The process was killed; nothing in it runs any more, not even a `finally`."""


@dataclass
class Fault:
    """What is to go wrong at which step.

    Attributes
    ----------
    at
        The number of the step, from 0.
    kind
        `error`, `short`, `kill before`, `kill after` or `torn`.
    code
        The error to raise.
    for_ever
        Whether every later step fails too.
    """

    at: int
    kind: str
    code: int = errno.EIO
    for_ever: bool = False


@dataclass
class MemoryFiles:
    """The file system; node 0 is the root folder."""

    nodes: dict[int, Content] = field(default_factory=lambda: {0: {}})
    times: dict[int, int] = field(default_factory=dict)
    others: set[int] = field(default_factory=set)
    disk_bytes: dict[int, bytes] = field(default_factory=dict)
    disk_names: dict[int, Names] = field(default_factory=lambda: {0: {}})
    pending: list[tuple[int, str, int | None, int, str]] = field(default_factory=list)
    handles: dict[int, int] = field(default_factory=dict)
    log: list[tuple[str, str]] = field(default_factory=list)
    fault: Fault | None = None
    dead: bool = False
    writable: bool = True
    paused: float = 0.0
    clock: int = 1_000_000_000
    next_node: int = 1
    next_handle: int = 3
    flushes_files: bool = True
    flushes_folders: bool = True

    # ---- reading

    def facts(self, path: str) -> Facts | None:
        self._alive()
        node = self._find(path)
        if node is None:
            return None
        if node in self.others:
            return Facts(Kind.OTHER)
        content = self.nodes[node]
        if isinstance(content, dict):
            return Facts(Kind.FOLDER)
        return Facts(Kind.FILE, len(content), self.times.get(node, 0))

    def names(self, folder: str) -> list[str]:
        self._alive()
        return sorted(self._folder(folder))

    def read(self, path: str, most: int) -> bytes:
        self._alive()
        content = self.nodes[self._existing(path)]
        if isinstance(content, dict) or self._find(path) in self.others:
            raise OSError(errno.EINVAL, "Not a regular file", path)
        if len(content) > most:
            raise OSError(errno.EFBIG, "File too large", path)
        return content

    def may_write(self, folder: str) -> bool:
        return self.writable and self.facts(folder) is not None

    def pause(self, seconds: float) -> None:
        self.paused += seconds

    # ---- changing; every one of these is a step

    def create(self, path: str) -> int:
        done = self._step("create", path)
        folder, name = self._place(path)
        if name in self._names(folder):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), path)
        node = self._new_node(b"")
        self._names(folder)[name] = node
        self.pending.append((folder, name, node, 0, ""))
        handle, self.next_handle = self.next_handle, self.next_handle + 1
        self.handles[handle] = node
        done()
        return handle

    def write(self, handle: int, data: memoryview) -> int:
        node = self.handles[handle]
        done = self._step("write", str(node), torn=(node, bytes(data)))
        count = len(data)
        if self._is_due("short"):
            count = max(1, count // 2)
        self._append(node, bytes(data[:count]))
        done()
        return count

    def flush(self, handle: int) -> None:
        done = self._step("flush", str(self.handles[handle]))
        content = self.nodes[self.handles[handle]]
        assert isinstance(content, bytes)
        if self.flushes_files:
            self.disk_bytes[self.handles[handle]] = content
        done()

    def close(self, handle: int) -> None:
        self._alive()
        del self.handles[handle]
        self._step("close", str(handle))()

    def rename(self, old: str, new: str) -> None:
        done = self._step("rename", f"{old} -> {new}")
        source, old_name = self._place(old)
        target, new_name = self._place(new)
        node = self._existing(old)
        del self._names(source)[old_name]
        self._names(target)[new_name] = node
        self.pending.append((target, new_name, node, source, old_name))
        done()

    def unlink(self, path: str) -> None:
        done = self._step("unlink", path)
        folder, name = self._place(path)
        if isinstance(self.nodes[self._existing(path)], dict):
            raise OSError(errno.EISDIR, os.strerror(errno.EISDIR), path)
        del self._names(folder)[name]
        self.pending.append((folder, name, None, 0, ""))
        done()

    def make_folder(self, path: str) -> None:
        done = self._step("make folder", path)
        folder, name = self._place(path)
        if name in self._names(folder):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), path)
        node = self._new_node({})
        self.disk_names[node] = {}
        self._names(folder)[name] = node
        self.pending.append((folder, name, node, 0, ""))
        done()

    def remove_folder(self, path: str) -> None:
        done = self._step("remove folder", path)
        folder, name = self._place(path)
        if self._folder(path):
            raise OSError(errno.ENOTEMPTY, os.strerror(errno.ENOTEMPTY), path)
        del self._names(folder)[name]
        self.pending.append((folder, name, None, 0, ""))
        done()

    def flush_folder(self, path: str) -> None:
        done = self._step("flush folder", path)
        node = self._existing(path)
        if self.flushes_folders:
            kept = []
            for step in self.pending:
                if step[0] == node:
                    _apply(self.disk_names, step)
                else:
                    kept.append(step)
            self.pending = kept
        done()

    # ---- faults

    def _step(
        self, what: str, path: str, torn: tuple[int, bytes] | None = None
    ) -> Callable[[], None]:
        """Count a step and let what is planned for it go wrong; answer what is to follow it."""
        self._alive()
        self.log.append((what, path))
        fault = self.fault
        due = fault is not None and (
            len(self.log) - 1 == fault.at or (fault.for_ever and len(self.log) - 1 > fault.at)
        )
        if fault is None or not due or fault.kind == "short":
            return _nothing
        if fault.kind == "error":
            raise OSError(fault.code, os.strerror(fault.code), path)
        if fault.kind == "torn" and torn is not None:
            node, data = torn
            self._append(node, data[: len(data) // 2])
        if fault.kind in ("kill before", "torn"):
            self._die()
        return self._die

    def _is_due(self, kind: str) -> bool:
        fault = self.fault
        return fault is not None and fault.kind == kind and len(self.log) - 1 == fault.at

    def _die(self) -> None:
        self.dead = True
        raise PowerCut

    def _alive(self) -> None:
        if self.dead:
            raise PowerCut

    # ---- what survives

    def after_kill(self) -> MemoryFiles:
        """The same disk after the process died; the system goes on."""
        return MemoryFiles(
            nodes={n: dict(c) if isinstance(c, dict) else c for n, c in self.nodes.items()},
            times=dict(self.times),
            others=set(self.others),
            disk_bytes=dict(self.disk_bytes),
            disk_names={n: dict(c) for n, c in self.disk_names.items()},
            pending=list(self.pending),
            clock=self.clock,
            next_node=self.next_node,
            flushes_files=self.flushes_files,
            flushes_folders=self.flushes_folders,
        )

    def after_power_loss(self, dice: random.Random, model: str) -> MemoryFiles:
        """A disk as it may be found after the power failed."""
        names = {node: dict(entries) for node, entries in self.disk_names.items()}
        for step in _survivors(self.pending, dice, model):
            _apply(names, step)
        nodes: dict[int, Content] = {}
        self._collect(0, names, nodes, dice)
        disk = MemoryFiles(
            nodes=nodes,
            times=dict(self.times),
            clock=self.clock,
            next_node=self.next_node,
            flushes_files=self.flushes_files,
            flushes_folders=self.flushes_folders,
        )
        disk.settle()
        return disk

    def settle(self) -> None:
        """Take everything as being on the disk."""
        self.pending = []
        self.disk_bytes = {n: c for n, c in self.nodes.items() if isinstance(c, bytes)}
        self.disk_names = {n: dict(c) for n, c in self.nodes.items() if isinstance(c, dict)}

    def _collect(
        self, node: int, names: dict[int, Names], out: dict[int, Content], dice: random.Random
    ) -> None:
        for inner in names[node].values():
            content = self.nodes[inner]
            if isinstance(content, dict):
                self._collect(inner, names, out, dice)
            elif inner not in out:
                out[inner] = self._surviving_bytes(inner, content, dice)
        out[node] = names[node]

    def _surviving_bytes(self, node: int, content: bytes, dice: random.Random) -> bytes:
        on_disk = self.disk_bytes.get(node)
        if on_disk == content:
            return content
        cut = dice.randrange(len(content) + 1)
        torn = content[:cut] + b"\0" * (len(content) - cut)
        return dice.choice((content, on_disk or b"", b"\0" * len(content), content[:cut], torn))

    # ---- the tree

    def tree(self, root: str) -> dict[str, bytes]:
        """Every file below `root` by its path relative to it."""
        start = self._find(root)
        out: dict[str, bytes] = {}
        if start is not None:
            self._list(start, "", out)
        return out

    def _list(self, node: int, before: str, out: dict[str, bytes]) -> None:
        for name, inner in self._names(node).items():
            content = self.nodes[inner]
            if isinstance(content, dict):
                self._list(inner, f"{before}{name}/", out)
            else:
                out[before + name] = content

    def put(self, path: str, data: bytes) -> None:
        """Write a file from outside, on the disk at once."""
        folder, name = self._place(path)
        node = self._new_node(data)
        self._names(folder)[name] = node
        self.settle()

    def put_folders(self, path: str) -> None:
        """Make folders from outside."""
        above = ""
        for part in path.strip("/").split("/"):
            folder, name = self._place(f"{above}/{part}")
            if name not in self._names(folder):
                self._names(folder)[name] = self._new_node({})
            above = f"{above}/{part}"
        self.settle()

    def put_other(self, path: str) -> None:
        """Put a link, pipe or device there."""
        self.put(path, b"")
        self.others.add(self._existing(path))

    def _new_node(self, content: Content) -> int:
        node, self.next_node = self.next_node, self.next_node + 1
        self.nodes[node] = content
        self._touch(node)
        return node

    def _append(self, node: int, data: bytes) -> None:
        content = self.nodes[node]
        assert isinstance(content, bytes)
        self.nodes[node] = content + data
        self._touch(node)

    def _touch(self, node: int) -> None:
        self.clock += 1_000_000
        self.times[node] = self.clock

    def _find(self, path: str) -> int | None:
        node = 0
        for part in path.split("/"):
            if not part:
                continue
            content = self.nodes[node]
            if not isinstance(content, dict) or part not in content:
                return None
            node = content[part]
        return node

    def _existing(self, path: str) -> int:
        node = self._find(path)
        if node is None:
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), path)
        return node

    def _place(self, path: str) -> tuple[int, str]:
        above, _, name = path.rpartition("/")
        node = self._existing(above)
        self._names(node)
        return node, name

    def _folder(self, path: str) -> Names:
        return self._names(self._existing(path))

    def _names(self, node: int) -> Names:
        content = self.nodes[node]
        if not isinstance(content, dict):
            raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR))
        return content


def _nothing() -> None:
    return None


def _apply(names: dict[int, Names], step: tuple[int, str, int | None, int, str]) -> None:
    """Do one step on names: put a node there, or nothing, and take it from where it was."""
    folder, name, node, source, old_name = step
    if node is None:
        names[folder].pop(name, None)
        return
    if old_name and names[source].get(old_name) == node:
        del names[source][old_name]
    names[folder][name] = node


def _survivors(
    pending: list[tuple[int, str, int | None, int, str]], dice: random.Random, model: str
) -> list[tuple[int, str, int | None, int, str]]:
    if model == "ordered":
        return pending[: dice.randrange(len(pending) + 1)]
    return [step for step in pending if dice.random() < 0.5]
