"""Links along the demo's flight against its independent numbers."""

from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.chances.case import with_plain
from farglide.chances.ensemble import drawn_ensemble
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.links import FlightLinks, HeardLink, HeardPoint, LinksOutlook, Neighbours
from farglide.plan.hear import hear
from farglide.plan.home.homeward import homeward
from farglide.plan.links.hearing import heard_links, planned_path
from farglide.plan.links.lostheights import lost_agl_m
from farglide.present.say.links.aim import car_stand, main_link
from farglide.present.say.links.hearing import hearing_lines
from farglide.radio.link import reach_m
from farglide.rig.links import gear_of, link_of
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

HOME, KNAP, GAP = range(3)
ASKED = Grain(n_draws=100)


@pytest.fixture(scope="module")
def links(demo_flight: FlightFile, demo_sounding: Sounding) -> tuple[HeardLink, ...]:
    """Return the links of a release at T+76, the climb begun at sea level as the numbers do."""
    sortie = replace(demo_flight.sortie, launch=replace(demo_flight.sortie.launch, amsl_m=0.0))
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble = replace(
        drawn_ensemble(sortie, demo_sounding, asked), ears=listening_of(sortie, None)
    )
    plain = with_plain(ensemble).plain
    moment = round(76.0 * 60.0 / plain.climbs.tracks.step_s)
    return heard_links(planned_path(ensemble, plain, moment, homeward(plain, moment, 0)))


def at(link: HeardLink, stand: int, minutes: float) -> HeardPoint:
    return min(link.stands[stand].margin_db, key=lambda p: abs(p.after_launch_s - 60.0 * minutes))


@pytest.mark.parametrize(
    ("stand", "minutes", "km", "elevation_deg", "picture_db", "command_db"),
    [
        # computed once by an independent script in free space: +-0.3 dB, and gases take 0.1 here
        (KNAP, 60.0, 39.6, 28.0, 6.1, 15.8),
        (KNAP, 76.0, 42.1, 38.0, 5.6, 15.3),
        (HOME, 76.0, None, None, 2.2, None),
        (GAP, 76.0, None, None, 4.4, None),
    ],
)
def test_margins_of_the_demo(
    links: tuple[HeardLink, ...],
    stand: int,
    minutes: float,
    km: float | None,
    elevation_deg: float | None,
    picture_db: float,
    command_db: float | None,
) -> None:
    picture, command = links
    heard = at(picture, stand, minutes)
    assert heard.p50 == pytest.approx(picture_db, abs=0.3)
    if km is not None:
        assert heard.range_m / 1e3 == pytest.approx(km, abs=0.5)
        assert heard.elevation_deg == pytest.approx(elevation_deg, abs=1.0)
    if command_db is not None:
        assert at(command, stand, minutes).p50 == pytest.approx(command_db, abs=0.5)


def test_budgets_of_the_demo(links: tuple[HeardLink, ...]) -> None:
    picture, command = links
    assert picture.reach_m / 1e3 == pytest.approx(80.0, abs=1.0)
    assert picture.half_reach_m / 1e3 == pytest.approx(40.0, abs=0.6)
    assert command.reach_m / 1e3 == pytest.approx(244.0, abs=3.0)
    late = [p for stand in picture.stands for p in stand.margin_db if p.after_launch_s > 300.0]
    assert all(point.grade >= 3 for point in late)  # begun at sea level, under the fields


def test_from_the_hill_the_flight_passes_nearly_overhead(links: tuple[HeardLink, ...]) -> None:
    assert links[0].stands[KNAP].overhead
    assert max(p.elevation_deg for p in links[0].stands[KNAP].margin_db) > 75.0


def test_over_flat_ground_a_field_farther_away_is_lost_higher_up(
    links: tuple[HeardLink, ...],
) -> None:
    heights = [height or 0.0 for _, height in links[0].stands[HOME].lost_agl_m]
    assert heights[0] == 0.0
    assert heights == sorted(heights)
    assert heights[3] > 100.0
    # the longer wave needs more room
    command = [height or 0.0 for _, height in links[1].stands[HOME].lost_agl_m]
    assert all(a >= b for a, b in zip(command, heights, strict=True))


@pytest.mark.parametrize(
    ("stand", "field", "expected_m", "within_m"),
    [
        # computed once by an independent script on the formula of the ground: 391 m and 6 m; the
        # posts of 185 m cut the ridge a little
        (KNAP, 0, 391.0, 8.0),
        (GAP, 0, 6.0, 3.0),
        (KNAP, 1, 0.0, 3.0),
        (KNAP, 2, 0.0, 3.0),
    ],
)
def test_over_the_demo_s_ground_the_picture_is_lost_where_it_should(
    demo_flight: FlightFile, stand: int, field: int, expected_m: float, within_m: float
) -> None:
    sortie = demo_flight.sortie
    place = sortie.fields[field]
    over = Place(lat_deg=place.lat_deg, lon_deg=place.lon_deg, amsl_m=place.amsl_m)
    found = lost_agl_m(gear_of(sortie.links[0]), sortie.stands[stand], over, gather_terrain(sortie))
    assert found == pytest.approx(expected_m, abs=within_m)


@pytest.fixture(scope="module")
def heard(demo_flight: FlightFile, demo_sounding: Sounding) -> FlightLinks:
    """Return the links of the demo over its ground."""
    ground = gather_terrain(demo_flight.sortie)
    return hear(demo_flight, Pack(sounding=demo_sounding, terrain=ground), ASKED)


def test_a_stand_stated_below_the_ground_is_lifted_out_of_it(demo_flight: FlightFile) -> None:
    """As for the margins: on a hill, maps and posts easily differ by 20 m."""
    sortie, terrain = demo_flight.sortie, gather_terrain(demo_flight.sortie)
    gap, far = sortie.stands[2], sortie.fields[3]
    over = Place(lat_deg=far.lat_deg, lon_deg=far.lon_deg, amsl_m=far.amsl_m)
    stated = lost_agl_m(gear_of(sortie.links[0]), gap, over, terrain)
    low = lost_agl_m(gear_of(sortie.links[0]), replace(gap, amsl_m=480.0), over, terrain)
    assert stated == low
    assert low == pytest.approx(3.0, abs=2.0)


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


def test_a_link_too_weak_is_lost_everywhere(demo_flight: FlightFile) -> None:
    spec = demo_flight.sortie.links[0]
    weak = gear_of(replace(spec, power_w=1e-4))
    field, stand = demo_flight.sortie.fields[3], demo_flight.sortie.stands[0]
    place = Place(lat_deg=field.lat_deg, lon_deg=field.lon_deg, amsl_m=field.amsl_m)
    assert lost_agl_m(weak, stand, place) is None


def test_a_range_once_reached_becomes_the_reach(demo_flight: FlightFile) -> None:
    spec = demo_flight.sortie.links[1]
    link = link_of(replace(spec, sensitivity_dbm=None, reached_m=150e3))
    assert reach_m(link) == pytest.approx(150e3, rel=1e-9)


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
