"""Starts the program: ``python3 packaging/start.py`` opens your own copy of the sample project.

The first start makes an environment and fetches the pinned packages; later ones take well under
a second before the window's own start. A path opens another project, and the words of the
command line work as well:

    python3 packaging/start.py ~/boats/my-search
    python3 packaging/start.py totals ~/boats/my-search

Where there is no display the window's place is taken by the sheets: every one is written out,
and the last lines say where they lie.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 - an older Python may still read this line
    sys.exit(
        "Hardstand needs Python 3.11 or newer, and this is Python {}.{}.".format(*sys.version_info)
    )

import contextlib
import os
import subprocess
import tempfile
from pathlib import Path

from bootstrap import ROOT, prepare, program_variables, say, tail
from system_packages import OFFSCREEN, WINDOW, SetupError, install_system_packages

STEPS = 4
COMMANDS = ("new", "check", "totals", "export", "import", "pack", "unpack", "catalogue")
OWN_SAMPLE = "--sample"  # the program copies the shipped search before it is worked on
INTERRUPTED = 130

IMPORT_PROBE = "import PySide6.QtWidgets"
WINDOW_PROBE = "from PySide6.QtWidgets import QApplication; QApplication([])"
PLUGIN_FOLDER_PROBE = (
    "from PySide6.QtCore import QLibraryInfo as info; "
    "print(info.path(info.LibraryPath.PluginsPath))"
)


def sample_project() -> Path:
    """Return the folder of the project that comes with the program."""
    found = sorted(file.parent for file in (ROOT / "sample_projects").glob("*/project.json"))
    if not found:
        raise SetupError("There is no project in the folder sample_projects; name one to open.")
    return found[0]


def display_is_named() -> bool:
    """Tell whether this system has, or names, a display that a window could open on."""
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


# --- whether Qt can start ----------------------------------------------------------------------


def probe(python: Path, code: str, platform: str = "") -> "subprocess.CompletedProcess[str]":
    """Run a line of Python in a child: where Qt cannot start, it aborts the whole process."""
    extra = {"QT_QPA_PLATFORM": platform} if platform else {}
    return subprocess.run(
        [str(python), "-c", code],
        env=program_variables(**extra),
        capture_output=True,
        text=True,
        check=False,
    )


def require_qt(python: Path) -> None:
    """Make sure that Qt can be imported; install the system's libraries where that is allowed."""
    if probe(python, IMPORT_PROBE).returncode == 0:
        return
    if sys.platform == "linux":
        install_system_packages(OFFSCREEN, "Qt", say)
    again = probe(python, IMPORT_PROBE)
    if again.returncode != 0:
        raise SetupError(f"Qt cannot be loaded:\n{tail(again.stderr, 4)}")


def libraries_not_found(listing: str) -> list[str]:
    """Return the names that ``ldd`` could not find, out of its output."""
    return sorted({line.split()[0] for line in listing.splitlines() if "not found" in line})


def missing_window_libraries(python: Path) -> list[str]:
    """Return the libraries that Qt's xcb plugin lacks.

    Qt's own message names libxcb-cursor0 whichever is missing, so ``ldd`` is asked instead.
    """
    plugins = probe(python, PLUGIN_FOLDER_PROBE).stdout.strip()
    plugin = Path(plugins) / "platforms" / "libqxcb.so"
    try:
        listing = subprocess.run(["ldd", str(plugin)], capture_output=True, text=True, check=False)
    except OSError:
        return []
    return libraries_not_found(listing.stdout)


def window_can_open(python: Path) -> bool:
    """Tell whether a window can really open; install missing libraries where that is allowed."""
    asked = probe(python, WINDOW_PROBE)
    if asked.returncode == 0:
        return True
    require_qt(python)
    missing = missing_window_libraries(python) if sys.platform == "linux" else []
    if missing:
        say(f"    Missing for a window: {', '.join(missing)}")
        install_system_packages(WINDOW, "a window", say)
        asked = probe(python, WINDOW_PROBE)
    if asked.returncode != 0:
        # Of Qt's many lines this one is true and tells most; the others guess at causes.
        telling = [line for line in asked.stderr.splitlines() if "could not connect" in line]
        reason = tail("\n".join(telling[:1]) or asked.stderr, 2)
        say(f"    A display is named, but no window can open on it:\n{reason}")
    return asked.returncode == 0


# --- the two ways to run -----------------------------------------------------------------------


def run_program(python: Path, arguments: list[str], **extra: str) -> int:
    """Run the program and return its exit code; Ctrl-C gives it time to end by itself."""
    command = [str(python), "-P", "-m", "workbench", *arguments]
    with subprocess.Popen(command, env=program_variables(**extra)) as program:
        try:
            return program.wait()
        except KeyboardInterrupt:
            with contextlib.suppress(subprocess.TimeoutExpired):
                program.wait(timeout=5)
            program.terminate()
            raise


def sheets_folder(project: Path) -> Path:
    """Make a new folder for a project's sheets; what was handed out before stays as it is."""
    home = Path.home()
    documents = home / "Documents"
    name = project.resolve().name
    for base in (documents if documents.is_dir() else home, Path(tempfile.gettempdir())):
        for number in range(1, 1000):
            folder = base / "hardstand-sheets" / (name if number == 1 else f"{name}-{number}")
            try:
                folder.mkdir(parents=True)
            except FileExistsError:
                continue
            except OSError:
                break
            return folder
    raise SetupError("The sheets cannot be written: neither the home folder nor the temporary one.")


def export_sheets(python: Path, project: Path, options: list[str]) -> int:
    """Write every sheet of a project, and say where they lie."""
    folder = sheets_folder(project)
    say(f"4/{STEPS} No window can open here: writing the sheets of {project} instead ...")
    arguments = ["export", str(project), "--out", str(folder), *options]
    code = run_program(python, arguments, QT_QPA_PLATFORM="offscreen")
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    if not files:
        folder.rmdir()
        say(f"No sheet was written; the program ended with code {code}.")
        return code or 1
    say(f"The sheets ({len(files)}) lie in {folder}:")
    for path in files:
        say(f"    {path.relative_to(folder)}")
    return code


def start(arguments: list[str]) -> int:
    """Prepare everything, then open the window or write the sheets; returns the exit code."""
    python = prepare("run", STEPS)
    if arguments and arguments[0] in COMMANDS:
        say(f"3/{STEPS} No window is needed for '{arguments[0]}'")
        say(f"4/{STEPS} Running it ...")
        return run_program(python, arguments)
    named = bool(arguments) and not arguments[0].startswith("-")
    project = Path(arguments[0]).expanduser() if named else sample_project()
    options = arguments[1:] if named else arguments
    if not project.exists():
        raise SetupError(f"There is no project folder {project}.")
    say(f"3/{STEPS} Checking that Qt can start ...")
    if not (display_is_named() and window_can_open(python)):
        require_qt(python)
        return export_sheets(python, project, options)
    if not named:
        say(f"4/{STEPS} Opening your own copy of the sample {project.name} ...")
        return run_program(python, [OWN_SAMPLE, *options])
    say(f"4/{STEPS} Opening {project} ...")
    return run_program(python, [str(project), *options])


def main() -> int:
    """Run from the command line; every failure ends in a sentence and a non-zero code."""
    arguments = sys.argv[1:]
    if arguments[:1] in (["-h"], ["--help"]):
        say(str(__doc__))
        return 0
    try:
        return start(arguments)
    except SetupError as error:
        print(f"\n{error}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped, as you asked. Start again whenever you like.", file=sys.stderr)
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
