"""The climb of the sample, its release, and what it looks like from the side."""

from math import cos, radians

from tests.present.sample_fields import after_s, spread
from tests.present.sample_flight import BURST_BY_HEIGHT, FLATTEST, QUICKEST, TRACK, WIND

from farglide.outlook.ascent import (
    AscentOutlook,
    BurstOutlook,
    LevelPassage,
    TrackPoint,
)
from farglide.outlook.release import (
    HeightChance,
    ReleaseOutlook,
    SideView,
    Window,
)
from farglide.present.draw.lookup import interpolated


def ascent() -> AscentOutlook:
    track = tuple(
        TrackPoint(
            after_launch_s=minute * 60.0,
            amsl_m=amsl_km * 1000.0,
            lat_deg=-46.5 + north_km / 111.195,
            lon_deg=108.0 + east_km / 76.542,
            east_m=east_km * 1000.0,
            north_m=north_km * 1000.0,
            spread_m=100.0 + 40.0 * minute,
        )
        for minute, east_km, north_km, amsl_km, _ in TRACK
    )
    by_height = tuple((km * 1000.0, share) for km, share in BURST_BY_HEIGHT)
    levels = ((100, 11.1), (200, 21.7), (330, 34.5), (450, 45.4), (600, 57.7))
    return AscentOutlook(
        mean_mps=spread(5.7, 6.0, 6.3),
        track=track,
        burst=BurstOutlook(
            height_amsl_m=spread(28.39, 29.95, 31.4, 1000.0),
            after_launch_s=spread(80.2, 83.0, 85.7, 60.0),
            lat_deg=-46.813,
            lon_deg=108.513,
            by_time=tuple((after_s(km), share) for km, share in BURST_BY_HEIGHT),
            by_height=by_height,
            within_60_s=((4560.0, 0.004), (4680.0, 0.026), (4800.0, 0.099), (4920.0, 0.25)),
            early_ratio=0.03,
            early_from="a guess; your own record of flights settles it",
        ),
        levels=tuple(
            LevelPassage(
                flight_level=level,
                after_launch_s=spread(0.95 * minute, minute, 1.05 * minute, 60.0),
                lat_deg=-46.5 + interpolated([(r[0], r[2]) for r in TRACK], minute) / 111.195,
                lon_deg=108.0 + interpolated([(r[0], r[1]) for r in TRACK], minute) / 76.542,
                radius_m=100.0 + 60.0 * minute,
            )
            for level, minute in levels
        ),
        farthest_km=59.2,
        beyond_amsl_m=None,
    )


def release() -> ReleaseOutlook:
    return ReleaseOutlook(
        field="Harrowend",
        chance_ratio=0.93,
        is_enough=True,
        some_field_ratio=0.97,
        open_ratio=0.94,
        by_clock_ratio=0.87,
        by_clock_after_launch_s=75.0 * 60.0,
        window=Window(
            from_after_launch_s=74.0 * 60.0,
            to_after_launch_s=76.4 * 60.0,
            from_amsl_m=25_400.0,
            to_amsl_m=26_450.0,
        ),
        release_by_after_launch_s=75.5 * 60.0,
        release_by_amsl_m=26_070.0,
        until_after_launch_s=82.0 * 60.0,
        by_height=True,
        heights=(
            HeightChance(amsl_m=26_000.0, after_launch_s=75.3 * 60.0, chance_ratio=0.93),
            HeightChance(amsl_m=28_000.0, after_launch_s=79.0 * 60.0, chance_ratio=0.83),
        ),
        bound_by="burst",
        burst_ratio=0.002,
        burst_within_120_s_ratio=0.02,
        spare_m=15_900.0,
        arrival_agl_m=300.0,
        over_field_after_launch_s=98.4 * 60.0,
        best_glide_end_after_launch_s=242.0 * 60.0,
        firm_spiral_end_after_launch_s=141.0 * 60.0,
        must_end_after_launch_s=126.9 * 60.0,
        must_end_by="packs",
        timely=None,
        straight_loss_m=2_100.0,
        crew_ratio=0.9,
        product_ratio=0.837,
    )


def side() -> SideView:
    return SideView(
        axis_deg=130.0,
        climb=tuple((row[4] * 1000.0, row[3] * 1000.0) for row in TRACK),
        quickest=tuple((along * 1000.0, amsl * 1000.0) for along, amsl in QUICKEST),
        flattest=tuple((along * 1000.0, amsl * 1000.0) for along, amsl in FLATTEST),
        timely=(),
        wind_along=tuple(
            (km * 1000.0, speed * cos(radians(from_deg + 180.0 - 130.0)))
            for km, from_deg, speed in WIND
        ),
    )
