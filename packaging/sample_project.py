"""Writes the sample project: `python packaging/sample_project.py [FOLDER]`.

One scenario: four candidates ashore in two yards, each looked over on one or two visits. Boats,
designs, builders, people, yards and prices are invented. What matters to the story is written out
below; every other check of a visit gets a reading found by trial until the catalogue's own rules
give the grade that a seeded draw asked for, so the sample follows the catalogue when it grows.
A test holds the folder in `sample_projects/` to what this script writes.
"""

from __future__ import annotations

import random
import shutil
import sys
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from sample_boats import MARIGOLD, STORIES  # noqa: E402
from sample_pictures import picture  # noqa: E402
from sample_stories import Story, usd  # noqa: E402

from workbench.catalogue.loading import load  # noqa: E402
from workbench.catalogue.model import Check, Entry  # noqa: E402
from workbench.domain.boat import Boat  # noqa: E402
from workbench.domain.frozen import FrozenMap  # noqa: E402
from workbench.domain.inspection import Reading  # noqa: E402
from workbench.domain.ledger import LineChange, OwnLine, Quote  # noqa: E402
from workbench.domain.project import Comparable, Project  # noqa: E402
from workbench.domain.quantity import Quantity, parse_quantity  # noqa: E402
from workbench.domain.settings import (  # noqa: E402
    Fee,
    Loan,
    MustHave,
    Settings,
    Tax,
    TaxBand,
    YearlyCost,
)
from workbench.domain.span import Ends, Span  # noqa: E402
from workbench.domain.vocabulary import Asked, Grade, Sight, When  # noqa: E402
from workbench.edits import boats, costing, inspecting, searching  # noqa: E402
from workbench.edits.edit import Edit, apply  # noqa: E402
from workbench.figures.findings import checks_of, facts_of  # noqa: E402
from workbench.figures.verdicts import judge  # noqa: E402
from workbench.store.attachments import add_photo  # noqa: E402
from workbench.store.folder import create_project, save_project  # noqa: E402

NAME = "Two yards, one spring"
FOLDER = HERE.parent / "sample_projects" / "two-yards-one-spring"
AS_OF = date(2026, 5, 10)

_GRADES = (Grade.SOUND, Grade.WORN, Grade.DUE, Grade.UNSAFE)


def settings() -> Settings:
    """What the buyers settled for the search."""
    return Settings(
        currency="USD",
        units="metric",
        as_of=AS_OF,
        budget=Decimal(46_000),
        confidence=Decimal("0.8"),
        own_rate=Decimal(15),
        taxes=(Tax("sales tax", (TaxBand(Decimal(0), Decimal(6)),), cap=Decimal(18_000)),),
        fees=(
            Fee("registration", "title and registration", Span.exactly(Decimal(180))),
            Fee(
                "survey",
                "pre-purchase survey",
                Span(Decimal(600), Decimal(850), Decimal(1300), Ends.ONE_IN_TEN),
            ),
            Fee("delivery", "bringing her home", per_nautical_mile=Decimal("3.5")),
        ),
        yearly_costs=(
            YearlyCost("mooring", "mooring", per_metre=Decimal(190)),
            YearlyCost("insurance", "insurance", percent_of_price=Decimal("1.4")),
            YearlyCost("haul-out", "haul-out and antifouling", amount=Decimal(900)),
        ),
        loan=Loan(Decimal("0.5"), Decimal("7.5"), 60),
        must_haves=(MustHave("draft", at_most=parse_quantity("1.8 m", "m")),),
        seed=20_260_510,
    )


COMPARABLES = (
    ("Fenholt 31 at Alder Point", 23_400, Asked.SOLD, 1978, "31 ft", date(2025, 8, 2), 0, 0),
    ("Fenholt 31, new engine", 31_500, Asked.ASKED, 1981, "31 ft", date(2026, 3, 11), 1, 6_000),
    ("Ostler 33 at Marsh End", 29_000, Asked.SOLD, 1985, "33 ft", date(2025, 10, 20), 0, 500),
    ("Ostler 33, tired", 21_900, Asked.SOLD, 1984, "33 ft", date(2025, 6, 15), -1, 0),
    ("Arlis 32 at Cold Harbour", 34_800, Asked.SOLD, 1992, "32 ft", date(2025, 9, 5), 0, 1_500),
    ("Arlis 32, as new", 43_000, Asked.ASKED, 1994, "32 ft", date(2026, 4, 1), 2, 4_000),
    ("Creek Pilot 34, project", 12_500, Asked.SOLD, 1973, "34 ft", date(2025, 7, 7), -2, 0),
    ("Creek Pilot 34 at Old Slip", 22_000, Asked.ASKED, 1976, "34 ft", date(2026, 2, 2), 0, 1_000),
    ("Brae 30, local", 19_800, Asked.SOLD, 1980, "30 ft", date(2026, 1, 16), 0, 0),
)


