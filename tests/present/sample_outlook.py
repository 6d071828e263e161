"""A complete outlook of the made-up evening flight, for the tests of what people see."""

from dataclasses import replace
from math import cos, radians, sin
from typing import Literal

from farglide.outlook.ascent import (
    AscentOutlook,
    BurstOutlook,
    LevelPassage,
    Spread,
    TrackPoint,
)
from farglide.outlook.changes import Gain, Wait
from farglide.outlook.faults import SecondsLeft, Unsteered
from farglide.outlook.fields import (
    Band,
    Contour,
    FieldOutlook,
    FieldStep,
    Gap,
    State,
)
from farglide.outlook.gear import (
    FillOutlook,
    FillRow,
    GliderRow,
    PackEnd,
    SunOutlook,
)
from farglide.outlook.launch import LaunchArea, LaunchSpot, MapLine, MapMark, SpotField, ToldSpot
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
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import (
    FlownOutlook,
    HeightChance,
    ReleaseOutlook,
    SideView,
    SpeedRow,
    Window,
)
from farglide.present.draw.lookup import interpolated

# fmt: off
# minutes after launch, east km, north km, height km, km along the drift
TRACK = (
    (0.0, 0.0, 0.0, 0.24, 0.0), (3.7, 0.52, -0.78, 1.05, 0.9), (6.9, 1.21, -1.69, 1.87, 2.01),
    (9.9, 2.09, -2.72, 2.71, 3.35), (12.9, 3.23, -3.96, 3.55, 5.02),
    (15.9, 4.71, -5.41, 4.41, 7.08), (18.9, 6.54, -7.06, 5.28, 9.55),
    (21.9, 8.85, -8.99, 6.16, 12.56), (25.0, 11.71, -11.23, 7.06, 16.19),
    (28.0, 15.13, -13.76, 7.98, 20.43), (31.0, 19.07, -16.54, 8.91, 25.24),
    (33.9, 23.84, -19.72, 9.86, 30.94), (36.8, 28.92, -23.05, 10.83, 36.97),
    (39.8, 33.39, -26.09, 11.82, 42.35), (42.8, 37.3, -28.85, 12.83, 47.11),
    (45.9, 40.3, -31.05, 13.88, 50.83), (48.9, 42.34, -32.64, 14.95, 53.41),
    (51.9, 43.71, -33.82, 16.05, 55.22), (54.9, 44.73, -34.77, 17.19, 56.61),
    (57.9, 45.41, -35.49, 18.36, 57.6), (60.9, 45.87, -36.12, 19.57, 58.36),
    (64.0, 46.14, -36.7, 20.82, 58.93), (67.0, 46.1, -37.11, 22.11, 59.16),
    (70.0, 45.53, -37.21, 23.45, 58.79), (73.0, 44.48, -37.01, 24.83, 57.86),
    (75.9, 43.19, -36.61, 26.27, 56.62), (79.0, 41.68, -36.0, 27.77, 55.07),
    (81.9, 40.02, -35.21, 29.32, 53.29), (84.8, 38.14, -34.21, 30.94, 51.2),
    (87.9, 36.09, -33.07, 32.63, 48.9), (90.9, 33.92, -31.84, 34.4, 46.45),
    (92.9, 32.46, -30.99, 35.62, 44.78),
)
BURST_BY_HEIGHT = (
    (22.0, 0.0), (22.5, 0.0), (23.0, 0.0), (23.5, 0.0), (24.0, 0.0), (24.5, 0.0), (25.0, 0.0001),
    (25.5, 0.0003), (26.0, 0.001), (26.5, 0.0033), (27.0, 0.0093), (27.5, 0.0241), (28.0, 0.056),
    (28.5, 0.1161), (29.0, 0.2145), (29.5, 0.353), (30.0, 0.5185), (30.5, 0.6843), (31.0, 0.8221),
    (31.5, 0.9158), (32.0, 0.9673), (32.5, 0.9902), (33.0, 0.9978), (33.5, 0.9996), (34.0, 1.0),
    (34.5, 1.0), (35.0, 1.0), (35.5, 1.0), (36.0, 1.0),
)
QUICKEST = (
    (56.59, 26.3), (51.73, 24.19), (46.95, 23.45), (42.38, 22.72), (37.98, 21.98), (33.74, 21.22),
    (29.65, 20.43), (25.64, 19.61), (21.72, 18.77), (17.92, 17.9), (14.16, 16.93), (10.44, 15.79),
    (6.76, 14.34), (3.48, 12.14), (1.71, 10.06), (0.45, 8.23),
)
FLATTEST = (
    (56.59, 26.3), (50.09, 23.99), (44.12, 23.14), (38.74, 22.35), (33.89, 21.61), (29.52, 20.93),
    (25.45, 20.28), (21.55, 19.65), (17.92, 19.06), (14.45, 18.49), (11.13, 17.93), (8.05, 17.41),
    (5.14, 16.88), (2.4, 16.37),
)
WIND = (
    (0, 330, 3), (1, 325, 5), (3, 318, 9), (5, 312, 14), (8, 306, 25), (10, 303, 36),
    (12, 305, 28), (15, 310, 11), (18, 318, 5), (21, 345, 3), (24, 100, 6), (27, 112, 9),
    (30, 118, 12), (34, 120, 14), (37, 120, 14),
)
CONTOUR_0_6 = (
    (-72.7, 26.2), (-70.6, 14.2), (-65.1, 2.5), (-56.1, -8.3), (-43.6, -17.0), (-28.7, -22.4),
    (-14.1, -23.7), (-2.1, -21.6), (7.2, -17.3), (14.4, -11.3), (19.9, -3.4), (23.6, 6.7),
    (24.6, 19.4), (22.0, 34.1), (15.3, 48.4), (5.5, 60.1), (-5.7, 68.0), (-17.7, 72.4),
    (-29.5, 73.4), (-41.2, 71.4), (-51.9, 66.4), (-60.9, 58.8), (-67.7, 49.2), (-71.7, 38.0),
)
CONTOUR_0_12 = (
    (-191.4, 74.0), (-187.2, 49.8), (-176.4, 26.8), (-158.1, 5.2), (-125.9, -17.1),
    (-79.0, -34.1), (-36.4, -38.1), (-10.2, -33.8), (6.2, -26.2), (17.8, -16.5), (26.2, -4.6),
    (31.8, 10.9), (33.5, 31.6), (28.1, 60.5), (9.6, 99.6), (-22.0, 137.4), (-53.0, 159.4),
    (-78.5, 168.8), (-102.7, 171.0), (-126.6, 166.8), (-148.6, 156.5), (-167.1, 140.9),
    (-181.0, 121.1), (-189.3, 98.3),
)
CONTOUR_0_20 = (
    (-276.4, 91.7), (-269.4, 52.2), (-252.1, 15.2), (-223.3, -18.9), (-176.6, -51.3),
    (-112.0, -74.7), (-51.0, -80.4), (-8.4, -73.2), (21.4, -59.4), (43.5, -40.9), (59.6, -17.9),
    (70.0, 10.7), (72.9, 46.4), (64.6, 91.9), (38.2, 147.9), (-5.4, 200.0), (-50.9, 232.2),
    (-91.2, 247.1), (-130.9, 250.6), (-170.1, 243.7), (-206.1, 226.9), (-236.5, 201.4),
    (-259.3, 168.8), (-272.9, 131.4),
)
CONTOUR_1_14 = (
    (-208.0, 73.6), (-202.9, 44.6), (-190.1, 17.2), (-168.4, -8.4), (-130.7, -34.5),
    (-76.5, -54.1), (-26.4, -58.8), (5.5, -53.5), (25.7, -44.2), (39.9, -32.4), (50.0, -17.9),
    (56.7, 0.8), (58.8, 25.8), (52.4, 60.5), (30.6, 106.5), (-5.9, 150.2), (-42.3, 176.0),
    (-72.6, 187.2), (-101.6, 189.8), (-130.3, 184.7), (-156.6, 172.5), (-178.8, 153.8),
    (-195.5, 130.0), (-205.5, 102.6),
)
# fmt: on
STATES: dict[str, State] = {"o": "open", "d": "doubtful", "s": "shut"}
ODDS = {"open": 0.95, "doubtful": 0.7, "shut": 0.2}
REASONS = {
    "open": "in reach with 300 m over the field",
    "doubtful": "in reach for some winds only",
    "shut": "the wind is faster than the way home",
}
# name, role, east km, north km, height m, bands as upper edge in km and state
FIELDS = (
    ("Harrowend", "home", 0.0, 0.0, 240.0, "1.2 d 5.0 o 8.3 d 19.8 s 23.4 d 36.0 o"),
    (
        "Tansy Lea",
        "near side",
        18.8,
        -11.8,
        255.0,
        "2.3 s 3.0 d 10.1 o 13.4 d 14.7 s 19.3 d 36.0 o",
    ),
    ("Brackmoor", "far side", 30.1, -27.9, 265.0, "3.4 s 4.2 d 36.0 o"),
    ("Corrand", "far end", 47.6, -33.5, 285.0, "4.5 s 5.4 d 36.0 o"),
)


