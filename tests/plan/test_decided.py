"""The decision comes first, and nothing that is compared later changes it."""

from dataclasses import fields, replace

import pytest

from farglide.air.sounding import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.outlook import Outlook
from farglide.plan import plan as whole
from farglide.plan.decided import Decided, decided
from farglide.plan.plan import completed, decided_file
from farglide.present.say.screen import compared_lines, decision_lines, screen_lines
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

ASKED = Grain(n_draws=60)


@pytest.fixture(scope="module")
def begun(demo_flight: FlightFile, demo_sounding: Sounding) -> Decided:
    sortie = replace(demo_flight.sortie, terrain=None)
    return decided(sortie, Pack(sounding=demo_sounding), ASKED)


@pytest.fixture(scope="module")
def outlook(begun: Decided) -> Outlook:
    return completed(begun)


def test_the_whole_outlook_keeps_every_word_of_the_decision(
    begun: Decided, outlook: Outlook
) -> None:
    for one in fields(DecisionOutlook):
        assert getattr(outlook, one.name) is getattr(begun.outlook, one.name)
    first = decision_lines(begun.outlook)
    assert screen_lines(outlook) == [*first, *compared_lines(outlook)]


def test_nothing_is_compared_before_the_decision(
    demo_flight: FlightFile, demo_sounding: Sounding, monkeypatch: pytest.MonkeyPatch
) -> None:
    def too_early(*_: object) -> None:
        raise AssertionError("compared before the decision")

    for name in ("launch_area", "gains", "unknowns", "weaker_links", "side_view"):
        monkeypatch.setattr(whole, name, too_early)
    told = list[str]()
    found = decided_file(demo_flight, Pack(sounding=demo_sounding), ASKED, progress=told.append)
    assert found.outlook.verdict.startswith("Launch from Harrowend strip at 16:40, release ")
    assert found.notes == demo_flight.notes
    assert told == ["flying the draws", "asking every field at every height"]
    with pytest.raises(AssertionError, match="compared before"):
        completed(found)


def test_permissions_wind_and_guesses_are_told(sortie: Sortie, demo_sounding: Sounding) -> None:
    rows = (("airspace", "asked"), ("land", "missing"), ("aircraft", "held"))
    found = decided(replace(sortie, permissions=rows), Pack(sounding=demo_sounding), ASKED).outlook
    assert (found.asked, found.missing, found.cleared) == (("airspace",), ("land",), False)
    # the demo's winds blow with 3.5 m/s 50 m above the launch, at its very place
    assert found.ground_wind_mps == pytest.approx(3.5, abs=0.3)
    assert found.ground_wind_limit_mps == sortie.wish.ground_wind_limit_mps
    assert found.wind_distance_m == pytest.approx(0.0, abs=1.0)
    assert found.guesses == ()
    assert "bursting diameter" in found.usual
    nowhere = replace(demo_sounding, lat_deg=float("nan"))
    placeless = decided(sortie, Pack(sounding=nowhere), ASKED).outlook
    assert placeless.wind_distance_m is None
