"""Reading the catalogue: all faults at once, each with its place, and none in what is shipped."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.catalogue.shelf import shipped
from workbench.catalogue import check_files
from workbench.catalogue.loading import Loaded, build, load
from workbench.paths import resources_root

CHECK_FILE = "catalogue/checks/example.toml"
PRICE_FILE = "prices/items/example.toml"

CHECK = """\
[system]
id = "example"
title = "Example"
order = 1
intro = "One part."

[[check]]
id = "example-play"
title = "Play of the part"
part = "Part"
station = "deck"
looks = "either"
minutes = 2
steps = ["Lift it.", "Let it drop.", "Look."]
feel = "Quiet when it is right."
leads_to = "It wears."
hazards = ["ladder"]
cautions = ["ladder"]
handover = { who = "surveyor", when = "It moves." }
judgement = { judges = "yes", sees = "0.8", false_alarm = "0.1" }
prior = [[10, "0.1"], ["older", "0.2"]]

  [check.meaning]
  sound = "Tight."
  due = "Loose."

  [[check.entry]]
  id = "play"
  label = "Play"
  kind = "number"
  unit = "mm"
  imperial_unit = "in"
  low = "0"
  high = "10"

  [[check.rule]]
  id = "one-millimetre"
  entry = "play"
  kind = "bands"
  bands = [{ grade = "due", at = "1" }]
  group = "play"
  lead = true
  source = { basis = "common-practice" }

  [[check.remedy]]
  id = "renew"
  title = "Renew it"
  grades = ["due"]
  when = "before-launching"
  claim = "whole"
  claim_why = "It is loose."
  own = { may = true, hours_share = "1" }
  work = [{ id = "part", title = "New part", item = "example-part" }]
"""

PRICES = """\
[book]
system = "example"

