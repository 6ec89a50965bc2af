"""The pages of the window in their order; each is made when it is first shown."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtWidgets import QWidget

from workbench.window.session import Session
from workbench.window.texts import tr


@dataclass(frozen=True, slots=True)
class PageKind:
    """A page: its key, its title, how it is made, and whether the navigation names it."""

    key: str
    title: Callable[[], str]
    make: Callable[[Session], QWidget]
    in_nav: bool = True


def _boats(session: Session) -> QWidget:
    from workbench.window.pages.boats_page import BoatsPage  # noqa: PLC0415 - made when shown

    return BoatsPage(session)


def _shortlist(session: Session) -> QWidget:
    from workbench.window.pages.shortlist_page import ShortlistPage  # noqa: PLC0415 - when shown

    return ShortlistPage(session)


def _side_by_side(session: Session) -> QWidget:
    from workbench.window.pages.side_by_side_page import SideBySidePage  # noqa: PLC0415 - when shown

    return SideBySidePage(session)


def _look_next(session: Session) -> QWidget:
    from workbench.window.pages.look_next_page import LookNextPage  # noqa: PLC0415 - when shown

    return LookNextPage(session)


def _paper(session: Session) -> QWidget:
    from workbench.window.pages.paper_page import PaperPage  # noqa: PLC0415 - made when shown

    return PaperPage(session)


def _offer(session: Session) -> QWidget:
    from workbench.window.pages.offer_page import OfferPage  # noqa: PLC0415 - when shown

    return OfferPage(session)


def _anchors(session: Session) -> QWidget:
    from workbench.window.pages.anchors_page import AnchorsPage  # noqa: PLC0415 - when shown

    return AnchorsPage(session)


def _bring_in(session: Session) -> QWidget:
    from workbench.window.pages.import_page import ImportPage  # noqa: PLC0415 - made when shown

    return ImportPage(session)


def _settings(session: Session) -> QWidget:
    from workbench.window.pages.settings_page import SettingsPage  # noqa: PLC0415 - when shown

    return SettingsPage(session)


def _earlier(session: Session) -> QWidget:
    from workbench.window.pages.earlier_page import EarlierPage  # noqa: PLC0415 - when shown

    return EarlierPage(session)


def _start(session: Session) -> QWidget:
    from workbench.window.pages.start_page import StartPage  # noqa: PLC0415 - when shown
    from workbench.window.recent import recent_places  # noqa: PLC0415 - when shown

    preferences = session.preferences
    return StartPage(
        lambda: recent_places(preferences) if preferences is not None else (),
        lambda: session.place,
    )


def _help(session: Session) -> QWidget:
    from workbench.window.pages.help_page import HelpPage  # noqa: PLC0415 - made when shown

    return HelpPage(session)


PAGES: tuple[PageKind, ...] = (
    PageKind("boats", lambda: tr("Boats"), _boats),
    PageKind("shortlist", lambda: tr("Shortlist"), _shortlist),
    PageKind("side-by-side", lambda: tr("Side by side"), _side_by_side),
    PageKind("look-next", lambda: tr("Look next"), _look_next),
    PageKind("anchors", lambda: tr("Price anchors"), _anchors),
    PageKind("offer", lambda: tr("Offer"), _offer),
    PageKind("paper", lambda: tr("Paper"), _paper),
    PageKind("bring-in", lambda: tr("Bring in"), _bring_in, in_nav=False),
    PageKind("settings", lambda: tr("Settings"), _settings),
    PageKind("help", lambda: tr("Help"), _help),
    PageKind("earlier", lambda: tr("Earlier saves"), _earlier, in_nav=False),
    PageKind("start", lambda: tr("Start"), _start, in_nav=False),
)
