"""Link gear: a link of the flight file as the laws take it, its antennas turned into decibels."""

import math
from dataclasses import replace
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.radio.link import Link, Receiver, Sender, ground_test_offset_db
from farglide.radio.link import sensitivity_from_range_dbm as from_range_dbm
from farglide.radio.noise import noise_raise_db
from farglide.radio.path.bounce import bounce_swing_db
from farglide.radio.path.rain import Rain, rain_loss_db
from farglide.radio.path.smooth_earth import Surface
from farglide.rig.antennas import (
    EndGear,
    PolarisationGear,
    end_gear,
    polarisation_gear,
    tilt_at_deg,
)
from farglide.sim.hear.ears import N_SINES
from farglide.sortie.antennas import NO_PLACE, UNSTATED
from farglide.sortie.spec import FAULT_DB, UNTESTED_SD_DB, LinkSpec

FloatArray = NDArray[np.float64]

LOW_DEG: Final = 3.0
"""The elevation for which the bounce off the ground is told; it is in no number."""
_LEVEL: Final = N_SINES // 2


class LinkGear(NamedTuple):
    """A link's budget, the doubt about it, what the elevation adds, and what that is made of."""

    link: Link
    sd_db: float
    pattern: FloatArray  # (N_SINES,) see `sim.ears.elevation_gain_db`
    sender: EndGear
    receiver: EndGear
    polarisation: PolarisationGear | None  # None where it is not stated
    rain_db: FloatArray  # (N_SINES,) what of the table rain takes
    spec: LinkSpec
    bounce_db: tuple[float, float]  # the most that smooth ground takes and adds at LOW_DEG
    test_offset_db: float  # what a ground test stood off the budget, 0 without one


@lru_cache(maxsize=64)
def gear_of(spec: LinkSpec) -> LinkGear:
    """Return a link of the flight file with its antennas.

    The budget has the gains of both ends; losses that are there in every direction are the link's
    `extra_loss_db`, what depends on the elevation is the table, and what changes by the moment
    widens the doubt.
    """
    sender = end_gear(spec.sender_end, spec.sender_gain_dbi, spec.frequency_hz)
    receiver = end_gear(spec.receiver_end, spec.receiver_gain_dbi, spec.frequency_hz)
    crossed = None
    if UNSTATED not in (spec.sender_end.polarisation, spec.receiver_end.polarisation):
        crossed = polarisation_gear(spec.sender_end, spec.receiver_end)
    raise_db, noise_sd_db = _noise(spec)
    rain_db = _rain_db(spec)
    pattern = sender.table_db + receiver.table_db - rain_db
    pattern.flags.writeable = False
    more_db = math.hypot(
        sender.sd_db, receiver.sd_db, crossed.sd_db if crossed else 0.0, noise_sd_db
    )
    ends = (sender, receiver)
    budget = _budget(spec, ends, crossed.mean_db if crossed else 0.0, raise_db)
    offset_db = _offset_db(budget, spec, ends, crossed)
    spread_db = spec.spread_db
    if abs(offset_db) > FAULT_DB:
        spread_db = max(spread_db, UNTESTED_SD_DB)  # a test that failed settles nothing
    return LinkGear(
        link=replace(budget, offset_db=0.0 if offset_db > FAULT_DB else offset_db),
        sd_db=math.hypot(spread_db, more_db) if more_db else spread_db,
        pattern=pattern,
        sender=sender,
        receiver=receiver,
        polarisation=crossed,
        rain_db=rain_db,
        spec=spec,
        bounce_db=bounce_swing_db(spec.frequency_hz, LOW_DEG, _ground(spec)),
        test_offset_db=offset_db,
    )


def link_of(spec: LinkSpec) -> Link:
    """Return the budget of a link of the flight file, its antennas in it."""
    return gear_of(spec).link


