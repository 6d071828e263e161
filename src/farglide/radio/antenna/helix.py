"""Axial-mode helices, one or an array of them: their laws and what their owner states."""

import math
from dataclasses import dataclass
from typing import ClassVar, Final

from farglide.errors import check_range
from farglide.radio.antenna.pattern import Cuts, GainLaw
from farglide.radio.antenna.shape import field_db
from farglide.radio.antenna.stance import AIMED, UsualStance

USUAL_SPACING_RATIO: Final = 0.236
"""From turn to turn over the circumference, where only that is known: a pitch of 13.3 degrees."""
_SIDE_LOBE_DETAIL_DEG: Final = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Helix:
    """An axial-mode helix: turns n, their spacing S and their circumference C in wavelengths."""

    n_turns: int
    spacing_wavelengths: float
    circumference_wavelengths: float
    noun: ClassVar[str] = "helix"
    usual: ClassVar[UsualStance] = AIMED

    def __post_init__(self) -> None:
        around, remedy = self.circumference_wavelengths, "Only there it radiates along its axis."
        check_range("n_turns", self.n_turns, "", (4, 60))
        check_range("circumference_wavelengths", around, "", (0.75, 4.0 / 3.0), remedy)
        pitch_deg = math.degrees(math.atan2(self.spacing_wavelengths, around))
        remedy = "Check spacing_wavelengths over circumference_wavelengths."
        check_range("pitch of the helix", pitch_deg, "deg", (12.0, 15.0), remedy)

    @property
    def gain_dbi(self) -> float:
        """Return the peak gain: 12 C^2 n S.

        Source: Kraus, Antennas, example 8-5.3 (14.5 dBi for 10 turns); the first edition's factor
        15 promises 1 dB more.
        """
        around = self.circumference_wavelengths
        return 10.0 * math.log10(12.0 * around**2 * self.n_turns * self.spacing_wavelengths)

    def shape_db(self, off_axis_deg: float) -> float:
        """Return the gain relative to the peak: one turn times the end-fire row.

        The main lobe comes out some degrees wider than 52 / (C sqrt(n S)).
        Source: Kraus, Antennas, from memory: sin(pi/2n) sin(n psi/2) / sin(psi/2) cos(angle),
        psi = 2 pi (S (1 - cos(angle)) + 1/2n).
        """
        cosine = math.cos(math.radians(off_axis_deg))
        half_psi = math.pi * (self.spacing_wavelengths * (1.0 - cosine) + 0.5 / self.n_turns)
        row = math.sin(self.n_turns * half_psi) / math.sin(half_psi)
        return field_db(math.sin(0.5 * math.pi / self.n_turns) * row * cosine)

    def cuts(self) -> Cuts:
        """Return the gain by angle off the boresight."""
        peak_dbi = self.gain_dbi

        def law(angle_deg: float) -> float:
            return peak_dbi + self.shape_db(angle_deg)

        return Cuts(law, law, _SIDE_LOBE_DETAIL_DEG)


@dataclass(frozen=True, slots=True, kw_only=True)
class HelixArray:
    """Equal helices side by side in a grid, fed alike, each with room for what it collects."""

    helix: Helix
    n_level: int
    n_upright: int
    apart_wavelengths: float
    noun: ClassVar[str] = "helix array"
    usual: ClassVar[UsualStance] = AIMED

    @property
    def n_helices(self) -> int:
        """Return how many helices there are."""
        return self.n_level * self.n_upright

    def __post_init__(self) -> None:
        check_range("n_level", self.n_level, "", (1, 8))
        check_range("n_upright", self.n_upright, "", (1, 8))
        # the side of a square of the effective aperture G lambda^2 / 4 pi, 1.5 wavelengths for ten
        # turns; closer together they share what arrives, and 10 log N promises too much
        side = math.sqrt(math.pow(10.0, 0.1 * self.helix.gain_dbi) / (4.0 * math.pi))
        remedy = "Closer, the gains do not add up; wider, the side lobes are as strong as the beam."
        apart = self.apart_wavelengths
        check_range("apart_wavelengths", apart, "", (0.95 * side, 1.5 * side), remedy)

    @property
    def gain_dbi(self) -> float:
        """Return the peak gain: that of one and 10 log N.

        Source: Kraus, Antennas, example 8-5.3 (20.5 dBi for four of ten turns, 1.5 wavelengths
        apart); the integral of the shape gives 0.7 dB less for those.
        """
        return self.helix.gain_dbi + 10.0 * math.log10(self.n_level * self.n_upright)

    def cuts(self) -> Cuts:
        """Return the gain by angle off the boresight in both planes."""
        lobe_deg = math.degrees(
            0.886 / (max(self.n_level, self.n_upright) * self.apart_wavelengths)
        )
        level, upright = self._plane(self.n_level), self._plane(self.n_upright)
        if self.n_level == self.n_upright:
            upright = level
        return Cuts(level, upright, min(0.5 * lobe_deg, _SIDE_LOBE_DETAIL_DEG))

    def _plane(self, n_members: int) -> GainLaw:
        peak_dbi, apart = self.gain_dbi, self.apart_wavelengths

        def law(angle_deg: float) -> float:
            one_db = self.helix.shape_db(angle_deg)
            return peak_dbi + one_db + row_db(angle_deg, n_members, apart)

        return law


def row_db(off_axis_deg: float, n_members: int, apart_wavelengths: float) -> float:
    """Return what a row of equal antennas, fed alike, adds in its own plane, 0 at the boresight.

    Source: uniform broadside array, sin(N x) / (N sin x) with x = pi d sin(angle); Balanis, 6.3,
    from memory.
    """
    x = math.pi * apart_wavelengths * math.sin(math.radians(off_axis_deg))
    if abs(math.sin(x)) < 1e-9:
        return 0.0
    return field_db(math.sin(n_members * x) / (n_members * math.sin(x)))