def _after_s(amsl_km: float) -> float:
    return 60.0 * interpolated([(row[3], row[0]) for row in TRACK], amsl_km)


def _spread(p10: float, p50: float, p90: float, scale: float = 1.0) -> Spread:
    return Spread(p10=p10 * scale, p50=p50 * scale, p90=p90 * scale)


def _bands(written: str) -> tuple[Band, ...]:
    words, low_km, bands = written.split(), 0.24, []
    for edge, letter in zip(words[::2], words[1::2], strict=True):
        high_km = float(edge)
        bands.append(
            Band(
                state=STATES[letter],
                from_amsl_m=low_km * 1000.0,
                to_amsl_m=high_km * 1000.0,
                from_after_launch_s=_after_s(low_km),
                to_after_launch_s=_after_s(high_km),
                reason=REASONS[STATES[letter]],
            )
        )
        low_km = high_km
    return tuple(bands)


def _steps(bands: tuple[Band, ...]) -> tuple[FieldStep, ...]:
    steps = []
    for minute, _, _, amsl_km, _ in TRACK:
        band = next(b for b in bands if amsl_km * 1000.0 <= b.to_amsl_m)
        burst = interpolated(BURST_BY_HEIGHT, amsl_km)
        chance = ODDS[band.state]
        steps.append(
            FieldStep(
                after_launch_s=minute * 60.0,
                amsl_m=amsl_km * 1000.0,
                reach_ratio=chance,
                timely_ratio=chance,
                open_ratio=chance,
                chance_ratio=chance * (1.0 - burst),
                spare_m=float("nan") if band.state == "shut" else 600.0 * amsl_km,
            )
        )
    return tuple(steps)


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


