"""Side view: the climb and the ways home by height: distance along the drift, and speeds."""

from typing import Final, NamedTuple

import numpy as np

from farglide.chances.case import Case, moment_at
from farglide.chances.ensemble import Ensemble
from farglide.chances.trial import drift_axis_rad, median_burst_s
from farglide.earth.state import offset_rad
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.release import BarrierSide, SideView, SpeedLimit, SpeedRow
from farglide.plan.home.homeward import Homeward
from farglide.sim.core.step import Offset, apart_m, layer_index
from farglide.sim.core.wind import mean_wind
from farglide.sim.fly.passage import Passage, from_launch_m

_TOP_M: Final = 36_000.0
_SPEED_STEP_M: Final = 2000.0
_AT_LIMIT_RATIO: Final = 0.995


def side_view(case: Case, flight: Homeward | None, ways: tuple[BarrierWay, ...] = ()) -> SideView:
    """Return the side view. `flight`: the flights home; `ways`: over barriers."""
    ensemble, plain = case.drawn, case.plain
    axis, column = drift_axis_rad(ensemble), plain.air.column
    past = moment_at(plain, median_burst_s(ensemble)) + 1
    flown = zip(*(one[0, :past] for one in plain.climbs.tracks.places), strict=True)
    heights, top_m = column.middles_amsl_m[::5], _TOP_M + 0.5 * column.layers.step_m
    told = heights[heights < top_m].tolist()
    winds = [mean_wind(plain.air.scene, amsl_m) for amsl_m in told]
    along_mps = (one.u_mps * np.sin(axis) + one.v_mps * np.cos(axis) for one in winds)
    return SideView(
        axis_deg=float(np.degrees(axis) % 360.0),
        climb=tuple((_along(plain, axis, north, east), float(z)) for z, north, east in flown),
        quickest=_path(plain, axis, flight.quickest) if flight else (),
        flattest=_path(plain, axis, flight.flattest) if flight else (),
        timely=_path(plain, axis, flight.timely.passage) if flight and flight.timely else (),
        wind_along=tuple(zip(told, map(float, along_mps), strict=True)),
        barriers=tuple(_barrier(plain, axis, way) for way in ways),
    )


def _along(ensemble: Ensemble, axis_rad: float, north_rad: float, east_rad: float) -> float:
    east_m, north_m = from_launch_m(ensemble.air.scene, float(north_rad), float(east_rad))
    return float(east_m * np.sin(axis_rad) + north_m * np.cos(axis_rad))


def _path(ensemble: Ensemble, axis_rad: float, passage: Passage) -> tuple[tuple[float, float], ...]:
    last = len(passage.amsl_m) - 1
    keep = sorted({*range(0, last, 5), last})
    places = [(passage.north_rad[k], passage.east_rad[k]) for k in keep]
    along_m = [_along(ensemble, axis_rad, *place) for place in places]
    return tuple(zip(along_m, passage.amsl_m[keep].tolist(), strict=True))


def _barrier(ensemble: Ensemble, axis_rad: float, way: BarrierWay) -> BarrierSide:
    first, _, last = way.stations
    near_m, far_m = (
        _along(ensemble, axis_rad, *offset_rad(ensemble.sortie.launch, one.lat_deg, one.lon_deg))
        for one in (first, last)
    )
    return BarrierSide(
        barrier=way.barrier, from_along_m=near_m, to_along_m=far_m, commit_amsl_m=first.ahead.amsl_m
    )


class _Speeds(NamedTuple):
    eas_mps: float
    ground_mps: float
    sink_mps: float


def speed_rows(ensemble: Ensemble, flight: Homeward) -> tuple[SpeedRow, ...]:
    """Return what to fly every two kilometres on the ways of a flight home."""
    top, bottom = float(flight.quickest.amsl_m[0]), float(flight.quickest.amsl_m[-1])
    heights = np.arange(np.floor(top / _SPEED_STEP_M) * _SPEED_STEP_M, bottom, -_SPEED_STEP_M)
    rows = (_speed_row(ensemble, flight, float(amsl_m)) for amsl_m in heights)
    return tuple(row for row in rows if row is not None)


def _speed_row(ensemble: Ensemble, flight: Homeward, amsl_m: float) -> SpeedRow | None:
    quick = _speeds_at(ensemble, flight.quickest, amsl_m)
    if quick is None:
        return None
    timely = _speeds_at(ensemble, flight.timely.passage, amsl_m) if flight.timely else None
    flat = _speeds_at(ensemble, flight.flattest, amsl_m)
    return SpeedRow(
        amsl_m=amsl_m,
        quick_eas_mps=quick.eas_mps,
        quick_ground_mps=quick.ground_mps,
        quick_sink_mps=quick.sink_mps,
        timely_eas_mps=timely.eas_mps if timely else None,
        timely_ground_mps=timely.ground_mps if timely else None,
        timely_sink_mps=timely.sink_mps if timely else None,
        flat_eas_mps=flat.eas_mps if flat else None,
        flat_ground_mps=flat.ground_mps if flat else None,
        flat_sink_mps=flat.sink_mps if flat else None,
        quick_held_by=_held_by(ensemble, quick.eas_mps, amsl_m),
        timely_held_by=_held_by(ensemble, timely.eas_mps, amsl_m) if timely else None,
    )


def _held_by(ensemble: Ensemble, eas_mps: float, amsl_m: float) -> SpeedLimit | None:
    """Return which limit a speed flown at a height runs into, if any."""
    layers, limits = ensemble.air.scene.layers, ensemble.reach.reaches.craft.limits
    k = layer_index(layers, amsl_m - 1e-3)
    by_mach_mps = limits.top_mach * float(layers.sound_mps[k] / layers.tas_per_eas[k])
    if eas_mps < _AT_LIMIT_RATIO * min(limits.top_eas_mps, by_mach_mps):
        return None
    return "top speed" if limits.top_eas_mps <= by_mach_mps else "Mach"


def _speeds_at(ensemble: Ensemble, path: Passage, amsl_m: float) -> _Speeds | None:
    """Return EAS, ground speed and sink of a path at a height; None outside it."""
    if not path.amsl_m[-1] < amsl_m <= path.amsl_m[0]:
        return None
    j = min(int(np.searchsorted(-path.amsl_m, -amsl_m, side="right")) - 1, len(path.amsl_m) - 2)
    here, there = (Offset(float(path.north_rad[k]), float(path.east_rad[k])) for k in (j, j + 1))
    dt = float(path.after_s[j + 1] - path.after_s[j])
    ground_m = float(np.hypot(*apart_m(ensemble.air.scene.frame, here, there)))
    sink_mps = float(path.amsl_m[j] - path.amsl_m[j + 1]) / dt
    return _Speeds(float(path.eas_mps[j]), ground_m / dt, sink_mps)
