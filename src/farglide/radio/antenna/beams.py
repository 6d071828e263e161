"""Beams: antennas that are aimed, known by their gain, their beamwidths or their size."""

import math
from dataclasses import dataclass
from functools import partial
from typing import ClassVar, Final

from farglide.errors import ContradictionError, InputError, check_range
from farglide.radio.antenna.pattern import Cuts, GainLaw
from farglide.radio.antenna.shape import (
    SIDE_LOBE_DB,
    BeamwidthLaw,
    dish_beamwidth_deg,
    dish_dbi,
    gain_from_beamwidths_dbi,
    main_lobe_db,
)
from farglide.radio.antenna.stance import AIMED, UsualStance
from farglide.radio.path.space import wavelength_m

_WIDEST_BEAM_DEG: Final = 150.0
_BEAMS_DEG: Final = (1.0, _WIDEST_BEAM_DEG)
_SPREAD_DBI: Final = -8.4  # 0.146 of the power, evenly all round
BOUND_SLACK_DB: Final = 2.0  # data sheets round, and the bound is loose for wide beams


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
        if self.peak_dbi > bound_dbi + BOUND_SLACK_DB:
            raise ContradictionError(
                f"gain {self.peak_dbi:g} dBi with beams of {self.level_deg:g} x "
                f"{self.upright_deg:g}°: even without side lobes that is {bound_dbi:.1f} dBi.",
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


def even_beam_deg(gain_dbi: float) -> float:
    """Return the beamwidth, alike in both planes, that stands for a gain; 150 degrees at most.

    Source: ITU-R F.1336-5, read backwards.

    >>> round(even_beam_deg(12.0), 1), even_beam_deg(0.0)
    (44.2, 150.0)
    """
    even_deg = math.sqrt(BeamwidthLaw.F1336.value / math.pow(10.0, 0.1 * gain_dbi))
    return min(even_deg, _WIDEST_BEAM_DEG)
