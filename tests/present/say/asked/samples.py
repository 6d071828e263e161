"""Answers made by hand, to be changed at will."""

from farglide.outlook.ascent import Spread
from farglide.outlook.asked import Arrival, CallNow, LevelPass, PackNow, PowerNow, SunAim, SunNow
from farglide.outlook.askedcar import Heard, Later, LostNow, ParkNow, PictureNow, StandNow
from farglide.outlook.askedways import BarrierNow, PutdownNow, SpeedNow
from farglide.outlook.barriers import BarrierWay, Needed, Station
from farglide.outlook.faults import Unsteered
from farglide.outlook.places import Outlanding, Outlandings
from farglide.outlook.release import SpeedRow
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC+07:00")  # 15:00 there
AIM = SunAim(
    field="Home strip", state="open", chance_ratio=0.93, bearing_deg=310.0,
    distance_m=57_000.0, steer_deg=313.0,
    right_deg=-56.0, good_for_s=2460.0,
)  # fmt: skip
SUN = SunNow(
    after_launch_s=4560.0, amsl_m=26_300.0, azimuth_deg=257.0, elevation_deg=14.0,
    wind_from_deg=107.0, wind_mps=8.0, airspeed_mps=64.0, aims=(AIM,),
    sets_aloft_after_launch_s=12_480.0, sets_after_launch_s=10_380.0, dusk_after_launch_s=None,
)  # fmt: skip
PACK = PackNow(
    name="all", load_w=7.0, on_after_launch_s=-900.0, reserve_s=180.0,
    ends_after_launch_s=Spread(p10=7800.0, p50=7800.0, p90=7800.0),
)  # fmt: skip
ARRIVAL = Arrival(
    let_go_after_launch_s=4560.0, soonest_after_launch_s=5904.0, slowly_after_launch_s=12_700.0
)
POWER = PowerNow(
    after_launch_s=4560.0, field="Home strip", state="open", chance_ratio=0.93, packs=(PACK,),
    sets_after_launch_s=10_380.0,
    dusk_after_launch_s=12_480.0, arrivals=(ARRIVAL,),
)  # fmt: skip
PICTURE_LINK = Heard(purpose="picture", margin_db=5.5, sd_db=2.0, holds_ratio=0.99, grade=3)
COMMAND_LINK = Heard(purpose="command", margin_db=14.7, sd_db=4.0, holds_ratio=0.999, grade=None)
STAND = StandNow(
    name="Wether Knap", drive_s=0.0, ready_after_launch_s=4560.0, set_off_after_launch_s=None,
    azimuth_deg=131.0, elevation_deg=38.0, range_m=42_100.0, overhead_deg=38.0,
    links=(PICTURE_LINK, COMMAND_LINK), lost_agl_m=391.0,
    holds_ratio=(("Home strip", 0.01), ("Far meadow", 0.97)), is_in_time=True,
)  # fmt: skip
AWAY = StandNow(
    name="Stile Gap", drive_s=840.0, ready_after_launch_s=5640.0, set_off_after_launch_s=5100.0,
    azimuth_deg=131.0, elevation_deg=35.0, range_m=43_000.0, overhead_deg=75.0,
    links=(PICTURE_LINK,), lost_agl_m=0.0, holds_ratio=(("Home strip", 0.97),), is_in_time=False,
    nose_deg=90.0,
)  # fmt: skip
PARK = ParkNow(
    after_launch_s=4560.0, field="Home strip", from_after_launch_s=6180.0, car="at Wether Knap",
    set_up_s=240.0, stands=(AWAY, STAND),
)  # fmt: skip
SEEN = PictureNow(after_launch_s=4560.0, field="Home strip", stands=(STAND, AWAY))
LATER = Later(seconds=300.0, lat_deg=-46.7, lon_deg=108.4, amsl_m=28_000.0, burst_ratio=0.2)
LOST = LostNow(
    after_launch_s=4560.0, field="Home strip", release_by_after_launch_s=5000.0,
    fix_until_after_launch_s=4980.0, chance_ratio=0.93, stand=STAND, later=(LATER,),
)  # fmt: skip
CALL = CallNow(
    after_launch_s=600.0, lat_deg=-46.8, lon_deg=108.5, within_m=1200.0, from_launch_m=51_000.0,
    from_launch_deg=130.0, amsl_m=3000.0, level=98, climb_mps=5.2, moves_to_deg=128.0,
    moves_mps=9.0,
    levels=(
        LevelPass(level=100, amsl_m=3100.0,
                  after_launch_s=Spread(p10=610.0, p50=620.0, p90=640.0)),
    ),
    field="Home strip", field_lat_deg=-46.5, field_lon_deg=108.0,
    let_go_after_launch_s=(4200.0, 4680.0), down_after_launch_s=5904.0,
    burst_after_launch_s=Spread(p10=4700.0, p50=4900.0, p90=5100.0),
    unsteered=(
        Unsteered(
            what="after a burst, all still tied together", from_after_launch_s=4900.0,
            from_amsl_m=30_000.0, down_after_launch_s=Spread(p10=5e3, p50=6e3, p90=7e3),
            drift_m=9e3, lat_deg=-46.9, lon_deg=108.6, radius_m=7100.0,
        ),
    ),
    airspace="held",
)  # fmt: skip
ROWS = tuple(
    SpeedRow(
        amsl_m=amsl_m, quick_eas_mps=12.0, quick_ground_mps=69.0, quick_sink_mps=12.0,
        timely_eas_mps=10.0, timely_ground_mps=57.0, timely_sink_mps=sink_mps,
        flat_eas_mps=9.0, flat_ground_mps=50.0, flat_sink_mps=5.0,
    )
    for amsl_m, sink_mps in ((24_000.0, 8.0), (22_000.0, 8.2), (20_000.0, 11.0))
)  # fmt: skip
SPEED = SpeedNow(
    after_launch_s=4560.0, field="Home strip", state="open", chance_ratio=0.93, is_in_time=False,
    level_after_s=18.0,
    level_amsl_m=24_200.0, spare_m=15_900.0, wind_from_deg=101.0, wind_mps=6.0, rows=ROWS,
)  # fmt: skip


