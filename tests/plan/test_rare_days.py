"""Whole plans of rare days: dusk, short packs, leaks, and fields that open too late."""

import math
from dataclasses import replace

import pytest

from farglide.earth.sun import dusk_t_s
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.outlook import Outlook
from farglide.present.say.text import FlightClock
from farglide.report.brief import render_brief
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

from ..conftest import Planned
from ..reading import answer_lines
from .conftest import assert_bands_cover, said


def moved_fields(sortie: Sortie, north_deg: float, east_deg: float) -> Sortie:
    return replace(
        sortie,
        fields=tuple(
            replace(field, lat_deg=field.lat_deg + north_deg, lon_deg=field.lon_deg + east_deg)
            for field in sortie.fields
        ),
    )


def test_fields_400_km_away_are_shut_all_the_time(sortie: Sortie, planned: Planned) -> None:
    outlook = planned(moved_fields(sortie, 3.6, 0.0))
    assert_bands_cover(outlook)
    assert [len(field.bands) for field in outlook.fields] == [1, 1, 1, 1]
    assert {field.bands[0].state for field in outlook.fields} == {"shut"}
    assert outlook.release is None
    assert outlook.why == (
        "No field has 9 in 10 at any height. What keeps Harrowend strip from it: 436 km from the "
        "field, too low. No link is stated, so none is counted: the real chance may be lower."
    )
    assert outlook.barriers == ()
    assert outlook.gap_s == pytest.approx(outlook.ascent.burst.after_launch_s.p50, abs=30.0)
    assert len(outlook.would_open) >= 1
    assert "prepare a field under the end of the drift" in outlook.would_open[-1]
    assert outlook.verdict == (
        "No release is worth it at any height, from Harrowend strip at 16:40. Every field has a "
        "chance of under 1 in 50."
    )


def test_where_only_the_links_fail_larger_packs_are_not_the_remedy(
    demo_flight: FlightFile, planned: Planned
) -> None:
    picture, command = demo_flight.sortie.links
    dead = replace(picture, offset_db=-60.0)
    outlook = planned(replace(demo_flight.sortie, links=(dead, command), terrain=None))
    assert outlook.release is None
    assert outlook.would_open[-1].startswith("use a stronger link, or man a stand in time")
    assert not any("packs: by height" in hint for hint in outlook.would_open)
    assert outlook.elsewhere.startswith(
        "No launch within 200 km gives home 5 in 10 or more, released above 20 km: the best is "
        "under 1 in 50"
    )


def two_hours_before_dusk(sortie: Sortie, minutes: float = 120.0) -> Sortie:
    """Return the flight with packs that last all night and a launch that long before dusk."""
    home = sortie.fields[0]
    dusk = dusk_t_s(sortie.launch.t_s, home.lat_deg, home.lon_deg)
    assert dusk is not None
    launch = replace(sortie.launch, t_s=dusk - 60.0 * minutes)
    return replace(sortie, launch=launch, packs=())


def test_a_launch_two_hours_before_dusk_may_not_be_late(sortie: Sortie, planned: Planned) -> None:
    outlook = planned(two_hours_before_dusk(sortie))
    assert outlook.sun.dusk_after_launch_s == pytest.approx(7200.0, abs=1.0)
    assert (outlook.packs, outlook.latest_launch_delay_s) == ((), 600.0)
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    latest = f"Latest launch {clock.local(600.0)}: later it gets dark too soon."
    assert latest in said(outlook)
    chance = [hold.chance_ratio for hold in outlook.holds]
    assert chance == sorted(chance, reverse=True)
    assert chance[-1] < 0.05 < chance[0]


def test_when_it_gets_dark_first_home_is_shut_and_the_nearer_field_taken(
    sortie: Sortie, planned: Planned
) -> None:
    # Dusk at T+95 min: home is over half an hour off by the time that the height would do.
    outlook = planned(two_hours_before_dusk(sortie, 95.0))
    last = outlook.fields[0].bands[-1]
    assert last.state == "shut"
    assert last.reason.endswith("m/s at 10 km, then it gets dark first")
    assert outlook.release is not None
    assert outlook.release.field == "Tansy Lea"
    assert {field.bands[-1].reason for field in outlook.fields[1:]} == {"it gets dark first"}
    assert "below the horizon" in said(outlook)


def test_packs_that_end_early_shut_home_and_are_named(sortie: Sortie, planned: Planned) -> None:
    (pack,) = sortie.packs
    weak = replace(pack, energy_wh=Known(value=20.0))
    outlook = planned(replace(sortie, packs=(weak,)))
    # 20 Wh x 0.65 / 7 W = 111.4 min from T-15: T+96.4
    assert outlook.packs[0].after_launch_s.p50 == pytest.approx(60.0 * 96.4, abs=5.0)
    last = outlook.fields[0].bands[-1]
    assert (last.state, last.reason.split(", then ")[-1]) == ("shut", "the packs end first")
    assert outlook.release is not None
    assert outlook.release.field == "Tansy Lea"
    assert outlook.latest_launch_delay_s == 0.0


