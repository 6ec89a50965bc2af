"""Every published edge holds at its own figure, in its own unit, under its own name.

`published_edges.txt` holds the readings. The verdict must name the source; where sources disagree
it must show both, because none of them is the right one.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.catalogue.shelf import boat, catalogue, result, rules, verdict
from workbench.domain.frozen import FrozenMap
from workbench.domain.ledger import LineChange
from workbench.domain.project import Project
from workbench.domain.vocabulary import Grade
from workbench.figures.pricing import Tariff

EDGES_FILE = Path(__file__).with_name("published_edges.txt")


class Edge(NamedTuple):
    """One published edge: a reading that its source lets go and one that it does not."""

    check: str
    rule: str
    let_go: Mapping[str, str]
    caught: Mapping[str, str]
    grade: Grade
    names: str
    boat: Mapping[str, str]

    def grade_of(self, values: Mapping[str, str]) -> Grade:
        """What the rule makes of a reading; unseen where it does not apply."""
        known = catalogue()
        dimensions = {key: text for key, text in self.boat.items() if key in known.dimensions}
        facts = {key: text for key, text in self.boat.items() if key in known.facts}
        assert {*dimensions, *facts} == set(self.boat)
        found = result(self.rule, self.check, values, dimensions, facts)
        assert found is not None, "the rule does not hold for this boat"
        assert not found.missing
        assert self.names in found.rule.source.sentence()
        return found.grade


def _pairs(text: str) -> dict[str, str]:
    pairs = (pair.partition("=") for pair in text.split(",") if pair.strip())
    return {key.strip(): value.strip() for key, _, value in pairs}


def _edge(line: str) -> Edge:
    place, let_go, caught, grade, names, *hull = (part.strip() for part in line.split("|"))
    check, rule = (part.strip() for part in place.split(" / "))
    return Edge(
        check, rule, _pairs(let_go), _pairs(caught), Grade(grade), names, _pairs("".join(hull))
    )


EDGES = [
    _edge(line)
    for line in EDGES_FILE.read_text(encoding="utf-8").splitlines()
    if line.strip() and not line.startswith("#")
]


@pytest.mark.parametrize("edge", EDGES, ids=lambda edge: f"{edge.check}-{edge.rule}-{edge.caught}")
def test_a_published_edge_divides_the_readings_on_its_two_sides(edge: Edge) -> None:
    assert edge.grade_of(edge.caught) is edge.grade
    assert edge.grade_of(edge.let_go).severity < edge.grade.severity


def test_every_published_rule_is_held_to_a_published_figure() -> None:
    published = {
        f"{check.id} / {rule.id}" for check, rule in rules() if rule.source.basis == "published"
    }

    assert published - {f"{edge.check} / {edge.rule}" for edge in EDGES} == set()


# --- Sources that disagree ---


def grades(
    check: str, values: Mapping[str, str], dimensions: Mapping[str, str] | None = None
) -> dict[str, Grade]:
    """What each rule says, by rule id."""
    return {one.rule.id: one.grade for one in verdict(check, values, dimensions).results}


def test_two_bearing_rules_agree_on_an_inch_shaft_and_part_on_a_thicker_one() -> None:
    # 3 % of 1 in is 0.030 in, 1/32 in is 0.031 in; 3 % of 1 1/2 in is 0.045 in.
    play = {"play": "0.032 in"}

    inch = grades("stern-bearing-play", play, {"shaft-diameter": "1 in"})
    thick = verdict("stern-bearing-play", play, {"shaft-diameter": "1 1/2 in"})

    assert inch["share-of-diameter"] is inch["thirty-thousandths"] is Grade.DUE
    assert thick.split
    assert thick.worst is Grade.DUE


def test_a_tip_gap_can_be_enough_for_one_source_and_not_for_the_others() -> None:
    propeller = {"propeller-diameter": "20 in"}

    narrow = grades("propeller-tip-clearance", {"gap": "1.5 in"}, propeller)
    middling = grades("propeller-tip-clearance", {"gap": "2.5 in"}, propeller)

    assert Grade.SOUND not in narrow.values()
    assert middling["tip-ten-percent"] is Grade.SOUND
    assert middling["tip-seventeen-percent"] is not Grade.SOUND


def test_a_worn_chain_is_due_for_a_class_society_and_sound_for_lifting_gear() -> None:
    found = verdict("anchor-chain", {"thinnest": "8.7 mm"}, {"chain-diameter": "10 mm"})

    assert found.split
    assert found.grade is Grade.DUE
    assert {one.grade for one in found.results if one.rule.id == "lifting-twenty"} == {Grade.SOUND}


def test_a_battery_between_two_tables_gets_a_range_and_no_single_answer() -> None:
    # 12.25 V is between the half-full figures of the two tables, 12.2 and 12.30 V.
    found = verdict("battery-voltage", {"rested": "12.25 V"})

    assert found.split
    assert (found.best, found.worst) == (Grade.WORN, Grade.DUE)


def test_two_broken_wires_are_left_by_cranes_and_not_by_mine_hoists() -> None:
    found = grades("wire-broken", {"clear": "2", "at-end": "0"})

    assert found["clear-crane"] is Grade.SOUND
    assert found["clear-hoist"] is Grade.UNSAFE


def test_half_an_anode_is_gone_for_one_manual_and_not_for_the_other() -> None:
    found = grades("shaft-anode", {"gone": "60 %"})

    assert found["half-gone"] is Grade.DUE
    assert found["quarter-left"] is Grade.WORN


# --- Traps of units ---


def test_twelve_metres_are_not_forty_feet() -> None:
    # 12 m is 39.37 ft: the whistle rule at 12 m holds, the extinguisher rule at 40 ft does not.
    twelve = {"loa": "12 m"}
    us = {"registry": "us"}

    two_units = verdict("extinguishers-count", {"units": "2"}, twelve, us)
    small_horn = verdict("sound-signals", {"has": "small"}, twelve, us)

    assert two_units.grade is Grade.SOUND
    assert small_horn.grade is Grade.DUE
    assert verdict("extinguishers-count", {"units": "2"}, {"loa": "40 ft"}, us).grade is Grade.DUE


def test_a_twenty_b_and_a_five_b_serve_a_boat_of_forty_feet() -> None:
    # One 20-B counts for two 5-B (33 CFR 175.320): 2 + 1 = 3.
    us = {"registry": "us"}

    assert verdict("extinguishers-count", {"units": "3"}, {"loa": "65 ft"}, us).grade is Grade.SOUND
    assert verdict("extinguishers-count", {"units": "2"}, {"loa": "30 ft"}, us).grade is Grade.SOUND


@pytest.mark.parametrize("length", ["39.99 ft", "12.19 m", "26 ft"])
def test_a_limit_in_feet_is_met_exactly_by_a_length_in_either_unit(length: str) -> None:
    us = {"registry": "us"}

    assert verdict("extinguishers-count", {"units": "1"}, {"loa": length}, us).grade is Grade.DUE
    assert verdict("extinguishers-count", {"units": "2"}, {"loa": length}, us).grade is Grade.SOUND


def test_an_eccentricity_entered_as_run_out_is_not_taken_for_the_limit() -> None:
    # Run-out is twice the eccentricity: 0.0015 in off centre is the limit, and reads 0.003 in.
    half = result("runout-taper-army", "shaft-straightness", {"runout-at-taper": "0.0015 in"})
    whole = result("runout-taper-army", "shaft-straightness", {"runout-at-taper": "0.003 in"})

    assert half is not None
    assert whole is not None
    assert half.grade is not Grade.DUE
    assert whole.grade is Grade.DUE


@pytest.mark.parametrize(("inches", "millimetres"), [("1/32 in", "0.79375"), ("0.03 in", "0.762")])
def test_a_reading_in_inches_gets_the_grade_of_the_same_in_millimetres(
    inches: str, millimetres: str
) -> None:
    shaft = {"shaft-diameter": "25.4 mm"}

    assert grades("stern-bearing-play", {"play": inches}, shaft) == grades(
        "stern-bearing-play", {"play": f"{millimetres} mm"}, {"shaft-diameter": "1 in"}
    )


def test_a_price_by_weight_is_the_same_in_long_tons_and_wrong_in_short_ones() -> None:
    # A long ton is 1016.0469088 kg, a short one 907.18474 kg.
    item = catalogue().prices.items["access-drop-keel"]
    tariff = Tariff(Project(id="p", name="P"), catalogue())

    def price(number: str, unit: str) -> float:
        hull = boat({"displacement": f"{number} {unit}"})
        assert hull.dimensions["displacement"].unit == unit
        return tariff.priced(item, hull, 1, LineChange(), Decimal(1)).cost.likely

    kilograms = price("5080.234544", "kg")

    assert price("5", "long ton") == pytest.approx(kilograms, rel=1e-12)
    assert price("5", "short ton") < kilograms * 0.95


def test_a_boat_of_unknown_length_is_held_to_one_of_the_lengths_and_not_let_off() -> None:
    found = verdict("extinguishers-count", {"units": "0"}, facts={"registry": "us"})

    assert found.grade is Grade.DUE


def test_the_flag_decides_whose_law_is_named() -> None:
    us = verdict("life-jackets-count", {"jackets": "1", "persons": "2"}, facts={"registry": "us"})
    other = verdict(
        "life-jackets-count", {"jackets": "1", "persons": "2"}, facts={"registry": "other"}
    )

    assert us.deciding is not None
    assert other.deciding is not None
    assert us.deciding.rule.source.title.startswith("33 CFR")
    assert other.deciding.rule.source.basis == "common-practice"


def test_an_empty_map_of_dimensions_is_no_dimension_of_zero() -> None:
    found = verdict("stern-bearing-play", {"play": "0.1 mm"}, FrozenMap())

    assert any("shaft diameter" in one.missing for one in found.results)