[[item]]
id = "example-part"
title = "New part, fitted"
labour = [{ trade = "shipwright", hours = ["1", "2", "4"] }]
materials = ["10", "20", "40"]
source = { basis = "common-practice" }
"""


def texts() -> dict[str, str]:
    """A catalogue of the shared tables, the access work and one check of our own."""
    folder = resources_root()
    shared = [
        *(f"catalogue/{name}.toml" for name in ("fitout", "cautions", "stations", "access")),
        "prices/rates.toml",
        "prices/items/access.toml",
    ]
    return {
        **{name: (folder / name).read_text(encoding="utf-8") for name in shared},
        CHECK_FILE: CHECK,
        PRICE_FILE: PRICES,
    }


def loaded_with(*changes: tuple[str, str, str]) -> Loaded:
    """The catalogue after changes of (file, old text, new text)."""
    written = texts()
    for file, old, new in changes:
        assert written[file].count(old) >= 1, f"{old} is not in {file}"
        written[file] = written[file].replace(old, new, 1)
    return build(written)


def sentences(loaded: Loaded) -> list[str]:
    return [problem.sentence() for problem in loaded.problems]


def line_of(text: str, words: str) -> int:
    """The line, counted from 1, on which words stand."""
    return next(number for number, line in enumerate(text.splitlines(), 1) if words in line)


def test_the_shipped_files_have_no_fault() -> None:
    assert sentences(shipped()) == []


def test_the_shipped_catalogue_is_read_once_and_shared() -> None:
    assert load() is load()


def test_a_check_file_of_our_own_has_no_fault() -> None:
    assert sentences(build(texts())) == []


def test_every_fault_is_told_at_once_with_its_place() -> None:
    changes = [
        (CHECK_FILE, "leads_to =", "leadsto ="),
        (CHECK_FILE, 'grade = "due", at', 'grade = "dreadful", at'),
        (CHECK_FILE, "lead = true", "lead = false"),
        (CHECK_FILE, 'item = "example-part"', 'item = "no-such-price"'),
        (PRICE_FILE, 'trade = "shipwright"', 'trade = "wizard"'),
    ]

    told = sentences(loaded_with(*changes))

    misspelt = line_of(CHECK, "leads_to =")
    assert any(f"{CHECK_FILE}:{misspelt}: “leadsto”" in one and "leads_to" in one for one in told)
    bands = line_of(CHECK, "bands =")
    assert any(f"{CHECK_FILE}:{bands}: “dreadful” is not a grade" in one for one in told)
    assert any("example-play" in one and "need one lead; they have 0" in one for one in told)
    assert any("example-play" in one and "“no-such-price”" in one for one in told)
    assert any("example-part" in one and "“wizard”" in one for one in told)


def test_a_ring_of_access_work_is_named_from_end_to_end() -> None:
    ring = ('id = "haul-out"', 'id = "haul-out"\nnote = "x"')
    loaded = loaded_with(
        ("catalogue/access.toml", *ring),
        (
            "catalogue/access.toml",
            'title = "Haul out and stand ashore, relaunch after"\nrequires = []',
            'title = "Haul out and stand ashore, relaunch after"\nrequires = ["draw-shaft"]',
        ),
    )

    assert any("haul-out → draw-shaft → haul-out" in one for one in sentences(loaded))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('station = "deck"', 'station = "moon"', "“moon” is not known"),
        ('cautions = ["ladder"]', "cautions = []", "“ladder” has no caution at this check"),
        ('cautions = ["ladder"]', 'cautions = ["dragons"]', "“dragons” is not known"),
        ('unit = "mm"', 'unit = "cubit"', "“cubit” is not a unit"),
        ('entry = "play"', 'entry = "ply"', "“ply”, which is no entry"),
        ('low = "0"\n', "", "A number needs sensible limits"),
        ('sees = "0.8"', 'sees = "0.05"', "more often than it sees a false one"),
        ('["older", "0.2"]', '[30, "0.2"]', 'must be for ["older", chance]'),
        ('sees = "0.8"', 'sees = "8"', "chance between 0 and 1"),
        ('  due = "Loose."\n', "", "its meaning is not written"),
        ('grades = ["due"]', 'grades = ["worn"]', "no remedy is offered for it"),
        ('item = "example-part" }]', 'item = "example-part" }]\n  access = ["fly"]', "“fly”"),
        ('kind = "bands"', 'kind = "method"\n  method = "tea-leaves"\n  grades = {}', "tea-leaves"),
        ('basis = "common-practice"', 'basis = "published"', "needs its title"),
        ('basis = "common-practice"', 'basis = "hearsay"', "“hearsay” is not a basis"),
        ('id = "example-play"', 'id = "Example Play"', "cannot be an id"),
        ("minutes = 2", 'minutes = "two"', "must be a whole number"),
        ('at = "1"', 'at = "one"', "must hold a number"),
        ("hazards =", 'applies = { hull = ["steel"] }\nhazards =', "“hull” is not a fit-out fact"),
        (
            "hazards =",
            'applies = { keel = ["wing"] }\nhazards =',
            "The fact “keel” cannot be “wing”",
        ),
    ],
)
def test_a_fault_of_one_kind_is_told_in_words(old: str, new: str, words: str) -> None:
    assert any(words in one for one in sentences(loaded_with((CHECK_FILE, old, new))))


def test_bands_in_which_a_worse_reading_gets_a_better_grade_are_refused() -> None:
    upside_down = 'bands = [{ grade = "due", at = "1" }, { grade = "worn", at = "3" }]'
    told = sentences(
        loaded_with((CHECK_FILE, 'bands = [{ grade = "due", at = "1" }]', upside_down))
    )

    assert any("A worse reading would get a better grade" in one for one in told)


def doubled_check(text: str) -> str:
    return text + text[text.index("[[check]]") :]


def doubled_price(text: str) -> str:
    return text + text[text.index("[[item]]") :]


@pytest.mark.parametrize(
    ("file", "double", "name"),
    [(CHECK_FILE, doubled_check, "example-play"), (PRICE_FILE, doubled_price, "example-part")],
)
def test_what_is_there_twice_is_told_at_the_second_place(
    file: str, double: Callable[[str], str], name: str
) -> None:
    written = texts()
    first_length = len(written[file].splitlines())
    written[file] = double(written[file])

    told = [one for one in build(written).problems if "is there already" in one.message]

    assert [problem.message.count(name) for problem in told] == [1]
    place, _, line = told[0].where.rpartition(":")
    assert place == file
    assert int(line) > first_length


def test_text_that_is_no_toml_is_told_with_its_line_and_the_rest_is_read() -> None:
    written = {**texts(), "catalogue/checks/broken.toml": "[system]\nid = \n"}

    loaded = build(written)

    assert any("broken.toml:2" in problem.where for problem in loaded.problems)
    assert "example-play" in loaded.catalogue.checks


def test_the_validator_prints_each_fault_and_answers_one(
    capsys: pytest.CaptureFixture[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("resources")
    for name, text in texts().items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        wrong = text.replace('unit = "mm"', 'unit = "cubit"') if name == CHECK_FILE else text
        (folder / name).write_text(wrong, encoding="utf-8")

    answer = check_files.main([str(folder)])

    printed = capsys.readouterr().out
    assert answer == 1
    assert f"{CHECK_FILE}:{line_of(CHECK, 'unit =')}" in printed
    assert "1 checks in 1 systems, 1 by numeric rule" in printed


def test_the_validator_answers_nought_when_all_is_well(
    capsys: pytest.CaptureFixture[str], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("resources")
    for name, text in texts().items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")

    assert check_files.main([str(folder)]) == 0
    assert "0 faults" in capsys.readouterr().out
