"""Moved: the fields as they lie for the same flights launched elsewhere."""

import numpy as np

from farglide.arrays import FloatArray
from farglide.kernel import compiled
from farglide.sim.core.release import Goals, field_offset
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Frame, Offset, _moved, apart_m


def moved_goals(scene: Scene, goals: Goals, north_rad: FloatArray, east_rad: FloatArray) -> Goals:
    """Return the fields as flights have them that are launched at other spots, spot by spot.

    `north_rad`, `east_rad`: where the spots are, from the launch, shape (n_spots,). Drift hardly
    depends on where it starts: moving the launch is moving all fields the other way, by the same
    metres. Links are asked where flights and fields really are. Field f of spot s stands at
    s * n_fields + f. Valid: spots within 300 km, away from the poles.
    Source: common practice, no source; metres as `apart_m` has them.
    """
    n_spots, n_fields = len(north_rad), len(goals.north_rad)
    ground, arrival = (np.tile(one, n_spots) for one in (goals.ground_amsl_m, goals.arrival_amsl_m))
    north, east, moved_north, moved_east = np.empty((4, n_spots * n_fields))
    found = Goals(north, east, ground, arrival, moved_north, moved_east)
    _fill_moved(scene.frame, goals, north_rad, east_rad, found)
    return found


@compiled
def _fill_moved(
    frame: Frame, goals: Goals, north_rad: FloatArray, east_rad: FloatArray, out: Goals
) -> None:
    n_fields = len(goals.north_rad)
    for s in range(len(north_rad)):
        for f in range(n_fields):
            field = field_offset(goals, f)
            away = apart_m(frame, Offset(north_rad[s], east_rad[s]), field)
            seen = _moved(frame, Offset(0.0, 0.0), away.east_m, away.north_m)
            k = s * n_fields + f
            out.north_rad[k], out.east_rad[k] = seen.north_rad, seen.east_rad
            out.moved_north_rad[k] = field.north_rad + goals.moved_north_rad[f] - seen.north_rad
            out.moved_east_rad[k] = field.east_rad + goals.moved_east_rad[f] - seen.east_rad
