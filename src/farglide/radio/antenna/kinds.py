"""Antennas as their owner knows them, by measures or data sheet, each with its pattern."""

import math
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from farglide.errors import check_range
from farglide.radio.antenna.beams import BOUND_SLACK_DB, Beam, Dish
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.antenna.measured import Measured
from farglide.radio.antenna.pattern import Cuts, Pattern, tabulated
from farglide.radio.antenna.shape import (
    collinear_beamwidth_deg,
    collinear_dbi,
    dipole_dbi,
    monopole_dbi,
    usual_lobe_factor,
)
from farglide.radio.antenna.stance import SKYWARD, UPRIGHT, UsualStance


@dataclass(frozen=True, slots=True, kw_only=True)
class Dipole:
    """A half-wave wire; its axis is the wire. An upright one hardly hears what is overhead."""

    noun: ClassVar[str] = "dipole"
    usual: ClassVar[UsualStance] = UPRIGHT

    def cuts(self) -> Cuts:
        """Return the gain by angle from the wire."""
        return Cuts(dipole_dbi, dipole_dbi, 78.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Monopole:
    """A quarter-wave wire over flat metal; its axis is the wire, 0 straight up.

    An infinite radius is the infinite ground plane of the data sheets: 5.16 dBi at the horizon,
    where a real one has 6 dB less. Below half a wavelength (four short rods) take a dipole.
    """

    ground_radius_wavelengths: float = math.inf
    noun: ClassVar[str] = "quarter wave"
    usual: ClassVar[UsualStance] = UPRIGHT

    def __post_init__(self) -> None:
        radius, remedy = self.ground_radius_wavelengths, "For less ground take a dipole."
        check_range("ground_radius_wavelengths", radius, "", (0.5, math.inf), remedy)

    def cuts(self) -> Cuts:
        """Return the gain by angle from the wire, above and below the metal."""
        radius = float(self.ground_radius_wavelengths)
        law = partial(monopole_dbi, ground_radius_wavelengths=radius)
        return Cuts(law, law, 40.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Collinear:
    """An upright omnidirectional antenna by its gain; its axis is the rod.

    `lobe_factor` is k of ITU-R F.1336: unstated 0.7 up to 3 GHz and 0 above, as it has typical
    antennas (F.1336-5, recommends 2.3 and 2.4); 0 for one with suppressed side lobes.
    """

    gain_dbi: float
    frequency_hz: float
    lobe_factor: float | None = None
    noun: ClassVar[str] = "collinear antenna"
    usual: ClassVar[UsualStance] = UPRIGHT

    def __post_init__(self) -> None:
        remedy = "Is it in dBi? 0 dBd is 2.15 dBi."
        check_range("gain_dbi", self.gain_dbi, "dBi", (2.0, 15.0), remedy)
        remedy = "Below 30 MHz give its gain alone."
        check_range("frequency_hz", self.frequency_hz, "Hz", (30e6, 70e9), remedy)
        if self.lobe_factor is not None:
            check_range("lobe_factor", self.lobe_factor, "", (0.0, 1.0))

    def cuts(self) -> Cuts:
        """Return the gain by angle from the rod."""
        factor = self.lobe_factor
        if factor is None:
            factor = usual_lobe_factor(self.frequency_hz)
        law = partial(collinear_dbi, gain_dbi=self.gain_dbi, lobe_factor=factor)
        return Cuts(law, law, collinear_beamwidth_deg(self.gain_dbi), math.inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnstile:
    """Crossed dipoles, nearly alike over their half of the sky.

    Where the troughs of the ripple lie is not known, so half of it is taken off all round. From
    the edge on, the decibels fall evenly to the far end of the axis.
    Source: common practice, no source.
    """

    gain_dbi: float  # mean over its half of the sky
    ripple_db: float  # from crest to trough
    edge_deg: float = 90.0  # 180: alike all round
    back_db: float = 15.0  # below the front
    noun: ClassVar[str] = "turnstile"
    usual: ClassVar[UsualStance] = SKYWARD

    def __post_init__(self) -> None:
        check_range("edge_deg", self.edge_deg, "deg", (45.0, 180.0))
        check_range("ripple_db", self.ripple_db, "dB", (0.0, 20.0), "Count from crest to trough.")
        covered = 0.5 * (1.0 - math.cos(math.radians(self.edge_deg)))
        bound_dbi = round(BOUND_SLACK_DB - 10.0 * math.log10(covered), 1)
        remedy = "Over so much of the sky no more is possible: is this a beam?"
        check_range("gain_dbi", self.gain_dbi, "dBi", (-10.0, bound_dbi), remedy)
        check_range("back_db", self.back_db, "dB", (0.0, 60.0), "Count below the front.")

    def cuts(self) -> Cuts:
        """Return the gain by angle off the axis."""
        front_dbi = self.gain_dbi - 0.5 * self.ripple_db

        def law(angle_deg: float) -> float:
            beyond_deg = max(angle_deg - self.edge_deg, 0.0)
            return front_dbi - self.back_db * beyond_deg / max(180.0 - self.edge_deg, 1.0)

        return Cuts(law, law, 90.0, math.inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lobed(Turnstile):
    """An antenna of three or four lobes: nearly alike all round."""

    edge_deg: float = 180.0
    noun: ClassVar[str] = "lobed antenna"


Formula = Dipole | Monopole | Helix | HelixArray | Beam | Dish | Collinear | Turnstile
"""Antennas whose gain follows from their measures."""
Antenna = Formula | Measured


def pattern_of(antenna: Antenna) -> Pattern:
    """Return the pattern of an antenna that nothing hurt.

    >>> from farglide.radio.antenna.pattern import gain_towards_dbi
    >>> whip = pattern_of(Dipole())
    >>> [round(gain_towards_dbi(whip, 90.0 - elevation), 1) for elevation in (0.0, 45.0, 90.0)]
    [2.2, -1.9, -27.8]
    """
    if isinstance(antenna, Measured):
        return antenna.pattern()
    return tabulated(antenna.cuts())
