"""The one doorway to the desktop: links that are http or https, and files just handed out.

    read_link("https://example.org/rule") -> Link       raises EntryError
    openings.allow(path)                                  after an export was written there
    openings.open_file(path), openings.show_folder(path), openings.follow(link) -> sentence or ""

The desktop decides what it does with an address or a file, and for some files it runs them. So a
link is opened only after the person has seen its host, and a file only when this program has just
written it: by its path, never by a text that stood in a project. Nothing else of the window may
call `QDesktopServices`.
"""

from __future__ import annotations

import os
import stat
import unicodedata
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices

from workbench.domain.problem import EntryError
from workbench.domain.record import dataclass
from workbench.window.texts import tr

LONGEST_LINK = 2_000
ENDINGS = frozenset({".pdf", ".xlsx"})
_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp", "Zs"})
_SCHEMES = ("http://", "https://")

Launch = Callable[[QUrl], bool]


@dataclass(frozen=True, slots=True)
class Link:
    """An address that may be opened once its host was shown.

    Attributes
    ----------
    url
        The address in plain ASCII.
    host
        The name of the machine it leads to, letters beyond ASCII written out as `xn--`.
    """

    url: str
    host: str


def read_link(text: str) -> Link:
    """The address in a text.

    Raises
    ------
    EntryError
        When it is not a plain http or https address, with the sentence to show.
    """
    plain = text.strip()
    if len(plain) > LONGEST_LINK:
        raise EntryError(tr("This address is too long to be opened."))
    if any(unicodedata.category(sign) in _HIDDEN for sign in plain) or "\\" in plain:
        raise EntryError(tr("This address holds signs that no address needs; it is not opened."))
    if not plain.lower().startswith(_SCHEMES):
        raise EntryError(tr("Only addresses that begin with http or https are opened."))
    url = QUrl(plain, QUrl.ParsingMode.StrictMode)
    host = url.host(QUrl.ComponentFormattingOption.FullyEncoded)
    if not url.isValid() or not host or url.scheme() not in ("http", "https"):
        raise EntryError(tr("This is not an address that can be opened."))
    if url.userInfo() or "@" in url.authority():
        raise EntryError(tr("An address with a name before its host can deceive; not opened."))
    return Link(bytes(url.toEncoded().data()).decode("ascii"), host)


class Openings:
    """What the desktop may be asked to open for one window.

    Parameters
    ----------
    launch
        What opens an address; the desktop's own unless a test gives another.
    """

    def __init__(self, launch: Launch = QDesktopServices.openUrl) -> None:
        self._launch = launch
        self._files: set[Path] = set()
        self._folders: set[Path] = set()

    def allow(self, file: Path) -> None:
        """Let a file that was just written be opened, and its folder be shown."""
        plain = _plain(file)
        self._files.add(plain)
        self._folders.add(plain.parent)

    def allow_folder(self, folder: Path) -> None:
        """Let the folder of the search be shown."""
        self._folders.add(_plain(folder))

    def may_open(self, file: Path) -> bool:
        """Whether a file was written by this window."""
        return _plain(file) in self._files

    def follow(self, link: Link) -> str:
        """Open a link whose host the person has seen and agreed to; a sentence when it fails."""
        return self._ask(QUrl(link.url, QUrl.ParsingMode.StrictMode))

    def open_file(self, file: Path) -> str:
        """Open a file that was just written; a sentence when it is not opened."""
        plain = _plain(file)
        if plain not in self._files or plain.suffix.lower() not in ENDINGS:
            return tr("Only sheets that were just written are opened from here.")
        if not _is(plain, stat.S_ISREG):
            return tr("The file is not there any more.")
        return self._ask(QUrl.fromLocalFile(str(plain)))

    def show_folder(self, folder: Path) -> str:
        """Show a folder that something was written to; a sentence when it is not shown."""
        plain = _plain(folder)
        if plain not in self._folders:
            return tr("Only the search and the folders you wrote to are shown from here.")
        if not _is(plain, stat.S_ISDIR):
            return tr("The folder is not there any more.")
        return self._ask(QUrl.fromLocalFile(str(plain)))

    def _ask(self, url: QUrl) -> str:
        if self._launch(url):
            return ""
        return tr("The desktop offers nothing to open this with.")


def _plain(path: Path) -> Path:
    """A path without `..`, as it stands; links in it are not followed."""
    return Path(os.path.normpath(path.absolute()))


def _is(path: Path, kind: Callable[[int], bool]) -> bool:
    """Whether a thing of that kind, and not a link to one, lies there."""
    try:
        return kind(path.lstat().st_mode)
    except OSError:
        return False
