"""One advice made by hand, to be changed at will."""

from farglide.outlook.advice import (
    Advice,
    AimNow,
    AirNow,
    BurstAhead,
    FieldNow,
    FillNow,
    Freshness,
    LeakNow,
    Level,
    PictureNow,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.ascent import Spread

RELEASE = ReleaseAdvice(
    field="Home strip", from_amsl_m=23_200.0, to_amsl_m=27_800.0, from_after_launch_s=4120.0,
    to_after_launch_s=4690.0, release_by_after_launch_s=4660.0, chance_ratio=0.93,
    bound_by="burst", is_enough=True,
)  # fmt: skip
ADVICE = Advice(
    after_launch_s=3600.0,
    level=Level.WATCH,
    data=Freshness.FRESH,
    place=PlaceNow(
        lat_deg=-46.7, lon_deg=108.5, amsl_m=19_540.0, half_within_m=300.0, most_within_m=900.0,
        seen_after_launch_s=3600.0,
    ),
    fields=(
        FieldNow(name="Home strip", state="shut", chance_ratio=0.3, open_ratio=0.3,
                 until_after_launch_s=3720.0, then="doubtful"),
        FieldNow(name="Far meadow", state="open", chance_ratio=0.95, open_ratio=0.95,
                 until_after_launch_s=None, then=None),
    ),
    release=RELEASE,
    waiting=tuple(
        Waited(seconds=s, chance_ratio=chance, climbed_m=up_m, burst_ratio=burst)
        for s, chance, up_m, burst in (
            (0.0, 0.3, 0.0, 0.0), (60.0, 0.4, 409.0, 0.0), (120.0, 0.6, 818.0, 0.0),
            (300.0, 0.9, 2093.0, 0.05),
        )
    ),
    burst=BurstAhead(after_launch_s=Spread(p10=4761.0, p50=4941.0, p90=float("nan")),
                     amsl_m=Spread(p10=28e3, p50=30e3, p90=float("nan"))),
    leak=LeakNow(
        chance_ratio=0.01, since_after_launch_s=None,
        top_amsl_m=Spread(p10=36e3, p50=38e3, p90=40e3), floats_since_after_launch_s=None,
    ),
    fill=FillNow(told_kg=1.6, told_sd_kg=0.05,
                 neck_lift_kg=Spread(p10=1.52, p50=1.61, p90=1.7)),
    picture=PictureNow(link="Camera", offset_db=-4.2, offset_sd_db=2.5),
    aims=(AimNow(stand="Knap", azimuth_deg=245.0, elevation_deg=32.0, data=Freshness.AGEING),),
    air=AirNow(measured_ratio=0.28, ahead_ratio=0.02, spread_ratio=1.0),
)  # fmt: skip
