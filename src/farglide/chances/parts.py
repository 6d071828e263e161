"""Parts: what an ensemble is made of, each changed as a whole."""

from dataclasses import dataclass

import numpy as np

from farglide.air.column import AirColumn
from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray, IntArray
from farglide.balloon.gas import Fill
from farglide.glider.release import Drop
from farglide.glider.wing import Polar
from farglide.sim.core.losses import Losses, Peaks
from farglide.sim.core.release import Haste
from farglide.sim.core.scene import Balloon, Scene
from farglide.sim.core.tracks import Burst, Tracks
from farglide.sim.reach.drawnglider import Limits
from farglide.sim.reach.reaches import Reaches


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """The air of a flight: as it was reported, cut into layers, and with the earth below it."""

    sounding: Sounding
    column: AirColumn
    scene: Scene


@dataclass(frozen=True, slots=True, kw_only=True)
class Craft:
    """The glider: how it glides, what it may not exceed, how it gets from the line to a glide."""

    polar: Polar
    limits: Limits
    drop: Drop
    best_eas_mps: float
    peaks: Peaks  # of the pull-out, by height of the release
    ceiling_amsl_m: float  # above it no speed fits between the stall and the Mach limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Climbs:
    """The balloon, and its climbs in all draws as if none burst."""

    fill: Fill
    balloon: Balloon
    tracks: Tracks
    burst: Burst
    burst_share: FloatArray  # (n_draws, n_times)

    @property
    def burst_ratio(self) -> FloatArray:
        """Return the share of balloons that have burst by each time of the tracks."""
        return np.asarray(self.burst_share.mean(axis=0))

    def burst_ratio_at(self, after_launch_s: FloatArray) -> FloatArray:
        """Return the share of balloons that have burst by some times."""
        share = self.burst_ratio
        return np.interp(after_launch_s, self.tracks.step_s * np.arange(len(share)), share)

    def moments_at(self, after_launch_s: FloatArray) -> IntArray:
        """Return the indices on the tracks' clock that are nearest to some times, halves up."""
        return np.floor(after_launch_s / self.tracks.step_s + 0.5).astype(np.int64)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachTables:
    """What a release costs each draw, how far it then gets, and until when it must have."""

    losses: Losses
    reaches: Reaches
    haste: Haste
    light_end_s: float
