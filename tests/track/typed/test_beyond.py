"""Numbers beyond all limits: asked about where something else may have been meant."""

import pytest

from farglide.errors import InputError
from farglide.track.typed.beyond import beyond, moved_to
from farglide.track.typed.entries import LaunchMoved, NeckLift, Overlay
from farglide.track.typed.known import Known
from farglide.track.typed.told import understood


def test_grams_for_kilograms(known: Known) -> None:
    asked = beyond(InputError("neck lift", "2150 kg", "0.05 to 20 kg"), "neck 2150", known)
    assert asked is not None
    assert [one.entry for one in asked.alternatives] == [NeckLift(kg=2.15)]
    assert beyond(InputError("neck lift", "nan", "0.05 to 20 kg"), "neck", known) is None


def test_what_is_no_slip_is_left_to_its_error(known: Known) -> None:
    assert beyond(InputError("azimuth", "400°", "0 to 360°"), "a 400", known) is None
    assert beyond(InputError("height", "-9000 m", "-500 to 100000 m"), "-9000", known) is None
    assert beyond(InputError("height", "1e9 m", "-500 to 100000 m"), "999999999", known) is None
    error = InputError("lat_deg", "95°", "-90 to 90°")
    assert beyond(error, "95 170", known) is None


def test_a_launch_is_moved_to_a_place() -> None:
    told = moved_to(understood(Overlay(lat_deg=1.0, lon_deg=2.0)))
    assert told.entry == LaunchMoved(lat_deg=1.0, lon_deg=2.0)
    with pytest.raises(TypeError, match="digits without a place"):
        moved_to(understood(Overlay(amsl_m=1.0)))