def _held() -> tuple[HeldStep, ...]:
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


def _field(row: tuple[str, str, float, float, float, str]) -> FieldOutlook:
    name, role, east_km, north_km, amsl_m, written = row
    bands = _bands(written)
    return FieldOutlook(
        name=name,
        role=role,
        lat_deg=-46.5 + north_km / 111.195,
        lon_deg=108.0 + east_km / 76.542,
        amsl_m=amsl_m,
        east_m=east_km * 1000.0,
        north_m=north_km * 1000.0,
        bands=bands,
        steps=_steps(bands),
        lost_picture_agl_m=(),
    )


def _ascent() -> AscentOutlook:
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
        mean_mps=_spread(5.7, 6.0, 6.3),
        track=track,
        burst=BurstOutlook(
            height_amsl_m=_spread(28.39, 29.95, 31.4, 1000.0),
            after_launch_s=_spread(80.2, 83.0, 85.7, 60.0),
            lat_deg=-46.813,
            lon_deg=108.513,
            by_time=tuple((_after_s(km), share) for km, share in BURST_BY_HEIGHT),
            by_height=by_height,
            within_60_s=((4560.0, 0.004), (4680.0, 0.026), (4800.0, 0.099), (4920.0, 0.25)),
            early_ratio=0.03,
            early_from="a guess; your own record of flights settles it",
        ),
        levels=tuple(
            LevelPassage(
                flight_level=level,
                after_launch_s=_spread(0.95 * minute, minute, 1.05 * minute, 60.0),
                lat_deg=-46.5 + interpolated([(r[0], r[2]) for r in TRACK], minute) / 111.195,
                lon_deg=108.0 + interpolated([(r[0], r[1]) for r in TRACK], minute) / 76.542,
                radius_m=100.0 + 60.0 * minute,
            )
            for level, minute in levels
        ),
        farthest_km=59.2,
        beyond_amsl_m=None,
    )


