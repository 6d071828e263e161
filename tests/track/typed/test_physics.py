"""Wrong digits are held against physics, and the nearest that can be is offered."""

from dataclasses import replace

import pytest

from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import Known
from farglide.track.typed.physics import overlay_suspicion


def place(lat_deg: float, lon_deg: float) -> Overlay:
    return Overlay(lat_deg=lat_deg, lon_deg=lon_deg)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (place(46.5130, 108.2050), place(-46.5130, 108.2050)),  # the minus lost
        (place(-46.5130, -108.2050), place(-46.5130, 108.2050)),  # west for east
        (place(-46.3078, 108.1230), place(-46.513, 108.205)),  # minutes typed as decimals
        (place(-46.6130, 108.2050), place(-46.5130, 108.2050)),  # one digit
        (place(-4.65130, 108.2050), place(-46.5130, 108.2050)),  # the point
        (Overlay(amsl_m=40_600.0), Overlay(amsl_m=12_374.88)),  # feet
        (Overlay(amsl_m=1240.0), Overlay(amsl_m=12_400.0)),  # a digit left out
        (Overlay(amsl_m=1230.0), Overlay(amsl_m=12_300.0)),
        (Overlay(amsl_m=122_300.0 / 2.0), Overlay(amsl_m=11_150.0)),  # one misread of 61150
        (Overlay(amsl_m=99_930.0), Overlay(amsl_m=9993.0)),  # the last one doubled
        (Overlay(amsl_m=12.4), Overlay(amsl_m=12_400.0)),  # kilometres
        (Overlay(amsl_m=21_400.0), Overlay(amsl_m=12_400.0)),  # two swapped
        (Overlay(amsl_m=72_400.0), Overlay(amsl_m=12_400.0)),  # one misread
    ],
)
def test_the_nearest_plausible_is_offered(typed: Overlay, meant: Overlay, known: Known) -> None:
    found = overlay_suspicion(typed, known)
    assert found is not None
    assert found.typed is not None
    assert found.typed.entry == typed
    offered = found.alternatives[0].entry
    assert isinstance(offered, Overlay)
    for name in ("lat_deg", "lon_deg", "amsl_m"):
        assert getattr(offered, name) == pytest.approx(getattr(meant, name), abs=1e-4), name


def test_what_can_be_is_taken(known: Known) -> None:
    for one in (Overlay(amsl_m=12_590.0), Overlay(amsl_m=9500.0), place(-46.50, 108.25)):
        assert overlay_suspicion(one, known) is None
    assert overlay_suspicion(Overlay(volts=11.0), known) is None
    assert overlay_suspicion(place(0.0, 0.0), replace(known, last=None)) is None


def test_the_bars_are_those_of_the_job(known: Known) -> None:
    """15 m/s over 20 s and 100 m of reading error; 5 km, or 60 m/s of an older place."""
    assert overlay_suspicion(Overlay(amsl_m=12_300.0 + 399.0), known) is None
    found = overlay_suspicion(Overlay(amsl_m=12_300.0 + 401.0), known)
    assert found is not None
    assert "would be a climb of 20 m/s; 15 can be." in found.why
    jumped = place(-46.5123 + 5.2 / 111.2, 108.2045)
    found = overlay_suspicion(jumped, known)
    assert found is not None
    assert found.why == "That is 5.2 km from the last place; 5.0 km can be."
    assert overlay_suspicion(jumped, replace(known, t_s=known.t_s + 100.0)) is None


def test_a_height_and_a_place_are_both_asked(known: Known) -> None:
    found = overlay_suspicion(Overlay(lat_deg=46.513, lon_deg=108.205, amsl_m=40_600.0), known)
    assert found is not None
    assert "Did you mean 46.51300 S 108.20500 E, 12375 m or " in found.words
