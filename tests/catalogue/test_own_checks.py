"""A check written by the buyer stands beside the shipped ones: seen, judged and priced."""

from __future__ import annotations

import pytest

from tests.catalogue.shelf import AS_OF, boat, catalogue, reading
from tests.catalogue.test_loading import CHECK, PRICES
from workbench.catalogue.loading import Loaded, with_overrides
from workbench.domain.frozen import FrozenMap
from workbench.domain.inspection import Inspection
from workbench.domain.project import Candidate, Overrides, Project
from workbench.domain.vocabulary import Grade
from workbench.figures.findings import checks_of, findings_of
from workbench.figures.ledger_lines import Workshop
from workbench.figures.pricing import Tariff

# A check file of one's own holds its prices beside its checks.
OWN = CHECK + PRICES.partition("\n\n")[2]


def with_own(**files: str) -> Loaded:
    """The shipped catalogue with files of one's own, by name without its ending."""
    return with_overrides(
        catalogue(), Overrides(checks=FrozenMap({f"{key}.toml": files[key] for key in files}))
    )


def test_a_dropped_in_check_is_among_the_checks_of_a_boat_and_marked_as_own() -> None:
    loaded = with_own(mine=OWN)

    assert loaded.problems == ()
    own = [check for check in checks_of(boat(), loaded.catalogue) if check.own]
    assert [check.id for check in own] == ["example-play"]
    assert len(loaded.catalogue.checks) == len(catalogue().checks) + 1


def test_the_shipped_catalogue_itself_is_not_changed_by_it() -> None:
    with_own(mine=OWN)

    assert "example-play" not in catalogue().checks
    assert "example-part" not in catalogue().prices.items


def test_a_reading_of_ones_own_check_is_judged_and_priced_like_any_other() -> None:
    known = with_own(mine=OWN).catalogue
    check = known.checks["example-play"]
    hull = boat()
    candidate = Candidate(
        hull, Inspection(readings=FrozenMap({check.id: (reading(check, {"play": "1.5 mm"}),)}))
    )
    findings = [
        one for one in findings_of(candidate, known, AS_OF) if one.check.id == "example-play"
    ]
    tariff = Tariff(Project(id="p", name="P"), known)

    lines = Workshop(candidate, known, tariff).lines(findings)

    assert [finding.grade for finding in findings] == [Grade.DUE]
    assert [line.key for line in lines] == ["example-play/renew/part"]
    # Two likely hours of a shipwright and 20 of materials.
    assert lines[0].cost.likely == pytest.approx(2 * tariff.rate("shipwright") + 20)
    assert lines[0].finding is findings[0]


def test_an_own_check_that_nobody_looked_at_counts_as_a_chance() -> None:
    known = with_own(mine=OWN).catalogue
    candidate = Candidate(boat())
    findings = [one for one in findings_of(candidate, known, AS_OF) if one.check.own]

    (line,) = Workshop(candidate, known, Tariff(Project(id="p", name="P"), known)).lines(findings)

    assert findings[0].grade is Grade.UNSEEN
    assert line.chance == pytest.approx(0.2)  # the written chance for a boat above ten years


def test_an_own_check_for_steel_boats_is_not_asked_of_others() -> None:
    steel_only = OWN.replace("hazards =", 'applies = { hull-material = ["steel"] }\nhazards =', 1)
    known = with_own(mine=steel_only).catalogue

    steel = checks_of(boat(facts={"hull-material": "steel"}), known)
    assert "example-play" in {check.id for check in steel}
    assert "example-play" not in {check.id for check in checks_of(boat(), known)}


def test_an_own_check_may_use_a_price_of_the_shipped_book() -> None:
    shipped_price = CHECK.replace("example-part", "access-haul-out")

    assert with_own(mine=shipped_price).problems == ()


def test_a_faulty_file_is_left_out_with_its_faults_and_the_others_go_on() -> None:
    other = OWN.replace("example-play", "other-play").replace("example-part", "other-part")
    loaded = with_own(bad=OWN.replace('unit = "mm"', 'unit = "cubit"'), good=other)

    assert "other-play" in loaded.catalogue.checks
    assert "example-play" not in loaded.catalogue.checks
    assert len(loaded.problems) == 1
    place, _, line = loaded.problems[0].where.rpartition(":")
    assert place == "overrides/checks/bad.toml"
    assert OWN.splitlines()[int(line) - 1].strip() == 'unit = "mm"'


def test_an_own_check_may_stand_in_for_a_shipped_one_of_the_same_id() -> None:
    shipped = next(iter(catalogue().checks))
    loaded = with_own(mine=OWN.replace("example-play", shipped))

    assert loaded.problems == ()
    assert loaded.catalogue.checks[shipped].own
    assert len(loaded.catalogue.checks) == len(catalogue().checks)
