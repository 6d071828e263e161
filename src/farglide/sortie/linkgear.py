"""Link gear: a link of the flight file as the laws take it, its antennas turned into decibels."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.radio.link import Link, Receiver, Sender
from farglide.radio.link import sensitivity_from_range_dbm as from_range_dbm
from farglide.sim.ears import N_SINES
from farglide.sortie.spec import LinkSpec

FloatArray = NDArray[np.float64]


class LinkGear(NamedTuple):
    """A link's budget, the doubt about it, and what the elevation adds to it."""

    link: Link
    sd_db: float
    pattern: FloatArray  # (N_SINES,) see `sim.ears.elevation_gain_db`


def gear_of(spec: LinkSpec) -> LinkGear:
    """Return a link of the flight file with its antennas."""
    return LinkGear(link_of(spec), spec.spread_db, np.zeros(N_SINES))


def link_of(spec: LinkSpec) -> Link:
    """Return a link of the flight file as the laws take it."""
    sender = Sender(
        power_w=spec.power_w.value, loss_db=spec.sender_loss_db, gain_dbi=spec.sender_gain_dbi
    )
    sensitivity_dbm = spec.sensitivity_dbm
    if spec.reached_m is not None:
        gain_dbi = spec.receiver_gain_dbi - spec.receiver_loss_db
        sensitivity_dbm = from_range_dbm(spec.frequency_hz, sender, gain_dbi, spec.reached_m)
    return Link(
        name=spec.name,
        purpose=spec.purpose,
        frequency_hz=spec.frequency_hz,
        bandwidth_hz=spec.bandwidth_hz,
        sender=sender,
        receiver=Receiver(
            gain_dbi=spec.receiver_gain_dbi,
            loss_db=spec.receiver_loss_db,
            noise_figure_db=spec.noise_figure_db,
            needed_ratio_db=spec.needed_ratio_db,
            sensitivity_dbm=sensitivity_dbm,
        ),
        is_digital=spec.is_digital,
        offset_db=spec.offset_db,
    )
