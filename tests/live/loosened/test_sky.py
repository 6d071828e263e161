"""The sun for a glider: the field steered for first, headings by the triangle of winds."""

import pytest

from farglide.live.loosened.flight import LooseFlight
from farglide.live.loosened.sky import heading_deg, sun_after


def test_the_field_steered_for_comes_first(gliding: LooseFlight) -> None:
    found = sun_after(gliding)
    assert gliding.after.steer is not None
    assert found.aims[0].field == gliding.after.steer.field
    assert {one.field for one in found.aims} == {one.name for one in gliding.sortie.fields}
    # independent: azimuth 257 and 14 degrees up at T+76; 11 degrees an hour to the left from there
    assert found.azimuth_deg == pytest.approx(256.0, abs=1.5)
    assert found.elevation_deg == pytest.approx(13.5, abs=1.5)


def test_the_heading_holds_the_course_in_the_wind_there(gliding: LooseFlight) -> None:
    aim = sun_after(gliding).aims[0]
    assert aim.steer_deg is not None
    assert heading_deg(gliding) == pytest.approx(aim.steer_deg)
    assert aim.right_deg == pytest.approx(
        (sun_after(gliding).azimuth_deg - aim.steer_deg + 180.0) % 360.0 - 180.0
    )
    assert gliding.after.steer is not None
    assert aim.bearing_deg == pytest.approx(gliding.after.steer.track_deg, abs=3.0)


def test_what_falls_has_no_heading(tied: LooseFlight) -> None:
    assert heading_deg(tied) is None
    assert sun_after(tied).aims[0].steer_deg is not None  # for once it is let go
