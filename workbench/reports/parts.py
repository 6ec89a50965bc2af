"""Small parts that several sheets share."""

from __future__ import annotations

from collections.abc import Sequence

from .document import Fact, Facts, Photo
from .views import Particulars, Seen, ShownPhoto
from .words import capital, listed, lower, sentence


def photo_of(shown: ShownPhoto) -> Photo:
    """A photo that may be shown, as a block shows it."""
    return Photo(shown.boat, shown.file, shown.caption, shown.marks)


def she_is(particulars: Particulars) -> Facts:
    """What is known of a boat, in one run of words."""
    words = "; ".join(f"{lower(label)} {text}" for label, text in particulars)
    return Facts((Fact("She is", f"{capital(words)}." if words else "Not described yet."),))


def by_system(found: Sequence[Seen], *, who: bool) -> Facts:
    """Titles by system, in the order given; with `who`, the trades named for them."""
    facts: list[Fact] = []
    for system in dict.fromkeys(one.system for one in found):
        those = [one for one in found if one.system == system]
        names = sentence("; ".join(lower(one.title) for one in those))
        trades = listed(list(dict.fromkeys(one.who for one in those if one.who))) if who else ""
        facts.append(Fact(system, f"{names} {capital(trades)}." if trades else names))
    return Facts(tuple(facts))
