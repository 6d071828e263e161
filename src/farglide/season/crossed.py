"""Crossed: over which borders and no-landing areas a climb passes, and with what chance."""

from typing import Final

import numpy as np

from farglide.atlas.outline import contains
from farglide.outlook.season import Crossed
from farglide.season.flown import Asked

_KINDS: Final = ("border", "no landing")
_N_DRAWS: Final = 100
_EVERY_S: Final = 60.0
_LEAST_RATIO: Final = 0.02


def crossed_by(asked: Asked, until_s: float) -> tuple[Crossed, ...]:
    """Return what the balloon passes over by a moment, as far as its own burst lets it.

    The likeliest first; what fewer than 1 in 50 do is left out.
    """
    barriers = [one for one in asked.ensemble.sortie.barriers if one.kind in _KINDS]
    if not barriers:
        return ()
    tracks = asked.ensemble.climbs.tracks
    step = max(round(_EVERY_S / tracks.step_s), 1)
    columns = slice(0, int(until_s / tracks.step_s) + 1, step)
    lat_deg = asked.spot.lat_deg + np.degrees(tracks.north_rad[:_N_DRAWS, columns])
    lon_deg = asked.spot.lon_deg + np.degrees(tracks.east_rad[:_N_DRAWS, columns])
    is_aloft = np.isfinite(lat_deg)
    lat_deg, lon_deg = (np.where(is_aloft, one, 0.0) for one in (lat_deg, lon_deg))
    found = []
    for one in barriers:
        inside = contains(one.outline, lat_deg.ravel(), lon_deg.ravel()).reshape(lat_deg.shape)
        ratio = float((inside & is_aloft).any(axis=1).mean())
        if ratio >= _LEAST_RATIO:
            found.append(Crossed(name=one.name, kind=one.kind, chance_ratio=ratio))
    return tuple(sorted(found, key=lambda one: -one.chance_ratio))
