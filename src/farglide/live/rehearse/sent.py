"""Sent: what the receivers of a rehearsal tell, with their noise, their gaps and their faults."""

from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.state import place_deg
from farglide.live.rehearse.digits import digits_of
from farglide.live.rehearse.sentences import Told, no_fix, sentences
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.trace import Trace, Where
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Offset, apart_m
from farglide.sortie.spec import Launch
from farglide.track.reports import Raw

TRACKER: Final = "tracker"
CAR: Final = "car"
EVERY_S: Final = 2.0
BEGINS_S: Final = -60.0
"""Both are heard from a minute before the launch on."""
_SIDE_SD_M: Final = 2.5
_UP_SD_M: Final = 5.0
_HANGS_S: Final = 60.0
"""Errors of a receiver under open sky, and over how long they hang together: common practice."""
_LOST_SD: Final = -2.0537
"""Of the messages one in fifty never arrives: common practice, no source."""
_FOOT_M: Final = 0.3048


class Ground(NamedTuple):
    """The frame in which offsets count."""

    launch: Launch
    scene: Scene


class Receiver:
    """One receiver: its noise is drawn by seed and number, so that each run is the same."""

    def __init__(self, feed: str, ground: Ground, seed: int) -> None:
        self.feed = feed
        self._ground, self._seed = ground, seed
        self._off_m = self._normals(0)[:3]
        self._number = 0

    def tell(self, t_s: float, path: Trace, changes: Changes) -> Raw | None:
        """Return what comes of it at a moment after the launch; None where nothing does.

        To be asked each `EVERY_S`, from `BEGINS_S` on.
        """
        self._number += 1
        normals = self._normals(self._number)
        kept = np.exp(-EVERY_S / _HANGS_S)
        self._off_m = kept * self._off_m + np.sqrt(1.0 - kept**2) * normals[:3]
        here = path.at(t_s)
        silent = changes.silent_from_s <= t_s < changes.silent_to_s or is_read_off(t_s, changes)
        if silent or normals[3] < _LOST_SD:
            return None
        utc_s = self._ground.launch.t_s + t_s
        stops_m = changes.stops_above_m
        if stops_m is not None and here.amsl_m > stops_m:
            return self._raw(t_s, no_fix(utc_s + changes.clock_off_s))
        told = self._told(t_s, here, path.at(t_s - EVERY_S))
        return self._raw(t_s, sentences(_faulty(told, changes)))

    def shown(self, t_s: float, path: Trace) -> str:
        """Return the digits that stand in the picture at a moment that it was asked for."""
        return digits_of(self._told(t_s, path.at(t_s), path.at(t_s - EVERY_S)))

    def _told(self, t_s: float, here: Where, before: Where) -> Told:
        launch, scene = self._ground
        then, now = (Offset(one.north_rad, one.east_rad) for one in (before, here))
        east_m, north_m = apart_m(scene.frame, then, now)
        north_off = self._off_m[0] * _SIDE_SD_M / scene.frame.meridian_m
        east_off = self._off_m[1] * _SIDE_SD_M / (scene.frame.normal_m * scene.frame.cosine)
        lat_deg, lon_deg = place_deg(launch, here.north_rad + north_off, here.east_rad + east_off)
        return Told(
            t_s=launch.t_s + t_s,
            lat_deg=lat_deg,
            lon_deg=lon_deg,
            amsl_m=here.amsl_m + float(self._off_m[2]) * _UP_SD_M,
            speed_mps=float(np.hypot(east_m, north_m)) / EVERY_S,
            track_deg=float(np.degrees(np.arctan2(east_m, north_m))) % 360.0,
        )

    def _raw(self, t_s: float, data: bytes) -> Raw:
        utc_s = self._ground.launch.t_s + t_s
        return Raw(feed=self.feed, monotonic_s=t_s - BEGINS_S, utc_s=utc_s, data=data)

    def _normals(self, number: int) -> FloatArray:
        """Return four standard normal numbers that belong to a message."""
        key = np.array([self._seed, number], dtype=np.uint64)
        return np.random.Generator(np.random.Philox(key=key)).standard_normal(4)


def is_read_off(t_s: float, changes: Changes) -> bool:
    """Tell whether the place stands in the picture alone at a moment."""
    return changes.digits_from_s is not None and t_s >= changes.digits_from_s


def _faulty(told: Told, changes: Changes) -> Told:
    """Return what a receiver tells with the faults of the surprises."""
    return Told(
        t_s=told.t_s + changes.clock_off_s,
        lat_deg=abs(told.lat_deg) if changes.loses_sign else told.lat_deg,
        lon_deg=told.lon_deg,
        amsl_m=told.amsl_m / _FOOT_M if changes.tells_feet else told.amsl_m,
        speed_mps=told.speed_mps,
        track_deg=told.track_deg,
    )


def moments_s(end_s: float) -> Iterator[float]:
    """Yield the moments at which receivers tell, after the launch, up to an end."""
    n = 0
    while (t_s := BEGINS_S + EVERY_S * n) <= end_s:
        yield t_s
        n += 1
