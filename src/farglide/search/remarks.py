"""Remarks: what a search rests on that is only guessed, and what nobody may forget out there."""

from collections.abc import Iterator
from typing import Final

from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble
from farglide.search.asked import Asked
from farglide.search.bearings import USUAL_SD_DEG, WRONG_RATIO, fits
from farglide.search.order import UNKNOWN_ROAD_M
from farglide.search.points import GroundPoints

_WIDE_M: Final = 5000.0
_FEW: Final = 30.0
_LITTLE: Final = 0.3

CAUTIONS: Final = (
    "Ask the owner before you enter any land; where nobody can be asked, look from the road.",
    "Keep away from power lines: a glider in the wires is the network operator's to fetch. Keep "
    "off railways.",
    "Water, gorges and cliffs: look from the edge. Nobody enters water for it.",
    "Go two together, with a lamp, a charged phone and the time to be back told to somebody. At "
    "dusk turn back: it is there tomorrow.",
    "Borders, hunting days, nature reserves and crops have rules of their own: local law, local "
    "rescue and the owner decide, not these numbers.",
)


def remarks(
    ensemble: Ensemble, terrain: Terrain | None, asked: Asked, points: GroundPoints
) -> tuple[str, ...]:
    """Return what is guessed or not known, in sentences."""
    return tuple(_remarks(ensemble, terrain, asked, points))


def _remarks(
    ensemble: Ensemble, terrain: Terrain | None, asked: Asked, points: GroundPoints
) -> Iterator[str]:
    sortie, glider = ensemble.sortie, ensemble.sortie.glider
    yield "The weights of the stories are a guess; change them where you saw more."
    measured = glider.hands_off_sink_eas_mps, glider.spiral_sink_eas_mps
    if None in measured:
        yield "No sink without hands was measured: those stories are missing."
    if terrain is None:
        yield "No heights of the ground are stated: it is taken as flat."
        if asked.heard:
            yield "Without them the height last heard says nothing: it was left out."
    if not any(one.kind == "road" for one in sortie.landmarks):
        yield f"No road is stated: a walk of {UNKNOWN_ROAD_M:.0f} m from the car is taken."
    yield (
        f"Where no field or barrier tells what grows, {asked.elsewhere.name} is taken, with a "
        f"sweep width of {asked.elsewhere.sweep_m:g} m (common practice)."
    )
    if asked.bearings:
        yield from _bearing_remarks(asked, points)
    if points.radius_m(0.9) > _WIDE_M:
        yield (
            "This is too wide to walk. A later position, a heading, or a bearing from the side "
            "saves more time than any look."
        )


def _bearing_remarks(asked: Asked, points: GroundPoints) -> Iterator[str]:
    if any(one.sd_deg == USUAL_SD_DEG for one in asked.bearings):
        yield f"Bearings are taken as known to {USUAL_SD_DEG:g} degrees, one deviation."
    for one in asked.bearings:
        held = float(points.weight[fits(one, points.lat_deg, points.lon_deg)].sum())
        if held < _LITTLE:
            yield (
                f"The bearing from {one.name} contradicts all else: true or magnetic, or the other "
                "way round? It is taken as an echo."
            )
    if points.n_effective < _FEW:
        yield (
            "Few draws fit the bearings: they contradict the last place or each other. Check true "
            f"against magnetic; one in {1.0 / WRONG_RATIO:.0f} is taken as an echo."
        )
