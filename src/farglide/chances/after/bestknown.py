"""Best known: the one flight without errors, in the winds as the climb has made them known."""

from dataclasses import replace
from typing import Final

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.chances.informed import Informed
from farglide.chances.making import Given, reach_of
from farglide.rig.doubts import doubts_of
from farglide.rig.homeline import middle_tracks
from farglide.sim.core.draws import undisturbed
from farglide.sim.core.workers import in_one_go

PRICES_MPS: Final = (
    0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.5, 8.0, 10.0, 12.0, 14.0, 17.0, 20.0, 24.0, 28.0, 34.0,
    42.0, 60.0, 90.0, 150.0, 400.0, 30_000.0,
)  # fmt: skip


def best_known(known: Informed) -> Ensemble:
    """Return the flight without errors in the air that is expected on the way home now.

    Its layers carry the mean of what was learnt; its climbs are those of the draws, and asked
    nothing. What it tells a crew is the middle of what the draws do.
    """
    ensemble = known.ensemble
    air, layers = ensemble.air, ensemble.air.column.layers
    off = known.air.home.mean_mps
    layers = layers._replace(
        u_mps=np.ascontiguousarray(layers.u_mps + off[None, :, 0]),
        v_mps=np.ascontiguousarray(layers.v_mps + off[None, :, 1]),
    )
    scene = air.scene._replace(layers=layers)
    air = replace(air, column=replace(air.column, layers=layers), scene=scene)
    grain = replace(ensemble.grain, prices_mps=PRICES_MPS, slab=1)
    given = Given(ensemble.sortie, air, grain, in_one_go)
    draws = undisturbed(doubts_of(ensemble.sortie, air.column, grain), len(layers.p_pa))
    reach = reach_of(given, ensemble.craft, draws, middle_tracks(ensemble.climbs.tracks))
    return replace(ensemble, air=air, grain=grain, draws=draws, reach=reach, workers=in_one_go)
