"""Every entry says in words what it was taken for."""

from dataclasses import replace

import pytest

from farglide.track.handover.sentence import HandedOver
from farglide.track.typed.entries import (
    THEODOLITE_SD_DEG,
    AtStand,
    Bearing,
    Entry,
    FieldRefused,
    FlownFor,
    Grade,
    LaunchLate,
    LaunchMoved,
    Mark,
    MarkKind,
    NeckLift,
    Overlay,
    RoadClosed,
    Seen,
    Side,
    Sighting,
    Undo,
)
from farglide.track.typed.told import understood, words_of


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (Overlay(lat_deg=-46.5, lon_deg=-8.25, amsl_m=120.4), "46.50000 S 8.25000 W, height 120 m"),
        (Overlay(speed_mps=22.0, volts=11.1), "speed 22.0 m/s, 11.10 V"),
        (Grade(grade=0), "no picture"), (Grade(grade=4), "picture 4"),
        (Bearing(azimuth_deg=359.8), "antenna to 000°"),
        (Bearing(azimuth_deg=45.0, elevation_deg=32.0, stand="Gap"),
         "antenna to 045°, 32° up from Gap"),
        (Bearing(azimuth_deg=45.25, elevation_deg=32.1, sd_deg=THEODOLITE_SD_DEG),
         "theodolite to 045.2°, 32.1° up"),
        (Bearing(azimuth_deg=5.0, stand="Gap", sd_deg=THEODOLITE_SD_DEG),
         "theodolite to 005.0° from Gap"),
        (AtStand(stand="Gap"), "at Gap"),
        (Sighting(what=Seen.SUN, clock_h=0.0), "sun at 12 o'clock"),
        (Sighting(what=Seen.SUN, clock_h=10.5), "sun at 10:30 o'clock"),
        (Sighting(what=Seen.WOOD, side=Side.LEFT), "wood on the left"),
        (Mark(kind=MarkKind.SENT), "release sent"), (NeckLift(kg=1.6), "neck lift 1.60 kg"),
        (LaunchMoved(lat_deg=1.0, lon_deg=2.0), "launch moved to 1.00000 N 2.00000 E"),
        (LaunchLate(late_s=-600.0), "launch 10 min earlier than planned"),
        (LaunchLate(late_s=600.0), "launch 10 min later than planned"),
        (RoadClosed(start="A", end="B", longer_s=1500.0), "A to B +25 min"),
        (RoadClosed(start="A", end="B", longer_s=None), "A to B closed"),
        (FieldRefused(field="Tansy Lea"), "Tansy Lea refused"),
        (FlownFor(field="Tansy Lea"), "flown for Tansy Lea"),
        (Mark(kind=MarkKind.DEAD), "packs empty, nobody steers"),
        (Undo(), "take back the last entry"), (Undo(kind=MarkKind.BURST), "take back burst"),
        (Undo(of=NeckLift), "take back the last neck lift"),
    ],
)  # fmt: skip
def test_words(entry: Entry, words: str) -> None:
    assert words_of(entry) == words
    assert understood(entry).entry == entry


def test_what_is_no_entry_has_no_words() -> None:
    with pytest.raises(TypeError, match="int is no entry"):
        words_of(5)  # type: ignore[arg-type]


def test_a_hand_over_is_told_with_all_that_it_carries() -> None:
    told = HandedOver(
        lat_deg=-46.5, lon_deg=108.0, amsl_m=25_000.0, at_t_s=1_800_000_000.0, phase="climbing",
        field=2, left_s=240.0, wind="as told",
    )  # fmt: skip
    assert words_of(told) == (
        "handed over: climbing at 08:00 UTC, 46.50000 S 108.00000 E, height 25000 m, field 2, "
        "240 s left, winds as told"
    )
    local = replace(told, zone="UTC+07:00")
    assert words_of(local).startswith("handed over: climbing at 15:00, 46.50000 S")
    bare = replace(told, field=0, left_s=None, wind="not known")
    assert words_of(bare).endswith("height 25000 m, winds not known")
