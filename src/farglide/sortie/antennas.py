"""Antenna words: what a flight file may say of the antennas of a link, word for word."""

from typing import Final

from farglide.radio.ends.end import UNSTATED
from farglide.radio.stated import NO_PLACE

STATED_GAIN: Final = "stated gain"
MEASURED: Final = "measured"
USUAL: Final = "usual"

BEAMS: Final = ("helix", "helix array", "yagi", "patch", "dish")
"""What has a boresight, besides what is measured: it can be aimed."""
ANTENNAS: Final = (
    STATED_GAIN, "dipole", "quarter wave", "collinear", *BEAMS, "turnstile", "lobed", MEASURED,
)  # fmt: skip
POINTINGS: Final = (USUAL, "aimed", "up", "down", "level")
POLARISATIONS: Final = (
    UNSTATED, "linear level", "linear upright", "right circular", "left circular",
)  # fmt: skip
SURROUNDINGS: Final = (NO_PLACE, "city", "residential", "rural", "quiet rural")

ANTENNA_CHOICES: Final = {
    "sender_antenna": (ANTENNAS, STATED_GAIN),
    "sender_pointing": (POINTINGS, USUAL),
    "sender_polarisation": (POLARISATIONS, UNSTATED),
    "receiver_antenna": (ANTENNAS, STATED_GAIN),
    "receiver_pointing": (POINTINGS, USUAL),
    "receiver_polarisation": (POLARISATIONS, UNSTATED),
    "surroundings": (SURROUNDINGS, NO_PLACE),
}
"""Keys of a link that take one of some words, and the word taken where they are left out."""