def station(ahead_m: float, behind_m: float | None) -> Station:
    """Return a place over a barrier with what is needed there; NaN for no height."""
    needed = [
        None if one is None
        else Needed(open_amsl_m=((one, 40e3),) if one == one else (), error_free_amsl_m=one)
        for one in (ahead_m, behind_m)
    ]  # fmt: skip
    assert needed[0] is not None
    return Station(
        beyond_edge_m=0.0, lat_deg=-46.7, lon_deg=108.3, ahead=needed[0], behind=needed[1]
    )


WAY = BarrierWay(
    barrier="Gollan Wood", kind="wood", start="here", open_ratio=0.9, ahead="Home strip",
    behind="Brackmoor", stations=(station(16_000.0, 1300.0),) * 3, decision_s=2160.0,
)  # fmt: skip
BARRIER = BarrierNow(
    after_launch_s=4560.0, field="Home strip", chance_ratio=0.93, level_amsl_m=24_200.0,
    over_edge_amsl_m=(22_000.0,), ways=(WAY,),
)  # fmt: skip
SPOT = Outlanding(
    lat_deg=-46.9, lon_deg=108.1, amsl_m=250.0, slope_deg=1.0, road_m=200.0, n_seen_by=2,
    open_ratio=0.95, score_ratio=0.5,
)  # fmt: skip
PUTDOWN = PutdownNow(
    after_launch_s=4560.0, lat_deg=-46.8, lon_deg=108.5, best_field="Home strip", best_ratio=0.3,
    otherwise=Outlandings(
        after_launch_s=4560.0, amsl_m=24e3, any_open_ratio=0.3, places=(SPOT, SPOT),
        knows_ground=True, knows_roads=True, n_stands=3,
    ),
)  # fmt: skip
