"""Radio neighbours: where the crew's own transmitters may disturb its own receivers and people."""

from typing import Final

from farglide.outlook.links import Deaf, Exposure, Neighbours
from farglide.radio.clash import (
    NAVIGATION,
    Ear,
    Emission,
    blocking_dbm,
    clashes,
    keep_away_m,
    power_density_wpm2,
)
from farglide.radio.link import Link, dbm_from_w
from farglide.rig.links import link_of
from farglide.sortie.spec import Sortie

_CAR_M: Final = 2.0
_ABOARD_M: Final = 0.3
"""How far apart two antennas stand on one car and on one glider, where nothing else is known."""
DEAF_DBM = -30.0
"""A receiver without a filter grows deaf from here on (common practice, no source)."""


def neighbours_of(sortie: Sortie) -> Neighbours:
    """Return what the links of a sortie may do to each other.

    Command is sent from the car and heard on the glider; picture and position the other way round.
    """
    links = [link_of(spec) for spec in sortie.links]
    emissions = [
        Emission(name=link.name, frequency_hz=link.frequency_hz, bandwidth_hz=link.bandwidth_hz)
        for link in links
    ]
    stated = list(zip(links, sortie.links, strict=True))
    ears = [ear for link, spec in stated for ear in _ears(link, spec.intermediate_hz)]
    heard = [
        _beside(sender, receiver)
        for sender in links
        for receiver in links
        if (sender.purpose == "command") != (receiver.purpose == "command")
    ]
    return Neighbours(
        clashes=tuple(dict.fromkeys(clashes(emissions, [*ears, *NAVIGATION]))),
        deaf=tuple(one for one in heard if one.level_dbm > DEAF_DBM),
        exposures=tuple(_exposure(link, spec.people_limit_wpm2) for link, spec in stated),
    )


def _ears(link: Link, intermediate_hz: float | None) -> list[Ear]:
    """Return what a link listens to: its image lies on either side, as its oscillator may."""
    half_hz = 0.5 * link.bandwidth_hz
    return [
        Ear(
            name=link.name,
            from_hz=link.frequency_hz - half_hz,
            to_hz=link.frequency_hz + half_hz,
            intermediate_hz=intermediate_hz,
            oscillator_above=above,
        )
        for above in ((False,) if intermediate_hz is None else (False, True))
    ]


def _beside(sender: Link, receiver: Link) -> Deaf:
    """Return what a sender puts into the receiver beside it, both antennas pointing elsewhere."""
    power_dbm = dbm_from_w(sender.sender.power_w) - sender.sender.loss_db
    apart_m = _CAR_M if sender.purpose == "command" else _ABOARD_M
    loss_db = receiver.receiver.loss_db
    return Deaf(
        sender=sender.name,
        receiver=receiver.name,
        level_dbm=blocking_dbm(power_dbm, sender.frequency_hz, apart_m, -loss_db),
        apart_m=apart_m,
    )


def _exposure(link: Link, limit_wpm2: float | None) -> Exposure:
    eirp_w = 10.0 ** ((link.sender.eirp_dbm - 30.0) / 10.0)
    return Exposure(
        link=link.name,
        density_wpm2=power_density_wpm2(eirp_w, _CAR_M),
        at_m=_CAR_M,
        limit_wpm2=limit_wpm2,
        keep_away_m=None if limit_wpm2 is None else keep_away_m(eirp_w, limit_wpm2),
    )