def _release() -> ReleaseOutlook:
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


def _fill() -> FillOutlook:
    rows = (
        (1.5, 1278.0, 30_200.0, 88.2, 55_500.0),
        (1.6, 1352.0, 29_950.0, 83.0, 52_800.0),
        (1.7, 1419.0, 29_700.0, 78.6, 50_700.0),
    )
    return FillOutlook(
        gas="hydrogen",
        neck_lift_kg=1.6,
        free_lift_kg=0.78,
        volume_m3=2.28,
        bottle_ratio=0.24,
        rows=tuple(
            FillRow(
                neck_lift_kg=lift_kg,
                height_at_5_min_amsl_m=height_m,
                burst_amsl_m=burst_m,
                burst_after_launch_s=60.0 * minute,
                drift_m=drift_m,
            )
            for lift_kg, height_m, burst_m, minute, drift_m in rows
        ),
    )


def _gain(what: str, chance: float, shut_min: float, shift_min: float, advice: str = "") -> Gain:
    return Gain(
        what=what,
        chance_ratio=chance,
        shut_s=60.0 * shut_min,
        release_by_shift_s=60.0 * shift_min,
        advice=advice,
    )


def _glider() -> tuple[GliderRow, ...]:
    rows = (
        (0.0, 9.2, 13.0, 13.0, 11.2, 1.2, 32.0, 0.09, 150_000.0, 30.0, 20.0),
        (10_000.0, 15.8, 22.4, 13.0, 10.1, 2.2, 55.1, 0.18, 80_000.0, 89.0, 160.0),
        (20_000.0, 34.3, 47.5, 12.7, 8.4, 5.7, 119.2, 0.40, 35_000.0, 398.0, 700.0),
        (30_000.0, 75.6, 98.0, 11.9, 6.3, 15.6, 165.9, 0.55, 16_000.0, 1694.0, 2100.0),
    )
    return tuple(
        GliderRow(
            amsl_m=a,
            stall_tas_mps=b,
            best_tas_mps=c,
            best_eas_mps=d,
            glide_ratio=e,
            sink_mps=f,
            top_tas_mps=g,
            mach=h,
            reynolds=i,
            turn_radius_m=j,
            pullout_m=k,
        )
        for a, b, c, d, e, f, g, h, i, j, k in rows
    )


def _side() -> SideView:
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


def _contours() -> tuple[Contour, ...]:
    drawn = (
        ("Harrowend", 6.0, CONTOUR_0_6),
        ("Harrowend", 12.0, CONTOUR_0_12),
        ("Harrowend", 20.4, CONTOUR_0_20),
        ("Tansy Lea", 14.5, CONTOUR_1_14),
    )
    return tuple(
        Contour(
            field=field,
            amsl_m=amsl_km * 1000.0,
            points=tuple((east * 1000.0, north * 1000.0) for east, north in points),
        )
        for field, amsl_km, points in drawn
    )


