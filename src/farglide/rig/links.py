"""Link gear: a link of the sortie as the kernels take it, and what its antennas make of it."""

import math
from functools import lru_cache
from typing import NamedTuple

from farglide.arrays import FloatArray
from farglide.outlook.antennas import LOW_DEG, RAIN_AT_DEG, EndOutlook, LinkAntennas
from farglide.radio.antenna.beams import even_beam_deg
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.budget import budget_of
from farglide.radio.ends.end import FAULT_DB, NO_PLACE, End
from farglide.radio.ends.gear import EndGear, PolarisationGear
from farglide.radio.link import Link
from farglide.radio.path.bounce import BounceSwing, bounce_swing
from farglide.radio.path.smooth_earth import Surface
from farglide.sortie.spec import UNTESTED_SD_DB, LinkSpec


class LinkGear(NamedTuple):
    """A link's budget, the doubt about it, what the elevation adds, and what that is made of."""

    link: Link
    sd_db: float
    pattern: FloatArray  # (N_SINES,) see `radio.ends.gear`
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


def beam_deg(gear: LinkGear) -> float:
    """Return how wide the beam is that the crew aims: of the ground's antenna, its narrower plane.

    Of one by its gain alone, that of an even beam of such a gain.
    """
    ground = gear.sender if gear.spec.purpose == "command" else gear.receiver
    if ground.width is not None:
        return min(ground.width)
    return even_beam_deg(ground.gain_dbi)


def link_of(spec: LinkSpec) -> Link:
    """Return the budget of a link of the sortie, its antennas in it."""
    return gear_of(spec).link


def _ground(spec: LinkSpec) -> Surface:
    """Return medium dry land as the link's wave meets it; the worse plane where none is stated."""
    upright = (spec.sender_end.polarisation, spec.receiver_end.polarisation)
    return Surface(is_vertical=upright == ("linear upright", "linear upright"))


def antennas_of(gear: LinkGear) -> LinkAntennas:
    """Return what its antennas, its place, the rain and a ground test make of a link."""
    spec, ends = gear.spec, (gear.sender, gear.receiver)
    has_place = spec.surroundings != NO_PLACE
    return LinkAntennas(
        spec=spec,
        ends=tuple(_end(end) for end in ends if end.spec.has_pattern or end.spec.damage_db),
        polarisation=gear.polarisation,
        noise_db=gear.link.receiver.noise_raise_db if has_place else None,
        rain_db=_rain_db(gear) if spec.rain_mmph else None,
        bounce=gear.bounce,
        test_offset_db=gear.test_offset_db,
        doubt_db=gear.sd_db,
    )


def _end(gear: EndGear) -> EndOutlook:
    return EndOutlook(
        spec=gear.spec,
        name=_name(gear.spec),
        gain_dbi=gear.gain_dbi,
        beam=gear.width,
        aim_loss_db=gear.aim and gear.aim.mean_db,
        level_db=gear.level_db,
        steep_db=float(gear.table_db[-1]),
    )


def _name(end: End) -> str:
    match end.antenna:
        case None:
            return "antenna"
        case Helix(n_turns=n_turns):
            return f"helix of {n_turns} turns"
        case HelixArray(n_helices=n_helices):
            return f"{n_helices} helices"
    return end.antenna.noun


def _rain_db(gear: LinkGear) -> float:
    """Return what the rain takes at `RAIN_AT_DEG`."""
    middle = (len(gear.rain_db) - 1) // 2
    i = round(middle * (1.0 + math.sin(math.radians(RAIN_AT_DEG))))
    return float(gear.rain_db[i])
