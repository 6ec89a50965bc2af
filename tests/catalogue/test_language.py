"""The language is the one that is chosen, or the first of those asked for that is known."""

from __future__ import annotations

import pytest

from workbench.catalogue import language
from workbench.catalogue.language import languages, languages_of_the_system, spoken_language


@pytest.mark.parametrize(
    ("chosen", "of_the_system", "spoken"),
    [
        ("", ["de-AT", "de"], "de"),
        ("", ["de_CH"], "de"),
        ("", ["de_DE.UTF-8"], "de"),
        ("", ["de@euro"], "de"),
        ("", ["xx-XX", "de-DE", "en"], "de"),
        ("", ["en-GB", "de"], "en"),
        ("", ["xx-XX"], "en"),
        ("", [], "en"),
        ("de", ["en-GB"], "de"),
        ("en", ["de-DE"], "en"),
        ("xx", ["de-DE"], "de"),
    ],
)
def test_the_choice_comes_before_the_system(
    chosen: str, of_the_system: list[str], spoken: str
) -> None:
    assert spoken_language(chosen, of_the_system) == spoken


def test_english_and_german_are_spoken() -> None:
    assert languages() == ("en", "de")


# POSIX.1-2017, base definitions, 8.2: LC_ALL goes before the category, the category before LANG,
# and an empty value is as none; LANGUAGE as in the manual of GNU gettext (both from memory).
@pytest.mark.parametrize(
    ("environment", "asked"),
    [
        ({"LANG": "de_DE.UTF-8"}, ("de_DE.UTF-8",)),
        ({"LC_MESSAGES": "en_GB.UTF-8", "LANG": "de_DE.UTF-8"}, ("en_GB.UTF-8",)),
        ({"LC_ALL": "de_AT", "LC_MESSAGES": "en_GB", "LANG": "fr_FR"}, ("de_AT",)),
        ({"LC_ALL": "", "LANG": "de_DE"}, ("de_DE",)),
        ({"LANG": "en_GB", "LANGUAGE": "de_CH:fr"}, ("de_CH", "fr", "en_GB")),
        ({"LANG": "C", "LANGUAGE": "de"}, ()),
        ({"LC_ALL": "C.UTF-8", "LANG": "de_DE"}, ()),
        ({"LC_ALL": "POSIX"}, ()),
    ],
)
def test_the_surroundings_of_a_command_ask_for_a_language(
    environment: dict[str, str], asked: tuple[str, ...]
) -> None:
    assert languages_of_the_system(environment) == asked


def test_where_nothing_is_set_windows_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(language, "_of_windows", lambda: ("de_DE",))

    assert languages_of_the_system({}) == ("de_DE",)
    assert languages_of_the_system({"LANG": "en_US"}) == ("en_US",)
