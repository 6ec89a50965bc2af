"""The grade mark: shape says the grade, at any size, light and dark."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from tests.window.widgets.acting import holds, near, spoken
from workbench.window.palette import DARK, GRADES, LIGHT, Palette
from workbench.window.plank import grade_icon, grade_pixmap, mark_size
from workbench.window.theme import Theme
from workbench.window.widgets.grade_label import GradeLabel

Put = Callable[[QWidget], QWidget]

# Places of a mark 14 x 8 units drawn 140 x 80, on a picture 140 x 120 that leaves 20 above.
TOP = 20


def picture(grade: str, palette: Palette = LIGHT) -> QImage:
    return grade_pixmap(grade, palette, QSize(140, 120)).toImage()


def painted(image: QImage, x: float, y: float) -> bool:
    """Whether the mark covers a place given in its own units."""
    return image.pixelColor(round(x * 10), round(y * 10) + TOP).alpha() > 128


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=lambda palette: palette.name)
@pytest.mark.parametrize("grade", GRADES)
def test_a_mark_carries_the_colour_of_its_grade(theme: Theme, grade: str, palette: Palette) -> None:
    del theme
    image = picture(grade, palette)

    assert any(
        near(image.pixelColor(x, y), palette.grade(grade), 3)
        for x in range(0, 140, 3)
        for y in range(0, 120, 2)
        if image.pixelColor(x, y).alpha() == 255
    )


def test_a_sound_plank_is_whole(theme: Theme) -> None:
    del theme
    image = picture("sound")

    assert all(painted(image, x, y) for x in (1, 4, 7, 10, 13) for y in (1, 4, 7))


def test_a_worn_plank_has_a_notch_in_its_lower_edge(theme: Theme) -> None:
    del theme
    image = picture("worn")

    assert not painted(image, 7, 7)
    assert painted(image, 7, 2)
    assert painted(image, 2, 7)
    assert painted(image, 12, 7)


def test_a_plank_that_is_due_is_split_in_two(theme: Theme) -> None:
    del theme
    image = picture("due")

    assert not painted(image, 7, 4)
    assert painted(image, 3, 4)
    assert painted(image, 11, 4)


def test_the_right_half_of_an_unsafe_plank_has_fallen(theme: Theme) -> None:
    del theme
    image = picture("unsafe")

    assert painted(image, 3, 1)
    assert not painted(image, 10.5, 1)
    assert painted(image, 10, 8.8)


def test_what_nobody_saw_is_an_outline_with_gaps(theme: Theme) -> None:
    del theme
    image = picture("unseen")
    edge = [painted(image, x / 10, 0.6) for x in range(25, 115)]

    assert not painted(image, 7, 4)
    assert any(edge)
    assert not all(edge)


def test_what_is_absent_is_a_hairline(theme: Theme) -> None:
    del theme
    image = picture("absent")

    assert painted(image, 7, 4)
    assert not painted(image, 7, 2)
    assert not painted(image, 7, 6)


def test_no_two_grades_have_the_same_shape(theme: Theme) -> None:
    del theme
    shapes = {
        grade: tuple(painted(picture(grade), x / 2, y / 2) for x in range(28) for y in range(20))
        for grade in GRADES
    }

    assert len(set(shapes.values())) == len(GRADES)


def test_another_word_is_refused(theme: Theme) -> None:
    del theme
    with pytest.raises(KeyError, match="no grade 'fine'"):
        grade_pixmap("fine", LIGHT, QSize(14, 8))


def test_an_icon_is_sharp_on_dense_screens(theme: Theme) -> None:
    del theme
    icon = grade_icon("due", LIGHT, 16)

    assert {size.width() for size in icon.availableSizes()} == {16, 32, 48}


def test_a_mark_leaves_room_for_what_falls() -> None:
    assert mark_size(8) == (14, 11)


def test_a_grade_is_read_out_as_its_word(put: Put) -> None:
    assert spoken(put(GradeLabel("unsafe"))) == "unsafe"
    assert spoken(put(GradeLabel("worn", count=11))) == "11 worn"
    assert spoken(put(GradeLabel("worn", overruled=True))) == "worn, overruled"


def test_a_grade_label_changes_and_can_be_blank(put: Put) -> None:
    made = GradeLabel("sound")
    put(made)

    made.set_grade("due", count=2)
    assert (made.grade, made.text()) == ("due", "2 due")
    assert holds(made.grab().toImage(), LIGHT.due, 3)

    made.set_grade("")
    assert made.text() == ""
    assert not holds(made.grab().toImage(), LIGHT.due, 3)