def launch_area(may_drive_s: float | None = None) -> LaunchArea:
    """Return an area of 5 by 3 spots whose best lies 30 km up the drift, to the north-west."""
    spots = tuple(
        LaunchSpot(
            up_drift_m=up_m,
            across_m=left_m,
            lat_deg=-46.5 + 0.0058 * up_m / 1e3 + 0.0069 * left_m / 1e3,
            lon_deg=108.0 - 0.0100 * up_m / 1e3 + 0.0084 * left_m / 1e3,
            home_ratio=0.99 - abs(up_m - 30e3) / 120e3 - abs(left_m) / 160e3,
            home_any_height_ratio=0.98 - abs(up_m - 30e3) / 130e3 - abs(left_m) / 160e3,
            any_field_ratio=0.99 - abs(up_m - 20e3) / 160e3 - abs(left_m) / 190e3,
            field_ratios=(0.99 - abs(up_m - 30e3) / 120e3 - abs(left_m) / 160e3, 0.5),
            drive_s=abs(up_m) * 0.0972,
            manned_after_launch_s=abs(up_m) * 0.0972 + 240.0,
            barred="Gollan Wood" if up_m < 0.0 and left_m < 0.0 else "",
        )
        for up_m in (-30e3, 0.0, 30e3, 60e3, 90e3)
        for left_m in (-40e3, 0.0, 40e3)
    )
    stated, free = told_spot("launch", "Harrowend", 0.0, 0.93), told_spot("free", "best spot", 30e3)
    return LaunchArea(
        axis_deg=130.0,
        from_amsl_m=20_000.0,
        may_drive_s=may_drive_s,
        drive_radius_m=None if may_drive_s is None else may_drive_s / 0.0972,
        up_drift_m=(-30e3, 0.0, 30e3, 60e3, 90e3),
        across_m=(-40e3, 0.0, 40e3),
        spots=spots,
        stated=stated,
        free=free,
        unlimited=None,
        places=(),
        advised=free,
        n_unmanned=0,
        marks=(
            MapMark(kind="field", name="Harrowend", lat_deg=-46.5, lon_deg=108.0),
            MapMark(kind="field", name="Tansy Lea", lat_deg=-46.606, lon_deg=108.245),
            MapMark(kind="stand", name="Stile Gap", lat_deg=-46.589, lon_deg=108.164),
        ),
        lines=(
            MapLine(
                name="Gollan Wood",
                kind="closed forest",
                points=((-46.5, 108.4), (-46.8, 108.1), (-46.7, 108.5)),
            ),
        ),
    )


def told_spot(
    kind: Literal["launch", "free", "place"], name: str, up_m: float, home_ratio: float = 0.97
) -> ToldSpot:
    """Return a spot so far up the drift of the sample's home."""
    return ToldSpot(
        name=name,
        kind=kind,
        lat_deg=-46.5 + 0.0058 * up_m / 1e3,
        lon_deg=108.0 - 0.0100 * up_m / 1e3,
        up_drift_m=up_m,
        across_m=0.0,
        from_home_m=abs(up_m),
        from_home_deg=310.0,
        from_launch_m=abs(up_m),
        from_launch_deg=310.0,
        drive_s=abs(up_m) * 0.0972,
        drive_guessed=up_m != 0.0,
        stand="Stile Gap",
        stand_drive_s=1560.0 + abs(up_m) * 0.0972,
        stand_ready_after_launch_s=1800.0 + abs(up_m) * 0.0972,
        links_ratio=0.95,
        any_field_ratio=0.99,
        fields=(
            SpotField(
                field="Harrowend",
                chance_ratio=home_ratio,
                shut_s=2040.0 if not up_m else 420.0,
                release_by_after_launch_s=4530.0,
            ),
            SpotField(
                field="Tansy Lea", chance_ratio=0.99, shut_s=0.0, release_by_after_launch_s=4560.0
            ),
        ),
        barred="",
    )


