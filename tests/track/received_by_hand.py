"""Fixes made by hand for tests of suspicions, about a launch in open country."""

from typing import Any

from farglide.earth.state import Place
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.track.received import Flown, Received
from farglide.track.reports import Fix, HeightKind

LAUNCH = Place(lat_deg=48.0, lon_deg=11.0, amsl_m=500.0)
UTC_S = 1_800_705_600.0
ON_THE_HAND = Flown(launch=LAUNCH)
AWAY = Flown(launch=LAUNCH, launched_utc_s=UTC_S - 3600.0, separation_m=47.0)
M_DEG = 1.0 / 111_195.0
KINDS = {"sea": HeightKind.SEA_LEVEL, "hae": HeightKind.ELLIPSOID, "p": HeightKind.PRESSURE}


def source(name: str = "tracker", **others: Any) -> FeedSpec:
    return FeedSpec(name=name, where=where_of("udp://:5005"), format="nmea", **others)


def received(
    after_s: float = 0.0,
    north_m: float = 0.0,
    height_m: float | None = 10_000.0,
    feed: FeedSpec | None = None,
    **said: Any,
) -> Received:
    """Return a fix so far north of the launch; its time is that of its coming."""
    feed = feed or source()
    fix = {
        "feed": feed.name,
        "lat_deg": LAUNCH.lat_deg + north_m * M_DEG,
        "lon_deg": LAUNCH.lon_deg,
        "t_s": UTC_S + after_s,
        "height_m": height_m,
    }
    return Received(fix=Fix(**(fix | said)), source=feed, utc_s=UTC_S + after_s)
