"""Answers after the release made by hand, to be changed at will."""

from tests.live.advice import AFTER, DOWNS

from farglide.outlook.after import LinkEnd, Stage
from farglide.outlook.asked import SunAim, SunNow
from farglide.outlook.askedafter import (
    CallAfter,
    FaultAfter,
    LandedNow,
    LevelLeft,
    ParkAfter,
    StandAfter,
)
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")  # 08:00
GLIDING = AFTER["gliding"]
AIM = SunAim(
    field="Home strip", state="open", chance_ratio=0.93, bearing_deg=310.0,
    distance_m=41_000.0, steer_deg=313.0,
    right_deg=-56.0, good_for_s=2460.0,
)  # fmt: skip
SUN = SunNow(
    after_launch_s=4800.0, amsl_m=23_400.0, azimuth_deg=257.0, elevation_deg=14.0,
    wind_from_deg=107.0, wind_mps=8.0, airspeed_mps=64.0, aims=(AIM,),
    sets_aloft_after_launch_s=12_480.0, sets_after_launch_s=10_380.0, dusk_after_launch_s=None,
)  # fmt: skip
HERE = StandAfter(
    name="Hill", drive_s=0.0, ready_after_launch_s=4800.0, set_off_after_launch_s=None,
    is_in_time=True, heard_ratio=1.0, lost_agl_m=391.0,
    links=(LinkEnd(purpose="picture", stand="Hill", after_launch_s=5300.0, amsl_m=900.0),),
)  # fmt: skip
AWAY = StandAfter(
    name="Gap", drive_s=300.0, ready_after_launch_s=5340.0, set_off_after_launch_s=5100.0,
    is_in_time=True, heard_ratio=0.14, links=(), lost_agl_m=3.0,
)  # fmt: skip
PARK = ParkAfter(
    after_launch_s=4800.0, field="Home strip", lat_deg=-46.5, lon_deg=108.0,
    over_after_launch_s=5400.0, down_after_launch_s=7200.0, drive_s=1560.0, car="at Hill",
    set_up_s=240.0, stands=(HERE, AWAY),
)  # fmt: skip
CALL = CallAfter(
    after_launch_s=4800.0, stage=Stage.GLIDING, lat_deg=-46.7, lon_deg=108.5, within_m=20.0,
    from_launch_m=44_000.0, from_launch_deg=130.0, amsl_m=23_400.0, level=766, sinks_mps=11.9,
    moves_to_deg=312.0, moves_mps=71.0, moves_as_seen=True,
    levels=(LevelLeft(level=700, amsl_m=21_300.0, after_launch_s=4980.0),
            LevelLeft(level=600, amsl_m=18_300.0, after_launch_s=5160.0)),
    field="Home strip", field_lat_deg=-46.5, field_lon_deg=108.0, over_after_launch_s=5400.0,
    down_after_launch_s=7200.0, comes_down=DOWNS, airspace="held",
)  # fmt: skip
FAULT = FaultAfter(
    after_launch_s=4800.0, stage=Stage.GLIDING, wanted="", field="Home strip", door_in_s=972.0,
    landing_in_s=2400.0, winds_ratio=1.0, grade=None,
)  # fmt: skip
LANDED = LandedNow(
    after_launch_s=7300.0, lat_deg=-46.5, lon_deg=108.0, amsl_m=244.0, seen_after_launch_s=7180.0
)
