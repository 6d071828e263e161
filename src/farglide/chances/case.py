"""Case: one flight ready to be asked, drawn and error-free side by side."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_ensemble
from farglide.earth.state import Place, place_at, place_deg
from farglide.rig.listening import listening_of
from farglide.sim.core.step import Offset
from farglide.sim.core.tracks import tick_at
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

_FINE_PRICES: Final = (
    0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.5, 8.0, 10.0, 12.0, 14.0, 17.0, 20.0, 24.0, 28.0, 34.0,
    42.0, 60.0, 90.0, 150.0, 400.0, 30_000.0,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One flight in its air and over its ground: all its draws, and the one without errors."""

    drawn: Ensemble
    plain: Ensemble  # at fine prices of time
    terrain: Terrain | None = None  # None: flat

    @property
    def sortie(self) -> Sortie:
        """Return what was written."""
        return self.drawn.sortie


def case_of(sortie: Sortie, pack: Pack, grain: Grain, workers: Workers = in_one_go) -> Case:
    """Return the case of a sortie in the air and over the ground of a pack, with its links."""
    drawn = drawn_ensemble(sortie, pack.sounding, grain, workers)
    listening = listening_of(sortie, pack.terrain, workers)
    return with_plain(replace(drawn, listening=listening), pack.terrain)


def with_plain(drawn: Ensemble, terrain: Terrain | None = None) -> Case:
    """Return the case of these draws, the flight without errors computed beside them."""
    fine = replace(drawn.grain, prices_mps=_FINE_PRICES, slab=1)
    plain = plain_ensemble(drawn.sortie, drawn.air.sounding, fine)
    return Case(drawn=drawn, plain=replace(plain, listening=drawn.listening), terrain=terrain)


def without_tables(case: Case) -> Case:
    """Return the case without the reach tables of its draws, 118 MB of a plan with 1 000 draws.

    For when every door of it is asked: asking once more is refused.
    """
    reach = case.drawn.reach
    reaches = reach.reaches
    free, priced = (
        one._replace(made_m=one.made_m[:0].copy()) for one in (reaches.free, reaches.priced)
    )
    empty = replace(reach, reaches=reaches._replace(free=free, priced=priced))
    return replace(case, drawn=replace(case.drawn, reach=empty))


def with_few_draws(case: Case, n_draws: int) -> Case:
    """Return the case with the first of its draws alone, their tables summed anew."""
    drawn = case.drawn
    grain = replace(drawn.grain, n_draws=min(n_draws, drawn.grain.n_draws))
    few = drawn_ensemble(drawn.sortie, drawn.air.sounding, grain, drawn.workers)
    return replace(case, drawn=replace(few, listening=drawn.listening))


def moment_at(ensemble: Ensemble, after_launch_s: float) -> int:
    """Return the index of a time on the climb's clock, stepped back to where a balloon flies."""
    tracks = ensemble.climbs.tracks
    moment = tick_at(tracks, after_launch_s)
    while moment > 0 and np.isnan(tracks.amsl_m[:, moment]).all():
        moment -= 1
    return moment


def median_drift(ensemble: Ensemble, until_s: float) -> tuple[tuple[float, float], ...]:
    """Return where the median balloon is at every step until a moment."""
    tracks, launch = ensemble.climbs.tracks, ensemble.sortie.launch
    steps = slice(0, tick_at(tracks, until_s) + 1)
    middle = (np.nanmedian(one[:, steps], axis=0) for one in (tracks.north_rad, tracks.east_rad))
    return tuple(place_deg(launch, north, east) for north, east in zip(*middle, strict=True))


def median_place(ensemble: Ensemble, after_launch_s: float) -> Place:
    """Return over which place the median balloon is at a moment."""
    offset = median_offset(ensemble, tick_at(ensemble.climbs.tracks, after_launch_s))
    return place_at(ensemble.sortie.launch, *offset, 0.0)


def median_offset(ensemble: Ensemble, moment: int) -> Offset:
    """Return radians north and east of the launch to the median balloon at a moment."""
    tracks = ensemble.climbs.tracks
    north, east = (np.nanmedian(one[:, moment]) for one in (tracks.north_rad, tracks.east_rad))
    return Offset(float(north), float(east))
