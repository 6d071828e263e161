"""Link gear: a link of the sortie as the kernels take it, its antennas turned into decibels."""

import math
from functools import lru_cache
from typing import Final, NamedTuple

from farglide.arrays import FloatArray
from farglide.radio.budget import budget_of
from farglide.radio.ends.crossed import PolarisationGear
from farglide.radio.ends.gear import EndGear
from farglide.radio.link import Link
from farglide.radio.path.bounce import BounceSwing, bounce_swing
from farglide.radio.path.smooth_earth import Surface
from farglide.radio.stated import FAULT_DB
from farglide.sortie.spec import UNTESTED_SD_DB, LinkSpec

LOW_DEG: Final = 3.0
"""The elevation for which the bounce off the ground is told; it is in no number."""


class LinkGear(NamedTuple):
    """A link's budget, the doubt about it, what the elevation adds, and what that is made of."""

    link: Link
    sd_db: float
    pattern: FloatArray  # (N_SINES,) see `radio.ends.elevation`
    sender: EndGear
    receiver: EndGear
    polarisation: PolarisationGear | None  # None where it is not stated
    rain_db: FloatArray  # (N_SINES,) what of the table rain takes
    spec: LinkSpec
    bounce: BounceSwing  # off smooth ground, at LOW_DEG
    test_offset_db: float  # what a ground test stood off the budget, 0 without one


@lru_cache(maxsize=64)
def gear_of(spec: LinkSpec) -> LinkGear:
    """Return a link of the sortie with its antennas.

    The losses that are there in every direction are in the link's budget, what depends on the
    elevation is the table, and what changes by the moment widens the doubt.
    """
    found = budget_of(spec)
    sender, receiver, polarisation = found.ends
    pattern = sender.table_db + receiver.table_db - found.rain_db
    pattern.flags.writeable = False
    spread_db = spec.spread_db
    if abs(found.test_offset_db) > FAULT_DB:
        spread_db = max(spread_db, UNTESTED_SD_DB)  # a test that failed settles nothing
    return LinkGear(
        link=found.link,
        sd_db=math.hypot(spread_db, found.sd_db) if found.sd_db else spread_db,
        pattern=pattern,
        sender=sender,
        receiver=receiver,
        polarisation=polarisation,
        rain_db=found.rain_db,
        spec=spec,
        bounce=bounce_swing(spec.frequency_hz, LOW_DEG, _ground(spec)),
        test_offset_db=found.test_offset_db,
    )


def link_of(spec: LinkSpec) -> Link:
    """Return the budget of a link of the sortie, its antennas in it."""
    return gear_of(spec).link


def _ground(spec: LinkSpec) -> Surface:
    """Return medium dry land as the link's wave meets it; the worse plane where none is stated."""
    upright = (spec.sender_end.polarisation, spec.receiver_end.polarisation)
    return Surface(is_vertical=upright == ("linear upright", "linear upright"))
