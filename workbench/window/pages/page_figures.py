"""Figures that one page needs beyond the assessment: made beside the window, and only when seen.

A page that is not shown asks for nothing; it catches up when it is shown. What arrives after the
page is gone, or after newer figures were asked for, is dropped.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from workbench.domain.problem import Problem
from workbench.window.background import Background
from workbench.window.session import Session
from workbench.window.texts import tr

Job = Callable[[], Any]


class PageFigures(QObject):
    """Keeps one page's own figures up to date.

    Parameters
    ----------
    page
        The page; figures are made while it is shown.
    session
        Where failures are told.
    prepare
        Called in the window's thread; takes what the job needs from the session and answers the
        job, or None where there is nothing to figure.
    take
        Called in the window's thread with what the job answered, or with None.
    """

    def __init__(
        self,
        page: QWidget,
        session: Session,
        prepare: Callable[[], Job | None],
        take: Callable[[Any], None],
    ) -> None:
        super().__init__(page)
        self._page = page
        self._session = session
        self._prepare, self._take = prepare, take
        self._background = Background(session)
        self._stale = True
        page.installEventFilter(self)

    def refresh(self) -> None:
        """Make the figures anew: at once where the page is shown, else when it is."""
        self._stale = True
        if self._page.isVisible():
            self._start()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Catch up when the page is shown."""
        if watched is self._page and event.type() == QEvent.Type.Show and self._stale:
            self._start()
        return super().eventFilter(watched, event)

    def _start(self) -> None:
        self._stale = False
        job = self._prepare()
        if job is None:
            self._take(None)
            return
        self._background.run("page", job, self._on_done, self._on_failed)

    def _on_done(self, figures: object) -> None:
        if isValid(self) and isValid(self._page):
            self._take(figures)

    def _on_failed(self, error: Exception) -> None:
        if isValid(self._session):
            message = tr("The figures of this page could not be made: {error}.").format(error=error)
            self._session.problem_found.emit(
                Problem(tr("Figures"), message, tr("Undo the last change."))
            )

    def finish(self) -> None:
        """Wait until nothing is being figured; for tests and for closing."""
        self._background.finish()
