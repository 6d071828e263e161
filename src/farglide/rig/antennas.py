"""Antenna gear: one end of a link turned into a gain, a loss, a table by elevation and a doubt."""

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.errors import InputError
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.antenna.kinds import (
    Antenna,
    Beam,
    Collinear,
    Dipole,
    Dish,
    Monopole,
    Turnstile,
    pattern_of,
)
from farglide.radio.antenna.measured import measured_beam, measured_pattern
from farglide.radio.antenna.mounted import (
    AimLoss,
    Mount,
    Mounted,
    aim_loss,
    axis_dbi,
    half_power_deg,
    mounted,
)
from farglide.radio.antenna.pattern import Damage, Pattern, damaged, peak_dbi
from farglide.radio.antenna.polarisation import (
    Polarisation,
    Sense,
    best_mismatch_db,
    mean_mismatch_db,
    mismatch_db,
    worst_mismatch_db,
)
from farglide.radio.antenna.shape import BeamwidthLaw
from farglide.sim.hear.ears import N_SINES, elevation_gain_db
from farglide.sortie.antennas import BEAMS, MEASURED, EndSpec

FloatArray = NDArray[np.float64]

FAR_OFF_DB: Final = 3.0
"""A stated gain and that of the antenna's formula may differ by this; more is asked about."""
_SPACING_RATIO: Final = 0.236  # of the circumference: a pitch of 13.3 degrees
_WIDEST_BEAM_DEG: Final = 150.0
_SEEN_DEG: Final = (0.0, 60.0)
"""Elevations over which the spread of a gain is taken together: flights are mostly seen there."""
_N_ROLLS: Final = 720


class EndGear(NamedTuple):
    """What one end puts into the budget, and what it takes out of it.

    `gain_dbi`: stated, else the pattern's peak; `loss_db`: lost in every direction, by aim and
    damage; `table_db` (N_SINES,): gain against `gain_dbi` by the sine of the elevation; `sd_db`:
    doubt from aim, swing, headings and a skew.
    """

    spec: EndSpec
    gain_dbi: float
    loss_db: float
    table_db: FloatArray
    sd_db: float
    aim: AimLoss | None = None
    width_deg: tuple[float, float] | None = None  # of a beam, in both planes


class PolarisationGear(NamedTuple):
    """What two polarisations lose over the rolls, and when one end is turned for the best."""

    mean_db: float
    sd_db: float
    worst_db: float
    best_db: float


def end_gear(end: EndSpec, gain_dbi: float, frequency_hz: float) -> EndGear:
    """Return one end of a link; `gain_dbi` counts where nothing but a gain is known of it."""
    damage_db = end.damage_db or 0.0
    if not end.has_pattern:
        return EndGear(end, gain_dbi, damage_db, np.zeros(N_SINES), 0.0)
    pattern = pattern_at(end, frequency_hz)
    whole_dbi = peak_dbi(pattern)
    hurt = damaged(pattern, Damage(skew_deg=end.damage_skew_deg or 0.0))
    is_beam = end.antenna in BEAMS or end.stands == "aimed"
    width_deg = half_power_deg(pattern) if is_beam else None
    if end.stands == "aimed":
        aim = aim_loss(hurt, end.aim_spread_deg or 0.0)
        loss_db = damage_db + max(whole_dbi - axis_dbi(hurt), 0.0) + aim.mean_db
        return EndGear(end, whole_dbi, loss_db, np.zeros(N_SINES), aim.sd_db, aim, width_deg)
    stood = mounted(hurt, _mount(end, end.swing_deg or 0.0))
    table_db = elevation_gain_db(stood.pattern, whole_dbi, upside=end.aboard)
    sd_db = math.hypot(_seen_sd_db(stood, end), _skew_sd_db(pattern, end))
    return EndGear(end, whole_dbi, damage_db, table_db, sd_db, None, width_deg)


def pattern_at(end: EndSpec, frequency_hz: float) -> Pattern:
    """Return the pattern of an antenna that nothing hurt, its peak as stated where it is."""
    pattern = own_pattern(end, frequency_hz)
    shift_db = 0.0 if end.gain_dbi is None else end.gain_dbi - peak_dbi(pattern)
    if shift_db == 0.0:
        return pattern
    level = pattern.level_dbi + shift_db
    is_round = pattern.upright_dbi is pattern.level_dbi
    upright = level if is_round else pattern.upright_dbi + shift_db
    return Pattern(level, upright, pattern.floor_dbi + shift_db)


def own_pattern(end: EndSpec, frequency_hz: float) -> Pattern:
    """Return the pattern as measured, or as the formula of the antenna has it."""
    if end.antenna == MEASURED:
        if not end.planes:
            remedy = "The files are read when a flight is gathered."
            named = ", ".join(end.pattern_paths)
            raise InputError("pattern_file", f"{named}, not read", "read", remedy)
        return measured_beam(*end.planes) if len(end.planes) == 2 else measured_pattern(*end.planes)
    return pattern_of(antenna_at(end, frequency_hz))


