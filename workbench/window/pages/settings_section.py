"""A section of the settings: a title, a sentence, and fields that follow the search.

A field shows what the search holds, gives what was typed to an edit, and shows at itself what the
edit refuses. Nothing is kept here: an undo elsewhere changes the field.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from workbench.domain.project import Project
from workbench.domain.settings import Settings
from workbench.edits.edit import Edit
from workbench.edits.searching import change_settings
from workbench.window.entries import amount_text, read_amount
from workbench.window.session import Session
from workbench.window.texts import tr
from workbench.window.widgets.choice_row import ChoiceRow
from workbench.window.widgets.form import Form
from workbench.window.widgets.labels import label
from workbench.window.widgets.parsed_field import Parse, ParsedField, Show
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_RELATED

WIDEST = 760
"""Width above which lines of a form are hard to follow [device-independent pixels]."""

MakeEdit = Callable[[Project, object], Edit]


@dataclass(frozen=True, slots=True)
class Setting:
    """One field: where its value comes from and which edit changes it.

    Attributes
    ----------
    needed
        Whether the field may not be empty.
    """

    key: str
    words: str
    get: Callable[[Project], object]
    put: MakeEdit
    hint: str = ""
    needed: bool = True


def of_settings(
    name: str,
    words: str,
    hint: str = "",
    *,
    needed: bool = True,
    get: Callable[[Settings], object] | None = None,
    make: Callable[[object], object] = lambda value: value,
) -> Setting:
    """A field for one field of the search's settings."""

    def read(project: Project) -> object:
        return get(project.settings) if get is not None else getattr(project.settings, name)

    return Setting(
        name,
        words,
        read,
        lambda project, value: change_settings(project, words, **{name: make(value)}),
        hint,
        needed,
    )


class SettingsSection(QWidget):
    """Title, sentence, and a form whose rows follow the search."""

    def __init__(
        self, session: Session, title: str, sentence: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.session = session
        self.form = Form()
        self._followers: list[Callable[[], None]] = []
        self.setAccessibleName(title)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(SPACE_RELATED)
        self.column.addWidget(label(title, "title"))
        self.column.addWidget(label(sentence, "quiet", wrap=True))
        self.column.addSpacing(SPACE_GROUPS)
        self.setMaximumWidth(WIDEST)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def follow(self, refresh: Callable[[], None]) -> None:
        """Call something whenever the search changes."""
        self._followers.append(refresh)

    def refresh(self) -> None:
        """Show what the search holds now."""
        for refresh in self._followers:
            refresh()

    def finish(self) -> None:
        """Put the form in and begin to follow; called once all rows are added."""
        self.column.addWidget(self.form)
        self.column.addStretch(1)
        self.session.changed.connect(self.refresh)
        self.refresh()

    # --- Kinds of fields ---

    def parsed(
        self,
        setting: Setting,
        parse: Parse = read_amount,
        show: Show = amount_text,
        *,
        unit: str = "",
        characters: int = 9,
        placeholder: str = "",
    ) -> ParsedField:
        """A field whose value is typed."""
        field = ParsedField(parse, show, unit=unit, characters=characters, placeholder=placeholder)
        self.form.add_row(setting.key, setting.words, field, hint=setting.hint)
        field.value_entered.connect(lambda value: self._on_entered(setting, field, value))

        def refresh() -> None:
            now = setting.get(self.session.project)
            if field.value() != now and not field.problem():
                field.set_value(now)

        self.follow(refresh)
        return field

    def _on_entered(self, setting: Setting, field: ParsedField, value: object) -> None:
        if value is None and setting.needed:
            field.set_problem(tr("This cannot stay empty."))
            return
        field.set_problem(self.session.attempt(lambda project: setting.put(project, value)))

    def text(self, setting: Setting) -> QLineEdit:
        """A field for a line of text."""
        line = QLineEdit()
        self.form.add_row(setting.key, setting.words, line, hint=setting.hint)

        def enter() -> None:
            if line.text().strip() == setting.get(self.session.project):
                self.form.set_problem(setting.key, "")
                return
            refused = self.session.attempt(lambda project: setting.put(project, line.text()))
            self.form.set_problem(setting.key, refused)

        def refresh() -> None:
            now = str(setting.get(self.session.project) or "")
            if line.text() != now and not line.isModified():
                line.setText(now)

        line.editingFinished.connect(enter)
        line.editingFinished.connect(lambda: line.setModified(False))
        self.follow(refresh)
        return line

    def choice(self, setting: Setting, choices: Sequence[tuple[object, str]]) -> ChoiceRow:
        """A field with a few answers side by side."""
        row = ChoiceRow(choices, name=setting.words)
        self.form.add_row(setting.key, setting.words, row, hint=setting.hint)

        def refresh() -> None:
            row.set_choice(setting.get(self.session.project))

        def choose(value: object) -> None:
            if value is None:
                refresh()
            else:
                refused = self.session.attempt(lambda project: setting.put(project, value))
                self.form.set_problem(setting.key, refused)

        row.chosen.connect(choose)
        self.follow(refresh)
        return row


def fitted_combo(box: QComboBox, letters: int = 14) -> QComboBox:
    """A combo box that is as wide as its usual words and no wider."""
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(letters)
    box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return box


def as_decimal(value: object) -> Decimal:
    """What a field of numbers announces, 0 for an emptied one."""
    return value if isinstance(value, Decimal) else Decimal(0)
