"""Strangers' photos are decoded in a process of their own, whose end is words at that photo (P10).

The harmful photos are those of `harmful_photos`: a helper that crashes, hangs, asks for more memory
than it may, or writes where it should not, with everything else as it is.
"""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from tests.reports import harmful_photos as harm
from tests.reports.invented import FakeShelf, jpeg
from tests.rules.source_files import ROOT
from workbench.reports import photo_child, photo_helpers
from workbench.reports.photo_child import ANSWER, COPY, QUESTION, TIME
from workbench.reports.photo_decoding import DAMAGED, NO_HELPER, TOO_SLOW, bare_copy
from workbench.reports.photo_helpers import COMMAND, Helper, Helpers
from workbench.reports.photos import Darkroom

HARMFUL = (sys.executable, "-P", "-m", "tests.reports.harmful_photos")
WHOLE = jpeg(300, 200)
limits_hold = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="this system sets no limit to a process's memory"
)


@pytest.fixture
def harmful() -> Iterator[Helpers]:
    """One process at a time that some photos bring down."""
    made = Helpers(HARMFUL, most=1, seconds=20)
    yield made
    made.close()


@pytest.fixture
def real() -> Iterator[Helpers]:
    """Processes as the program starts them."""
    made = Helpers()
    yield made
    made.close()


def process_of(helpers: Helpers) -> subprocess.Popen[bytes]:
    """The one process that waits."""
    (helper,) = helpers._idle
    return helper._process


def test_a_photo_decoded_there_is_the_photo_decoded_here(real: Helpers) -> None:
    assert real.ask(COPY, WHOLE, 200) == bare_copy(WHOLE, 200)


def test_one_process_serves_one_photo_after_another(real: Helpers) -> None:
    real.ask(COPY, WHOLE, 200)
    first = process_of(real).pid
    for _ in range(20):
        real.ask(COPY, WHOLE, 100)

    assert process_of(real).pid == first != os.getpid()


@pytest.mark.parametrize(
    "photo", [harm.CRASHES, pytest.param(harm.NEVER_ENDS, marks=limits_hold), harm.LIES]
)
def test_a_photo_that_ends_its_process_is_words_and_the_next_is_shown(
    harmful: Helpers, photo: bytes
) -> None:
    assert harmful.ask(COPY, photo, 200).words == DAMAGED
    assert harmful.ask(COPY, WHOLE, 200) == bare_copy(WHOLE, 200)


@limits_hold
def test_a_photo_that_asks_for_too_much_memory_is_words_and_the_next_is_shown(
    harmful: Helpers,
) -> None:
    assert harmful.ask(COPY, harm.TAKES_ALL_MEMORY, 200).words == DAMAGED
    assert harmful.ask(COPY, WHOLE, 200) == bare_copy(WHOLE, 200)


@limits_hold
def test_what_decodes_photos_cannot_write_a_file(harmful: Helpers, tmp_path: Path) -> None:
    place = tmp_path / "written"

    assert harmful.ask(COPY, harm.WRITES_A_FILE + os.fsencode(place), 200).words == DAMAGED
    assert not place.exists() or place.read_bytes() == b""


def test_a_photo_that_takes_too_long_is_words_and_leaves_no_process() -> None:
    impatient = Helpers(HARMFUL, most=1, seconds=0.5)

    assert impatient.ask(COPY, harm.SLEEPS, 200).words == TOO_SLOW
    assert impatient._idle == []


def test_a_process_ended_while_it_waited_is_replaced_without_a_word(real: Helpers) -> None:
    real.ask(COPY, WHOLE, 200)
    process = process_of(real)
    process.kill()
    process.wait()

    assert real.ask(COPY, WHOLE, 200) == bare_copy(WHOLE, 200)


def test_a_process_that_cannot_be_started_is_words() -> None:
    lost = Helpers((str(ROOT / "tests" / "no such program"),))

    assert lost.ask(COPY, WHOLE, 200).words == NO_HELPER


def test_whoever_waits_for_a_photo_can_stop_it(monkeypatch: pytest.MonkeyPatch) -> None:
    # L7: at the next photo or in the middle of one.
    patient = Helpers(HARMFUL, most=1, seconds=600)
    monkeypatch.setattr("workbench.reports.photos.helpers", lambda: patient)
    asked: list[None] = []

    def stop_if_asked() -> None:
        asked.append(None)
        if len(asked) > 1:
            raise InterruptedError

    room = Darkroom(FakeShelf({"a.jpg": harm.SLEEPS}), stop_if_asked)

    with pytest.raises(InterruptedError):
        room.copy("ann", "a.jpg", 200)
    assert patient._idle == []


