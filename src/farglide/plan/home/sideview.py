"""Side view: the climb and the ways home as height against distance along the drift."""

from typing import Final

import numpy as np

from farglide.chances.offsets import offset_rad
from farglide.chances.stage import Stage
from farglide.chances.staged import moment_at
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.side import BarrierSide, SideView
from farglide.plan.home.homeward import Homeward
from farglide.plan.whatif import drift_axis_rad, median_burst_s
from farglide.sim.core.march import mean_wind
from farglide.sim.fly.passage import Passage, east_north_m

_TOP_M: Final = 36_000.0


def side_view(
    stages: tuple[Stage, Stage], flight: Homeward | None, ways: tuple[BarrierWay, ...] = ()
) -> SideView:
    """Return the side view; `stages`: of the draws, and the error-free one."""
    stage, middle = stages
    axis = drift_axis_rad(stage)
    layers = middle.column.layers
    j_end = moment_at(middle, median_burst_s(stage))
    climb = [
        (_along(middle, axis, north, east), float(z))
        for z, north, east in zip(
            middle.tracks.amsl_m[0, : j_end + 1],
            middle.tracks.north_rad[0],
            middle.tracks.east_rad[0],
            strict=False,
        )
    ]
    every = range(0, len(layers.p_pa), 5)
    heights = (float(layers.base_amsl_m + layers.step_m * (k + 0.5)) for k in every)
    return SideView(
        axis_deg=float(np.degrees(axis) % 360.0),
        climb=tuple(climb),
        quickest=_path(middle, axis, flight.quickest) if flight else (),
        flattest=_path(middle, axis, flight.flattest) if flight else (),
        timely=_path(middle, axis, flight.timely.passage) if flight and flight.timely else (),
        wind_along=tuple(
            (amsl_m, _wind_along_mps(middle, axis, amsl_m))
            for amsl_m in heights
            if amsl_m < _TOP_M + 0.5 * layers.step_m
        ),
        barriers=tuple(_barrier(middle, axis, way) for way in ways),
    )


def _along(stage: Stage, axis_rad: float, north_rad: float, east_rad: float) -> float:
    east_m, north_m = east_north_m(stage.scene, float(north_rad), float(east_rad))
    return float(east_m * np.sin(axis_rad) + north_m * np.cos(axis_rad))


def _wind_along_mps(stage: Stage, axis_rad: float, amsl_m: float) -> float:
    wind = mean_wind(stage.scene, amsl_m)
    return float(wind.u_mps * np.sin(axis_rad) + wind.v_mps * np.cos(axis_rad))


def _path(stage: Stage, axis_rad: float, passage: Passage) -> tuple[tuple[float, float], ...]:
    last = len(passage.amsl_m) - 1
    keep = sorted({*range(0, last, 5), last})
    return tuple(
        (
            _along(stage, axis_rad, passage.north_rad[k], passage.east_rad[k]),
            float(passage.amsl_m[k]),
        )
        for k in keep
    )


def _barrier(stage: Stage, axis_rad: float, way: BarrierWay) -> BarrierSide:
    first, _, last = way.stations
    near_m, far_m = (
        _along(stage, axis_rad, *offset_rad(stage, (one.lat_deg, one.lon_deg)))
        for one in (first, last)
    )
    return BarrierSide(
        barrier=way.barrier,
        from_along_m=near_m,
        to_along_m=far_m,
        commit_amsl_m=first.ahead.amsl_m,
    )
