"""Stands after the release: where the car hears the glider on, how low, and by when it is there."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.earth.look import look
from farglide.earth.state import Place, place_of
from farglide.live.asked.heard import heard_of
from farglide.live.asked.stands import drive_to_s
from farglide.live.loosened.flight import LooseFlight
from farglide.outlook.after import LinkEnd, Stage
from farglide.outlook.askedafter import ParkAfter, StandAfter
from farglide.outlook.askedcar import StandNow
from farglide.rig.listening import mast_of, road_s
from farglide.sim.fly.passage import Passage
from farglide.sortie.spec import StandSpec

CIRCUIT_M: Final = 300.0
"""From here down a glider lands straight on without a picture; common practice, no source."""
_GAIN_M: Final = 200.0
"""For less height with a picture nobody leaves a glider unseen; common practice, no source."""
_HALF_RATIO: Final = 0.5
_DEAF_RATIO: Final = 0.2
"""Of the way left; common practice, no source."""
_AT_ONCE: Final = (Stage.TIED_ON, Stage.DROPPED)
"""Now somebody has to send or to steer: nobody leaves."""
_NEVER_M: Final = 3000.0


class _Links(NamedTuple):
    """Which links hold along the way, at each stand: (n_stands, n_points) for each purpose."""

    path: Passage
    holds: dict[str, BoolArray]


def park_after(asked: LooseFlight) -> ParkAfter:
    """Return where the car should be until it has landed, the stand to be at first."""
    lands, way = _lands(asked), asked.way
    links = _links(asked)
    found = [_stand(asked, s, one, links) for s, one in enumerate(asked.sortie.stands)]
    car = asked.told.car or place_of(asked.launch, 0.0)
    return ParkAfter(
        after_launch_s=asked.now_s,
        field="" if asked.after.steer is None else asked.after.steer.field,
        lat_deg=None if lands is None else lands.lat_deg,
        lon_deg=None if lands is None else lands.lon_deg,
        over_after_launch_s=None if way is None else way.over_s,
        down_after_launch_s=_down_s(asked),
        drive_s=None if lands is None else road_s(car, lands),
        car=_car_words(asked, found),
        set_up_s=asked.sortie.set_up_s,
        stands=tuple(ordered(found, asked.advice.stage in _AT_ONCE)),
    )


def ordered(found: list[StandAfter], stays: bool = False) -> list[StandAfter]:
    """Return stands, the one to be at first: where the car is, if no other is worth the drive.

    A drive leaves the glider unseen. It is worth that where a stand that is set up in time hears
    half of the way left and sees the glider much lower over the field, and the present one not down
    to the circuit; or where the present one hears hardly any of the way. `stays`: nobody leaves.
    """
    best = sorted(found, key=lambda one: (not one.is_in_time, _lost_m(one), -_heard(one)))
    here = [one for one in best if one.drive_s == 0.0]
    if not here:
        return best
    stay = min(here, key=lambda one: (_lost_m(one), -_heard(one)))
    first = best[0]
    lower = _lost_m(stay) > CIRCUIT_M and _lost_m(first) <= _lost_m(stay) - _GAIN_M
    leaves = lower and _heard(first) >= _HALF_RATIO
    deaf = _heard(stay) < _DEAF_RATIO and _heard(first) > _heard(stay) + _DEAF_RATIO
    if first.is_in_time and not stays and (leaves or deaf):
        return best
    return [stay, *(one for one in best if one is not stay)]


def stand_heard(asked: LooseFlight) -> StandNow | None:
    """Return what the car's stand hears of the glider now, else the one that hears best."""
    sortie, ensemble = asked.sortie, asked.drawn
    if ensemble.listening is None:
        return None
    at = asked.level._replace(amsl_m=asked.place.amsl_m)
    rows = (np.array([one]) for one in at[1:])
    margins = asked.margins_db(*rows)[:, :, 0]
    takes_s = [drive_to_s(asked.climbed, one) for one in sortie.stands]
    there = [s for s, one in enumerate(takes_s) if one == 0.0] or list(range(len(takes_s)))
    s = max(there, key=lambda one: float(margins[one].max()))
    stand = sortie.stands[s]
    seen = look(mast_of(stand, asked.terrain), asked.place)
    return StandNow(
        name=stand.name,
        drive_s=takes_s[s],
        ready_after_launch_s=asked.now_s + takes_s[s],
        set_off_after_launch_s=None,
        azimuth_deg=seen.azimuth_deg,
        elevation_deg=seen.elevation_deg,
        range_m=seen.range_m,
        overhead_deg=seen.elevation_deg,
        links=tuple(heard_of(one, float(margins[s, k])) for k, one in enumerate(sortie.links)),
        lost_agl_m=_over_field_m(asked, stand),
        holds_ratio=(),
        is_in_time=True,
        nose_deg=stand.nose_deg,
    )


