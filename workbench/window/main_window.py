"""The frame: navigation, pages, saved state, problems, and the keys that work everywhere."""

from __future__ import annotations

import functools
from collections.abc import Callable

from PySide6.QtCore import QSettings, Qt, QTimer, Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMainWindow,
    QMenu,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from workbench.domain.problem import Problem
from workbench.window import where_left
from workbench.window.find import Found, Kind
from workbench.window.find_field import FindField
from workbench.window.first_paint import FirstPaint
from workbench.window.offers import Offer, offer_of
from workbench.window.pages.boats_page import BoatsPage
from workbench.window.pages.registry import PAGES
from workbench.window.said import edit_words
from workbench.window.session import SavedState, Session
from workbench.window.switching import Switching
from workbench.window.texts import tr
from workbench.window.theme import Theme, ThemeMode
from workbench.window.translation import add_language_menu
from workbench.window.widgets.banner import Banner, BannerLevel
from workbench.window.widgets.buttons import NavBar, button
from workbench.window.widgets.labels import label, surface
from workbench.window.widgets.surroundings import SPACE_GROUPS, SPACE_PAGE


class MainWindow(QMainWindow):
    """The window on one search.

    Signals
    -------
    first_shown()
        The window was painted for the first time; what the picture does not need may begin.
    """

    first_shown = Signal()

    def __init__(self, session: Session, theme: Theme, settings: QSettings) -> None:
        super().__init__()
        self.session = session
        self.theme = theme
        self._settings = settings
        self.setWindowTitle(f"{session.project.name}[*] – Hardstand")
        self.setMinimumSize(960, 600)
        room = self.screen().availableGeometry()
        self.resize(min(1440, room.width()), min(900, room.height() - 32))
        self._pages: dict[str, QWidget] = {}
        self._makers: dict[str, Callable[[], QWidget]] = {}
        self.stack = QStackedWidget()
        self.banner = Banner()
        self.banner.hide()
        self._offer = Offer("")
        self.title = label(session.project.name, "heading")
        self.saved = label("", "small")
        self.menu_button = button(tr("Menu"), "quiet", tip=tr("All commands (F10)"))
        self.nav = NavBar([(page.key, page.title()) for page in PAGES if page.in_nav])
        self.switching = Switching(session, settings, self)
        self.finder = FindField(self._seek)
        self._make_actions()
        self._lay_out()
        self._connect_signals()
        self.show_page("boats")
        self._on_changed()
        where_left.restore(self, settings)
        for problem in session.opening_problems[:1]:
            self.show_problem(problem)

    # --- Parts ---

    def _lay_out(self) -> None:
        bar = surface("nav")
        row = QHBoxLayout(bar)
        row.setContentsMargins(SPACE_PAGE, 0, SPACE_GROUPS, 0)
        row.setSpacing(SPACE_GROUPS)
        row.addWidget(self.title)
        row.addWidget(self.nav, 1)
        row.addWidget(self.finder)
        row.addWidget(self.saved)
        row.addWidget(self.menu_button)
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(bar)
        column.addWidget(self.banner)
        column.addWidget(self.stack, 1)
        self.setCentralWidget(holder)
        FirstPaint(bar, self._begin_work)

    def _make_actions(self) -> None:
        self.menu = QMenu(self)
        self.undo_action = self._action(
            tr("Undo"), QKeySequence.StandardKey.Undo, self.session.undo
        )
        self.redo_action = self._action(
            tr("Redo"), QKeySequence.StandardKey.Redo, self.session.redo
        )
        self.menu.addSeparator()
        self._action(tr("Other searches …"), "Ctrl+T", functools.partial(self.show_page, "start"))
        for way in self.switching.ways_in():
            self._action(*way)
        self.save_action = self._action(
            tr("Save"), QKeySequence.StandardKey.Save, self.session.save
        )
        for way in self.switching.ways_out():
            self._action(*way)
        self._action(tr("Earlier saves …"), "Ctrl+E", functools.partial(self.show_page, "earlier"))
        self.menu.addSeparator()
        self._action(
            tr("Bring in a file …"), "Ctrl+I", functools.partial(self.show_page, "bring-in")
        )
        self._action(tr("Find anything"), "Ctrl+K", self.finder.begin)
        self._action(tr("Add a boat …"), "Ctrl+B", self.add_boat)
        self._action(tr("Add a job"), "Ctrl+J", self._add_job)
        self._action(tr("Next check"), "Ctrl+Return", self._next_check)
        self._action(tr("Previous check"), "Ctrl+Shift+Return", self._previous_check)
        self.menu.addSeparator()
        for number, page in enumerate([page for page in PAGES if page.in_nav], 1):
            self._action(
                page.title(), f"Ctrl+{number}", functools.partial(self.show_page, page.key)
            )
        self.menu.addSeparator()
        appearance = self.menu.addMenu(tr("Appearance"))
        for words, mode in (
            (tr("As the system"), ThemeMode.SYSTEM),
            (tr("Light"), ThemeMode.LIGHT),
            (tr("Dark"), ThemeMode.DARK),
        ):
            action = appearance.addAction(words)
            action.triggered.connect(lambda _=False, mode=mode: self.set_appearance(mode))
        self._action(tr("Help on this"), QKeySequence.StandardKey.HelpContents, self.show_help)
        QShortcut(QKeySequence("F10"), self).activated.connect(self._show_menu)
        add_language_menu(self.menu, self._settings)
        self._action(tr("Close"), QKeySequence.StandardKey.Quit, self.close)

    def _action(
        self,
        words: str,
        keys: str | QKeySequence.StandardKey,
        do: Callable[[], object],
    ) -> QAction:
        action = QAction(words, self)
        action.setShortcut(QKeySequence(keys))
        action.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        action.triggered.connect(lambda _=False: do())
        self.addAction(action)
        self.menu.addAction(action)
        return action

    def _connect_signals(self) -> None:
        # navigation
        self.nav.page_chosen.connect(lambda key: self.show_page(str(key)))
        self.menu_button.clicked.connect(self._show_menu)
        # the search
        self.session.changed.connect(self._on_changed)
        self.session.history_changed.connect(self._on_history)
        self.session.saved_state_changed.connect(self._on_saved_state)
        self.session.problem_found.connect(self.show_problem)
        self.switching.switched.connect(self._on_switched)
        self.finder.chosen.connect(self._go_to)
        # the banner
        self.banner.dismissed.connect(self.banner.hide)
        self.banner.action_requested.connect(self._take_offer)

    def _begin_work(self) -> None:
        """Keep unsaved work, and watch the folder, from now on."""
        from workbench.window.keeping import Keeper  # noqa: PLC0415 - after the first picture
        from workbench.window.outside import OutsideWatch  # noqa: PLC0415 - after the first picture

        self.keeper = Keeper(self.session, self)
        self.outside = OutsideWatch(self.session, self)
        self.keeper.offered.connect(self.show_offer)
        self.outside.offered.connect(self.show_offer)
        self.keeper.look_for_unsaved_work()
        self.first_shown.emit()
        QTimer.singleShot(0, self, lambda: self.boats_page.check)

    @property
    def boats_page(self) -> BoatsPage:
        """The main page."""
        page = self.page("boats")
        assert isinstance(page, BoatsPage)  # noqa: S101 - the registry says so
        return page

    def page(self, key: str) -> QWidget:
        """A page by its key, made when it is first shown."""
        if key not in self._pages:
            kind = next(page for page in PAGES if page.key == key)
            made = kind.make(self.session)
            self._pages[key] = made
            self.stack.addWidget(made)
            self._connect_page(made)
        return self._pages[key]

    def _connect_page(self, page: QWidget) -> None:
        """What pages ask of the window, each by a signal that it has or has not."""
        asked: dict[str, Callable[..., object]] = {
            "add_boat_requested": self.add_boat,
            "particulars_requested": self.show_particulars,
            "bring_in_requested": functools.partial(self.show_page, "bring-in"),
            "boats_requested": functools.partial(self.show_page, "boats"),
            "check_requested": self._show_check,
        }
        for name, answer in asked.items():
            signal = getattr(page, name, None)
            if signal is not None:
                signal.connect(answer)
        from workbench.window.pages.start_page import StartPage  # noqa: PLC0415 - seldom shown

        if isinstance(page, StartPage):
            self.switching.follow(page)

    def _show_check(self, check_id: str) -> None:
        self.show_page("boats")
        self.session.select_check(check_id)
        self.boats_page.check.form.focus_first()

    def _seek(self, text: str) -> tuple[Found, ...]:
        from workbench.window.find import find  # noqa: PLC0415 - when something is sought

        return find(self.session, self.menu.actions(), text)

    def _go_to(self, found: Found) -> None:
        """Go to what quick find found."""
        if found.kind is Kind.COMMAND:
            self.menu.actions()[int(found.key)].trigger()
            return
        if found.kind is Kind.SETTING:
            from workbench.window.pages.settings_page import SettingsPage  # noqa: PLC0415 - found

            self.show_page("settings")
            page = self.page("settings")
            assert isinstance(page, SettingsPage)  # noqa: S101 - the registry says so
            page.show_section(found.key)
            page.list.setFocus()
            return
        self.session.select_boat(found.boat)
        if found.kind is Kind.CHECK:
            self._show_check(found.key)
            return
        self.show_page("boats")
        if found.kind is Kind.LINE:
            self.boats_page.ledger.open_line(found.key)

    def show_help(self) -> None:
        """Show the help, at the page of the check that is looked at."""
        from workbench.window.pages.help_page import HelpPage  # noqa: PLC0415 - when asked for

        at_a_check = self.nav.current() == "boats" and bool(self.session.check_id)
        self.show_page("help")
        page = self.page("help")
        assert isinstance(page, HelpPage)  # noqa: S101 - the registry says so
        if at_a_check:
            page.show_topic(f"check:{self.session.check_id}")
        page.search.setFocus()

    def show_page(self, key: str) -> None:
        """Show a page."""
        page = self.page(key)
        self.stack.setCurrentWidget(page)
        if any(kind.key == key and kind.in_nav for kind in PAGES):
            self.nav.set_current(key)
        else:
            held: QWidget | None = self.focusWidget()
            self.nav.clear_current()
            # Its focus would look like the choice of a page that is not shown.
            if held is not None and self.nav.isAncestorOf(held):
                page.setFocus(Qt.FocusReason.OtherFocusReason)

    # --- Following the session ---

    def _on_changed(self) -> None:
        self.title.setText(self.session.project.name)
        self.setWindowTitle(f"{self.session.project.name}[*] – Hardstand")
        self._on_history()
        self._on_saved_state()

    def _on_history(self) -> None:
        history = self.session.history
        self.undo_action.setEnabled(bool(history.undo_label))
        self.undo_action.setText(_with(tr("Undo"), edit_words(history.undo_label)))
        self.redo_action.setEnabled(bool(history.redo_label))
        self.redo_action.setText(_with(tr("Redo"), edit_words(history.redo_label)))

    def _on_saved_state(self) -> None:
        state = self.session.saved_state
        at = self.session.saved_at
        words = {
            SavedState.SAVED: tr("All saved {time}").format(
                time=at.strftime("%H:%M") if at else ""
            ),
            SavedState.CHANGED: tr("Not saved yet"),
            SavedState.SAVING: tr("Saving"),
            SavedState.NOT_SAVED: tr("Not saved"),
            SavedState.READ_ONLY: tr("Read only"),
        }
        self.saved.setText(words[state].strip())
        self.setWindowModified(state is not SavedState.SAVED)

    def show_problem(self, problem: Problem) -> None:
        """Show what is wrong, where, and what to do, in the strip below the navigation."""
        mend = functools.partial(self.show_page, "earlier")
        self.show_offer(offer_of(problem, self.session.folder.damaged, mend))

    def show_offer(self, offer: Offer) -> None:
        """Show a message with one thing to do about it."""
        self._offer = offer
        self.banner.show_message(
            offer.what,
            where=offer.where,
            what_to_do=offer.what_to_do,
            action=offer.action,
            level=BannerLevel.PROBLEM if offer.serious else BannerLevel.INFO,
        )

    def _take_offer(self) -> None:
        self.banner.hide()
        self._offer.do()

    # --- Commands ---

    def _show_menu(self) -> None:
        self.menu.popup(self.menu_button.mapToGlobal(self.menu_button.rect().bottomLeft()))

    def _add_job(self) -> None:
        self.boats_page.ledger.add_job()

    def _next_check(self) -> None:
        self.boats_page.next_check()

    def _previous_check(self) -> None:
        self.boats_page.previous_check()

    def set_appearance(self, mode: ThemeMode) -> None:
        """Light, dark, or as the system; kept for the next time."""
        self.theme.set_mode(mode)
        self._settings.setValue("appearance", mode.value)

    def add_boat(self) -> None:
        """Ask for a boat and her particulars."""
        from workbench.window.pages.boat_dialog import BoatDialog  # noqa: PLC0415 - when asked for

        BoatDialog.enter_new(self.session, self)

    def show_particulars(self, boat_id: str) -> None:
        """Show and change what is known of a boat."""
        from workbench.window.pages.boat_dialog import BoatDialog  # noqa: PLC0415 - when asked for

        BoatDialog.change(self.session, boat_id, self)

    def _on_switched(self) -> None:
        self.banner.hide()
        self.show_page("boats")

    # --- Coming and going ---

    def closeEvent(self, event: QCloseEvent) -> None:
        """Save what is not saved, keep the window's place, then go."""
        where_left.keep(self, self._settings)
        if self.session.is_changed and not self.session.read_only:
            event.ignore()
            self.session.save(self._close_now)
            return
        self._keep_last_shown()
        self.session.close()
        event.accept()

    def _keep_last_shown(self) -> None:
        from workbench.window import last_shown  # noqa: PLC0415 - at the end only

        shown = last_shown.shown_now(self.session)
        if shown is not None and not self.session.is_changed:
            last_shown.keep_last_shown(shown, last_shown.marks_of(self.session))

    def _close_now(self) -> None:
        self.close()


def _with(word: str, label_: str) -> str:
    return f"{word}: {label_}" if label_ else word
