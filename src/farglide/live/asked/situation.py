"""Situation: a flight in the air at one moment, as each question is put to it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.case import Case, with_plain
from farglide.chances.ensemble import Ensemble, with_winds
from farglide.chances.informed import Informed
from farglide.chances.onward import Seen, last_s, seen_of, states_from
from farglide.earth.state import Place, place_at
from farglide.live.asked.moment import AtMoment
from farglide.plan.home.glides import Begun, levelled_at, on_the_way
from farglide.plan.home.homeward import Homeward, flights_home
from farglide.sim.core.states import States
from farglide.sim.core.tracks import Point
from farglide.sortie.spec import Sortie

_STEP_S: Final = 1.0
"""Between two moments of the draws both must be known."""


class Wind(NamedTuple):
    """The wind at a height as the climb has taught it, to east and north."""

    east_mps: float
    north_mps: float

    @property
    def mps(self) -> float:
        """Return how strong it is."""
        return float(np.hypot(self.east_mps, self.north_mps))

    @property
    def from_deg(self) -> float:
        """Return where it comes from."""
        return float(np.degrees(np.arctan2(-self.east_mps, -self.north_mps))) % 360.0


@dataclass(frozen=True, kw_only=True)
class Situation(AtMoment):
    """A flight that a whole balloon carries, at one moment, and what was told beside it."""

    known: Informed
    last: Seen | None = None  # newer than what is known goes on from

    @property
    def car(self) -> Place | None:
        """Return where the car is; None where nobody told."""
        return self.told.car

    @property
    def written(self) -> Sortie:
        """Return the flight as its file has it."""
        return self.told.written or self.sortie

    @property
    def driven(self) -> Sortie:
        """Return the flight as it is driven: by the drives of its file, and the roads typed."""
        file = self.written
        return replace(file, launch=self.launch, roads=(*file.roads, *self.told.roads))

    @property
    def ensemble(self) -> Ensemble:
        """Return the draws, as the climb has made them."""
        return self.known.ensemble

    @property
    def sortie(self) -> Sortie:
        """Return what was written."""
        return self.ensemble.sortie

    @property
    def aim(self) -> int:
        """Return which field counts: the one advised, else the one with the best chance now."""
        release, fields = self.advice.release, self.advice.fields
        if release is not None:
            return [one.name for one in fields].index(release.field)
        return max(range(len(fields)), key=lambda f: fields[f].chance_ratio)

    @property
    def field_name(self) -> str:
        """Return the name of that field."""
        return self.sortie.fields[self.aim].name

    @cached_property
    def seen(self) -> Seen:
        """Return the fix that all draws go on from."""
        if self.last is not None:
            return self.last
        return seen_of(self.known, self.advice.place.seen_after_launch_s)

    def states(self, after_launch_s: Sequence[float]) -> States:
        """Return the draws at some moments, still carried."""
        return states_from(self.ensemble, self.seen, np.array(after_launch_s))

    def place_then(self, after_launch_s: float) -> Place:
        """Return where the middle draw's balloon is, then or at the last moment of any draw."""
        ends_s = max(min(after_launch_s, last_s(self.ensemble) - _STEP_S), self.now_s)
        rows = self.states([ends_s])[2:5]
        amsl_m, north_rad, east_rad = (float(np.nanmedian(one)) for one in rows)
        return place_at(self.launch, north_rad, east_rad, amsl_m)

    def wind(self, amsl_m: float) -> Wind:
        """Return the wind at a height on the way home: told, and moved by what was measured."""
        layers, mean = self.ensemble.air.column.layers, self.known.air.home.mean_mps
        at = np.clip(int((amsl_m - layers.base_amsl_m) / layers.step_m), 0, len(mean) - 1)
        told = float(layers.u_mps[0, at]), float(layers.v_mps[0, at])
        return Wind(told[0] + float(mean[at, 0]), told[1] + float(mean[at, 1]))

    @cached_property
    def plain(self) -> Ensemble:
        """Return the flight without errors, its way home through the air that was learnt."""
        ensemble = self.ensemble
        plain = with_plain(ensemble).plain
        mean, air = self.known.air.home.mean_mps, plain.air
        east, north = (np.ascontiguousarray(mean[None, :, k]) for k in (0, 1))
        layers = air.column.layers
        layers = layers._replace(u_mps=layers.u_mps + east, v_mps=layers.v_mps + north)
        column = replace(air.column, layers=layers)
        air = replace(air, column=column, scene=air.scene._replace(layers=layers))
        return with_winds(plain, air, plain.draws)

    def case(self) -> Case:
        """Return some of the draws beside the flight without errors, to be asked more."""
        return Case(drawn=self.ensemble, plain=self.plain, terrain=self.terrain)

    def levelled(self, after_launch_s: float) -> Point:
        """Return when and where a glider without errors flies level, released at a moment."""
        rows = self.states([after_launch_s])[2:5]
        amsl_m, north_rad, east_rad = (float(np.nanmedian(one)) for one in rows)
        return levelled_at(self.plain, Point(after_launch_s, amsl_m, north_rad, east_rad))

    def begun(self, after_launch_s: float, field: int) -> Begun | None:
        """Return the glide to a field, released at a moment; None where it is out of reach."""
        return on_the_way(self.plain, self.levelled(after_launch_s), field)

    def way_home(self, after_launch_s: float, field: int) -> Homeward | None:
        """Return the flights to a field, released at a moment; None where it is out of reach."""
        flight = self.begun(after_launch_s, field)
        return None if flight is None else flights_home(self.plain, flight)