def sample() -> Outlook:
    """Return the outlook of the flight that goes as planned."""
    return Outlook(
        name="Amber evening",
        launch_t_s=1_800_697_200.0,
        zone="UTC+07:00",
        launch_name="Harrowend",
        n_draws=200,
        seed=1,
        wind_origin="sounding of Friday 13:00, written by hand",
        wind_age_s=9600.0,
        launch_lat_deg=-46.5,
        launch_lon_deg=108.0,
        verdict="Launch from Harrowend at 16:40, release between 25.4 and 26.1 km going up, about "
        "17:54 to 17:55: the chance of coming home to Harrowend is 9 in 10 if the release and the "
        "pull-out work, and by your tests of both at least 8 in 10.",
        order="Release by 26.1 km (about 17:55): after that a burst becomes likely.",
        elsewhere="Launch 30 km upwind of home instead, near 46.33° S 107.70° E (49 min drive): "
        "the chance of home is then 19 in 20.",
        why="Home is shut from 17:09 to 17:41; until then it is Tansy Lea, from 17:24 to 17:28 "
        "Brackmoor. Come home faster than the flattest way: the packs end at 18:49, forty-four "
        "minutes before the sun.",
        cleared=True,
        missing=(),
        asked=(),
        ground_wind_mps=3.2,
        ground_wind_limit_mps=5.0,
        wind_distance_m=12_000.0,
        guesses=("bursting diameter", "what the cold leaves of pack all"),
        usual=("balloon drag",),
        open_ratio=0.9,
        doubtful_ratio=0.5,
        enough_ratio=0.9,
        ascent=_ascent(),
        fields=tuple(_field(row) for row in FIELDS),
        gap_s=0.0,
        gaps=(),
        release=_release(),
        would_open=(),
        fill=_fill(),
        packs=(PackEnd(name="pack", after_launch_s=_spread(118.0, 129.9, 141.0, 60.0)),),
        sun=SunOutlook(
            sunset_after_launch_s=173.0 * 60.0,
            dusk_after_launch_s=208.0 * 60.0,
            azimuth_deg=257.0,
            elevation_deg=14.0,
            field="Harrowend",
            field_bearing_deg=310.0,
            field_distance_m=56_000.0,
        ),
        latest_launch_delay_s=2400.0,
        holds=(Wait(delay_s=900.0, chance_ratio=0.9), Wait(delay_s=1800.0, chance_ratio=0.8)),
        as_planned=_gain("as planned", 0.93, 34.0, 0.0),
        gains=(
            _gain("launch 30 km upwind of home", 0.97, 7.0, -2.0, "Drive to the north-west."),
            _gain("pack of 33 Wh", 0.95, 34.0, 1.0, "Carry one cell more."),
            _gain("glide ratio 10 % better", 0.94, 29.0, 0.0, "Tape the gaps."),
        ),
        launch=launch_area(),
        unknowns=(
            _gain("glide ratio, a guess", 0.7, 44.0, -3.0, "Fly ten test glides."),
            _gain("cold share of the pack", 0.8, 34.0, -5.0, "One hour in a freezer."),
            _gain("bursting diameter, typical", 0.86, 34.0, -2.0, "Measure it after each flight."),
        ),
        links=(),
        held=(),
        car=None,
        ground="",
        flown=FlownOutlook(
            release_after_launch_s=82.0 * 60.0,
            release_amsl_m=26_070.0,
            over_field_ratio=0.97,
            burst_before_ratio=0.05,
            over_field_amsl_m=Spread(p10=12_000.0, p50=16_000.0, p90=18_500.0),
            down_after_launch_s=Spread(p10=9_000.0, p50=11_000.0, p90=13_000.0),
            peak_mach=0.45,
            missed_lat_deg=-46.6,
            missed_lon_deg=108.2,
        ),
        unsteered=(
            Unsteered(
                what="glider, hands off",
                from_after_launch_s=4530.0,
                from_amsl_m=26_300.0,
                down_after_launch_s=Spread(p10=13_000.0, p50=13_770.0, p90=14_500.0),
                drift_m=131_000.0,
                lat_deg=-47.6,
                lon_deg=109.9,
                radius_m=42_000.0,
            ),
        ),
        seconds_left=(
            SecondsLeft(burst_amsl_m=27_475.0, field="Harrowend", seconds_s=146.0),
            SecondsLeft(burst_amsl_m=27_475.0, field="Tansy Lea", seconds_s=260.0),
        ),
        glider=_glider(),
        speeds=(
            SpeedRow(
                amsl_m=10_000.0,
                quick_eas_mps=31.0,
                quick_ground_mps=14.0,
                quick_sink_mps=20.0,
                timely_eas_mps=None,
                timely_ground_mps=None,
                timely_sink_mps=None,
                flat_eas_mps=None,
                flat_ground_mps=None,
                flat_sink_mps=None,
                quick_held_by="top speed",
            ),
        ),
        side=_side(),
        contours=_contours(),
        levels_note="Levels are pressure, read from the sounding; the receiver shows true height.",
        notes=("2 levels without wind left out",),
        cautions=(
            "Out of sight after release: ask who must allow it.",
            "The driver neither reads nor hears. Legal speed.",
            "Land 100 to 300 m beside a road, clear of wires, rail, animals and people.",
            "Ask the owner of the field. Latex and line fall too.",
            "Hydrogen: earth the filler, no spark. Stop above 5 m/s of wind.",
        ),
    )


