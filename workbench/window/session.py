"""The open search: its value, its figures, its history and its folder; the hub of the window.

Pages ask the session for changes and listen to its signals; they keep no copy of anything. A change
is an edit applied to the project; the figures follow from the background, and what arrives late is
dropped. Nothing here draws or asks the user.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from datetime import date, datetime
from enum import Enum
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSettings, Signal

from workbench.domain.problem import EntryError, HardstandError, Problem, Severity
from workbench.domain.project import Candidate, Project
from workbench.edits.edit import Edit, apply

from .background import Background
from .history import History
from .said import said
from .texts import tr

if TYPE_CHECKING:
    from workbench.catalogue.model import Catalogue, Check
    from workbench.figures.assess import Assessor
    from workbench.figures.assessment import Assessment, BoatAssessment
    from workbench.store.folder import Opened, ProjectFolder, SaveReport
    from workbench.window.last_shown import LastShown


FOLDER_WORK = "saving"
"""Topic of background work on the project folder, which one thread at a time may touch."""


class SavedState(Enum):
    """Whether the disk holds what is on screen."""

    SAVED = "saved"
    CHANGED = "changed"
    SAVING = "saving"
    NOT_SAVED = "not-saved"
    READ_ONLY = "read-only"


class Session(QObject):
    """The open search.

    Signals
    -------
    changed()
        The project is another value (an edit, an undo, another folder).
    totals_known(), assessed()
        New figures are in `assessment`. What the eye waits for is shown at the first of the two,
        everything else at the second.
    boat_selected(boat_id), check_selected(check_id)
        Another boat or check is looked at; empty for none.
    history_changed(), saved_state_changed()
        Undo or redo has another step; the disk is ahead or behind.
    problem_found(Problem)
        Something the user should know, with what to do.
    """

    changed = Signal()
    totals_known = Signal()
    assessed = Signal()
    boat_selected = Signal(str)
    check_selected = Signal(str)
    history_changed = Signal()
    saved_state_changed = Signal()
    problem_found = Signal(object)

    def __init__(
        self,
        opened: Opened,
        catalogue: Catalogue | Callable[[], Catalogue],
        background: Background,
        parent: QObject | None = None,
        preferences: QSettings | None = None,
    ) -> None:
        super().__init__(parent)
        self._background = background
        self._load = catalogue if callable(catalogue) else lambda: catalogue
        self.preferences = preferences
        self.history = History()
        self.observer = ""
        self.today: Callable[[], date] = date.today
        self._assessor: Assessor | None = None
        self._take(opened)

    def _take(self, opened: Opened) -> None:
        self.project: Project = opened.project
        self.folder: ProjectFolder = opened.folder
        self.opening_problems: tuple[Problem, ...] = opened.problems
        self.read_only = opened.read_only
        self._saved: Project = opened.project
        self.saved_at: datetime | None = None
        self._saving = False
        self._failed = False
        self.assessment: Assessment | None = None
        self._assessor = None
        self._with_own_checks: Catalogue | None = None
        self.last_shown: LastShown | None = None
        self.history.clear()
        self.boat_id = next(iter(self.project.boats), "")
        self.check_id = ""

    def switch_to(self, opened: Opened) -> None:
        """Go on with another folder; the old one is closed."""
        self._background.finish()
        self.folder.close()
        self._take(opened)
        self._announce()
        self.boat_selected.emit(self.boat_id)
        self.check_selected.emit("")

    def follow_disk(self, opened: Opened) -> None:
        """Go on with the same folder as it now lies on the disk, at the same boat and check.

        `opened` comes from `reload_project` and holds the lock. Earlier steps cannot be undone
        across it, because they were made on other files.
        """
        boat_id, check_id = self.boat_id, self.check_id
        self._take(opened)
        if boat_id in self.project.boats:
            self.boat_id = boat_id
        self.check_id = check_id
        self._announce()
        if self.boat_id != boat_id:
            self.boat_selected.emit(self.boat_id)

    def close(self) -> None:
        """Let the folder go."""
        self._background.finish()
        self.folder.close()

    @property
    def background(self) -> Background:
        """The doorway to slow work; what touches the folder runs under the topic `FOLDER_WORK`."""
        return self._background

    @functools.cached_property
    def shipped(self) -> Catalogue:
        """The catalogue as it came with the program; loaded when it is first asked for."""
        return self._load()

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue with the buyer's own checks, as soon as the first figures are there."""
        return self._with_own_checks or self.shipped

    @property
    def saved(self) -> Project:
        """The project as the disk has it."""
        return self._saved

    def set_observer(self, name: str) -> None:
        """Say who looks from now on; kept for the next time."""
        self.observer = name.strip()
        if self.preferences is not None:
            self.preferences.setValue("observer", self.observer)

    # --- What is looked at ---

    @property
    def candidate(self) -> Candidate | None:
        """The boat that is looked at, with all that is known of her."""
        return self.project.boats.get(self.boat_id)

    @property
    def boat(self) -> BoatAssessment | None:
        """The figures of the boat that is looked at; None until they arrive."""
        return self.assessment.boats.get(self.boat_id) if self.assessment else None

    @property
    def remembered(self) -> LastShown | None:
        """The rows of this boat as the window last showed them, while nothing newer is there."""
        last = self.last_shown
        return last if last is not None and last.boat_id == self.boat_id else None

    @property
    def check(self) -> Check | None:
        """The check that is looked at."""
        return self.catalogue.checks.get(self.check_id) if self.check_id else None

    def recall(self, last: LastShown) -> None:
        """Look at the boat that was last looked at, with the rows that were shown of her."""
        if last.boat_id in self.project.boats and self.assessment is None:
            self.last_shown, self.boat_id = last, last.boat_id
            self.boat_selected.emit(self.boat_id)

    def select_boat(self, boat_id: str) -> None:
        """Look at another boat."""
        if boat_id != self.boat_id and (not boat_id or boat_id in self.project.boats):
            self.boat_id = boat_id
            self.boat_selected.emit(boat_id)

    def select_check(self, check_id: str) -> None:
        """Look at another check."""
        if check_id != self.check_id:
            self.check_id = check_id
            self.check_selected.emit(check_id)

    # --- Changes ---

    def apply(self, edit: Edit) -> None:
        """Make a change."""
        before = self.project
        after, _ = apply(before, edit)
        self.history.add(edit, before, after)
        self._become(after)

    def attempt(self, make: Callable[[Project], Edit]) -> str:
        """Make the edit that `make` answers for the project; a sentence when it is refused."""
        try:
            edit = make(self.project)
        except EntryError as error:
            return said(str(error))
        self.apply(edit)
        return ""

    def undo(self) -> None:
        """Take the last change back."""
        before = self.history.undo()
        if before is not None:
            self._become(before)

    def redo(self) -> None:
        """Do again what was taken back."""
        after = self.history.redo()
        if after is not None:
            self._become(after)

    def _become(self, project: Project) -> None:
        self.project = project
        if self.boat_id not in project.boats:
            self.boat_id = next(iter(project.boats), "")
            self._announce()
            self.boat_selected.emit(self.boat_id)
            return
        self._announce()

    def _announce(self) -> None:
        self.last_shown = None
        self.changed.emit()
        self.history_changed.emit()
        self.saved_state_changed.emit()
        self.request_figures()

    # --- Figures ---

    def request_figures(self) -> None:
        """Ask for the figures of the project as it is now; they arrive with `assessed`."""
        project = self.project

        def figure() -> Assessment:
            from workbench.figures.assess import Assessor  # noqa: PLC0415 - numpy waits for its use

            if self._assessor is None:
                self._assessor = Assessor()
            return self._assessor.assess(project, self.shipped)

        self._background.run("figures", figure, self._on_figured, self._on_not_figured)

    def _on_figured(self, assessment: Assessment) -> None:
        self.assessment, self.last_shown = assessment, None
        self._with_own_checks = assessment.catalogue
        self.totals_known.emit()
        self.assessed.emit()

    def _on_not_figured(self, error: Exception) -> None:
        message = tr("The figures could not be made: {error}.").format(error=error)
        self.problem_found.emit(Problem(tr("Figures"), message, tr("Undo the last change.")))

    # --- Saving ---

    @property
    def is_changed(self) -> bool:
        """Whether the project differs from the disk."""
        return self.project is not self._saved and self.project != self._saved

    @property
    def saved_state(self) -> SavedState:
        """Whether the disk holds what is on screen."""
        if self.read_only:
            return SavedState.READ_ONLY
        if self._saving:
            return SavedState.SAVING
        if not self.is_changed:
            return SavedState.SAVED
        return SavedState.NOT_SAVED if self._failed else SavedState.CHANGED

    def save(self, then: Callable[[], None] | None = None) -> None:
        """Write what changed, beside the window; `then` follows a complete save."""
        if self.read_only:
            self.problem_found.emit(
                Problem(
                    tr("Saving"), self.read_only, tr("Save a copy elsewhere."), Severity.REFUSED
                )
            )
            return
        from workbench.store.folder import save_project  # noqa: PLC0415 - when asked for

        project, saved = self.project, self._saved
        self._saving = True
        self.saved_state_changed.emit()

        def written(report: SaveReport) -> None:
            self._on_saved(project, report)
            if then is not None and report.complete:
                then()

        self._background.run(
            FOLDER_WORK,
            lambda: save_project(self.folder, project, saved),
            written,
            self._on_not_saved,
            latest_only=False,
        )

    def _on_saved(self, project: Project, report: SaveReport) -> None:
        self._saving, self._failed = False, not report.complete
        if report.complete:
            self._saved = project
            self.saved_at = datetime.now()
        for problem in report.problems:
            self.problem_found.emit(problem)
        self.saved_state_changed.emit()

    def _on_not_saved(self, error: Exception) -> None:
        self._saving, self._failed = False, True
        self.saved_state_changed.emit()
        if isinstance(error, HardstandError):
            for problem in error.problems:
                self.problem_found.emit(problem)
            return
        message = tr("Nothing was saved: {error}. Your work is still here.").format(error=error)
        remedy = tr("Try again, or save a copy elsewhere.")
        self.problem_found.emit(Problem(tr("Saving"), message, remedy))

    @property
    def place(self) -> Path:
        """The folder on disk."""
        return Path(self.folder.root)
