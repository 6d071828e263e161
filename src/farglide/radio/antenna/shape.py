"""The shapes of antennas: gain by angle, beamwidth and peak gain of each kind, as formulas.

`axis_deg` counts from the wire of an upright antenna, `off_axis_deg` from the boresight of a beam;
both run from 0 to 180. The types in `kinds.py` check the measures.
"""

import math
from enum import Enum
from typing import Final

from farglide.errors import check_range
from farglide.radio.path.diffraction import knife_edge_loss_db

NULL_DB: Final = 30.0
"""How far below its peak a null of a formula is taken to go; wires and masts fill up the rest.

Common practice, no source.
"""

SIDE_LOBE_DB: Final = 20.0
"""How far below the peak side and back lobes lie when nobody states it (common practice)."""

# 4 pi over the integral of the pattern in closed form: 4 / Cin(2 pi), computed in the tests
_DIPOLE_RATIO: Final = 1.640922


class BeamwidthLaw(float, Enum):
    """Laws that give a gain, a number over the product of two half-power beamwidths in degrees."""

    SPHERE = 41253.0  # (180 / pi)^2 4 pi: all power in the beam, an upper bound; Kraus
    KRAUS = 32400.0  # in use, an open code has it for planar arrays; Kraus, from memory
    PRACTICAL = 30000.0  # Kraus, Antennas; from memory
    F1336 = 31000.0  # ITU-R F.1336-5
    F699 = 10.0**4.45  # ITU-R F.699-7, 44.5 - 20 log(beamwidth)
    RESOLUTION_553 = 10.0**4.445  # ITU Resolution 553 (WRC-12), figure 1


def gain_from_beamwidths_dbi(
    level_deg: float, upright_deg: float, law: BeamwidthLaw = BeamwidthLaw.F1336
) -> float:
    """Return the peak gain behind the half-power beamwidths of two planes.

    Valid: narrow beams with low side lobes; above 60 degrees or so a guide only. The laws differ
    by 1.7 dB at most. Source: beside each law.

    >>> round(gain_from_beamwidths_dbi(30.0, 60.0), 2)
    12.36
    """
    check_range("level_deg", level_deg, "deg", (0.1, 180.0), "Give the full half-power width.")
    check_range("upright_deg", upright_deg, "deg", (0.1, 180.0), "Give the full half-power width.")
    return 10.0 * math.log10(law.value / (level_deg * upright_deg))


def field_db(field: float) -> float:
    """Return a field relative to its peak in decibels, nulls filled."""
    return max(20.0 * math.log10(max(abs(field), 1e-9)), -NULL_DB)


def main_lobe_db(off_axis_deg: float, beamwidth_deg: float) -> float:
    """Return the gain relative to the peak of a beam: -12 (angle / beamwidth)^2, without a floor.

    Valid: as a law up to half the beamwidth, as a convention beyond.
    Source: ITU Resolution 553 (WRC-12), figure 1, curve A; ITU-R F.1336-4, 2.2, beyond.
    """
    return -12.0 * (off_axis_deg / beamwidth_deg) ** 2


def dipole_dbi(axis_deg: float) -> float:
    """Return the gain of a thin half-wave dipole, by the angle from its wire.

    Valid: free space, no mast near it. Source: 1.64 (cos(pi/2 cos angle) / sin angle)^2, which
    integrates to the power it is fed; Balanis, Antenna Theory, 4.6 (section from memory).

    >>> [round(dipole_dbi(90.0 - elevation), 2) for elevation in (0, 30, 45, 75)]
    [2.15, 0.39, -1.89, -11.54]
    """
    cosine = math.cos(math.radians(axis_deg))
    sine = math.sqrt(1.0 - cosine * cosine)
    field = math.cos(0.5 * math.pi * cosine) / sine if sine > 1e-6 else 0.0
    return 10.0 * math.log10(_DIPOLE_RATIO) + field_db(field)


