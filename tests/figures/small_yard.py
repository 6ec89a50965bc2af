"""A catalogue small enough to work out by hand, and projects that use it.

Prices have no spread and one round rate, so every total can be checked on paper: a haul-out costs
600, drawing the shaft 400, a bearing 300 (2 h at 100 and 100 of parts), a seacock 250 each, a mast
lift 900, rigging wire 2,000. None of it is a source for anything.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal

from workbench.catalogue.loading import build
from workbench.catalogue.model import Catalogue
from workbench.domain.boat import AskingPrice, Boat
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Reading
from workbench.domain.money import Money
from workbench.domain.project import Project
from workbench.domain.quantity import Quantity
from workbench.domain.settings import Settings
from workbench.domain.vocabulary import Sight
from workbench.edits import boats, inspecting
from workbench.edits.edit import Edit, apply

AS_OF = date(2026, 5, 1)
Maker = Callable[[Project], Edit]

_SHARED = {
    "catalogue/stations.toml": """
[[station]]
id = "stern"
label = "Under the stern"
order = 10
""",
    "catalogue/cautions.toml": """
[[caution]]
id = "props"
title = "Props"
text = "Never lean on a prop."
hazards = ["under-boat"]
""",
    "catalogue/fitout.toml": """
[[fact]]
id = "drive"
label = "Drive"
help = "What turns the propeller."
default = "shaft"
choices = [{ id = "shaft", label = "shaft" }, { id = "saildrive", label = "saildrive" }]
[[dimension]]
id = "loa"
label = "Length"
help = "Length overall."
unit = "m"
imperial_unit = "ft"
low = "3"
high = "30"
[[dimension]]
id = "shaft-diameter"
label = "Shaft"
help = "Shaft diameter."
unit = "mm"
imperial_unit = "in"
low = "15"
high = "80"
""",
    "catalogue/access.toml": """
[[task]]
id = "haul-out"
title = "Haul out"
requires = []
item = "haul-out"
[[task]]
id = "draw-shaft"
title = "Draw the shaft"
requires = ["haul-out"]
item = "draw-shaft"
[[task]]
id = "unstep-mast"
title = "Unstep the mast"
requires = []
item = "unstep-mast"
""",
    "catalogue/looks.toml": """
[[look]]
id = "survey"
title = "Survey"
who = "surveyor"
fee = ["500", "500", "500"]
sees = "0.9"
false_alarm = "0.05"
systems = ["gear"]
note = ""
source = { basis = "common-practice" }
""",
    "prices/rates.toml": """
[book]
currency = "USD"
region = "nowhere"
dated = "2026-01-01"
[[trade]]
id = "mechanic"
label = "mechanic"
rate = ["100", "100", "100"]
licensed = false
source = { basis = "common-practice" }
""",
}


def _item(name: str, hours: str, materials: str, extra: str = "") -> str:
    labour = f'[{{ trade = "mechanic", hours = ["{hours}", "{hours}", "{hours}"] }}]'
    return f"""
[[item]]
id = "{name}"
title = "{name}"
labour = {labour if hours else "[]"}
materials = ["{materials}", "{materials}", "{materials}"]
{extra}
source = {{ basis = "common-practice" }}
"""


_PRICES = '[book]\nsystem = "gear"\n' + "".join(
    (
        _item("haul-out", "", "600"),
        _item("draw-shaft", "4", "0"),
        _item("unstep-mast", "", "900"),
        _item("bearing", "2", "100"),
        _item("seacock", "1", "150"),
        _item(
            "rigging",
            "",
            "2000",
            'scale = [{ by = "loa", reference = "10 m", power = "1", of = "all" }]',
        ),
        _item("clean", "1", "0"),
    )
)


def _remedy(name: str, grades: str, item: str, access: str, more: str = "") -> str:
    work = f'[{{ id = "work", title = "{name}", item = "{item}"{more} }}]' if item else "[]"
    return f"""
[[check.remedy]]
id = "{name}"
title = "{name}"
grades = [{grades}]
when = "before-launching"
claim = "whole"
claim_why = "Due now."
own = {{ may = true, hours_share = "1", note = "" }}
access = [{access}]
work = {work}
"""


def _check(name: str, body: str, head: str = "", prior: str = "0.2") -> str:
    return f"""
[[check]]
id = "{name}"
title = "{name}"
part = "part"
station = "stern"
looks = "ashore"
minutes = 5
steps = ["Look."]
feel = "As it feels."
leads_to = "Trouble."
hazards = ["under-boat"]
cautions = ["props"]
handover = {{ who = "surveyor", when = "In doubt." }}
judgement = {{ judges = "yes", sees = "0.8", false_alarm = "0.1" }}
prior = [["older", "{prior}"]]
{head}
[check.meaning]
worn = "Worn."
due = "Due."
unsafe = "Unsafe."
{body}
"""


_PLAY = (
    """
