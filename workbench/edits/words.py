"""Whether words that a person entered show anything at all."""

from __future__ import annotations

import unicodedata

_UNSEEN = frozenset(("Cc", "Cf", "Zs", "Zl", "Zp"))
_FILLERS = frozenset("\u115f\u1160\u2800\u3164\uffa0")
"""Signs that Unicode counts among the letters and symbols, and that are blank all the same."""


def is_blank(text: str) -> bool:
    """Whether nothing of a text can be seen: spaces, signs of no width, fillers."""
    return all(sign in _FILLERS or unicodedata.category(sign) in _UNSEEN for sign in text)
