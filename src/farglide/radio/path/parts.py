"""Parts of a way between two antennas: their heights, the ground below, the wave over the earth."""

from typing import NamedTuple

from farglide.arrays import FloatArray


class Heights(NamedTuple):
    """Heights of the two antennas, above what the function says."""

    one_m: float
    other_m: float


class Profile(NamedTuple):
    """The ground along a way: distances from the first antenna, rising from 0, and heights.

    The heights are above sea level; at both ends they are the antennas' own ground.
    """

    distance_m: FloatArray
    ground_amsl_m: FloatArray


class WaveOverEarth(NamedTuple):
    """A wave by its length, and the effective radius of the earth below its way."""

    wave_m: float
    earth_m: float


class Land(NamedTuple):
    """The ground as a wave meets it."""

    permittivity: float  # over that of empty space
    conductivity_spm: float


class Span(NamedTuple):
    """A way by the heights of its two ends and its length."""

    one_m: float
    other_m: float
    whole_m: float


class Slopes(NamedTuple):
    """How steeply the way to its horizon rises from each end, metres by metre."""

    from_one: float
    from_other: float
