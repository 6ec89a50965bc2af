"""The compiled catalogue is the built one, and what is stale or damaged is as if it were not there.

What must be equal is compared record by record with the catalogue built from the shipped texts.
"""

from __future__ import annotations

import dataclasses
import json
import os
import threading
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from tests.catalogue.shelf import catalogue as built
from workbench.catalogue import compiled, loading
from workbench.catalogue.compiled import marks_of, name_of, read_compiled, write_compiled
from workbench.catalogue.language import ENGLISH
from workbench.catalogue.loading import files_of, load
from workbench.catalogue.model import Band, Catalogue, Check
from workbench.catalogue.wording import Wording
from workbench.domain.frozen import FrozenMap
from workbench.domain.packing import UnpackError, pack, unpack
from workbench.domain.vocabulary import Grade
from workbench.paths import cache_folder, resources_root

NAME = name_of(ENGLISH)
Damage = Callable[[bytes], bytes]


@pytest.fixture
def sources(tmp_path: Path) -> tuple[Path, ...]:
    """Two source files of this test's own."""
    made = (tmp_path / "one.toml", tmp_path / "two.toml")
    for path in made:
        path.write_text("a = 1\n", encoding="utf-8")
    return made


@pytest.fixture
def fresh_load() -> Iterator[None]:
    """`load` as at the start of the program, and as it was afterwards."""
    loading._loaded.cache_clear()
    yield
    loading._loaded.cache_clear()


def test_the_whole_catalogue_survives_packing_and_unpacking() -> None:
    again = unpack(Catalogue, json.loads(json.dumps(pack(built()))))

    assert again == built()
    for kept, read in zip(built().checks.values(), again.checks.values(), strict=True):
        assert repr(kept) == repr(read)  # the written form too: 1.0 is not 1.00
    assert list(again.prices.items) == list(built().prices.items)


def test_what_was_written_is_read_while_the_sources_stay(sources: tuple[Path, ...]) -> None:
    marks = marks_of(sources)
    assert read_compiled(marks) is None

    write_compiled(built(), marks)

    assert read_compiled(marks_of(sources)) == built()


def _longer(path: Path) -> None:
    path.write_text("a = 1\nb = 2\n", encoding="utf-8")


def _other_of_the_same_size(path: Path) -> None:
    path.write_text("a = 2\n", encoding="utf-8")
    facts = path.stat()
    os.utime(path, ns=(facts.st_atime_ns, facts.st_mtime_ns + 1_000_000))


@pytest.mark.parametrize("change", [_longer, _other_of_the_same_size])
def test_a_changed_source_makes_it_stale(
    sources: tuple[Path, ...], change: Callable[[Path], None]
) -> None:
    write_compiled(built(), marks_of(sources))

    change(sources[1])

    assert read_compiled(marks_of(sources)) is None


def test_a_new_and_a_missing_source_make_it_stale(sources: tuple[Path, ...]) -> None:
    write_compiled(built(), marks_of(sources))

    assert read_compiled(marks_of(sources[:1])) is None
    assert read_compiled(marks_of((*sources, sources[0]))) is None


@pytest.mark.parametrize(
    "damage",
    [
        lambda _: b"",
        lambda text: text[:-1],
        lambda text: text[: len(text) // 2],
        lambda text: text.replace(b"due", b"dew", 1),
        lambda text: text[:5000] + bytes([text[5000] ^ 1]) + text[5001:],
        lambda text: b"\xff\xfe" + text,
        lambda text: text.partition(b"\n")[2],
        lambda _: b"[]\n[]",
        lambda _: b"null",
    ],
)
def test_a_damaged_file_is_as_if_it_were_not_there(
    sources: tuple[Path, ...], damage: Damage
) -> None:
    marks = marks_of(sources)
    write_compiled(built(), marks)
    place = cache_folder() / NAME
    place.write_bytes(damage(place.read_bytes()))

    assert read_compiled(marks) is None


@pytest.mark.parametrize(
    "plain", [None, [], {}, "due", ["due"], ["due", "x", True], ["new", "1", True]]
)
def test_what_is_no_such_record_is_refused(plain: object) -> None:
    assert unpack(Band, ["due", "1.0", True]) == Band(Grade.DUE, Decimal("1.0"))
    with pytest.raises(UnpackError):
        unpack(Band, plain)


def test_a_record_of_another_shape_is_refused() -> None:
    check = pack(next(iter(built().checks.values())))

    for plain in (check[:-1], [*check, ""], check[::-1]):
        with pytest.raises(UnpackError):
            unpack(Check, plain)


@pytest.mark.usefixtures("fresh_load")
def test_loading_uses_the_compiled_form_and_makes_it_where_there_is_none(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(loading, "load_folder", lambda *_: loading.Loaded(built(), ()))
    first = load()
    loading._loaded.cache_clear()
    monkeypatch.setattr(loading, "load_folder", _must_not_be_called)

    second = load()

    assert first == second == built()
    assert first is not second


def _must_not_be_called(_: Path, language: str) -> loading.Loaded:
    del language
    raise AssertionError("the texts were read although nothing had changed")


@pytest.mark.usefixtures("fresh_load")
def test_loading_works_where_nothing_can_be_kept(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    in_the_way = tmp_path / "a file"
    in_the_way.write_text("", encoding="utf-8")
    monkeypatch.setattr(compiled, "cache_folder", lambda: in_the_way / "below")
    monkeypatch.setattr(loading, "load_folder", lambda *_: loading.Loaded(built(), ()))

    assert load() == built()


@pytest.mark.usefixtures("fresh_load")
def test_two_threads_get_one_catalogue(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(loading, "load_folder", lambda *_: loading.Loaded(built(), ()))
    got: list[Catalogue] = []
    threads = [threading.Thread(target=lambda: got.append(load())) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(got) == 4
    assert all(one is got[0] for one in got)


def test_nothing_is_left_beside_the_compiled_file(sources: tuple[Path, ...]) -> None:
    write_compiled(built(), marks_of(sources))
    write_compiled(built(), marks_of(sources))

    assert [path.name for path in cache_folder().iterdir()] == [NAME]


def test_every_source_of_the_shipped_catalogue_is_watched() -> None:
    watched = {mark[0] for mark in marks_of(files_of(resources_root()))}

    folders = (resources_root() / name for name in ("catalogue", "prices"))
    texts = {str(path) for folder in folders for path in folder.rglob("*.toml")}
    assert texts <= watched
    assert str(Path(compiled.__file__).resolve()) in watched


def _in_german() -> Catalogue:
    """The built catalogue as if it had been loaded in German."""
    wording = Wording("de", FrozenMap({"sound": "in Ordnung"}))
    return dataclasses.replace(built(), wording=wording)


def test_each_language_is_kept_for_itself(sources: tuple[Path, ...]) -> None:
    marks = marks_of(sources)
    write_compiled(built(), marks)
    write_compiled(_in_german(), marks)

    assert read_compiled(marks) == built()
    assert read_compiled(marks, "de") == _in_german()
    assert read_compiled(marks, "xx") is None


@pytest.mark.usefixtures("fresh_load")
def test_a_language_is_compiled_once_and_watched_with_its_translations(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(loading, "load_folder", lambda *_: loading.Loaded(_in_german(), ()))
    first = load("de")
    loading._loaded.cache_clear()
    monkeypatch.setattr(loading, "load_folder", _must_not_be_called)

    assert load("de") == first
    watched = set(files_of(resources_root(), "de")) - set(files_of(resources_root()))
    assert watched == set((resources_root() / "translations" / "de").glob("*.json"))
