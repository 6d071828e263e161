"""Listening: the links and stands of a sortie made ready to be asked along many flights."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.sweep import LONGEST_M
from farglide.atlas.terrain import Terrain, flat, height_amsl_m
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of
from farglide.errors import InputError
from farglide.rig.links import gear_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.hear.ears import Ears, Listeners, Waves, ears_of, waves_of
from farglide.sortie.roads import longer_s
from farglide.sortie.spec import SECOND_CREW, Sortie, StandSpec

NEEDED: Final = ("command", "picture")
"""Purposes without which a field is not open; a link for positions only tells where it is."""
LAUNCH: Final = "launch"
"""The name by which roads know the launch."""
AT_LAUNCH_M: Final = 1000.0
"""A stand so near to the launch needs no drive: the crew is set up there already."""
# A road is longer than the straight line, and slow: common practice, no source.
ROAD_RATIO: Final = 1.35
ROAD_MPS: Final = 50.0 / 3.6
FEWEST_DRAWS: Final = 40
_BEYOND_M: Final = 25_000.0
_LEAST_ABOVE_M: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Listening:
    """Stands and links as the kernels read them, and from when each stand is manned."""

    ears: Ears
    waves: Waves
    purposes: tuple[str, ...]  # of each link
    ready_s: FloatArray  # (n_stands,) after the launch, or (n_goals, n_stands)
    fewest_draws: int = FEWEST_DRAWS  # so few may stand for all where many goals are asked

    @property
    def listeners(self) -> Listeners:
        """Return stands and links together."""
        return Listeners(self.ears, self.waves)

    def rows(self, purpose: str) -> list[int]:
        """Return which links serve a purpose."""
        return [k for k, name in enumerate(self.purposes) if name == purpose]

    @property
    def needed(self) -> tuple[str, ...]:
        """Return the purposes that links are stated for, of those a field needs."""
        return tuple(name for name in NEEDED if name in self.purposes)


def listening_of(
    sortie: Sortie, terrain: Terrain | None, workers: Workers = in_one_go
) -> Listening | None:
    """Return what a sortie hears with; None without a link or without a stand.

    Without terrain the ground is flat, at the height of the lowest of fields and stands.
    """
    if not sortie.links or not sortie.stands:
        return None
    check_grounds(sortie, terrain)
    ground = terrain or flat(lowest_amsl_m(sortie))
    places = [mast_of(stand, terrain) for stand in sortie.stands]
    gear = [gear_of(spec) for spec in sortie.links]
    return Listening(
        ears=ears_of(places, ground, _reach_m(sortie), workers),
        waves=waves_of(
            [one.link for one in gear], [one.sd_db for one in gear], [one.pattern for one in gear]
        ),
        purposes=tuple(spec.purpose for spec in sortie.links),
        ready_s=np.array([ready_s(sortie, stand) for stand in sortie.stands]),
    )


def check_grounds(sortie: Sortie, terrain: Terrain | None) -> None:
    """Refuse a stand below which the terrain has no height: nobody could say what it sees."""
    for stand in sortie.stands if terrain is not None else ():
        lat_deg, lon_deg = np.array(stand.lat_deg), np.array(stand.lon_deg)
        if terrain is not None and np.isnan(float(height_amsl_m(terrain, lat_deg, lon_deg))):
            where = f"unknown at {stand.lat_deg:g}, {stand.lon_deg:g}°"
            remedy = "Take terrain that covers it, or fill the holes."
            raise InputError(f"ground at the stand {stand.name}", where, "known ground", remedy)


def mast_of(stand: StandSpec, terrain: Terrain | None) -> Place:
    """Return where a stand's antennas are; a height below the terrain's is lifted out of it."""
    amsl_m = stand.amsl_m
    if terrain is not None:
        ground = height_amsl_m(terrain, np.array(stand.lat_deg), np.array(stand.lon_deg))
        amsl_m = float(np.fmax(amsl_m, ground))
    above_m = max(stand.mast_m, _LEAST_ABOVE_M)
    return place_of(stand, amsl_m + above_m)


def drive_s(sortie: Sortie, stand: StandSpec) -> float:
    """Return how long the drive from the launch takes: as stated, else by the straight line.

    Infinite where the road is closed.
    """
    late_s = longer_s(sortie.roads, LAUNCH, stand.name)
    if stand.drive_s is not None:
        return stand.drive_s + late_s
    return road_s(place_of(sortie.launch, 0.0), place_of(stand, 0.0)) + late_s


def drive_between_s(sortie: Sortie, start: StandSpec, end: StandSpec) -> float:
    """Return how long the drive takes, as far as the file says; a guess by the straight line.

    From the launch it is as stated. Between other places the guess is no shorter than what two
    stated drives from the launch differ by: else one would go that way.
    """
    if start is end:
        return 0.0
    late_s = longer_s(sortie.roads, start.name, end.name)
    if drive_s(sortie, start) == 0.0 and end.drive_s is not None:
        return drive_s(sortie, end) + late_s
    stated_s = [one.drive_s for one in (start, end) if one.drive_s is not None]
    least_s = abs(stated_s[0] - stated_s[1]) if len(stated_s) == 2 else 0.0
    return max(road_s(place_of(start), place_of(end)), least_s) + late_s


def road_s(a: Place, b: Place) -> float:
    """Return a guess of the drive between two places: none within a kilometre."""
    away_m = geodesic(a, b).distance_m
    return 0.0 if away_m < AT_LAUNCH_M else ROAD_RATIO * away_m / ROAD_MPS


def ready_s(sortie: Sortie, stand: StandSpec) -> float:
    """Return from when after the launch a stand is manned, for a car that leaves at the launch.

    0 for one where a second crew waits.
    """
    if stand.crew == SECOND_CREW:
        return 0.0
    takes_s = drive_s(sortie, stand)
    return takes_s + sortie.set_up_s if takes_s > 0.0 else 0.0


def lowest_amsl_m(sortie: Sortie) -> float:
    """Return the height of the lowest of fields and stands, to be taken for flat ground."""
    return min([field.amsl_m for field in sortie.fields] + [one.amsl_m for one in sortie.stands])


def _reach_m(sortie: Sortie) -> float:
    """Return how far from a stand the ground is looked at: beyond the fields, and the drift."""
    places = [place_of(sortie.launch, 0.0), *(place_of(one, 0.0) for one in sortie.fields)]
    stands = [place_of(stand, 0.0) for stand in sortie.stands]
    farthest_m = max(geodesic(here, there).distance_m for here in stands for there in places)
    return min(farthest_m + _BEYOND_M, LONGEST_M)
