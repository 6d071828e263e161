"""Side view: the climb and the ways home as height against distance along the drift."""

from typing import Final

import numpy as np

from farglide.chances.case import Case, moment_at
from farglide.chances.ensemble import Ensemble
from farglide.chances.launch_area import drift_axis_rad
from farglide.chances.offsets import offset_rad
from farglide.chances.trial import median_burst_s
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.release import BarrierSide, SideView
from farglide.plan.home.homeward import Homeward
from farglide.sim.core.march import mean_wind
from farglide.sim.fly.passage import Passage, east_north_m

_TOP_M: Final = 36_000.0


def side_view(case: Case, flight: Homeward | None, ways: tuple[BarrierWay, ...] = ()) -> SideView:
    """Return the side view. `flight`: the flights home; `ways`: over barriers."""
    ensemble, plain = case.drawn, case.plain
    axis = drift_axis_rad(ensemble)
    layers = plain.air.column.layers
    j_end = moment_at(plain, median_burst_s(ensemble))
    climb = [
        (_along(plain, axis, north, east), float(z))
        for z, north, east in zip(
            plain.climbs.tracks.amsl_m[0, : j_end + 1],
            plain.climbs.tracks.north_rad[0],
            plain.climbs.tracks.east_rad[0],
            strict=False,
        )
    ]
    every = range(0, len(layers.p_pa), 5)
    heights = (float(layers.base_amsl_m + layers.step_m * (k + 0.5)) for k in every)
    return SideView(
        axis_deg=float(np.degrees(axis) % 360.0),
        climb=tuple(climb),
        quickest=_path(plain, axis, flight.quickest) if flight else (),
        flattest=_path(plain, axis, flight.flattest) if flight else (),
        timely=_path(plain, axis, flight.timely.passage) if flight and flight.timely else (),
        wind_along=tuple(
            (amsl_m, _wind_along_mps(plain, axis, amsl_m))
            for amsl_m in heights
            if amsl_m < _TOP_M + 0.5 * layers.step_m
        ),
        barriers=tuple(_barrier(plain, axis, way) for way in ways),
    )


def _wind_along_mps(ensemble: Ensemble, axis_rad: float, amsl_m: float) -> float:
    wind = mean_wind(ensemble.air.scene, amsl_m)
    return float(wind.u_mps * np.sin(axis_rad) + wind.v_mps * np.cos(axis_rad))


def _along(ensemble: Ensemble, axis_rad: float, north_rad: float, east_rad: float) -> float:
    east_m, north_m = east_north_m(ensemble.air.scene, float(north_rad), float(east_rad))
    return float(east_m * np.sin(axis_rad) + north_m * np.cos(axis_rad))


def _path(ensemble: Ensemble, axis_rad: float, passage: Passage) -> tuple[tuple[float, float], ...]:
    last = len(passage.amsl_m) - 1
    keep = sorted({*range(0, last, 5), last})
    return tuple(
        (
            _along(ensemble, axis_rad, passage.north_rad[k], passage.east_rad[k]),
            float(passage.amsl_m[k]),
        )
        for k in keep
    )


def _barrier(ensemble: Ensemble, axis_rad: float, way: BarrierWay) -> BarrierSide:
    first, _, last = way.stations
    near_m, far_m = (
        _along(ensemble, axis_rad, *offset_rad(ensemble.sortie.launch, (one.lat_deg, one.lon_deg)))
        for one in (first, last)
    )
    return BarrierSide(
        barrier=way.barrier, from_along_m=near_m, to_along_m=far_m, commit_amsl_m=first.ahead.amsl_m
    )
