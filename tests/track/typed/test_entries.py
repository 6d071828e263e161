"""Every entry refuses what no crew can have read, with the limit and what to do."""

from collections.abc import Callable

import pytest

from farglide.errors import InputError
from farglide.track.typed.entries import (
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


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Overlay(), "overlay is empty; allowed: height, place, speed or volts"),
        (lambda: Overlay(lat_deg=1.0), "place is half of one; allowed: latitude and longitude"),
        (lambda: Overlay(amsl_m=100_001.0), "height is 100001 m; allowed: -500 to 100000 m"),
        (lambda: Overlay(speed_mps=-1.0), "speed is -1 m/s; allowed: 0 to 200 m/s"),
        (lambda: Overlay(volts=61.0), "volts is 61 V; allowed: 0 to 60 V. Read the picture"),
        (lambda: Overlay(lat_deg=91.0, lon_deg=0.0), "lat_deg is 91"),
        (lambda: Grade(grade=6), "picture grade is 6; allowed: 0 to 5"),
        (lambda: Bearing(azimuth_deg=361.0), "azimuth is 361°; allowed: 0 to 360°"),
        (lambda: Bearing(azimuth_deg=1.0, elevation_deg=91.0), "elevation is 91°"),
        (lambda: Sighting(what=Seen.SUN), "sighting is sun; allowed"),
        (lambda: Sighting(what=Seen.SUN, side=Side.LEFT), "sighting is sun; allowed"),
        (lambda: Sighting(what=Seen.WOOD, clock_h=1.0), "sighting is wood; allowed"),
        (lambda: Sighting(what=Seen.SUN, clock_h=13.0), "clock position is 13 h; allowed: 0 to 12"),
        (lambda: NeckLift(kg=1600.0), "neck lift is 1600 kg; allowed: 0.05 to 20 kg. Grams?"),
        (lambda: LaunchMoved(lat_deg=0.0, lon_deg=400.0), "lon_deg is 400"),
        (lambda: LaunchLate(late_s=1e6), "launch late is 16666.7 min; allowed: -360 to 1440 min"),
        (lambda: RoadClosed(start="A", end=" ", longer_s=None), "road is A- ; allowed: two places"),
        (lambda: RoadClosed(start="A", end="A", longer_s=None), "road is A-A; allowed: two diff"),
        (lambda: RoadClosed(start="A", end="B", longer_s=-60.0), "detour is -1 min; allowed: 0 to"),
        (lambda: Bearing(azimuth_deg=1.0, sd_deg=0.0), "error of a bearing is 0°; allowed: 0.1"),
        (lambda: AtStand(stand=" "), "stand is nameless; allowed: the name of a stand"),
        (lambda: FieldRefused(field=""), "field is nameless; allowed: the name of a field"),
        (lambda: FlownFor(field=" "), "field is nameless; allowed: the name of a field"),
    ],
)
def test_what_is_out_of_its_limits_is_refused(make: Callable[[], Entry], message: str) -> None:
    with pytest.raises(InputError, match=message):
        make()


def test_an_undo_takes_what_it_names() -> None:
    sun, wood = Sighting(what=Seen.SUN, clock_h=1.0), Sighting(what=Seen.WOOD, side=Side.LEFT)
    burst, neck = Mark(kind=MarkKind.BURST), NeckLift(kg=1.6)
    everything = (sun, wood, burst, neck)
    for undo, taken in (
        (Undo(), everything),
        (Undo(kind=MarkKind.BURST), (burst,)),
        (Undo(of=NeckLift), (neck,)),
        (Undo(what=Seen.WOOD), (wood,)),
    ):
        assert tuple(one for one in everything if undo.takes(one)) == taken
