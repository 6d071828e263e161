"""Stated link: one radio way as its owner knows it, before its antennas are reckoned in."""

from dataclasses import dataclass
from typing import Final, Literal

from farglide.radio.ends.end import ONLY_A_GAIN, End

Purpose = Literal["command", "picture", "position"]

NO_PLACE: Final = "none"
"""Surroundings of a receiver whose place adds no noise that is known."""
FAULT_DB: Final = 10.0
"""A ground test farther off its budget asks for the fault (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundTest:
    """A margin measured near by, in sight, aimed and polarised as in the flight."""

    distance_m: float
    attenuator_db: float
    margin_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedLink:
    """One radio way by its data sheets and tests; of its thresholds one is given."""

    name: str
    purpose: Purpose
    is_digital: bool
    frequency_hz: float
    bandwidth_hz: float
    power_w: float
    sender_loss_db: float
    sender_gain_dbi: float
    receiver_gain_dbi: float
    receiver_loss_db: float
    noise_figure_db: float | None
    needed_ratio_db: float | None
    sensitivity_dbm: float | None
    reached_m: float | None
    offset_db: float = 0.0
    sender_end: End = ONLY_A_GAIN
    receiver_end: End = ONLY_A_GAIN
    surroundings: str = NO_PLACE  # of the receiver, for the noise it hears
    rain_mmph: float = 0.0
    tested: GroundTest | None = None  # then it says how far off the budget is
    is_eirp: bool = False  # power_w is what leaves the antenna, loss and gain in it
