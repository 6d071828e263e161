"""Hear: a flight file and its winds in, every link along the flight out."""

from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.links import FlightLinks, LinksOutlook, Neighbours
from farglide.plan.hear import hear
from farglide.present.say.links.aim import car_stand, main_link
from farglide.present.say.links.hearing import hearing_lines
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

KNAP = 1
ASKED = Grain(n_draws=100)


@pytest.fixture(scope="module")
def heard(demo_flight: FlightFile, demo_sounding: Sounding) -> FlightLinks:
    """Return the links of the demo over its ground."""
    ground = gather_terrain(demo_flight.sortie)
    return hear(demo_flight, Pack(sounding=demo_sounding, terrain=ground), ASKED)


def test_the_ridge_hides_the_launch_from_the_hill(
    heard: FlightLinks, demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    found = heard.outlook
    assert found.ground.startswith("elevation")
    launch = found.links[0].stands[KNAP].margin_db[0]
    assert launch.p50 < -15.0
    flat = hear(demo_flight, Pack(sounding=demo_sounding), ASKED).outlook.links[0].stands[KNAP]
    # lying on even ground 16 km off it is below the horizon, but not behind a ridge
    assert launch.p50 + 10.0 < flat.margin_db[0].p50 < 0.0
    # high up the ground has no say
    high = found.links[0].stands[KNAP].margin_db[20]
    assert high.p50 == pytest.approx(flat.margin_db[20].p50, abs=1e-9)
    # behind the ridge the picture is gone for the first minutes, and said so
    (silent,) = found.links[0].stands[KNAP].silent
    assert silent[0] == 0.0
    assert 60.0 < silent[1] < 600.0


def test_the_answer_aims_from_the_stand_of_the_plan_s_car(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    heard = hear(demo_flight, Pack(sounding=demo_sounding), ASKED)
    link = main_link(heard.outlook)
    assert link is not None
    stand = car_stand(heard.outlook, link)
    assert heard.outlook.car is not None
    assert stand.name == heard.outlook.car.stand == "Wether Knap"
    assert stand.weakest.p50 == pytest.approx(5.3, abs=0.5)
    lines = hearing_lines(heard)
    assert all(len(line) <= 100 for line in lines)
    text = " ".join(" ".join(lines).split())
    assert "in free space 80 km, 40 km with 6 dB in hand" in text
    assert "Where to aim from Wether Knap" in text
    assert "Flat ground assumed" in text
    assert "safe" not in text


def test_without_links_or_stands_it_says_what_to_write(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    heard = FlightLinks(
        failures=None,
        name="x",
        launch_t_s=demo_flight.sortie.launch.t_s,
        zone="UTC",
        release_after_launch_s=4000.0,
        field="",
        outlook=LinksOutlook(links=(), held=(), car=None, ground=""),
        neighbours=Neighbours(clashes=(), deaf=(), exposures=()),
        weaker=(),
        expected=(),
    )
    assert hearing_lines(heard) == ["No link is stated: write [[links]] into the flight file."]
    bare = replace(demo_flight.sortie, stands=())
    found = hear(replace(demo_flight, sortie=bare), Pack(sounding=demo_sounding), ASKED)
    assert "write [[stands]]" in "\n".join(hearing_lines(found))
    nothing = replace(demo_flight.sortie, fields=())
    found = hear(replace(demo_flight, sortie=nothing), Pack(sounding=demo_sounding), ASKED)
    assert "No release is worth it" in "\n".join(hearing_lines(found))


def test_a_third_harmonic_in_the_picture_is_told(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    picture, command = demo_flight.sortie.links
    near = replace(picture, frequency_hz=1301e6)
    low = replace(command, frequency_hz=433.92e6)
    sortie = replace(demo_flight.sortie, links=(near, low))
    heard = hear(replace(demo_flight, sortie=sortie), Pack(sounding=demo_sounding))
    text = " ".join(" ".join(hearing_lines(heard)).split())
    assert "harmonic 3 of command falls into picture, 1301.61 to 1301.91 MHz" in text
    assert "compare the limit of your country" in text
