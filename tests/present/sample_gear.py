"""The gear of the sample: fill, glider, and what would gain or cost how much."""

from farglide.outlook.changes import Gain
from farglide.outlook.gear import FillOutlook, FillRow, GliderRow


def fill() -> FillOutlook:
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


def gain(what: str, chance: float, shut_min: float, shift_min: float, advice: str = "") -> Gain:
    return Gain(
        what=what,
        chance_ratio=chance,
        shut_s=60.0 * shut_min,
        release_by_shift_s=60.0 * shift_min,
        advice=advice,
    )


def glider() -> tuple[GliderRow, ...]:
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
