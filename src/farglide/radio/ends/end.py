"""A link as its owner states it, and each of its ends: antenna, stance, wave, and what hurt it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

from farglide.radio.antenna.stance import UPRIGHT, Stance
from farglide.radio.path.rain import TOP_M

if TYPE_CHECKING:  # else every flight file, also one without an antenna, would load the kernels
    from farglide.radio.antenna.kinds import Antenna

UNSTATED: Final = "unstated"
"""The polarisation of an end of which it is not known."""
Purpose = Literal["command", "picture", "position"]
NO_PLACE: Final = "none"
"""Surroundings of a receiver whose place adds no noise that is known."""
FAULT_DB: Final = 10.0
"""A ground test farther off its budget asks for the fault (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """One end of a link; without an antenna only a gain is known, the same in every direction.

    `gain_dbi`: as stated, else the antenna's own; `pointing` None: as such antennas usually stand.
    A measured antenna is None until the files at `pattern_paths` are read.
    """

    antenna: "Antenna | None" = None
    pattern_paths: tuple[str, ...] = ()
    gain_dbi: float | None = None
    aboard: bool = False
    pointing: Stance | None = None
    aim_spread_deg: float = 0.0  # of what is aimed, in each of two directions
    swing_deg: float | None = None  # of what is not, from its place to each side
    polarisation: str = UNSTATED
    axial_ratio_db: float = 0.0  # of a circular wave
    damage_db: float = 0.0
    damage_skew_deg: float = 0.0

    @property
    def has_pattern(self) -> bool:
        """Tell whether more than a gain is known of it."""
        return self.antenna is not None or bool(self.pattern_paths)

    @property
    def says_more(self) -> bool:
        """Tell whether it adds anything to a budget besides its gain."""
        return self.has_pattern or self.polarisation != UNSTATED or bool(self.damage_db)

    @property
    def stands(self) -> Stance:
        """Return how it points: as stated, else as such antennas usually do."""
        if self.pointing is not None:
            return self.pointing
        usual = UPRIGHT if self.antenna is None else self.antenna.usual
        return usual.aboard if self.aboard else usual.on_the_ground


ONLY_A_GAIN: Final = End()


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
    rain_depth_m: float = TOP_M  # above the lower antenna
    tested: GroundTest | None = None  # then it says how far off the budget is
    is_eirp: bool = False  # power_w is what leaves the antenna, loss and gain in it
