"""Antennas as their owner knows them, by measures or data sheet, each with its pattern."""

import math
from dataclasses import dataclass
from functools import partial
from typing import ClassVar, Final

from farglide.errors import ContradictionError, InputError, check_range
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.antenna.measured import Measured
from farglide.radio.antenna.pattern import Cuts, GainLaw, Pattern, tabulated
from farglide.radio.antenna.shape import (
    SIDE_LOBE_DB,
    BeamwidthLaw,
    collinear_beamwidth_deg,
    collinear_dbi,
    dipole_dbi,
    dish_beamwidth_deg,
    dish_dbi,
    gain_from_beamwidths_dbi,
    main_lobe_db,
    monopole_dbi,
    usual_lobe_factor,
)
from farglide.radio.antenna.stance import AIMED, SKYWARD, UPRIGHT, UsualStance
from farglide.radio.path.space import wavelength_m

_WIDEST_BEAM_DEG: Final = 150.0
_BEAMS_DEG: Final = (1.0, _WIDEST_BEAM_DEG)
_SPREAD_DBI: Final = -8.4  # 0.146 of the power, evenly all round
_BOUND_SLACK_DB: Final = 2.0  # data sheets round, and the bound is loose for wide beams


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
class Beam:
    """What is aimed, by its half-power beamwidths; without a gain, the one they stand for.

    Side and back lobes are a floor all round. Unstated, it lies 20 dB below the peak (common
    practice, no source), but not above -8.4 dBi: there it has the power that a main lobe of the
    gain of ITU-R F.1336-5 leaves, 1 - 31 000 / 41 253 x pi / (1.2 ln 10) = 0.146.
    """

    level_deg: float
    upright_deg: float
    gain_dbi: float | None = None
    side_lobe_db: float | None = None  # below the peak
    noun: ClassVar[str] = "beam"
    usual: ClassVar[UsualStance] = AIMED

    def __post_init__(self) -> None:
        check_range("level_deg", self.level_deg, "deg", _BEAMS_DEG, "Give the full width.")
        check_range("upright_deg", self.upright_deg, "deg", _BEAMS_DEG, "Give the full width.")
        check_range("gain_dbi", self.peak_dbi, "dBi", (-10.0, 50.0))
        check_range("side_lobe_db", self.floor_db, "dB", (3.0, 60.0), "Count below the peak.")
        bound_dbi = gain_from_beamwidths_dbi(self.level_deg, self.upright_deg, BeamwidthLaw.SPHERE)
        if self.peak_dbi > bound_dbi + _BOUND_SLACK_DB:
            raise ContradictionError(
                f"gain {self.peak_dbi:g} dBi with beams of {self.level_deg:g} x "
                f"{self.upright_deg:g} deg: even without side lobes that is {bound_dbi:.1f} dBi.",
                "Are the widths full ones, and is the gain in dBi?",
            )

    @property
    def peak_dbi(self) -> float:
        """Return the peak gain: as stated, else from the beamwidths."""
        if self.gain_dbi is None:
            return gain_from_beamwidths_dbi(self.level_deg, self.upright_deg)
        return self.gain_dbi

    @property
    def floor_db(self) -> float:
        """Return how far the floor lies below the peak."""
        if self.side_lobe_db is None:
            return max(SIDE_LOBE_DB, self.peak_dbi - _SPREAD_DBI)
        return self.side_lobe_db

    def cuts(self) -> Cuts:
        """Return the gain by angle off the boresight in both planes."""
        narrow_deg = min(self.level_deg, self.upright_deg)
        level, upright = self._plane(self.level_deg), self._plane(self.upright_deg)
        return Cuts(level, upright, narrow_deg, self.floor_db)

    def _plane(self, beamwidth_deg: float) -> GainLaw:
        peak_dbi = self.peak_dbi
        return lambda angle_deg: peak_dbi + main_lobe_db(angle_deg, beamwidth_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Yagi(Beam):
    """Rods in a row along the boresight."""

    noun: ClassVar[str] = "yagi"


@dataclass(frozen=True, slots=True, kw_only=True)
class PatchAntenna(Beam):
    """A plate over a larger one, facing along the boresight."""

    noun: ClassVar[str] = "patch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dish:
    """A parabolic dish by its diameter, 2.1 to 100 wavelengths.

    Its side lobes are an envelope: what comes from there is on average several decibels weaker.
    """

    diameter_m: float
    frequency_hz: float
    noun: ClassVar[str] = "dish"
    usual: ClassVar[UsualStance] = AIMED

    def __post_init__(self) -> None:
        remedy = "Below 1 GHz give a dish as a beam."
        check_range("frequency_hz", self.frequency_hz, "Hz", (1.0e9, 30.0e9), remedy)
        check_range("diameter_m", self.diameter_m, "m", (0.02, 30.0), "Give metres.")
        if not 2.1 <= self._wavelengths() <= 100.0:
            given = f"{self.diameter_m:g} m, {self._wavelengths():.3g} wavelengths"
            remedy = "Give it as a beam with its beamwidths."
            raise InputError("diameter_m", given, "2.1 to 100 wavelengths", remedy)

    def cuts(self) -> Cuts:
        """Return the gain by angle off the boresight."""
        size = self._wavelengths()
        law = partial(dish_dbi, diameter_wavelengths=size)
        return Cuts(law, law, dish_beamwidth_deg(size), math.inf)

    def _wavelengths(self) -> float:
        return self.diameter_m / wavelength_m(self.frequency_hz)


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
        bound_dbi = round(_BOUND_SLACK_DB - 10.0 * math.log10(covered), 1)
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


def even_beam_deg(gain_dbi: float) -> float:
    """Return the beamwidth, alike in both planes, that stands for a gain; 150 degrees at most.

    Source: ITU-R F.1336-5, read backwards.

    >>> round(even_beam_deg(12.0), 1), even_beam_deg(0.0)
    (44.2, 150.0)
    """
    even_deg = math.sqrt(BeamwidthLaw.F1336.value / math.pow(10.0, 0.1 * gain_dbi))
    return min(even_deg, _WIDEST_BEAM_DEG)
