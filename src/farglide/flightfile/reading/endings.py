"""Endings of keys: the units in which a flight file may state a number, and their words."""

from collections.abc import Mapping
from typing import Final, NamedTuple

from farglide.units import FOOT_M, KNOT_MPS


class Scale(NamedTuple):
    """What a stated number is multiplied with, then divided by, to be the SI number."""

    times: float = 1
    over: float = 1


Units = Mapping[str, Scale]
"""Allowed endings of a key, the SI one first."""

_ONE: Final = Scale()

MASS: Final[Units] = {"kg": _ONE, "g": Scale(over=1000)}
LENGTH: Final[Units] = {"m": _ONE, "cm": Scale(over=100)}
HEIGHT: Final[Units] = {"m": _ONE, "ft": Scale(FOOT_M)}
DISTANCE: Final[Units] = {"m": _ONE, "km": Scale(1000)}
FAR: Final[Units] = {"km": _ONE, "m": Scale(over=1000)}
AREA: Final[Units] = {"m2": _ONE, "dm2": Scale(over=100), "cm2": Scale(over=10_000)}
SPEED: Final[Units] = {"mps": _ONE, "kmph": Scale(over=3.6), "kt": Scale(KNOT_MPS)}
TIME: Final[Units] = {"s": _ONE, "min": Scale(60)}
HOURS: Final[Units] = {"h": _ONE, "min": Scale(over=60)}
ENERGY: Final[Units] = {"wh": _ONE}
POWER: Final[Units] = {"w": _ONE, "mw": Scale(over=1000)}
WARMTH: Final[Units] = {"k": _ONE}
ANGLE: Final[Units] = {"deg": _ONE}
RATIO: Final[Units] = {"ratio": _ONE, "percent": Scale(over=100)}
PURE: Final[Units] = {"": _ONE}
FREQUENCY: Final[Units] = {"hz": _ONE, "khz": Scale(1e3), "mhz": Scale(1e6), "ghz": Scale(1e9)}
DECIBEL: Final[Units] = {"db": _ONE}
GAIN: Final[Units] = {"dbi": _ONE}
WAVELENGTHS: Final[Units] = {"wavelengths": _ONE}
RAIN: Final[Units] = {"mmph": _ONE}
LEVEL: Final[Units] = {"dbm": _ONE}
STIFFNESS: Final[Units] = {"npm": _ONE}
LEAK: Final[Units] = {"ratio_ps": _ONE}
CELSIUS: Final[Units] = {"celsius": _ONE}  # as stated; kelvins begin behind the file
CONDUCTANCE: Final[Units] = {"wpk": _ONE}
DENSITY: Final[Units] = {"wpm2": _ONE, "mwpcm2": Scale(10)}
SPECIFIC_HEAT: Final[Units] = {"jpkgk": _ONE}
PRESSURE: Final[Units] = {"pa": _ONE, "hpa": Scale(100)}

SI_ENDINGS: Final = frozenset(
    next(iter(one))
    for one in (
        MASS, LENGTH, FAR, AREA, SPEED, TIME, HOURS, ENERGY, POWER, WARMTH, ANGLE, RATIO, FREQUENCY,
        DECIBEL, GAIN, LEVEL, STIFFNESS, CELSIUS, CONDUCTANCE, DENSITY, PRESSURE,
    )
)  # fmt: skip
"""What a key in the SI unit may end in, where it is one word."""

_UNIT_TEXT: Final[Mapping[str, str]] = {
    "ratio": "", "percent": "%", "mps": "m/s", "kmph": "km/h", "m2": "m²", "dm2": "dm²",
    "cm2": "cm²",
    "wh": "Wh",
    "w": "W", "mw": "mW", "k": "K", "hz": "Hz", "khz": "kHz", "mhz": "MHz", "ghz": "GHz",
    "db": "dB", "dbi": "dBi", "dbm": "dBm", "deg": "°", "npm": "N/m", "ratio_ps": "per second",
    "mmph": "mm/h", "celsius": "°C", "wpk": "W/K", "wpm2": "W/m²", "mwpcm2": "mW/cm²",
    "jpkgk": "J/(kg K)", "pa": "Pa", "hpa": "hPa",
}  # fmt: skip
_UNIT_ASK: Final[Mapping[str, str]] = {
    "kg": "kilograms", "g": "grams", "m": "metres", "cm": "centimetres", "km": "kilometres",
    "ft": "feet", "m2": "square metres", "dm2": "square decimetres", "cm2": "square centimetres",
    "mps": "metres a second", "kmph": "kilometres an hour", "kt": "knots",
    "w": "watts", "mw": "milliwatts", "min": "minutes", "ratio": "a share of 1",
    "percent": "per cent", "pa": "pascals", "hpa": "hectopascals", "hz": "hertz",
    "khz": "kilohertz", "mhz": "megahertz", "ghz": "gigahertz",
}  # fmt: skip


def si_value(number: float, scale: Scale) -> float:
    """Return a stated number in SI."""
    return number * scale.times / scale.over


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
