"""Tracking library: the same climbs by a general particle-tracking library, in its own Python.

Run: PYTHON trackinglibrary.py CASE.npz ENDS.npz
"""

import sys
import time
from datetime import timedelta
from typing import Any

import numpy as np
import parcels


def main() -> None:
    """Read a case, move its particles, write where they end and how long the moves took."""
    with np.load(sys.argv[1]) as given:
        case = dict(given)
    fields = _fields(case)
    begin = case["begin"]

    def some() -> Any:
        return parcels.ParticleSet(
            fields, parcels.JITParticle, lon=begin[:, 3], lat=begin[:, 2], depth=begin[:, 1],
            time=begin[:, 0], lonlatdepth_dtype=np.float64,
        )  # fmt: skip

    step = timedelta(seconds=float(case["step_s"]))
    how = {"dt": step, "verbose_progress": False}
    some().execute(parcels.AdvectionRK4_3D, runtime=step, **how)  # compiles it
    # what it hands over is where they were as its last step began
    moved, end = some(), timedelta(seconds=float(case["end_s"])) + step
    begun = time.perf_counter()
    moved.execute(parcels.AdvectionRK4_3D, runtime=end, **how)
    seconds = time.perf_counter() - begun
    ends = np.stack([moved.depth, moved.lat, moved.lon], axis=1)
    np.savez(sys.argv[2], ends=ends, seconds=seconds)


def _fields(case: dict[str, Any]) -> Any:
    def laid(name: str) -> Any:
        return np.ascontiguousarray(np.moveaxis(case[name], 3, 1), dtype=np.float32)

    east = laid("east_radps")
    rise = np.broadcast_to(case["rise_mps"][None, :, None, None], east.shape).astype(np.float32)
    data = {"U": east, "V": laid("north_radps"), "W": rise}
    axis = case["axis_rad"]
    axes = {"lon": axis, "lat": axis, "depth": case["z_m"], "time": case["t_s"]}
    return parcels.FieldSet.from_data(data, axes, mesh="flat")


if __name__ == "__main__":
    main()