def test_two_threads_have_two_processes_and_a_third_waits_its_turn(real: Helpers) -> None:
    made: list[object] = []
    threads = [
        threading.Thread(target=lambda: made.append(real.ask(COPY, WHOLE, 200))) for _ in range(6)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert made == [bare_copy(WHOLE, 200)] * 6
    assert 1 <= len(real._idle) <= photo_helpers.MOST_HELPERS


def test_the_process_ends_with_whoever_started_it() -> None:
    helper = Helper()
    helper.ask(COPY, WHOLE, 200, 20, lambda: None)
    pipe = helper._process.stdin
    assert pipe is not None

    pipe.close()  # as it is when the program is gone

    assert helper._process.wait(20) == 0
    helper.end()


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such signal")
def test_a_stop_at_the_keyboard_is_for_the_program_alone() -> None:
    helper = Helper()
    helper.ask(COPY, WHOLE, 200, 20, lambda: None)

    helper._process.send_signal(signal.SIGINT)
    time.sleep(0.05)

    assert helper.ask(COPY, WHOLE, 200, 20, lambda: None) == bare_copy(WHOLE, 200)
    helper.end()


def test_the_process_loads_neither_the_toolkit_nor_the_figures() -> None:
    """What Python really loads to decode a photo and to read its time, in a new process."""
    code = (
        "import io, sys\n"
        "from workbench.reports import photo_child\n"
        "photo_child.serve(io.BytesIO(sys.stdin.buffer.read()), io.BytesIO())\n"
        "print(*sorted({name.partition('.')[0] for name in sys.modules}))\n"
    )
    questions = b"".join(QUESTION.pack(wanted, 100, len(WHOLE)) + WHOLE for wanted in (COPY, TIME))
    done = subprocess.run(
        [sys.executable, "-c", code], input=questions, capture_output=True, check=True, cwd=ROOT
    )
    loaded = set(done.stdout.decode().split())

    assert "PIL" in loaded
    assert loaded & {"PySide6", "shiboken6", "pandas", "numpy", "reportlab", "openpyxl"} == set()


def test_the_process_finds_the_program_wherever_it_is_started(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As from a wheel: nothing of the place or the variables of whoever started it is needed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("PYTHONPATH")
    (tmp_path / "PIL.py").write_text("raise RuntimeError('a file of the folder was run')\n")
    made = Helpers()

    assert made.ask(COPY, WHOLE, 200) == bare_copy(WHOLE, 200)
    made.close()


def test_what_a_library_prints_does_not_come_between_the_answers() -> None:
    code = (
        "import os, sys\n"
        "from workbench.reports import photo_child, photo_decoding\n"
        "def loud(data, side):\n"
        "    os.write(1, b'a warning'); print('another', flush=True)\n"
        "    return photo_decoding.bare_copy(data, side)\n"
        "sys.exit(photo_child.main(loud))\n"
    )
    loud = Helpers((sys.executable, "-c", code))

    assert loud.ask(COPY, WHOLE, 200) == bare_copy(WHOLE, 200)
    loud.close()


def test_a_question_that_is_cut_off_is_not_answered() -> None:
    target = io.BytesIO()

    photo_child.serve(io.BytesIO(QUESTION.pack(COPY, 100, 50) + b"only this"), target)

    assert target.getvalue() == b""


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "CMYK"])
def test_answers_follow_each_other_in_the_order_of_the_questions(mode: str) -> None:
    kept = io.BytesIO()
    Image.new(mode, (64, 48)).save(kept, "TIFF")
    photos = [kept.getvalue(), b"nothing", kept.getvalue()]
    source = io.BytesIO(b"".join(QUESTION.pack(COPY, 32, len(one)) + one for one in photos))
    target = io.BytesIO()

    photo_child.serve(source, target)

    target.seek(0)
    found = []
    while len(head := target.read(ANSWER.size)) == ANSWER.size:
        outcome, width, height, length = ANSWER.unpack(head)
        assert len(target.read(length)) == length
        found.append((photo_child.OUTCOMES[outcome], width, height))
    assert found == [("", 32, 24), (DAMAGED, 0, 0), ("", 32, 24)]


def test_the_command_starts_no_shell_and_nothing_of_the_folder_it_stands_in() -> None:
    assert COMMAND[0] == sys.executable
    assert "-P" in COMMAND
