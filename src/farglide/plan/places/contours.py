"""Contours: the lines on the ground from inside which a field is in reach of a balloon."""

import numpy as np

from farglide.chances.stage import Stage
from farglide.outlook.outlook import Contour
from farglide.sim.core.release import begin_glide
from farglide.sim.core.step import apart_m
from farglide.sim.reach.rose import support_between


def contour(stage: Stage, field: int, amsl_m: float) -> Contour | None:
    """Return the line on the ground inside which a balloon at this height has the field in reach.

    The boundary of a convex set with support H(angle) is H n + H' n', n' being n turned by a
    quarter; from the field it is walked backwards.
    """
    reach, goals = stage.ways.free, stage.goals
    launch_losses = begin_glide(
        stage.scene, stage.drawn.swarm, stage.losses, stage.haste, (0, amsl_m, 0.0, 0.0)
    )
    z, d_north, d_east, _ = launch_losses
    if z <= goals.arrival_amsl_m[field]:
        return None
    support = support_between(reach, (float(z), float(goals.arrival_amsl_m[field])))
    angle = 2.0 * np.pi * np.arange(len(support)) / len(support)
    slope = (np.roll(support, -1) - np.roll(support, 1)) / (angle[2] - angle[0])
    if not (support + np.roll(support, len(support) // 2) > 0.0).all():
        return None
    field_east, field_north = apart_m(
        stage.scene.frame, (d_north, d_east), (goals.north_rad[field], goals.east_rad[field])
    )
    east = field_east - (support * np.cos(angle) - slope * np.sin(angle))
    north = field_north - (support * np.sin(angle) + slope * np.cos(angle))
    return Contour(
        field=stage.sortie.fields[field].name,
        amsl_m=amsl_m,
        points=tuple((float(e), float(n)) for e, n in zip(east, north, strict=True)),
    )
