"""What is said of the pictures: what comes too late, and which bands are told."""

from dataclasses import replace

from farglide.outlook.outlook import Outlook
from farglide.present.say.sentences import (
    bands_told,
    ends_told,
    late_words,
    release_text,
    release_times,
    shut_text,
)
from farglide.present.say.text import FlightClock


def test_late_is_after_the_packs_or_after_dark_whichever_comes_first(outlook: Outlook) -> None:
    packs_s, dusk_s = outlook.packs[0].after_launch_s.p50, 208.0 * 60.0
    assert late_words(outlook, packs_s) == ""
    assert late_words(outlook, packs_s + 1.0) == ", after the packs"
    lasting = replace(outlook, packs=())
    assert late_words(lasting, dusk_s) == ""
    assert late_words(lasting, dusk_s + 1.0) == ", after dark"
    assert late_words(outlook, dusk_s + 1.0) == ", after the packs"
    polar_day = replace(outlook.sun, dusk_after_launch_s=None)
    assert late_words(replace(lasting, sun=polar_day), 1e9) == ""


def test_only_arrivals_are_called_late(outlook: Outlook) -> None:
    told = {name: late for _, name, late in ends_told(outlook)}
    assert told == {
        "over Harrowend": "",
        "packs end": "",
        "flattest way, then a firm spiral": ", after the packs",
        "sunset": "",
        "dusk": "",
        "flattest way down": ", after the packs",
    }


def test_no_spiral_measured_none_told(outlook: Outlook) -> None:
    assert outlook.release is not None
    release = replace(outlook.release, firm_spiral_end_after_launch_s=None)
    names = [name for _, name, _ in ends_told(replace(outlook, release=release))]
    assert "flattest way, then a firm spiral" not in names


def test_equal_bands_round_a_short_one_become_one(outlook: Outlook) -> None:
    first = outlook.fields[0].bands[0]
    ends = (0.0, 300.0, 330.0, 900.0)
    bands = tuple(
        replace(first, state=state, from_after_launch_s=start, to_after_launch_s=end)
        for state, start, end in zip(("open", "shut", "open"), ends, ends[1:], strict=False)
    )
    (told,) = bands_told(replace(outlook.fields[0], bands=bands))
    assert (told.state, told.from_after_launch_s, told.to_after_launch_s) == ("open", 0.0, 900.0)
    assert bands_told(replace(outlook.fields[0], bands=bands[1:2])) == [bands[1]]


def test_the_window_is_told_by_height_and_on_the_strip_by_the_clock(outlook: Outlook) -> None:
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    by_height = "from 25.4 km, about 17:54, release by 26.1 km, about 17:55"
    assert release_text(outlook, clock) == by_height
    assert release_times(outlook, clock) == "about 17:54, release by 17:55"
    assert outlook.release is not None
    blind = replace(outlook, release=replace(outlook.release, by_height=False))
    for told in (release_text, release_times):
        assert told(blind, clock) == "from 17:54, release by 17:55"
        assert told(replace(outlook, release=None), clock) == "no release window"


def test_a_field_shut_beyond_the_strip_has_no_end_there(outlook: Outlook) -> None:
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    band = replace(outlook.fields[0].bands[0], state="shut", from_after_launch_s=0.0)
    field = replace(outlook.fields[0], bands=(replace(band, to_after_launch_s=7020.0),))
    assert shut_text(field, clock, 5700.0) == "shut from 16:40 on"
    assert shut_text(field, clock, 7020.0) == "shut 16:40–18:37"
