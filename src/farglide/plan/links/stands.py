"""Stands: what is told of each: the sky round it, a budget, its best phases, when overhead."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from farglide.arrays import BoolArray
from farglide.chances.spells import stretches
from farglide.outlook.links import (
    HIDDEN_DEG,
    NEAR_M,
    OVERHEAD_DEG,
    BestStand,
    BudgetLine,
    HeardPoint,
    HeardStand,
    StandSky,
)
from farglide.radio.link import Link, noise_floor_dbm, threshold_dbm
from farglide.radio.path.space import free_space_loss_db
from farglide.rig.listening import Listening
from farglide.sortie.spec import Sortie

_LIFTED_S: Final = 120.0
"""Before that the balloon is behind the first hedge for all but the launch."""


def skies(sortie: Sortie, listening: Listening | None) -> tuple[StandSky, ...]:
    """Return the sky of each stand; none over flat ground, where nothing stands up.

    Angles over the level of the antenna, the earth's curve and the usual bending taken off, to
    within half a degree of azimuth and what the posts of the ground leave out. The first 300 m
    count as clear: the crew steps aside from a hedge.
    """
    if listening is None:
        return ()
    found = []
    for stand, ratio in zip(sortie.stands, listening.ears.steepest_ratio, strict=True):
        up_deg = np.degrees(np.arctan(ratio))
        if np.isnan(up_deg).all():
            continue
        step_deg = 360.0 / len(up_deg)
        k = int(np.nanargmax(up_deg))
        found.append(
            StandSky(
                stand=stand.name,
                highest_deg=float(up_deg[k]),
                highest_azimuth_deg=k * step_deg,
                hidden=sectors_deg(up_deg > HIDDEN_DEG, step_deg),
            )
        )
    return tuple(found)


def sectors_deg(is_high: BoolArray, step_deg: float) -> tuple[tuple[float, float], ...]:
    """Return the runs of azimuths that are high, from the first to the last of each, clockwise.

    >>> sectors_deg(np.array([True, False, True, True, False, True]), 60.0)
    ((120.0, 180.0), (300.0, 0.0))
    >>> sectors_deg(np.ones(4, bool), 90.0)
    ((0.0, 360.0),)
    """
    if is_high.all():
        return ((0.0, 360.0),)
    begins = np.flatnonzero(is_high & ~np.roll(is_high, 1))
    ends = np.flatnonzero(is_high & ~np.roll(is_high, -1))
    if len(ends) and ends[0] < begins[0]:
        ends = np.roll(ends, -1)
    return tuple(zip((begins * step_deg).tolist(), (ends * step_deg).tolist(), strict=True))


def budget_line(link: Link, stands: Sequence[HeardStand], at_s: float) -> BudgetLine | None:
    """Return the budget at a moment from the stand with most in hand then; None without stands."""
    if not stands:
        return None
    stand = max(stands, key=lambda one: one.nearest(at_s).p50)
    point, receiver = stand.nearest(at_s), link.receiver
    free_space_db = free_space_loss_db(link.frequency_hz, point.range_m)
    receiving_db = receiver.gain_dbi - receiver.loss_db
    received_dbm = threshold_dbm(link) + point.p50
    return BudgetLine(
        stand=stand.name,
        after_launch_s=point.after_launch_s,
        range_m=point.range_m,
        eirp_dbm=link.sender.eirp_dbm,
        free_space_db=free_space_db,
        receiving_db=receiving_db,
        else_db=received_dbm - (link.sender.eirp_dbm - free_space_db + receiving_db),
        received_dbm=received_dbm,
        floor_dbm=noise_floor_dbm(link) if receiver.noise_figure_db is not None else None,
        threshold_dbm=threshold_dbm(link),
        margin_db=point.p50,
    )


def best_stands(stands: Sequence[HeardStand], climb_end_s: float) -> tuple[BestStand, ...]:
    """Return the best stand of each phase of the planned flight: most in hand at its weakest.

    Whether it is manned by then is not asked: it says where a second receiver would help.
    """
    parts = {stand.name: _parts(stand, climb_end_s) for stand in stands}
    found = []
    for phase in ("climb", "release", "way home", "arrival"):
        least = {
            name: min(point.p50 for point in part[phase])
            for name, part in parts.items()
            if part[phase]
        }
        if least:
            name = max(least, key=least.__getitem__)
            found.append(BestStand(phase=phase, stand=name, margin_db=least[name]))
    return tuple(found)


def _parts(stand: HeardStand, climb_end_s: float) -> dict[str, list[HeardPoint]]:
    """Return the moments of each phase; without a way home there is no release."""
    points = stand.margin_db
    home = [point for point in points if point.after_launch_s > climb_end_s]
    return {
        "climb": [one for one in points if _LIFTED_S <= one.after_launch_s < climb_end_s],
        "release": [stand.nearest(climb_end_s)] if home else [],
        "way home": home[:-1],
        "arrival": home[-1:],
    }


def overhead_spans(points: Sequence[HeardPoint]) -> tuple[tuple[float, float], ...]:
    """Return the stretches, seconds after launch, from the first to the last such point."""
    high = [one.elevation_deg > OVERHEAD_DEG and one.range_m > NEAR_M for one in points]
    return tuple(
        (points[first].after_launch_s, points[past - 1].after_launch_s)
        for first, past in stretches(np.array(high, dtype=np.bool_))
    )
