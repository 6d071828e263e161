"""Clash: where our own transmitters fall into our own receivers, and how strong they are near."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, NamedTuple

from farglide.errors import InputError
from farglide.radio.path.space import checked_frequency_hz, free_space_loss_db, wavelength_m

HIGHEST_HARMONIC: Final = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Emission:
    """A transmitter of our own: its middle frequency and the width it takes."""

    name: str
    frequency_hz: float
    bandwidth_hz: float

    def __post_init__(self) -> None:
        checked_frequency_hz(self.frequency_hz)
        if not 0.0 < self.bandwidth_hz < self.frequency_hz:
            given = f"{self.bandwidth_hz:g} Hz"
            raise InputError("bandwidth_hz", given, "above 0, less than the frequency")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ear:
    """A receiver of our own: what it listens to, and its intermediate frequency if known."""

    name: str
    from_hz: float
    to_hz: float
    intermediate_hz: float | None = None
    oscillator_above: bool = False

    def __post_init__(self) -> None:
        if not 30e6 <= self.from_hz < self.to_hz <= 30e9:
            given = f"{self.from_hz:g} to {self.to_hz:g} Hz"
            raise InputError("band", given, "rising, 30 MHz to 30 GHz", "Write hertz.")


NAVIGATION: Final = (
    Ear(name="satellite navigation", from_hz=1164e6, to_hz=1300e6),
    Ear(name="satellite navigation", from_hz=1559e6, to_hz=1610e6),
)
"""The bands in which the glider's own position is heard.

Source: ITU Radio Regulations, radionavigation-satellite service.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """One way in which an emission can fall into a receiver."""

    ear: str
    cause: str  # in words
    from_hz: float
    to_hz: float


def clashes(emissions: Sequence[Emission], ears: Sequence[Ear]) -> tuple[Clash, ...]:
    """Return the bands, harmonics, images and mixtures of two or three that fall into a receiver.

    Each is as wide as what makes it: a third harmonic three times, 2 f1 - f2 twice the one and once
    the other. Whether it does harm depends on filters and distances: a reason to test on the bench.

    Source: frequencies of harmonics, images (f +- 2 IF) and intermodulation; e.g. Rohde and
    Newkirk, RF/Microwave Circuit Design, from memory.
    """
    found = []
    for products in (_in_band, _harmonics, _images, _mixtures):
        for ear in ears:
            for product in products(emissions, ear):
                low_hz = max(product.middle_hz - 0.5 * product.width_hz, ear.from_hz)
                high_hz = min(product.middle_hz + 0.5 * product.width_hz, ear.to_hz)
                if low_hz <= high_hz:
                    found.append(
                        Clash(ear=ear.name, cause=product.cause, from_hz=low_hz, to_hz=high_hz)
                    )
    return tuple(found)


def power_density_wpm2(eirp_w: float, distance_m: float) -> float:
    """Return the power density in front of an antenna, far from it.

    >>> round(power_density_wpm2(5.0, 1.0), 2)
    0.4

    Valid: beyond the near field; closer in it says too little for long antennas. Compare it with
    the limit of your country for your frequency: none is built in here. Source: P G / (4 pi d^2).
    """
    if not 0.0 < eirp_w <= 1e6:
        raise InputError("eirp_w", f"{eirp_w:g} W", "above 0, to 1 000 000 W")
    if not 0.01 <= distance_m <= 1e6:
        raise InputError("distance_m", f"{distance_m:g} m", "0.01 to 1 000 000 m")
    return eirp_w / (4.0 * math.pi * distance_m**2)


def keep_away_m(eirp_w: float, limit_wpm2: float) -> float:
    """Return the distance within which a power density is above a limit that the user states."""
    if not 0.0 < limit_wpm2 <= 1e4:
        raise InputError("limit_wpm2", f"{limit_wpm2:g} W/m2", "above 0, to 10 000 W/m2")
    return math.sqrt(eirp_w / (4.0 * math.pi * limit_wpm2))


def blocking_dbm(eirp_dbm: float, frequency_hz: float, distance_m: float, gain_dbi: float) -> float:
    """Return what a strong transmitter beside a receiver puts into it, in and out of its band.

    Nearer than half a wavelength no law of distance holds: then that distance is taken.
    Common practice, no source: receivers without a filter grow deaf from about -30 dBm on.
    """
    apart_m = max(distance_m, 0.5 * wavelength_m(frequency_hz))
    loss_db = free_space_loss_db(frequency_hz, 1.0) + 20.0 * math.log10(apart_m)
    return eirp_dbm + gain_dbi - loss_db


class _Product(NamedTuple):
    """Frequencies that emissions make, by their middle and how wide they are."""

    cause: str
    middle_hz: float
    width_hz: float


def _in_band(emissions: Sequence[Emission], ear: Ear) -> list[_Product]:
    """Return what is sent, but for what this receiver listens to."""
    others = (one for one in emissions if one.name != ear.name)
    return [_Product(f"{one.name} itself", one.frequency_hz, one.bandwidth_hz) for one in others]


def _harmonics(emissions: Sequence[Emission], _: Ear) -> list[_Product]:
    return [
        _Product(f"harmonic {n} of {one.name}", n * one.frequency_hz, n * one.bandwidth_hz)
        for one in emissions
        for n in range(2, HIGHEST_HARMONIC + 1)
    ]


def _images(emissions: Sequence[Emission], ear: Ear) -> list[_Product]:
    if ear.intermediate_hz is None:
        return []
    shift_hz = 2.0 * ear.intermediate_hz * (1.0 if ear.oscillator_above else -1.0)
    return [
        _Product(f"{one.name} on the image", one.frequency_hz - shift_hz, one.bandwidth_hz)
        for one in emissions
    ]


def _mixtures(emissions: Sequence[Emission], _: Ear) -> list[_Product]:
    found = []
    for one, other in combinations(emissions, 2):
        for a, b in ((one, other), (other, one)):
            twice_hz, width_hz = 2.0 * a.frequency_hz, 2.0 * a.bandwidth_hz + b.bandwidth_hz
            found += [
                _Product(f"twice {a.name} less {b.name}", twice_hz - b.frequency_hz, width_hz),
                _Product(f"twice {a.name} and {b.name}", twice_hz + b.frequency_hz, width_hz),
            ]
        apart_hz = abs(one.frequency_hz - other.frequency_hz)
        width_hz = one.bandwidth_hz + other.bandwidth_hz
        found += [
            _Product(
                f"{one.name} and {other.name}", one.frequency_hz + other.frequency_hz, width_hz
            ),
            _Product(f"{one.name} less {other.name}", apart_hz, width_hz),
        ]
    return found
