"""Stands of a flight file: read, with what is known of them."""

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.flightfile.sections.places import STANDS, stand_of
from farglide.sortie.spec import StandSpec

from ..conftest import Entered


def test_the_stands_of_the_demo(demo_flight: FlightFile) -> None:
    home, knap, gap = demo_flight.sortie.stands
    assert (home.name, home.amsl_m, home.mast_m) == ("Harrowend strip", 240.0, 3.0)
    # 18.0 km east and 15.1 km south of home
    assert knap.lat_deg == pytest.approx(-46.5 - 15.1 / 111.195, abs=1e-3)
    assert knap.lon_deg == pytest.approx(108.0 + 18.0 / 76.542, abs=2e-3)
    assert gap.amsl_m == 500.0


def test_drives_and_setting_up_come_from_the_file(demo_flight: FlightFile) -> None:
    home, knap, gap = demo_flight.sortie.stands
    assert (home.drive_s, knap.drive_s, gap.drive_s) == (0.0, 38 * 60.0, 26 * 60.0)
    assert demo_flight.sortie.set_up_s == 240.0


def test_a_stand_may_say_little(entered: Entered) -> None:
    one = entered(STANDS, "[[stands]]\nlat_deg = 47\nlon_deg = 8\namsl_m = 500")
    assert stand_of(one) == StandSpec(name="stand 1", lat_deg=47, lon_deg=8, amsl_m=500, mast_m=2)
    more = "mast_m = 3\ndrive_min = 20\nnose_deg = 90"
    one = entered(STANDS, f"[[stands]]\nlat_deg = 47\nlon_deg = 8\namsl_m = 500\n{more}")
    assert (stand_of(one).drive_s, stand_of(one).nose_deg) == (1200.0, 90.0)
