"""Links along the demo's flight against its numbers by hand."""

from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import with_plain
from farglide.chances.ensemble import drawn_ensemble
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.links import HeardLink, HeardPoint
from farglide.plan.home.homeward import homeward
from farglide.plan.links.flightpath import planned_path
from farglide.plan.links.hearing import heard_links
from farglide.plan.links.landing import landing_path
from farglide.plan.preview import named_reach_m
from farglide.radio.link import Receiver
from farglide.rig.links import link_of
from farglide.rig.listening import listening_of, ready_s
from farglide.sortie.grain import Grain

HOME, KNAP, GAP = range(3)


@pytest.fixture(scope="module")
def links(demo_flight: FlightFile, demo_sounding: Sounding) -> tuple[HeardLink, ...]:
    """Return the links of a release at T+76, the climb begun at sea level as the numbers do."""
    sortie = replace(demo_flight.sortie, launch=replace(demo_flight.sortie.launch, amsl_m=0.0))
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble = replace(
        drawn_ensemble(sortie, demo_sounding, asked), listening=listening_of(sortie, None)
    )
    case = with_plain(ensemble)
    moment = round(76.0 * 60.0 / case.plain.climbs.tracks.step_s)
    flight = homeward(case.plain, moment, 0)
    assert flight is not None
    path = planned_path(case, moment, flight)
    return heard_links(path, None, landing_path(path, flight))


def at(link: HeardLink, stand: int, minutes: float) -> HeardPoint:
    return min(link.stands[stand].margin_db, key=lambda p: abs(p.after_launch_s - 60.0 * minutes))


@pytest.mark.parametrize(
    ("stand", "minutes", "km", "elevation_deg", "picture_db", "command_db"),
    [
        # computed by tests/by_hand in free space: +-0.3 dB, and gases take 0.1 here
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


def test_a_budget_that_fits_no_way_on_earth_is_refused_by_its_name(
    demo_flight: FlightFile,
) -> None:
    link = link_of(demo_flight.sortie.links[0])
    sender = replace(link.sender, power_w=2000.0, gain_dbi=50.0)
    receiver = Receiver(gain_dbi=50.0, sensitivity_dbm=-160.0)
    loud = replace(link, sender=sender, receiver=receiver)
    with pytest.raises(InputError, match="a minus sign") as caught:
        named_reach_m(loud)
    assert caught.value.name == "budget of link picture"
    assert caught.value.allowed == "6 to 300 dB"


def test_the_way_down_goes_on_where_the_glide_ends_until_the_ground(
    links: tuple[HeardLink, ...], demo_flight: FlightFile
) -> None:
    field = demo_flight.sortie.fields[0]
    for link in links:
        for stand in link.stands:
            over, last = stand.down[0], stand.down[-1]
            assert over.after_launch_s == stand.margin_db[-1].after_launch_s
            assert over.p50 == pytest.approx(stand.margin_db[-1].p50, abs=0.1)
            assert last.amsl_m == pytest.approx(field.amsl_m, abs=1.0)
            heights = [point.amsl_m for point in stand.down]
            assert heights == sorted(heights, reverse=True)
    # from the field itself it comes down overhead, from the hill it sinks out of sight
    home, knap = (links[0].stands[n].down for n in (HOME, KNAP))
    assert home[-2].elevation_deg > knap[-2].elevation_deg
    assert knap[-1].p50 < knap[0].p50


def test_a_table_of_a_stand_can_begin_at_the_moment_it_is_manned(
    links: tuple[HeardLink, ...], demo_flight: FlightFile
) -> None:
    sortie = demo_flight.sortie
    for stand, spec in zip(links[0].stands, sortie.stands, strict=True):
        ready = ready_s(sortie, spec)
        if 0.0 < ready < 76.0 * 60.0:
            assert stand.manned_after_launch_s == ready
            late_s = [point.after_launch_s - ready for point in stand.margin_db]
            assert min(one for one in late_s if one >= 0.0) < 5.0
