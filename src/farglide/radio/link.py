"""Link: one radio way from transmitter to receiver as a budget of decibels."""

import math
from dataclasses import dataclass
from typing import Final

from farglide.errors import ContradictionError, InputError, check_range
from farglide.radio.ends.end import Purpose
from farglide.radio.noise import thermal_noise_dbm
from farglide.radio.path.space import checked_frequency_hz, free_space_loss_db, free_space_range_m

_PURPOSES: Final = ("command", "picture", "position")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sender:
    """What leaves the transmitting antenna in its best direction."""

    power_w: float
    loss_db: float = 0.0  # of cable and plugs
    gain_dbi: float = 0.0

    def __post_init__(self) -> None:
        remedy = "Give watts: 30 dBm is 1 W, 25 mW is 0.025 W."
        check_range("power_w", self.power_w, "W", (1e-6, 2000.0), remedy)
        check_range("loss_db", self.loss_db, "dB", (0.0, 30.0), "A loss is above 0.")
        check_range("gain_dbi", self.gain_dbi, "dBi", (-30.0, 50.0))

    @property
    def eirp_dbm(self) -> float:
        """Return the power that an antenna without a direction would need for the same."""
        return dbm_from_w(self.power_w) - self.loss_db + self.gain_dbi


@dataclass(frozen=True, slots=True, kw_only=True)
class Receiver:
    """What the receiving side needs; either its sensitivity, or noise figure and needed C/N."""

    gain_dbi: float = 0.0
    loss_db: float = 0.0
    noise_figure_db: float | None = None
    needed_ratio_db: float | None = None  # carrier over noise at which it just works
    sensitivity_dbm: float | None = None
    noise_raise_db: float = 0.0  # what its antenna hears of the place, over its own floor

    def __post_init__(self) -> None:
        check_range("noise_raise_db", self.noise_raise_db, "dB", (0.0, 60.0))
        check_range("gain_dbi", self.gain_dbi, "dBi", (-30.0, 50.0))
        check_range("loss_db", self.loss_db, "dB", (0.0, 30.0), "A loss is above 0.")
        figure, needed = self.noise_figure_db, self.needed_ratio_db
        if self.sensitivity_dbm is not None:
            remedy = "A sensitivity is negative: -107 dBm."
            check_range("sensitivity_dbm", self.sensitivity_dbm, "dBm", (-160.0, -20.0), remedy)
            if needed is not None:
                raise ContradictionError(
                    f"sensitivity {self.sensitivity_dbm:g} dBm and needed C/N {needed:g} dB are "
                    "two thresholds for one receiver.",
                    "Leave one of them out.",
                )
        elif figure is None or needed is None:
            given = "neither sensitivity nor both noise figure and needed C/N"
            raise InputError("receiver", given, "one of the two ways")
        if figure is not None:
            check_range("noise_figure_db", figure, "dB", (0.0, 30.0))
        if needed is not None:
            check_range("needed_ratio_db", needed, "dB", (-40.0, 60.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A sender, a receiver, and what goes between them."""

    name: str
    purpose: Purpose
    frequency_hz: float
    bandwidth_hz: float
    sender: Sender
    receiver: Receiver
    is_digital: bool = False
    offset_db: float = 0.0  # measured over expected in a ground test; it shifts the whole curve
    extra_loss_db: float = 0.0  # what aim, polarisation and damage take on average, everywhere

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InputError("link name", repr(self.name), "a name")
        if self.purpose not in _PURPOSES:
            raise InputError("purpose", repr(self.purpose), ", ".join(_PURPOSES))
        checked_frequency_hz(self.frequency_hz)
        check_range("bandwidth_hz", self.bandwidth_hz, "Hz", (10.0, 1e9), "Give hertz.")
        check_range("offset_db", self.offset_db, "dB", (-60.0, 20.0))
        check_range("extra_loss_db", self.extra_loss_db, "dB", (0.0, 200.0), "A loss is above 0.")
        if self.bandwidth_hz > self.frequency_hz:
            given = f"{self.bandwidth_hz:g} Hz at {self.frequency_hz:g} Hz"
            raise InputError("bandwidth_hz", given, "less than the frequency")


def dbm_from_w(power_w: float) -> float:
    """Return a power in decibels over a milliwatt.

    >>> round(dbm_from_w(0.8), 2)
    29.03
    """
    if not 1e-20 <= power_w <= 1e6:
        raise InputError("power_w", f"{power_w:g} W", "above 0, to 1 000 000 W")
    return 10.0 * math.log10(power_w) + 30.0


def noise_floor_dbm(link: Link) -> float:
    """Return the noise in the receiver's own bandwidth, by its noise figure and its place."""
    figure = link.receiver.noise_figure_db
    if figure is None:
        raise InputError("noise_figure_db", "not stated", "a noise figure", "State it, or measure.")
    return thermal_noise_dbm(link.bandwidth_hz) + figure + link.receiver.noise_raise_db


def threshold_dbm(link: Link) -> float:
    """Return the power at the receiver's socket at which the link just works."""
    receiver = link.receiver
    if receiver.sensitivity_dbm is not None:
        return receiver.sensitivity_dbm
    return noise_floor_dbm(link) + (receiver.needed_ratio_db or 0.0)


def margin_db(link: Link, distance_m: float, extra_db: float = 0.0) -> float:
    """Return by how much the received power is above the threshold, both antennas in their best.

    `extra_db`: whatever else is lost on the way, besides the link's own `extra_loss_db`.
    """
    lost_db = free_space_loss_db(link.frequency_hz, distance_m) + extra_db
    return largest_loss_db(link) - lost_db


def largest_loss_db(link: Link) -> float:
    """Return the loss between the antennas at which nothing is left over."""
    receiver = link.receiver
    strength_dbm = link.sender.eirp_dbm + receiver.gain_dbi - receiver.loss_db + link.offset_db
    return strength_dbm - threshold_dbm(link) - link.extra_loss_db


def reach_m(link: Link, kept_db: float = 0.0) -> float:
    """Return how far the link works in free space with so many decibels kept in hand.

    Six decibels less is half the range, not a quarter and not two thirds.
    """
    return free_space_range_m(link.frequency_hz, largest_loss_db(link) - kept_db)


def ground_test_offset_db(
    link: Link, distance_m: float, attenuator_db: float, measured_db: float
) -> float:
    """Return by how much a margin measured near by stands off the budget's.

    `measured_db`: the margin found at that distance with that attenuator, for instance what more of
    it just ends the link. Twenty decibels at 1 km stand for 10 km. Beyond ten decibels off, do not
    shift the curve: find the fault.

    Valid: in sight, well clear of the ground; attenuators 0 to 120 dB.
    """
    check_range("attenuator_db", attenuator_db, "dB", (0.0, 120.0), "An attenuator is above 0.")
    check_range("measured_db", measured_db, "dB", (-60.0, 120.0))
    return measured_db - (margin_db(link, distance_m, attenuator_db) - link.offset_db)


def sensitivity_from_range_dbm(
    frequency_hz: float, sender: Sender, gain_dbi: float, reached_m: float
) -> float:
    """Return the sensitivity that a range once reached, just so, speaks for.

    `gain_dbi`: of the receiving antenna less its cable, and less whatever else was known to be lost
    on that day. What went wrong besides is in the answer.
    """
    return sender.eirp_dbm + gain_dbi - free_space_loss_db(frequency_hz, reached_m)
