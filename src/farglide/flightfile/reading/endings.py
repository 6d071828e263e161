"""Endings of keys: the units in which a flight file may state a number, and their words."""

from collections.abc import Mapping
from typing import Final

from farglide.units import FOOT_M, KNOT_MPS

Units = Mapping[str, tuple[float, float]]
"""Allowed endings of a key, the SI one first; a stated number times a over b is the SI number."""

MASS: Final[Units] = {"kg": (1, 1), "g": (1, 1000)}
LENGTH: Final[Units] = {"m": (1, 1), "cm": (1, 100)}
HEIGHT: Final[Units] = {"m": (1, 1), "ft": (FOOT_M, 1)}
DISTANCE: Final[Units] = {"m": (1, 1), "km": (1000, 1)}
FAR: Final[Units] = {"km": (1, 1), "m": (1, 1000)}
AREA: Final[Units] = {"m2": (1, 1), "dm2": (1, 100), "cm2": (1, 10_000)}
SPEED: Final[Units] = {"mps": (1, 1), "kt": (KNOT_MPS, 1)}
TIME: Final[Units] = {"s": (1, 1), "min": (60, 1)}
HOURS: Final[Units] = {"h": (1, 1), "min": (1, 60)}
ENERGY: Final[Units] = {"wh": (1, 1)}
POWER: Final[Units] = {"w": (1, 1), "mw": (1, 1000)}
WARMTH: Final[Units] = {"k": (1, 1)}
ANGLE: Final[Units] = {"deg": (1, 1)}
RATIO: Final[Units] = {"ratio": (1, 1), "percent": (1, 100)}
PURE: Final[Units] = {"": (1, 1)}
FREQUENCY: Final[Units] = {"hz": (1, 1), "khz": (1e3, 1), "mhz": (1e6, 1), "ghz": (1e9, 1)}
DECIBEL: Final[Units] = {"db": (1, 1)}
GAIN: Final[Units] = {"dbi": (1, 1)}
WAVELENGTHS: Final[Units] = {"wavelengths": (1, 1)}
RAIN: Final[Units] = {"mmph": (1, 1)}
LEVEL: Final[Units] = {"dbm": (1, 1)}
STIFFNESS: Final[Units] = {"npm": (1, 1)}
LEAK: Final[Units] = {"ratio_ps": (1, 1)}
CELSIUS: Final[Units] = {"celsius": (1, 1)}  # as stated; kelvins begin behind the file
CONDUCTANCE: Final[Units] = {"wpk": (1, 1)}
DENSITY: Final[Units] = {"wpm2": (1, 1), "mwpcm2": (10, 1)}
SPECIFIC_HEAT: Final[Units] = {"jpkgk": (1, 1)}

_UNIT_TEXT: Final[Mapping[str, str]] = {
    "ratio": "", "percent": "%", "mps": "m/s", "m2": "m²", "dm2": "dm²", "cm2": "cm²", "wh": "Wh",
    "w": "W", "mw": "mW", "k": "K", "hz": "Hz", "khz": "kHz", "mhz": "MHz", "ghz": "GHz",
    "db": "dB", "dbi": "dBi", "dbm": "dBm", "deg": "°", "npm": "N/m", "ratio_ps": "per second",
    "mmph": "mm/h", "celsius": "°C", "wpk": "W/K", "wpm2": "W/m²", "mwpcm2": "mW/cm²",
    "jpkgk": "J/(kg K)",
}  # fmt: skip
_UNIT_ASK: Final[Mapping[str, str]] = {
    "kg": "kilograms", "g": "grams", "m": "metres", "cm": "centimetres", "km": "kilometres",
    "ft": "feet", "m2": "square metres", "dm2": "square decimetres", "cm2": "square centimetres",
    "kt": "knots", "w": "watts", "mw": "milliwatts", "min": "minutes", "ratio": "a share of 1",
    "percent": "per cent",
}  # fmt: skip


def si_value(number: float, scale: tuple[float, float]) -> float:
    """Return a stated number in SI."""
    return number * scale[0] / scale[1]


def unit_text(unit: str) -> str:
    """Return a unit as it follows a number, with the space before it.

    >>> unit_text("mps"), unit_text("deg"), unit_text("")
    (' m/s', '°', '')
    """
    text = _UNIT_TEXT.get(unit, unit)
    return text if text in ("", "°") else f" {text}"


def unit_question(unit: str) -> str:
    """Return a unit as a question to a person names it.

    >>> unit_question("g"), unit_question("h")
    ('grams', 'h')
    """
    return _UNIT_ASK.get(unit, unit)
