"""What a flight file comes to before any wind: glide, fill, burst and links."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.air.sounding import Sounding
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.plan.fill import with_solved_fill
from farglide.plan.preview import named_reach_m, preview, still_air, with_fitted_lines
from farglide.rig.links import link_of

from ..conftest import DEMO, Document, least


def test_the_demo_comes_to_what_its_plan_says(demo_sounding: Sounding) -> None:
    found = preview(read_flight_file(DEMO).sortie, demo_sounding)
    # burst at T+83 near 30.0 km, with 2.15 kg at the neck: the printed plan of the demo
    assert found.burst_amsl_m == pytest.approx(30_000.0, abs=100.0)
    assert (found.burst_after_launch_s or 0.0) / 60.0 == pytest.approx(83.0, abs=0.6)
    assert (found.neck_lift_kg, found.burst_diameter_m) == (2.15, 7.05)
    assert found.mean_ascent_mps == pytest.approx(29_760.0 / (60.0 * 83.0), rel=0.01)
    assert found.glide_ratio == pytest.approx(8.7, abs=0.1)
    assert found.flown_glide_ratio == found.glide_ratio
    # free space by hand: 29 + 2 + 18 - 2 dBm less -91 dBm at 2370 MHz are 138 dB, 80 km
    picture = found.links[0]
    assert picture.reach_m == pytest.approx(80_000.0, rel=0.02)
    assert picture.half_reach_m == pytest.approx(picture.reach_m / 10.0**0.3, rel=1e-6)


def test_standard_air_is_still_and_reaches_above_any_burst(demo_flight: FlightFile) -> None:
    air = still_air(demo_flight.sortie.launch)
    assert not air.u_mps.any()
    assert air.top_gph_m == 47_000.0
    # ISO 2533: 22 632 Pa at 11 km
    assert air.p_pa[list(air.gph_m).index(11_000.0)] == pytest.approx(22_632.0, abs=1.0)


def test_a_balloon_too_full_of_leaks_never_bursts(demo_flight: FlightFile) -> None:
    balloon = replace(demo_flight.sortie.balloon, leak_ratio_ps=3e-4)
    sortie = replace(demo_flight.sortie, balloon=balloon)
    found = preview(sortie, still_air(sortie.launch))
    assert (found.burst_amsl_m, found.mean_ascent_mps) == (None, None)


def test_numbers_that_a_stated_climb_moves_are_fitted(
    tmp_path: Path, demo_sounding: Sounding
) -> None:
    stated = least(tmp_path, balloon="neck_lift_g = 1700\nmean_ascent_mps = 6")
    solved = with_fitted_lines(stated, with_solved_fill(stated, demo_sounding))
    lines = {f"{one.section}.{one.row.key}": one.number for one in solved.inputs}
    assert lines["balloon.drag_factor"].fitted
    assert lines["balloon.drag_factor"].value == solved.sortie.balloon.drag_factor.value
    assert not lines["balloon.burst_diameter_m"].fitted
    assert not lines["balloon.neck_lift_kg"].fitted


def test_a_budget_that_fits_no_way_on_earth_is_refused_by_name(
    document: Document, read: Callable[[Document], FlightFile]
) -> None:
    document["links"][0]["receiver_gain_dbi"] = -30
    document["links"][0]["sender_gain_dbi"] = -30
    document["links"][0]["needed_ratio_db"] = 60
    document["links"][0]["power_w"] = 1e-6
    document["links"][0]["receiver_loss_db"] = 30
    link = link_of(read(document).sortie.links[0])
    with pytest.raises(InputError, match="budget of link picture"):
        named_reach_m(link)
