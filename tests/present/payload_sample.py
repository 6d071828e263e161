"""A made-up outlook of a payload."""

from dataclasses import replace

from farglide.outlook.ascent import Spread
from farglide.outlook.charted import ChartOutlook
from farglide.outlook.launch import MapLine, MapMark
from farglide.outlook.payload import Landing, PayloadOutlook

from .sample_outlook import sample, with_links


def payload_sample() -> PayloadOutlook:
    """Return a box that comes down 71 km east of its launch, half of it in a lake."""
    glider = sample()
    return PayloadOutlook(
        name="Salt box",
        launch_t_s=glider.launch_t_s,
        zone=glider.zone,
        launch_name="Cuesta meadow",
        n_draws=1000,
        seed=1,
        wind_origin="made-up winds",
        wind_age_s=4800.0,
        missing=("airspace",),
        asked=("land",),
        ground_wind_mps=6.2,
        ground_wind_limit_mps=5.0,
        suspicions=("Is that meant?",),
        gas="hydrogen",
        neck_lift_kg=1.6,
        volume_m3=2.5,
        ascent=replace(
            glider.ascent, burst=replace(glider.ascent.burst, lat_deg=-25.07, lon_deg=-65.0)
        ),
        landing=Landing(
            after_launch_s=Spread(p10=8220.0, p50=9720.0, p90=11_280.0),
            fall_s=Spread(p10=2400.0, p50=2640.0, p90=2900.0),
            lat_deg=-25.093,
            lon_deg=-64.803,
            amsl_m=1210.0,
            radius_m=23_200.0,
            from_launch_m=71_000.0,
            bearing_deg=96.0,
            sink_mps=5.5,
            barriers=(("the lake", "water", 0.5), ("a", "town", 0.1), ("b", "gorge", 0.05)),
        ),
        dusk_after_launch_s=9000.0,
        links=with_links().links,
        chart=ChartOutlook(
            lat_deg=-25.03,
            lon_deg=-65.5,
            stands=(MapMark(kind="stand", name="Wether Knap", lat_deg=-25.05, lon_deg=-65.2),),
            lines=(
                MapLine(
                    name="the lake",
                    kind="water",
                    points=((-25.2, -64.9), (-25.2, -64.7), (-25.0, -64.7), (-25.0, -64.9)),
                ),
            ),
            ground=None,
            wide=None,
        ),
        ground="",
        notes=("flat ground",),
    )


def without_words() -> PayloadOutlook:
    """Return one with nothing missing, winds of no age, no barrier and no dusk."""
    made = payload_sample()
    return replace(
        made, missing=(), asked=(), suspicions=(), wind_age_s=float("nan"),
        dusk_after_launch_s=None, landing=replace(made.landing, barriers=()),
    )  # fmt: skip