QUOTES = (
    (
        "marigold-rae",
        "seacock-turns",
        "Wharf Lane yard",
        1_140,
        date(2026, 5, 3),
        "Two new ball valves with backing pads, boat ashore.",
    ),
    (
        "saltmarsh-penny",
        "rudder-heel",
        "Wharf Lane yard",
        990,
        date(2026, 5, 4),
        "Heel bushed, new pin and bolts; dropping the rudder is charged apart.",
    ),
    (
        "old-barnaby",
        "rigging-age",
        "Samphire Creek rigging loft",
        5_450,
        date(2026, 5, 6),
        "All wires, terminals and turnbuckles, to the old lengths; the crane is charged apart.",
    ),
    (
        "linden-lea",
        "saildrive-diaphragm",
        "Samphire Creek engines",
        1_060,
        date(2026, 5, 7),
        "New diaphragm and clamp ring, leg off; hauling out is charged apart.",
    ),
)
"""Boat, check, yard, sum, day and what the yard wrote."""
HIDDEN = {("propeller-on-shaft", "taper")}
"""What nobody saw: on all four boats the propeller was on its cone."""


class Writer:
    """Builds the project edit by edit, as a user would."""

    def __init__(self, place: Path) -> None:
        self.catalogue = load()
        self.opened = create_project(place, NAME, settings(), project_id="two-yards-one-spring")
        self.project: Project = self.opened.project
        self.chance = random.Random(19)  # noqa: S311 - a sample, not a secret

    def do(self, edit: Edit) -> None:
        """Make one edit."""
        self.project, _ = apply(self.project, edit)

    def write(self) -> None:
        """Everything, then save."""
        for story in STORIES:
            self.do(boats.add_boat(self.project, story.boat))
            self.visit(story)
        self.decide()
        for number, row in enumerate(COMPARABLES, 1):
            self.do(searching.put_comparable(self.project, _comparable(number, row)))
        report = save_project(self.opened.folder, self.project, self.opened.project)
        self.opened.folder.close()
        if not report.complete:
            raise SystemExit("The sample project could not be saved whole.")

    def visit(self, story: Story) -> None:
        """All readings and photos of one boat."""
        for check in checks_of(story.boat, self.catalogue):
            reading = self.reading(check, story)
            if reading is not None:
                self.do(inspecting.record_reading(self.project, story.boat.id, check.id, reading))
        for number, (scene, check_id, caption) in enumerate(story.photos):
            self.photo(story, scene, check_id, caption, number)

    def reading(self, check: Check, story: Story) -> Reading | None:
        """The reading of one check: told, not seen, found by trial, or none."""
        draw, wanted = self.chance.random(), self.chance.choices(_GRADES, story.mood)[0]
        note = story.notes.get(check.id, "")
        if check.id in story.unseen:
            return Reading(
                "", sight=Sight.NOT_SEEN, reason=story.unseen[check.id], taken=story.on, by=story.by
            )
        if check.id in story.told:
            values = {
                name: _value(check, name, text) for name, text in story.told[check.id].items()
            }
            return Reading("", FrozenMap(values), note=note, taken=story.on, by=story.by)
        if draw > story.seen or check.looks == "afloat":
            return None
        if wanted.needs_work and self.rough_cost(check) > story.dearest:
            wanted = Grade.WORN if self.rough_cost(check) < 2 * story.dearest else Grade.SOUND
        found = self.trial(check, story.boat, wanted)
        if found is None:
            return None
        return Reading("", FrozenMap(found), taken=story.on, by=story.by)

    def trial(self, check: Check, boat: Boat, wanted: Grade) -> dict[str, Quantity | str] | None:
        """Values that the rules grade as wanted, or the nearest milder grade; None without any."""
        facts = facts_of(boat, self.catalogue)
        milder = [grade for grade in reversed(_GRADES) if grade.severity <= wanted.severity]
        tries = [self.guess(check) for _ in range(60)]
        graded = [
            (judge(check, Reading("", FrozenMap(values)), boat, facts, AS_OF).grade, values)
            for values in tries
        ]
        for grade in milder:
            for got, values in graded:
                if got is grade:
                    return values
        return None

    def rough_cost(self, check: Check) -> float:
        """About what the first remedy for due costs, at 100 an hour."""
        remedy = check.default_remedy(Grade.DUE)
        items = self.catalogue.prices.items
        used = [items[line.item] for line in remedy.work] if remedy is not None else []
        return sum(
            float(item.materials.likely) + 100 * sum(float(one.hours.likely) for one in item.labour)
            for item in used
        )

    def guess(self, check: Check) -> dict[str, Quantity | str]:
        """Values within the sensible limits, leaning to the small end as most readings do."""
        return {
            entry.id: self.one(entry)
            for entry in check.entries
            if entry.kind != "text" and (check.id, entry.id) not in HIDDEN
        }

    def one(self, entry: Entry) -> Quantity | str:
        """One value of an entry."""
        if entry.kind == "choice":
            return self.chance.choice(entry.choices).id
        if entry.kind == "year":
            return Quantity(Decimal(self.chance.randint(1995, 2025)), "calendar year")
        low, high = float(entry.low or 0), float(entry.high or 1)
        if entry.unit == "count":
            return Quantity(Decimal(int(low) + self.chance.choice((0, 0, 1, 1, 2, 3))), "count")
        share = self.chance.random() ** self.chance.choice((1, 3, 6))
        number = low + (high - low) * share
        digits = 0 if number >= 100 else 1
        return Quantity(Decimal(str(round(number, digits))).normalize() + 0, entry.unit)

    def photo(self, story: Story, scene: str, check_id: str, caption: str, number: int) -> None:
        """Draw one picture, store it, and put it on record."""
        taken = datetime(story.on.year, story.on.month, story.on.day, 10, 5 + 7 * number)
        data = picture(scene, caption, taken, seed=hash_of(f"{story.boat.id}/{number}"))
        stored = add_photo(self.opened.folder, story.boat.id, data, f"{scene}-{number + 1}.jpg")
        photo = type(stored)(
            stored.id, stored.file, stored.sha256, stored.original_name, caption, taken
        )
        readings = self.project.boats[story.boat.id].inspection.readings.get(check_id, ())
        reading = readings[-1].id if readings else ""
        self.do(inspecting.add_photo(self.project, story.boat.id, photo, check_id, reading))
        if number == 0:
            self.do(boats.change_boat(self.project, story.boat.id, "portrait", photo.id, "Picture"))

    def decide(self) -> None:
        """What the buyers decided: a quote, own work, an own job, another pair of eyes."""
        marigold = MARIGOLD.boat.id
        for boat, check, yard, amount, day, note in QUOTES:
            answers = tuple(self.keys_of(boat, check))
            until = date(2026, 8, 1)
            quote = Quote("", yard, usd(amount), answers, day, until, note=note)
            self.do(costing.put_quote(self.project, boat, quote))
        for key in self.keys_of(marigold, "shaft-anode"):
            self.do(costing.change_line(self.project, marigold, key, LineChange(own_work=True)))
        self.do(
            costing.put_own_line(
                self.project,
                marigold,
                OwnLine(
                    "",
                    "Name and port of registry repainted",
                    Span(Decimal(60), Decimal(120), Decimal(260)),
                    system="hull-skin",
                    when=When.WISH,
                ),
            )
        )
        values: dict[str, Quantity | str] = {
            "play": parse_quantity("0.7 mm", "mm"),
            "sound": "quiet",
        }
        second = Reading(
            "",
            FrozenMap(values),
            note="Lifted with a short plank; less than Robin found.",
            taken=date(2026, 5, 10),
            by="Alex",
        )
        self.do(inspecting.record_reading(self.project, marigold, "stern-bearing-play", second))

    def keys_of(self, boat_id: str, check_id: str) -> list[str]:
        """Keys of the lines of a check's remedy for the grade that was found."""
        candidate = self.project.boats[boat_id]
        check = self.catalogue.checks[check_id]
        facts = facts_of(candidate.boat, self.catalogue)
        reading = candidate.inspection.readings[check_id][-1]
        remedy = check.default_remedy(judge(check, reading, candidate.boat, facts, AS_OF).grade)
        return [f"{check_id}/{remedy.id}/{line.id}" for line in remedy.work] if remedy else []


