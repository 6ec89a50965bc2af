"""Which languages the program speaks, and which of them is wanted here.

English is the language of the source and needs no table. Every other language is a table of the
window's texts, `resources/translations/<code>.json`, and beside it the folder
`resources/translations/<code>/`, whose parts translate what the catalogue says and what the figures
and sheets say of it. A language is a code such as `de`; it is handed on as a value and never kept.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping

from workbench.paths import resource_names

ENGLISH = "en"
FOLDER = "translations"
_ASKED_IN_THIS_ORDER = ("LC_ALL", "LC_MESSAGES", "LANG")


def languages() -> tuple[str, ...]:
    """The codes of all languages the program speaks, English first."""
    names = resource_names(FOLDER, ".json")
    codes = (name.rpartition("/")[2].removesuffix(".json") for name in names)
    return (ENGLISH, *codes)


def spoken_language(chosen: str, of_the_system: Iterable[str]) -> str:
    """The code of the language to speak.

    Parameters
    ----------
    chosen
        Code that the user chose; empty, or one that is not known, goes by the system.
    of_the_system
        Languages the system asks for, the dearest first, such as `de-AT` or `de_AT.UTF-8`.
    """
    known = languages()
    if chosen in known:
        return chosen
    wanted = (_code_of(name) for name in of_the_system)
    return next((code for code in wanted if code in known), ENGLISH)


def _code_of(name: str) -> str:
    """`de` of `de-AT`, `de_AT.UTF-8` or `de@euro`."""
    for sign in ("_", ".", "@"):
        name = name.replace(sign, "-")
    return name.partition("-")[0].lower()


def languages_of_the_system(environment: Mapping[str, str]) -> tuple[str, ...]:
    """The languages that the surroundings of a command ask for, the dearest first.

    The first of `LC_ALL`, `LC_MESSAGES` and `LANG` that is set decides, and the list in `LANGUAGE`
    goes before it unless that is the plain locale `C`: POSIX.1-2017, base definitions, chapter 8.2,
    and the manual of GNU gettext, "The LANGUAGE variable" (both from memory). Where none is set,
    Windows is asked for the language of its own texts.
    """
    first = next((environment[key] for key in _ASKED_IN_THIS_ORDER if environment.get(key)), "")
    if not first:
        return _of_windows()
    if _code_of(first) in ("c", "posix"):
        return ()
    listed = [one for one in environment.get("LANGUAGE", "").split(":") if one]
    return (*listed, first)


def _of_windows() -> tuple[str, ...]:
    """The language of the texts of Windows; none elsewhere."""
    if sys.platform == "win32":
        import ctypes  # noqa: PLC0415 - only where there is a Windows to ask
        import locale  # noqa: PLC0415

        name = locale.windows_locale.get(ctypes.windll.kernel32.GetUserDefaultUILanguage(), "")
        return (name,) if name else ()
    return ()
