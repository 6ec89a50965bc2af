"""How easily a text is read: the reading ease of R. Flesch, with syllables counted by rule.

    206.835 - 1.015 x (words / sentences) - 84.6 x (syllables / words)

R. Flesch, "A new readability yardstick", Journal of Applied Psychology 32 (1948): 60 to 70 is plain
English, 90 to 100 very easy, below 30 very hard. A syllable is reckoned as a run of vowels, less a
silent e at the end, plus the second of two vowels that are spoken apart (ia, io, eo, ua, ...).
English spelling has exceptions; over a paragraph they cancel out to a syllable in twenty or so.
"""

from __future__ import annotations

import re

_WORD = re.compile(r"[A-Za-z]+(?:'[a-z]+)?")
_SENTENCE_END = re.compile(r"[.!?:;]+(?:\s|$)")
_VOWELS = re.compile(r"[aeiouy]+")
_SILENT_END = re.compile(r"(?:[^aeiouyl]|[aeiouy]l|ll)es?$|[^aeiouytd]ed$")
_SOUNDED_END = re.compile(r"(?:[sxz]|[cs]h|[cg])es$")
_SPOKEN_APART = re.compile(
    r"(?<!l)i(?:a(?!g)|o(?!u|n)|um)|e(?:o|ing)|ua|uo|[^q]ue(?=nt)|yi|oi(?=ng)"
    r"|(?<=[aeiouy][^aeiouy])ea$"
)
_CONSONANT_Y = re.compile(r"(?<=[aeiou])y(?=[aeiou])")


def syllables(word: str) -> int:
    """Syllables of one English word, by rule, at least one."""
    lower = _CONSONANT_Y.sub("j", re.sub(r"[^a-z]", "", word.lower()))
    count = len(_VOWELS.findall(lower)) + len(_SPOKEN_APART.findall(lower))
    if _SILENT_END.search(lower) and not _SOUNDED_END.search(lower):
        count -= 1
    return max(count, 1)


def reading_ease(text: str) -> float:
    """Flesch's reading ease; higher is easier. A colon or semicolon ends a sentence too.

    Raises
    ------
    ValueError
        When there is no word in the text.
    """
    words = _WORD.findall(text)
    if not words:
        raise ValueError("There is no word in the text.")
    sentences = max(len(_SENTENCE_END.findall(text)), 1)
    spoken = sum(syllables(word) for word in words)
    return 206.835 - 1.015 * len(words) / sentences - 84.6 * spoken / len(words)
