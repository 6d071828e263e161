"""Overhead: stretches from the first to the last point high over a stand."""

from dataclasses import replace

from farglide.outlook.links import NEAR_M, OVERHEAD_DEG, HeardPoint
from farglide.plan.links.overhead import overhead_spans

POINT = HeardPoint(
    after_launch_s=0.0, amsl_m=20e3, azimuth_deg=0.0, elevation_deg=OVERHEAD_DEG + 1.0,
    range_m=NEAR_M + 1.0, slew_degps=0.0, sun_azimuth_deg=None, p10=0.0, p50=3.0, p90=6.0, grade=4,
)  # fmt: skip


def flown(is_high: str) -> list[HeardPoint]:
    return [
        replace(
            POINT, after_launch_s=60.0 * i, elevation_deg=POINT.elevation_deg - 5.0 * (one == ".")
        )
        for i, one in enumerate(is_high)
    ]


def test_stretches_are_joined_and_kept_apart() -> None:
    assert overhead_spans(flown("..##.#")) == ((120.0, 180.0), (300.0, 300.0))
    assert overhead_spans(flown("####")) == ((0.0, 180.0),)
    assert overhead_spans(flown("....")) == ()
    assert overhead_spans([]) == ()


def test_close_by_nothing_is_hard_to_hear() -> None:
    assert overhead_spans([replace(POINT, range_m=NEAR_M)]) == ()
