"""One line of a crew: taken, asked back with what may be meant, or asked again; never obeyed."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings

from farglide.errors import AnswerError, InputError
from farglide.track.handover.sentence import Common, HandedOver, spoken
from farglide.track.typed.entries import Bearing, LaunchMoved, MarkKind, NeckLift, Overlay
from farglide.track.typed.known import AskedBack, Known, LastPlace, Understood
from farglide.track.typed.told import words_of
from farglide.track.typed.typed import typed

from .fuzz import LINES, said


def question(line: str, known: Known) -> AskedBack:
    found = typed(line, known)
    assert isinstance(found, AskedBack), found
    return found


def test_what_fits_is_taken_with_its_words(known: Known) -> None:
    found = typed("12380 .5130 .2050", known)
    assert isinstance(found, Understood)
    assert found.words == "46.51300 S 108.20500 E, height 12380 m"


@pytest.mark.parametrize("line", ["neck 1600", "n1600", "neck 1600 kg"])
def test_a_neck_lift_in_grams_is_asked(line: str, known: Known) -> None:
    found = question(line, known)
    assert found.typed is None
    assert found.words.endswith("Grams? Did you mean neck lift 1.60 kg?")
    assert found.alternatives[0].entry == NeckLift(kg=1.6)


def test_a_neck_lift_that_no_unit_saves_is_refused(known: Known) -> None:
    with pytest.raises(InputError, match="neck lift is 9\u2009000\u2009000 kg"):
        typed("neck 9000000", known)


def test_a_neck_lift_against_the_plan(known: Known) -> None:
    known = replace(known, marks=())
    assert "does not lift the 0.78 kg that hang" in question("neck 0.7", known).why
    assert "far from the 1.60 kg planned" in question("neck 2.6", known).why
    assert "far from the 1.60 kg planned" in question("neck 1.35", known).why
    assert isinstance(typed("neck 1.7", known), Understood)


@pytest.mark.parametrize(
    ("line", "marks", "why"),
    [
        ("l", (MarkKind.LAUNCHED,), "Launched is marked already."),
        ("burst", (), "Launched is not marked yet."),
        ("dead", (), "Launched is not marked yet."),
        ("dead", (MarkKind.LAUNCHED, MarkKind.DEAD), "Packs empty is marked already."),
        ("stuck", (MarkKind.LAUNCHED,), "Release sent is not marked yet."),
        ("lost", (MarkKind.LAUNCHED, MarkKind.LANDED), "It is marked as landed."),
        ("back", (MarkKind.LAUNCHED,), "The picture is not marked as lost."),
        ("u burst", (MarkKind.LAUNCHED,), "Burst was never marked."),
    ],
)
def test_marks_against_marks(
    line: str, marks: tuple[MarkKind, ...], why: str, known: Known
) -> None:
    assert question(line, replace(known, marks=marks)).why == why


def test_a_sun_that_has_set(known: Known) -> None:
    assert isinstance(typed("sun 11", known), Understood)
    night = replace(known, t_s=known.t_s + 8 * 3600.0)
    assert "° below the horizon there" in question("sun 11", night).why


def test_a_launch_moved_to_the_other_half_of_the_earth(known: Known) -> None:
    known = replace(known, marks=())
    found = question("moved 46.6 108.1", known)
    assert found.alternatives[0].entry == LaunchMoved(lat_deg=-46.6, lon_deg=108.1)
    assert isinstance(typed("moved -46.6 108.1", known), Understood)


def test_digits_that_cannot_be_are_never_obeyed(known: Known) -> None:
    found = question("46.5130 108.2050", known)
    assert found.typed is not None
    assert found.typed.entry == Overlay(lat_deg=46.513, lon_deg=108.205)
    assert found.words == (
        "That is 10\u2009306 km from the last place; 5.0 km can be. "
        "Did you mean 46.51300 S 108.20500 E?"
    )


@pytest.mark.slow
@settings(max_examples=400, deadline=None)
@given(LINES)
def test_no_line_is_fatal_and_each_offer_tells_all_that_it_takes(line: str) -> None:
    found = said(line)
    offers = found.alternatives if isinstance(found, AskedBack) else ()
    assert all(one.words.startswith(words_of(one.entry)) for one in offers)
    assert len({one.words for one in offers}) == len(offers)


def test_a_last_place_at_the_stand_is_no_direction(known: Known) -> None:
    here = known.stands[0]
    last = LastPlace(lat_deg=here.lat_deg, lon_deg=here.lon_deg, amsl_m=500.0, t_s=known.t_s)
    assert isinstance(typed("a 200", replace(known, last=last)), Understood)


def test_nonsense_is_asked_again(known: Known) -> None:
    with pytest.raises(AnswerError, match="is no entry"):
        typed("hello", known)


@pytest.mark.parametrize("line", ["late 20", "moved -46.6 108.1"])
def test_what_is_of_before_the_launch_is_asked_after_it(line: str, known: Known) -> None:
    assert question(line, known).why == "It is marked as launched."
    assert isinstance(typed(line, replace(known, marks=())), Understood)


def test_a_weighing_may_be_told_after_the_launch(known: Known) -> None:
    assert isinstance(typed("neck 1.62", known), Understood)


@pytest.mark.parametrize("line", ["108.2050 -46.5130", "12380 108.2050 -46.5130"])
def test_latitude_and_longitude_swapped(line: str, known: Known) -> None:
    found = question(line, known)
    assert found.typed is None
    assert found.why == "There is no latitude of 108.205 degrees."
    meant = found.alternatives[0].entry
    assert isinstance(meant, Overlay)
    assert (meant.lat_deg, meant.lon_deg) == (-46.513, 108.205)


def test_swapped_with_a_sign_lost_as_well(known: Known) -> None:
    found = question("108.2050 46.5130", known)
    assert found.words.endswith("Did you mean 46.51300 S 108.20500 E?")


@pytest.mark.parametrize("line", ["200.5 300.1 5 m", "moved 95.0 170.0", "95.0 170.0"])
def test_what_no_swap_saves_is_refused(line: str, known: Known) -> None:
    with pytest.raises((AnswerError, InputError)):
        typed(line, replace(known, marks=()))


def test_a_swap_is_offered_once_with_all_that_it_is(known: Known) -> None:
    found = question("108.2050 -46.5130 12380", known)
    assert [one.words for one in found.alternatives] == [
        "46.51300 S 108.20500 E, height 12380 m (latitude and longitude swapped)"
    ]


def test_a_swap_with_a_height_that_cannot_be_keeps_both_offers(known: Known) -> None:
    found = question("108.2050 -46.5130 40600", known)
    words = [one.words for one in found.alternatives]
    assert words[0] == "46.51300 S 108.20500 E, height 40600 m (latitude and longitude swapped)"
    assert words[1] == "46.51300 S 108.20500 E, height 12375 m (40600 ft)"


def test_a_swap_that_fits_nowhere_says_so(known: Known) -> None:
    found = question("108.2050 -3.5130", known)
    assert "There is no latitude of 108.205 degrees. Swapped: That is 4\u2009765 km" in found.why
    assert len(found.alternatives) == 1


def test_a_launch_moved_the_wrong_way_round(known: Known) -> None:
    found = question("moved 108.1 -46.6", replace(known, marks=()))
    assert found.alternatives[0].entry == LaunchMoved(lat_deg=-46.6, lon_deg=108.1)


def test_more_than_the_limit_may_be_feet_or_a_digit_too_many(known: Known) -> None:
    found = question("123500", known)
    assert found.typed is None
    assert found.alternatives[0].words == "height 12350 m"
    found = question("-46.513 108.205 123500", known)
    assert found.alternatives[0].words == "46.51300 S 108.20500 E, height 12350 m"


def test_a_theodolite_stays_one_and_both_its_numbers_are_turned(known: Known) -> None:
    found = question("t 200 40", known)
    assert found.alternatives[0].words == "theodolite to 020.0°, 40.0° up from Stile Gap"
    found = question("a 85 20", replace(known, stand="Wether Knap"))
    assert found.alternatives[0].entry == Bearing(
        azimuth_deg=20.0, elevation_deg=85.0, stand="Wether Knap"
    )


def test_a_launch_made_late_says_when_it_then_is(known: Known) -> None:
    launch = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=known.t_s + 1200.0)
    known = replace(known, marks=(), last=None, launch=launch, begun=launch, zone="UTC+07:00")
    found = typed("late -5", known)
    assert isinstance(found, Understood)
    assert found.words == "launch 5 min earlier than planned, at 17:41"
    asked = question("late -30", known)
    assert asked.why == "The launch would then have been at 17:16, 10 min ago."
    assert asked.typed is not None


def handed(known: Known, lat_deg: float, lon_deg: float = 108.2) -> str:
    """Return a hand-over of now, as it is typed."""
    assert known.launch is not None
    launch = known.launch.lat_deg, known.launch.lon_deg
    told = HandedOver(
        lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=12_400.0, at_t_s=known.t_s, phase="climbing"
    )
    return f"over {spoken(told, Common(*launch, *launch, known.t_s))}"


def test_a_hand_over_is_taken_where_it_fits(known: Known) -> None:
    launch = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=known.t_s - 3000.0)
    there = replace(known, launch=launch)
    found = typed(handed(there, -46.513), there)
    assert isinstance(found, Understood)
    assert isinstance(found.entry, HandedOver)
    assert found.entry.lat_deg == pytest.approx(-46.513, abs=0.0005)
    alone = replace(there, last=None)
    assert isinstance(typed(handed(alone, -46.9), alone), Understood)


def test_a_hand_over_of_elsewhere_is_asked_back(known: Known) -> None:
    launch = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=known.t_s - 3000.0)
    there = replace(known, launch=launch)
    found = question(handed(there, -46.9), there)
    assert "from the last place" in found.why
    assert found.typed is not None


def test_a_hand_over_without_a_launch_says_no_place(known: Known) -> None:
    with pytest.raises(AnswerError, match="Without a launch no place follows from a hand-over"):
        typed("over a b c d e f g h i j k l", known)


EAST_M = 111_195.0 * math.cos(math.radians(-46.5))


@pytest.mark.parametrize("east_km", [-140.0, 20.0, 104.0, 110.0, 140.0])
def test_a_car_without_a_fix_reads_a_hand_over_where_the_plan_has_it(
    known: Known, east_km: float
) -> None:
    """A place is told modulo 204.8 km: 110 km east of the launch would read 94.8 km west of it."""
    launch = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=known.t_s - 6000.0)
    lon_deg = 108.0 + 1000.0 * east_km / EAST_M
    expected = replace(launch, lon_deg=lon_deg + 0.4, t_s=known.t_s)
    there = replace(known, launch=launch, last=None, expected=expected)
    found = typed(handed(there, -46.513, lon_deg), there)
    assert isinstance(found, Understood)
    assert isinstance(found.entry, HandedOver)
    assert found.entry.lon_deg == pytest.approx(lon_deg, abs=0.001)


@pytest.mark.parametrize("east_km", [104.0, 110.0])
def test_a_hand_over_that_may_be_204_km_off_is_asked_back(known: Known, east_km: float) -> None:
    launch = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=known.t_s - 6000.0)
    there = replace(known, launch=launch, last=None)
    found = question(handed(there, -46.5, 108.0 + 1000.0 * east_km / EAST_M), there)
    assert f"That is {204.8 - east_km:.0f} km from where it was expected" in found.why
    assert "whole steps of 204.8 km. Ask for latitude and longitude." in found.why


def test_about_where_it_is_is_what_was_seen_lately(known: Known) -> None:
    launch = LastPlace(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=0.0)
    expected = replace(launch, lon_deg=109.0)
    all_known = replace(known, launch=launch, expected=expected)
    assert all_known.about == known.last
    later = replace(all_known, t_s=known.t_s + 1000.0)
    assert later.about == expected
    assert replace(later, expected=None).about == known.last
    assert replace(later, expected=None, last=None).about == launch