def test_packs_end_the_window_of_a_balloon_that_leaks_and_never_bursts(
    sortie: Sortie, planned: Planned
) -> None:
    leaking = replace(sortie, balloon=replace(sortie.balloon, leak_ratio_ps=1e-4))
    outlook = planned(leaking)
    assert_bands_cover(outlook)
    # It tops out below 28 km, sinks again and comes past heights a second time.
    heights = [point.amsl_m for point in outlook.ascent.track]
    top = heights.index(max(heights))
    assert max(heights) < 28_000.0
    assert heights[-1] < max(heights) - 1000.0
    assert heights[: top + 1] == sorted(heights[: top + 1])
    # Half of them never burst: said so, and null in the document.
    assert math.isnan(outlook.ascent.burst.after_launch_s.p50)
    assert outlook.document()["ascent"]["burst"]["after_launch_s"]["p50"] is None
    assert "fewer than 5 in 10 ever" in said(outlook)
    release = outlook.release
    assert release is not None
    assert release.bound_by == "packs"
    assert "after that the packs end before it lands" in outlook.order
    # The window lies on the way up, while the packs last, near the one height, 20 km, that is high
    # enough and open, and is no shorter than a release takes.
    assert release.window.to_after_launch_s < outlook.packs[0].after_launch_s.p50
    assert release.window.to_amsl_m >= 20_000.0
    takes_s = leaking.drop.reaction_s.value + leaking.drop.repeats_s
    early_s = release.window.to_after_launch_s - release.window.from_after_launch_s
    assert early_s >= takes_s * (1.0 - 1e-9)
    assert release.window.from_after_launch_s <= release.release_by_after_launch_s


def test_a_slow_leak_is_a_later_burst(sortie: Sortie, planned: Planned, demo: Outlook) -> None:
    slow = planned(replace(sortie, balloon=replace(sortie.balloon, leak_ratio_ps=2e-5)))
    assert slow.ascent.burst.after_launch_s.p50 > demo.ascent.burst.after_launch_s.p50 + 120.0
    assert slow.ascent.burst.height_amsl_m.p50 > demo.ascent.burst.height_amsl_m.p50
    assert slow.release is not None
    assert slow.release.bound_by == "burst"


def test_a_stiff_film_climbs_slower_and_warm_gas_faster(
    sortie: Sortie, planned: Planned, demo: Outlook
) -> None:
    balloon = sortie.balloon
    stiff = planned(replace(sortie, balloon=replace(balloon, film_stiffness_npm=60.0)))
    warm = planned(replace(sortie, balloon=replace(balloon, gas_warmer_k=Known(value=15.0, sd=5))))
    speeds = [outlook.ascent.mean_mps.p50 for outlook in (stiff, demo, warm)]
    assert speeds == sorted(speeds)
    for outlook in (stiff, warm):
        assert_bands_cover(outlook)
        assert outlook.release is not None
    # Warm gas is wider at the same pressure: the film is at its end lower down.
    burst = [outlook.ascent.burst.height_amsl_m.p50 for outlook in (warm, demo)]
    assert burst[0] < burst[1]


def test_a_crew_without_a_record_is_told_so(sortie: Sortie, planned: Planned) -> None:
    outlook = planned(replace(sortie, drop=replace(sortie.drop, n_releases=0)))
    assert outlook.release is not None
    assert math.isnan(outlook.release.product_ratio)
    assert outlook.document()["release"]["product_ratio"] is None
    assert "how often they do, no test of both says" in outlook.verdict


def test_fields_that_open_only_below_the_wanted_height_are_said_to(
    sortie: Sortie, planned: Planned
) -> None:
    wanting = replace(
        sortie, fields=sortie.fields[:1], wish=replace(sortie.wish, wanted_amsl_m=38e3)
    )
    outlook = planned(wanting)
    assert outlook.release is not None
    assert outlook.release.window.to_amsl_m < 38_000.0
    assert "The balloon does not climb to the 38 km you want." in outlook.why


def test_a_wish_just_above_what_is_worth_it_does_not_send_the_release_to_the_ground(
    sortie: Sortie, planned: Planned
) -> None:
    """Home is open below 6 km too: yet near 27 km it is the stretch at the top that counts."""
    home = replace(sortie, fields=sortie.fields[:1])
    outlook = planned(replace(home, wish=replace(home.wish, wanted_amsl_m=31_000.0)))
    assert outlook.release is not None
    assert outlook.release.window.from_amsl_m > 20_000.0
    assert outlook.release.chance_ratio > 0.8
    assert "From the 31 km you want upward no field is worth a release (the best is " in outlook.why
    # what is told beside it is told of the same window
    assert outlook.as_planned.chance_ratio == pytest.approx(outlook.release.chance_ratio, abs=0.06)


def test_a_field_that_opens_only_after_the_burst_is_no_cover(
    sortie: Sortie, planned: Planned
) -> None:
    far = replace(sortie.fields[0], lat_deg=-46.30, lon_deg=107.65)
    outlook = planned(replace(sortie, fields=(far,)))
    assert outlook.gap_s == pytest.approx(outlook.ascent.burst.after_launch_s.p50, abs=60.0)
    assert "some field is always open" not in outlook.why


def test_a_balloon_that_leaks_away_has_nowhere_to_land_when_it_sinks(
    sortie: Sortie, planned: Planned
) -> None:
    outlook = planned(replace(sortie, balloon=replace(sortie.balloon, leak_ratio_ps=3e-4)))
    assert math.isnan(outlook.ascent.burst.after_launch_s.p50)
    assert render_brief(outlook).startswith("<!doctype html>")
    answer = "\n".join(answer_lines(outlook))
    assert "climbs at –" not in answer
    # it tops out near 5 km; nobody waits for it to sink: released where it hardly climbs
    high = [point.amsl_m for point in outlook.ascent.track]
    assert max(step.amsl_m for step in outlook.fields[0].steps) < max(high) + 1500.0
    assert outlook.gaps == ()
