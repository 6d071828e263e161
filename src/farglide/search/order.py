"""Order: which segment to look at next, for how long, until when, and when to turn back."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.atlas.outline import LatLon
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.errors import InputError, check_range
from farglide.search.detection import Look, best_seconds, coverage_ratio, random_pod
from farglide.search.pieces import Piece

WALK_MPS: Final = 1.0  # over rough ground: common practice, no source
DETOUR_RATIO: Final = 1.35  # of a way over a straight line: common practice, no source
DRIVE_MPS: Final = 50.0 / 3.6  # on small roads, stops included: common practice, no source
UNKNOWN_ROAD_M: Final = 1000.0
"""Walk from where the car can get to, where no road is known: a guess."""
RESERVE_S: Final = 900.0  # of light kept for the way back: common practice, no source
LEAST_LOOK_S: Final = 300.0
_LEAST_COVERAGE: Final = 0.5
_MOST_STEPS: Final = 12
_LEAST_GAIN: Final = 0.002


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """Who looks: where they are, from when (UTC), how many, until when at the latest."""

    place: Place
    t_s: float
    n_people: int = 2
    back_by_t_s: float | None = None

    def __post_init__(self) -> None:
        if not math.isfinite(self.t_s):
            raise InputError("t_s of the party", self.t_s, "a finite time, UTC seconds")
        check_range("people who look", self.n_people, "", (1, 50))


class Step(NamedTuple):
    """One segment looked at: the way there, from when, how long, and what that may find.

    `pod`: chance of finding it there if it is there; `gain`: of finding it in this step;
    `found`: of having found it by its end.
    """

    name: str
    way_s: float
    walk_m: float
    begin_t_s: float
    look_s: float
    coverage: float
    pod: float
    gain: float
    found: float


class Stop(NamedTuple):
    """When to be back at the car, what ends it, and whether it is too late already."""

    turn_t_s: float
    why: str
    is_late: bool


class _At(NamedTuple):
    """Where the party is: in a segment or at the car, and what is left of the chances."""

    place: LatLon
    road_m: float  # back to the car
    t_s: float


def stop_of(party: Party, dusk_t_s: float | None) -> Stop:
    """Return when to be at the car: by dusk or the time given, a quarter of an hour in hand."""
    told = ((dusk_t_s, "dusk"), (party.back_by_t_s, "the time you gave"))
    ends = [(t_s, why) for t_s, why in told if t_s is not None]
    if not ends:
        return Stop(math.inf, "", False)
    t_s, why = min(ends)
    turn_t_s = t_s - RESERVE_S
    return Stop(turn_t_s, why, party.t_s + LEAST_LOOK_S > turn_t_s)


def order_of(pieces: Sequence[Piece], party: Party, stop: Stop) -> tuple[Step, ...]:
    """Return in which order to look: always next where the chance of finding it per minute is best.

    The way there counts, on foot or back to the car and round by road, and so does the way back
    before the turning time. In each segment one looks as long as that chance per minute grows, and
    on while no other is worth more; what was looked at in vain may come again.
    """
    left = [one.poc for one in pieces]
    at = _At((party.place.lat_deg, party.place.lon_deg), 0.0, party.t_s)
    steps, found = list[Step](), 0.0
    while pieces and len(steps) < _MOST_STEPS:
        options = [_option(one, left[k], at, party, stop) for k, one in enumerate(pieces)]
        k = int(np.argmax([-1.0 if one is None else _per_second(one) for one in options]))
        best = options[k]
        if best is None or best.gain < _LEAST_GAIN:
            break
        found += best.gain
        left[k] *= 1.0 - best.pod
        best = best._replace(found=found)
        if steps and steps[-1].name == best.name:
            best = _gone_on(steps.pop(), best)
        steps.append(best)
        at = _At(pieces[k].middle, _back_m(pieces[k]), best.begin_t_s + best.look_s)
    return tuple(steps)


def _gone_on(step: Step, more: Step) -> Step:
    """Return a look that goes on where it would have ended, since nothing else is worth more."""
    return step._replace(
        look_s=step.look_s + more.look_s, coverage=step.coverage + more.coverage,
        pod=1.0 - (1.0 - step.pod) * (1.0 - more.pod), gain=step.gain + more.gain,
        found=more.found,
    )  # fmt: skip


def pod_of(piece: Piece, seconds: float, n_people: int) -> float:
    """Return the chance of finding it in a segment after so long, if it is there."""
    speed_mps = piece.cover.speed_mps * n_people
    return random_pod(coverage_ratio(Look(piece.cover.sweep_m, speed_mps, seconds, piece.area_m2)))


def _per_second(step: Step) -> float:
    return step.gain / (step.way_s + step.look_s)


def _option(piece: Piece, left: float, at: _At, party: Party, stop: Stop) -> Step | None:
    """Return one segment as the next step; None where the time or the ground does not let one."""
    if not piece.cover.is_walked or left <= 0.0:
        return None
    way_s, walk_m = way_to(piece, at.place, at.road_m)
    rate_ps = piece.cover.sweep_m * piece.cover.speed_mps * party.n_people / piece.area_m2
    begin_t_s = at.t_s + way_s
    look_s = max(best_seconds(max(way_s, 1.0), rate_ps), _LEAST_COVERAGE / rate_ps)
    look_s = min(look_s, stop.turn_t_s - _back_m(piece) * DETOUR_RATIO / WALK_MPS - begin_t_s)
    if look_s < LEAST_LOOK_S and look_s * rate_ps < _LEAST_COVERAGE:
        return None
    pod = pod_of(piece, look_s, party.n_people)
    return Step(
        piece.name, way_s, walk_m, begin_t_s, look_s, look_s * rate_ps, pod, left * pod, 0.0
    )


def way_to(piece: Piece, place: LatLon, road_m: float) -> tuple[float, float]:
    """Return how long the way to a segment takes and how much of it is walked.

    The shorter of the walk straight there, and the walk back to the car, `road_m`, the drive and
    the walk in. Ways are 1.35 times the straight line.
    """
    here, there = (Place(lat_deg=a, lon_deg=b, amsl_m=0.0) for a, b in (place, piece.entry))
    away_m = DETOUR_RATIO * geodesic(here, there).distance_m
    on_foot_m = DETOUR_RATIO * (road_m + _back_m(piece))
    by_car_s = on_foot_m / WALK_MPS + away_m / DRIVE_MPS
    if away_m / WALK_MPS <= by_car_s:
        return away_m / WALK_MPS, away_m
    return by_car_s, on_foot_m


def _back_m(piece: Piece) -> float:
    """Return how far it is from a segment to where the car can be."""
    return piece.road_m if math.isfinite(piece.road_m) else UNKNOWN_ROAD_M