def hash_of(text: str) -> int:
    """A number from a text, the same on every run."""
    return sum(place * ord(sign) for place, sign in enumerate(text, 1))


def _value(check: Check, name: str, text: str) -> Quantity | str:
    entry = check.entry(name)
    if entry is None:
        raise SystemExit(f"The check {check.id} has no entry {name}; mend the sample's story.")
    if entry.kind == "choice":
        if text not in {choice.id for choice in entry.choices}:
            raise SystemExit(f"{check.id}/{name} cannot be {text}; mend the sample's story.")
        return text
    return parse_quantity(text, entry.unit)


def _comparable(number: int, row: tuple[object, ...]) -> Comparable:
    title, price, asked, year, length, on, condition, equipment = row
    return Comparable(
        f"comparable-{number}",
        str(title),
        usd(int(str(price))),
        asked if isinstance(asked, Asked) else Asked.ASKED,
        int(str(year)),
        parse_quantity(str(length), "m"),
        on if isinstance(on, date) else None,
        int(str(condition)),
        Decimal(str(equipment)),
        source="noted from the advertisement" if asked is Asked.ASKED else "told by the broker",
    )


def main(arguments: list[str]) -> int:
    """Write the sample, over the old one."""
    place = Path(arguments[0]) if arguments else FOLDER
    if place.exists():
        shutil.rmtree(place)
    Writer(place).write()
    print(f"The sample project lies in {place}.")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
