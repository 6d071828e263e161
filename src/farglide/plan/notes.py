"""Notes: what a reader of the plan must know about its inputs and limits."""

import math
from typing import Final

import numpy as np

from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble
from farglide.plan.sortienotes import sortie_notes
from farglide.rig.winds import wind_words
from farglide.sim.core.losses import LOSS_STEP_M
from farglide.sim.core.wind import mean_wind
from farglide.sortie.known import Tag
from farglide.sortie.pack import Pack
from farglide.sortie.words import chance_words

_NEAR_GROUND_M: Final = 50.0
_TOLD_UP_TO_M: Final = 30_000.0
"""Above, Mach numbers of pull-outs are not worth a note: few balloons get there."""


def plan_notes(ensemble: Ensemble, pack: Pack) -> tuple[str, ...]:
    """Return what was assumed about the air, and the limits that the plan ran into."""
    found = [*pack.sounding.notes, wind_words(ensemble.sortie, pack.sounding)]
    is_payload = ensemble.sortie.payload is not None  # which nobody releases
    ceiling_m = ensemble.craft.ceiling_amsl_m
    if math.isfinite(ceiling_m) and not is_payload:
        found.append(
            f"above {ceiling_m / 1000.0:.1f} km no speed fits between the stall and the "
            "Mach limit: releases there count as shut"
        )
    if ensemble.listening is not None:
        found += _ground_notes(pack.terrain)
    found += [] if is_payload else _pullout_notes(ensemble)
    return (*found, *_climb_notes(ensemble), *sortie_notes(ensemble.sortie))


def _ground_notes(terrain: Terrain | None) -> list[str]:
    """Return what the links do not know of the ground."""
    if terrain is None:
        return [
            "flat ground assumed under the links, as no [terrain] is stated: hills do not count"
        ]
    missing_ratio = float(np.isnan(terrain.heights_amsl_m).mean())
    if missing_ratio == 0.0:
        return []
    share = f"{100.0 * missing_ratio:.0f} %" if missing_ratio >= 0.01 else "less than 1 %"
    return [
        f"the [terrain] has no height at {share} of its posts: there nothing counts as in the way "
        "of the links; over land, take files without gaps"
    ]


def _pullout_notes(ensemble: Ensemble) -> list[str]:
    limits, peaks, found = ensemble.craft.limits, ensemble.craft.peaks, []
    n_told = int(_TOLD_UP_TO_M / LOSS_STEP_M) + 1
    eas, mach = float(np.nanmax(peaks.eas_mps)), float(np.nanmax(peaks.mach[:n_told]))
    if np.isnan(ensemble.reach.losses.lost_m).any():
        found.append(
            "from some heights the drop never gets fast enough to pull out, or never comes level: "
            "releases there count as shut: look at the speed of the pull-out (pull_eas) and the "
            "drag of the drop (drop_drag)"
        )
    if eas > limits.top_eas_mps:
        counts = ensemble.sortie.tags.get("glider.top_eas_mps") != Tag.GUESS
        end = (
            "such releases count as shut"
            if counts
            else "state the top airspeed (top_eas) to have that held"
        )
        found.append(
            f"the pull-out reaches {eas:.0f} m/s EAS, above the top speed of "
            f"{limits.top_eas_mps:.0f} m/s: {end}"
        )
    if mach > limits.top_mach:
        found.append(
            f"pull-outs up to {_TOLD_UP_TO_M / 1e3:.0f} km reach Mach {mach:.3f}, above the limit "
            f"of {limits.top_mach:.3f}: such releases count as shut"
        )
    return found


def _climb_notes(ensemble: Ensemble) -> list[str]:
    never, found = np.isnan(ensemble.climbs.burst.after_launch_s), []
    tops_m = np.nanmax(ensemble.climbs.tracks.amsl_m, axis=1)
    share = float(never.mean())
    if share > 0.02:
        low = float((tops_m[never] < ensemble.air.column.edges_amsl_m[-1] - 1000.0).mean())
        how = "top out and sink" if low > 0.5 else "leave the air of this plan still climbing"
        found.append(f"{chance_words(share)} of the drawn balloons never burst: most {how}")
    start_m = ensemble.sortie.launch.amsl_m
    stuck = float((tops_m < start_m + 100.0).mean())
    if stuck > 0.02:
        found.append(f"{chance_words(stuck)} of the drawn balloons do not lift off")
    below_m = ensemble.air.column.below_amsl_m
    if below_m > start_m + 500.0:
        found.append(f"below {below_m / 1000.0:.1f} km the lowest wind of the sounding is held")
    return found


def ground_wind_mps(ensemble: Ensemble) -> float:
    """Return the wind speed just above the launch."""
    wind = mean_wind(ensemble.air.scene, ensemble.sortie.launch.amsl_m + _NEAR_GROUND_M)
    return float(np.hypot(wind.u_mps, wind.v_mps))