def monopole_dbi(axis_deg: float, ground_radius_wavelengths: float) -> float:
    """Return the gain of an upright quarter-wave over flat metal, by the angle from its wire.

    On an infinite ground plane it is a dipole with twice the gain, and below the horizon a null.
    The rim of a finite one takes 6 dB at the horizon, whatever its size, and lets power round.
    Valid: rims half a wavelength away or more.
    Source: image theory (Balanis, 4.7, section from memory); rim: ITU-R P.526, single knife edge,
    seen from the foot of the wire, common practice, no source for putting the two together.

    >>> round(monopole_dbi(90.0, math.inf), 2), round(monopole_dbi(90.0, 2.0), 2)
    (5.16, -0.87)
    """
    height = math.cos(math.radians(axis_deg))  # sine of the elevation
    if math.isinf(ground_radius_wavelengths):
        return dipole_dbi(axis_deg if axis_deg <= 90.0 else 0.0) + 10.0 * math.log10(2.0)
    whole_dbi = dipole_dbi(axis_deg) + 10.0 * math.log10(2.0)
    return whole_dbi - knife_edge_loss_db(-height * math.sqrt(2.0 * ground_radius_wavelengths))


def dish_beamwidth_deg(diameter_wavelengths: float) -> float:
    """Return the half-power beamwidth of a dish: 70 wavelengths / D. Source: ITU-R F.699-7."""
    return 70.0 / diameter_wavelengths


def dish_dbi(off_axis_deg: float, diameter_wavelengths: float) -> float:
    """Return the gain of a dish, its side lobes by their envelope: 7.7 + 20 log D at its peak.

    >>> round(dish_dbi(0.0, 1.0 / 0.21), 3)
    21.256

    Valid: D / wavelength up to 100, from 2.1, below which the laws of its ranges overlap; above
    1 GHz. Source: ITU-R F.699-7. One open code ends in -10 - 10 log(D / wavelength); +10 is right,
    as only that joins the law before it at 48 degrees.
    """
    size_db = 10.0 * math.log10(diameter_wavelengths)
    peak_dbi, first_lobe_dbi = 7.7 + 20.0 * math.log10(diameter_wavelengths), 2.0 + 1.5 * size_db
    if off_axis_deg < 20.0 / diameter_wavelengths * math.sqrt(peak_dbi - first_lobe_dbi):
        return peak_dbi - 2.5e-3 * (diameter_wavelengths * off_axis_deg) ** 2
    if off_axis_deg < 100.0 / diameter_wavelengths:
        return first_lobe_dbi
    if off_axis_deg < 48.0:
        return 52.0 - size_db - 25.0 * math.log10(off_axis_deg)
    return 10.0 - size_db


def collinear_beamwidth_deg(gain_dbi: float) -> float:
    """Return the half-power beamwidth in elevation of an omnidirectional antenna of this gain.

    Source: ITU-R F.1336-4, equation 1b: 107.6 x 10^(-0.1 G0).

    >>> round(collinear_beamwidth_deg(6.0), 2)
    27.03
    """
    return 107.6 * math.pow(10.0, -0.1 * gain_dbi)


def usual_lobe_factor(frequency_hz: float) -> float:
    """Return k of ITU-R F.1336 for a typical omnidirectional antenna: 0.7 to 3 GHz, 0 above.

    Source: ITU-R F.1336-5, recommends 2.3 and 2.4, as an open code has it.
    """
    return 0.7 if frequency_hz <= 3e9 else 0.0


def collinear_dbi(axis_deg: float, gain_dbi: float, lobe_factor: float) -> float:
    """Return the gain of an upright omnidirectional antenna, its side lobes by their mean.

    Valid: 400 MHz to 70 GHz, below a convention. Source: ITU-R F.1336-4 (02/2014), 2.2, as three
    open codes carry it: G0 - 15 + 10 log((elevation / beamwidth)^-1.5 + k). The law
    steps down by 0.7 dB (k = 0.7) or 3 dB (k = 0) where the side lobes begin, as it does there.
    Integrated, it radiates what it is fed within 0.7 dB up to 9 dBi; at 12 dBi the side lobes of
    k = 0.7 are too strong, by 1.4 dB of all power, and those of k = 0 fit.
    """
    share = abs(90.0 - axis_deg) / collinear_beamwidth_deg(gain_dbi)
    if share < 1.0:
        return gain_dbi + main_lobe_db(share, 1.0)
    shelf_end = math.sqrt(1.25 - math.log10(lobe_factor + 1.0) / 1.2)
    lobe = 1.0 if share < shelf_end else math.pow(share, -1.5)
    return gain_dbi - 15.0 + 10.0 * math.log10(lobe + lobe_factor)
