"""Which colour each role has, on light and on dark ground, and how readable each is.

A palette is a frozen record of colours by role, written '#RRGGBB'. Widgets ask for a role, never
for a colour, so a change here changes the window, its charts and its drawings together.

Every role that carries words or a grade has a contrast of at least 4.5:1 on every ground it can
lie on (WCAG 2.2, success criterion 1.4.3); outlines of fields have at least 3:1 (1.4.11). Colour is
never the only sign: a grade always has its shape and its word as well.

>>> round(contrast("#000000", "#FFFFFF"), 1)
21.0
"""

from __future__ import annotations

from workbench.domain.record import dataclass

GRADES = ("sound", "worn", "due", "unsafe", "unseen", "absent")
"""The grade words, in the order in which they are listed."""


@dataclass(frozen=True, slots=True)
class Palette:
    """The colours of one appearance of the window, each '#RRGGBB'.

    Attributes
    ----------
    name
        'light', 'dark', or one of these with more contrast.
    dark
        True where light text stands on dark ground.
    page, panel, field
        Grounds: the window, a sheet lying on it, a field one writes in.
    hover, selection
        Ground under the pointer and under the chosen row.
    caution, caution_line
        Ground and rule of the caution box.
    hull
        Fill of a hull in a drawing.
    text, quiet, accent
        Ink, secondary ink, and the water blue of selection, focus, links and the price asked.
    on_accent
        Words on an accent ground.
    line, control_line
        Hairlines between things; outline of something that can be operated.
    sound, worn, due, unsafe, unseen
        Colours of the grades.
    """

    name: str
    dark: bool
    page: str
    panel: str
    field: str
    hover: str
    selection: str
    caution: str
    caution_line: str
    hull: str
    text: str
    quiet: str
    accent: str
    on_accent: str
    line: str
    control_line: str
    sound: str
    worn: str
    due: str
    unsafe: str
    unseen: str

    def grade(self, grade: str) -> str:
        """Colour of a grade word; an absent thing is a hairline of ink at 40 %.

        Raises
        ------
        KeyError
            For a word that is no grade, naming those that are.
        """
        if grade == "absent":
            return mix(self.text, self.panel, 0.4)
        if grade not in GRADES:
            message = f"no grade {grade!r}; the grades are {', '.join(GRADES)}"
            raise KeyError(message)
        return str(getattr(self, grade))

    def tint(self, colour: str, share: float = 0.32) -> str:
        """Mix a colour into the panel, for the track of a range or an area under a line."""
        return mix(colour, self.panel, share)


LIGHT = Palette(
    name="light",
    dark=False,
    page="#F7F5F0",
    panel="#FFFFFF",
    field="#FFFFFF",
    hover="#F1EEE7",
    selection="#E6EEF1",
    caution="#FBF2DC",
    caution_line="#D9C48C",
    hull="#F4F1EA",
    text="#1D2A35",
    quiet="#56636E",
    accent="#0B5C7A",
    on_accent="#FFFFFF",
    line="#D5D0C6",
    control_line="#858B91",
    sound="#0B6CA1",
    worn="#806800",
    due="#932F00",
    unsafe="#7A1452",
    unseen="#62676E",
)

DARK = Palette(
    name="dark",
    dark=True,
    page="#16202A",
    panel="#1E2A35",
    field="#182530",
    hover="#24313D",
    selection="#24394A",
    caution="#2B2721",
    caution_line="#6B5F45",
    hull="#16202A",
    text="#E9E6DE",
    quiet="#A3AFB8",
    accent="#6FC3DF",
    on_accent="#10202B",
    line="#37444F",
    control_line="#6F7F8C",
    sound="#58C4F0",
    worn="#FFCB45",
    due="#FF8242",
    unsafe="#E88AC6",
    unseen="#D5D8DD",
)

LIGHT_MORE_CONTRAST = Palette(
    name="light, more contrast",
    dark=False,
    page="#FFFFFF",
    panel="#FFFFFE",
    field="#FFFFFF",
    hover="#F2F2F0",
    selection="#DCEAF0",
    caution="#FFF8E3",
    caution_line="#000000",
    hull="#FFFFFF",
    text="#000000",
    quiet="#2B343B",
    accent="#00405A",
    on_accent="#FFFFFF",
    line="#6B7074",
    control_line="#23292E",
    sound="#004F7C",
    worn="#594800",
    due="#6F2000",
    unsafe="#640040",
    unseen="#3E4349",
)

DARK_MORE_CONTRAST = Palette(
    name="dark, more contrast",
    dark=True,
    page="#000000",
    panel="#060A0D",
    field="#000000",
    hover="#17202A",
    selection="#12344A",
    caution="#1B1608",
    caution_line="#FFFFFF",
    hull="#000000",
    text="#FFFFFF",
    quiet="#D2DAE0",
    accent="#8FDCF5",
    on_accent="#000000",
    line="#8A959E",
    control_line="#C6CFD6",
    sound="#7AD2F7",
    worn="#FFD866",
    due="#FF9A66",
    unsafe="#F5A8D8",
    unseen="#E8EAED",
)

PALETTES = (LIGHT, DARK, LIGHT_MORE_CONTRAST, DARK_MORE_CONTRAST)


def choose_palette(*, dark: bool, more_contrast: bool = False) -> Palette:
    """Return the palette for a ground and a wish for more contrast."""
    return next(
        palette
        for palette in PALETTES
        if palette.dark == dark and ("more contrast" in palette.name) == more_contrast
    )


def palette_by_page(page: str) -> Palette:
    """Return the palette that has this page colour, '#RRGGBB'; light where none has."""
    return next((palette for palette in PALETTES if palette.page == page.upper()), LIGHT)


def _channels(colour: str) -> tuple[float, float, float]:
    red, green, blue = (int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5))
    return red, green, blue


def relative_luminance(colour: str) -> float:
    """Relative luminance of a colour '#RRGGBB', 0 for black to 1 for white.

    Source: WCAG 2.2, definition of relative luminance (sRGB, threshold 0.04045).
    """

    def linear(channel: float) -> float:
        return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(channel) for channel in _channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21. Source: WCAG 2.2, definition of contrast ratio."""
    lighter, darker = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def mix(colour: str, ground: str, share: float) -> str:
    """Lay a colour over a ground with an opacity of `share` (0 to 1); '#RRGGBB'."""
    mixed = (
        round(255 * (over * share + under * (1 - share)))
        for over, under in zip(_channels(colour), _channels(ground), strict=True)
    )
    return "#{:02X}{:02X}{:02X}".format(*mixed)
