"""Noise: what a receiver hears when nobody sends."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from farglide.constants import DECILE_SDS
from farglide.errors import InputError, check_range
from farglide.radio.path.space import checked_frequency_hz

BOLTZMANN_JPK: Final = 1.380649e-23  # SI brochure, 9th edition, table 1: exact
REFERENCE_K: Final = 290.0


class NoiseRaise(NamedTuple):
    """By how much the noise of a place raises a receiver's floor, and the deviation of that."""

    raise_db: float
    sd_db: float


class _ManMade(NamedTuple):
    """A median figure that falls with the frequency, from_db - slope_db log f (MHz).

    And how far the upper and the lower decile lie from it.
    """

    from_db: float
    slope_db: float
    upper_db: float
    lower_db: float


# Source: ITU-R P.372, constants as in the code of ITU-R Study Group 3 (P.372-10, table 2). No
# deciles are published for a quiet rural place: those of a rural one stand in.
_MAN_MADE: Final = {
    "city": _ManMade(76.8, 27.7, 11.0, 6.7),
    "residential": _ManMade(72.5, 27.7, 10.6, 5.3),
    "rural": _ManMade(67.2, 27.7, 9.2, 4.6),
    "quiet rural": _ManMade(53.6, 28.6, 9.2, 4.6),
}
_MAN_MADE_TOP_HZ: Final = 250e6
_CITY_TOP_HZ: Final = 900e6


def thermal_noise_dbm(bandwidth_hz: float) -> float:
    """Return the thermal noise power in a bandwidth at 290 K.

    >>> round(thermal_noise_dbm(8e6), 2)
    -104.94

    Source: k T B.
    """
    if not 1.0 <= bandwidth_hz <= 1e9:
        raise InputError("bandwidth_hz", f"{bandwidth_hz:g} Hz", "1 Hz to 1 GHz", "Give hertz.")
    return 10.0 * math.log10(BOLTZMANN_JPK * REFERENCE_K * bandwidth_hz) + 30.0


def man_made_figure_db(place: str, frequency_hz: float) -> float:
    """Return the median man-made noise figure of a kind of place, over thermal noise at 290 K.

    >>> round(man_made_figure_db("rural", 144e6), 1), round(man_made_figure_db("city", 868e6), 1)
    (7.4, 8.2)

    Valid: 30 to 250 MHz, in a city to 900 MHz; above, measure it (the ground test does). The curve
    of a quiet rural place is published to 30 MHz (from memory); drawn on, it lies 7 dB and more
    below the galaxy and adds 0.8 dB at most.
    Source: ITU-R P.372; the city's second branch, 44.3 - 12.3 log f, from P.372-8, second-hand.
    """
    megahertz = checked_frequency_hz(frequency_hz) / 1e6
    law = _law_of(place)
    top_hz = _CITY_TOP_HZ if place == "city" else _MAN_MADE_TOP_HZ
    if frequency_hz > top_hz:
        allowed = f"30 to {top_hz / 1e6:.0f} MHz for {place}"
        remedy = "Above it no figure is published: measure the noise on the spot."
        raise InputError("frequency_hz", f"{megahertz:g} MHz", allowed, remedy)
    figure_db = law.from_db - law.slope_db * math.log10(megahertz)
    if place == "city":
        return max(figure_db, 44.3 - 12.3 * math.log10(megahertz))
    return figure_db


def man_made_sd_db(place: str) -> float:
    """Return the standard deviation of the man-made noise of a kind of place, in decibels.

    Both deciles together, as if the decibels were normal.

    >>> round(man_made_sd_db("city"), 1), round(man_made_sd_db("rural"), 1)
    (6.9, 5.4)

    Source: as `man_made_figure_db`.
    """
    law = _law_of(place)
    return 0.5 * (law.upper_db + law.lower_db) / DECILE_SDS


def _law_of(place: str) -> _ManMade:
    if place not in _MAN_MADE:
        raise InputError("place", repr(place), ", ".join(_MAN_MADE))
    return _MAN_MADE[place]


def galactic_figure_db(frequency_hz: float) -> float:
    """Return the median noise figure of the galaxy.

    >>> round(galactic_figure_db(144e6), 2)
    2.36

    Valid: to 100 MHz (from memory), drawn on above, where it sinks below the receiver's own noise.
    Source: ITU-R P.372-10, table 1, 52 - 23 log f (MHz).
    """
    return 52.0 - 23.0 * math.log10(checked_frequency_hz(frequency_hz) / 1e6)


def system_noise_figure_db(receiver_db: float, external_db: Sequence[float] = ()) -> float:
    """Return the noise figure of a receiver with what its antenna hears.

    Source: ITU-R P.372, f = f_a + f_r - 1 for a loss-free antenna; powers of several sources add.
    Without an external figure the antenna is taken to hear 290 K, as one that looks at the ground.
    """
    check_range("receiver_db", receiver_db, "dB", (0.0, 60.0))
    heard = sum(math.pow(10.0, one / 10.0) for one in external_db) if external_db else 1.0
    return 10.0 * math.log10(heard + math.pow(10.0, receiver_db / 10.0) - 1.0)


def noise_raise(receiver_db: float, place: str, frequency_hz: float) -> NoiseRaise:
    """Return by how much the noise of a place raises a receiver's floor, and its deviation.

    The floor without it is that of an antenna that hears 290 K; where the place is quieter than
    that, nothing is taken off. The deviation is that of the man-made noise by its share of all.

    >>> [round(one, 1) for one in noise_raise(3.0, "city", 433.92e6)]
    [9.2, 6.4]

    Valid: antennas near the ground; frequencies as `man_made_figure_db`. Source: as there.
    """
    man_made_db = man_made_figure_db(place, frequency_hz)
    outside_db = [man_made_db, galactic_figure_db(frequency_hz)]
    quiet_db, loud_db = receiver_db, system_noise_figure_db(receiver_db, outside_db)
    if loud_db <= quiet_db:
        return NoiseRaise(0.0, 0.0)
    share = math.pow(10.0, 0.1 * (man_made_db - loud_db))
    return NoiseRaise(loud_db - quiet_db, man_made_sd_db(place) * min(share, 1.0))
