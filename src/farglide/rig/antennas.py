"""Antennas: what the gear of a link makes of it, as plain values to be told."""

import math
from typing import Final

from farglide.outlook.antennas import (
    AimOutlook,
    BeamOutlook,
    BounceOutlook,
    EndOutlook,
    GroundTestOutlook,
    LinkAntennas,
    PlaceNoise,
    PolarisationOutlook,
    RainOutlook,
    StanceOutlook,
)
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.ends.end import End
from farglide.radio.ends.gear import EndGear
from farglide.radio.stated import FAULT_DB, NO_PLACE
from farglide.rig.links import LOW_DEG, LinkGear

_RAIN_AT_DEG: Final = 10.0


def antennas_of(gear: LinkGear) -> LinkAntennas:
    """Return what its antennas, its place, the rain and a ground test make of a link."""
    return LinkAntennas(
        link=gear.link.name,
        ends=tuple(_end(end) for end in (gear.sender, gear.receiver) if _is_told(end.spec)),
        polarisation=_polarisation(gear),
        noise=_noise(gear),
        rain=_rain(gear),
        tested=_tested(gear),
        bounce=BounceOutlook(
            takes_db=gear.bounce.takes_db, adds_db=gear.bounce.adds_db, at_deg=LOW_DEG
        ),
        doubt_db=gear.sd_db,
    )


def _is_told(end: End) -> bool:
    return end.has_pattern or bool(end.damage_db)


def _end(gear: EndGear) -> EndOutlook:
    end, width = gear.spec, gear.width
    return EndOutlook(
        name=_name(end),
        aboard=end.aboard,
        gain_dbi=gear.gain_dbi,
        beam=width and BeamOutlook(level_deg=width.level_deg, upright_deg=width.upright_deg),
        aim=gear.aim and AimOutlook(spread_deg=end.aim_spread_deg, loss_db=gear.aim.mean_db),
        stance=_stance(gear) if end.has_pattern and gear.aim is None else None,
        damage_db=end.damage_db,
        damage_skew_deg=end.damage_skew_deg,
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


def _stance(gear: EndGear) -> StanceOutlook:
    return StanceOutlook(
        points=gear.spec.stands,
        lean_deg=gear.spec.swing_deg or 0.0,
        level_db=gear.level_db,
        steep_db=float(gear.table_db[-1]),
    )


def _polarisation(gear: LinkGear) -> PolarisationOutlook | None:
    found, sender, receiver = gear.polarisation, gear.sender.spec, gear.receiver.spec
    if found is None:
        return None
    return PolarisationOutlook(
        sender=sender.polarisation,
        receiver=receiver.polarisation,
        mean_db=found.mean_db,
        worst_db=found.worst_db,
        any_roll=(sender if sender.aboard else receiver).swing_deg is None,
    )


def _noise(gear: LinkGear) -> PlaceNoise | None:
    if gear.spec.surroundings == NO_PLACE:
        return None
    return PlaceNoise(place=gear.spec.surroundings, raise_db=gear.link.receiver.noise_raise_db)


def _rain(gear: LinkGear) -> RainOutlook | None:
    if not gear.spec.rain_mmph:
        return None
    middle = (len(gear.rain_db) - 1) // 2
    i = round(middle * (1.0 + math.sin(math.radians(_RAIN_AT_DEG))))
    return RainOutlook(
        mmph=gear.spec.rain_mmph, at_deg=_RAIN_AT_DEG, loss_db=float(gear.rain_db[i])
    )


def _tested(gear: LinkGear) -> GroundTestOutlook | None:
    if gear.spec.tested is None and not gear.test_offset_db:
        return None
    return GroundTestOutlook(
        test=gear.spec.tested, offset_db=gear.test_offset_db, fault_db=FAULT_DB
    )
