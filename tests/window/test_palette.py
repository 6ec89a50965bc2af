"""Colours: readable everywhere they lie, and apart for eyes that mix red and green."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest

from workbench.window.palette import (
    DARK,
    GRADES,
    LIGHT,
    PALETTES,
    Palette,
    choose_palette,
    contrast,
    mix,
    palette_by_page,
    relative_luminance,
)

GROUNDS = ("page", "panel", "field", "hover", "selection", "caution")
WORDS = ("text", "quiet", "accent", "sound", "worn", "due", "unsafe", "unseen")
SEEN_GRADES = ("sound", "worn", "due", "unsafe", "unseen")

# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, 'A physiologically-based model for simulation
# of color vision deficiency', IEEE TVCG 15 (2009), matrices for full severity, on linear sRGB.
SIMULATIONS = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}

# IEC 61966-2-1: linear sRGB to CIE XYZ, white point D65.
TO_XYZ = (
    (0.4124564, 0.3575761, 0.1804375),
    (0.2126729, 0.7151522, 0.0721750),
    (0.0193339, 0.1191920, 0.9503041),
)
WHITE = (0.95047, 1.0, 1.08883)

Triple = tuple[float, float, float]


def linear(colour: str) -> Triple:
    """Linear sRGB of '#RRGGBB' (IEC 61966-2-1)."""

    def channel(start: int) -> float:
        value = int(colour[start : start + 2], 16) / 255
        return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4

    return channel(1), channel(3), channel(5)


def times(matrix: tuple[Triple, Triple, Triple], vector: Triple) -> Triple:
    first, second, third = (
        sum(factor * part for factor, part in zip(row, vector, strict=True)) for row in matrix
    )
    return first, second, third


def lab(linear_colour: Triple) -> Triple:
    """CIE 1976 L*a*b* of a linear sRGB colour (ISO/CIE 11664-4)."""
    held = tuple(min(max(part, 0.0), 1.0) for part in linear_colour)
    scaled = (
        part / white
        for part, white in zip(times(TO_XYZ, (held[0], held[1], held[2])), WHITE, strict=True)
    )
    x, y, z = (
        part ** (1 / 3) if part > (6 / 29) ** 3 else part / (3 * (6 / 29) ** 2) + 4 / 29
        for part in scaled
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def apart(one: str, other: str, simulation: tuple[Triple, Triple, Triple]) -> float:
    """How far two colours look apart to an eye, as CIE 1976 colour difference."""
    return math.dist(lab(times(simulation, linear(one))), lab(times(simulation, linear(other))))


# WCAG 2.2: black on white is 21:1; #767676 is the lightest grey of 4.5:1 on white (4.54 rounded).
@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#000000", "#FFFFFF", 21.0), ("#767676", "#FFFFFF", 4.54), ("#777777", "#FFFFFF", 4.48)],
)
def test_the_contrast_ratio_is_that_of_the_accessibility_guidelines(
    one: str, other: str, ratio: float
) -> None:
    assert round(contrast(one, other), 2) == ratio
    assert contrast(one, other) == contrast(other, one)


# The luminance of the sRGB primaries is the second row of the matrix to XYZ (IEC 61966-2-1).
@pytest.mark.parametrize(
    ("colour", "luminance"), [("#FF0000", 0.2126), ("#00FF00", 0.7152), ("#0000FF", 0.0722)]
)
def test_the_luminance_of_a_primary_is_its_share_of_white(colour: str, luminance: float) -> None:
    assert round(relative_luminance(colour), 4) == luminance


@pytest.mark.parametrize("palette", PALETTES, ids=lambda palette: palette.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("role", WORDS)
def test_words_and_grades_can_be_read_on_every_ground(
    palette: Palette, ground: str, role: str
) -> None:
    assert contrast(getattr(palette, role), getattr(palette, ground)) >= 4.5


@pytest.mark.parametrize("palette", PALETTES, ids=lambda palette: palette.name)
def test_words_on_an_accent_ground_can_be_read(palette: Palette) -> None:
    assert contrast(palette.on_accent, palette.accent) >= 4.5


@pytest.mark.parametrize("palette", PALETTES, ids=lambda palette: palette.name)
@pytest.mark.parametrize("ground", ["page", "panel", "field"])
def test_outlines_of_controls_stand_out_from_the_ground(palette: Palette, ground: str) -> None:
    # WCAG 2.2, success criterion 1.4.11: 3:1 for what is needed to find a control.
    assert contrast(palette.control_line, getattr(palette, ground)) >= 3.0


@pytest.mark.parametrize(
    "palette", [one for one in PALETTES if "more" in one.name], ids=lambda palette: palette.name
)
def test_more_contrast_reaches_the_stricter_ratio(palette: Palette) -> None:
    # WCAG 2.2, success criterion 1.4.6: 7:1.
    for role in WORDS:
        assert contrast(getattr(palette, role), palette.panel) >= 7.0, role


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda palette: palette.name)
@pytest.mark.parametrize("sight", list(SIMULATIONS))
def test_no_two_grades_look_alike_to_colour_blind_eyes(palette: Palette, sight: str) -> None:
    differences = {
        (one, other): apart(palette.grade(one), palette.grade(other), SIMULATIONS[sight])
        for one, other in itertools.combinations(SEEN_GRADES, 2)
    }

    # 2.3 is about the smallest difference that is noticed (M. Mahy and others, 'Evaluation of
    # uniform color spaces', Color Research and Application 19, 1994); three times that is asked.
    assert min(differences.values()) >= 3 * 2.3, differences


def test_the_simulation_would_find_two_colours_that_look_alike() -> None:
    assert apart("#806600", "#A33A00", SIMULATIONS["deuteranopia"]) < 3 * 2.3


def test_every_grade_has_a_colour_and_another_word_is_refused_by_naming_them() -> None:
    assert all(LIGHT.grade(grade).startswith("#") for grade in GRADES)
    with pytest.raises(KeyError, match="sound, worn, due"):
        LIGHT.grade("broken")


def test_mixing_goes_from_the_ground_to_the_colour() -> None:
    assert mix("#000000", "#FFFFFF", 0.0) == "#FFFFFF"
    assert mix("#000000", "#FFFFFF", 1.0) == "#000000"
    assert mix("#000000", "#FFFFFF", 0.4) == "#999999"


def test_a_palette_is_found_by_what_is_wanted_and_by_its_page() -> None:
    assert choose_palette(dark=True) is DARK
    assert choose_palette(dark=False) is LIGHT
    assert choose_palette(dark=True, more_contrast=True).name == "dark, more contrast"
    assert [palette_by_page(palette.page.lower()) for palette in PALETTES] == list(PALETTES)
    assert palette_by_page("#123456") is LIGHT


def test_a_palette_cannot_be_changed() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        LIGHT.page = "#FFFFFF"  # type: ignore[misc]
