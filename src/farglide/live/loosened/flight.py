"""Flight: one that no whole balloon carries any more, as each question is put to it."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.after.afterwards import in_circuit
from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.earth.state import offset_rad
from farglide.live.after.steer import HomeWay, home_way
from farglide.live.after.wayahead import landing_at
from farglide.live.asked.moment import AtMoment
from farglide.live.asked.situation import Situation, Wind
from farglide.live.free.moving import Moving
from farglide.live.ride.tables import Tables
from farglide.outlook.after import AfterNow, LandingNow, Stage
from farglide.plan.links.hearing import margins_along
from farglide.sim.core.release import begin_glide
from farglide.sim.core.step import layer_index
from farglide.sim.core.tracks import Point, Trails
from farglide.sortie.spec import Sortie


@dataclass(frozen=True, kw_only=True)
class LooseFlight(AtMoment):
    """A flight after its release or burst at one moment, and what was told beside it."""

    after: AfterNow
    made: Tables
    moves: Moving | None = None  # as its last fixes have it

    @cached_property
    def climbed(self) -> Situation:
        """Return what its climb has taught, for what is asked of the air and the roads alone."""
        known = self.made.known
        return Situation(known=known, advice=self.advice, terrain=self.terrain, told=self.told)

    @property
    def sortie(self) -> Sortie:
        """Return what was written, fields left out on which nobody may land."""
        return self.plain.sortie

    @property
    def plain(self) -> Ensemble:
        """Return the flight without errors, in the air as it is known by now."""
        return self.made.plain

    @property
    def drawn(self) -> Ensemble:
        """Return the draws, as the climb has made them."""
        return self.made.drawn

    @property
    def aim(self) -> int | None:
        """Return which field is steered for; None where none is in reach."""
        steer = self.after.steer
        names = [one.name for one in self.sortie.fields]
        return None if steer is None else names.index(steer.field)

    @cached_property
    def level(self) -> Point:
        """Return where it is level: now, or once it is let go, or out of its drop."""
        place = self.place
        here = Point(
            self.now_s, place.amsl_m, *offset_rad(self.launch, place.lat_deg, place.lon_deg)
        )
        stage = self.advice.stage
        if stage not in (Stage.TIED_ON, Stage.DROPPED):
            return here
        begins = here if stage is Stage.TIED_ON else Point(*self.made.seen[:4])
        found = begin_glide(self.plain.air.scene, self.plain.released, 0, begins)
        return Point(*(float(one) for one in found))

    @cached_property
    def way(self) -> HomeWay | None:
        """Return the way to the field steered for, as it is advised; None without one."""
        if self.aim is None:
            return None
        goals = in_circuit(self.plain.goals, self.place.amsl_m)
        return home_way(replace(self.plain, goals=goals), self.level, self.aim)

    @cached_property
    def landing(self) -> LandingNow | None:
        """Return the last of the way over the field steered for; None without one."""
        if self.after.landing is not None or self.aim is None:
            return self.after.landing
        return landing_at(Case(drawn=self.drawn, plain=self.plain, terrain=self.terrain), self.aim)

    def wind(self, amsl_m: float) -> Wind:
        """Return the wind at a height, in the air as it is known by now."""
        layers = self.plain.air.column.layers
        k = layer_index(layers, amsl_m)
        return Wind(float(layers.u_mps[0, k]), float(layers.v_mps[0, k]))

    def tas_mps(self, eas_mps: float) -> float:
        """Return how fast an EAS goes through the air where it is."""
        layers = self.plain.air.column.layers
        return eas_mps * float(layers.tas_per_eas[layer_index(layers, self.place.amsl_m)])

    def margins_db(self, amsl_m: FloatArray, north_rad: FloatArray, east_rad: FloatArray
                   ) -> FloatArray:  # fmt: skip
        """Return the margins along a way, rows (n,), at each stand: (n_stands, n_links, n)."""
        rows = (np.ascontiguousarray(one[None, :]) for one in (amsl_m, north_rad, east_rad))
        found: FloatArray = margins_along(self.drawn, Trails(*rows))[0]
        return found
