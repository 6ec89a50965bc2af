"""Which searches were open before: the last one, and a list of ten for the start page."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSettings

MOST = 10
_LAST, _RECENT = "last", "recent"


def remember_place(preferences: QSettings, place: Path) -> None:
    """Note that a search is open now; the newest stands first."""
    path = str(place)
    others = [one for one in _stored(preferences) if one != path]
    preferences.setValue(_LAST, path)
    preferences.setValue(_RECENT, [path, *others][:MOST])


def forget_place(preferences: QSettings, place: Path) -> None:
    """Take a search off the list; the folder stays as it is."""
    path = str(place)
    preferences.setValue(_RECENT, [one for one in _stored(preferences) if one != path])
    if preferences.value(_LAST) == path:
        preferences.remove(_LAST)


def last_place(preferences: QSettings) -> Path | None:
    """The search that was open last; None where there is none."""
    found = preferences.value(_LAST)
    return Path(found) if isinstance(found, str) and found else None


def recent_places(preferences: QSettings) -> tuple[Path, ...]:
    """The searches that were open before, the newest first."""
    return tuple(Path(one) for one in _stored(preferences))


def _stored(preferences: QSettings) -> list[str]:
    """A list of one comes back from the file as a bare text."""
    found = preferences.value(_RECENT)
    if isinstance(found, str):
        return [found] if found else []
    return [str(one) for one in found if one] if isinstance(found, list) else []