def _budget(
    spec: LinkSpec, ends: tuple[EndGear, EndGear], crossed_db: float, raise_db: float
) -> Link:
    sender, extra_db = _sender(spec, ends[0]), ends[0].loss_db + ends[1].loss_db + crossed_db
    return Link(
        name=spec.name,
        purpose=spec.purpose,
        frequency_hz=spec.frequency_hz,
        bandwidth_hz=spec.bandwidth_hz,
        sender=sender,
        receiver=Receiver(
            gain_dbi=ends[1].gain_dbi,
            loss_db=spec.receiver_loss_db,
            noise_figure_db=spec.noise_figure_db,
            needed_ratio_db=spec.needed_ratio_db,
            sensitivity_dbm=_sensitivity_dbm(spec, sender, crossed_db),
            noise_raise_db=raise_db,
        ),
        is_digital=spec.is_digital,
        offset_db=spec.offset_db,
        extra_loss_db=extra_db,
    )


def _offset_db(
    budget: Link,
    spec: LinkSpec,
    ends: tuple[EndGear, EndGear],
    crossed: PolarisationGear | None,
) -> float:
    """Return by how much the ground test stood off the budget: as stated, or as it was made.

    On that day both ends saw each other level, aimed and turned for the best. Much better than the
    budget is no gift but a mistake of the test or of the file: more than `FAULT_DB` is told, but
    not counted on.
    """
    if spec.tested is None:
        return spec.offset_db
    test, more_db = spec.tested, 0.0
    for end in ends:
        more_db += float(end.table_db[_LEVEL]) + (end.aim.mean_db if end.aim else 0.0)
    if crossed is not None:
        more_db += crossed.mean_db - crossed.best_db
    found_db = ground_test_offset_db(budget, test.distance_m, test.attenuator_db, test.margin_db)
    return found_db - more_db


def _sender(spec: LinkSpec, end: EndGear) -> Sender:
    """Return the sender; of an EIRP, the power is what its antenna's gain leaves of it."""
    gain_dbi, power_w = end.gain_dbi, spec.power_w.value
    if spec.is_eirp:
        power_w *= math.pow(10.0, -0.1 * gain_dbi)
    return Sender(power_w=power_w, loss_db=spec.sender_loss_db, gain_dbi=gain_dbi)


def _sensitivity_dbm(spec: LinkSpec, sender: Sender, crossed_db: float) -> float | None:
    """Return the sensitivity as stated, or as a range once reached has it.

    On that day both ends saw each other level, aimed and polarised as now, and nothing was bent.
    """
    if spec.reached_m is None:
        return spec.sensitivity_dbm
    whole = [
        end_gear(replace(end, damage_db=None, damage_skew_deg=None), gain_dbi, spec.frequency_hz)
        for end, gain_dbi in (
            (spec.sender_end, spec.sender_gain_dbi),
            (spec.receiver_end, spec.receiver_gain_dbi),
        )
    ]
    lost_db = crossed_db + sum(end.loss_db - float(end.table_db[_LEVEL]) for end in whole)
    gain_dbi = whole[1].gain_dbi - spec.receiver_loss_db - lost_db
    return from_range_dbm(spec.frequency_hz, sender, gain_dbi, spec.reached_m)


def _ground(spec: LinkSpec) -> Surface:
    """Return medium dry land as the link's wave meets it; the worse plane where none is stated."""
    upright = (spec.sender_end.polarisation, spec.receiver_end.polarisation)
    return Surface(is_vertical=upright == ("linear upright", "linear upright"))


def _rain_db(spec: LinkSpec) -> FloatArray:
    """Return what rain takes by the sine of the elevation, from the ground to above the rain."""
    if not spec.rain_mmph:
        return np.zeros(N_SINES)
    rain, tilt_deg = Rain(mmph=spec.rain_mmph), tilt_at_deg(spec.receiver_end)
    elevations_deg = np.degrees(np.arcsin(np.linspace(-1.0, 1.0, N_SINES))).tolist()
    return np.array(
        [rain_loss_db(spec.frequency_hz, rain, one, tilt_deg) for one in elevations_deg]
    )


def _noise(spec: LinkSpec) -> tuple[float, float]:
    if spec.surroundings == NO_PLACE or spec.noise_figure_db is None:
        return 0.0, 0.0
    return noise_raise_db(spec.noise_figure_db, spec.surroundings, spec.frequency_hz)
