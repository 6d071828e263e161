"""The crew's own transmitters beside its own receivers, by sums on paper."""

from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.plan.links.neighbours import neighbours_of


def test_the_demo_s_own_links_leave_each_other_alone(demo_flight: FlightFile) -> None:
    found = neighbours_of(demo_flight.sortie)
    # 2 x 869.5 = 1739, 3 x 869.5 = 2608.5; 2370 - 869.5 = 1500.5 MHz: none is heard by anyone
    assert found.clashes == ()
    # 0.5 W two metres off at 869.5 MHz, 2 dB of cable at the receiver: 27.0 - 37.2 - 2
    levels = {(one.sender, one.receiver): one.level_dbm for one in found.deaf}
    assert levels["command", "picture"] == pytest.approx(-12.2, abs=0.1)
    # 0.8 W on the glider, 0.3 m off at 2370 MHz, 3 dB of cable: 29.0 - 29.5 - 3
    assert levels["picture", "command"] == pytest.approx(-3.5, abs=0.1)
    # 36.0 dBm EIRP are 3.97 W, over 4 pi 4 m2
    (exposed,) = (one for one in found.exposures if one.link == "command")
    assert exposed.density_wpm2 == pytest.approx(3.97 / 50.27, rel=0.01)
    assert exposed.keep_away_m is None


def test_a_stated_limit_for_people_becomes_a_distance(demo_flight: FlightFile) -> None:
    picture, command = demo_flight.sortie.links
    strict = replace(command, people_limit_wpm2=0.1)
    found = neighbours_of(replace(demo_flight.sortie, links=(picture, strict)))
    (exposed,) = (one for one in found.exposures if one.link == "command")
    # 3.97 W over 4 pi r2 are 0.1 W/m2 at the root of 3.16 m2
    assert exposed.keep_away_m == pytest.approx(1.78, abs=0.01)


@pytest.mark.parametrize("image_hz", [1301e6 - 960e6, 1301e6 + 960e6])
def test_an_image_is_looked_for_on_both_sides(demo_flight: FlightFile, image_hz: float) -> None:
    picture, command = demo_flight.sortie.links
    near = replace(picture, frequency_hz=1301e6, intermediate_hz=480e6)
    low = replace(command, frequency_hz=image_hz)
    found = neighbours_of(replace(demo_flight.sortie, links=(near, low)))
    causes = [one.cause for one in found.clashes if one.ear == near.name]
    assert causes.count(f"{low.name} on the image") == 1
    assert len(found.clashes) == len(set(found.clashes))
