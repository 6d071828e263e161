"""The hand-over after the release: the words say what is on the way, at the moment they tell."""

import pytest

from farglide.earth.geodesy import geodesic
from farglide.live.loosened.flight import LooseFlight
from farglide.live.loosened.hand import hand_after, place_then
from farglide.track.handover.sentence import TICK_S, Common, heard


def test_what_the_other_car_hears_is_where_it_is_then(gliding: LooseFlight) -> None:
    found = hand_after(gliding)
    assert (found.phase, found.field) == ("gliding", "Harrowend strip")
    assert (gliding.launch.t_s + found.after_launch_s) % TICK_S == 0.0
    assert 0.0 <= found.after_launch_s - gliding.now_s < TICK_S
    launch = gliding.launch
    common = Common(launch.lat_deg, launch.lon_deg, found.lat_deg, found.lon_deg,
                    launch.t_s + found.after_launch_s)  # fmt: skip
    told = heard(found.words, common)
    assert told.phase == "gliding"
    assert told.amsl_m == pytest.approx(found.amsl_m, abs=51.0)
    assert told.lat_deg == pytest.approx(found.lat_deg, abs=0.001)


def test_it_goes_on_until_the_moment_that_is_told(
    gliding: LooseFlight, tied: LooseFlight, unseen: LooseFlight
) -> None:
    later = place_then(gliding, gliding.now_s + 20.0)
    steer = gliding.after.steer
    assert steer is not None
    gone = geodesic(gliding.place, later)
    assert gone.distance_m == pytest.approx(20.0 * steer.ground_mps, rel=0.1)
    assert gliding.place.amsl_m - later.amsl_m == pytest.approx(20.0 * steer.sink_mps, rel=0.2)
    falls = place_then(tied, tied.now_s + 20.0)
    assert 200.0 < tied.place.amsl_m - falls.amsl_m < 2000.0
    drift = geodesic(tied.place, falls)
    assert drift.distance_m == pytest.approx(20.0 * tied.wind(tied.place.amsl_m).mps, rel=0.05)
    assert hand_after(tied).phase == "falling"
    assert hand_after(unseen).phase == "lost"
