"""Antenna spec: one end of a link as the flight file states its antenna."""

from dataclasses import dataclass
from typing import Final

Rows = tuple[tuple[float, float], ...]

STATED_GAIN: Final = "stated gain"
MEASURED: Final = "measured"
USUAL: Final = "usual"
UNSTATED: Final = "unstated"
NO_PLACE: Final = "none"

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

_NOUNS: Final = {
    MEASURED: "measured antenna", "lobed": "lobed antenna", "collinear": "collinear antenna",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class EndSpec:
    """The antenna of one end; None stands for what is not stated.

    `planes`: angles in degrees and gains in dBi out of the files at `pattern_paths`, empty until
    they are read: of one plane that stands for all, or of the level and the upright one.
    """

    antenna: str = STATED_GAIN
    pointing: str = USUAL
    polarisation: str = UNSTATED
    aboard: bool = False
    pattern_paths: tuple[str, ...] = ()
    planes: tuple[Rows, ...] = ()
    gain_dbi: float | None = None
    n_turns: float | None = None
    n_level: float | None = None
    n_upright: float | None = None
    circumference_wavelengths: float | None = None
    spacing_wavelengths: float | None = None
    apart_wavelengths: float | None = None
    ground_radius_wavelengths: float | None = None
    beamwidth_level_deg: float | None = None
    beamwidth_upright_deg: float | None = None
    diameter_m: float | None = None
    ripple_db: float | None = None
    edge_deg: float | None = None
    aim_spread_deg: float | None = None
    swing_deg: float | None = None
    axial_ratio_db: float | None = None
    damage_db: float | None = None
    damage_skew_deg: float | None = None

    @property
    def has_pattern(self) -> bool:
        """Tell whether more than a gain is known of it."""
        return self.antenna != STATED_GAIN

    @property
    def noun(self) -> str:
        """Return what it is in the middle of a sentence."""
        return _NOUNS.get(self.antenna, self.antenna)

    @property
    def says_more(self) -> bool:
        """Tell whether it adds anything to a budget besides its gain."""
        return self.has_pattern or self.polarisation != UNSTATED or bool(self.damage_db)

    @property
    def stands(self) -> str:
        """Return how it points: as stated, else as such antennas usually do."""
        if self.pointing != USUAL:
            return self.pointing
        if self.antenna in BEAMS:
            return "aimed"
        if self.antenna in ("turnstile", "lobed") and self.aboard:
            return "down"
        return "up"


ONLY_A_GAIN: Final = EndSpec()