def _stand(asked: LooseFlight, s: int, stand: StandSpec, links: _Links | None) -> StandAfter:
    takes_s, way = drive_to_s(asked.climbed, stand), asked.way
    is_there = takes_s == 0.0
    needs_s = 0.0 if is_there else takes_s + asked.sortie.set_up_s
    over_s = _down_s(asked) if way is None else way.over_s
    off_s = None if is_there or over_s is None else over_s - needs_s
    return StandAfter(
        name=stand.name,
        drive_s=takes_s,
        ready_after_launch_s=asked.now_s + needs_s,
        set_off_after_launch_s=off_s,
        is_in_time=off_s is None or asked.now_s <= off_s,
        heard_ratio=None if links is None else _heard_ratio(links, s, asked.now_s + needs_s),
        links=() if links is None else _ends(links, s, stand, asked.now_s + needs_s),
        lost_agl_m=_over_field_m(asked, stand),
    )


def _links(asked: LooseFlight) -> _Links | None:
    """Return which links hold on the way as advised; None without a way or without links."""
    listening, way = asked.drawn.listening, asked.way
    if listening is None or way is None or not listening.needed:
        return None
    path = way.passage
    margins = asked.margins_db(path.amsl_m, path.north_rad, path.east_rad)
    holds = {name: margins[:, listening.rows(name)].max(axis=1) >= 0.0 for name in listening.needed}
    return _Links(path, holds)


def _heard_ratio(links: _Links, s: int, ready_s: float) -> float:
    """Return the share of the time on the way with all links that a field needs."""
    t_s = links.path.after_s
    both = np.logical_and.reduce([one[s] for one in links.holds.values()])
    lasts_s: FloatArray = np.diff(t_s)
    heard = both[:-1] & (t_s[:-1] >= ready_s - 1e-6)
    total_s = float(lasts_s.sum())
    return float(lasts_s[heard].sum()) / total_s if total_s > 0.0 else 1.0


def _ends(links: _Links, s: int, stand: StandSpec, ready_s: float) -> tuple[LinkEnd, ...]:
    path, found = links.path, []
    for purpose, holds in links.holds.items():
        gone = np.flatnonzero(~holds[s] & (path.after_s >= ready_s - 1e-6))
        k = int(gone[0]) if len(gone) else None
        found.append(
            LinkEnd(
                purpose=purpose,
                stand=stand.name,
                after_launch_s=None if k is None else float(path.after_s[k]),
                amsl_m=None if k is None else float(path.amsl_m[k]),
            )
        )
    return tuple(found)


def _over_field_m(asked: LooseFlight, stand: StandSpec) -> float | None:
    """Return down to which height over the field steered for a stand has a picture."""
    landing = asked.landing
    return None if landing is None else dict(landing.lost_picture).get(stand.name)


def _lands(asked: LooseFlight) -> Place | None:
    """Return where it comes down: on its field, else where the likeliest story has it."""
    if asked.aim is not None:
        return place_of(asked.sortie.fields[asked.aim], 0.0)
    if asked.advice.stage is Stage.DOWN:
        return asked.place
    first = next(iter(asked.after.comes_down), None)
    if first is None:
        return None
    return Place(lat_deg=first.lat_deg, lon_deg=first.lon_deg, amsl_m=0.0)


def _down_s(asked: LooseFlight) -> float | None:
    if asked.way is not None:
        return asked.way.down_s
    first = next(iter(asked.after.comes_down), None)
    return None if first is None else first.down_after_launch_s


def _car_words(asked: LooseFlight, found: list[StandAfter]) -> str:
    if asked.told.car is None:
        return "at the launch, as nobody told where it is"
    there = [one for one in asked.sortie.stands if drive_to_s(asked.climbed, one) == 0.0]
    return f"at {there[0].name}" if there else "on the road"


def _lost_m(one: StandAfter) -> float:
    return _NEVER_M if one.lost_agl_m is None else one.lost_agl_m


def _heard(one: StandAfter) -> float:
    return 0.0 if one.heard_ratio is None else one.heard_ratio
