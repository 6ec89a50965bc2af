"""A label in every language the program speaks.

A form that was printed in one language may come back to a program that speaks another. Whoever
reads it compares what it holds with `in_every_language(label)`, whatever the language of the label.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping

from workbench.paths import resources_root

from .language import languages
from .wording import texts_in


def in_every_language(label: str) -> tuple[str, ...]:
    """The label itself first, then what it is in the other languages."""
    return tuple(dict.fromkeys((label, *_others().get(label, ()))))


@functools.cache
def _others() -> Mapping[str, tuple[str, ...]]:
    """What each text of the catalogue is in the other languages, by the text in any of them."""
    found: dict[str, set[str]] = {}
    for language in languages():
        for english, said in texts_in(resources_root(), language).items():
            found.setdefault(english, set()).add(said)
            found.setdefault(said, set()).add(english)
    return {text: tuple(sorted(others)) for text, others in found.items()}
