"""Antenna outlook: what antennas, place and a ground test make of a link, as plain values."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from farglide.radio.ends.end import FAULT_DB as FAULT_DB  # said in one place for all
from farglide.radio.ends.end import End
from farglide.sortie.spec import LinkSpec

if TYPE_CHECKING:  # else whoever shows a link would load the kernels
    from farglide.radio.antenna.mounted import HalfPower
    from farglide.radio.ends.gear import PolarisationGear
    from farglide.radio.path.bounce import BounceSwing

LOW_DEG: Final = 3.0
"""The elevation for which the bounce off the ground is told; it is in no number."""
RAIN_AT_DEG: Final = 10.0
"""The elevation for which the loss in rain is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EndOutlook:
    """One end of a link as stated, and what its antenna, its aim and its stance make of it."""

    spec: End
    name: str  # in the middle of a sentence; "antenna" where only its gain is known
    gain_dbi: float
    beam: "HalfPower | None"  # None for what is no beam
    aim_loss_db: float | None  # None for what nobody aims
    level_db: float  # as it stands against its best: at the horizon
    steep_db: float  # and straight above the ground, or straight below the glider


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkAntennas:
    """A link as stated, and what its antennas, its place, the rain and a ground test make of it."""

    spec: LinkSpec
    ends: tuple[EndOutlook, ...]  # sender, receiver: those of which more than a gain is known
    polarisation: "PolarisationGear | None"  # None where it is not stated
    noise_db: float | None  # by which its place raises the receiver's floor; None without one
    rain_db: float | None  # taken at RAIN_AT_DEG; None for a dry link
    bounce: "BounceSwing"  # off smooth ground, at LOW_DEG
    test_offset_db: float  # found off the budget, 0 without a ground test
    doubt_db: float  # one standard deviation about the whole budget

    @property
    def any_roll(self) -> bool:
        """Tell whether any roll is as likely: how far the end that flies swings is not stated."""
        sender, receiver = self.spec.sender_end, self.spec.receiver_end
        return (sender if sender.aboard else receiver).swing_deg is None

    @property
    def is_fault(self) -> bool:
        """Tell whether a ground test asks for the fault instead of shifting the margins."""
        return abs(self.test_offset_db) > FAULT_DB
