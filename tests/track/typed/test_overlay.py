"""Digits off the picture: few keystrokes, any order, any unit."""

import pytest

from farglide.errors import AnswerError
from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import Known
from farglide.track.typed.overlay import height_of, overlay_of


@pytest.mark.parametrize(
    ("line", "entry"),
    [
        ("12340", Overlay(amsl_m=12_340.0)),
        ("120", Overlay(amsl_m=120.0)),
        ("12,34 km", Overlay(amsl_m=12_340.0)),
        ("40000 ft", Overlay(amsl_m=12_192.0)),
        ("-46.5 108.2", Overlay(lat_deg=-46.5, lon_deg=108.2)),
        ("-46.5 108.2 12340", Overlay(lat_deg=-46.5, lon_deg=108.2, amsl_m=12_340.0)),
        ("12340 -46.5 108.2", Overlay(lat_deg=-46.5, lon_deg=108.2, amsl_m=12_340.0)),
        ("-46.5 108.2 120", Overlay(lat_deg=-46.5, lon_deg=108.2, amsl_m=120.0)),
        ("46 30 S 108 12 E 12340", Overlay(lat_deg=-46.5, lon_deg=108.2, amsl_m=12_340.0)),
        ("4630 S 10812 E 12340", Overlay(lat_deg=-46.5, lon_deg=108.2, amsl_m=12_340.0)),
        (".5123 .2045", Overlay(lat_deg=-46.5123, lon_deg=108.2045)),
        ("12340 .5123 .2045", Overlay(lat_deg=-46.5123, lon_deg=108.2045, amsl_m=12_340.0)),
        ("22 kmh 11,1v", Overlay(speed_mps=22 / 3.6, volts=11.1)),
        ("12340 m 22 mps v 11.1", Overlay(amsl_m=12_340.0, speed_mps=22.0, volts=11.1)),
        ("sp 36 kmh", Overlay(speed_mps=10.0)),
    ],
)
def test_digits_find_their_place(line: str, entry: Overlay, known: Known) -> None:
    found = overlay_of(line, known)
    for name in ("lat_deg", "lon_deg", "amsl_m", "speed_mps", "volts"):
        assert getattr(found, name) == pytest.approx(getattr(entry, name)), name


def test_digits_behind_the_point_take_the_nearest_whole_degrees(known: Known) -> None:
    found = overlay_of(".9990 .0010", known)
    assert (found.lat_deg, found.lon_deg) == pytest.approx((-46.999, 108.001))
    found = overlay_of(".0020 .9990", known)
    assert found.lon_deg == pytest.approx(107.999)


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("12340 12350", "Two numbers are too large for a place"),
        ("1 m 2 m", "Two numbers are both amsl"),
        ("12340 blue", "Type what you read"),
        ("1 v 46.5", None),
    ],
)
def test_what_cannot_be_sorted_is_asked_again(line: str, message: str | None, known: Known) -> None:
    if message is None:
        assert overlay_of(line, known) == Overlay(volts=1.0, amsl_m=46.5)
        return
    with pytest.raises(AnswerError, match=message):
        overlay_of(line, known)


def test_a_height_alone(known: Known) -> None:
    assert height_of("40000 ft", known).amsl_m == pytest.approx(12_192.0)
    with pytest.raises(AnswerError, match="'kt' is no unit of a height"):
        height_of("12 kt", known)
    with pytest.raises(AnswerError, match="Type one height"):
        height_of("1 2 3", known)


def test_without_a_last_place_whole_degrees_are_asked_for() -> None:
    with pytest.raises(AnswerError, match="No place is known yet"):
        overlay_of(".5 .2", Known(t_s=0.0))


@pytest.mark.parametrize("digit", ["0", "4", "5"])
def test_a_digit_that_may_be_a_grade_is_no_height_by_itself(digit: str, known: Known) -> None:
    """Taken as one it would have put the glider on the ground."""
    with pytest.raises(AnswerError, match=f"type q {digit} or h {digit}"):
        overlay_of(digit, known)
    assert height_of(digit, known).amsl_m == float(digit)
    assert overlay_of("6", known).amsl_m == 6.0
