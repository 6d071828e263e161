"""Story laws: the draws of a flight as the filter moves its particles by them."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.terrain import Terrain, flat
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import HANDS_OFF, SPIN, SPIRAL, glider_falls, tangled
from farglide.rig.gear import goals_of
from farglide.sim.core.release import Goals, goals_at
from farglide.sim.core.scene import Swarm
from farglide.sim.fly.descend import Sinks
from farglide.sim.fly.particles import CARRIED, FLOATING, Floats, Movers, Noise
from farglide.sim.reach.drawnglider import sinks_mps
from farglide.track.filter.noise import NOISE
from farglide.track.filter.particles import Hearing, Laws

_FIRM_RATIO: Final = 2.5
"""A firm spiral sinks so much faster than a glide where nobody timed it: a guess, no source."""
_SPUN_RATIO: Final = 6.0
"""And a spin so much: 8 where all three were timed; a guess, no source."""
_UNTIMED_RATIO: Final = 0.4
"""And so far, as one deviation, each may be off."""

_LEAKS_RATIO: Final = 0.7
"""Latex has no height at which it floats: so many that climb no more leak; a guess, no source."""
_LEAK_MPS: Final = 0.107
"""After a second it sinks so fast, and from there as the root of the time: what leaks evenly lacks
lift in proportion to that, and the square of its speed goes with its lift. Source: a leak from T+38
that tops out at 24.6 km: 300 m lower after 260 s, 18.1 km high after 2070 s, on the ground after
5130 s; this law says 300 m, 17.9 km and 5000 s."""
_LEAK_SPREAD: Final = 0.5
_AGES_S: Final = 3.0 * 3600.0
"""A film that stays up without a leak lasts so long in the mean; a guess, no source."""
_IRRATIONAL: Final = (0.6180339887498949, 0.41421356237309515)
"""Multiples of these, less whole ones, lie evenly, and apart from each other."""
_UNTOLD_RATIO: Final = 0.6
"""So much of the winds' spread comes to what is told, on the way up. Without it 181 climbs of open
soundings (``bench/replays/carried``) came inside the circle of nine in ten 0.76 of the time, five
minutes unheard: as if winds were 1.27 times as wide, a share of 0.8. With that 0.92 to 0.95 did,
with 0.6 0.87 to 0.95. Chosen and tried on the same climbs: no others are at hand."""


def laws_of(ensemble: Ensemble, terrain: Terrain | None = None) -> Laws:
    """Return by what the stories of a flight move, each draw in its own air, as the plan has it.

    The ground is that of the first field, or of the launch, where the terrain does not tell. A sink
    left to itself that nobody has timed is guessed of that of the best glide.
    """
    sortie, draws, reach = ensemble.sortie, ensemble.draws, ensemble.reach
    falls = story_sinks(ensemble)
    ground_m = (sortie.fields[0] if sortie.fields else sortie.launch).amsl_m
    movers = Movers(
        scene=ensemble.air.scene,
        swarm=draws.swarm,
        tracks=ensemble.climbs.tracks,
        burst_s=ensemble.climbs.burst.after_launch_s,
        sink_eas_mps=np.array([one.eas_mps for one in falls]),
        thin_exponent=np.array([one.thin_exponent for one in falls]),
        polar=ensemble.craft.polar,
        speeds=reach.reaches.speeds,
        glide_factor=draws.glide_factor,
        goals=_goals(ensemble),
        ground=(terrain or flat(ground_m)).posts,
        flat_amsl_m=ground_m,
        noise=_noise(draws.swarm),
        floats=_floats(ensemble),
    )
    hearing = _hearing(ensemble)
    return Laws(movers, ensemble.released, hearing, sortie.launch.t_s, ensemble.grain.seed)


def _goals(ensemble: Ensemble) -> Goals:
    """Return the fields; the launch where none is stated: a glider makes for somewhere."""
    sortie = ensemble.sortie
    if sortie.fields:
        return goals_of(sortie, sortie.fields)
    return goals_at(np.zeros(1), np.zeros(1), np.array([sortie.launch.amsl_m]), 300.0)


def story_sinks(ensemble: Ensemble) -> list[Sinks]:
    """Return the sinks hands off, in a spiral, in a spin and tangled, the untimed ones guessed."""
    timed = {one.what: one.sinks for one in glider_falls(ensemble)}
    guessed = _guessed(ensemble)
    gentle = timed.get(HANDS_OFF, guessed)
    firm = timed.get(SPIRAL, guessed._replace(eas_mps=_FIRM_RATIO * guessed.eas_mps))
    spun = timed.get(SPIN, guessed._replace(eas_mps=_SPUN_RATIO * guessed.eas_mps))
    return [gentle, firm, spun, tangled(ensemble).sinks]


def _guessed(ensemble: Ensemble) -> Sinks:
    """Return the sink of the best glide near the ground, with a wide doubt."""
    craft, draws = ensemble.craft, ensemble.draws
    layers = ensemble.air.scene.layers
    low_mps = sinks_mps(layers, craft.polar, craft.best_eas_mps)[0] / layers.tas_per_eas[0]
    spread: FloatArray = np.exp(_UNTIMED_RATIO * draws.story_normal[:, 0])
    eas_mps = low_mps / draws.glide_factor * spread
    return Sinks(np.asarray(eas_mps), np.zeros(len(eas_mps)), 1.0)


def _floats(ensemble: Ensemble) -> Floats:
    """Return how each draw's balloon ends that climbs no more: most leak, the others stay up long.

    What leaks shrinks, and never bursts; what stays up ages, and may burst at any moment. Their
    time begins where the climbs go on from.
    """
    n, tracks = len(ensemble.draws.glide_factor), ensemble.climbs.tracks
    known = np.isfinite(tracks.amsl_m).any(axis=0)
    from_s = tracks.step_s * float(np.argmax(known))
    evenly, other = ((np.arange(n) + 0.5) * x % 1.0 for x in _IRRATIONAL)
    leaks = evenly < _LEAKS_RATIO
    spread = np.exp(_LEAK_SPREAD * ensemble.draws.story_normal[:, 1])
    leak = np.where(leaks, (_LEAK_MPS * spread) ** 2, 0.0)
    burst_s = np.where(leaks, np.nan, from_s - _AGES_S * np.log(1.0 - other))
    return Floats(leak, burst_s)


def _noise(swarm: Swarm) -> Noise:
    """Return how far speeds may be off, of what hangs on a balloon by what its winds are doubted.

    On the way up nothing tells of the wind ahead but the draws, and real ones miss by more.
    """
    spread_mps = np.hypot(swarm.out_east_mps.std(axis=0), swarm.out_north_mps.std(axis=0))
    level_mps = NOISE.level_mps.copy()
    hung = [CARRIED, FLOATING]
    widest = _UNTOLD_RATIO * float(np.sqrt(0.5 * (spread_mps**2).mean()))
    level_mps[hung] = np.maximum(level_mps[hung], widest)
    return NOISE._replace(level_mps=level_mps)


def _hearing(ensemble: Ensemble) -> Hearing | None:
    listening = ensemble.listening
    if listening is None:
        return None
    pictures = listening.rows("picture")
    picture = pictures[0] if pictures else None
    is_digital = picture is not None and ensemble.sortie.links[picture].is_digital
    return Hearing(listening.listeners, picture, is_digital)
