"""Antenna keys: what a flight file may say of the antenna at each end of a link."""

from typing import Final

from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity
from farglide.radio.ends.end import NO_PLACE, UNSTATED

ENDS: Final = ("sender", "receiver")
PATTERN_FILES: Final = ("pattern_file", "pattern_upright_file")
"""Of a measured antenna: the level plane, or all of them; and the upright one."""
WIDTHS: Final = ("beamwidth_level_deg", "beamwidth_upright_deg")

GAIN_SPAN: Final = (-30.0, 50.0)
STATED_GAIN: Final = "stated gain"
MEASURED: Final = "measured"
USUAL: Final = "usual"
QUARTER_WAVE: Final = "quarter wave"

BEAMS: Final = ("helix", "helix array", "yagi", "patch", "dish")
"""What has a boresight, besides what is measured: it can be aimed."""
ANTENNAS: Final = (
    STATED_GAIN, "dipole", QUARTER_WAVE, "collinear", *BEAMS, "turnstile", "lobed", MEASURED,
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


def _rows(end: str, noun: str) -> tuple[Quantity, ...]:
    """Return the numbers of one end, one row each."""
    return (
        Quantity(f"{end}_n_turns", unit.PURE, (4.0, 60.0), f"turns of {noun} helix are"),
        Quantity(f"{end}_circumference", unit.WAVELENGTHS, (0.75, 4.0 / 3.0),
                 f"round {noun} helix one turn measures"),
        Quantity(f"{end}_spacing", unit.WAVELENGTHS, (0.15, 0.36),
                 f"from turn to turn {noun} helix measures"),
        Quantity(f"{end}_n_level", unit.PURE, (1.0, 8.0),
                 f"side by side in {noun} array, helices are"),
        Quantity(f"{end}_n_upright", unit.PURE, (1.0, 8.0),
                 f"above each other in {noun} array, helices are"),
        Quantity(f"{end}_apart", unit.WAVELENGTHS, (0.5, 8.0),
                 f"the helices of {noun} array are apart by"),
        Quantity(f"{end}_ground_radius", unit.WAVELENGTHS, (0.5, 100.0),
                 f"flat metal round the foot of {noun} quarter wave reaches"),
        Quantity(f"{end}_beamwidth_level", unit.ANGLE, (1.0, 150.0),
                 f"{noun} beam is at half power, from side to side, wide by"),
        Quantity(f"{end}_beamwidth_upright", unit.ANGLE, (1.0, 150.0),
                 f"{noun} beam is at half power, from bottom to top, wide by"),
        Quantity(f"{end}_diameter", unit.LENGTH, (0.02, 30.0), f"{noun} dish measures across"),
        Quantity(f"{end}_ripple", unit.DECIBEL, (0.0, 20.0),
                 f"all round, the gain of {noun} antenna changes from crest to trough by"),
        Quantity(f"{end}_edge", unit.ANGLE, (45.0, 180.0),
                 f"the gain of {noun} antenna is nearly even, from its axis, out to"),
        Quantity(f"{end}_aim_spread", unit.ANGLE, (0.0, 30.0),
                 f"{noun} beam is aimed wrong, up and sideways each, by",
                 settle="aim at a known mast and read the angle off a sight"),
        Quantity(f"{end}_swing", unit.ANGLE, (0.0, 90.0),
                 f"what carries {noun} antenna leans, swinging or in a bank, by",
                 settle="watch the horizon in a picture of a flight"),
        Quantity(f"{end}_axial_ratio", unit.DECIBEL, (0.0, 30.0),
                 f"the circle of {noun} antenna is off, long over short axis, by"),
        Quantity(f"{end}_damage", unit.DECIBEL, (0.0, 60.0), f"a blow took from {noun} antenna"),
        Quantity(f"{end}_damage_skew", unit.ANGLE, (0.0, 90.0),
                 f"it bent the axis of {noun} antenna by"),
    )  # fmt: skip


SENDER: Final = _rows("sender", "the transmitting")
ENDS_KEYS: Final = (*SENDER, *_rows("receiver", "the receiving"))