def antenna_at(end: EndSpec, frequency_hz: float) -> Antenna:
    """Return an antenna by its measures, as the laws take it."""
    match end.antenna:
        case "dipole":
            return Dipole()
        case "quarter wave":
            return Monopole(ground_radius_wavelengths=_or(end.ground_radius_wavelengths, math.inf))
        case "collinear":
            return Collinear(gain_dbi=_or(end.gain_dbi, math.nan))
        case "helix":
            return _helix(end)
        case "helix array":
            return HelixArray(
                helix=_helix(end),
                n_level=round(end.n_level or 0),
                n_upright=round(end.n_upright or 0),
                apart_wavelengths=_or(end.apart_wavelengths, math.nan),
            )
        case "dish":
            return Dish(diameter_m=_or(end.diameter_m, math.nan), frequency_hz=frequency_hz)
        case "turnstile" | "lobed":
            return Turnstile(
                gain_dbi=_or(end.gain_dbi, math.nan),
                ripple_db=end.ripple_db or 0.0,
                edge_deg=_or(end.edge_deg, 180.0 if end.antenna == "lobed" else 90.0),
            )
    return _beam(end)


def polarisation_gear(one: EndSpec, other: EndSpec) -> PolarisationGear:
    """Return what two polarisations lose, over the rolls of the end that flies.

    With its swing unstated, over all rolls alike; else over tilts of that swing to each side.
    """
    waves = _wave(one), _wave(other)
    flies = one if one.aboard else other
    worst_db, best_db = worst_mismatch_db(*waves), best_mismatch_db(*waves)
    share = (np.arange(_N_ROLLS) + 0.5) / _N_ROLLS
    if flies.swing_deg is None:
        lost_db = np.array([mismatch_db(*waves, float(360.0 * one)) for one in share])
        return PolarisationGear(mean_mismatch_db(*waves), float(lost_db.std()), worst_db, best_db)
    tilts = flies.swing_deg * np.sin(2.0 * math.pi * share)
    lost_db = np.array([mismatch_db(*waves, float(tilt)) for tilt in tilts])
    return PolarisationGear(
        float(lost_db.mean()), float(lost_db.std()), float(lost_db.max()), best_db
    )


def tilt_at_deg(end: EndSpec) -> float:
    """Return the tilt of a wave's field from level; 45 for a circular one, and where unstated."""
    return {"linear level": 0.0, "linear upright": 90.0}.get(end.polarisation, 45.0)


def _wave(end: EndSpec) -> Polarisation:
    if end.polarisation.startswith("linear"):
        return Polarisation(sense=Sense.LINEAR, tilt_deg=tilt_at_deg(end))
    return Polarisation(sense=Sense(end.polarisation), axial_ratio_db=end.axial_ratio_db or 0.0)


def _helix(end: EndSpec) -> Helix:
    around = _or(end.circumference_wavelengths, 1.0)
    return Helix(
        n_turns=round(end.n_turns or 0),
        spacing_wavelengths=_or(end.spacing_wavelengths, _SPACING_RATIO * around),
        circumference_wavelengths=around,
    )


def _beam(end: EndSpec) -> Beam:
    """Return a yagi or patch; without a width, with the two alike that stand for its gain."""
    level, upright = end.beamwidth_level_deg, end.beamwidth_upright_deg
    if level is None and upright is None:
        even = math.sqrt(BeamwidthLaw.F1336.value / math.pow(10.0, 0.1 * _or(end.gain_dbi, 0.0)))
        level = min(even, _WIDEST_BEAM_DEG)
    one = _or(level, _or(upright, math.nan))
    return Beam(level_deg=one, upright_deg=_or(upright, one))


def _mount(end: EndSpec, lean_deg: float) -> Mount:
    if end.stands == "down":
        return Mount(axis="down", lean_deg=lean_deg)
    return Mount(axis="level" if end.stands == "level" else "up", lean_deg=lean_deg)


def _skew_sd_db(pattern: Pattern, end: EndSpec) -> float:
    """Return the spread from not knowing to which side an upright antenna was bent.

    A level one shows every side of itself over the headings already.
    """
    if not end.damage_skew_deg or end.stands == "level":
        return 0.0
    return _seen_sd_db(mounted(pattern, _mount(end, end.damage_skew_deg)), end)


def _seen_sd_db(stood: Mounted, end: EndSpec) -> float:
    """Return the root mean square of a spread over the elevations where flights are seen."""
    elevation_deg = np.linspace(*_SEEN_DEG, 61)
    from_up_deg = 90.0 + elevation_deg if end.aboard else 90.0 - elevation_deg
    grid_deg = np.linspace(0.0, 180.0, len(stood.sd_db))
    return float(np.sqrt(np.mean(np.interp(from_up_deg, grid_deg, stood.sd_db) ** 2)))


def _or(value: float | None, instead: float) -> float:
    return instead if value is None else value