[[check.entry]]
id = "play"
label = "Play"
kind = "number"
unit = "mm"
imperial_unit = "in"
low = "0"
high = "10"
[[check.entry]]
id = "sound"
label = "Sound"
kind = "choice"
choices = [{ id = "quiet", label = "quiet" }, { id = "knocks", label = "knocks" }]
required = false
[[check.rule]]
id = "by-millimetre"
entry = "play"
kind = "bands"
worse = "higher"
bands = [{ grade = "worn", at = "0.5" }, { grade = "due", at = "1.0" }]
group = "wear"
lead = true
new = "0"
source = { basis = "common-practice" }
[[check.rule]]
id = "three-percent"
entry = "play"
kind = "bands"
form = "ratio"
of = "shaft-diameter"
worse = "higher"
bands = [{ grade = "due", at = "0.03" }]
group = "wear"
lead = false
source = { basis = "published", title = "A handbook", clause = "3" }
[[check.rule]]
id = "knock"
entry = "sound"
kind = "choice"
grades = { quiet = "sound", knocks = "due" }
source = { basis = "common-practice" }
[[check.suspicion]]
check = "seal"
at = ["due"]
factor = "4"
why = "It shakes."
"""
    + _remedy("renew", '"due", "unsafe"', "bearing", '"draw-shaft"')
    + _remedy("later", '"worn"', "bearing", '"draw-shaft"')
)


def _state(grade_of_bad: str, remedy: str) -> str:
    return f"""
[[check.entry]]
id = "state"
label = "State"
kind = "choice"
choices = [{{ id = "good", label = "good" }}, {{ id = "bad", label = "bad" }}]
[[check.entry]]
id = "number"
label = "Number"
kind = "number"
unit = "count"
low = "0"
high = "20"
required = false
[[check.rule]]
id = "state"
entry = "state"
kind = "choice"
grades = {{ good = "sound", bad = "{grade_of_bad}" }}
source = {{ basis = "common-practice" }}
{remedy}
"""


_CHECKS = """
[system]
id = "gear"
title = "Gear"
order = 10
intro = "All of it."
""" + "".join(
    (
        _check("bearing", _PLAY, 'applies = { drive = ["shaft"] }'),
        _check(
            "seacocks",
            _state(
                "due",
                _remedy("renew", '"due"', "seacock", '"haul-out"', ', count_entry = "number"'),
            ),
        ),
        _check(
            "rigging",
            _state("unsafe", _remedy("renew", '"due", "unsafe"', "rigging", '"unstep-mast"')),
            prior="0.4",
        ),
        _check("seal", _state("due", _remedy("clean", '"due"', "clean", ""))),
    )
)


@functools.cache
def small_catalogue() -> Catalogue:
    """The small catalogue; it is without fault."""
    texts = {
        **_SHARED,
        "catalogue/checks/gear.toml": _CHECKS,
        "prices/items/gear.toml": _PRICES,
    }
    loaded = build(texts)
    assert not loaded.problems, [problem.sentence() for problem in loaded.problems]
    return loaded.catalogue


def mm(number: str) -> Quantity:
    """Millimetres."""
    return Quantity(Decimal(number), "mm")


def seen(**values: Quantity | str) -> Reading:
    """A reading of Robin's."""
    return Reading("", FrozenMap(values), taken=AS_OF, by="Robin")


NOT_SEEN = Reading("", sight=Sight.NOT_SEEN, reason="locked", taken=AS_OF, by="Robin")


def search(
    readings: dict[str, Reading],
    *,
    settings: Settings | None = None,
    more: Iterable[Maker] = (),
    asking: int = 20_000,
) -> Project:
    """A search with one boat, Ann: 10 m long, 25 mm shaft, with the readings given."""
    project = Project("p", "Search", settings or Settings(as_of=AS_OF, draws=20_000))
    ann = Boat(
        "",
        "Ann",
        year=1986,
        dimensions=FrozenMap({"loa": Quantity(Decimal(10), "m"), "shaft-diameter": mm("25")}),
        facts=FrozenMap({"drive": "shaft"}),
        asking=(AskingPrice(Money(Decimal(asking), "USD"), AS_OF),),
    )
    makers: list[Maker] = [lambda p: boats.add_boat(p, ann)]
    for check, reading in readings.items():
        makers.append(
            functools.partial(
                inspecting.record_reading, boat_id="ann", check=check, reading=reading
            )
        )
    for make in (*makers, *more):
        project, _ = apply(project, make(project))
    return project


ALL_GOOD = {
    "bearing": seen(play=mm("0.1"), sound="quiet"),
    "seacocks": seen(state="good"),
    "rigging": seen(state="good"),
    "seal": seen(state="good"),
}
