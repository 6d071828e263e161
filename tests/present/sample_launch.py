"""Where else the sample could be launched from."""

from typing import Literal

from farglide.outlook.launch import LaunchArea, LaunchSpot, MapLine, MapMark, SpotField, ToldSpot


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
