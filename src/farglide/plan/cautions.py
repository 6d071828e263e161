"""Cautions: what no number of a plan covers, and what the crew needs to be told each time."""

from typing import Final

from farglide.balloon.gas import Gas
from farglide.chances.holding import Holding
from farglide.sortie.words import gas_caution

_LINKS_HELD: Final = (
    "A field counts as open when reach, packs, light, and {} last on a straight way to it, down to "
    "the arrival height, with antennas well aimed. Woods, houses and people in the way are not "
    "counted."
)
_LINKS_UNKNOWN: Final = (
    "A field counts as open when reach, packs and light last. Links or stands are not stated, so "
    "nobody knows whether picture and command hold on the way; without them no field is open."
)
_ALWAYS: Final = (
    "After the release the glider is out of sight: that needs a permission of its own, and so do "
    "the balloon and each radio. This plan is no permission.",
    "The driver neither reads nor hears any of this, and keeps to the legal speed. Nobody is on "
    "the roof or leans out of a window; the transmitter and its antenna stay outside, away from "
    "heads.",
    "Land 100 to 300 m beside a road, clear of wires, rails, animals and people. Ask the owner "
    "first.",
    "Nobody enters water or a gorge to fetch it. Agree on a time to be back before leaving the "
    "car.",
)


def cautions(gas: Gas, holding: Holding | None) -> tuple[str, ...]:
    """Return what an open field stands for, and the cautions of the gas, the car and the landing.

    `holding`: which links count; None where nobody stands to hear any.
    """
    held = " and ".join(holding.purposes) if holding else ""
    open_means = _LINKS_HELD.format(held) if held else _LINKS_UNKNOWN
    permission, driver, *after = _ALWAYS
    return (open_means, permission, driver, gas_caution(gas), *after)
