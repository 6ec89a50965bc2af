"""The fault tests find each seeded bug in the saving protocol (H8); otherwise they prove nothing.

Each bug is the real source with one thing wrong, so that a test here cannot go stale unnoticed.
"""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import pytest

from tests.store.fault_harness import SCENARIOS, Scenario, Sweep
from workbench.store import attachments, mending, saving, transaction

SHORT = tuple(
    scenario
    for scenario in SCENARIOS
    if scenario.name
    in ("delete a boat with photos", "edit one boat", "save as", "edit five boats and the project")
)


@dataclass(frozen=True)
class Bug:
    """One line of the protocol that is wrong."""

    name: str
    right: str
    wrong: str


BUGS = (
    Bug("no flush of a stage", "        files.flush(handle)\n", ""),
    Bug(
        "stages not listed on the disk",
        "    files.flush_folder(folder)\n    files.flush_folder(root)",
        "",
    ),
    Bug(
        "folder of the save not on the disk",
        "    files.flush_folder(root)\n    return",
        "    return",
    ),
    Bug(
        "journal not flushed to the disk",
        'f"{folder}/{JOURNAL}")\n    files.flush_folder(folder)\n',
        'f"{folder}/{JOURNAL}")\n',
    ),
    Bug(
        "journal before the stages",
        "        entries = _stage(files, root, folder, changes)\n"
        "        _write_journal(files, folder, entries)\n",
        "        changes = list(changes)\n"
        "        files.make_folder(folder)\n"
        "        _write_journal(files, folder, tuple(\n"
        '            _Entry(c.path, "" if c.data is None else str(n),\n'
        '                   hashlib.sha256(c.data or b"").hexdigest())\n'
        "            for n, c in enumerate(changes)))\n"
        "        files.make_folder = lambda path: None\n"
        "        try:\n"
        "            entries = _stage(files, root, folder, changes)\n"
        "        finally:\n"
        "            del files.make_folder\n",
    ),
    Bug(
        "deletion before the commit point",
        "            entries.append(_Entry(change.path))\n",
        "            entries.append(_Entry(change.path))\n"
        '            files.unlink(f"{root}/{change.path}")\n',
    ),
    Bug(
        "no commit point",
        "        _write_journal(files, folder, entries)\n",
        "",
    ),
    Bug(
        "new folders not on the disk",
        "        files.flush_folder(folder)\n\n\ndef _remove_empty",
        "        pass\n\n\ndef _remove_empty",
    ),
    Bug(
        "names in place not on the disk",
        "            files.flush_folder(place)\n",
        "            pass\n",
    ),
    Bug(
        "journal outlives its stages",
        '        files.unlink(f"{folder}/{JOURNAL}")\n        files.flush_folder(folder)\n',
        "        pass\n",
    ),
    Bug(
        "litter is kept",
        "        _remove(files, folder)\n        return False",
        "        return False",
    ),
    Bug("a short write is taken for whole", "rest = rest[written:]", 'rest = memoryview(b"")'),
    Bug(
        "a failed save is reported as done",
        "        raise _not_saved(error, discard(files, folder)) from error\n    try:\n",
        "        return Outcome()\n    try:\n",
    ),
    Bug("a handle is left open", "        _close_after_fault(files, handle)\n", ""),
    Bug(
        "the first error leaves the temporary folder",
        "    try:\n        if _kind(files, folder) is not None:\n",
        "    try:\n        if False:\n",
    ),
)


@pytest.fixture
def loaded(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[ModuleType]:
    """The protocol with one bug, as a module, in use wherever the store saves."""
    bug: Bug = request.param
    source = Path(transaction.__file__).read_text(encoding="utf-8")
    assert source.count(bug.right) >= 1, f"the line to break is gone: {bug.name}"
    path = tmp_path / "broken.py"
    path.write_text(source.replace(bug.right, bug.wrong, 1), encoding="utf-8")
    spec = importlib.util.spec_from_file_location("broken", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["broken"] = module
    spec.loader.exec_module(module)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(saving, "commit", module.commit)
        patch.setattr(saving, "discard", module.discard)
        patch.setattr(attachments, "place_file", module.place_file)
        patch.setattr(mending, "place_file", module.place_file)
        yield module
    del sys.modules["broken"]


@pytest.mark.parametrize("loaded", BUGS, indirect=True, ids=lambda bug: bug.name)
def test_a_wrong_line_in_the_protocol_is_found(loaded: ModuleType) -> None:
    assert found_in_any(loaded)


def found_in_any(module: ModuleType) -> str:
    """What the first scenario that breaks says; empty when none does."""
    for scenario in SHORT:
        said = found(Sweep(scenario, module.recover))
        if said:
            return said
    return ""


def found(sweep: Sweep) -> str:
    """What a short sweep says; empty when all promises hold."""
    try:
        sweep.learn()
        sweep.kill_everywhere()
        sweep.lose_power_everywhere(20)
        sweep.fail_everywhere(codes=(5, 28))
        sweep.lose_power_while_recovering(1)
    except AssertionError as violation:
        return str(violation)
    return ""


@pytest.mark.parametrize("missing", ["flushes_files", "flushes_folders"])
def test_a_disk_that_does_not_flush_is_found(missing: str) -> None:
    sweep = Sweep(SHORT[0])
    setattr(sweep.start, missing, False)

    assert found(sweep)


@pytest.mark.parametrize("scenario", SHORT, ids=lambda scenario: scenario.name)
def test_the_right_protocol_is_not_accused(scenario: Scenario) -> None:
    assert found(Sweep(scenario)) == ""
