"""Speed rows: what to fly at each height on each way to the field."""

from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.outlook.release import SpeedRow
from farglide.plan.home.homeward import Homeward
from farglide.sim.core.step import apart_m
from farglide.sim.fly.passage import Passage

_SPEED_STEP_M: Final = 2000.0


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
    )


def _speeds_at(ensemble: Ensemble, path: Passage, amsl_m: float) -> _Speeds | None:
    """Return EAS, ground speed and sink of a path at a height; None outside it."""
    if not path.amsl_m[-1] < amsl_m <= path.amsl_m[0]:
        return None
    j = min(int(np.searchsorted(-path.amsl_m, -amsl_m, side="right")) - 1, len(path.amsl_m) - 2)
    here = (float(path.north_rad[j]), float(path.east_rad[j]))
    there = (float(path.north_rad[j + 1]), float(path.east_rad[j + 1]))
    dt = float(path.after_s[j + 1] - path.after_s[j])
    ground_m = float(np.hypot(*apart_m(ensemble.air.scene.frame, here, there)))
    sink_mps = float(path.amsl_m[j] - path.amsl_m[j + 1]) / dt
    return _Speeds(float(path.eas_mps[j]), ground_m / dt, sink_mps)
