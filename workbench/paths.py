"""Where the program's own files and the user's folders are; nothing else knows.

    resource("schema/boat.schema.json")   a file that came with the program
    resource_names("catalogue")           the names of the files in one of its folders
    data_folder()                         locks, backups and recovery data of this installation
    cache_folder()                        what can be made again (thumbnails)
    settings_folder()                     window sizes and other preferences of this person
    documents_folder()                    where a new project is offered to be put

The program's own files lie in `resources/` beside the package in the source tree, and inside the
package once it is installed or frozen. A person who wants everything on a stick sets the variable
`HARDSTAND_HOME`; the user's folders are then below it. No folder is made here.
"""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath, PureWindowsPath

_PACKAGE = Path(__file__).resolve().parent
_NAME = "hardstand"


class ResourceError(ValueError):
    """A name that is not that of a file of the program."""


def resources_root() -> Path:
    """The folder that holds the program's own files.

    Raises
    ------
    ResourceError
        When neither the source tree nor the installed package has one.
    """
    for folder in (_PACKAGE / "resources", _PACKAGE.parent / "resources"):
        if folder.is_dir():
            return folder
    raise ResourceError("The program's own files are missing. Install it again.")


def resource(name: str) -> Path:
    """The program's file `name`, written with `/` and relative to its resources.

    Raises
    ------
    ResourceError
        When the name is absolute, climbs with `..`, or names nothing; lists the near names.
    """
    found = resources_root() / _relative(name)
    if not found.exists():
        beside = found.parent
        known = ", ".join(sorted(p.name for p in beside.iterdir())) if beside.is_dir() else "none"
        raise ResourceError(f"There is no resource “{name}”. Beside it there are: {known}.")
    return found


def resource_names(folder: str, ending: str = "") -> tuple[str, ...]:
    """The resources in `folder` whose names end with `ending`, sorted; none when it is missing."""
    place = resources_root() / _relative(folder)
    if not place.is_dir():
        return ()
    names = sorted(p.name for p in place.iterdir() if p.is_file() and p.name.endswith(ending))
    return tuple(f"{folder}/{name}" for name in names)


def _relative(name: str) -> PurePosixPath:
    """`name` as a path that stays below the resources."""
    path = PurePosixPath(name)
    if (
        not name
        or "\0" in name
        or "\\" in name
        or path.is_absolute()
        or PureWindowsPath(name).drive
        or ".." in path.parts
    ):
        raise ResourceError(f"“{name}” is not a name relative to the program's resources.")
    return path


def data_folder() -> Path:
    """The folder for this installation's locks, backups and recovery data."""
    return _user_folder("data")


def settings_folder() -> Path:
    """The folder for this person's preferences."""
    return _user_folder("config")


def cache_folder() -> Path:
    """The folder for what can be made again."""
    return _user_folder("cache")


def documents_folder() -> Path:
    """Where a new project is offered to be put."""
    home = os.environ.get("HARDSTAND_HOME")
    if home:
        return Path(home) / "documents"
    import platformdirs  # noqa: PLC0415 - only a window or a first save needs it

    return Path(platformdirs.user_documents_dir())


def _user_folder(kind: str) -> Path:
    home = os.environ.get("HARDSTAND_HOME")
    if home:
        return Path(home) / kind
    import platformdirs  # noqa: PLC0415 - start-up without it is quicker

    folders = platformdirs.PlatformDirs(_NAME, appauthor=False)
    return {
        "data": folders.user_data_path,
        "config": folders.user_config_path,
        "cache": folders.user_cache_path,
    }[kind]
