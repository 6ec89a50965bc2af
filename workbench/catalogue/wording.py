"""What is said in the language of a catalogue: its own texts, and what is said of them.

    wording.say("{n} open checks", n=7)              a sentence, its figures written as it is usual
    wording.say("likely {amount:,.0f}", amount=1200) -> "likely 1,200", "voraussichtlich 1.200"
    wording.word(grade.value)                        a word or a name that stands in a record

The English text is the key. A catalogue is loaded in one language and carries its `Wording`, so
that figures and sheets, which are made of the catalogue, speak the same language and nothing has to
remember one. A text that stands in a table goes through `marked`, so that the list of texts finds
it, and then through `word`. A text without translation is said in English.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from string import Formatter

from workbench.domain.frozen import FrozenMap
from workbench.domain.record import dataclass

from .basics import Source
from .language import ENGLISH, FOLDER

SAID_IN = ("figures.json", "sheets.json")
"""Parts that translate what is said of the catalogue."""
DRAWN_IN = "drawings.json"
"""The part that translates the labels of the drawings, which are short. All other parts but these
translate the catalogue itself."""
_SIGNS = {"de": str.maketrans({".": ",", ",": ".", "%": "\N{NO-BREAK SPACE}%"})}
"""Decimal sign, sign between thousands and percent sign: DIN 5008 (from memory)."""


def marked(text: str) -> str:
    """Return the text unchanged; `Wording.word` says it later."""
    return text


_COMMON_PRACTICE = marked("common practice, no source")
_FROM_MEMORY = marked("{source} (from memory)")
_TRADE_KNOWLEDGE = marked("trade knowledge")


@dataclass(frozen=True, slots=True)
class Wording:
    """A language, and the texts that figures and sheets say in it.

    Attributes
    ----------
    texts
        Translations by the English text; empty for English.
    """

    language: str = ENGLISH
    texts: FrozenMap[str, str] = FrozenMap()

    def word(self, text: str) -> str:
        """The translation of a text that has no figures; the text itself where there is none."""
        return self.texts.get(text) or text

    def say(self, text: str, **values: object) -> str:
        """The translation of a text with its values put in, numbers written as is usual."""
        said = self.word(text)
        if not values:
            return said
        if self.language not in _SIGNS:
            return said.format(**values)
        return "".join(
            f"{words}{_filled(values[name], form, self.language)}" if name is not None else words
            for words, name, form in _pieces(said)
        )

    def one_or_many(self, number: int, one: str, many: str) -> str:
        """Whichever of two texts is for that number, with the number put in as `n`."""
        return self.say(one if number == 1 else many, n=number)

    def within(self, title: str) -> str:
        """A title or label for the middle of a sentence: its first letter small in English."""
        small = self.language == ENGLISH and not title[:2].isupper()
        return title[:1].lower() + title[1:] if small else title

    def number(self, value: object, form: str = "") -> str:
        """A number in a form such as `,.0f` or `.0%`, written as is usual in the language."""
        return _as_written(format(value, form), self.language)

    def source(self, source: Source) -> str:
        """Where a statement comes from, as it is shown."""
        if source.basis == "common-practice":
            return self.word(_COMMON_PRACTICE)
        named = ", ".join(part for part in (source.title, source.edition, source.clause) if part)
        if source.basis == "published":
            return named
        return self.say(_FROM_MEMORY, source=named or self.word(_TRADE_KNOWLEDGE))


def _as_written(number: str, language: str) -> str:
    """A number written in English, in another language's signs."""
    if language not in _SIGNS:
        return number
    return number.translate(_SIGNS[language])


@functools.lru_cache(maxsize=2_048)
def _pieces(text: str) -> tuple[tuple[str, str | None, str], ...]:
    """Words, the name of the value after them, and its form."""
    return tuple((words, name, form or "") for words, name, form, _ in Formatter().parse(text))


def _filled(value: object, form: str, language: str) -> str:
    """A value in its form; one with a form, such as `:,.0f`, is a number and gets its signs."""
    return _as_written(format(value, form), language) if form else str(value)


ENGLISH_WORDING = Wording()


def wording_in(resources: Path, language: str) -> Wording:
    """What figures and sheets say in a language, from the program's own files."""
    parts = [path for path in parts_of(resources, language) if path.name in SAID_IN]
    return Wording(language, FrozenMap(_merged(parts)))


def texts_in(resources: Path, language: str) -> dict[str, str]:
    """The catalogue's own texts in a language, by the English text."""
    others = (*SAID_IN, DRAWN_IN)
    parts = (path for path in parts_of(resources, language) if path.name not in others)
    # A text of several lines ends with one in its file; the catalogue is read without.
    return {text.strip(): said.strip() for text, said in _merged(parts).items()}


@functools.lru_cache(maxsize=4)
def labels_in(resources: Path, language: str) -> FrozenMap[str, str]:
    """Labels, titles and descriptions of the drawings in a language; none for English."""
    parts = [path for path in parts_of(resources, language) if path.name == DRAWN_IN]
    return FrozenMap(_merged(parts))


def parts_of(resources: Path, language: str) -> tuple[Path, ...]:
    """The files that a language's translations are written in; none for English."""
    folder = resources / FOLDER / language
    return tuple(sorted(folder.glob("*.json"))) if language != ENGLISH else ()


def _merged(parts: Iterable[Path]) -> dict[str, str]:
    """All texts of several parts; an empty translation is none."""
    found: dict[str, str] = {}
    for path in parts:
        table: Mapping[str, str] = json.loads(path.read_text(encoding="utf-8"))
        found.update((text, said) for text, said in table.items() if said)
    return found
