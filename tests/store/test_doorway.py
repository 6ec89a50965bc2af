"""The store touches files through one doorway (D1), which does what its words say (D2, D11)."""

from __future__ import annotations

import ast
import errno
import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.store.memory_files import MemoryFiles
from workbench import store
from workbench.store.file_system import FileSystem, Kind, RealFileSystem, flushes_folders
from workbench.store.transaction import write_file

STORE = Path(store.__file__).parent
DOORWAYS = {
    "file_system.py": "it is the doorway",
    "lock.py": "a kernel lock needs a handle of its own; it is in application data",
    "schemas.py": "writes the committed schemas of the source tree, never a project",
}
FORBIDDEN = {"open", "replace", "rename", "unlink", "remove", "rmdir", "mkdir", "makedirs"}
FORBIDDEN |= {"write_text", "write_bytes", "read_text", "read_bytes", "touch", "fdopen", "iterdir"}
FORBIDDEN |= {"listdir", "scandir", "stat", "lstat", "exists", "is_file", "is_dir", "symlink_to"}
MODULES_OF_FILES = {"os", "shutil", "io", "tempfile", "glob", "pathlib"}


def uses_of_files(source: str) -> Iterator[str]:
    """Calls that touch a file without the doorway."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            owner, _, name = called.rpartition(".")
            if called == "open" or (owner in MODULES_OF_FILES and name in FORBIDDEN):
                yield called
            if name in {"write_text", "write_bytes", "read_text", "read_bytes", "iterdir"}:
                yield called
        if isinstance(node, ast.Import) and any(
            a.name in ("shutil", "tempfile") for a in node.names
        ):
            yield ast.unparse(node)


@pytest.mark.parametrize("path", sorted(STORE.glob("*.py")), ids=lambda path: path.name)
def test_no_other_module_of_the_store_touches_a_file(path: Path) -> None:
    """D1."""
    found = list(uses_of_files(path.read_text(encoding="utf-8")))

    assert not found or path.name in DOORWAYS


@pytest.mark.parametrize(
    "planted",
    ["open('x')", "os.replace(a, b)", "import shutil", "path.write_bytes(b'')", "os.unlink(p)"],
)
def test_a_way_around_the_doorway_is_found(planted: str) -> None:
    assert list(uses_of_files(planted))


# ---- the real file system and the one in memory behave alike


@pytest.fixture(params=["real", "memory"])
def files_and_root(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[FileSystem, str]:
    """Each file system with an empty folder in it."""
    if request.param == "real":
        return RealFileSystem(), tmp_path.as_posix()
    memory = MemoryFiles()
    memory.put_folders("/root-folder")
    return memory, "/root-folder"


def test_a_file_is_written_read_renamed_and_deleted(
    files_and_root: tuple[FileSystem, str],
) -> None:
    files, root = files_and_root
    write_file(files, f"{root}/a", b"12345")
    write_file(files, f"{root}/b", b"old")
    facts = files.facts(f"{root}/a")
    assert facts is not None
    assert (facts.kind, facts.size) == (Kind.FILE, 5)

    files.rename(f"{root}/a", f"{root}/b")
    files.flush_folder(root)

    assert files.names(root) == ["b"]
    assert files.read(f"{root}/b", 5) == b"12345"
    files.unlink(f"{root}/b")
    assert files.facts(f"{root}/b") is None
    assert files.facts(f"{root}/none/below") is None


def test_folders_are_made_and_removed(files_and_root: tuple[FileSystem, str]) -> None:
    files, root = files_and_root
    files.make_folder(f"{root}/f")
    write_file(files, f"{root}/f/x", b"")

    facts = files.facts(f"{root}/f")
    assert facts is not None
    assert facts.kind is Kind.FOLDER
    with pytest.raises(OSError, match=r"(?i)not empty"):
        files.remove_folder(f"{root}/f")
    with pytest.raises(FileExistsError):
        files.make_folder(f"{root}/f")
    files.unlink(f"{root}/f/x")
    files.remove_folder(f"{root}/f")
    assert files.names(root) == []
    assert files.may_write(root)


def test_the_faults_are_those_of_the_system(files_and_root: tuple[FileSystem, str]) -> None:
    files, root = files_and_root
    write_file(files, f"{root}/a", b"12345")

    with pytest.raises(FileExistsError):
        files.create(f"{root}/a")
    with pytest.raises(FileNotFoundError):
        files.create(f"{root}/none/a")
    with pytest.raises(FileNotFoundError):
        files.rename(f"{root}/none", f"{root}/b")
    with pytest.raises(FileNotFoundError):
        files.names(f"{root}/none")
    with pytest.raises(NotADirectoryError):
        files.names(f"{root}/a")
    with pytest.raises(OSError, match=r"(?i)too large") as caught:
        files.read(f"{root}/a", 4)
    assert caught.value.errno == errno.EFBIG


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes in folders")
def test_links_and_pipes_are_seen_and_never_opened(tmp_path: Path) -> None:
    """B18, B59."""
    files, root = RealFileSystem(), tmp_path.as_posix()
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "link").symlink_to(tmp_path / "pipe")
    (tmp_path / "broken").symlink_to(tmp_path / "nowhere")

    for name in ("pipe", "link", "broken"):
        facts = files.facts(f"{root}/{name}")
        assert facts is not None
        assert facts.kind is Kind.OTHER
        with pytest.raises(OSError, match=r"."):
            files.read(f"{root}/{name}", 10)


def test_a_new_file_never_follows_a_link(tmp_path: Path) -> None:
    """D2."""
    (tmp_path / "link").symlink_to(tmp_path / "outside")

    with pytest.raises(FileExistsError):
        RealFileSystem().create(f"{tmp_path.as_posix()}/link")

    assert not (tmp_path / "outside").exists()


def test_where_the_system_has_no_flush_of_folders_none_is_asked(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """D11."""
    assert flushes_folders("linux")
    assert flushes_folders("darwin")
    assert not flushes_folders("win32")
    monkeypatch.setattr("workbench.store.file_system.flushes_folders", lambda platform: False)

    RealFileSystem().flush_folder(f"{tmp_path}/not even there")


@pytest.mark.parametrize("code", [errno.EINVAL, errno.ENOTSUP])
def test_a_disk_that_cannot_flush_folders_is_saved_to_all_the_same(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, code: int
) -> None:
    """C14: as on some network disks."""

    def no_such_call(handle: int) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "fsync", no_such_call)

    RealFileSystem().flush_folder(tmp_path.as_posix())


def test_a_flush_that_fails_is_a_fault(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """D8."""
    tries: list[int] = []

    def fails(handle: int) -> None:
        tries.append(handle)
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(os, "fsync", fails)

    with pytest.raises(OSError, match=r"."):
        RealFileSystem().flush_folder(tmp_path.as_posix())
    with pytest.raises(OSError, match=r"."):
        write_file(RealFileSystem(), f"{tmp_path.as_posix()}/a", b"x")
    assert len(tries) == 2  # once each: a failed flush is never tried again


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no fcntl")
@pytest.mark.parametrize("code", [None, errno.ENOTSUP, errno.EIO])
def test_macos_empties_the_cache_of_the_drive_where_the_drive_can(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, code: int | None
) -> None:
    """D11: what a share cannot pass on is flushed in the ordinary way; a real fault is one."""
    import fcntl  # noqa: PLC0415 - not there on Windows

    flushed: list[str] = []

    def full(handle: int, command: int) -> int:
        assert command == 51
        if code is not None:
            raise OSError(code, os.strerror(code))
        flushed.append("drive")
        return 0

    monkeypatch.setattr("workbench.store.file_system.sys.platform", "darwin")
    monkeypatch.setattr(fcntl, "F_FULLFSYNC", 51, raising=False)
    monkeypatch.setattr(fcntl, "fcntl", full)
    monkeypatch.setattr(os, "fsync", lambda handle: flushed.append("file"))
    handle = os.open(tmp_path / "a", os.O_WRONLY | os.O_CREAT)
    try:
        if code == errno.EIO:
            with pytest.raises(OSError, match=r"."):
                RealFileSystem().flush(handle)
        else:
            RealFileSystem().flush(handle)
    finally:
        os.close(handle)

    assert flushed == {None: ["drive"], errno.ENOTSUP: ["file"], errno.EIO: []}[code]


def test_reading_and_writing_leaves_no_handle_open(tmp_path: Path) -> None:
    """H6."""
    if not Path("/proc/self/fd").is_dir():
        pytest.skip("this system does not list its handles")
    files, root = RealFileSystem(), tmp_path.as_posix()
    before = len(os.listdir("/proc/self/fd"))
    for number in range(20):
        write_file(files, f"{root}/{number}", b"x")
        files.read(f"{root}/{number}", 10)
        files.flush_folder(root)

    assert len(os.listdir("/proc/self/fd")) == before
