"""The links of the sample: heard from the hill, and where the car goes."""

from math import radians, sin

from tests.present.sample_flight import TRACK

from farglide.outlook.links import (
    CarOutlook,
    HeardLink,
    HeardPoint,
    HeardStand,
    HeldStep,
    LostPicture,
    Move,
    RoadPoint,
)
from farglide.present.draw.lookup import interpolated

LOST_PICTURES = (
    LostPicture(stand="Harrowend", agl_m=0.0),
    LostPicture(stand="Wether Knap", agl_m=391.0),
    LostPicture(stand="Stile Gap", agl_m=None),
)
CAR = CarOutlook(
    stand="Wether Knap", lat_deg=-46.6356, lon_deg=108.2351, east_m=18_000.0, north_m=-15_100.0,
    nose_deg=None, holds_ratio=(("command", 0.99), ("picture", 0.97)),
    drive_guessed=False, drive_s=38.0 * 60.0,
    set_up_s=240.0, ready_after_launch_s=42.0 * 60.0, set_off_after_launch_s=32.0 * 60.0,
    lost_agl_m=391.0, moves=(Move(stand="Stile Gap", silent_s=18.0 * 60.0, lost_agl_m=6.0),),
    road=(
        RoadPoint(
            after_launch_s=2400.0, lat_deg=-46.55, lon_deg=108.1,
            margin_db=(("picture", -9.0), ("command", 4.0)),
        ),
    ),
)  # fmt: skip


def _margins(*rows: tuple[float, float, float, float, float]) -> tuple[HeardPoint, ...]:
    """Minutes, km high, azimuth, elevation, margin."""
    return tuple(
        HeardPoint(
            after_launch_s=60.0 * minute, amsl_m=1e3 * km, azimuth_deg=azimuth,
            elevation_deg=elevation, range_m=1e3 * km / max(sin(radians(elevation)), 0.02),
            slew_degps=0.05, sun_azimuth_deg=257.0 if minute < 170 else None,
            p10=margin - 3.0, p50=margin, p90=margin + 3.0,
            grade=max(0, min(5, 3 + int(margin // 4))),
        )
        for minute, km, azimuth, elevation, margin in rows
    )  # fmt: skip


_HEARD = HeardStand(
    name="Wether Knap",
    margin_db=_margins(
        (0.0, 0.3, 310.0, -1.0, -29.0), (30.0, 8.6, 145.0, 80.0, 19.0),
        (60.0, 19.2, 127.0, 29.0, 6.1), (75.5, 26.1, 130.0, 38.0, 5.6),
        (95.0, 12.0, 310.0, 26.0, 10.0),
    ),
    silent=((0.0, 240.0),), lost_agl_m=(("Harrowend", 391.0), ("Tansy Lea", 0.0)),
    overhead=((1800.0, 1860.0),), manned_after_launch_s=42.0 * 60.0,
)  # fmt: skip
LINKS = (
    HeardLink(
        name="picture", purpose="picture", eirp_dbm=31.0, threshold_dbm=-91.0, spread_db=2.0,
        reach_m=80_000.0, half_reach_m=40_000.0, beam_deg=21.0, stands=(_HEARD,),
    ),
    HeardLink(
        name="command", purpose="command", eirp_dbm=36.0, threshold_dbm=-107.0, spread_db=4.0,
        reach_m=244_000.0, half_reach_m=122_000.0, beam_deg=63.0, stands=(_HEARD,),
    ),
)  # fmt: skip


def held() -> tuple[HeldStep, ...]:
    """The links over the climb: from home, then from the hill."""
    found = []
    for minute in range(0, 93, 3):
        km = interpolated([(row[0], row[3]) for row in TRACK], float(minute))
        picture_db = 20.0 - 0.45 * km if minute < 42 else 14.0 - 0.32 * km
        found.append(
            HeldStep(
                after_launch_s=60.0 * minute, amsl_m=1e3 * km,
                stand="Harrowend" if minute < 42 else "Wether Knap",
                grade=max(1, min(5, int(picture_db / 4.0) + 1)), picture_db=picture_db,
                command_db=picture_db + 9.0,
            )
        )  # fmt: skip
    return tuple(found)
