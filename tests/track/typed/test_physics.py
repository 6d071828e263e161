"""Wrong digits are held against physics, and the nearest that can be is offered."""

from dataclasses import replace

import pytest

from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import Known, LastPlace
from farglide.track.typed.physics import overlay_suspicion
from farglide.track.typed.slips import HeightTyped
from farglide.units import FOOT_M


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
    wanted = "Did you mean 46.51300 S 108.20500 E, height 12375 m (40600 ft) or "
    assert wanted in found.words


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (HeightTyped(12_000.0, FOOT_M), [12_000.0]),  # m, though feet was typed
        (HeightTyped(50_500.0, FOOT_M), [40_500.0 * FOOT_M]),  # a digit of the feet
        (HeightTyped(123.0), [12_300.0]),
    ],
)
def test_what_is_offered_is_the_number_as_it_was_typed(
    typed: HeightTyped, meant: list[float], known: Known
) -> None:
    found = overlay_suspicion(Overlay(amsl_m=typed.amsl_m), known, typed)
    assert found is not None
    heights = [one.entry.amsl_m for one in found.alternatives if isinstance(one.entry, Overlay)]
    assert heights[: len(meant)] == pytest.approx(meant)


def test_feet_are_taken_for_feet_once(known: Known) -> None:
    """At 3.8 km 40 500 ft cannot be: 12 344 m are not taken for feet once more, 3762 m."""
    assert known.last is not None
    low = replace(known, last=replace(known.last, amsl_m=3800.0))
    found = overlay_suspicion(Overlay(amsl_m=40_500 * FOOT_M), low, HeightTyped(40_500.0, FOOT_M))
    assert found is not None
    assert all("3762" not in one.words for one in found.alternatives)
    for one in found.alternatives:
        assert isinstance(one.entry, Overlay)
        feet = one.words.partition("(")[2].removesuffix(" ft)")
        assert one.entry.amsl_m == pytest.approx(float(feet) * FOOT_M)


@pytest.mark.parametrize("is_seen", [True, False])
def test_what_no_balloon_reaches_may_be_feet(is_seen: bool, known: Known) -> None:
    known = known if is_seen else replace(known, last=None)
    found = overlay_suspicion(Overlay(amsl_m=82_000.0), known)
    assert found is not None
    assert found.why == "No balloon flies 82000 m high."
    assert "height 24994 m (82000 ft)" in [one.words for one in found.alternatives]


def test_a_lone_number_with_a_point_may_be_volts(known: Known) -> None:
    typed = HeightTyped(11.1, is_told=False, has_point=True)
    found = overlay_suspicion(Overlay(amsl_m=11.1), known, typed)
    assert found is not None
    assert found.alternatives[-1].entry == Overlay(volts=11.1)
    told = overlay_suspicion(Overlay(amsl_m=11.1), known, typed._replace(is_told=True))
    assert told is not None
    assert not any(one.entry == Overlay(volts=11.1) for one in told.alternatives)


def test_without_a_place_digits_are_held_against_the_launch(known: Known) -> None:
    begun = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=known.t_s - 600.0)
    known = replace(known, last=None, begun=begun)
    found = overlay_suspicion(place(46.52, 108.05), known)
    assert found is not None
    assert "from the launch; 36 km can be." in found.why
    assert found.alternatives[0].words == "46.52000 S 108.05000 E"
    found = overlay_suspicion(Overlay(amsl_m=12_000.0), known)
    assert found is not None
    assert found.why == "12000 m cannot be: since the launch it can have climbed to 9340 m."
    assert found.alternatives[0].words == "height 3658 m (12000 ft)"
    early = replace(known, t_s=begun.t_s - 60.0, zone="UTC+07:00")
    found = overlay_suspicion(Overlay(amsl_m=12_000.0), early)
    assert found is not None
    assert found.why == "12000 m cannot be: the launch is still to come, at 17:16."
    found = overlay_suspicion(Overlay(amsl_m=-400.0), replace(known, t_s=begun.t_s))
    assert found is not None
    assert found.why == "-400 m is below the launch, which lies at 240 m."