def not_cleared() -> Outlook:
    """Return the same flight with two permissions missing."""
    return replace(sample(), cleared=False, missing=("flight out of sight", "free balloon"))


def no_release() -> Outlook:
    """Return a flight with no release that meets what the crew asks."""
    return replace(
        sample(),
        release=None,
        verdict="No release above 20 km brings it home: do not launch like this.",
        why="Home stays shut to the burst.",
        would_open=("launch 30 km upwind of home", "fly the day after"),
        gap_s=360.0,
        gaps=(
            Gap(
                from_after_launch_s=2550.0,
                to_after_launch_s=2910.0,
                best_field="Brackmoor",
                best_ratio=0.84,
            ),
        ),
    )


def hostile() -> Outlook:
    """Return a flight whose names are written to break a page."""
    name = "<b>&\"'</b><script>"
    base = sample()
    assert base.release is not None
    fields = (replace(base.fields[0], name=name, role=name), *base.fields[1:])
    return replace(
        base,
        name=name,
        launch_name=name,
        zone="UTC",
        wind_origin=name,
        verdict=name,
        why=name,
        missing=(name,),
        cleared=False,
        fields=fields,
        release=replace(base.release, field=name),
        packs=(replace(base.packs[0], name=name),),
        as_planned=_gain("as planned", 0.93, 34.0, 0.0),
        gains=(_gain(name, 0.9, 1.0, 0.0, name),),
        unknowns=(_gain(name, 0.9, 1.0, 0.0, name),),
        cautions=(name,),
        levels_note=name,
        would_open=(name,),
        contours=(replace(base.contours[0], field=name),),
    )


def with_links() -> Outlook:
    """Return the sample with two links heard from the hill."""
    made = sample()
    fields = tuple(replace(field, lost_picture_agl_m=LOST_PICTURES) for field in made.fields)
    ground = "elevation of the made-up ground"
    return replace(made, fields=fields, links=LINKS, held=_held(), car=CAR, ground=ground)
