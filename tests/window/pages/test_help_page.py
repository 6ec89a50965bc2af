"""The help: every page reached, searched, read in any appearance, linked safely, and printed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QKeySequence
from PySide6.QtPrintSupport import QPrinterInfo
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from tests.window.pages.conftest import Show
from tests.window.pages.walking import cut_labels, nameless, out_of_reach
from workbench.catalogue.loading import load_folder, with_overrides
from workbench.catalogue.model import Catalogue
from workbench.edits.searching import put_own_checks
from workbench.paths import resources_root
from workbench.window.help_html import from_markdown, inline, plain
from workbench.window.help_topics import check_page, found_in, topics, written_pages
from workbench.window.opening import Openings
from workbench.window.pages.help_page import HelpPage
from workbench.window.pages.settings_checks import TEMPLATE
from workbench.window.session import Session
from workbench.window.theme import Theme, ThemeMode

WAIT = 30_000
CHECK = "stern-bearing-play"


@pytest.fixture(scope="module")
def whole() -> Catalogue:
    """The whole shipped catalogue."""
    return load_folder(resources_root()).catalogue


class Browser:
    def __init__(self) -> None:
        self.asked: list[str] = []

    def __call__(self, url: QUrl) -> bool:
        self.asked.append(url.toString())
        return True


@pytest.fixture
def browser() -> Browser:
    return Browser()


@pytest.fixture
def page(kept: Session, browser: Browser, show: Show) -> HelpPage:
    made = HelpPage(kept, Openings(browser))
    show(made)
    return made


# Markdown and HTML


def test_our_markdown_becomes_headings_paragraphs_lists_and_tables() -> None:
    text = (
        "# Title\n\nA **bold** and *slanted* `word`.\n\n- one\n  more\n- two\n\n1. first\n2. second"
    )

    assert from_markdown(text) == (
        "<h1>Title</h1>\n<p>A <b>bold</b> and <i>slanted</i> <code>word</code>.</p>\n"
        "<ul><li>one more</li><li>two</li></ul>\n<ol><li>first</li><li>second</li></ol>"
    )


def test_a_table_keeps_its_head_and_rows() -> None:
    made = from_markdown("| a | b |\n|---|---|\n| 1 | 2 |\n| 3 | 4 |")

    assert re.findall(r"<th[^>]*>(.*?)</th>", made) == ["a", "b"]
    assert re.findall(r"<td[^>]*>(.*?)</td>", made) == ["1", "2", "3", "4"]


@pytest.mark.parametrize(
    "text", ["<script>alert(1)</script>", '<img src="file:///etc/passwd">', "a & b < c > d"]
)
def test_what_looks_like_markup_is_shown_as_it_stands(text: str) -> None:
    assert plain(inline(text)) == text
    assert "<script" not in inline(text)
    assert "<img" not in inline(text)


def test_multiplication_signs_and_names_are_no_slant() -> None:
    assert inline("4 * likely * high") == "4 * likely * high"


# the pages


def test_every_check_has_a_page_with_its_steps_cautions_rules_and_sources(
    whole: Catalogue,
) -> None:
    for check in whole.checks.values():
        words = plain(check_page(check, whole))

        for step in check.steps:
            assert " ".join(step.split()) in words
        for name in check.cautions:
            assert " ".join(whole.cautions[name].text.split()) in words
        for rule in check.rules:
            assert " ".join(rule.source.sentence().split()) in words
        for remedy in check.remedies:
            assert " ".join(remedy.title.split()) in words


def test_every_caution_stands_on_the_page_of_cautions(whole: Catalogue) -> None:
    cautions = next(one for one in written_pages(whole) if one.key == "help:cautions")

    for one in whole.cautions.values():
        assert plain(one.text).casefold() in cautions.words


def test_the_pages_promise_nothing(whole: Catalogue) -> None:
    promises = re.compile(r"\b(fair price|guarantee[ds]?|passed)\b")

    assert not [one.key for one in written_pages(whole) if promises.search(one.words)]


def test_the_pages_that_are_asked_for_are_there(whole: Catalogue) -> None:
    keys = {one.key for one in written_pages(whole)}

    assert keys >= {"help:cautions", "help:saving", "help:keys", "help:changes", "help:budget"}


def test_every_page_begins_with_its_title(whole: Catalogue) -> None:
    for one in topics(whole):
        assert one.body.startswith("<h1>"), one.key


def test_a_page_is_found_by_all_its_words_and_titles_come_first(whole: Catalogue) -> None:
    found = found_in(topics(whole), "bearing play")

    assert found[0].title.casefold().count("bearing")
    assert all("bearing" in one.words and "play" in one.words for one in found)
    assert found_in(topics(whole), "zzzz") == ()


def test_a_check_of_ones_own_is_shown_as_text_and_never_as_markup(kept: Session) -> None:
    text = TEMPLATE.replace("Smell below", "<b>Smell</b> <img src='file:///x'>")
    kept.apply(put_own_checks(kept.project, "my.toml", text))
    catalogue = with_overrides(kept.shipped, kept.project.overrides).catalogue
    body = check_page(catalogue.checks["my-bilge-smell"], catalogue)

    assert "<img" not in body
    assert "&lt;b&gt;Smell" in body


# the page of the window


def test_searching_lists_the_pages_that_hold_the_words_and_shows_the_first(
    page: HelpPage, qtbot: QtBot
) -> None:
    page.search.setText("sync folders")
    qtbot.keyClick(page.search, Qt.Key.Key_Return)

    assert page.shown is not None
    assert page.shown.key == "help:saving"
    assert page.list.topLevelItemCount() >= 1
    assert page.browser.extraSelections()


def test_arrow_keys_in_the_list_turn_the_pages(page: HelpPage, qtbot: QtBot) -> None:
    page.show_topic("help:start-here")
    page.list.setFocus()
    qtbot.keyClick(page.list, Qt.Key.Key_Down)

    assert page.shown is not None
    assert page.shown.key == "help:grades"


def test_a_check_page_shows_its_drawing_and_leads_to_the_check(
    page: HelpPage, qtbot: QtBot
) -> None:
    page.show_topic(f"check:{CHECK}")

    assert page.look_button.isVisible()
    with qtbot.waitSignal(page.check_requested) as asked:
        page.look_button.click()
    assert asked.args == [CHECK]
    page.show_topic("help:keys")
    assert not page.look_button.isVisible()


def test_an_own_check_gets_its_page_once_it_counts(
    page: HelpPage, kept: Session, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(kept.assessed, timeout=WAIT):
        kept.apply(put_own_checks(kept.project, "my.toml", TEMPLATE))

    page.show_topic("check:my-bilge-smell")

    assert page.shown is not None
    assert page.shown.title == "Smell below"


def test_a_web_address_is_opened_only_after_its_host_was_shown(
    page: HelpPage, browser: Browser
) -> None:
    page.browser.anchorClicked.emit(QUrl("https://example.org/rule"))
    assert "example.org" in page.said.text()
    assert browser.asked == []
    page.no_button.click()
    assert not page.yes_button.isVisible()
    assert browser.asked == []

    page.browser.anchorClicked.emit(QUrl("https://example.org/rule"))
    page.yes_button.click()

    assert browser.asked == ["https://example.org/rule"]


@pytest.mark.parametrize("address", ["file:///etc/passwd", "javascript:alert(1)", "smb://h/s"])
def test_any_other_address_is_refused(page: HelpPage, browser: Browser, address: str) -> None:
    page.browser.anchorClicked.emit(QUrl(address))

    assert page.said.text()
    assert not page.yes_button.isVisible()
    assert browser.asked == []


def test_a_link_to_another_page_goes_there(page: HelpPage) -> None:
    page.browser.anchorClicked.emit(QUrl("help:saving"))

    assert page.shown is not None
    assert page.shown.key == "help:saving"


def test_a_page_is_set_anew_when_the_appearance_changes(page: HelpPage, dressed: Theme) -> None:
    def ink() -> int:
        document = page.browser.document()
        block = document.begin()
        while not block.text().strip():
            block = block.next()
        return block.begin().fragment().charFormat().foreground().color().lightness()

    light = ink()
    dressed.set_mode(ThemeMode.DARK)
    dark = ink()
    dressed.set_mode(ThemeMode.LIGHT)

    assert light < 100 < dark


def test_headings_are_set_at_the_sizes_of_the_window(page: HelpPage) -> None:
    page.show_topic("help:budget")
    block = page.browser.document().begin()
    sizes = {}
    while block.isValid():
        level = block.blockFormat().headingLevel()
        if level and block.text():
            sizes[level] = block.begin().fragment().charFormat().font().pixelSize()
        block = block.next()

    assert sizes == {1: 22, 2: 16}


def test_a_check_page_is_kept_as_a_pdf_with_its_words(
    page: HelpPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "check.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(file), ""))
    page.show_topic(f"check:{CHECK}")
    page.pdf_button.click()

    found = PdfReader(file)
    words = " ".join(" ".join(one.extract_text() for one in found.pages).split())
    assert "Stern bearing play" in words
    assert "How to look" in words
    assert str(tmp_path) not in str(found.metadata)
    assert "check.pdf" in page.said.text()


def test_a_place_that_cannot_be_written_is_told(
    page: HelpPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "nowhere" / "check.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(file), ""))
    page.pdf_button.click()

    assert "could not be written" in page.said.text()


def test_without_a_printer_the_pdf_is_offered(
    page: HelpPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QPrinterInfo, "availablePrinterNames", list)
    page.print_button.click()

    assert "PDF" in page.said.text()


def test_everything_has_a_name_is_reached_by_keys_and_is_not_cut(page: HelpPage) -> None:
    page.show_topic(f"check:{CHECK}")

    assert nameless(page) == []
    assert out_of_reach(page) == []
    assert cut_labels(page) == []


def test_the_keys_on_the_page_of_keys_are_keys(whole: Catalogue) -> None:
    keys = next(one for one in written_pages(whole) if one.key == "help:keys")
    named = re.findall(r"(?:ctrl\+(?:shift\+)?\w+|f\d+)", keys.words)

    assert len(named) > 10
    assert not [one for one in named if QKeySequence(one).isEmpty()]
