"""Budget: a link as stated, its antennas, its place and the rain turned into decibels."""

import math
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.radio.ends.end import FAULT_DB, NO_PLACE, StatedLink
from farglide.radio.ends.gear import (
    N_SINES,
    EndGear,
    PolarisationGear,
    end_gear,
    polarisation_gear,
    tilt_at_deg,
)
from farglide.radio.link import Link, Receiver, Sender, ground_test_offset_db
from farglide.radio.link import sensitivity_from_range_dbm as from_range_dbm
from farglide.radio.noise import NoiseRaise, noise_raise
from farglide.radio.path.rain import Rain, rain_loss_db

_QUIET: Final = NoiseRaise(0.0, 0.0)


class LinkEnds(NamedTuple):
    """Both ends of a link, and what their polarisations lose; None where it is not stated."""

    sender: EndGear
    receiver: EndGear
    polarisation: PolarisationGear | None

    @property
    def crossed_db(self) -> float:
        """Return what the polarisations lose in the mean."""
        return self.polarisation.mean_db if self.polarisation else 0.0


class Budget(NamedTuple):
    """A link whose antennas are reckoned in, and what that is made of.

    `sd_db`: doubt from the ends, the rolls and the noise; `test_offset_db`: what a ground test
    stood off the budget, 0 without one; `rain_db` (N_SINES,): what rain takes by the sine of the
    elevation.
    """

    link: Link
    ends: LinkEnds
    sd_db: float
    test_offset_db: float
    rain_db: FloatArray


def budget_of(stated: StatedLink) -> Budget:
    """Return the budget of a link as stated.

    It has the gains of both ends; losses that are there in every direction are the link's
    `extra_loss_db`. Much better than the budget, a ground test is no gift but a mistake of the test
    or of the file: more than `FAULT_DB` is told, but not counted on.
    """
    sender = end_gear(stated.sender_end, stated.sender_gain_dbi)
    receiver = end_gear(stated.receiver_end, stated.receiver_gain_dbi)
    ends = LinkEnds(sender, receiver, polarisation_gear(stated.sender_end, stated.receiver_end))
    noise = _QUIET
    if stated.surroundings != NO_PLACE and stated.noise_figure_db is not None:
        noise = noise_raise(stated.noise_figure_db, stated.surroundings, stated.frequency_hz)
    rain_db = _rain_db(stated)
    rolls_sd_db = ends.polarisation.sd_db if ends.polarisation else 0.0
    bare = _link(stated, ends, noise.raise_db)
    offset_db = _offset_db(bare, stated, ends)
    return Budget(
        link=replace(bare, offset_db=0.0 if offset_db > FAULT_DB else offset_db),
        ends=ends,
        sd_db=math.hypot(sender.sd_db, receiver.sd_db, rolls_sd_db, noise.sd_db),
        test_offset_db=offset_db,
        rain_db=rain_db,
    )


def _link(stated: StatedLink, ends: LinkEnds, raise_db: float) -> Link:
    sender = _sender(stated, ends.sender)
    return Link(
        name=stated.name,
        purpose=stated.purpose,
        frequency_hz=stated.frequency_hz,
        bandwidth_hz=stated.bandwidth_hz,
        sender=sender,
        receiver=Receiver(
            gain_dbi=ends.receiver.gain_dbi,
            loss_db=stated.receiver_loss_db,
            noise_figure_db=stated.noise_figure_db,
            needed_ratio_db=stated.needed_ratio_db,
            sensitivity_dbm=_sensitivity_dbm(stated, sender, ends.crossed_db),
            noise_raise_db=raise_db,
        ),
        is_digital=stated.is_digital,
        offset_db=stated.offset_db,
        extra_loss_db=ends.sender.loss_db + ends.receiver.loss_db + ends.crossed_db,
    )


def _offset_db(bare: Link, stated: StatedLink, ends: LinkEnds) -> float:
    """Return by how much the ground test stood off the budget: as stated, or as it was made.

    On that day both ends saw each other level, aimed and turned for the best.
    """
    if stated.tested is None:
        return stated.offset_db
    test, more_db = stated.tested, 0.0
    for end in (ends.sender, ends.receiver):
        more_db += end.level_db + (end.aim.mean_db if end.aim else 0.0)
    if ends.polarisation is not None:
        more_db += ends.polarisation.mean_db - ends.polarisation.best_db
    found_db = ground_test_offset_db(bare, test.distance_m, test.attenuator_db, test.margin_db)
    return found_db - more_db


def _sender(stated: StatedLink, end: EndGear) -> Sender:
    """Return the sender; of an EIRP, the power is what its antenna's gain leaves of it."""
    gain_dbi, power_w = end.gain_dbi, stated.power_w
    if stated.is_eirp:
        power_w *= math.pow(10.0, -0.1 * gain_dbi)
    return Sender(power_w=power_w, loss_db=stated.sender_loss_db, gain_dbi=gain_dbi)


def _sensitivity_dbm(stated: StatedLink, sender: Sender, crossed_db: float) -> float | None:
    """Return the sensitivity as stated, or as a range once reached has it.

    On that day both ends saw each other level, aimed and polarised as now, and nothing was bent.
    """
    if stated.reached_m is None:
        return stated.sensitivity_dbm
    ends = (stated.sender_end, stated.receiver_end)
    unhurt = [replace(end, damage_db=0.0, damage_skew_deg=0.0) for end in ends]
    gains_dbi = (stated.sender_gain_dbi, stated.receiver_gain_dbi)
    whole = [end_gear(*each) for each in zip(unhurt, gains_dbi, strict=True)]
    lost_db = crossed_db + sum(end.loss_db - end.level_db for end in whole)
    gain_dbi = whole[1].gain_dbi - stated.receiver_loss_db - lost_db
    return from_range_dbm(stated.frequency_hz, sender, gain_dbi, stated.reached_m)


def _rain_db(stated: StatedLink) -> FloatArray:
    """Return what rain takes by the sine of the elevation, from the ground to above the rain."""
    if not stated.rain_mmph:
        return np.zeros(N_SINES)
    rain = Rain(mmph=stated.rain_mmph, depth_m=stated.rain_depth_m)
    tilt_deg = tilt_at_deg(stated.receiver_end)
    elevations_deg = np.degrees(np.arcsin(np.linspace(-1.0, 1.0, N_SINES))).tolist()
    return np.array(
        [rain_loss_db(stated.frequency_hz, rain, one, tilt_deg) for one in elevations_deg]
    )
