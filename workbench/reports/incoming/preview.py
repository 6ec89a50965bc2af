"""What a file would change, before anything is changed: changes, problems, open questions.

A recogniser answers a `Preview`. It holds one edit with everything, or none: while a question is
open or a cell cannot be read nothing is taken in, unless the person says to leave those cells out.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import field
from datetime import date

from workbench.catalogue.model import Catalogue
from workbench.domain.problem import Problem, Severity
from workbench.domain.project import Project
from workbench.domain.record import dataclass
from workbench.edits.edit import Edit, apply
from workbench.store.attachments import document_name

from .cells import Incoming

LEAVE_OUT = "leave-out"
"""Key of the answer that leaves out what cannot be read; its value is `yes`."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer to a question."""

    value: str
    words: str


@dataclass(frozen=True, slots=True)
class Question:
    """Something that the file leaves open and only a person can say.

    Attributes
    ----------
    key
        By which the answer is given.
    choices
        The answers there are; empty where any text may be one.
    now
        The answer that holds while none is given; empty where nothing can go on without one.
    """

    key: str
    text: str
    choices: tuple[Choice, ...] = ()
    now: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """One value that would be another.

    Attributes
    ----------
    where
        The boat and the check, the job, or the table.
    old
        Empty where there was nothing.
    at
        The cell it comes from.
    """

    where: str
    what: str
    old: str
    new: str
    at: str = ""

    def sentence(self) -> str:
        """The change in one line."""
        before = f"{self.old} → " if self.old else ""
        return f"{self.where}: {self.what} {before}{self.new}"


@dataclass(frozen=True, slots=True)
class KeptFile:
    """The file that came in, to be stored with a boat's documents before the edit is made.

    Attributes
    ----------
    file
        The name it will have there, by which the edit refers to it.
    """

    boat: str
    file: str
    name: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Preview:
    """What a file would change.

    Attributes
    ----------
    title
        What was recognised, such as `Field form of Ann`.
    read_as
        How it was read: encoding, separator, which column holds what.
    rows
        How many filled rows were looked at.
    unchanged
        How many values are there already.
    edit
        Everything as one step; None when there is nothing to do or something is open.
    offers
        Questions that the file answers by itself, for a person who knows better.
    kept
        What must be stored before the edit is made, because it names it.
    """

    title: str
    read_as: tuple[str, ...] = ()
    rows: int = 0
    changes: tuple[Change, ...] = ()
    problems: tuple[Problem, ...] = ()
    questions: tuple[Question, ...] = ()
    unchanged: int = 0
    edit: Edit | None = None
    kept: tuple[KeptFile, ...] = ()
    offers: tuple[Question, ...] = ()

    @property
    def faults(self) -> tuple[Problem, ...]:
        """The problems that keep something out; notices are not among them."""
        return tuple(one for one in self.problems if one.severity is not Severity.NOTICE)

    @property
    def notices(self) -> tuple[Problem, ...]:
        """What should be known and keeps nothing out."""
        return tuple(one for one in self.problems if one.severity is Severity.NOTICE)

    def summary(self) -> str:
        """What would happen, in one line."""
        counted = _counted(len(self.changes), "change")
        parts = [counted, f"{self.unchanged:,} there already"]
        if self.faults:
            parts.append(_counted(len(self.faults), "problem"))
        if self.questions:
            parts.append(_counted(len(self.questions), "question"))
        return f"{self.title}: {_counted(self.rows, 'row')}, {', '.join(parts)}."


def _counted(number: int, one: str) -> str:
    return f"{number:,} {one}{'' if number == 1 else 's'}"


@dataclass(frozen=True, slots=True)
class Request:
    """What a file is held against.

    Attributes
    ----------
    answers
        By question key.
    boat
        The boat that is meant where the file names none; empty for none.
    today
        The day on which prices without a day were first seen.
    """

    incoming: Incoming
    project: Project
    catalogue: Catalogue
    today: date
    answers: Mapping[str, str] = field(default_factory=dict)
    boat: str = ""


class Draft:
    """A preview in the making: the project as it would be, and what was said on the way."""

    def __init__(self, request: Request, title: str) -> None:
        self.request = request
        self.title = title
        self.project = request.project
        self.rows = 0
        self.unchanged = 0
        self._edits: list[Edit] = []
        self._kept: dict[str, KeptFile] = {}
        self._changes: list[Change] = []
        self._problems: list[Problem] = list(request.incoming.notices)
        self._questions: dict[str, Question] = {}
        self._offers: dict[str, Question] = {}
        self._read_as: list[str] = [request.incoming.read_as] if request.incoming.read_as else []

    def answer(self, key: str) -> str:
        """What was answered to a question; empty when it was not."""
        return self.request.answers.get(key, "").strip()

    def ask(self, question: Question) -> None:
        """Put a question once; one that has an answer already is only offered."""
        held = self._offers if question.now else self._questions
        held.setdefault(question.key, question)

    def read_as(self, words: str) -> None:
        """Say how something was read."""
        self._read_as.append(words)

    def problem(self, where: str, message: str, remedy: str) -> None:
        """Say what keeps a cell out."""
        self._problems.append(Problem(where, message, remedy))

    def notice(self, where: str, message: str, remedy: str = "") -> None:
        """Say what should be known."""
        self._problems.append(Problem(where, message, remedy, Severity.NOTICE))

    def keep_file(self, boat_id: str) -> str:
        """Have the file kept with a boat's documents; its name there, empty where it cannot be."""
        incoming = self.request.incoming
        file = document_name(incoming.data, incoming.name) if incoming.data else ""
        if file:
            self._kept[boat_id] = KeptFile(boat_id, file, incoming.name, incoming.data)
        return file

    def change(self, edit: Edit, changes: list[Change]) -> None:
        """Put an edit after those before it."""
        self.project, _ = apply(self.project, edit)
        self._edits.append(edit)
        self._changes += changes

    def preview(self, label: str) -> Preview:
        """All of it; the edit is there only when nothing is open."""
        made = Preview(
            self.title,
            tuple(self._read_as),
            self.rows,
            tuple(self._changes),
            tuple(self._problems),
            tuple(self._questions.values()),
            self.unchanged,
            offers=tuple(self._offers.values()),
        )
        may = not made.faults or self.answer(LEAVE_OUT) == "yes"
        if made.questions or not self._edits or not may:
            return made
        puts = tuple(put for edit in self._edits for put in edit.puts)
        return dataclasses.replace(made, edit=Edit(label, puts), kept=tuple(self._kept.values()))
