"""What the variables of a NetCDF file are, by standard name and unit rather than by their names."""

from dataclasses import dataclass
from typing import Any, Final, Literal, NamedTuple

from farglide.constants import STANDARD_GRAVITY_MPS2
from farglide.units import CELSIUS_ZERO_K, HECTOPASCAL_PA, KNOT_MPS

Axis = Literal["lat", "lon", "level", "time", "run", "lead", "member"]


class Conversion(NamedTuple):
    """From a unit to ours: a factor, and what is added after it."""

    factor: float = 1.0
    added: float = 0.0


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity of ours, and what it may be told in."""

    name: str
    units: dict[str, Conversion]


_ONE: Final = Conversion()
_METRES: Final = dict.fromkeys(("m", "gpm", "metre", "meter", "metres", "meters"), _ONE)
_SPEED: Final = {
    **dict.fromkeys(("m s-1", "m/s", "m s**-1", "m.s-1", "metre second-1"), _ONE),
    **dict.fromkeys(("knots", "knot", "kt", "kn"), Conversion(KNOT_MPS)),
}
_KELVIN: Final = {
    **dict.fromkeys(("k", "kelvin"), _ONE),
    **dict.fromkeys(
        ("degc", "c", "celsius", "deg_c", "degree_celsius"), Conversion(1.0, CELSIUS_ZERO_K)
    ),
}
_GEOPOTENTIAL: Final = dict.fromkeys(
    ("m2 s-2", "m**2 s**-2", "m^2 s^-2", "m2/s2", "j kg-1"), Conversion(1.0 / STANDARD_GRAVITY_MPS2)
)
_SHARE: Final = {"%": Conversion(0.01), "percent": Conversion(0.01), "1": _ONE, "": _ONE}
_MASS: Final = {
    "kg kg-1": _ONE,
    "kg kg**-1": _ONE,
    "kg/kg": _ONE,
    "1": _ONE,
    "g kg-1": Conversion(1e-3),
}

_HEIGHT: Final = Quantity("gph_m", _METRES)
_OF_GEOPOTENTIAL: Final = Quantity("gph_m", _GEOPOTENTIAL)
_TEMPERATURE: Final = Quantity("t_k", _KELVIN)
_U, _V = Quantity("u_mps", _SPEED), Quantity("v_mps", _SPEED)
_HUMIDITY: Final = Quantity("rh_ratio", _SHARE)
_SPECIFIC: Final = Quantity("q_ratio", _MASS)

STANDARD: Final[dict[str, Quantity]] = {
    "geopotential_height": _HEIGHT, "geopotential": _OF_GEOPOTENTIAL,
    "air_temperature": _TEMPERATURE, "eastward_wind": _U, "northward_wind": _V,
    "relative_humidity": _HUMIDITY, "specific_humidity": _SPECIFIC,
}  # fmt: skip
"""By standard name. Source: CF standard name table (the names; units by the UDUNITS spellings)."""
NAMED: Final[dict[str, Quantity]] = {
    "gh": _HEIGHT, "hgt": _HEIGHT, "z": _OF_GEOPOTENTIAL, "t": _TEMPERATURE, "u": _U, "v": _V,
    "r": _HUMIDITY, "rh": _HUMIDITY, "q": _SPECIFIC, "air": _TEMPERATURE, "uwnd": _U, "vwnd": _V,
    "shum": _SPECIFIC, "rhum": _HUMIDITY,
}  # fmt: skip
"""By the name of a variable without a standard name, if its unit fits.

Common practice, no source.
"""
ALONG_GRID: Final = ("x_wind", "y_wind", "grid_eastward_wind", "grid_northward_wind")
"""Standard names of winds along the rows and columns of a turned grid."""

_LATITUDE: Final = ("degrees_north", "degree_north", "degree_n", "degrees_n", "degreen", "degreesn")
_LONGITUDE: Final = ("degrees_east", "degree_east", "degree_e", "degrees_e", "degreee", "degreese")
PRESSURES: Final = {
    **dict.fromkeys(("pa", "pascal", "pascals"), 1.0),
    **dict.fromkeys(("hpa", "hectopascal", "millibar", "millibars", "mbar", "mb"), HECTOPASCAL_PA),
}
"""Pascals in a unit of pressure. Source: UDUNITS spellings; CF conventions 4.1 to 4.4."""
SECONDS: Final = {
    **dict.fromkeys(("s", "sec", "second", "seconds"), 1.0),
    **dict.fromkeys(("min", "minute", "minutes"), 60.0),
    **dict.fromkeys(("h", "hr", "hour", "hours"), 3600.0),
    **dict.fromkeys(("d", "day", "days"), 86_400.0),
    "nanoseconds": 1e-9,
}
_MEMBERS: Final = ("number", "member", "realization", "ensemble", "ens", "ensemble_member")


def attribute(variable: Any, name: str) -> str:
    """Return an attribute as text, in small letters; empty where there is none."""
    try:
        value = variable.getncattr(name)
    except AttributeError:
        return ""
    return str(value).strip().lower()


def axis_of(name: str, variable: Any) -> Axis | None:
    """Return what a coordinate counts, by its standard name, else by its unit.

    Members alone are told by names too, since they have no unit.
    """
    standard, unit = attribute(variable, "standard_name"), attribute(variable, "units")
    by_standard: dict[str, Axis] = {
        "latitude": "lat", "longitude": "lon", "air_pressure": "level", "time": "time",
        "forecast_reference_time": "run", "forecast_period": "lead", "realization": "member",
    }  # fmt: skip
    if standard in by_standard:
        return by_standard[standard]
    if standard:
        return None
    if unit in _LATITUDE:
        return "lat"
    if unit in _LONGITUDE:
        return "lon"
    if unit in PRESSURES:
        return "level"
    if " since " in unit:
        return "time"
    return "member" if name.lower() in _MEMBERS and len(variable.dimensions) < 2 else None


def quantity_of(name: str, variable: Any) -> Quantity | None:
    """Return what a variable tells, by its standard name, else by its name with a fitting unit."""
    standard, unit = attribute(variable, "standard_name"), attribute(variable, "units")
    if standard in STANDARD:
        return STANDARD[standard]
    named = NAMED.get(name.lower())
    return named if named is not None and not standard and unit in named.units else None
